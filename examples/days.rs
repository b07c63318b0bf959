//! Is a quiet time found when there is one, and none claimed when there is none? Invented days, thousands of them.
//!
//! `cargo run --release --example days -- 2000` (families a scenario): tables in Markdown, as printed in docs/VALIDATION.md.
//! The same seed gives the same tables.
//!
//! A day is made minute by minute from 15:00 to 20:00: a background that wanders (correlation 0.95 from minute to minute, 4 dB),
//! minutes of their own (2 dB), a day louder or quieter than the others (3 dB), and noises that begin by chance (one in eight
//! minutes, 1 to 4 minutes long, 55 ± 6 dB, at times half an hour of television at 52 ± 4 dB with speech). A quiet time lies at the
//! same half-hour every day, give or take some minutes: the background lower by so many decibels, noises a tenth as frequent.
//! The harder flat days: noises that are frequent in one hour and rare in another but no level to tell them by would be no flat
//! days; so they are unsteady in one half of the day and steady in the other, or carry half of one day's pattern into the next.
#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "a tool of the developers that prints"
)]

#[path = "dice.rs"]
mod dice;

use stillroom::calm::day::{BLOCK_MINUTES, BLOCKS, Block, Day};
use stillroom::calm::recur::{Row, find};
use stillroom::quantity::Decibels;

use dice::Dice;

const FROM: usize = 15 * 60;
const MINUTES: usize = 5 * 60;
const QUIET_MINUTES: usize = 30;

#[derive(Clone, Copy, Default)]
struct Scenario {
    days: usize,
    /// Decibels the quiet time is lower; 0 for a flat day.
    depth: f64,
    /// Standard deviation of its beginning, minutes.
    jitter: f64,
    /// The second half of the day wanders three times as much.
    uneven: bool,
    /// How much of a day's wandering comes from the day before.
    carried: f64,
    /// Every second day is heard from 16:00, and each has a gap of 40 minutes.
    pieces: bool,
}

/// The wandering of a day, minute by minute, with standard deviation 1.
fn wandering(dice: &mut Dice) -> Vec<f64> {
    let mut now = dice.normal();
    (0..MINUTES)
        .map(|_| {
            now = 0.95 * now + (1.0f64 - 0.95 * 0.95).sqrt() * dice.normal();
            now
        })
        .collect()
}

fn day(scenario: Scenario, number: usize, quiet: usize, before: &mut Vec<f64>, dice: &mut Dice) -> Day {
    let fresh = wandering(dice);
    let (old, new) = (scenario.carried, (1.0 - scenario.carried * scenario.carried).sqrt());
    let wander: Vec<f64> = if before.is_empty() {
        fresh
    } else {
        fresh.iter().zip(before.iter()).map(|(fresh, before)| new * fresh + old * before).collect()
    };
    before.clone_from(&wander);
    let whole_day = 3.0 * dice.normal();
    let start = quiet as f64 + scenario.jitter * dice.normal();
    let is_quiet = |minute: usize| {
        let into = minute as f64 - start;
        scenario.depth > 0.0 && into >= 0.0 && into < QUIET_MINUTES as f64
    };
    let mut noise: Vec<Option<(f64, f64)>> = vec![None; MINUTES];
    for minute in 0..MINUTES {
        let rate = if is_quiet(minute) { 0.0125 } else { 0.125 };
        if dice.share() < rate {
            let television = dice.share() < 0.1;
            let (long, level, speech) = if television {
                (30, 52.0 + 4.0 * dice.normal(), 0.7)
            } else {
                (1 + dice.below(4), 55.0 + 6.0 * dice.normal(), 0.3)
            };
            // Who keeps quiet turns the television off.
            for at in (minute..(minute + long).min(MINUTES)).filter(|at| !television || !is_quiet(*at)) {
                noise[at] = Some((level, speech));
            }
        }
    }
    let gap = if scenario.pieces { dice.below(MINUTES - 40) } else { MINUTES };
    let mut day = Day::default();
    for block in 0..MINUTES / BLOCK_MINUTES {
        let minutes = block * BLOCK_MINUTES..(block + 1) * BLOCK_MINUTES;
        let late = scenario.pieces && number % 2 == 1 && block < 12;
        if late || (minutes.start >= gap && minutes.start < gap + 40) {
            continue;
        }
        let (mut power, mut speech, mut least) = (0.0, 0.0, f64::INFINITY);
        for minute in minutes {
            let wide = if scenario.uneven && minute >= MINUTES / 2 {
                7.5
            } else if scenario.uneven {
                2.5
            } else {
                4.0
            };
            let lower = if is_quiet(minute) { scenario.depth } else { 0.0 };
            let background = 40.0 + whole_day + wide * wander[minute] + 2.0 * dice.normal() - lower;
            least = least.min(background);
            let sounds = [Some(background), noise[minute].map(|(level, _)| level)];
            power += sounds.into_iter().flatten().map(|db| 10f64.powf(db / 10.0)).sum::<f64>();
            speech += noise[minute].map_or(0.0, |(_, speech)| speech);
        }
        let laeq = 10.0 * (power / BLOCK_MINUTES as f64).log10();
        let block_of = Block {
            seconds: 300.0,
            laeq: Decibels::new(laeq),
            la90: Decibels::new(least),
            lafmax: Decibels::new(laeq + 10.0),
            events: 0,
            speech_share: speech / BLOCK_MINUTES as f64,
        };
        day.put(FROM / BLOCK_MINUTES + block, block_of);
    }
    day
}

