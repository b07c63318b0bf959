//! A long run of damaged photos, recordings and records of a case: how many are refused, how many are read, the slowest, and no panic.
//!
//! `cargo run --release --example mutations -- photo 200000` (or `sound`, or `case`): so many mutations of every seed. The
//! tests repeat it in short form (`tests/suite/photo/hostile.rs`, `sound/hostile.rs`, `case/mutated.rs`). A panic ends the run
//! and names the seed and the number of the mutation, which is enough to make it again. A third word takes the seeds whose
//! names hold it only.
#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::cast_possible_truncation,
    reason = "a tool of the developers that times and prints"
)]

#[path = "dice.rs"]
mod dice;

#[path = "../tests/suite/case/mutated.rs"]
mod mutated;

use std::io::Cursor;
use std::panic::catch_unwind;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use image::{DynamicImage, ImageFormat, RgbImage};
use stillroom::{photo, sound};

use dice::Dice;

/// Mends the checksums of a PNG, so that a decoder looks at what was changed instead of stopping there.
fn with_good_checksums(mut png: Vec<u8>) -> Vec<u8> {
    let mut at = 8;
    while let Some(head) = png.get(at..at + 8) {
        let length = u32::from_be_bytes([head[0], head[1], head[2], head[3]]) as usize;
        let Some(end) = at.checked_add(8 + length).filter(|end| end + 4 <= png.len()) else { break };
        let sum = checksum(&png[at + 4..end]).to_be_bytes();
        png[end..end + 4].copy_from_slice(&sum);
        at = end + 4;
    }
    png
}

/// Mends the checksums of the pages of an Ogg file for the same reason: a page whose sum is wrong is passed over whole.
fn with_good_pages(mut ogg: Vec<u8>) -> Vec<u8> {
    let mut at = 0;
    while let Some(found) = ogg.get(at..).and_then(|rest| rest.windows(4).position(|word| word == b"OggS")) {
        at += found;
        let Some(table) = ogg.get(at + 27..at + 27 + ogg.get(at + 26).map_or(0, |count| usize::from(*count))) else {
            break;
        };
        let end = at + 27 + table.len() + table.iter().map(|size| usize::from(*size)).sum::<usize>();
        if end > ogg.len() || ogg.len() < at + 27 {
            at += 4;
            continue;
        }
        ogg[at + 22..at + 26].fill(0);
        let sum = page_sum(&ogg[at..end]).to_le_bytes();
        ogg[at + 22..at + 26].copy_from_slice(&sum);
        at = end;
    }
    ogg
}

/// CRC-32 as Ogg has it (RFC 3533, section 6): the same polynomial, the other way round, starting from nothing.
fn page_sum(bytes: &[u8]) -> u32 {
    bytes.iter().fold(0, |sum, byte| {
        (0..8)
            .fold(sum ^ u32::from(*byte) << 24, |sum, _| if sum >> 31 == 1 { sum << 1 ^ 0x04c1_1db7 } else { sum << 1 })
    })
}

/// Three in four PNG and Ogg files get good checksums: the rest tries the checks, these what lies behind them. A PNG has
/// another sum inside its deflated rows, which the decoder here does not look at, so that it needs no mending.
fn mended(name: &str, number: u64, bytes: Vec<u8>) -> Vec<u8> {
    match number % 4 {
        0 => bytes,
        _ if name == "Png" => with_good_checksums(bytes),
        _ if name.ends_with("ogg") => with_good_pages(bytes),
        _ => bytes,
    }
}

/// CRC-32 as PNG has it (ISO 3309), bit by bit.
fn checksum(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(u32::MAX, |sum, byte| {
        (0..8).fold(sum ^ u32::from(*byte), |sum, _| if sum & 1 == 1 { sum >> 1 ^ 0xedb8_8320 } else { sum >> 1 })
    })
}

/// Seconds of processor time all threads of this program have used for its own code, in steps of a hundredth, where the
/// system tells it: the machine may be busy with other things, and a second on the clock then says little.
fn processor_seconds() -> f64 {
    let told = std::fs::read_to_string("/proc/self/stat").unwrap_or_default();
    // The name, in brackets, may hold blanks; the user time is the twelfth word behind it.
    let word = told.rsplit(')').next().and_then(|rest| rest.split_whitespace().nth(11));
    word.and_then(|ticks| ticks.parse::<f64>().ok()).map_or(f64::NAN, |ticks| ticks / 100.0)
}

fn most_memory() -> String {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find(|line| line.starts_with("VmHWM"));
    line.map_or_else(|| "unknown".to_owned(), |line| line.trim_start_matches("VmHWM:").trim().to_owned())
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
        "seeds/small.flac",
        "seeds/small.mp3",
        "seeds/small.ogg",
        "seeds/small-aac.m4a",
        "seeds/small-alac.m4a",
        "seeds/small.wav",
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

/// Reads a mutation of a seed with that name and those bytes.
type Read<'a> = dyn Fn(&str, &[u8], &[u8]) -> bool + std::panic::RefUnwindSafe + 'a;

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let kind = words.first().map_or("photo", String::as_str);
    let count: u64 = words.get(1).and_then(|word| word.parse().ok()).unwrap_or(2000);
    let only = words.get(2).map_or("", String::as_str);
    let folder = tempfile::tempdir().unwrap();
    let host = mutated::host(folder.path());
    let (seeds, read): (_, &Read) = match kind {
        "sound" => (recordings(), &|_, _, bytes| read_recording(bytes)),
        "case" => (mutated::seeds(), &|name, sound, bytes| mutated::tried(&host, name, sound, bytes)),
        _ => (photos(), &|_, _, bytes| read_photo(bytes)),
    };
    for (name, seed) in seeds.into_iter().filter(|(name, _)| name.contains(only)) {
        let mut dice = Dice(7);
        let (mut done, mut slowest, mut which) = (0u64, Duration::ZERO, 0);
        let mut most_work = (0.0, 0);
        for number in 0..count {
            let bytes = mended(&name, number, dice.damaged(&seed));
            let (begun, worked) = (Instant::now(), processor_seconds());
            match catch_unwind(|| read(&name, &seed, &bytes)) {
                Ok(was_read) => done += u64::from(was_read),
                Err(_) => panic!("{name}: mutation {number} panicked"),
            }
            let took = begun.elapsed();
            if took > slowest {
                (slowest, which) = (took, number);
            }
            let work = processor_seconds() - worked;
            if work > most_work.0 {
                most_work = (work, number);
            }
        }
        println!(
            "{name:22} {count} mutations: {done} read, {} refused; slowest {:.0} ms (number {which}); most user time {:.0} ms (number {}); \
             most memory so far {}",
            count - done,
            slowest.as_secs_f64() * 1e3,
            most_work.0 * 1e3,
            most_work.1,
            most_memory()
        );
    }
}
