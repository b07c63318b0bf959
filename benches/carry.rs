//! The file for a phone in Chromium, its processor slowed down four times: first use, a 12-megapixel photo, a minute of
//! sound, memory. Needs the file that carry/build makes. `cargo bench --bench carry`
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::print_stdout,
    clippy::disallowed_methods,
    clippy::cast_possible_truncation,
    dead_code,
    reason = "a bench prints what it timed, and drives the browser as the tests do, with fewer of its words"
)]

#[path = "../tests/browser/driver.rs"]
mod driver;

use std::path::Path;

use image::codecs::jpeg::JpegEncoder;
use image::imageops::{FilterType, resize};
use serde_json::json;

use driver::Browser;

/// How often each thing is timed; the median is printed.
const TIMES: usize = 5;
/// How many times slower than this machine the browser is made.
const SLOWER: u32 = 4;

fn main() {
    let page = concat!(env!("CARGO_MANIFEST_DIR"), "/target/carry/stillroom-carry.html");
    let size = std::fs::metadata(page).expect("build it first: carry/build").len();
    println!("size {:38.0} kB", size as f64 / 1e3);
    let folder = tempfile::tempdir().unwrap();
    let photo = folder.path().join("photo.jpg");
    std::fs::write(&photo, photo_of_12_megapixels()).unwrap();
    let sound = folder.path().join("minute.wav");
    std::fs::write(&sound, minute()).unwrap();
    for slower in [1, SLOWER] {
        println!("-- {slower} times slower");
        let browser = Browser::new(&[]);
        browser.view(390, 800);
        let slow = |rate: u32| drop(browser.cdp("Emulation.setCPUThrottlingRate", &json!({ "rate": rate })));
        slow(slower);
        median("first use, to the first page", || {
            browser.open("about:blank");
            browser.open(&format!("file://{page}"));
            wait(&browser);
            browser.run("return performance.getEntriesByName('first-page')[0].startTime").as_f64().unwrap()
        });
        median("12-megapixel photo, to what it shows", || timed(&browser, "/photo", "#photo", &photo));
        median("a minute of sound, to what it holds", || timed(&browser, "/sound", "#sound", &sound));
        let module = browser.run("return stillroom.memory()").as_f64().unwrap();
        let script = browser.run("return performance.memory.usedJSHeapSize").as_f64().unwrap();
        println!("{:40} {:9.1} MB", "memory of the module", module / 1e6);
        println!("{:40} {:9.1} MB", "memory of the script", script / 1e6);
    }
}

fn wait(browser: &Browser) {
    while browser.run("return Number(document.documentElement.dataset.turn || 0)") == 0 {
        std::thread::sleep(std::time::Duration::from_millis(20));
    }
}

/// Milliseconds from sending the form to the page that answers it.
fn timed(browser: &Browser, page: &str, field: &str, file: &Path) -> f64 {
    let turn = || browser.run("return document.documentElement.dataset.turn");
    let next = |before: serde_json::Value| {
        while turn() == before {
            std::thread::sleep(std::time::Duration::from_millis(5));
        }
    };
    let before = turn();
    browser.run(&format!(
        "const to = document.createElement('a'); to.href = '{page}'; document.body.append(to); to.click()"
    ));
    next(before);
    browser.kind_in(field, &file.display().to_string());
    let before = turn();
    browser.run(
        "const root = document.documentElement; window.sent = performance.now();
        new MutationObserver((_, seen) => { window.there = performance.now(); seen.disconnect(); }).observe(root, { attributeFilter: ['data-turn'] });
        document.querySelector('main form button[type=submit]').click()",
    );
    next(before);
    browser.run("return window.there - window.sent").as_f64().unwrap()
}

fn median(name: &str, mut work: impl FnMut() -> f64) {
    let mut milliseconds: Vec<f64> = (0..TIMES).map(|_| work()).collect();
    milliseconds.sort_by(f64::total_cmp);
    println!("{name:40} {:9.0} ms (most {:.0})", milliseconds[TIMES / 2], milliseconds[TIMES - 1]);
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

/// A minute of hiss, 48 kHz, one channel of singles, as the page itself records it.
fn minute() -> Vec<u8> {
    let data = 60 * 48_000 * 4_u32;
    let mut wav = Vec::new();
    wav.extend(b"RIFF");
    wav.extend((data + 36).to_le_bytes());
    wav.extend(b"WAVEfmt ");
    wav.extend(16_u32.to_le_bytes());
    wav.extend(3_u16.to_le_bytes());
    wav.extend(1_u16.to_le_bytes());
    wav.extend(48_000_u32.to_le_bytes());
    wav.extend(192_000_u32.to_le_bytes());
    wav.extend(4_u16.to_le_bytes());
    wav.extend(32_u16.to_le_bytes());
    wav.extend(b"data");
    wav.extend(data.to_le_bytes());
    let mut state = 1_u32;
    for _ in 0..data / 4 {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        let sample = (f64::from(state) / f64::from(u32::MAX) * 0.1 - 0.05) as f32;
        wav.extend(sample.to_le_bytes());
    }
    wav
}
