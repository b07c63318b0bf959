//! Loads worked out by hand; the sums stand in the comments.

use stillroom::checklist::Answer;
use stillroom::load::{Caution, Grade, Scale, SoundLevel, SoundReading};
use stillroom::quantity::Decibels;
use stillroom::words::Channel;

use super::rooms::{Audit, ROUNDING, choice, count, ids, item, option, pooled, share, yes};

/// Figures in comments have six decimals.
const SIX_DECIMALS: f64 = 5e-7;
/// A load in a comment has four decimals.
const FOUR_DECIMALS: f64 = 5e-5;

#[track_caller]
fn near(found: f64, expected: f64, within: f64) {
    assert!((found - expected).abs() <= within, "{found}, expected {expected}");
}

/// A count and a yes on the seen channel, both in the photo, and one thing that a photo cannot tell.
fn table_top() -> Audit {
    Audit::of(vec![
        // p = 0.30·(1 − 2^(−6/6)) = 0.15, u = −ln 0.85 = 0.162519
        (pooled(item("toys", Channel::Seen, count(30.0, 6.0), 4.0)), Answer::Count(6)),
        // p = 0.05, u = −ln 0.95 = 0.051293
        (pooled(item("cloth", Channel::Seen, yes(5.0), 1.0)), Answer::Yes(true)),
        // p = 0.10, u = −ln 0.90 = 0.105361
        (item("window", Channel::Seen, yes(10.0), 1.0), Answer::Yes(true)),
    ])
}

#[test]
fn without_a_photo_the_checklist_stands_alone() {
    let assessment = table_top().assess(0.0);
    // 0.85 · 0.95 · 0.90 = 0.72675 is left, so the load is 27.325.
    near(assessment.load.points(), 27.325, 1e-9);
    near(assessment.channels[0].pull.u(), 0.319173, SIX_DECIMALS);
    near(assessment.channels[0].checklist.u(), 0.319173, SIX_DECIMALS);
    assert_eq!(assessment.channels[0].measured, None);
    assert_eq!(assessment.grade, Grade::Gentle);
    assert_eq!(ids(&assessment), ["toys", "window", "cloth"]);
    near(share(&assessment, "toys").share, 0.162519 / 0.319173, 1e-5);
}

#[test]
fn with_a_photo_both_estimates_count_half() {
    let assessment = table_top().photo("table.jpg", 50.0, 1.0).assess(0.0);
    // Photo: p = 0.30 · 0.50 = 0.15, u = 0.162519.
    // seen = ½·(0.162519 + 0.051293) + ½·0.162519 + 0.105361 = 0.106906 + 0.081259 + 0.105361 = 0.293526
    near(assessment.channels[0].pull.u(), 0.293526, 2.0 * SIX_DECIMALS);
    near(assessment.channels[0].checklist.u(), 0.319173, SIX_DECIMALS);
    near(assessment.channels[0].measured.unwrap().u(), 0.162519, SIX_DECIMALS);
    // 100·(1 − e^−0.293526) = 25.4370
    near(assessment.load.points(), 25.4370, FOUR_DECIMALS);
    // The photo's 0.081259 goes to toys and cloth as 0.162519 : 0.051293, that is 0.061766 and 0.019494.
    near(share(&assessment, "toys").pull.u(), 0.081259 + 0.061766, 2.0 * SIX_DECIMALS);
    near(share(&assessment, "cloth").pull.u(), 0.025647 + 0.019494, 2.0 * SIX_DECIMALS);
    near(share(&assessment, "window").pull.u(), 0.105361, SIX_DECIMALS);
}

#[test]
fn a_photo_that_no_item_accounts_for_stands_as_photo_without_a_remedy() {
    let cleared = table_top().answer("toys", Answer::Count(0)).answer("cloth", Answer::Yes(false));
    let assessment = cleared.photo("table.jpg", 50.0, 1.0).assess(60.0);
    // Both estimates exist (0 and 0.162519): seen = 0 + ½·0.162519 + 0.105361 = 0.186620
    near(assessment.channels[0].pull.u(), 0.186620, 2.0 * SIX_DECIMALS);
    assert_eq!(ids(&assessment), ["window", "photo"]);
    assert_eq!(share(&assessment, "photo").remedy, None);
    assert_eq!(share(&assessment, "photo").minutes, None);
    assert_eq!(assessment.first_moves.ids.len(), 1);
    // What stays is ½·0.162519 = 0.081259: 100·(1 − e^−0.081259) = 7.8046
    near(assessment.first_moves.load_after.points(), 7.8046, FOUR_DECIMALS);
}

