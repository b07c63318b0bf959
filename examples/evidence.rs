//! Are the intervals and forecasts of the room `evidence` honest? Invented children whose things draw otherwise than the scale says.
//!
//! `cargo run --release --example evidence -- 500` (children a scenario): two tables in Markdown, as printed in docs/VALIDATION.md.
//! The same seed gives the same tables.
//!
//! A child: eight things on three channels, three levels each, with tops of 0.05–0.25 in pull; what it draws is the scale's
//! times e^w, w as the scenario says; half-way pulls around 0.5 (standard deviation 0.6 of the logarithm), wandering by 0.04·√days;
//! s one of 0.1, 0.2, 0.4; answers of a session with a correlation of 0.05. It climbs rung by rung, four sessions each, and
//! goes two back where less than half of its answers would be right. So what is simulated has the form of the model, other
//! numbers than its priors, and no single value of σ that it assumes.
#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "a tool of the developers that prints"
)]

#[path = "dice.rs"]
mod dice;

use stillroom::evidence::{Belief, Part, Record, Rungs, Sitting, score};

use dice::Dice;

/// Sessions of one child at most.
const MOST: usize = 120;
/// Children whose forecasts are scored: each costs as many beliefs as rungs.
const FORETOLD: u64 = 40;

/// Answers alone of ten, with a correlation of 0.05 within the session.
fn answers(chance: f64, dice: &mut Dice) -> u32 {
    let precision = 0.95 / 0.05;
    let (a, b) = (dice.gamma((chance * precision).max(1e-6)), dice.gamma(((1.0 - chance) * precision).max(1e-6)));
    let own = if a + b > 0.0 { a / (a + b) } else { 0.0 };
    u32::try_from((0..10).filter(|_| dice.share() < own).count()).unwrap()
}

#[derive(Clone, Copy)]
enum Scenario {
    Apart(f64),
    Reordered,
}

/// The logarithms of how much more each thing draws than the scale says.
fn truth(scenario: Scenario, tops: &[f64], dice: &mut Dice) -> Vec<f64> {
    match scenario {
        Scenario::Apart(sd) => tops.iter().map(|_| sd * dice.normal()).collect(),
        // The strongest of a channel draws as the weakest, and so on.
        Scenario::Reordered => (0..tops.len())
            .map(|at| {
                let own = CHANNELS.iter().enumerate().filter(|(_, channel)| **channel == CHANNELS[at]);
                let mut order: Vec<usize> = own.map(|(at, _)| at).collect();
                order.sort_by(|a, b| tops[*a].total_cmp(&tops[*b]));
                let rank = order.iter().position(|one| *one == at).unwrap();
                (tops[order[order.len() - 1 - rank]] / tops[at]).ln()
            })
            .collect(),
    }
}

const CHANNELS: [usize; 8] = [0, 0, 0, 1, 1, 1, 2, 2];

#[derive(Default)]
struct Found {
    inside: usize,
    all: usize,
    differing: usize,
    wrong_side: usize,
    square: f64,
    plain_square: f64,
    record: Record,
}

