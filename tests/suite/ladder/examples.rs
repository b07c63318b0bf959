//! Rooms worked out by hand; energy sums and loads with a pocket calculator's formulae (10·lg Σ 10^(L/10), 100(1 − e^−u)).

use stillroom::ladder::{Ladder, LevelLabel, parse, plan};

use super::oracle::{Raw, RawLevel};
use super::paths::order;

/// Figures below are written with ten decimals.
const WRITTEN: f64 = 1e-9;

pub(crate) fn planned(raw: &Raw) -> Ladder {
    plan(&parse(&raw.toml(), "room.toml").unwrap()).unwrap()
}

#[track_caller]
fn check(raw: &Raw, expect_order: &[usize], largest_step: f64, sum_of_loads: f64) {
    let ladder = planned(raw);
    assert_eq!(order(&ladder), expect_order);
    assert!((ladder.largest_step - largest_step).abs() < WRITTEN, "{}", ladder.largest_step);
    assert!((ladder.sum_of_loads - sum_of_loads).abs() < 100.0 * WRITTEN, "{}", ladder.sum_of_loads);
    assert!(ladder.optimal && ladder.gap == 0.0);
}

#[test]
fn the_weaker_of_two_things_seen_comes_first() {
    // 100(1 − e^−0.1) = 9.5162581964, 100(1 − e^−0.4) = 32.9679953964.
    let raw = Raw { background: 30.0, ..Raw::plain() }.with(0, &[0.3]).with(0, &[0.1]);
    check(&raw, &[1, 0], 0.3, 9.516_258_196_4 + 32.967_995_396_4);
}

#[test]
fn a_loud_sound_comes_after_a_quiet_one_that_it_then_hides_behind() {
    // 36 dB: pull 0.01. 36+50 = 50.1695428928 dB: 0.1933908579. 36+50+60 = 60.4296162727 dB: 0.4337477207.
    // Quiet first: steps 0.1833908579, 0.2403568629. Loud first: 0.4105521680 at once.
    let raw = Raw::plain().with(1, &[60.0]).with(1, &[50.0]);
    check(&raw, &[1, 0], 0.240_356_862_9, 52.776_448_720_9);
}

#[test]
fn a_hidden_sound_still_counts_its_novelty() {
    // The quiet one must come last: it adds 0.0131955527 then, but alone it would add 0.1833908579; half of that counts.
    let mut raw = Raw::plain().with(1, &[60.0]).with(1, &[50.0]);
    raw.things[1].needs = Some((0, 1));
    let ladder = planned(&raw);
    assert_eq!(order(&ladder), [0, 1]);
    // The rise is in load: from a pull of 0.4205521680 to one of 0.4337477207.
    let rise = 100.0 * ((-0.420_552_168_0f64).exp() - (-0.433_747_720_7f64).exp());
    assert!((ladder.rungs[1].rise - rise).abs() < 100.0 * WRITTEN);
    assert!((ladder.rungs[1].step - 0.091_695_428_9).abs() < WRITTEN);
}

/// A table with a cliff between 60.5 and 62 dB, where 59 and 60 dB together (62.5 dB) lie behind it.
fn cliff() -> Raw {
    let table = vec![(35.0, 0.0), (60.5, 0.05), (62.0, 0.5), (70.0, 0.6)];
    Raw { table, ..Raw::plain() }.with(1, &[59.0]).with(1, &[60.0])
}

#[test]
fn the_smaller_largest_step_goes_before_the_smaller_sum() {
    // Quiet first: steps 0.0451406116, 0.4597566531, sum 44.3624064458. Loud first: 0.0470926574, 0.4578046073, sum 44.5484481468.
    check(&cliff(), &[1, 0], 0.457_804_607_3, 44.548_448_146_8);
}

