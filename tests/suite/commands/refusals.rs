//! Bad input of every kind ends in one clear message and exit 1, with nothing half-written.

use std::fs;

use super::{file, refusal, root, said, stillroom, with_input};

/// Every command that reads a file, with `FILE` where the file goes.
const READERS: &[&[&str]] = &[
    &["sound", "FILE"],
    &["photo", "FILE"],
    &["checklist", "check", "FILE"],
    &["checklist", "score", "home-corner", "--answers", "FILE"],
    &["audit", "--checklist", "home-corner", "--answers", "FILE"],
    &["audit", "--checklist", "FILE", "--answers", "FILE"],
    &["ladder", "--from", "FILE"],
    &["review", "--log", "FILE"],
];

fn with_file<'a>(words: &[&'a str], file: &'a str) -> Vec<&'a str> {
    words.iter().map(|word| if *word == "FILE" { file } else { word }).chain(["--format", "json"]).collect()
}

#[test]
fn every_reader_refuses_what_is_no_file_of_its_kind() {
    let folder = tempfile::tempdir().unwrap();
    let put = |name: &str, content: &[u8]| fs::write(folder.path().join(name), content).unwrap();
    put("empty.bin", b"");
    put("random.bin", &(0..4096u32).map(|n| n.wrapping_mul(2_654_435_761).to_be_bytes()[1]).collect::<Vec<_>>());
    put("text.bin", b"dear diary, today we matched leaves\n");
    put("page.html", b"<!doctype html><title>no</title>");
    put("half.toml", b"format = \"stillroom.checklist/1\"\nid = \"x\n");
    fs::create_dir(folder.path().join("folder")).unwrap();
    for words in READERS {
        for name in ["empty.bin", "random.bin", "text.bin", "page.html", "half.toml", "folder", "gone.bin"] {
            let output = stillroom(folder.path(), &with_file(words, name));
            let document = refusal(&output);
            let whole = document.to_string();
            assert!(whole.contains(name), "{words:?} {name}: the refusal does not name the file: {whole}");
            assert!(document["hint"].is_string(), "{words:?} {name}: no hint: {whole}");
        }
    }
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 6, "something was left behind");
}

#[test]
fn a_folder_and_a_missing_file_are_told_apart() {
    let folder = tempfile::tempdir().unwrap();
    let code = |name| refusal(&stillroom(folder.path(), &["sound", name, "--format", "json"]))["code"].clone();
    assert_eq!(code("."), "is-a-folder");
    assert_eq!(code("gone.wav"), "no-such-file");
}

#[test]
fn a_refusal_for_people_says_what_where_and_what_to_do() {
    let output = stillroom(&root(), &["photo", "gone.jpg"]);
    assert_eq!(output.status.code(), Some(1));
    let shown = String::from_utf8_lossy(&output.stderr);
    assert!(shown.starts_with("error: ") && shown.contains("gone.jpg") && shown.contains("\nhint: "), "{shown}");
}

#[test]
fn names_with_control_signs_are_escaped() {
    let output = stillroom(&root(), &["sound", "a\u{1b}[2Jb.wav"]);
    assert_eq!(output.status.code(), Some(1));
    assert!(!output.stderr.contains(&0x1b), "{}", said(&output));
}

#[test]
fn a_wrong_answer_names_line_item_and_the_nearest_right_name() {
    let answers = "format = \"stillroom.answers/1\"\nchecklist = \"home-corner\"\nplace = \"window table\"\n\
                   date = \"2026-10-05\"\nby = \"visitor\"\n[answers]\nloose-thigns-on-table = 3\n";
    let words = ["checklist", "score", "home-corner", "--answers", "-", "--format", "json"];
    let document = refusal(&with_input(&root(), &words, answers.as_bytes()));
    let message = document["message"].as_str().unwrap();
    for part in ["line 7", "loose-thigns-on-table", "loose-things-on-table"] {
        assert!(message.contains(part), "{message}");
    }
}

#[test]
fn a_wrong_checklist_name_gets_the_nearest_right_one() {
    let document = refusal(&stillroom(&root(), &["checklist", "show", "home-conrer", "--format", "json"]));
    assert!(document["message"].as_str().unwrap().contains("`home-corner`"), "{document}");
}

#[test]
fn a_refused_audit_stores_nothing() {
    let folder = tempfile::tempdir().unwrap();
    assert!(stillroom(folder.path(), &["case", "new", "fern", "--alias", "Fern"]).status.success());
    let before = fs::read_dir(folder.path().join("fern")).unwrap().count();
    let answers = file("demo/answers-before.toml");
    for bad in [
        &["--photo", "gone.jpg"][..],
        &["--sound", "gone.wav"],
        &["--minutes", "-4"],
        &["--place", " "],
        &["--scale", "gone.toml"],
    ] {
        let mut words =
            vec!["audit", "--case", "fern", "--checklist", "home-corner", "--answers", &answers, "--format", "json"];
        words.extend(bad);
        let joined: Vec<String> = if bad[0] == "--minutes" {
            words[..words.len() - 2].iter().map(ToString::to_string).chain(["--minutes=-4".to_owned()]).collect()
        } else {
            words.iter().map(ToString::to_string).collect()
        };
        let words: Vec<&str> = joined.iter().map(String::as_str).collect();
        refusal(&stillroom(folder.path(), &words));
    }
    assert_eq!(fs::read_dir(folder.path().join("fern")).unwrap().count(), before);
}

#[test]
fn a_full_name_or_a_birth_date_does_not_become_a_case() {
    let folder = tempfile::tempdir().unwrap();
    for words in [
        &["case", "new", "x", "--alias", "Anna Example"][..],
        &["case", "new", "x", "--alias", "Fern", "--born", "2022-07-14"],
        &["case", "new", "x", "--alias", "fern@example.org"],
    ] {
        let words: Vec<&str> = words.iter().copied().chain(["--format", "json"]).collect();
        refusal(&stillroom(folder.path(), &words));
    }
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0);
}

#[test]
fn a_reader_that_goes_away_ends_the_command_quietly() {
    use std::process::{Command, Stdio};
    let mut child = Command::new(env!("CARGO_BIN_EXE_stillroom"))
        .args(["checklist", "show", "home-corner"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert!(output.status.success() && output.stderr.is_empty(), "{}", said(&output));
}
