//! Steps that are too large are split where they can be, and named where they cannot.

use stillroom::ladder::{Ladder, parse, plan};

use super::examples::planned;
use super::oracle::Raw;

fn labels(ladder: &Ladder) -> Vec<String> {
    ladder.rungs.iter().map(|rung| rung.level.to_string()).collect()
}

/// One thing seen with counts.
fn counted(max_step: f64, levels: &[(f64, u32)]) -> Ladder {
    let mut raw = Raw { background: 30.0, max_step: Some(max_step), ..Raw::plain() };
    raw = raw.with(0, &levels.iter().map(|(pull, _)| *pull).collect::<Vec<_>>());
    let mut text = raw.toml();
    for (pull, count) in levels {
        text = text.replace(&format!("pull = {pull:?}\n"), &format!("pull = {pull:?}\ncount = {count}\n"));
    }
    plan(&parse(&text, "room.toml").unwrap()).unwrap()
}

#[test]
fn a_count_is_halved_until_its_step_fits() {
    // 0 → 5 things, 0.5: 2 (0.2) and 5; 2 → 5 is 0.3: 3 (0.3). Steps 0.2, 0.1, 0.2.
    let ladder = counted(0.25, &[(0.5, 5)]);
    assert_eq!(labels(&ladder), ["0a", "0b", "1"]);
    let steps: Vec<f64> = ladder.rungs.iter().map(|rung| rung.step).collect();
    assert!(steps.iter().zip([0.2, 0.1, 0.2]).all(|(step, hand)| (step - hand).abs() < 1e-12), "{steps:?}");
    assert!(ladder.obstacles.is_empty());
    assert!(ladder.rungs[0].check.contains("2 in view"));
}

#[test]
fn only_the_gap_that_is_too_large_is_split() {
    // 0 → 2 things 0.1; 2 → 6 things 0.5: 4 at 0.35.
    let ladder = counted(0.25, &[(0.1, 2), (0.6, 6)]);
    assert_eq!(labels(&ladder), ["1", "1a", "2"]);
    assert!((ladder.largest_step - 0.25).abs() < 1e-12);
}

#[test]
fn a_single_thing_cannot_be_split_and_is_an_obstacle() {
    let ladder = counted(0.25, &[(0.9, 2)]);
    assert_eq!(labels(&ladder), ["0a", "1"]);
    assert_eq!(ladder.obstacles.len(), 2);
    for obstacle in &ladder.obstacles {
        assert!(obstacle.id == "d0" && (obstacle.step - 0.45).abs() < 1e-12 && obstacle.probe.starts_with("Probe:"));
    }
    assert!(ladder.cautions.iter().any(|caution| caution.code() == "obstacles"));
}

#[test]
fn without_a_count_or_without_max_step_nothing_is_split() {
    let raw = Raw { max_step: Some(0.25), ..Raw::plain() }.with(2, &[0.5]);
    let ladder = planned(&raw);
    assert_eq!(labels(&ladder), ["1"]);
    assert_eq!(ladder.obstacles.len(), 1);
    let ladder = planned(&Raw { max_step: None, ..raw });
    assert!(ladder.obstacles.is_empty());
}

#[test]
fn a_sound_rises_from_the_background_by_at_most_five_decibels() {
    // 36 dB background, 60 dB: 24 dB in 5 parts of 4.8 dB.
    let ladder = planned(&Raw { max_step: Some(0.25), ..Raw::plain() }.with(1, &[60.0]));
    assert_eq!(labels(&ladder), ["0a", "0b", "0c", "0d", "0e", "1"]);
    let levels = ["36.0", "40.8", "45.6", "50.4", "55.2"];
    for (rung, level) in ladder.rungs.iter().zip(levels) {
        assert!(rung.set_up.contains(&format!("now \"at {level} dB\"")), "{}", rung.set_up);
    }
    assert!(ladder.rungs[4].set_up.contains("(before: \"at 50.4 dB\"). This is on the way to \"level 1\"."));
    assert!(!ladder.rungs[5].set_up.contains("on the way"));
    assert!(ladder.obstacles.is_empty() && ladder.largest_step <= 0.25);
}

#[test]
fn a_sound_that_needs_less_than_two_decibels_a_step_stays_an_obstacle() {
    let ladder = planned(&Raw { max_step: Some(0.02), ..Raw::plain() }.with(1, &[60.0]));
    assert!(!ladder.obstacles.is_empty());
    assert!(ladder.rungs.len() > 6, "it is halved first");
}

#[test]
fn what_is_needed_keeps_its_level_when_levels_are_put_in() {
    // d1 needs level 2 of d0, which is split: d1 still comes after the whole of level 2.
    let mut raw = Raw { background: 30.0, max_step: Some(0.25), ..Raw::plain() }.with(0, &[0.1, 0.7]).with(0, &[0.01]);
    raw.things[1].needs = Some((0, 2));
    let text = raw
        .toml()
        .replace("pull = 0.1\n", "pull = 0.1\ncount = 1\n")
        .replace("pull = 0.7\n", "pull = 0.7\ncount = 5\n");
    let ladder = plan(&parse(&text, "room.toml").unwrap()).unwrap();
    let told: Vec<_> = ladder.rungs.iter().map(|rung| format!("{} {}", rung.distractor, rung.level)).collect();
    // 1 → 5 things, 0.6: 3 at 0.4; then 2 at 0.25 and 4 at 0.55.
    assert_eq!(told, ["d0 1", "d0 1a", "d0 1b", "d0 1c", "d0 2", "d1 1"]);
    assert_eq!(ladder.rungs[2].state[0].1.to_string(), "1b");
}

#[test]
fn a_start_between_split_levels_stays_where_it_is() {
    let mut raw = Raw { background: 30.0, max_step: Some(0.25), ..Raw::plain() }.with(0, &[0.5, 1.0]);
    raw.things[0].start = 1;
    let text = raw
        .toml()
        .replace("pull = 0.5\n", "pull = 0.5\ncount = 4\n")
        .replace("pull = 1.0\n", "pull = 1.0\ncount = 8\n");
    let ladder = plan(&parse(&text, "room.toml").unwrap()).unwrap();
    assert_eq!(labels(&ladder), ["1a", "2"]);
    assert!((ladder.start_load.points() - raw.load(&[1])).abs() < 1e-9);
}

#[test]
fn many_inserted_levels_keep_their_names_in_order() {
    let ladder = counted(0.01, &[(0.9, 200)]);
    let names = labels(&ladder);
    let inserted = &names[..names.len() - 1];
    assert!(
        names.len() > 90
            && inserted.is_sorted()
            && inserted.contains(&"0y".to_owned())
            && inserted.contains(&"0za".to_owned())
    );
}
