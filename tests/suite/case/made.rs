//! Records and cases made for the tests.

use std::path::Path;

use stillroom::case::Case;
use stillroom::contract::{ChildBody, NoteBody, RECORD_FORMAT, RecordBody, RecordDoc, SessionBody};

/// A record of that day, written at that second of it.
pub(crate) fn record(date: &str, second: u32, body: RecordBody) -> RecordDoc {
    RecordDoc {
        format: RECORD_FORMAT.to_owned(),
        date: date.to_owned(),
        written: format!("{date}T09:{:02}:{:02}Z", second / 60 % 60, second % 60),
        by: None,
        replaces: None,
        body,
    }
}

/// A child record.
pub(crate) fn child(alias: &str) -> RecordDoc {
    let body = ChildBody {
        alias: alias.to_owned(),
        born: Some("2022-07".to_owned()),
        keep: vec!["picture schedule".to_owned()],
        sound_sensitive: "no".to_owned(),
        hearing_checked: "yes".to_owned(),
        excluded_sounds: vec![],
    };
    record("2026-10-01", 0, RecordBody::Child(body))
}

/// A note.
pub(crate) fn note(second: u32, text: &str) -> RecordDoc {
    let body = NoteBody { text: text.to_owned(), place: None, about: None };
    record("2026-10-05", second, RecordBody::Note(body))
}

/// A session of ten opportunities.
pub(crate) fn session(date: &str, second: u32, rung: u32, independent: u32) -> RecordDoc {
    let body = SessionBody {
        rung,
        opportunities: 10,
        independent,
        prompted: 10 - independent,
        errors: 0,
        distress: false,
        assent: true,
        distractor_on: true,
        minutes: Some(10),
        note: String::new(),
        task: None,
        place: Some("window table".to_owned()),
        exemplar: None,
        after: false,
        details: stillroom::contract::DetailsBody::default(),
    };
    record(date, second, RecordBody::Session(body))
}

/// A case in a folder, with that many notes.
pub(crate) fn case(folder: &Path, alias: &str, notes: u32) -> Case {
    let (case, _) = Case::create(folder, &child(alias)).unwrap();
    for number in 0..notes {
        case.add(&note(number, &format!("note {number}"))).unwrap();
    }
    case
}

/// The names of the files in a folder, sorted.
pub(crate) fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> =
        std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}
