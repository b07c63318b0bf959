//! A long run of damaged photos and recordings: how many are refused, how many are read, the slowest, and no panic.
//!
//! `cargo run --release --example mutations -- photo 200000` (or `sound`): so many mutations of every seed. The tests
//! repeat it in short form (`tests/suite/photo/hostile.rs`, `tests/suite/sound/hostile.rs`). A panic ends the run and
//! names the seed and the number of the mutation, which is enough to make it again.
#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::cast_possible_truncation,
    reason = "a tool of the developers that times and prints"
)]

use std::io::Cursor;
use std::panic::catch_unwind;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use image::{DynamicImage, ImageFormat, RgbImage};
use stillroom::{photo, sound};

/// Knuth's MMIX generator: seeded, the same everywhere.
struct Dice(u64);

impl Dice {
    fn below(&mut self, limit: usize) -> usize {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) as usize) % limit.max(1)
    }
}

/// One to eight changes: a byte set, a piece cut out, zeroed or repeated, the end cut off; half of them near the front.
fn mutated(seed: &[u8], dice: &mut Dice) -> Vec<u8> {
    let mut bytes = seed.to_vec();
    let front = dice.below(2) == 0;
    for _ in 0..=dice.below(8) {
        if bytes.is_empty() {
            break;
        }
        let reach = if front { bytes.len().min(160) } else { bytes.len() };
        let at = dice.below(reach);
        let end = (at + dice.below(40)).min(bytes.len());
        match dice.below(8) {
            0 => bytes.truncate(at.max(1)),
            1 => drop(bytes.drain(at..end)),
            2 => bytes[at..end].fill(0),
            3 => bytes[at..end].fill(0xff),
            4 => {
                let piece = bytes[at..end].to_vec();
                bytes.splice(at..at, piece);
            }
            5 => bytes[at] ^= 1 << dice.below(8),
            _ => bytes[at] = dice.below(256) as u8,
        }
    }
    bytes
}

fn photos() -> Vec<(String, Vec<u8>)> {
    let picture = RgbImage::from_fn(97, 66, |x, y| {
        let checked = if (x / 9 + y / 7) % 2 == 0 { 60 } else { 0 };
        image::Rgb([(x * 2 % 190) as u8 + checked, (y * 3 % 190) as u8 + checked, ((x + y) % 190) as u8 + checked])
    });
    [ImageFormat::Jpeg, ImageFormat::Png, ImageFormat::WebP, ImageFormat::Gif, ImageFormat::Bmp]
        .into_iter()
        .map(|format| {
            let mut out = Cursor::new(Vec::new());
            DynamicImage::ImageRgb8(picture.clone()).write_to(&mut out, format).unwrap();
            (format!("{format:?}"), out.into_inner())
        })
        .collect()
}

fn recordings() -> Vec<(String, Vec<u8>)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/oracle/sound");
    let names = [
        "seeds/tone.flac",
        "seeds/tone.mp3",
        "seeds/tone.ogg",
        "seeds/tone-aac.m4a",
        "seeds/tone-alac.m4a",
        "decay-38db.wav",
    ];
    names.iter().map(|name| ((*name).to_owned(), std::fs::read::<PathBuf>(folder.join(name)).unwrap())).collect()
}

/// Whether the bytes were read; a refusal must have words.
fn read_photo(bytes: &[u8]) -> bool {
    match photo::measure(bytes) {
        Ok(photo) => (0.0..=100.0).contains(&photo.busyness) || panic!("busyness {}", photo.busyness),
        Err(refusal) => refusal.to_string().is_empty() && panic!("a refusal without words"),
    }
}

/// The same for a recording; a level must be a number.
fn read_recording(bytes: &[u8]) -> bool {
    let opened = sound::open(Box::new(Cursor::new(bytes.to_vec())), "mutated");
    match opened.and_then(|recording| sound::analyse(recording, &sound::Settings::default(), &mut |_| ())) {
        Ok(analysis) => {
            analysis.levels.laeq.is_none_or(|level| level.db().is_finite()) || panic!("a level that is no number")
        }
        Err(refusal) => refusal.to_string().is_empty() && panic!("a refusal without words"),
    }
}

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let kind = words.first().map_or("photo", String::as_str);
    let count: u64 = words.get(1).and_then(|word| word.parse().ok()).unwrap_or(2000);
    let (seeds, read): (_, fn(&[u8]) -> bool) =
        if kind == "sound" { (recordings(), read_recording) } else { (photos(), read_photo) };
    for (name, seed) in seeds {
        let mut dice = Dice(7);
        let (mut done, mut slowest) = (0u64, Duration::ZERO);
        for number in 0..count {
            let bytes = mutated(&seed, &mut dice);
            let begun = Instant::now();
            match catch_unwind(|| read(&bytes)) {
                Ok(was_read) => done += u64::from(was_read),
                Err(_) => panic!("{name}: mutation {number} panicked"),
            }
            slowest = slowest.max(begun.elapsed());
        }
        println!(
            "{name:22} {count} mutations: {done} read, {} refused, slowest {:.0} ms",
            count - done,
            slowest.as_secs_f64() * 1e3
        );
    }
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    println!("{}", status.lines().find(|line| line.starts_with("VmHWM")).unwrap_or("peak memory not known here"));
}
