//! Handing over with the commands: Debian's `age` opens their packs, a passphrase is asked unseen, a clinic's inbox is merged.

use std::fs;
use std::path::Path;
use std::process::Command;

use stillroom::case::{Case, pack, plan};

use super::made::{case, child, names, note};
use super::packs::{WORDS, WORK, content, now, packed};
use crate::commands::{at_a_terminal, document, refusal, said, stillroom};

/// The archive inside a pack, by Debian's `age` at a terminal.
fn by_age(folder: &Path, pack: &str) -> Vec<u8> {
    let command = format!("age --decrypt --output plain.tar {pack}");
    let (done, seen) = at_a_terminal(folder, &command, &[("assphrase", WORDS)]);
    assert!(done, "{seen}");
    fs::read(folder.join("plain.tar")).unwrap_or_else(|_| panic!("{seen}"))
}

#[test]
fn debians_age_and_tar_open_a_pack_of_the_command_and_the_command_opens_it_again() {
    let outer = tempfile::tempdir().unwrap();
    let case = case(&outer.path().join("fern"), "Fern", 3);
    fs::write(outer.path().join("key.txt"), format!("{WORDS}\n")).unwrap();
    let words = ["case", "pack", "fern", "--out", "fern.age", "--passphrase-file", "key.txt", "--format", "json"];
    let doc = document(&stillroom(outer.path(), &words));
    assert_eq!((doc["holds"][0]["kind"].as_str(), doc["holds"][1]["count"].as_u64()), (Some("child"), Some(3)));
    let sealed = fs::read(outer.path().join("fern.age")).unwrap();
    assert!(String::from_utf8_lossy(&sealed[..80]).lines().nth(1).unwrap().ends_with(" 18"), "full work");
    let plain = by_age(outer.path(), "fern.age");
    fs::create_dir(outer.path().join("plain")).unwrap();
    let tar = Command::new("tar").args(["-xf", "plain.tar", "-C", "plain"]).current_dir(outer.path()).status().unwrap();
    assert!(tar.success() && !plain.is_empty());
    fs::remove_file(outer.path().join("plain").join(stillroom::case::LIST)).unwrap();
    assert_eq!(content(&outer.path().join("plain")), content(case.folder()));
    let words = ["case", "unpack", "fern.age", "--into", "back", "--passphrase-file", "key.txt", "--format", "json"];
    assert_eq!(document(&stillroom(outer.path(), &words))["records"], 4);
    assert_eq!(content(&outer.path().join("back")), content(case.folder()));
    assert_eq!(refusal(&stillroom(outer.path(), &words))["code"], "case-not-empty");
}

#[test]
fn a_pack_that_debians_tar_and_age_made_opens_with_the_command() {
    let outer = tempfile::tempdir().unwrap();
    let case = case(&outer.path().join("fern"), "Fern", 3);
    packed(&case, &outer.path().join("ours.age"));
    by_age(outer.path(), "ours.age");
    let run = |words: &[&str]| Command::new("tar").args(words).current_dir(outer.path()).status().unwrap().success();
    fs::create_dir(outer.path().join("plain")).unwrap();
    assert!(run(&["-xf", "plain.tar", "-C", "plain"]));
    let list = stillroom::case::LIST;
    let files: Vec<String> = names(&outer.path().join("plain")).into_iter().filter(|name| name != list).collect();
    let mut words = vec!["--format=ustar", "-C", "plain", "-cf", "theirs.tar", list];
    words.extend(files.iter().map(String::as_str));
    assert!(run(&words));
    let seal = "age --encrypt --passphrase --output theirs.age theirs.tar";
    let (done, seen) = at_a_terminal(outer.path(), seal, &[("Enter passphrase", WORDS), ("Confirm passphrase", WORDS)]);
    assert!(done, "{seen}");
    let head = fs::read(outer.path().join("theirs.age")).unwrap();
    assert!(head.starts_with(b"age-encryption.org/v1\n-> scrypt "), "not sealed by age with a passphrase");
    fs::write(outer.path().join("key.txt"), format!("{WORDS}\n")).unwrap();
    let words = ["case", "unpack", "theirs.age", "--into", "back", "--passphrase-file", "key.txt", "--format", "json"];
    assert_eq!(document(&stillroom(outer.path(), &words))["records"], 4);
    assert_eq!(content(&outer.path().join("back")), content(case.folder()));
    fs::write(outer.path().join("key.txt"), "eight quiet rivers\n").unwrap();
    let words = ["case", "unpack", "theirs.age", "--into", "gone", "--passphrase-file", "key.txt", "--format", "json"];
    assert_eq!(refusal(&stillroom(outer.path(), &words))["code"], "wrong-passphrase");
    assert!(!outer.path().join("gone").exists());
}

