//! From the bytes of a 12-megapixel photo to its busyness, and the parts after the decoding. Prints medians in milliseconds.
//!
//! `cargo bench --bench photo`, or `cargo bench --bench photo -- FILE…` to time files of your own.
#![allow(clippy::unwrap_used, clippy::print_stdout, clippy::disallowed_methods, reason = "a bench times and prints")]

use std::io::Cursor;
use std::time::Instant;

use image::codecs::jpeg::JpegEncoder;
use image::imageops::{FilterType, resize};
use stillroom::photo;

const TIMES: usize = 9;

fn median(name: &str, mut work: impl FnMut()) -> f64 {
    let mut milliseconds: Vec<f64> = (0..TIMES)
        .map(|_| {
            let start = Instant::now();
            work();
            start.elapsed().as_secs_f64() * 1000.0
        })
        .collect();
    milliseconds.sort_by(f64::total_cmp);
    println!("{name:44} {:9.1} ms", milliseconds[TIMES / 2]);
    milliseconds[TIMES / 2]
}

/// The same photo through the plain reference, where its libraries are installed: ratios in one run.
fn against_the_reference(photo: &[u8], milliseconds: f64) {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("photo.jpg");
    std::fs::write(&file, photo).unwrap();
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/benches/reference/photo.py");
    let output = std::process::Command::new("python3").arg(script).arg(&file).output();
    let numbers: Vec<f64> = output
        .map(|output| String::from_utf8_lossy(&output.stdout).split_whitespace().flat_map(str::parse).collect())
        .unwrap_or_default();
    let [decode_s, whole_s, _] = numbers[..] else {
        println!("no reference: python3 with numpy, scipy and Pillow is not installed");
        return;
    };
    println!(
        "Pillow, decode only {:33.1} ms; measure takes {:.2} times that",
        decode_s * 1e3,
        milliseconds / decode_s / 1e3
    );
    println!(
        "numpy and scipy, the same measure {:19.1} ms; {:.1} times ours",
        whole_s * 1e3,
        whole_s * 1e3 / milliseconds
    );
}

/// A photo of 4000 × 3000 pixels: the busiest reference room enlarged, with the grain of a sensor.
fn photo_of_12_megapixels() -> Vec<u8> {
    let room = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/oracle/photo/room-64.jpg");
    let small = image::load_from_memory(&std::fs::read(room).unwrap()).unwrap().into_rgb8();
    let mut large = resize(&small, 4000, 3000, FilterType::CatmullRom);
    let mut state = 1u32;
    for sample in large.iter_mut() {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        *sample = sample.saturating_add((state >> 30) as u8);
    }
    let mut out = Vec::new();
    JpegEncoder::new_with_quality(&mut out, 92).encode_image(&large).unwrap();
    out
}

fn main() {
    let files: Vec<String> = std::env::args().skip(1).filter(|word| !word.starts_with("--")).collect();
    if files.is_empty() {
        let bytes = photo_of_12_megapixels();
        println!("12-megapixel JPEG, {:.1} MB", bytes.len() as f64 / 1e6);
        median("decode only", || {
            drop(image::ImageReader::new(Cursor::new(&bytes)).with_guessed_format().unwrap().decode().unwrap())
        });
        let whole = median("measure: bytes to busyness", || drop(photo::measure(&bytes).unwrap()));
        against_the_reference(&bytes, whole);
        median("thumbnail of 1600 pixels", || drop(photo::thumbnail(&bytes, 1600).unwrap()));
        let photo = photo::measure(&bytes).unwrap();
        median("map", || drop(photo::map(&photo, &[]).unwrap()));
        median("compare, with the shared view", || drop(photo::compare(&photo, &photo).unwrap()));
    }
    for file in files {
        let bytes = std::fs::read(&file).unwrap();
        match photo::measure(&bytes) {
            Ok(photo) => {
                let codes: Vec<&str> = photo.warnings.iter().map(|w| w.code()).collect();
                println!("{file}: {} × {}, busyness {:.3}, {codes:?}", photo.width, photo.height, photo.busyness);
            }
            Err(refusal) => println!("{file}: refused, {refusal}"),
        }
    }
}