fn child(seed: u64, scenario: Scenario, found: &mut Found) {
    let mut dice = Dice(seed.wrapping_mul(7919) + 3);
    let tops: Vec<f64> = CHANNELS.iter().map(|_| 0.05 + 0.2 * dice.share()).collect();
    let truth = truth(scenario, &tops, &mut dice);
    let mut levels = [0_u32; 8];
    let mut parts = vec![Vec::new()];
    for channel in 0..3 {
        for _ in 0..3 {
            for thing in (0..8).filter(|thing| CHANNELS[*thing] == channel) {
                levels[thing] += 1;
                let there = (0..8).filter(|one| levels[*one] > 0);
                let part = there.map(|one| Part { distractor: one, pull: tops[one] * f64::from(levels[one]) / 3.0 });
                parts.push(part.collect::<Vec<_>>());
            }
        }
    }
    let rungs = Rungs { channels: CHANNELS.to_vec(), parts };
    let third = dice.share();
    let spread = if third < 1.0 / 3.0 {
        0.1
    } else if third < 2.0 / 3.0 {
        0.2
    } else {
        0.4
    };
    let mut half: Vec<f64> = (0..3).map(|_| 0.5_f64.ln() + 0.6 * dice.normal()).collect();
    let mut sittings: Vec<Sitting> = Vec::new();
    let (mut day, mut rung) = (0_i64, 1);
    while rung < rungs.parts.len() && sittings.len() < MOST {
        let mut chance = 0.0;
        for number in 0..4 {
            let one = |part: &Part| part.pull * (truth[part.distractor] - half[CHANNELS[part.distractor]]).exp();
            let strain: f64 = rungs.parts[rung].iter().map(one).sum();
            chance = 0.97 / (1.0 + (-(1.0 - strain) / spread).exp());
            let independent = answers(chance, &mut dice);
            if number == 0 && seed < FORETOLD && !sittings.is_empty() {
                let share = Belief::new(&rungs, &sittings).unwrap().share(rung, day);
                let last = sittings[sittings.len() - 1];
                let scored = score(&share, (last.opportunities, last.independent), (10, independent));
                let one = Record::of([&scored]);
                found.record.forecasts += 1;
                found.record.score += one.score;
                found.record.guess += one.guess;
                found.record.hits += one.hits;
                found.record.guess_hits += one.guess_hits;
            }
            sittings.push(Sitting { day, rung, opportunities: 10, independent });
            let third = dice.share();
            day += 1 + i64::from(third >= 1.0 / 3.0) + i64::from(third >= 2.0 / 3.0);
            half.iter_mut().for_each(|half| *half += 0.06 * dice.normal());
        }
        rung = if chance < 0.5 && rung > 2 { rung - 2 } else { rung + 1 };
    }
    for one in Belief::new(&rungs, &sittings).unwrap().learned() {
        let own = truth[one.distractor];
        found.all += 1;
        found.inside += usize::from(one.low.ln() <= own && own <= one.high.ln());
        found.differing += usize::from(one.differs());
        found.wrong_side += usize::from(one.differs() && (one.factor > 1.0) != (own > 0.0));
        found.square += (one.factor.ln() - own).powi(2);
        found.plain_square += own * own;
    }
}

fn main() {
    let children = std::env::args().nth(1).and_then(|number| number.parse().ok()).unwrap_or(500);
    println!(
        "{children} children a scenario; forecasts of the first {FORETOLD} of each. Coverage with half of its 95 % interval.\n"
    );
    println!(
        "| pulls against the scale | things learned | truth inside the 90 % interval, % | said to differ, % | of these on the wrong side | error of w, learned | scale as it is |"
    );
    println!("|---|---|---|---|---|---|---|");
    let scenarios = [
        ("as the scale says", Scenario::Apart(0.0)),
        ("mild (σ 0.3)", Scenario::Apart(0.3)),
        ("strong (σ 0.8)", Scenario::Apart(0.8)),
        ("reordered", Scenario::Reordered),
    ];
    let (mut inside, mut all) = (0, 0);
    let mut records = Vec::new();
    for (name, scenario) in scenarios {
        let mut found = Found::default();
        for seed in 0..children {
            child(seed, scenario, &mut found);
        }
        let n = found.all as f64;
        let share = |count: usize| 100.0 * count as f64 / n;
        let covered = share(found.inside);
        println!(
            "| {name} | {} | {covered:.1} ± {:.1} | {:.1} | {} | {:.2} | {:.2} |",
            found.all,
            1.96 * (covered * (100.0 - covered) / n).sqrt(),
            share(found.differing),
            found.wrong_side,
            (found.square / n).sqrt(),
            (found.plain_square / n).sqrt()
        );
        inside += found.inside;
        all += found.all;
        records.push((name, found.record));
    }
    println!("| all four | {all} | {:.1} | | | | |\n", 100.0 * inside as f64 / all as f64);
    println!(
        "| pulls against the scale | forecasts | log score each | of \"same as last time\" | within one in ten, % | of the guess, % |"
    );
    println!("|---|---|---|---|---|---|");
    for (name, record) in records {
        let n = record.forecasts as f64;
        println!(
            "| {name} | {} | {:.2} | {:.2} | {:.0} | {:.0} |",
            record.forecasts,
            record.score / n,
            record.guess / n,
            100.0 * record.hits as f64 / n,
            100.0 * record.guess_hits as f64 / n
        );
    }
}
