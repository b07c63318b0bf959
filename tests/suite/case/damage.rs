//! Damage of every kind is found, named and explained; nothing damaged is taken for sound; mending deletes nothing.

use std::fs;
use std::path::Path;

use jiff::Timestamp;
use proptest::prelude::*;
use stillroom::case::{Case, Checked, aside_of, check, id_of, mend};
use stillroom::contract::{RecordBody, RecordDoc};

use super::made::{case, names, note, session};
use crate::commands::{said, stillroom};

fn checked(folder: &Path) -> Checked {
    check(&Case::open_damaged(folder).unwrap(), Timestamp::UNIX_EPOCH).unwrap()
}

/// The findings as pairs of file and code.
fn codes(folder: &Path) -> Vec<(String, &'static str)> {
    checked(folder).findings.into_iter().map(|one| (one.name, one.code)).collect()
}

fn filled(folder: &Path) -> Case {
    let case = case(folder, "Fern", 3);
    case.add(&session("2026-10-06", 1, 0, 8)).unwrap();
    case.add_photo("2026-10-06".parse().unwrap(), b"not really a picture").unwrap();
    case
}

#[test]
fn one_changed_byte_in_any_file_is_a_finding_that_names_the_file() {
    let outer = tempfile::tempdir().unwrap();
    let folder = outer.path().join("fern");
    filled(&folder);
    assert_eq!(codes(&folder), []);
    for name in names(&folder) {
        let path = folder.join(&name);
        let sound = fs::read(&path).unwrap();
        for at in 0..sound.len() {
            let mut bytes = sound.clone();
            bytes[at] ^= 1 << (at % 8);
            fs::write(&path, &bytes).unwrap();
            let findings = codes(&folder);
            assert!(findings.contains(&(name.clone(), "changed")), "{name}, byte {at}: {findings:?}");
        }
        for bytes in [&sound[..sound.len() - 1], &[sound.as_slice(), b"\n"].concat(), b""] {
            fs::write(&path, bytes).unwrap();
            assert!(codes(&folder).contains(&(name.clone(), "changed")), "{name}");
        }
        fs::write(&path, &sound).unwrap();
    }
    assert_eq!(codes(&folder), []);
}

#[test]
fn copies_that_file_sync_services_make_are_known_by_what_they_hold() {
    let outer = tempfile::tempdir().unwrap();
    let folder = outer.path().join("fern");
    filled(&folder);
    let name = names(&folder).into_iter().find(|name| name.contains("-note-")).unwrap();
    let (stem, bytes) = (name.trim_end_matches(".toml").to_owned(), fs::read(folder.join(&name)).unwrap());
    let put = |copy: &str, bytes: &[u8]| fs::write(folder.join(copy), bytes).unwrap();
    let copies = [
        format!("{stem} (1).toml"),
        format!("{stem} (visitor's conflicted copy 2026-10-07).toml"),
        format!("{stem}.sync-conflict-20261007-101500-ABCDEFG.toml"),
        "dear diary.toml".to_owned(),
    ];
    for copy in &copies {
        put(copy, &bytes);
    }
    put(&format!("{stem} (2).toml"), &bytes[1..]);
    put("holiday.txt", b"sea");
    let found = codes(&folder);
    for copy in &copies {
        assert!(found.contains(&(copy.clone(), "copy")), "{copy}: {found:?}");
    }
    assert!(found.contains(&(format!("{stem} (2).toml"), "changed-copy")), "{found:?}");
    assert!(found.contains(&("holiday.txt".to_owned(), "stray")), "{found:?}");
    // Where the record itself is gone, the copy is the record.
    fs::remove_file(folder.join(&name)).unwrap();
    assert!(codes(&folder).contains(&(copies[0].clone(), "renamed")));
    let before = names(&folder).len();
    let case = Case::open(&folder).unwrap();
    let mended = mend(&case, &check(&case, Timestamp::UNIX_EPOCH).unwrap()).unwrap();
    assert!(mended.restored.contains(&name), "{mended:?}");
    assert_eq!(fs::read(folder.join(&name)).unwrap(), bytes);
    assert_eq!(codes(&folder), [("holiday.txt".to_owned(), "stray")], "what is not ours stays where it is");
    // Nothing was deleted: every file is here or beside the case.
    assert_eq!(names(&folder).len() + names(&aside_of(&folder)).len(), before + 1);
}

#[test]
fn mending_moves_damaged_files_aside_under_names_that_are_free() {
    let outer = tempfile::tempdir().unwrap();
    let folder = outer.path().join("fern");
    let case = filled(&folder);
    let name = names(&folder).into_iter().find(|name| name.contains("-session-")).unwrap();
    for round in ["first damage", "second damage"] {
        fs::write(folder.join(&name), round).unwrap();
        let mended = mend(&case, &checked(&folder)).unwrap();
        assert_eq!(mended.moved, [name.as_str()]);
        assert_eq!(codes(&folder), []);
    }
    let aside = aside_of(&folder);
    assert_eq!(names(&aside), [name.clone(), format!("{name}.2")]);
    assert_eq!(fs::read_to_string(aside.join(&name)).unwrap(), "first damage");
    assert_eq!(case.read().unwrap().records.len(), 4);
}