#[test]
fn where_no_item_was_looked_at_the_photo_is_used_alone() {
    let unseen = table_top().answer("toys", Answer::NotSeen).answer("cloth", Answer::NotSeen);
    let assessment = unseen.photo("table.jpg", 50.0, 1.0).assess(0.0);
    // seen = 0.162519 + 0.105361 = 0.267880
    near(assessment.channels[0].pull.u(), 0.267880, 2.0 * SIX_DECIMALS);
    assert_eq!(ids(&assessment), ["photo", "window"]);
    assert!(assessment.disagreements.is_empty(), "one estimate cannot disagree");
}

#[test]
fn several_photos_count_by_the_mean_of_their_pulls() {
    let assessment = table_top().photo("a", 50.0, 1.0).photo("b", 100.0, 1.0).assess(0.0);
    // −ln 0.85 = 0.162519, −ln 0.70 = 0.356675; mean 0.259597
    near(assessment.channels[0].measured.unwrap().u(), 0.259597, SIX_DECIMALS);
}

#[test]
fn a_calibrated_recording_goes_through_the_heard_table() {
    let heard = Audit::of(vec![
        (pooled(item("fridge", Channel::Heard, yes(8.0), 2.0)), Answer::Yes(true)),
        (item("doorbell", Channel::Heard, yes(10.0), 2.0), Answer::Yes(true)),
    ]);
    let assessment = heard.level(44.0, 0.3, 1.5, "meter").assess(0.0);
    // L_r = 44 + 10·0.3 = 47; between 45 (0.11) and 50 (0.19): 0.11 + 0.08·2/5 = 0.142
    near(assessment.channels[1].measured.unwrap().u(), 0.142, ROUNDING);
    // −ln 0.92 = 0.083382, −ln 0.90 = 0.105361; heard = ½·0.083382 + ½·0.142 + 0.105361 = 0.218052
    near(assessment.channels[1].pull.u(), 0.218052, 2.0 * SIX_DECIMALS);
}

#[test]
fn an_uncalibrated_recording_goes_through_the_margin_table() {
    let room = Audit::of(vec![(pooled(item("fridge", Channel::Heard, yes(8.0), 2.0)), Answer::Yes(true))]);
    // Margin 8 dB, between 5 (0.29) and 10 (0.11): 0.29 − 0.18·3/5 = 0.182
    let assessment = room.clone().margin(8.0).assess(0.0);
    near(assessment.channels[1].measured.unwrap().u(), 0.182, ROUNDING);
    assert!(assessment.cautions.contains(&Caution::MarginOnly));
    near(room.clone().margin(15.0).assess(0.0).channels[1].measured.unwrap().u(), 0.0, 0.0);
    near(room.clone().margin(90.0).assess(0.0).channels[1].measured.unwrap().u(), 0.0, 0.0);
    near(room.margin(-90.0).assess(0.0).channels[1].measured.unwrap().u(), 0.58, 0.0);
}

#[test]
fn a_recording_on_which_the_child_is_heard_gives_no_pull() {
    let mut room = Audit::of(vec![(pooled(item("fridge", Channel::Heard, yes(8.0), 2.0)), Answer::Yes(true))])
        .level(60.0, 1.0, 1.5, "meter");
    room.sound.as_mut().unwrap().child_audible = true;
    let assessment = room.assess(0.0);
    near(assessment.load.points(), 8.0, 1e-9);
    assert_eq!(assessment.channels[1].measured, None);
    assert!(assessment.cautions.contains(&Caution::ChildAudible));
}

#[test]
fn a_recording_that_cannot_be_used_says_what_it_would_need() {
    let mut room = Audit::of(vec![(item("fridge", Channel::Heard, yes(8.0), 2.0), Answer::Yes(true))]);
    let why = "it is silent; check the microphone".to_owned();
    room.sound = Some(SoundReading { level: SoundLevel::Unusable { why: why.clone() }, child_audible: false });
    let assessment = room.assess(0.0);
    near(assessment.load.points(), 8.0, 1e-9);
    assert!(assessment.cautions.contains(&Caution::RecordingUnused { why }));
    for (laeq, share, sd) in [(f64::NAN, 0.0, 1.0), (400.0, 0.0, 1.0), (50.0, 1.5, 1.0), (50.0, 0.5, -1.0)] {
        let assessment = room.clone().level(laeq, share, sd, "meter").assess(0.0);
        near(assessment.load.points(), 8.0, 1e-9);
        assert_eq!(assessment.cautions[0].code(), "recording-unused", "{laeq} {share} {sd}");
    }
}