struct Outcome {
    claimed: bool,
    found: bool,
    covered: bool,
    difference: f64,
}

fn family(scenario: Scenario, dice: &mut Dice) -> Option<Outcome> {
    let quiet = BLOCK_MINUTES * dice.below((MINUTES - QUIET_MINUTES) / BLOCK_MINUTES);
    let mut before = Vec::new();
    let rows: Vec<Row> = (0..scenario.days)
        .map(|number| Row { levels: day(scenario, number, quiet, &mut before, dice).windows(10.0) })
        .collect();
    let found = find(&rows, &[true; BLOCKS]).ok()?;
    // A quiet time that was heard on too few days cannot be found.
    let middle = (FROM + quiet) / BLOCK_MINUTES + 1;
    if scenario.depth > 0.0 && !found.windows.iter().any(|window| window.at == middle) {
        return None;
    }
    let calmest = *found.calmest();
    let start = calmest.at * BLOCK_MINUTES - FROM;
    // At least three quarters of the proposed twenty minutes lie in the quiet half-hour.
    let inside = start + 5 >= quiet && start + 15 <= quiet + QUIET_MINUTES;
    let claimed = found.is_clear();
    Some(Outcome {
        claimed,
        found: claimed && inside,
        // In a flat day every true difference is 0.
        covered: scenario.depth > 0.0
            || found.windows.iter().all(|window| window.low_db <= 0.0 && window.high_db >= 0.0),
        difference: calmest.difference_db,
    })
}

fn main() {
    let families: u64 = std::env::args().nth(1).map_or(200, |word| word.parse().unwrap());
    let run = |scenario: Scenario, seed: u64| {
        let mut dice = Dice(seed);
        let outcomes: Vec<Outcome> = (0..families).filter_map(|_| family(scenario, &mut dice)).collect();
        let share = |of: &dyn Fn(&Outcome) -> bool| {
            100.0 * outcomes.iter().filter(|one| of(one)).count() as f64 / outcomes.len() as f64
        };
        let mean = outcomes.iter().map(|one| one.difference).sum::<f64>() / outcomes.len() as f64;
        (outcomes.len(), share(&|one| one.claimed), share(&|one| one.found), share(&|one| one.covered), mean)
    };
    println!("Flat days: a quiet time is claimed in so many percent; in so many every interval holds the truth.\n");
    println!("| days | steady | unsteady half | half carried on | in pieces |\n|---|---|---|---|---|");
    for days in [3, 4, 5, 7, 10, 14] {
        let of = |scenario: Scenario, seed| {
            let (_, claimed, _, covered, _) = run(scenario, seed + days as u64);
            format!("{claimed:.1} ({covered:.1})")
        };
        let plain = Scenario { days, ..Scenario::default() };
        println!(
            "| {days} | {} | {} | {} | {} |",
            of(plain, 100),
            of(Scenario { uneven: true, ..plain }, 200),
            of(Scenario { carried: 0.5, ..plain }, 300),
            of(Scenario { pieces: true, ..plain }, 400)
        );
    }
    println!("\nA quiet half-hour: found in so many percent (claimed; mean difference).\n");
    println!("| days | 6 dB | 10 dB | 10 dB, ± 5 min | 15 dB | 15 dB, in pieces |\n|---|---|---|---|---|---|");
    for days in [3, 4, 5, 7, 10, 14] {
        let of = |depth, jitter, pieces, seed| {
            let scenario = Scenario { days, depth, jitter, pieces, ..Scenario::default() };
            let (_, claimed, found, _, mean) = run(scenario, seed + days as u64);
            format!("{found:.1} ({claimed:.1}; {mean:.1} dB)")
        };
        println!(
            "| {days} | {} | {} | {} | {} | {} |",
            of(6.0, 0.0, false, 500),
            of(10.0, 0.0, false, 600),
            of(10.0, 5.0, false, 700),
            of(15.0, 0.0, false, 800),
            of(15.0, 0.0, true, 900)
        );
    }
}
