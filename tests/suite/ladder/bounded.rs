//! The search of rooms too large for the lattice: what it claims about its distance from the best must hold.

use proptest::prelude::{prop_assert, proptest};
use stillroom::ladder::{Effort, parse, plan, plan_within};

use super::oracle::{Raw, RawLevel, Thing};
use super::paths::{order, raw};

/// No lattice at all, and a narrow beam.
const BOUNDED: Effort = Effort { lattice_states: 0, bounded_rungs: 500 };
/// Units of 1e-9, one or two a rung.
const ROUNDING: f64 = 1e-7;

proptest! {
    #![proptest_config(proptest::test_runner::Config { cases: 1500, failure_persistence: None, ..Default::default() })]

    #[test]
    fn the_best_plan_is_never_better_than_the_gap_allows(raw in raw(1..=6, 3)) {
        let input = parse(&raw.toml(), "room.toml").unwrap();
        let (Ok(best), Ok(bounded)) = (plan(&input), plan_within(&input, BOUNDED)) else { return Ok(()) };
        prop_assert!(best.rungs.is_empty() || raw.judge(&order(&bounded)).is_some(), "breaks a rule");
        let left = 1.0 - bounded.gap;
        prop_assert!(bounded.gap > 0.0 || bounded.optimal);
        // A share of a largest step that falls says nothing.
        prop_assert!(bounded.largest_step < 0.0 || best.largest_step >= bounded.largest_step * left - ROUNDING);
        prop_assert!(best.sum_of_loads >= bounded.sum_of_loads * left - ROUNDING);
        if bounded.optimal {
            prop_assert!((best.largest_step - bounded.largest_step).abs() < ROUNDING);
            prop_assert!((best.sum_of_loads - bounded.sum_of_loads).abs() < ROUNDING);
        }
    }
}

#[test]
fn rooms_without_sounds_are_proven_best_at_any_size() {
    use proptest::strategy::{Strategy, ValueTree};
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    let mut planned = 0;
    for _ in 0..300 {
        let mut raw = raw(5..=9, 3).new_tree(&mut runner).unwrap().current();
        let sounds: Vec<usize> = (0..raw.things.len()).filter(|&index| raw.things[index].channel == 1).collect();
        for index in sounds {
            // A sound becomes company of the same levels, some of them falling.
            raw.things[index].channel = 2;
            for level in &mut raw.things[index].levels {
                level.value /= 100.0;
            }
        }
        let input = parse(&raw.toml(), "room.toml").unwrap();
        let Ok(best) = plan(&input) else { continue };
        let bounded = plan_within(&input, BOUNDED).unwrap();
        planned += 1;
        assert!(bounded.optimal && bounded.gap == 0.0);
        assert!((bounded.sum_of_loads - best.sum_of_loads).abs() < ROUNDING, "{raw:?}");
    }
    assert!(planned > 150, "{planned}");
}

#[test]
fn the_narrow_beam_finds_and_proves_the_best_of_most_rooms() {
    use proptest::strategy::{Strategy, ValueTree};
    // Of 200 rooms full of sounds those that have a plan, and how many of these are planned best and proven so.
    let tried = |bounded_rungs: usize| {
        let mut runner = proptest::test_runner::TestRunner::deterministic();
        let (mut planned, mut best_found, mut proven) = (0, 0, 0);
        for _ in 0..200 {
            let mut raw = raw(5..=8, 3).new_tree(&mut runner).unwrap().current();
            for thing in raw.things.iter_mut().filter(|thing| thing.channel != 1) {
                thing.channel = 1;
                thing.levels.iter_mut().for_each(|level| level.value = 25.0 + 35.0 * level.value);
            }
            raw.cap = 65.0;
            let input = parse(&raw.toml(), "room.toml").unwrap();
            let Ok(best) = plan(&input) else { continue };
            let bounded = plan_within(&input, Effort { lattice_states: 0, bounded_rungs }).unwrap();
            planned += 1;
            best_found += usize::from(
                (bounded.largest_step, bounded.sum_of_loads)
                    <= (best.largest_step + ROUNDING, best.sum_of_loads + ROUNDING),
            );
            proven += usize::from(bounded.optimal);
        }
        (planned, best_found, proven)
    };
    // As when this was written (153 and 21 of 162, and all): a beam that forgets or confuses states finds fewer.
    let (planned, best_found, proven) = tried(500);
    assert!(planned > 150 && best_found >= 152 && proven >= 20, "{best_found} and {proven} of {planned}");
    let (planned, best_found, _) = tried(50_000);
    assert_eq!(best_found, planned);
}

/// A hundred things seen, fifty sounds and fifty people, from a fixed sequence.
fn two_hundred() -> Raw {
    let mut raw = Raw { cap: 65.0, ..Raw::plain() };
    let mut at = 12345u32;
    let mut draw = |below: u32| {
        at = at.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (at >> 8) % below
    };
    for number in 0..200 {
        let channel = [0, 0, 1, 2][number % 4];
        let levels = 3 + (number / 4) % 2;
        let mut values: Vec<f64> = (0..levels)
            .map(
                |_| if channel == 1 { 20.0 + f64::from(draw(250)) / 10.0 } else { f64::from(1 + draw(400)) / 10_000.0 },
            )
            .collect();
        values.sort_by(f64::total_cmp);
        let speech = draw(3) == 0;
        let levels: Vec<RawLevel> =
            values.into_iter().map(|value| RawLevel { value, speech: speech && channel == 1 }).collect();
        let needs = (number % 10 == 8).then(|| (number - 4, 1));
        raw.things.push(Thing { channel, start: 0, goal: levels.len(), needs, levels });
    }
    raw
}

#[test]
fn two_hundred_distractors_are_planned_with_a_gap() {
    let raw = two_hundred();
    let ladder = plan(&parse(&raw.toml(), "room.toml").unwrap()).unwrap();
    assert_eq!(ladder.rungs.len(), raw.things.iter().map(|thing| thing.levels.len()).sum::<usize>());
    let (largest, sum) = raw.judge(&order(&ladder)).unwrap();
    assert!((largest - ladder.largest_step).abs() < 1e-12 && (sum - ladder.sum_of_loads).abs() < 1e-6);
    assert!(ladder.optimal == (ladder.gap == 0.0) && ladder.gap < 0.05);
}