#[test]
fn a_recording_by_itself_has_the_pull_of_the_table_or_none() {
    let scale = Scale::shipped();
    let reading = |laeq, child_audible| {
        let room = Audit::of(vec![]).level(laeq, 0.0, 1.5, "meter");
        SoundReading { child_audible, ..room.sound.unwrap() }.pull(&scale)
    };
    let table = |db| scale.heard().pull(Decibels::new(db)).u();
    near(reading(50.0, false).unwrap().u(), table(50.0), 1e-12);
    assert!(table(50.0) > 0.0);
    assert_eq!(reading(50.0, true), None);
    assert_eq!(reading(400.0, false), None);
    assert_eq!(reading(400.0, true), None);
}

#[test]
fn a_photo_without_a_sensible_busyness_is_left_out_and_said_so() {
    for (busyness, sd) in [(f64::NAN, 1.0), (101.0, 1.0), (-1.0, 1.0), (50.0, f64::INFINITY)] {
        let assessment = table_top().photo("odd.jpg", busyness, sd).assess(0.0);
        near(assessment.load.points(), 27.325, 1e-9);
        assert_eq!(assessment.cautions[0].code(), "photo-unused");
    }
}

#[test]
fn sensitivities_multiply_pulls() {
    let mut room = Audit::of(vec![
        (item("window", Channel::Seen, yes(10.0), 1.0), Answer::Yes(true)),
        (item("radio", Channel::Heard, yes(20.0), 1.0), Answer::Yes(true)),
        (item("brother", Channel::Company, yes(30.0), 1.0), Answer::Yes(true)),
    ]);
    room.sensitivity = stillroom::load::Sensitivity::new(2.0, 0.5, 1.0).unwrap();
    let assessment = room.assess(0.0);
    // What is left: 0.9² · √0.8 · 0.7 = 0.81 · 0.894427 · 0.7 = 0.507140
    near(assessment.load.points(), 100.0 - 50.7140, FOUR_DECIMALS);
    // Channels are told without the sensitivity.
    near(assessment.channels[0].pull.u(), 0.105361, SIX_DECIMALS);
    near(assessment.channels[1].pull.u(), 0.223144, SIX_DECIMALS);
    assert_eq!(ids(&assessment), ["brother", "window", "radio"]);
}

#[test]
fn what_must_stay_is_never_counted_and_never_a_remedy() {
    let assessment = table_top().keep("toys").keep("picture schedule").assess(60.0);
    // 0.95 · 0.90 = 0.855
    near(assessment.load.points(), 14.5, 1e-9);
    assert_eq!(ids(&assessment), ["window", "cloth"]);
    assert!(assessment.first_moves.ids.iter().all(|id| id.as_str() != "toys"));
    assert_eq!(assessment.keep, ["toys", "picture schedule"]);
    let unseen = table_top().keep("toys").answer("toys", Answer::NotSeen).assess(0.0);
    assert!(unseen.unanswered.is_empty());
}

#[test]
fn what_was_not_seen_widens_only_the_upper_end() {
    let without = table_top().answer("toys", Answer::Count(0)).assess(10.0);
    let unseen = table_top().answer("toys", Answer::NotSeen).assess(10.0);
    assert_eq!(unseen.load, without.load);
    assert_eq!(unseen.load_low, without.load_low);
    assert_eq!(unseen.shares, without.shares);
    // Full pull −ln 0.70 = 0.357, half of it on average: some ten points at the upper end.
    let wider = unseen.load_high.points() - without.load_high.points();
    assert!((8.0..30.0).contains(&wider), "{wider}");
    assert_eq!(unseen.unanswered.len(), 1);
    assert_eq!(unseen.cautions[0].code(), "unanswered");
}

