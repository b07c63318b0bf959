//! How often a rule moves a child up or back: the exact figures against the decision table itself, sequence by sequence,
//! and against a simulation that knows neither.

use std::fmt::Write;

use rand_chacha::ChaCha20Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use stillroom::practice::{Criterion, Decision, Options, chances, review};

use super::log;

/// Sums of at most a thousand products of doubles.
const SUMS: f64 = 1e-12;
/// Five standard errors of a share of 60,000.
const FIVE_ERRORS: f64 = 5.0 * 0.5 / 244.9;
const CHILDREN: u32 = 60_000;

/// The chance of each number of right answers of ten.
fn binomial(share: f64) -> Vec<f64> {
    let mut coefficient = 1.0;
    (0..=10)
        .map(|x| {
            let chance = coefficient * share.powi(x) * (1.0 - share).powi(10 - x);
            coefficient *= f64::from(10 - x) / f64::from(x + 1);
            chance
        })
        .collect()
}

/// Every sequence of sessions that are passed, between or low, decided by the table after each session.
fn walk(rows: &str, day: u32, chance: f64, kinds: &[(u32, f64)], criterion: Criterion, found: &mut [f64; 2]) {
    for (right, share) in kinds {
        let mut rows = rows.to_owned();
        writeln!(rows, "2026-03-{day:02},1,10,{right},{},0,no,yes,yes,9,", 10 - right).unwrap();
        let decision = review(&log(&rows), &Options { criterion, ..Options::bare() }).decision;
        match decision {
            Decision::Advance => found[0] += chance * share,
            Decision::StepBack => found[1] += chance * share,
            _ if day < SESSIONS => walk(&rows, day + 1, chance * share, kinds, criterion, found),
            _ => {}
        }
    }
}

/// Sessions of a walk: long enough for a stalled rung (six that count) to be among them.
const SESSIONS: u32 = 6;

#[test]
fn the_exact_chances_are_those_of_the_decision_table_over_every_sequence() {
    for (criterion, pass) in [(Criterion::NINE_TENTHS_TWICE, 9_usize), (Criterion::EIGHT_TENTHS_THRICE, 8)] {
        for share in [0.7, 0.9] {
            let all = binomial(share);
            let sum = |part: &[f64]| part.iter().sum::<f64>();
            let kinds = [(10, sum(&all[pass..])), (7, sum(&all[6..pass])), (5, sum(&all[..6]))];
            let mut found = [0.0; 2];
            walk("", 1, 1.0, &kinds, criterion, &mut found);
            let exact = chances(criterion, 10, share, SESSIONS).unwrap();
            assert!((exact.up - found[0]).abs() < SUMS, "{criterion:?} {share}: {exact:?}, {found:?}");
            assert!((exact.back - found[1]).abs() < SUMS, "{criterion:?} {share}: {exact:?}, {found:?}");
        }
    }
}

#[test]
fn the_exact_chances_within_twelve_sessions_agree_with_a_simulation() {
    let mut rng = ChaCha20Rng::seed_from_u64(20_261_125);
    for criterion in [Criterion::NINE_TENTHS_TWICE, Criterion::EIGHT_TENTHS_THRICE] {
        for share in [0.7, 0.8, 0.9] {
            let (mut up, mut back) = (0_u32, 0_u32);
            for _ in 0..CHILDREN {
                let (mut passes, mut was_low) = (0, false);
                for _ in 0..12 {
                    let right = (0..10).filter(|_| f64::from(rng.next_u32()) / 4_294_967_296.0 < share).count();
                    let low = right <= 5;
                    passes = if right as u64 >= criterion.tenths { passes + 1 } else { 0 };
                    if low && was_low {
                        back += 1;
                        break;
                    }
                    if passes == criterion.sessions {
                        up += 1;
                        break;
                    }
                    was_low = low;
                }
            }
            let exact = chances(criterion, 10, share, 12).unwrap();
            let part = |count: u32| f64::from(count) / f64::from(CHILDREN);
            assert!((exact.up - part(up)).abs() < FIVE_ERRORS, "{criterion:?} {share}: {exact:?}, {}", part(up));
            assert!((exact.back - part(back)).abs() < FIVE_ERRORS, "{criterion:?} {share}: {exact:?}, {}", part(back));
        }
    }
}