#[test]
fn a_reference_that_leads_nowhere_is_a_finding() {
    let outer = tempfile::tempdir().unwrap();
    let folder = outer.path().join("fern");
    let case = filled(&folder);
    let first = case.read().unwrap().records[1].name.clone();
    case.add(&RecordDoc { replaces: Some(first.id.clone()), ..note(50, "corrected") }).unwrap();
    let mut about = note(51, "about it");
    if let RecordBody::Note(body) = &mut about.body {
        body.about = Some(first.id.clone());
    }
    let about = case.add(&about).unwrap();
    assert_eq!(codes(&folder), []);
    fs::remove_file(folder.join(first.to_string())).unwrap();
    let findings = codes(&folder);
    assert_eq!(findings.len(), 2, "{findings:?}");
    assert!(findings.contains(&(about.to_string(), "missing-reference")));
    // A session cannot replace a note.
    case.add(&RecordDoc { replaces: Some(about.id), ..session("2026-10-07", 1, 0, 8) }).unwrap();
    assert!(codes(&folder).iter().any(|(_, code)| *code == "replaces-another-kind"));
}

#[test]
fn what_was_written_whole_but_cannot_be_true_is_a_finding() {
    let outer = tempfile::tempdir().unwrap();
    let folder = outer.path().join("fern");
    let case = filled(&folder);
    let mut wrong = session("2026-10-07", 1, 0, 8);
    if let RecordBody::Session(body) = &mut wrong.body {
        body.errors = 5;
    }
    let name = case.add(&wrong).unwrap();
    assert_eq!(codes(&folder), [(name.to_string(), "impossible")]);
}

#[test]
fn reading_commands_go_on_with_what_is_sound_and_say_what_they_left_out() {
    let outer = tempfile::tempdir().unwrap();
    let folder = outer.path().join("fern");
    let case = filled(&folder);
    for day in 7..13 {
        case.add(&session(&format!("2026-10-{day:02}"), 1, 0, 9)).unwrap();
    }
    let name = names(&folder).into_iter().find(|name| name.starts_with("2026-10-08")).unwrap();
    fs::write(folder.join(&name), "damaged").unwrap();
    for words in [&["review", "--case", "fern", "--on", "2026-10-13"][..], &["case", "list", "fern"]] {
        for format in ["text", "json"] {
            let words: Vec<&str> = words.iter().copied().chain(["--format", format]).collect();
            let output = stillroom(outer.path(), &words);
            assert!(output.status.success(), "{words:?}: {}", said(&output));
            assert!(String::from_utf8_lossy(&output.stderr).contains(&name), "{words:?}: {}", said(&output));
        }
    }
    let output = stillroom(outer.path(), &["case", "check", "fern"]);
    assert_eq!(output.status.code(), Some(1));
    assert!(String::from_utf8_lossy(&output.stdout).contains(&name) && output.stderr.is_empty(), "{}", said(&output));
    let output = stillroom(outer.path(), &["case", "check", "fern", "--repair"]);
    assert!(output.status.success(), "{}", said(&output));
    assert!(!folder.join(&name).exists() && aside_of(&folder).join(&name).exists());
}

/// A record as text with one thing changed, under the name that its own hash gives it.
fn forged(folder: &Path, bytes: &[u8]) -> String {
    let name = format!("2026-10-06-session-{}.toml", id_of(bytes));
    fs::write(folder.join(&name), bytes).unwrap();
    name
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 192, ..ProptestConfig::default() })]

    /// A record that was mutated and given its new hash as a name gets past the hash. It must not bring anything down,
    /// and what counts as sound must read and be possible.
    #[test]
    fn mutated_records_bring_nothing_down(at in any::<prop::sample::Index>(), with in any::<Vec<u8>>(), cut in 0usize..40) {
        let outer = tempfile::tempdir().unwrap();
        let folder = outer.path().join("fern");
        let case = case(&folder, "Fern", 1);
        let name = case.add(&session("2026-10-06", 1, 0, 8)).unwrap();
        let mut bytes = fs::read(folder.join(name.to_string())).unwrap();
        let from = at.index(bytes.len());
        let to = (from + cut).min(bytes.len());
        bytes.splice(from..to, with);
        let forged = forged(&folder, &bytes);
        let checked = checked(&folder);
        let found = case.read().unwrap();
        let reads = found.records.iter().any(|stored| stored.name.to_string() == forged);
        let named = checked.findings.iter().any(|one| one.name == forged);
        prop_assert!(reads || named, "neither read nor named: {forged}");
        if reads && !named {
            let stored = found.records.iter().find(|stored| stored.name.to_string() == forged).unwrap();
            prop_assert_eq!(stillroom::case::impossible(&stored.record), Vec::<String>::new());
        }
    }
}
