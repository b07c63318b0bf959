//! The load against a second, plain implementation (`tests/oracle/load/twin.py`).

use std::collections::BTreeMap;

use stillroom::load::Verdict;

use super::rooms::{after_ten_days, lived_in, share, table};

/// The two differ in the last bits of exp and ln; a load of 100 and a few dozen operations.
const LAST_BITS: f64 = 1e-10;

fn expected() -> BTreeMap<&'static str, f64> {
    table(include_str!("../../oracle/load/twin.csv"))
}

#[track_caller]
fn check(name: &str, found: f64) {
    let expected = expected()[name];
    assert!((found - expected).abs() < LAST_BITS, "{name}: {found}, expected {expected}");
}

#[test]
fn a_lived_in_room_has_the_load_of_the_second_implementation() {
    let assessment = lived_in().assess(6.0);
    check("photo", assessment.channels[0].measured.unwrap().u());
    check("recording", assessment.channels[1].measured.unwrap().u());
    assert_eq!(assessment.channels[2].measured, None);
    check("pull", assessment.pull.u());
    check("load", assessment.load.points());
    check("load_low", assessment.load_low.points());
    check("load_high", assessment.load_high.points());
    check("load_after 6 minutes", assessment.first_moves.load_after.points());
    assert_eq!(assessment.shares.len(), 8);
    for found in &assessment.shares {
        check(&format!("part {}", found.id), found.pull.u());
        check(&format!("share {}", found.id), found.share);
        check(&format!("chance {}", found.id), found.chance_largest);
    }
    assert!((share(&assessment, "brother").chance_largest - 0.641).abs() < LAST_BITS);
}

#[test]
fn ten_days_later_the_room_is_calmer_to_the_same_eyes() {
    let comparison = lived_in().compare(&after_ten_days());
    check("compare difference", comparison.difference);
    check("compare low", comparison.low);
    check("compare high", comparison.high);
    assert_eq!(comparison.verdict, Verdict::Calmer);
}

#[test]
fn to_other_eyes_the_same_change_is_not_clear() {
    let mut after = after_ten_days();
    after.answers.by = "parent".to_owned();
    let comparison = lived_in().compare(&after);
    check("compare-other low", comparison.low);
    check("compare-other high", comparison.high);
    assert_eq!(comparison.verdict, Verdict::NoClearChange);
}
