//! What a comparison of two audits may and may not say.

use stillroom::checklist::Answer;
use stillroom::load::{Comparison, Verdict, compare_among, compare_carried};

use super::rooms::{Audit, after_ten_days, choice, lived_in, option};

fn codes(comparison: &Comparison) -> Vec<&'static str> {
    comparison.notes.iter().map(stillroom::load::CompareNote::code).collect()
}

#[test]
fn a_room_compared_with_itself_has_not_changed() {
    let comparison = lived_in().compare(&lived_in());
    assert_eq!(comparison.difference, 0.0);
    assert_eq!(comparison.verdict, Verdict::NoClearChange);
    assert!(comparison.low < 0.0 && comparison.high > 0.0);
}

#[test]
fn the_loads_and_parts_are_those_of_the_audits() {
    let (before, after) = (lived_in(), after_ten_days());
    let comparison = before.compare(&after);
    assert_eq!(comparison.load_before, before.assess(0.0).load);
    assert_eq!(comparison.load_after, after.assess(0.0).load);
    let toys = comparison.items.iter().find(|item| item.id == "toys").unwrap();
    assert_eq!(toys.before, super::rooms::share(&before.assess(0.0), "toys").pull);
    let window = comparison.items.iter().find(|item| item.id == "window").unwrap();
    assert_eq!(window.after.u(), 0.0);
    // Parts are complete: they sum to U.
    let sum: f64 = comparison.items.iter().map(|item| item.after.u()).sum();
    assert!((sum - after.assess(0.0).pull.u()).abs() < super::rooms::ROUNDING);
}

#[test]
fn what_draws_nothing_before_and_after_is_no_change() {
    let (gone, came) = (lived_in().answer("toys", Answer::Count(0)), lived_in());
    let listed = |comparison: Comparison| comparison.items.iter().any(|item| item.id == "toys");
    assert!(!listed(gone.compare(&gone)));
    assert!(listed(gone.compare(&came)) && listed(came.compare(&gone)) && listed(came.compare(&came)));
}

#[test]
fn an_answer_carried_over_has_one_error_and_shows_no_change() {
    let (before, after) = (lived_in(), lived_in().answer("brother", Answer::Yes(false)));
    let all: std::collections::BTreeSet<_> =
        before.checklist.items.iter().map(|item| item.id.clone()).filter(|id| id.as_str() != "brother").collect();
    let fresh = before.compare(&after);
    let carried = compare_carried(&before.inputs(), &after.inputs(), &all);
    assert_eq!(carried.difference, fresh.difference, "the figures are the same");
    assert!(carried.high - carried.low < fresh.high - fresh.low, "{carried:?} is not surer than {fresh:?}");
    assert!(codes(&carried).contains(&"carried-over") && !codes(&fresh).contains(&"carried-over"));
    // Everything carried over, nothing looked at: the answers' own errors cancel, and only photo and recording differ.
    let mut bare = before.clone();
    bare.photos.clear();
    bare.sound = None;
    let whole: std::collections::BTreeSet<_> = bare.checklist.items.iter().map(|item| item.id.clone()).collect();
    let nothing = compare_carried(&bare.inputs(), &bare.inputs(), &whole);
    assert_eq!((nothing.low, nothing.high, nothing.verdict), (0.0, 0.0, Verdict::NoClearChange));
}

/// Six comparisons at once: the 99.58th percentile in place of the 97.5th, 2.638 for 1.960 of a normal distribution (tables of
/// the t distribution, infinitely many degrees of freedom; Dunn 1961 prints 2.64), within what drawing the percentiles is off.
#[test]
fn one_of_six_comparisons_is_less_sure_than_one_alone() {
    let (before, after) = (lived_in(), after_ten_days());
    let alone = before.compare(&after);
    let among = |count| compare_among(&before.inputs(), &after.inputs(), count);
    assert_eq!(among(1), alone);
    let ratio = (among(6).high - among(6).low) / (alone.high - alone.low);
    assert!((ratio - 2.638 / 1.960).abs() < 0.1, "{ratio}");
    assert_eq!(among(6).difference, alone.difference);
}

#[test]
fn turned_round_a_calmer_room_is_a_busier_one() {
    assert_eq!(after_ten_days().compare(&lived_in()).verdict, Verdict::Busier);
}