#[test]
fn the_bottleneck_of_the_whole_path_frees_the_order_of_a_calmer_phase() {
    // With company whose step is 0.5 anyway, the sounds may take the order with the smaller sum.
    let raw = cliff().with(2, &[0.5]);
    let ladder = planned(&raw);
    assert_eq!(order(&ladder), [0, 1, 2]);
    assert!((ladder.largest_step - 0.5).abs() < WRITTEN);
    let heard: f64 = ladder.rungs[..2].iter().map(|rung| rung.load.points()).sum();
    assert!((heard - 44.362_406_445_8).abs() < 100.0 * WRITTEN);
}

#[test]
fn speech_is_rated_louder_but_the_cap_looks_at_its_level() {
    let mut raw = Raw { cap: 60.1, ..Raw::plain() }.with(1, &[60.0]);
    raw.things[0].levels = vec![RawLevel { value: 60.0, speech: true }];
    // 60 dB of speech are rated 70 dB; with 36 dB of background 70.0017287 dB, on the last slope 0.044 a dB.
    let ladder = planned(&raw);
    let rated = 10.0 * (10f64.powf(3.6) + 1e7).log10();
    let rise = 100.0 * ((-0.01f64).exp() - (-(0.80 + 0.044 * (rated - 70.0))).exp());
    assert!((ladder.rungs[0].rise - rise).abs() < 100.0 * WRITTEN);
}

#[test]
fn a_sensitivity_makes_a_step_larger_and_a_load_higher() {
    let raw = Raw { background: 30.0, sensitivity: [2.0, 1.0, 1.0], ..Raw::plain() }.with(0, &[0.3]);
    let ladder = planned(&raw);
    assert!((ladder.largest_step - 0.6).abs() < WRITTEN);
    assert!((ladder.goal_load.points() - 45.118_836_390_6).abs() < 100.0 * WRITTEN); // 100(1 − e^−0.6)
}

#[test]
fn the_sound_of_a_television_waits_for_its_picture() {
    let mut raw = Raw { order: [1, 0, 2], ..Raw::plain() }.with(0, &[0.1, 0.2]).with(1, &[50.0]);
    raw.things[1].needs = Some((0, 2));
    let input = parse(&raw.toml(), "room.toml").unwrap();
    assert_eq!(plan(&input).unwrap_err().code(), "needs-come-later");
    raw.order = [0, 1, 2];
    assert_eq!(order(&planned(&raw)), [0, 0, 1]);
    raw.things[0].goal = 1;
    let input = parse(&raw.toml(), "room.toml").unwrap();
    assert_eq!(plan(&input).unwrap_err().code(), "needs-missing");
}

#[test]
fn start_equal_to_goal_is_an_empty_plan() {
    let mut raw = Raw::plain().with(0, &[0.1, 0.2]);
    (raw.things[0].start, raw.things[0].goal) = (1, 1);
    let ladder = planned(&raw);
    assert!(ladder.rungs.is_empty() && ladder.optimal && ladder.obstacles.is_empty());
    assert_eq!((ladder.largest_step, ladder.sum_of_loads), (0.0, 0.0));
    assert!((ladder.start_load.points() - raw.load(&[1])).abs() < 1e-9);
}

#[test]
fn a_level_that_draws_less_is_planned_and_cautioned() {
    let raw = Raw { background: 30.0, ..Raw::plain() }.with(0, &[0.3, 0.1]);
    let ladder = planned(&raw);
    // 100(e^−0.3 − e^−0.1) = −16.4019197354.
    assert!(
        (ladder.rungs[1].rise + 16.401_919_735_4).abs() < 100.0 * WRITTEN
            && (ladder.rungs[1].step + 0.1).abs() < WRITTEN
    );
    assert!(ladder.cautions.iter().any(|caution| caution.code() == "level-falls"));
}

#[test]
fn equally_good_rungs_come_in_the_order_of_the_input() {
    let raw = Raw::plain().with(0, &[0.1, 0.2]).with(0, &[0.1, 0.2]).with(2, &[0.1]).with(2, &[0.1]);
    assert_eq!(order(&planned(&raw)), [0, 0, 1, 1, 2, 3]);
}

