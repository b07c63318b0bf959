//! From the bytes of a 12-megapixel photo of a filled sheet to its marks. Prints medians in milliseconds.
//!
//! `cargo bench --bench paper`
#![allow(clippy::unwrap_used, clippy::print_stdout, clippy::disallowed_methods, reason = "a bench times and prints")]
#![allow(dead_code, reason = "the renderer is shared with the tests")]

#[path = "../tests/suite/paper/pens.rs"]
mod pens;
#[path = "../tests/suite/paper/rays.rs"]
mod rays;
#[path = "../tests/suite/paper/render.rs"]
mod render;

use std::time::Instant;

use render::Shot;
use stillroom::paper::{Kind, seen};

const TIMES: usize = 9;

fn main() {
    let shot = Shot { tilt: 20.0, towards: 40.0, curl: 5.0, long: 4000, ..Shot::plain(Kind::Sittings) };
    let photo = shot.rendered(1);
    println!("a JPEG of {} bytes", photo.jpeg.len());
    let mut milliseconds: Vec<f64> = (0..TIMES)
        .map(|_| {
            let start = Instant::now();
            let reading = seen(&photo.jpeg).unwrap().read(&photo.sheet).unwrap();
            assert_eq!(reading.marks.len(), photo.filled.len());
            start.elapsed().as_secs_f64() * 1000.0
        })
        .collect();
    milliseconds.sort_by(f64::total_cmp);
    println!("12-megapixel photo to marks {:29.1} ms", milliseconds[TIMES / 2]);
}
