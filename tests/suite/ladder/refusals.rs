//! What has no ladder is refused by name, with what to do.

use stillroom::ladder::{Refusal, parse, plan};

use super::oracle::Raw;

#[track_caller]
fn check(raw: &Raw, code: &str, message: &str) -> Refusal {
    let refusal = plan(&parse(&raw.toml(), "room.toml").unwrap()).unwrap_err();
    assert_eq!(refusal.code(), code);
    assert!(refusal.to_string().contains(message), "{refusal}");
    assert!(!refusal.hint().is_empty());
    refusal
}

#[test]
fn a_room_without_distractors_has_nothing_to_add_back() {
    check(&Raw::plain(), "no-distractor", "there is no distractor");
}

#[test]
fn a_goal_above_the_cap_names_its_sounds_the_loudest_first() {
    let raw = Raw { cap: 60.0, ..Raw::plain() }.with(1, &[55.0]).with(1, &[59.0]).with(0, &[0.1]);
    let refusal =
        check(&raw, "above-cap", "the goal room reads 60.5 dB with `d1` and `d0`, above the sound cap of 60.0 dB");
    assert_eq!(refusal.place(), "d1, d0");
}

#[test]
fn a_start_above_the_cap_is_refused_as_the_start() {
    let mut raw = Raw { cap: 50.0, ..Raw::plain() }.with(1, &[55.0]);
    raw.things[0].start = 1;
    check(&raw, "above-cap", "the start room reads 55.1 dB with `d0`");
}

#[test]
fn a_background_above_the_cap_is_no_place_for_a_ladder() {
    check(&Raw { background: 66.0, ..Raw::plain() }.with(0, &[0.1]), "background-above-cap", "66.0 dB, is above");
}

#[test]
fn a_sum_that_equals_the_cap_keeps_it() {
    let raw = Raw { background: 50.0, cap: 50.0 + 10.0 * 2f64.log10(), ..Raw::plain() }.with(1, &[50.0]);
    assert!(plan(&parse(&raw.toml(), "room.toml").unwrap()).is_ok());
}

#[test]
fn a_room_that_has_something_without_what_it_needs_is_refused() {
    let mut raw = Raw::plain().with(0, &[0.1, 0.2]).with(0, &[0.1]);
    raw.things[0].goal = 1;
    raw.things[1].needs = Some((0, 2));
    check(&raw, "needs-missing", "in the goal room `d1` is there, but `d0` is at 1 and must be at level 2 or higher");
    raw.things[0].goal = 2;
    raw.things[1].start = 1;
    check(&raw, "needs-missing", "in the start room `d1` is there, but `d0` is at 0");
}

#[test]
fn what_is_needed_from_a_later_phase_names_both() {
    let mut raw = Raw::plain().with(2, &[0.1]).with(0, &[0.1]);
    raw.things[1].needs = Some((0, 1));
    let refusal = check(&raw, "needs-come-later", "`d1` (seen) cannot be added: it needs `d0` (company) at level 1");
    assert_eq!(refusal.place(), "d1, d0");
    assert!(refusal.hint().contains("put company earlier"));
}

#[test]
fn an_input_built_wrong_is_refused_not_trusted() {
    let mut input = parse(&Raw::plain().with(0, &[0.1]).with(1, &[40.0]).toml(), "room.toml").unwrap();
    input.distractors[0].start = 7;
    assert_eq!(plan(&input).unwrap_err().code(), "ladder-input");
    input.distractors[0].start = 0;
    input.distractors[1].levels[0].draw = input.distractors[0].levels[0].draw;
    assert_eq!(plan(&input).unwrap_err().code(), "ladder-input");
}

#[test]
fn of_many_names_six_are_told_and_the_others_counted() {
    let told = |count: usize| {
        let ids = (0..count).map(|at| format!("d{at}")).collect();
        stillroom::ladder::Caution::HeardLocked { ids }.text()
    };
    assert!(told(1).contains("(d0 left out)") && told(2).contains("(d0 and d1 left out)"), "{}", told(2));
    assert!(told(6).contains("(d0, d1, d2, d3, d4 and d5 left out)"), "{}", told(6));
    assert!(told(9).contains("(d0, d1, d2, d3, d4, d5 and 3 more left out)"), "{}", told(9));
}
