//! Whole logs with their expected answers, and what a log may look like.

use std::collections::BTreeSet;

use serde_json::{Value, json};
use stillroom::practice::{Baseline, Log, Options, PracticeError, Statistics, parse, review};

use super::examples::tolerance_fields;
use super::{HEAD, log, oracle, same};

/// The expected statistics were computed in f64 by the same formulas in another order.
const FIGURE: f64 = 1e-9;
/// The expected bounds of NAP come from a bisection.
const ROOT: f64 = 1e-6;
/// The tolerance of the grid, as given with the examples.
const GRID: f64 = 0.02;
const GRID_STEP: f64 = 0.05 + 1e-9;

fn statistics_fields(found: &Statistics) -> Value {
    json!({
        "sessions": found.sessions, "counted": found.counted, "streak": found.streak, "share_mean": found.share_mean,
        "slope": found.slope.map(|slope| json!({"per_day": slope.per_day, "low": slope.low, "high": slope.high})),
        "baseline": found.baseline.as_ref().map(baseline_fields),
    })
}

fn baseline_fields(found: &Baseline) -> Value {
    json!({
        "n": found.n, "nap": found.nap, "nap_low": found.nap_low, "nap_high": found.nap_high, "tau": found.tau,
        "tau_u": found.tau_u, "tau_bc": found.tau_bc, "trend_p": found.trend_p, "corrected": found.corrected,
        "mean_difference": found.mean_difference, "log_response_ratio": found.log_response_ratio,
        "lrr_se": found.lrr_se,
    })
}

/// Compares JSON field by field; numbers within the tolerance that `tolerance` gives for a field.
#[track_caller]
fn same_fields(what: &str, found: &Value, expected: &Value, tolerance: &impl Fn(&str) -> f64) {
    match expected {
        Value::Object(fields) => {
            assert!(found.is_object(), "{what}: found {found}");
            assert_eq!(found.as_object().unwrap().len(), fields.len(), "{what}: other fields");
            for (field, expected) in fields {
                same_fields(&format!("{what}.{field}"), &found[field], expected, tolerance);
            }
        }
        Value::Number(_) => same(what, found.as_f64(), expected, tolerance(what.rsplit('.').next().unwrap())),
        _ => assert_eq!(found, expected, "{what}"),
    }
}

#[test]
fn every_log_gives_the_expected_answer() {
    let expected: Vec<Value> = serde_json::from_str(&oracle("logs/expected.json")).unwrap();
    assert_eq!(expected.len(), 8);
    for expected in &expected {
        let file = expected["file"].as_str().unwrap();
        let found = review(&parse(&oracle(&format!("logs/{file}")), file).unwrap(), &Options::bare());
        assert_eq!(expected["rung"], found.rung, "{file}");
        assert_eq!(expected["decision"], found.decision.word(), "{file}");
        assert_eq!(expected["must_mention"], found.reasons[0].code(), "{file}: the deciding reason comes first");
        let codes: BTreeSet<&str> = found.reasons.iter().map(|reason| reason.code()).collect();
        assert_eq!(codes.len(), found.reasons.len(), "{file}: a code stands once");
        assert_eq!(expected["all_codes"], json!(codes), "{file}");
        let statistics = statistics_fields(&found.statistics);
        same_fields(file, &statistics, &expected["statistics"], &|field| match field {
            "nap_low" | "nap_high" => ROOT,
            _ => FIGURE,
        });
        let tolerance = tolerance_fields(&found.tolerance.unwrap());
        same_fields(file, &tolerance, &expected["tolerance"], &|field| match field {
            "low" | "high" => GRID_STEP,
            _ => GRID,
        });
    }
}

