//! A whole report: from the case folder to the page, with 12 charts, in each language.
//! `cargo bench --bench report`
#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    clippy::disallowed_methods,
    reason = "a bench prints what it timed"
)]

use std::time::Instant;

use stillroom::devices;
use stillroom::language::Language;
use stillroom::tasks::demo;
use stillroom::tasks::reports::{Reader, case_report};

const TIMES: usize = 31;

/// The page without the photos that stand in it.
fn without_photos(page: &str) -> usize {
    let photos: usize = page.split("data:image/jpeg;base64,").skip(1).map(|rest| rest.find('"').unwrap_or(0)).sum();
    page.len() - photos
}

fn main() {
    let folder = tempfile::tempdir().unwrap();
    let into = folder.path().join("demo");
    demo::run(&into, None, &mut |_| ()).unwrap();
    let case = into.join("case");
    for language in Language::SPOKEN {
        let mut times = Vec::new();
        let mut page = String::new();
        for _ in 0..TIMES {
            let begun = Instant::now();
            page = case_report(&case, None, Reader::Clinician, language, devices::now()).unwrap();
            times.push(begun.elapsed().as_secs_f64() * 1e3);
        }
        times.sort_by(f64::total_cmp);
        // Every chart is in the page twice: for wide pages and for telephones.
        let charts = page.matches("<svg").count() / 2;
        println!(
            "{language}: {charts} charts, median {:.1} ms (first {:.1} to {:.1}; wanted: under 150), {} bytes without photos (wanted: under 1,000,000)",
            times[TIMES / 2],
            times[0],
            times[TIMES - 1],
            without_photos(&page)
        );
    }
}
