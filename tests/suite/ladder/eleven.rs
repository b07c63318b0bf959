//! A room of the usual size: four things seen, four sounds, three people, three or four levels each.

use stillroom::ladder::{Ladder, parse, plan};

use super::oracle::{Raw, RawLevel};
use super::paths::order;

pub(crate) fn eleven() -> Raw {
    let mut raw = Raw { sensitivity: [1.0, 1.5, 1.0], ..Raw::plain() }
        .with(0, &[0.05, 0.12, 0.2, 0.3])
        .with(0, &[0.08, 0.16, 0.3])
        .with(0, &[0.03, 0.07, 0.12])
        .with(0, &[0.1, 0.2, 0.25, 0.4])
        .with(1, &[40.0, 46.0, 52.0, 56.0])
        .with(1, &[38.0, 45.0, 50.0])
        .with(1, &[35.0, 42.0, 48.0])
        .with(1, &[44.0, 50.0, 55.0, 58.0])
        .with(2, &[0.1, 0.2, 0.35])
        .with(2, &[0.05, 0.15, 0.25])
        .with(2, &[0.15, 0.3, 0.45, 0.5]);
    for level in &mut raw.things[5].levels {
        *level = RawLevel { speech: true, ..*level };
    }
    raw.things[4].needs = Some((3, 2));
    raw.things[10].needs = Some((9, 2));
    raw
}

fn planned(raw: &Raw) -> Ladder {
    plan(&parse(&raw.toml(), "room.toml").unwrap()).unwrap()
}

#[test]
fn eleven_distractors_are_planned_as_the_other_search_plans_them() {
    let raw = eleven();
    let (largest, sum) = raw.by_shortest_path().unwrap();
    let ladder = planned(&raw);
    assert_eq!(ladder.rungs.len(), 38);
    assert!(ladder.optimal && raw.judge(&order(&ladder)).is_some());
    assert!((ladder.largest_step - largest).abs() < 2e-9 && (ladder.sum_of_loads - sum).abs() < 1e-7);
    assert!((ladder.rungs[37].load.points() - raw.load(&raw.goal())).abs() < 1e-9);
}

#[test]
fn the_same_room_gives_the_same_plan() {
    assert_eq!(planned(&eleven()), planned(&eleven()));
}

#[test]
fn with_a_largest_step_the_sounds_are_split_and_the_rest_named() {
    let raw = Raw { max_step: Some(0.1), ..eleven() };
    let ladder = planned(&raw);
    assert!(ladder.rungs.len() > 38);
    for rung in &ladder.rungs {
        let named = ladder.obstacles.iter().any(|one| one.id == rung.distractor && one.level == rung.level);
        assert_eq!(named, rung.step > 0.1 + 1e-9, "{rung:?}");
    }
}
