//! The page as a reader and a browser take it.

use stillroom::report::{audit_report, case_report};

use super::example::Example;

#[test]
fn a_whole_report_is_one_file_under_a_megabyte() {
    let example = Example::new();
    let page = case_report(&example.report());
    std::fs::write(concat!(env!("CARGO_TARGET_TMPDIR"), "/report.html"), &page).unwrap();
    assert!(page.len() < 1_000_000);
    assert!(!audit_report(&example.report()).contains("Practice so far"));
}
