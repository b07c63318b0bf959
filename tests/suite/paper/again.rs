//! A sheet that comes again: after a run that was killed between two records, later in the week with more on it, and as a copy.

use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;

use stillroom::paper::{Field, Kind};

use super::commands::{Desk, label, tuesday};

/// How many records of a kind a case holds, told by their names.
fn count(case: &Path, kind: &str) -> usize {
    let named = |entry: std::io::Result<std::fs::DirEntry>| {
        entry.is_ok_and(|one| {
            let name = one.file_name().into_string().unwrap();
            name.contains(kind) && name.ends_with(".toml") && !name.starts_with('.')
        })
    };
    std::fs::read_dir(case).unwrap().map(named).filter(|is| *is).count()
}

/// Stores a sheet and kills the program as soon as so many records of a kind are there; whether that cut it short.
fn killed_after(desk: &Desk, photo: &str, kind: &str, records: usize) -> bool {
    let case = desk.0.path().join("clover");
    let mut process = Command::new(env!("CARGO_BIN_EXE_stillroom"))
        .args(["paper", photo, "--case", "clover", "--yes"])
        .current_dir(desk.0.path())
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let mut looks = 0;
    while count(&case, kind) < records && process.try_wait().unwrap().is_none() {
        std::thread::sleep(Duration::from_micros(100));
        looks += 1;
        assert!(looks < 1_000_000, "no record came");
    }
    process.kill().unwrap();
    process.wait().unwrap();
    count(&case, "-sheet-") == 0
}

/// Three lines a day for a week: twenty-one records. Eight series.
fn full(kind: Kind) -> Vec<(u8, Field, u16)> {
    match kind {
        Kind::Screens => (0..21).map(|line| (line, Field::Screen, 20)).collect(),
        _ => (0..8u8)
            .flat_map(|row| {
                [(row, Field::Day, u16::from(row % 7)), (row, Field::Moment(0), 0), (row, Field::Moment(1), 1)]
            })
            .collect(),
    }
}

#[test]
fn a_run_that_is_killed_between_two_records_is_finished_by_the_same_photo() {
    let mut short = 0;
    for (number, (kind, word, wanted, kill)) in (600..).zip([
        (Kind::Screens, "-screen-time-", 21, 1),
        (Kind::Screens, "-screen-time-", 21, 9),
        (Kind::Screens, "-screen-time-", 21, 20),
        (Kind::Sampling, "-observation-", 8, 1),
        (Kind::Sampling, "-observation-", 8, 5),
    ]) {
        let desk = Desk::new();
        let case = desk.0.path().join("clover");
        desk.photo("sheet.jpg", label(kind, number), &full(kind));
        let cut = killed_after(&desk, "sheet.jpg", word, kill);
        let before = count(&case, word);
        assert!(before >= kill, "{kind:?} {before}");
        short += usize::from(cut && before < wanted);
        let done = desk.done(&["paper", "sheet.jpg", "--case", "clover", "--yes"]);
        assert_eq!(done["sheets"][0]["already"], !cut, "{kind:?} {before}");
        assert_eq!((count(&case, word), count(&case, "-sheet-")), (wanted, 1), "{kind:?} killed after {before}");
        if cut {
            assert_eq!(done["stored"].as_array().unwrap().len(), wanted + 1, "the sheet names all that came of it");
        }
        let again = desk.done(&["paper", "sheet.jpg", "--case", "clover", "--yes"]);
        assert!(again["stored"].as_array().unwrap().is_empty());
        assert_eq!(count(&case, word), wanted);
        assert_eq!(desk.done(&["case", "check", "clover"])["sound"], true);
    }
    assert!(short >= 2, "hardly a run was cut short: {short}");
}

/// A sitting of two tries alone on a Thursday.
fn thursday() -> Vec<(u8, Field, u16)> {
    vec![(3, Field::Try(0), 0), (3, Field::Try(1), 0), (3, Field::Upset, 1), (3, Field::Came, 0)]
}

#[test]
fn a_sheet_photographed_again_later_in_the_week_gives_what_is_new() {
    let desk = Desk::new();
    let case = desk.0.path().join("clover");
    desk.photo("early.jpg", label(Kind::Sittings, 620), &tuesday());
    desk.done(&["paper", "early.jpg", "--case", "clover", "--yes"]);
    desk.photo("late.jpg", label(Kind::Sittings, 620), &[tuesday(), thursday()].concat());
    let read = desk.done(&["paper", "late.jpg", "--case", "clover"]);
    let sheet = &read["sheets"][0];
    assert_eq!((&sheet["already"], sheet["says"].as_array().unwrap().len()), (&false.into(), 3), "{sheet}");
    assert!(sheet["says"][2].as_str().unwrap().contains("only what is new"), "{sheet}");
    let stored = desk.done(&["paper", "late.jpg", "--case", "clover", "--yes"]);
    assert_eq!(stored["stored"].as_array().unwrap().len(), 2);
    assert_eq!((count(&case, "-session-"), count(&case, "-sheet-")), (2, 2));
    for photo in ["late.jpg", "early.jpg"] {
        let again = desk.done(&["paper", photo, "--case", "clover", "--yes"]);
        assert_eq!(again["sheets"][0]["already"], true, "{again}");
    }
    assert_eq!(count(&case, "-session-"), 2);
}

#[test]
fn a_copy_of_a_sheet_is_told_by_what_is_filled_otherwise() {
    let desk = Desk::new();
    desk.photo("one.jpg", label(Kind::Sittings, 621), &tuesday());
    desk.done(&["paper", "one.jpg", "--case", "clover", "--yes"]);
    let other: Vec<_> = tuesday()
        .into_iter()
        .map(|(row, field, option)| (row, field, if field == Field::Try(1) { 2 } else { option }))
        .collect();
    desk.photo("copy.jpg", label(Kind::Sittings, 621), &other);
    let copy = desk.done(&["paper", "copy.jpg", "--case", "clover", "--yes"]);
    let says = copy["sheets"][0]["says"].to_string();
    assert!(
        says.contains("Tuesday is filled otherwise now") && says.contains("A copied sheet has the same number"),
        "{says}"
    );
    assert!(copy["stored"].as_array().unwrap().is_empty());
}
