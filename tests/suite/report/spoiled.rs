//! What happens to the page when its data are hostile, missing, empty or no numbers.

use stillroom::contract::{AuditDoc, LadderDoc, LevelsDoc, PhotoDoc, ReviewDoc, SoundDoc};
use stillroom::report::CaseReport;

use super::charts::{charts, drawn};
use super::example::{Example, case_report};
use super::page::{nested, words};

/// Every text of a document replaced by one that would break a careless page.
fn spoil<T: serde::Serialize + serde::de::DeserializeOwned>(doc: &T) -> T {
    fn walk(value: &mut serde_json::Value) {
        match value {
            serde_json::Value::String(text) => {
                *text = format!("\"'><script>alert(1)</script><svg onload=x>&amp;\u{202e}\u{1b}[2J{text}")
            }
            serde_json::Value::Array(values) => values.iter_mut().for_each(walk),
            serde_json::Value::Object(map) => map.values_mut().for_each(walk),
            _ => {}
        }
    }
    let mut value = serde_json::to_value(doc).unwrap();
    walk(&mut value);
    serde_json::from_value(value).unwrap()
}

#[test]
fn hostile_names_stay_words() {
    let plain = Example::new();
    let hostile = "</title></style><script>alert(1)</script>";
    let (before, now): (AuditDoc, AuditDoc) = (spoil(&plain.before), spoil(&plain.now));
    let (sound, ladder, review): (SoundDoc, LadderDoc, ReviewDoc) =
        (spoil(&plain.sound), spoil(&plain.ladder), spoil(&plain.review));
    let photos: Vec<PhotoDoc> = plain.photos.iter().map(spoil).collect();
    let spoiled = Example {
        before,
        now,
        compare: spoil(&plain.compare),
        sound_before: sound.clone(),
        sound,
        photos,
        ladder,
        review,
        sessions: plain.sessions.clone(),
        curve: plain.curve.clone(),
    };
    let mut report = spoiled.report();
    report.alias = Some(hostile);
    report.age = Some(hostile.to_owned());
    report.task = Some(hostile);
    report.made_on = hostile;
    report.version = hostile;
    report.ladder_signed_by = Some(hostile);
    report.calculation = vec![hostile.to_owned()];
    report.constants[0].name = hostile.to_owned();
    let page = case_report(&report);
    nested(&page);
    assert!(!page.contains("<script") && !page.contains("<svg onload"));
    assert!(!page.chars().any(|sign| sign == '\u{202e}' || (sign.is_control() && sign != '\n')));
    assert_eq!(page.matches("</style>").count(), 1);
    assert_eq!(page.matches("</title></head>").count() + page.matches("</title><style>").count(), 1);
    for chart in charts(&page) {
        drawn(chart);
    }
}

/// The report with the parts of that pattern of bits left out.
fn without<'a>(example: &'a Example, parts: u32) -> CaseReport<'a> {
    let mut report = example.report();
    let gone = |part: u32| parts >> part & 1 == 1;
    if gone(0) {
        report.before = None;
    }
    if gone(1) {
        report.compare = None;
    }
    if gone(2) {
        report.now.sound = None;
        report.now.nc_curve = None;
    }
    if gone(3) {
        report.now.photos.clear();
    }
    if gone(4) {
        report.ladder = None;
    }
    if gone(5) {
        report.sessions.clear();
    }
    if gone(6) {
        report.review = None;
    }
    report
}

#[test]
fn whatever_is_missing_is_said_to_be_missing() {
    let example = Example::new();
    let said = [
        "there is no earlier audit of this place",
        "",
        "this audit has no recording",
        "this audit has no photo",
        "there is no ladder in this case",
        "no session is recorded yet",
        "No decision has been worked out",
    ];
    for parts in 0..128u32 {
        let page = case_report(&without(&example, parts));
        nested(&page);
        let text = words(&page);
        for (part, sentence) in said.iter().enumerate().filter(|(_, sentence)| !sentence.is_empty()) {
            assert_eq!(text.contains(sentence), parts >> part & 1 == 1, "{parts:b}: {sentence}");
        }
    }
}

#[test]
fn an_empty_audit_is_still_a_page() {
    let mut example = Example::new();
    for audit in [&mut example.now, &mut example.before] {
        audit.shares.clear();
        audit.surfaces.clear();
        audit.keep.clear();
        audit.cautions.clear();
        audit.disagreements.clear();
        audit.first_moves.ids.clear();
    }
    example.ladder.rungs.clear();
    example.ladder.obstacles.clear();
    example.compare.items.clear();
    example.sound.third_octaves.clear();
    example.sound.octaves.clear();
    example.sound.history_laeq_db.clear();
    example.sound.levels = LevelsDoc::default();
    example.photos[0].busy_places.clear();
    let mut report = example.report();
    report.now.nc_curve = None;
    report.constants.clear();
    report.calculation.clear();
    report.names.clear();
    report.level_names.clear();
    let page = case_report(&report);
    nested(&page);
    let text = words(&page);
    for said in [
        "no surface was scored",
        "no distractor has a share",
        "the recording gives no bands",
        "What must stay in reach was not noted",
        "No part stands out",
        "There is nothing to add",
    ] {
        assert!(text.contains(said), "{said}");
    }
}

#[test]
fn a_number_that_is_none_is_never_printed() {
    for odd in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 1e300, -1e300] {
        let mut example = Example::new();
        example.now.load = odd;
        example.now.load_high = odd;
        example.now.channels.seen.pull = odd;
        example.now.shares[0].share = odd;
        example.now.surfaces[0].load = odd;
        example.now.first_moves.load_after = odd;
        example.compare.difference = odd;
        example.sound.third_octaves[3].db = odd;
        example.sound.octaves[3].db = odd;
        example.sound.history_laeq_db[100] = odd;
        example.sound.levels.laeq_db = Some(odd);
        example.photos[0].busyness = odd;
        example.photos[0].busy_places[0].x = odd;
        example.ladder.rungs[2].load = odd;
        example.ladder.rungs[2].step = odd;
        example.sessions[4].share = Some(odd);
        let mut report = example.report();
        report.now.nc_curve = None;
        let page = case_report(&report);
        nested(&page);
        let text = words(&page);
        assert!(!text.contains("NaN") && !text.split(' ').any(|word| word.trim_start_matches('−') == "inf"), "{odd}");
        for chart in charts(&page) {
            drawn(chart);
        }
    }
}
