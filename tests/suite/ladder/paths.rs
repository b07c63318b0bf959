//! The search against every order of small rooms, and against a shortest-path search of middling ones.

use proptest::prelude::{Just, Strategy, any, prop, prop_assert, prop_assert_eq, prop_oneof, proptest};
use proptest::test_runner::TestCaseError;
use stillroom::ladder::{Ladder, Refusal, parse, plan};

use super::oracle::{Raw, RawLevel, Thing};

/// Steps are compared in units of 1e-9, and so may differ by one of them.
const STEP: f64 = 2e-9;
/// Half a unit of 1e-9 a rung, for at most 60 rungs.
const SUM: f64 = 6e-8;

/// A random room: few levels, ties on purpose, sounds near the cap, prerequisites within and across channels.
pub(crate) fn raw(things: std::ops::RangeInclusive<usize>, levels: usize) -> impl Strategy<Value = Raw> {
    let level = |channel: usize| {
        let value = if channel == 1 {
            prop_oneof![
                (250u32..640).prop_map(|db| f64::from(db) / 10.0),
                (5u32..13).prop_map(|db| f64::from(db) * 5.0)
            ]
            .boxed()
        } else {
            prop_oneof![(0u32..800).prop_map(|u| f64::from(u) / 1000.0), (0u32..5).prop_map(|u| f64::from(u) / 10.0)]
                .boxed()
        };
        (value, any::<bool>()).prop_map(move |(value, speech)| RawLevel { value, speech: speech && channel == 1 })
    };
    let thing = (0usize..3).prop_flat_map(move |channel| {
        (prop::collection::vec(level(channel), 1..=levels), any::<bool>(), 0usize..4, 0usize..4).prop_map(
            move |(mut levels, rising, start, goal)| {
                if rising {
                    levels.sort_by(|a, b| a.value.total_cmp(&b.value));
                }
                let goal = if goal == 0 { 0 } else { levels.len() };
                let start = if start == 3 { 1.min(goal) } else { 0 };
                Thing { channel, start, goal, needs: None, levels }
            },
        )
    });
    let order = prop_oneof![Just([0, 1, 2]), Just([1, 0, 2]), Just([2, 1, 0]), Just([0, 2, 1])];
    let sensitivity = prop::array::uniform3(prop_oneof![Just(1.0), (5u32..=20).prop_map(|s| f64::from(s) / 10.0)]);
    let whole = (
        prop::collection::vec(thing, things),
        order,
        sensitivity,
        prop_oneof![Just(0.0), Just(0.5), Just(1.0), 0.0..1.0],
        200u32..450,
        prop_oneof![Just(65.0), 45.0..65.0],
        prop::collection::vec((any::<prop::sample::Index>(), any::<prop::sample::Index>(), 1usize..3), 0..3),
    );
    whole.prop_map(|(mut things, order, sensitivity, novelty, background, cap, needs)| {
        for (one, other, level) in needs {
            let (one, other) = (one.index(things.len()), other.index(things.len()));
            let (one, other) = (one.max(other), one.min(other));
            if one != other {
                things[one].needs = Some((other, level.min(things[other].levels.len())));
            }
        }
        Raw { order, sensitivity, novelty, background: f64::from(background) / 10.0, cap, things, ..Raw::plain() }
    })
}

/// The printed plan must be a path by the rules, have the figures it prints, and be as good as the best.
fn as_good_as(raw: &Raw, best: Option<(f64, f64)>) -> Result<(), TestCaseError> {
    let input = parse(&raw.toml(), "room.toml").map_err(|faults| TestCaseError::fail(faults.to_string()))?;
    let ladder = match plan(&input) {
        Ok(ladder) => ladder,
        Err(refusal) => {
            prop_assert!(best.is_none(), "refused, but there is a way: {refusal}");
            return Ok(());
        }
    };
    if ladder.rungs.is_empty() {
        prop_assert_eq!(raw.start(), raw.goal());
        return Ok(());
    }
    let judged = raw.judge(&order(&ladder));
    prop_assert!(judged.is_some(), "the plan breaks a rule: {:?}", order(&ladder));
    let (largest, sum) = judged.unwrap();
    prop_assert!((ladder.largest_step - largest).abs() < 1e-12 && (ladder.sum_of_loads - sum).abs() < 1e-9);
    prop_assert!(best.is_some(), "the other search found no way");
    let (least_step, least_sum) = best.unwrap();
    prop_assert!((largest - least_step).abs() < STEP, "largest step {largest}, best {least_step}");
    prop_assert!((sum - least_sum).abs() < SUM, "sum of loads {sum}, best {least_sum}");
    prop_assert!(ladder.optimal && ladder.gap == 0.0);
    Ok(())
}

/// The distractor of each rung, by its number in the raw room.
pub(crate) fn order(ladder: &Ladder) -> Vec<usize> {
    ladder.rungs.iter().map(|rung| rung.distractor[1..].parse().unwrap()).collect()
}

proptest! {
    #![proptest_config(proptest::test_runner::Config { cases: 4000, failure_persistence: None, ..Default::default() })]

    #[test]
    fn no_order_of_a_small_room_is_better_than_the_plan(raw in raw(1..=4, 2)) {
        as_good_as(&raw, raw.by_all_orders())?;
    }
}

proptest! {
    #![proptest_config(proptest::test_runner::Config { cases: 600, failure_persistence: None, ..Default::default() })]

    #[test]
    fn a_search_without_phases_finds_nothing_better_in_a_middling_room(raw in raw(4..=7, 3)) {
        as_good_as(&raw, raw.by_shortest_path())?;
    }
}

#[test]
fn the_two_searches_of_the_oracle_agree() {
    let raw = Raw::plain().with(0, &[0.1, 0.3]).with(1, &[40.0, 55.0]).with(1, &[50.0]).with(2, &[0.2]);
    let (a, b) = (raw.by_all_orders().unwrap(), raw.by_shortest_path().unwrap());
    assert!((a.0 - b.0).abs() < 1e-12 && (a.1 - b.1).abs() < 1e-9);
}

#[test]
fn a_level_louder_than_the_goal_is_passed_while_there_is_room_or_the_plan_is_refused() {
    // The louder first level can never be passed: 64.9 dB and 60 dB are above 65 dB together.
    let raw = Raw::plain().with(1, &[64.9, 50.0]).with(1, &[60.0]);
    let input = parse(&raw.toml(), "room.toml").unwrap();
    assert!(plan(&input).is_ok(), "the louder one can go first");
    let mut both = raw.clone();
    both.things[0].needs = Some((1, 1));
    let input = parse(&both.toml(), "room.toml").unwrap();
    assert!(matches!(plan(&input), Err(Refusal::CapOnTheWay { ref sounds, .. }) if sounds == &["d0".to_owned()]));
    assert_eq!(both.by_all_orders(), None);
}