#[test]
fn a_log_may_come_as_spreadsheets_save_it() {
    let plain = log("2026-03-02,1,10,9,0,1,0,yes,yes,12,calm\n2026-03-02,1,10,8,1,1,0,no,yes,12,\"left, came back\"\n");
    let saved = "\u{feff}\r\n Date ,rung,opportunities,independent,prompted,errors,distress,assent,distractor_on,\
                 minutes,note,,\r\n\r\n2026-03-02,1,10,9,0,1,no,YES,1,12,calm,,\r\n,,,,,,,,,,,,\r\n\
                 2026-03-02,1,10,8,1,1,0,0,yes,12,\"left, came back\",,\r\n   \r\n";
    assert_eq!(parse(saved, "saved.csv").unwrap(), plain);
    let old_mac = format!("{HEAD}2026-03-02,1,10,9,0,1,0,yes,yes,12,calm\n").replace('\n', "\r");
    assert_eq!(parse(&old_mac, "mac.csv").unwrap().sessions(), &plain.sessions()[..1]);
}

#[test]
fn columns_may_stand_in_any_order_and_further_ones_are_kept() {
    let found = parse(
        "note,latency,minutes,distractor_on,assent,distress,errors,prompted,independent,opportunities,rung,date,after,place\n\
         late,4.5,,yes,yes,0,1,0,9,10,1,2026-03-02,1,window table\n",
        "log.csv",
    )
    .unwrap();
    let session = &found.sessions()[0];
    assert!(session.after && session.was_distressed() && !session.distress);
    assert_eq!((session.minutes, session.place.as_deref()), (None, Some("window table")));
    assert_eq!((found.further(), session.further.as_slice()), (&["latency".to_owned()][..], &["4.5".to_owned()][..]));
    assert_eq!(parse(&found.to_csv(), "again.csv").unwrap(), found);
}

#[test]
fn days_are_sorted_and_keep_their_order_within() {
    let found = log(
        "2026-03-03,1,10,1,0,0,0,yes,yes,12,\n2026-03-02,1,10,2,0,0,0,yes,yes,12,\n2026-03-03,1,10,3,0,0,0,yes,yes,12,\n",
    );
    assert_eq!(found.sessions().iter().map(|session| session.independent).collect::<Vec<_>>(), [2, 1, 3]);
}

/// What is refused names file, line and column.
#[track_caller]
fn check_refused(text: &str, code: &str, line: usize, column: &str) {
    let error: PracticeError = parse(text, "log.csv").unwrap_err();
    assert_eq!((error.code(), error.line(), error.column()), (code, Some(line), Some(column)), "{error}");
    let message = error.to_string();
    for part in ["log.csv".to_owned(), format!("line {line}"), format!("`{column}`")] {
        assert!(message.contains(&part), "{message} does not name {part}");
    }
    assert!(!error.hint().is_empty());
}

#[test]
fn refusals_name_line_and_column() {
    let row = |row: &str| format!("{HEAD}2026-03-02,1,10,9,0,1,0,yes,yes,12,\n\n{row}\n");
    check_refused(&HEAD.replace("assent", "asent"), "log-column-missing", 1, "assent");
    check_refused(&HEAD.replace(",note", ""), "log-column-missing", 1, "note");
    check_refused(&format!("\n\n{}", HEAD.replace("prompted", "errors")), "log-column-twice", 3, "errors");
    check_refused(&row("03.03.2026,1,10,9,0,1,0,yes,yes,12,"), "log-date", 4, "date");
    check_refused(&row("2026-02-30,1,10,9,0,1,0,yes,yes,12,"), "log-date", 4, "date");
    check_refused(&row("20260303,1,10,9,0,1,0,yes,yes,12,"), "log-date", 4, "date");
    check_refused(&row("2026-03-03,-1,10,9,0,1,0,yes,yes,12,"), "log-number", 4, "rung");
    check_refused(&row("2026-03-03,1,10.5,9,0,1,0,yes,yes,12,"), "log-number", 4, "opportunities");
    check_refused(&row("2026-03-03,1,10,,0,1,0,yes,yes,12,"), "log-number", 4, "independent");
    check_refused(&row("2026-03-03,1,10,9,0,99999999999,0,yes,yes,12,"), "log-number", 4, "errors");
    check_refused(&row("2026-03-03,1,10,9,0,1,0,yes,yes,-5,"), "log-number", 4, "minutes");
    check_refused(&row("2026-03-03,1,10,9,1,1,0,yes,yes,12,"), "log-sum", 4, "opportunities");
    check_refused(&row("2026-03-03,1,10,9,0,1,2,yes,yes,12,"), "log-yes-no", 4, "distress");
    check_refused(&row("2026-03-03,1,10,+9,0,1,0,yes,yes,12,"), "log-number", 4, "independent");
    check_refused(&row("2026-03-03,1,10,9,0,,0,yes,yes,12,"), "log-number", 4, "errors");
    check_refused(&row("2026-03-03,1,10,9,0,1,0,,yes,12,"), "log-yes-no", 4, "assent");
    check_refused(&row("2026-03-03,1,10,9,0,1,0,yes,true,12,"), "log-yes-no", 4, "distractor_on");
    check_refused(&row("2026-03-03,1,10,9,0,1,0,yes,yes,12"), "log-cells", 4, "note");
    check_refused(&row("2026-03-03,1,10,9,0,1,0,yes,yes,12,left, came back"), "log-cells", 4, "note");
    check_refused(&row("2026-03-03,1,10,9,0,1,0,yes,yes,12,\"left"), "log-quote", 4, "note");
}

