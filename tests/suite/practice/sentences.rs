//! What a decision says in words, for the reasons that a family meets less often; and by what a rung is made smaller.

use stillroom::practice::{Log, Options, Rung, Task, parse, review, smaller};
use stillroom::words::Channel;

use super::{HEAD, log};

/// A sitting of ten, calm and willing.
fn row(day: u32, rung: u32, right: u32, note: &str) -> String {
    format!("2026-03-{day:02},{rung},10,{right},{},0,no,yes,yes,9,{note}\n", 10 - right)
}

/// The deciding reason of a log: its code, and what its sentence holds.
#[track_caller]
fn check(rows: &[String], decision: &str, code: &str, sentence: &str) {
    let found = review(&log(&rows.concat()), &Options::bare());
    assert_eq!((found.decision.word(), found.reasons[0].code()), (decision, code));
    let text = found.reasons[0].text();
    assert!(text.contains(sentence), "{text}");
}

#[test]
fn a_rung_that_does_not_last_is_said_with_its_looks_back() {
    let passed = [row(2, 1, 9, ""), row(3, 1, 10, ""), row(4, 2, 8, "")];
    let once = [&passed[..], &[row(10, 1, 7, "maintenance")]].concat();
    check(&once, "hold", "maintenance-low", "Rung 1 was passed, but the last look back at it was 7 of 10");
    let twice = [&once[..], &[row(11, 2, 8, ""), row(13, 1, 6, "maintenance")]].concat();
    check(&twice, "step-back", "maintenance-lost", "Go back to rung 1 until it holds again");
}

#[test]
fn one_session_is_one_and_several_are_several() {
    check(&[row(2, 1, 7, "")], "hold", "not-enough-data", "1 session on rung 1 so far");
    check(&[row(2, 1, 7, ""), row(3, 1, 7, ""), row(4, 1, 8, "")], "hold", "between-bounds", "3 sessions so far");
}

#[test]
fn passes_of_one_day_wait_for_another() {
    check(&[row(2, 1, 9, ""), row(2, 1, 10, "")], "hold", "same-day-sessions", "2 passes in a row, all on 2026-03-02");
}

#[test]
fn a_rung_that_rises_is_left_alone_and_one_that_does_not_is_broken_up() {
    let sessions = |right: [u32; 8]| (2..).zip(right).map(|(day, right)| row(day, 1, right, "")).collect::<Vec<_>>();
    check(&sessions([3, 6, 4, 6, 6, 7, 7, 8]), "hold", "rising", "8 sessions count and the trend is +");
    check(&sessions([7, 6, 7, 6, 8, 6, 7, 7]), "break-down", "stalled", "Break this rung into smaller steps");
}

/// The cautions of a log, by code.
#[track_caller]
fn check_cautions(rows: &[String], codes: &[&str]) {
    let found = review(&log(&rows.concat()), &Options::bare());
    assert_eq!(found.cautions.iter().map(|caution| caution.code()).collect::<Vec<_>>(), codes);
}

#[test]
fn what_the_figures_do_not_say_is_said() {
    let alone = [row(2, 1, 7, "")];
    check_cautions(&alone, &["tolerance-not-enough-data", "tolerance-convention"]);
    let two =
        [row(2, 1, 4, "baseline"), row(3, 1, 5, "baseline"), row(4, 1, 7, ""), row(5, 1, 8, ""), row(6, 1, 7, "")];
    check_cautions(&two, &["sessions-not-independent", "few-baseline-sessions", "tolerance-convention"]);
    let found = review(&log(&two.concat()), &Options::bare());
    assert!(found.cautions[1].text().starts_with("Only 2 baseline sessions:"), "{}", found.cautions[1].text());
    let rungs = [(1, 10), (2, 10), (3, 9), (4, 9), (5, 5), (6, 1), (7, 0)];
    let many: Vec<String> = (2..).zip(rungs).map(|(day, (rung, right))| row(day, rung, right, "")).collect();
    check_cautions(&many, &["tolerance-convention"]);
}

/// What is refused names its line and says what to do.
#[track_caller]
fn check_refused(columns: &str, cells: &str, code: &str, message: &str) {
    let head = HEAD.trim_end();
    let text = format!("{head},{columns}\n2026-03-02,1,10,8,2,0,no,yes,yes,9,,{cells}\n");
    let error = parse(&text, "log.csv").unwrap_err();
    assert_eq!((error.code(), error.line()), (code, Some(2)), "{error}");
    assert!(error.to_string().contains(message) && !error.hint().is_empty(), "{error}");
}

#[test]
fn the_details_of_a_sitting_are_read_strictly() {
    check_refused("time", "25:10", "log-time", "column `time`: `25:10` is not a time like 16:30");
    check_refused("time", "9:05", "log-time", "not a time");
    check_refused("prompt_gesture,prompt_full", "2,1", "log-prompts", "add up to 3, but 2 answers were prompted");
    check_refused("attention_s", "long", "log-number", "attention_s");
    let late = parse(&format!("{},time\n2026-03-02,1,10,8,2,0,no,yes,yes,9,,24:00\n", HEAD.trim_end()), "log.csv");
    assert_eq!(late.unwrap_err().hint(), "write hours and minutes, such as 09:05");
    let many = format!("{HEAD}{}", row(2, 1, 8, "").repeat(100_001));
    let error = parse(&many, "log.csv").unwrap_err();
    assert_eq!(error.code(), "log-too-long", "{error}");
}

#[test]
fn every_channel_has_smaller_steps_of_its_own() {
    let rung = |channel| Rung {
        number: 4,
        distractor: "the radio".to_owned(),
        from: Some("off".to_owned()),
        to: "low".to_owned(),
        channel,
        counts: Some((2, 8)),
    };
    for (channel, step) in [
        (Channel::Seen, "twice as far away"),
        (Channel::Heard, "at most 5 dB above the step before"),
        (Channel::Company, "the most familiar person, at the far side of the room"),
    ] {
        let steps = smaller(Some(&rung(channel)), &Task::default(), &Log::default());
        let level: Vec<&str> =
            steps.iter().filter(|step| step.kind == "level").map(|step| step.text.as_str()).collect();
        assert!(level.iter().any(|text| text.contains(step)), "{level:?}");
        assert_eq!(level[0], "the radio: 5 instead of 8, then all.");
        assert!(level.iter().any(|text| text.contains("\"off\" for the rest")), "{level:?}");
    }
    let leaves =
        Task { name: "matching leaves".to_owned(), materials: vec!["six leaves".to_owned()], ..Task::default() };
    let steps = smaller(None, &leaves, &Log::default());
    let pieces: Vec<&str> = steps.iter().filter(|step| step.kind == "task").map(|step| step.text.as_str()).collect();
    assert!(pieces.len() == 4 && pieces[0].starts_with("Fewer pieces of matching leaves (six leaves):"), "{pieces:?}");
    assert!(smaller(None, &Task::default(), &Log::default()).iter().all(|step| step.kind != "level"));
}