#[test]
fn every_rung_tells_its_whole_state_and_what_to_do() {
    let raw = Raw::plain().with(0, &[0.1]).with(1, &[40.0, 50.0]).with(2, &[0.2]).with(2, &[0.1]);
    let ladder = planned(&raw);
    let plain = |levels: [u32; 4]| -> Vec<_> {
        levels.into_iter().enumerate().map(|(id, level)| (format!("d{id}"), LevelLabel::Plain(level))).collect()
    };
    let states: Vec<_> = ladder.rungs.iter().map(|rung| rung.state.clone()).collect();
    let expect = [[1, 0, 0, 0], [1, 1, 0, 0], [1, 2, 0, 0], [1, 2, 0, 1], [1, 2, 1, 1]].map(plain);
    assert_eq!(states, expect);
    for (rung, number) in ladder.rungs.iter().zip(1..) {
        assert_eq!(rung.number, number);
        assert!(rung.exemplars.len() >= 2 && rung.trials >= 10 && rung.minutes > 0.0);
        assert!(rung.mastery.contains("two days") && rung.step_back.contains("stop for the day"));
    }
    assert!(ladder.rungs[0].step_back.contains("the start room") && ladder.rungs[4].step_back.contains("rung 4"));
    // 36 and 50 dB together: 50.17 dB.
    assert!(ladder.rungs[2].check.contains("about 50 dB LAeq"), "{}", ladder.rungs[2].check);
    assert!(
        ladder.rungs[4].set_up.contains("Still staged: d3 (level 1) and d1 (level 2)."),
        "{}",
        ladder.rungs[4].set_up
    );
    assert!(ladder.rungs[4].set_up.contains("Not staged, only noted when it is there: d0 (level 1)."));
    let codes: Vec<_> = ladder.cautions.iter().map(stillroom::ladder::Caution::code).collect();
    assert_eq!(codes, ["draft", "load-is-convention", "stop-on-distress", "sound-cap", "ask-each-time"]);
}

#[test]
fn a_plan_without_sounds_or_company_does_not_speak_of_them() {
    let codes: Vec<_> = planned(&Raw::plain().with(0, &[0.1])).cautions.iter().map(|caution| caution.code()).collect();
    assert_eq!(codes, ["draft", "load-is-convention", "stop-on-distress"]);
}

#[test]
fn pets_lights_and_jumps_of_more_than_ten_decibels_are_cautioned() {
    let text = Raw::plain().with(0, &[0.1]).with(1, &[55.0]).with(2, &[0.1]).toml();
    let text = text.replace("\"d0\"", "\"blinking-lights\"").replace("\"d2\"", "\"the cat\"");
    let ladder = plan(&parse(&text, "room.toml").unwrap()).unwrap();
    let codes: Vec<_> = ladder.cautions.iter().map(|caution| caution.code()).collect();
    for code in ["pets-never-held", "no-flashing-light", "loud-step"] {
        assert!(codes.contains(&code), "{code}");
    }
}

#[test]
fn a_known_room_says_whether_distance_can_set_a_level() {
    let raw = Raw::plain().with(1, &[45.0, 50.0]);
    let room =
        |volume: f64, decay: f64| format!("{}\n[room]\nvolume_m3 = {volume:?}\ndecay_s = {decay:?}\n", raw.toml());
    let checks = |text: String| plan(&parse(&text, "room.toml").unwrap()).unwrap().rungs[0].check.clone();
    assert!(checks(room(40.0, 0.5)).contains("changes it by -0.9 dB: set the volume, not the distance"));
    // A = 161 m²; (1/4π + 4/161)·10^−0.5 − 4/161 = 0.00818 = 1/(4π·3.12²).
    assert!(
        checks(room(400.0, 0.4)).contains("With the volume that gives 50 dB at 1 m, the source stands 3.1 m away.")
    );
    assert!(!checks(raw.toml()).contains("distance"));
    // 6 dB less would take (0.1044·10^−0.6 − 0.0248 = 0.0014) 7.5 m: farther than a source is thought of.
    let quieter = checks(room(400.0, 0.4).replace("db = 45.0", "db = 44.0"));
    assert!(quieter.contains("set the volume, not the distance"), "{quieter}");
}
