//! The decision table row by row, on logs as short as show it. The table is this tool's own convention: these checks hold
//! the code to the table, not the table to the world.

use jiff::civil::date;
use stillroom::practice::{Criterion, Log, Options, Review, review, step_backs};

use super::log;

/// Builds a log: each row `day rung independent/opportunities [words…]` in March 2026 (days above 31 run into April), with
/// the words `distress`, `left`, `off` (distractor), and anything after `#` as the note.
fn march(rows: &[&str]) -> Log {
    let lines: String = rows.iter().map(|row| line(row)).collect();
    log(&lines)
}

fn line(row: &str) -> String {
    let (facts, note) = row.split_once('#').unwrap_or((row, ""));
    let words: Vec<&str> = facts.split_whitespace().collect();
    let (day, rung) = (words[0].parse::<i8>().unwrap(), words[1]);
    let (independent, opportunities) = words[2].split_once('/').unwrap();
    let has = |word| words[3..].contains(&word);
    let date = if day > 31 { date(2026, 4, day - 31) } else { date(2026, 3, day) };
    let yes_no = |yes: bool| if yes { "yes" } else { "no" };
    format!(
        "{date},{rung},{opportunities},{independent},0,0,{},{},{},10,{}\n",
        u8::from(has("distress")),
        yes_no(!has("left")),
        yes_no(!has("off")),
        note.trim()
    )
}

fn codes(review: &Review) -> Vec<&'static str> {
    review.reasons.iter().map(|reason| reason.code()).collect()
}

#[track_caller]
fn check_with(options: &Options, rows: &[&str], decision: &str, expected: &[&str]) {
    let found = review(&march(rows), options);
    assert_eq!((found.decision.word(), codes(&found)), (decision, expected.to_vec()), "{:?}", found.reasons);
}

#[track_caller]
fn check(rows: &[&str], decision: &str, expected: &[&str]) {
    check_with(&Options::bare(), rows, decision, expected);
}

#[test]
fn row_0_harm_pauses_whatever_the_scores() {
    check(&["2 0 10/10", "3 0 10/10 # Harm: bit a hand"], "pause", &["harm"]);
    // Five rows later it has left the window; it still counts in the pattern.
    check(
        &["2 0 10/10 # harm", "3 0 10/10", "4 0 10/10", "5 0 10/10", "6 0 10/10", "7 0 10/10"],
        "advance",
        &["criterion-met"],
    );
}

#[test]
fn row_1_two_hard_sessions_in_five_pause() {
    check(&["2 0 9/10 distress", "3 0 10/10", "4 0 10/10 left"], "pause", &["distress", "assent-withdrawn"]);
    check(&["2 0 9/10 left", "3 0 10/10", "4 0 10/10 left"], "pause", &["assent-withdrawn"]);
    // Void and unwell sessions count for safety.
    check(
        &["2 1 9/10 distress off", "3 1 9/10 distress # unwell", "4 1 9/10"],
        "pause",
        &["distress", "distractor-absent", "not-enough-data"],
    );
}

#[test]
fn a_lifted_pause_lies_behind() {
    let rows = ["2 0 9/10 distress", "3 0 9/10 left", "4 0 9/10 # cleared by the clinician", "5 0 9/10"];
    check(&rows, "advance", &["criterion-met"]);
    let rows = ["2 0 9/10 distress", "3 0 9/10 left", "4 0 9/10 # Cleared the table first", "5 0 9/10"];
    check(&rows, "pause", &["distress", "assent-withdrawn"]);
    // In a case a note lifts nothing; the clinician's record does.
    let rows = ["2 0 9/10 distress", "3 0 9/10 left", "4 0 9/10 # cleared", "5 0 9/10"];
    let case = Options::in_case(date(2026, 3, 5), None);
    check_with(&case, &rows, "pause", &["distress", "assent-withdrawn"]);
    let case = Options::in_case(date(2026, 3, 5), Some(date(2026, 3, 4)));
    check_with(&case, &rows, "advance", &["criterion-met"]);
    // A session of the day itself is not behind it.
    let case = Options::in_case(date(2026, 3, 5), Some(date(2026, 3, 2)));
    check_with(&case, &rows, "pause", &["distress", "assent-withdrawn"]);
}