#[test]
fn what_was_not_seen_does_not_pass_for_gone() {
    let unseen = ["toys", "papers", "window", "mobile", "fridge", "doorbell", "brother"]
        .into_iter()
        .fold(lived_in(), |room, id| room.answer(id, Answer::NotSeen));
    let comparison = lived_in().compare(&unseen);
    assert_eq!(comparison.verdict, Verdict::NoClearChange);
    assert!(comparison.difference.abs() < super::rooms::ROUNDING, "{}", comparison.difference);
    assert!(codes(&comparison).contains(&"not-seen"));
    assert!(comparison.notes.iter().any(|note| note.text().contains("toys")));
}

#[test]
fn what_must_stay_in_one_audit_is_left_out_of_both() {
    let comparison = lived_in().compare(&lived_in().keep("toys"));
    assert!(comparison.difference.abs() < super::rooms::ROUNDING);
    assert!(comparison.items.iter().all(|item| item.id != "toys"));
    assert_eq!(codes(&comparison), ["not-seen", "kept-in-one"]);
    assert_eq!(codes(&lived_in().keep("toys").compare(&lived_in().keep("toys"))), ["not-seen"]);
}

#[test]
fn a_photo_or_recording_of_one_audit_is_left_out_of_both() {
    let mut bare = lived_in();
    bare.photos.clear();
    bare.sound = None;
    let comparison = lived_in().compare(&bare);
    assert_eq!(comparison.difference, 0.0);
    assert_eq!(codes(&comparison), ["not-seen", "photo-in-one", "recording-in-one"]);
    let comparison = lived_in().compare(&lived_in().margin(4.0));
    assert_eq!(comparison.difference, 0.0);
    assert_eq!(codes(&comparison), ["not-seen", "other-kind-of-recording"]);
}

#[test]
fn another_calibration_makes_a_change_of_level_less_clear() {
    let room = |level, calibration| Audit::of(vec![]).level(level, 0.0, 4.0, calibration);
    // From 55 dB (0.29) to 50 dB (0.19): with one calibration the same error is in both.
    let same = room(55.0, "meter").compare(&room(50.0, "meter"));
    let other = room(55.0, "meter").compare(&room(50.0, "another phone"));
    assert_eq!(same.verdict, Verdict::Calmer);
    assert_eq!(other.verdict, Verdict::NoClearChange);
    assert_eq!(codes(&other), ["other-calibration"]);
    assert_eq!(same.difference, other.difference);
}

#[test]
fn a_new_weight_of_an_item_is_no_change_of_the_room() {
    let mut reweighted = lived_in();
    reweighted.checklist.items[0].unit = super::rooms::count(60.0, 6.0);
    let comparison = lived_in().compare(&reweighted);
    assert_eq!(comparison.difference, 0.0);
    assert_eq!(codes(&comparison), ["other-checklist", "not-seen"]);
    let comparison = lived_in().compare(&lived_in().scale_with("alone = 30.0", "alone = 60.0"));
    assert_eq!(comparison.difference, 0.0);
    assert_eq!(codes(&comparison), ["other-scale", "not-seen"]);
}

#[test]
fn only_items_asked_in_both_audits_are_compared() {
    let mut fewer = lived_in();
    fewer.checklist.items.remove(0);
    let comparison = lived_in().compare(&fewer);
    assert_eq!(codes(&comparison), ["other-checklist", "not-asked", "not-seen"]);
    assert!(comparison.items.iter().all(|item| item.id != "toys"));
    // Asked in another way: the count of before is no option of after.
    let mut otherwise = lived_in().answer("toys", option("many"));
    otherwise.checklist.items[0].unit = choice(&[("few", 5.0), ("many", 30.0)]);
    let comparison = lived_in().compare(&otherwise);
    assert_eq!(codes(&comparison), ["other-checklist", "not-asked", "not-seen"]);
    assert!(comparison.items.iter().all(|item| item.id != "toys"));
}

#[test]
fn other_places_people_and_sensitivities_are_named() {
    let mut other = lived_in();
    other.answers.place = "kitchen".to_owned();
    other.answers.by = "parent".to_owned();
    other.sensitivity = stillroom::load::Sensitivity::PLAIN;
    let comparison = lived_in().compare(&other);
    assert_eq!(codes(&comparison), ["other-place", "other-observer", "other-sensitivity", "not-seen"]);
    assert_eq!(comparison.difference, 0.0);
    assert!(comparison.notes.iter().all(|note| !note.text().is_empty()));
}
