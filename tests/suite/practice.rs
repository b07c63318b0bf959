//! Outside checks: practice. Printed figures, reference computations and whole logs, see tests/oracle/practice/README.md.

mod agreeing;
mod calibrated;
mod decisions;
mod examples;
mod explained;
mod logs;
mod properties;
mod sentences;

use std::path::PathBuf;

use serde_json::Value;

/// The text of a file of this check.
fn oracle(name: &str) -> String {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/oracle/practice").join(name);
    std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// Compares a figure with the expected JSON number or null.
#[track_caller]
fn same(what: &str, found: Option<f64>, expected: &Value, tolerance: f64) {
    match (found, expected.as_f64()) {
        (None, None) => assert!(expected.is_null(), "{what}: expected {expected}, found none"),
        (Some(found), Some(expected)) => {
            assert!((found - expected).abs() <= tolerance, "{what}: found {found}, expected {expected} ± {tolerance}");
        }
        _ => panic!("{what}: found {found:?}, expected {expected}"),
    }
}

/// A log with the usual header.
fn log(rows: &str) -> stillroom::practice::Log {
    stillroom::practice::parse(&format!("{HEAD}{rows}"), "log.csv").unwrap()
}

const HEAD: &str = "date,rung,opportunities,independent,prompted,errors,distress,assent,distractor_on,minutes,note\n";
