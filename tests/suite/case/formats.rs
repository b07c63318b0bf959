//! Files of every version there ever was, kept for ever: they read as on the day they were written.

use std::fs;
use std::path::PathBuf;
use std::process::Command;

use stillroom::case::{Case, check};
use stillroom::contract::{RECORD_KINDS, RecordBody, read_record};

use super::made::names;
use crate::commands::root;

/// The case of version 1.
fn version_1() -> PathBuf {
    root().join("tests/formats/v1/fern")
}

#[test]
fn a_case_of_version_1_reads_whole_for_ever() {
    let case = Case::open(&version_1()).unwrap();
    let found = case.read().unwrap();
    assert!(found.left_out.is_empty(), "{:?}", found.left_out);
    let later = Case::open(&root().join("tests/formats/v1/moss")).unwrap().read().unwrap();
    let both = found.records.iter().chain(&later.records);
    let mut kinds: Vec<&str> = both.map(|stored| stored.name.kind.as_str()).collect();
    kinds.sort_unstable();
    kinds.dedup();
    let mut every = RECORD_KINDS.to_vec();
    every.sort_unstable();
    assert_eq!(kinds, every, "a record of every kind");
    let checked = check(&case, jiff::Timestamp::UNIX_EPOCH).unwrap();
    assert!(checked.findings.is_empty() && checked.notices.is_empty(), "{checked:?}");
    assert_eq!(checked.photos, 1);
    let only = |kind: &str| found.records.iter().find(|stored| stored.name.kind == kind).unwrap().record.clone();
    let RecordBody::Child(child) = only("child").body else { panic!("no child") };
    assert_eq!(
        (child.alias.as_str(), child.born.as_deref(), &child.keep[..]),
        ("Fern", Some("2022-07"), &["picture schedule".to_owned()][..])
    );
    let RecordBody::Session(session) = only("session").body else { panic!("no session") };
    assert_eq!((session.rung, session.independent, session.minutes, session.note.as_str()), (1, 8, Some(9), "calm"));
    let RecordBody::Decision(decision) = only("decision").body else { panic!("no decision") };
    assert_eq!((decision.decision.as_str(), decision.signed_by.as_deref()), ("hold", Some("clinician")));
    let RecordBody::Preference(liked) = only("preference").body else { panic!("no preference") };
    assert_eq!((liked.items[0].name.as_str(), liked.items[0].chosen), ("bubbles", 3));
    let RecordBody::Audit(audit) = only("audit").body else { panic!("no audit") };
    assert!(audit.sound.is_some() && audit.photos.len() == 1 && audit.kept_photos.len() == 1);
    assert!(case.photo(&audit.kept_photos[0]).is_some());
    let RecordBody::Ladder(ladder) = only("ladder").body else { panic!("no ladder") };
    assert!(!ladder.plan.rungs.is_empty() && ladder.signed_by.as_deref() == Some("clinician"));
    let RecordBody::Reading(reading) = only("reading").body else { panic!("no reading") };
    assert!(reading.sound.is_some());
    let notes = case.standing(|kind| kind == "note").unwrap().records;
    assert!(
        matches!(&notes[..], [one] if matches!(&one.record.body, RecordBody::Note(note) if note.text == "rain makes the roof loud"))
    );
}

/// Kinds that came after the first case was written.
#[test]
fn the_kinds_that_came_later_read_whole_for_ever() {
    let case = Case::open(&root().join("tests/formats/v1/moss")).unwrap();
    let found = case.read().unwrap();
    assert!(found.left_out.is_empty(), "{:?}", found.left_out);
    let only = |kind: &str| found.records.iter().find(|stored| stored.name.kind == kind).unwrap().record.clone();
    let RecordBody::Observation(seen) = only("observation").body else { panic!("no observation") };
    assert_eq!((seen.method.as_str(), seen.marks.as_str(), seen.interval_s), ("momentary", "yyny-yyy", 15));
    let RecordBody::Need(need) = only("need").body else { panic!("no need") };
    assert_eq!(need.serves.as_deref(), Some("shutting the noise out"));
    let RecordBody::DayPlan(plan) = only("day-plan").body else { panic!("no day plan") };
    assert_eq!((plan.days_a_week, plan.slots[0].trials), (4, 4));
    let RecordBody::Forecast(foretold) = only("forecast").body else { panic!("no forecast") };
    assert_eq!((foretold.rung, foretold.last_independent, foretold.chances.len()), (2, 8, 40));
    let RecordBody::DaySound(heard) = only("day-sound").body else { panic!("no day's sound") };
    assert_eq!((heard.device.as_str(), heard.block.len(), heard.block[0].at.as_str()), ("phone", 2, "16:00"));
    let RecordBody::Possible(said) = only("possible").body else { panic!("nothing possible") };
    assert_eq!(
        (said.taken[1].why.as_str(), said.places[0].minutes, said.places[1].minutes),
        ("cooking", Some(10.0), None)
    );
    let RecordBody::Sheet(sheet) = only("sheet").body else { panic!("no sheet") };
    assert_eq!((sheet.number.as_str(), sheet.filled.len(), sheet.asked.len()), ("48239168", 4, 1));
}

#[test]
fn reading_an_old_case_changes_no_byte_of_it() {
    let folder = version_1();
    let content = || names(&folder).into_iter().map(|name| fs::read(folder.join(name)).unwrap()).collect::<Vec<_>>();
    let before = content();
    let case = Case::open(&folder).unwrap();
    drop(case.read().unwrap());
    assert_eq!(content(), before);
}

#[test]
fn every_file_of_the_old_case_has_the_hash_that_sha256sum_gives() {
    let folder = version_1();
    for name in names(&folder) {
        let output = Command::new("sha256sum").arg(folder.join(&name)).output().unwrap();
        let hash = String::from_utf8(output.stdout).unwrap();
        let stem = name.split('.').next().unwrap();
        assert!(stem.ends_with(&hash[..16]), "{name}: {hash}");
    }
}

#[test]
fn what_a_newer_version_adds_to_an_old_record_is_passed_over() {
    for name in names(&version_1()).into_iter().filter(|name| name.ends_with(".toml")) {
        let text = fs::read_to_string(version_1().join(&name)).unwrap();
        let read = read_record(&text).unwrap();
        let more = text.replacen("written = ", "weather = \"wet\"\nwritten = ", 1);
        assert_eq!(read_record(&more).unwrap(), read, "{name}");
    }
}

/// The pack of version 1 was sealed with the full work, by the passphrase `four quiet rivers meet`.
#[cfg(feature = "hand-over")]
#[test]
fn a_pack_of_version_1_opens_for_ever() {
    let outer = tempfile::tempdir().unwrap();
    let opened =
        stillroom::case::unpack(&root().join("tests/formats/v1/fern.age"), outer.path(), "four quiet rivers meet");
    let opened = opened.unwrap();
    assert_eq!(opened.list.alias, "Fern");
    let back = opened.keep(&outer.path().join("back")).unwrap();
    let content = |folder: &std::path::Path| {
        names(folder).into_iter().map(|name| (name.clone(), fs::read(folder.join(name)).unwrap())).collect::<Vec<_>>()
    };
    assert_eq!(content(back.folder()), content(&version_1()));
}