#[test]
fn row_2_two_low_sessions_step_back_or_break_the_task_down() {
    check(&["2 1 5/10", "3 1 4/8"], "step-back", &["two-low-sessions", "too-few-opportunities", "not-enough-data"]);
    check(&["2 0 5/10", "3 0 4/10"], "break-down", &["two-low-sessions"]);
    // Under four opportunities a session is passed over; a better one between ends it.
    check(&["2 1 5/10", "3 1 3/3", "4 1 5/10"], "step-back", &["two-low-sessions", "too-few-opportunities"]);
    check(&["2 1 5/10", "3 1 6/10", "4 1 5/10"], "hold", &["between-bounds"]);
}

#[test]
fn rows_3_and_5_a_passed_rung_is_looked_back_at() {
    let passed = ["2 1 9/10", "3 1 10/10", "4 2 9/10"];
    let with = |more: &[&'static str]| [&passed[..], more].concat();
    check(&with(&["5 1 3/4 # maintenance", "6 2 10/10"]), "hold", &["maintenance-low"]);
    check(&with(&["5 1 3/4 # maintenance", "6 1 7/10 # maintenance", "7 2 10/10"]), "step-back", &["maintenance-lost"]);
    check(&with(&["5 1 3/4 # maintenance", "6 1 8/10 # maintenance", "7 2 10/10"]), "advance", &["criterion-met"]);
    // A look back of three opportunities, or without its distractor, shows nothing.
    check(&with(&["5 1 1/3 # maintenance", "6 1 1/9 off # maintenance", "7 2 10/10"]), "advance", &["criterion-met"]);
}

#[test]
fn row_4_a_hard_newest_session_holds() {
    check(&["2 0 10/10", "3 0 10/10", "4 0 10/10 distress"], "hold", &["distress"]);
    check(&["2 0 10/10", "3 0 10/10", "4 0 10/10 left # probe"], "hold", &["assent-withdrawn"]);
}

#[test]
fn rows_6_8_9_the_streak() {
    check(&["2 0 9/10", "3 0 9/10"], "advance", &["criterion-met"]);
    check(&["2 0 9/10", "2 0 10/10"], "hold", &["same-day-sessions"]);
    check(&["2 0 8/10", "3 0 9/10"], "hold", &["one-session-short"]);
    // A short good session is passed over, a short poor one ends the streak, prompts never count.
    check(&["2 0 9/10", "3 0 5/5", "4 0 0/0", "5 0 9/10"], "advance", &["criterion-met", "too-few-opportunities"]);
    check(&["2 0 9/10", "3 0 4/5", "4 0 9/10"], "hold", &["one-session-short", "too-few-opportunities"]);
    // Sessions on the rung before another rung came between are history.
    check(&["2 1 9/10", "3 0 9/10", "4 1 9/10"], "hold", &["one-session-short", "not-enough-data"]);
    // Other kinds do not come between.
    check(&["2 1 9/10", "3 0 9/10 # maintenance", "4 1 9/10"], "advance", &["criterion-met"]);
}

#[test]
fn rows_7_11_12_a_long_record_rises_or_stalls() {
    let flat = ["2 1 7/10", "3 1 8/10", "4 1 7/10", "5 1 8/10", "6 1 7/10", "7 1 8/10"];
    check(&flat, "break-down", &["stalled"]);
    let rising = ["2 1 3/10", "3 1 4/10", "4 1 5/10", "5 1 6/10", "6 1 7/10", "7 1 8/10"];
    check(&rising, "hold", &["rising"]);
    let one_day = ["2 1 7/10", "2 1 8/10", "2 1 7/10", "2 1 8/10", "2 1 7/10", "2 1 8/10"];
    check(&one_day, "hold", &["between-bounds"]);
    check(&flat[1..], "hold", &["between-bounds"]);
}

#[test]
fn row_10_one_session_decides_nothing() {
    check(&["2 0 7/10"], "hold", &["not-enough-data"]);
    check(&["2 1 7/10 # baseline"], "hold", &["not-enough-data"]);
}

#[test]
fn a_gap_of_more_than_ten_days_starts_the_count_anew() {
    check(&["2 0 9/10", "13 0 9/10"], "hold", &["one-session-short", "gap-restarts-count", "not-enough-data"]);
    check(&["2 0 9/10", "12 0 9/10"], "advance", &["criterion-met"]);
    // A void session does not bridge a gap, nor is one from before it told again.
    check(
        &["2 1 9/10", "3 1 9/10 off", "10 1 9/10 off", "13 1 9/10"],
        "hold",
        &["one-session-short", "gap-restarts-count", "not-enough-data"],
    );
    check(&["2 1 9/10", "3 1 9/10 off", "4 1 9/10"], "advance", &["criterion-met", "distractor-absent"]);
}

#[test]
fn a_look_back_falls_due_after_one_two_four_and_eight_weeks() {
    let rows = ["1 0 9/10", "2 0 10/10", "6 1 9/10", "9 1 7/10"];
    let on = |day| Options { today: Some(date(2026, 3, day)), ..Options::bare() };
    check_with(&on(8), &rows, "hold", &["between-bounds"]);
    check_with(&on(9), &rows, "hold", &["between-bounds", "maintenance-due"]);
    let seen = ["1 0 9/10", "2 0 10/10", "6 0 4/4 # maintenance", "7 1 9/10", "9 1 7/10"];
    check_with(&on(15), &seen, "hold", &["between-bounds"]);
    check_with(&on(16), &seen, "hold", &["between-bounds", "maintenance-due"]);
    let early = ["1 0 9/10", "2 0 10/10", "5 0 4/4 # maintenance", "7 1 9/10", "9 1 7/10"];
    check_with(&on(9), &early, "hold", &["between-bounds", "maintenance-due"]);
}

#[test]
fn three_hard_sessions_in_fifteen_are_a_pattern() {
    let rows = [
        "1 0 9/10 distress",
        "2 0 9/10",
        "3 0 9/10",
        "4 0 9/10",
        "5 0 9/10",
        "6 0 9/10 left",
        "7 0 9/10",
        "8 0 9/10",
        "9 0 9/10",
        "10 0 9/10",
        "11 0 9/10 # harm",
        "12 0 9/10",
        "13 0 9/10",
        "14 0 9/10",
        "15 0 9/10",
    ];
    let hard = [&rows[..], &["16 0 9/10"]].concat();
    check(&rows, "pause", &["harm", "distress-pattern"]);
    check(&hard, "advance", &["criterion-met"]);
}

#[test]
fn a_second_step_back_asks_for_a_half_step() {
    let rows = ["2 2 9/10", "3 1 9/10", "4 2 5/10", "5 2 4/10"];
    assert_eq!(step_backs(&march(&rows)), [2]);
    let case = Options { step_backs: vec![2], ..Options::bare() };
    check_with(&case, &rows, "step-back", &["two-low-sessions", "back-again"]);
    check(&rows, "step-back", &["two-low-sessions"]);
}

#[test]
fn sittings_of_a_day_are_added_up() {
    let case = Options { pool_by_day: true, ..Options::bare() };
    let rows = ["2 1 4/4", "2 1 3/4", "2 1 4/4", "3 1 5/5", "3 1 5/5"];
    check_with(&case, &rows, "advance", &["criterion-met"]);
    check(&rows, "hold", &["not-enough-data", "too-few-opportunities"]);
    // Distress in one sitting counts for the day, once; a void sitting gives no answers but keeps its distress.
    check_with(
        &case,
        &["2 1 4/4 distress", "2 1 6/6 distress", "3 1 9/10"],
        "hold",
        &["one-session-short", "distress"],
    );
    check_with(&case, &["2 1 9/10", "3 1 9/10", "3 1 0/10 off distress"], "hold", &["distress", "distractor-absent"]);
    // A void sitting, before or after, takes nothing from the answers of its day.
    check_with(&case, &["2 1 9/10", "3 1 0/10 off", "3 1 9/10"], "advance", &["criterion-met", "distractor-absent"]);
    check_with(&case, &["2 1 9/10", "3 1 9/10", "3 1 0/10 off"], "advance", &["criterion-met", "distractor-absent"]);
    // Another rung, and another kind, is another row.
    check_with(
        &case,
        &["2 0 5/5", "2 1 5/5", "2 1 5/5 # probe"],
        "hold",
        &["not-enough-data", "too-few-opportunities"],
    );
}

#[test]
fn a_pause_says_in_how_many_sessions_there_was_distress_or_leaving() {
    let texts = |rows: &[&str]| {
        let found = review(&march(rows), &Options::bare());
        (found.decision.word(), found.reasons.iter().map(|reason| reason.text()).collect::<Vec<_>>().join(" "))
    };
    let (decision, text) = texts(&["2 1 9/10", "3 1 6/10 distress", "4 1 8/10 left"]);
    assert_eq!(decision, "pause");
    assert!(text.contains("Together, 2 of the last 3 sessions had distress or were left: pause"), "{text}");
    let (decision, text) = texts(&["2 1 9/10", "3 1 6/10 distress", "4 1 8/10"]);
    assert!(decision == "hold" && !text.contains("Together"), "{decision}: {text}");
}

#[test]
fn a_case_adds_up_days_and_its_notes_lift_no_pause() {
    let today = date(2026, 4, 1);
    let options = Options::in_case(today, None);
    assert_eq!((options.today, options.pool_by_day, options.lifted_by_note), (Some(today), true, false));
}

#[test]
fn another_criterion_may_be_set() {
    let options = Options { criterion: Criterion::EIGHT_TENTHS_THRICE, ..Options::bare() };
    check_with(&options, &["2 0 8/10", "3 0 8/10", "4 0 8/10"], "advance", &["criterion-met"]);
    check_with(&options, &["2 0 8/10", "3 0 8/10"], "hold", &["one-session-short"]);
    check(&["2 0 8/10", "3 0 8/10", "4 0 8/10"], "hold", &["between-bounds"]);
}

#[test]
fn a_hard_night_counts_as_distress() {
    let head = super::HEAD.replace("note\n", "note,after\n");
    let text = format!("{head}2026-03-02,0,10,9,0,0,0,yes,no,10,,0\n2026-03-03,0,10,9,0,0,0,yes,no,10,,1\n");
    let found = review(&stillroom::practice::parse(&text, "log.csv").unwrap(), &Options::bare());
    assert_eq!((found.decision.word(), codes(&found)), ("hold", vec!["distress"]));
}

#[test]
fn texts_name_numbers_and_dates_and_what_to_do_and_blame_nobody() {
    let rows = ["1 0 9/10", "2 0 10/10", "3 1 5/10 off", "4 1 4/10", "5 1 3/6 distress", "6 1 4/10 left", "25 1 3/10"];
    let found = review(&march(&rows), &Options { today: Some(date(2026, 4, 1)), ..Options::bare() });
    for reason in &found.reasons {
        let text = reason.text();
        assert!(text.chars().any(|sign| sign.is_ascii_digit()) && text.ends_with('.'), "{text}");
        for word in ["fault", "fail", "blame", "wrong", "should have", "compliance", "refus"] {
            assert!(!text.to_lowercase().contains(word), "{text} contains {word}");
        }
    }
    let distress = found.reasons.iter().find(|reason| reason.code() == "distress").unwrap().text();
    assert!(distress.contains("2026-03-05") && distress.contains("cleared room"), "{distress}");
    assert!(distress.contains("half as many") && distress.contains("end early"), "{distress}");
}
