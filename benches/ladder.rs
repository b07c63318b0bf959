//! How long a ladder takes: medians of several runs, in milliseconds.
#![allow(
    clippy::print_stdout,
    clippy::disallowed_methods,
    clippy::unwrap_used,
    reason = "a bench reads the clock and prints"
)]

use std::fmt::Write as _;
use std::hint::black_box;
use std::time::Instant;

use stillroom::ladder::{parse, plan};

/// Runs of each room.
const RUNS: usize = 9;

/// A room with so many distractors seen, heard and of company, each with three or four levels (`four`: all with four).
fn room(seen: usize, heard: usize, company: usize, four: bool, max_step: Option<f64>) -> String {
    let mut text = String::from(
        "format = \"stillroom.ladder-input/1\"\norder = [\"seen\", \"heard\", \"company\"]\nbackground_db = 36.0\nsound_cap_db = 65.0\nnovelty = 0.5\n",
    );
    if let Some(step) = max_step {
        let _ = writeln!(text, "max_step = {step}");
    }
    text += "[sensitivity]\nseen = 1.0\nheard = 1.0\ncompany = 1.0\n[heard]\ndb = [35.0, 40.0, 45.0, 50.0, 55.0, 60.0, 65.0, 70.0]\npull = [0.0, 0.05, 0.11, 0.19, 0.29, 0.42, 0.58, 0.80]\nspeech_db = 10.0\n";
    let channels = [("seen", seen), ("heard", heard), ("company", company)];
    let mut number = 0;
    for (channel, count) in channels {
        for one in 0..count {
            number += 1;
            let levels = if four { 4 } else { 3 + one % 2 };
            let _ = writeln!(
                text,
                "[[distractor]]\nid = \"d{number}\"\nchannel = \"{channel}\"\nstart = 0\ngoal = {levels}"
            );
            for level in 1..=levels {
                let grown = (level * (one % 7 + 3)) as f64;
                let drawn = if channel == "heard" {
                    // Two hundred at once keep the cap only when each is quiet.
                    let quietest = if heard > 60 { 4.0 } else { 24.0 };
                    format!("db = {:.2}", quietest + grown * 0.7 + one as f64 * 0.02)
                } else {
                    format!("pull = {:.4}\ncount = {}", grown * 0.01, level * 3)
                };
                let _ = writeln!(text, "[[distractor.level]]\nname = \"level {level}\"\n{drawn}");
            }
        }
    }
    text
}

fn main() {
    let rooms = [
        ("11 distractors (4 seen, 4 heard, 3 company)", room(4, 4, 3, false, None)),
        ("11 distractors, steps split above 0.05", room(4, 4, 3, false, Some(0.05))),
        ("9 sounds of 4 levels (2.0 million states)", room(0, 9, 0, true, None)),
        ("9 things seen of 4 levels (2.0 million states)", room(9, 0, 0, true, None)),
        ("200 distractors (100 seen, 50 heard, 50 company)", room(100, 50, 50, false, None)),
        ("200 sounds", room(0, 200, 0, false, None)),
    ];
    println!("{:<50} {:>10} {:>6} {:>8} {:>10}", "room", "median ms", "rungs", "optimal", "gap");
    for (name, text) in rooms {
        let mut times = Vec::with_capacity(RUNS);
        let mut shown = String::new();
        for _ in 0..RUNS {
            let begin = Instant::now();
            let ladder = plan(&parse(black_box(&text), "room.toml").unwrap());
            times.push(begin.elapsed().as_secs_f64() * 1000.0);
            shown = match black_box(ladder) {
                Ok(ladder) => format!("{:>6} {:>8} {:>10.6}", ladder.rungs.len(), ladder.optimal, ladder.gap),
                Err(refusal) => refusal.to_string(),
            };
        }
        times.sort_by(f64::total_cmp);
        println!("{name:<50} {:>10.2} {shown}", times[RUNS / 2]);
    }
}
