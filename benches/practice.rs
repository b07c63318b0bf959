//! How long a review and its parts take on logs far longer than a child's.
#![expect(clippy::disallowed_methods, clippy::print_stdout, reason = "a bench reads the clock and prints")]

use std::hint::black_box;
use std::time::Instant;

use stillroom::evidence::{Belief, Part, Rungs, Sitting};
use stillroom::practice::{Criterion, Log, Options, chances, parse, review, tolerance};

/// Repetitions; the middle one is told.
const ROUNDS: usize = 11;

fn main() {
    let (text, log) = made(2000, 4);
    let (_, one_rung) = made(2000, 2000);
    let case = Options { pool_by_day: true, ..Options::bare() };
    time("read a log of 2,000 sessions", || parse(&text, "log.csv"));
    time("review of 2,000 sessions, a bare log", || review(&log, &Options::bare()));
    time("review of 2,000 sessions, pooled by day", || review(&log, &case));
    time("review of 2,000 sessions on one rung", || review(&one_rung, &Options::bare()));
    time("tolerance after 2,000 sessions", || tolerance(&log));
    let climbed = sittings();
    time("what 2,000 sessions say of 12 distractors", || {
        Belief::new(&climbed.0, &climbed.1).map(|belief| belief.learned())
    });
    time("chances within 12 sessions", || chances(Criterion::NINE_TENTHS_TWICE, 10, 0.8, 12));
}

fn time<T>(what: &str, run: impl Fn() -> T) {
    let mut times: Vec<f64> = (0..ROUNDS)
        .map(|_| {
            let start = Instant::now();
            black_box(run());
            start.elapsed().as_secs_f64() * 1000.0
        })
        .collect();
    times.sort_by(f64::total_cmp);
    println!("{what}: {:.3} ms (best {:.3})", times[ROUNDS / 2], times[0]);
}

/// Two sittings a day, a rung of 20 every so many days, answers that differ from day to day.
fn made(sessions: usize, days_a_rung: usize) -> (String, Log) {
    let mut text =
        "date,rung,opportunities,independent,prompted,errors,distress,assent,distractor_on,minutes,note\n".to_owned();
    let start = jiff::civil::date(2020, 1, 1);
    for at in 0..sessions {
        let day = at / 2;
        let date = start.checked_add(jiff::Span::new().days(i64::try_from(day).unwrap_or(0))).unwrap_or(start);
        let (rung, right) = (1 + day / days_a_rung % 20, 5 + (at * 7) % 6);
        text.push_str(&format!("{date},{rung},10,{right},{},0,no,yes,yes,9,\n", 10 - right));
    }
    let log = parse(&text, "log.csv").unwrap_or_default();
    (text, log)
}

/// 2,000 sessions up 36 rungs of twelve distractors, three levels each.
fn sittings() -> (Rungs, Vec<Sitting>) {
    let mut levels = [0_u32; 12];
    let mut parts = vec![Vec::new()];
    for rung in 0..36 {
        levels[rung / 12 * 4 + rung % 4] += 1;
        let there = (0..12).filter(|thing| levels[*thing] > 0);
        parts.push(there.map(|thing| Part { distractor: thing, pull: 0.03 * f64::from(levels[thing]) }).collect());
    }
    let one = |at: u32| Sitting {
        day: i64::from(at / 2),
        rung: (at / 55) as usize,
        opportunities: 10,
        independent: 5 + (at * 7) % 6,
    };
    (Rungs { channels: (0..12).map(|thing| thing / 4).collect(), parts }, (0..2000).map(one).collect())
}