#[test]
fn a_passphrase_is_asked_at_the_terminal_unseen_and_twice_before_it_seals() {
    let outer = tempfile::tempdir().unwrap();
    let case = case(&outer.path().join("fern"), "Fern", 2);
    let program = env!("CARGO_BIN_EXE_stillroom");
    let seal = format!("{program} case pack fern --out fern.age");
    let twice = |again| [("Passphrase: ", WORDS), ("The same again: ", again)];
    let (done, seen) = at_a_terminal(outer.path(), &seal, &twice("seven quiet rovers"));
    assert!(!done && seen.contains("differ"), "{seen}");
    assert_eq!(names(outer.path()), ["fern"]);
    let (done, seen) = at_a_terminal(outer.path(), &seal, &twice(WORDS));
    assert!(done && !seen.contains(WORDS), "{seen}");
    // What cannot work is said before anybody types a passphrase.
    for (command, why) in [
        (&seal, "fern.age is there already"),
        (&format!("{program} case pack fern --out gone/fern.age"), "could not be written"),
        (&format!("{program} case unpack fern.age --into fern"), "is not empty"),
        (&format!("{program} case unpack moss.age --into back"), "moss.age"),
    ] {
        let (done, seen) = at_a_terminal(outer.path(), command, &[]);
        assert!(!done && seen.contains(why) && !seen.contains("Passphrase: "), "{command}: {seen}");
    }
    let open = format!("{program} case unpack fern.age --into back");
    let (done, seen) = at_a_terminal(outer.path(), &open, &[("Passphrase: ", WORDS)]);
    assert!(done && !seen.contains(WORDS), "{seen}");
    assert_eq!(content(&outer.path().join("back")), content(case.folder()));
}

#[test]
fn an_alias_like_a_full_name_is_questioned_at_the_terminal() {
    let outer = tempfile::tempdir().unwrap();
    let new = format!("{} case new fern --alias 'Rosa Marsh'", env!("CARGO_BIN_EXE_stillroom"));
    let (done, seen) = at_a_terminal(outer.path(), &new, &[("[yes/no]", "no")]);
    assert!(!done && names(outer.path()).is_empty(), "{seen}");
    let (done, seen) = at_a_terminal(outer.path(), &new, &[("[yes/no]", "yes")]);
    assert!(done && names(outer.path()) == ["fern"], "{seen}");
}

#[test]
fn without_a_terminal_and_a_file_no_passphrase_is_asked_and_nothing_is_written() {
    let outer = tempfile::tempdir().unwrap();
    let case = case(&outer.path().join("fern"), "Fern", 1);
    packed(&case, &outer.path().join("fern.age"));
    let words = ["case", "unpack", "fern.age", "--into", "back", "--format", "json"];
    assert_eq!(refusal(&stillroom(outer.path(), &words))["code"], "no-passphrase-given");
    assert_eq!(names(outer.path()), ["fern", "fern.age"]);
}

#[test]
fn packs_that_come_in_are_merged_case_by_case_and_what_fails_is_listed() {
    let outer = tempfile::tempdir().unwrap();
    let at = |name: &str| outer.path().join(name);
    fs::create_dir(at("inbox")).unwrap();
    let fern = case(&at("fern"), "Fern", 2);
    packed(&fern, &at("inbox/1.age"));
    fern.add(&note(9, "later")).unwrap();
    packed(&fern, &at("inbox/2.age"));
    // The same alias, another child: a case of its own.
    let mut twin = child("Fern");
    twin.written = "2026-10-01T10:00:00Z".to_owned();
    let (twin, _) = Case::create(&at("twin"), &twin).unwrap();
    packed(&twin, &at("inbox/3.age"));
    fs::write(at("inbox/4.age"), "holiday").unwrap();
    let (other, _) = Case::create(&at("other"), &child("Moss")).unwrap();
    pack(&other, &plan(&other, None, now()).unwrap(), &at("inbox/5.age"), "another clinic's words", WORK).unwrap();
    fs::write(at("keys.txt"), format!("not this one\n{WORDS}\n")).unwrap();
    let words = ["collect", "inbox", "--into", "cases", "--passphrase-file", "keys.txt", "--format", "json"];
    let output = stillroom(outer.path(), &words);
    assert_eq!(output.status.code(), Some(1), "{}", said(&output));
    let doc: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    let packs: Vec<_> = doc["packs"]
        .as_array()
        .unwrap()
        .iter()
        .map(|pack| (pack["case"].as_str().unwrap(), pack["new"].as_bool().unwrap(), pack["added"].as_u64().unwrap()))
        .collect();
    assert_eq!(packs, [("cases/fern", true, 3), ("cases/fern", false, 1), ("cases/fern-2", true, 1)]);
    let failed: Vec<_> = doc["failed"].as_array().unwrap().iter().map(|one| one["name"].as_str().unwrap()).collect();
    assert_eq!(failed, ["4.age", "5.age"]);
    assert_eq!(content(&at("cases/fern")), content(fern.folder()));
    assert_eq!(names(&at("cases")), ["fern", "fern-2"]);
    // A record that is damaged here keeps a pack from being taken whole, and that is not passed over.
    let note = names(&at("cases/fern")).into_iter().find(|name| name.contains("-note-")).unwrap();
    fs::write(at("cases/fern").join(&note), "not what it was").unwrap();
    let output = stillroom(outer.path(), &words);
    let doc: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    let text = doc["failed"][0]["text"].as_str().unwrap();
    assert!(text.contains("merged into cases/fern in part, 0 added") && text.contains(&note), "{text}");
}