#[test]
fn two_estimates_far_apart_are_reported() {
    // Checklist −ln 0.95 = 0.051 (cloth only); the photo of busyness 50 says 0.163: more than twice, more than 0.05.
    let fewer = table_top().answer("toys", Answer::Count(0)).photo("table.jpg", 50.0, 1.0).assess(0.0);
    assert_eq!(fewer.disagreements.len(), 1);
    assert_eq!(fewer.disagreements[0].channel, Channel::Seen);
    near(fewer.disagreements[0].checklist.u(), 0.051293, SIX_DECIMALS);
    near(fewer.disagreements[0].measured.u(), 0.162519, SIX_DECIMALS);
    // 0.162519 / 0.051293 = 3.2
    let advice = fewer.disagreements[0].advice();
    assert!(advice.contains("the photo finds 3.2 times as much as the answers"), "{advice}");
    assert!(advice.contains("left out in the answers? Recount, or take the photo again"), "{advice}");
    // Checklist 0.213812; the photo of busyness 10 says −ln 0.97 = 0.030459: 7.0 times.
    let more = table_top().photo("table.jpg", 10.0, 1.0).assess(0.0).disagreements[0].advice();
    assert!(more.contains("the answers find 7.0 times as much as the photo"), "{more}");
    assert!(more.contains("Does it show the places that you counted?"), "{more}");
    // 0.213812 and 0.162519: less than a factor of 2.
    assert!(table_top().photo("table.jpg", 50.0, 1.0).assess(0.0).disagreements.is_empty());
    // 0.051293 and 0.0151 (busyness 5): more than a factor of 2, but only 0.036 apart.
    let small = table_top().answer("toys", Answer::Count(0)).photo("table.jpg", 5.0, 1.0).assess(0.0);
    assert!(small.disagreements.is_empty());
}

#[test]
fn first_moves_take_out_an_items_part_of_both_estimates() {
    let assessment = table_top().photo("table.jpg", 50.0, 1.0).assess(4.0);
    // Parts 0.143025 (4 min), 0.045141 (1 min), 0.105361 (1 min): in 4 minutes cloth and window give 0.150502.
    let chosen: Vec<&str> = assessment.first_moves.ids.iter().map(|id| id.as_str()).collect();
    assert_eq!(chosen, ["window", "cloth"]);
    // 0.293526 − 0.150502 = 0.143025 stays: 13.3267
    near(assessment.first_moves.load_after.points(), 13.3267, 2.0 * FOUR_DECIMALS);
    let all = table_top().photo("table.jpg", 50.0, 1.0).assess(6.0);
    near(all.first_moves.load_after.points(), 0.0, 0.0);
}

#[test]
fn grades_begin_at_their_bounds() {
    for (alone, grade) in
        [(19.9, Grade::Still), (20.0, Grade::Gentle), (39.9, Grade::Gentle), (40.1, Grade::Lively), (60.1, Grade::Full)]
    {
        let room = Audit::of(vec![(item("a", Channel::Seen, yes(alone), 1.0), Answer::Yes(true))]);
        assert_eq!(room.assess(0.0).grade, grade, "{alone}");
    }
}

#[test]
fn an_empty_room_has_no_load_no_shares_and_no_moves() {
    let unit = choice(&[("none", 0.0), ("some", 20.0)]);
    let assessment = Audit::of(vec![(item("a", Channel::Seen, unit, 1.0), option("none"))]).assess(20.0);
    assert_eq!([assessment.load, assessment.load_low, assessment.load_high].map(|load| load.points()), [0.0; 3]);
    assert!(assessment.shares.is_empty() && assessment.first_moves.ids.is_empty());
    assert_eq!(assessment.grade, Grade::Still);
}

#[test]
fn a_channel_about_which_nothing_is_known_is_named() {
    let room = Audit::of(vec![
        (item("window", Channel::Seen, yes(10.0), 1.0), Answer::Yes(true)),
        (item("radio", Channel::Heard, yes(20.0), 1.0), Answer::NotSeen),
    ]);
    let cautions = room.assess(0.0).cautions;
    assert!(cautions.contains(&Caution::NotExamined { channel: Channel::Heard }));
    // The list asks nothing about company either.
    assert!(cautions.contains(&Caution::NotExamined { channel: Channel::Company }));
    assert!(!cautions.contains(&Caution::NotExamined { channel: Channel::Seen }));
    // A recording looks at what is heard without a question about it, and what stays is known to stay.
    let heard = table_top().level(40.0, 0.0, 1.5, "meter").assess(0.0).cautions;
    assert!(!heard.contains(&Caution::NotExamined { channel: Channel::Heard }));
    let mut kept = table_top();
    kept.answers.keep = ["toys", "cloth", "window"].map(str::to_owned).to_vec();
    assert!(!kept.assess(0.0).cautions.contains(&Caution::NotExamined { channel: Channel::Seen }));
    assert!(cautions.iter().all(|caution| !caution.text().is_empty()));
}

#[test]
fn a_level_beyond_the_table_is_counted_and_said() {
    let room = Audit::of(vec![]).level(72.0, 0.8, 1.5, "meter");
    let assessment = room.assess(0.0);
    // L_r = 80: 0.80 + 0.22·10/5 = 1.24
    near(assessment.channels[1].measured.unwrap().u(), 1.24, ROUNDING);
    assert!(assessment.cautions.contains(&Caution::BeyondTable { rating_db: 80, last_db: 70 }));
}