#[test]
fn a_quotation_mark_left_open_does_not_swallow_sessions() {
    let text = format!(
        "{HEAD}2026-03-02,1,10,9,0,1,0,yes,yes,12,\"calm\n2026-03-03,1,10,9,0,1,1,no,yes,12,harm\n\
         2026-03-04,1,10,9,0,1,0,yes,yes,12,\"calm\"\n"
    );
    check_refused(&text, "log-quote", 2, "note");
    let late = format!(
        "{HEAD}2026-03-02,1,10,9,0,1,0,yes,yes,12,calm\n2026-03-03,1,10,9,0,1,1,no,yes,12,\"harm\n\
         2026-03-04,1,10,9,0,1,0,yes,yes,12,calm\n"
    );
    for ends in ["\n", "\r\n", "\r"] {
        check_refused(&late.replace('\n', ends), "log-quote", 3, "note");
        let last =
            format!("{HEAD}2026-03-02,1,10,9,0,1,0,yes,yes,12,calm\n2026-03-03,1,10,9,0,1,0,yes,yes,12,\"calm\n");
        check_refused(&last.replace('\n', ends), "log-quote", 3, "note");
    }
}

#[test]
fn a_note_over_two_lines_does_not_shift_the_count_of_lines() {
    let text = format!(
        "{HEAD}2026-03-02,1,10,9,0,1,0,yes,yes,12,\"calm,\nthen tired\"\r\n2026-03-03,1,10,x,0,1,0,yes,yes,12,\n"
    );
    check_refused(&text, "log-number", 4, "independent");
}

#[test]
fn a_missing_column_names_what_may_be_meant() {
    let error = parse(&HEAD.replace("opportunities", "oportunities"), "log.csv").unwrap_err();
    assert!(error.to_string().ends_with("no column `opportunities` (is `oportunities` meant?)"), "{error}");
    let error = parse(&HEAD.replace(',', ";"), "log.csv").unwrap_err();
    assert!(error.to_string().contains("separated by commas"), "{error}");
    assert_eq!(parse("\n \n", "log.csv").unwrap_err().code(), "log-empty");
}

#[test]
fn a_log_without_sessions_holds_for_want_of_data() {
    let found = review(&Log::default(), &Options::bare());
    assert_eq!((found.decision.word(), found.reasons[0].code(), found.rung), ("hold", "not-enough-data", 0));
    assert!(found.tolerance.is_none() && found.statistics.share_mean.is_none());
}

#[test]
fn the_demo_log_ends_one_session_short() {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("demo/sessions.csv");
    let log = parse(&std::fs::read_to_string(path).unwrap(), "demo/sessions.csv").unwrap();
    assert_eq!(log.sessions().len(), 14);
    let found = review(&log, &Options { pool_by_day: true, ..Options::bare() });
    assert_eq!((found.rung, found.decision.word(), found.reasons[0].code()), (2, "hold", "one-session-short"));
}
