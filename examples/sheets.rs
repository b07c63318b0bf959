//! The proof of the paper room: filled sheets rendered from seeds, read, and counted.
//!
//! `cargo run --example sheets -- 2000` renders and reads that many; `-- 40 100 DIR` begins at seed 100 and writes the photos that
//! went wrong into DIR; `-- 0 0 DIR 300` reads 300 pictures of other things.
#![allow(clippy::unwrap_used, clippy::print_stdout, reason = "an example may fail loudly and prints what it found")]
#![allow(dead_code, reason = "the renderer is shared with the tests")]

#[path = "../tests/suite/paper/others.rs"]
mod others;
#[path = "../tests/suite/paper/pens.rs"]
mod pens;
#[path = "../tests/suite/paper/rays.rs"]
mod rays;
#[path = "../tests/suite/paper/render.rs"]
mod render;

use std::sync::Mutex;
use std::sync::atomic::{AtomicU64, Ordering};

use others::other;
use render::Shot;
use stillroom::paper::{Filled, seen};

/// Sheets between two lines that say how far it is.
const TOLD: usize = 50;

#[derive(Default)]
struct Count {
    sheets: usize,
    marks: usize,
    wrong: usize,
    asked: usize,
    unread: Vec<(u64, String)>,
    /// Ink of filled and of empty circles, where no question was asked.
    inks: [Vec<f64>; 2],
    /// Asked about, by ink in steps of 0.02.
    bins: [[usize; 13]; 2],
}

fn main() {
    let numbers: Vec<String> = std::env::args().skip(1).collect();
    let most: u64 = numbers.first().map_or(40, |n| n.parse().unwrap());
    let first: u64 = numbers.get(1).map_or(0, |n| n.parse().unwrap());
    let folder = numbers.get(2).cloned();
    let next = AtomicU64::new(first);
    let count = Mutex::new(Count::default());
    std::thread::scope(|scope| {
        for _ in 0..2 {
            scope.spawn(|| {
                loop {
                    let seed = next.fetch_add(1, Ordering::Relaxed);
                    if seed >= first + most {
                        break;
                    }
                    one(seed, &count, folder.as_deref());
                    let mut count = count.lock().unwrap();
                    count.sheets += 1;
                    if count.sheets % TOLD == 0 {
                        println!("{} sheets, not read {}: {}", count.sheets, count.unread.len(), count.told());
                    }
                }
            });
        }
    });
    let others = numbers.get(3).map_or(0, |n| n.parse().unwrap());
    let read = (0..others).filter(|seed| seen(&other(*seed)).is_ok()).count();
    println!("other pictures {others}, read {read}");
    let mut count = count.into_inner().unwrap();
    for inks in &mut count.inks {
        inks.sort_by(f64::total_cmp);
    }
    let [filled, empty] = &count.inks;
    println!("palest filled {:.3?}", &filled[..filled.len().min(12)]);
    println!("asked about, filled and empty, by ink in steps of 0.02: {:?}", count.bins);
    println!("darkest empty {:.3?}", &empty[empty.len().saturating_sub(12)..]);
    println!("sheets {most}, not read {}", count.unread.len());
    for (seed, why) in &count.unread {
        println!("  {seed}: {why}");
    }
    println!("{}", count.told());
}

impl Count {
    fn told(&self) -> String {
        format!(
            "marks {}, wrong without a question {} (one in {:.0}), asked {} ({:.2} %)",
            self.marks,
            self.wrong,
            self.marks as f64 / self.wrong.max(1) as f64,
            self.asked,
            100.0 * self.asked as f64 / self.marks.max(1) as f64
        )
    }
}

fn one(seed: u64, count: &Mutex<Count>, folder: Option<&str>) {
    let shot = Shot::of_seed(seed);
    let rendered = shot.rendered(seed);
    let keep = |why: &str| {
        if let Some(folder) = folder {
            std::fs::write(format!("{folder}/{seed}-{why}.jpg"), &rendered.jpeg).unwrap();
        }
    };
    let read = seen(&rendered.jpeg).and_then(|seen| {
        if seen.label() != rendered.sheet.label {
            println!("{seed}: another label");
        }
        let reading = seen.read(&rendered.sheet)?;
        Ok((seen, reading))
    });
    let (seen, reading) = match read {
        Ok(read) => read,
        Err(fault) => {
            keep(fault.code());
            count.lock().unwrap().unread.push((seed, format!("{fault} {shot:?}")));
            return;
        }
    };
    let mut count = count.lock().unwrap();
    let before = count.wrong;
    for (mark, truth) in reading.marks.iter().zip(&rendered.filled) {
        count.marks += 1;
        if mark.filled == Filled::Doubtful {
            let bin = render::place(mark.ink * 50.0).min(12);
            count.bins[usize::from(!*truth)][bin] += 1;
        } else {
            count.inks[usize::from(!*truth)].push(mark.ink);
        }
        match mark.filled {
            Filled::Doubtful => count.asked += 1,
            found if (found == Filled::Yes) != *truth => {
                count.wrong += 1;
                println!("{seed}: {} is {truth}, ink {:.3} {:?}", mark.circle.name(), mark.ink, shot.pen);
            }
            _ => {}
        }
    }
    let doubts = reading.doubtful().count();
    if doubts * 25 > reading.marks.len() {
        println!(
            "{seed}: {doubts} asked about: exposure {:.2} noise {:.3} blur {:.2} shadows {} crease {:.1} {:?}",
            shot.exposure,
            shot.noise,
            shot.blur,
            shot.shadows.len(),
            shot.crease,
            shot.pen
        );
        keep("asked");
    }
    if count.wrong > before {
        keep("wrong");
        if let Some(folder) = folder {
            std::fs::write(format!("{folder}/{seed}-flat.png"), seen.whole().png().unwrap()).unwrap();
        }
    }
}
