//! The walk at a terminal: what is asked, in which order, what is kept, and that it ends in the same audit as a file.

use std::ffi::OsString;
use std::fs;
use std::path::Path;

use serde_json::Value;
use stillroom::checklist::{Answer, Checklist, parse, parse_answers, shipped};
use stillroom::cli::{World, run};

use super::{document, refusal, stillroom, with_input};

/// What somebody at a terminal sees, and what the program ends with.
struct Seen {
    code: u8,
    result: String,
    talk: String,
}

impl Seen {
    #[track_caller]
    fn document(&self) -> Value {
        assert_eq!(self.code, 0, "{}", self.talk);
        serde_json::from_str(&self.result).unwrap()
    }
}

/// Types `lines` at a terminal that keeps its state in `folder`; the end of the lines is the end of the input.
fn typed(folder: &Path, words: &[&str], lines: &[&str]) -> Seen {
    let (mut result, mut talk) = (Vec::new(), Vec::new());
    let input: String = lines.iter().map(|line| format!("{line}\n")).collect();
    let code = run(
        std::iter::once("stillroom").chain(words.iter().copied()).map(OsString::from),
        &mut World {
            stdin: &mut input.as_bytes(),
            stdout: &mut result,
            stderr: &mut talk,
            stdin_is_terminal: true,
            stderr_is_terminal: true,
            stdout_is_terminal: false,
            tongue: None.into(),
            zone: jiff::tz::TimeZone::UTC,
            serve: |_, _| Ok(()),
            now: "2026-10-05T09:00:00Z".parse().unwrap(),
            config: None,
            state: Some(folder.join("state")),
        },
    );
    let text = |bytes| String::from_utf8(bytes).unwrap();
    Seen { code, result: text(result), talk: text(talk) }
}

const ORDINARY: &str = include_str!("../../oracle/checklist/REFERENCE-home-corner-ordinary.toml");
const WALK: [&str; 6] = ["audit", "--checklist", "home-corner", "--format", "json", "--minutes=10"];
const BEGIN: [&str; 4] = ["picture schedule, ear defenders", "window table", "visitor", "2026-10-05"];

fn list() -> Checklist {
    parse(shipped()[0].1, "home-corner").unwrap()
}

/// The ordinary room, as it would be typed.
fn ordinary() -> Vec<String> {
    let list = list();
    let answers = parse_answers(ORDINARY, "ordinary", &list).unwrap();
    list.items
        .iter()
        .map(|item| match answers.to(&item.id) {
            Answer::Count(count) => count.to_string(),
            Answer::Yes(there) => if *there { "yes" } else { "n" }.to_owned(),
            Answer::Option(key) => key.clone(),
            Answer::NotSeen => "s".to_owned(),
        })
        .collect()
}

fn lines<'a>(begin: &[&'a str], answers: &'a [String], end: &[&'a str]) -> Vec<&'a str> {
    begin.iter().copied().chain(answers.iter().map(String::as_str)).chain(end.iter().copied()).collect()
}

/// A text without the line breaks and the bold print that the screen puts into it.
fn flat(text: &str) -> String {
    let plain = text.split('\u{1b}').enumerate().map(|(at, piece)| match piece.split_once('m') {
        Some((code, rest)) if at > 0 && code.starts_with('[') => rest,
        _ => piece,
    });
    plain.collect::<String>().split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn a_walk_asks_everything_and_ends_in_the_audit_of_the_same_answers() {
    let folder = tempfile::tempdir().unwrap();
    let answers = ordinary();
    let seen = typed(folder.path(), &WALK, &lines(&BEGIN, &answers, &[""]));
    let doc = seen.document();
    let file = folder.path().join("ordinary.toml");
    fs::write(&file, ORDINARY).unwrap();
    let words = [&WALK[..], &["--answers", "ordinary.toml"]].concat();
    let by_file = document(&stillroom(folder.path(), &words));
    assert_eq!((&doc["load"], &doc["load_high"]), (&by_file["load"], &by_file["load_high"]));
    assert_eq!(doc["keep"], serde_json::json!(["picture schedule", "ear defenders"]));
    let shown = flat(&seen.talk);
    let keep = shown.find("What must stay in reach?").unwrap();
    assert!(keep < shown.find("item 1 of 32").unwrap(), "what must stay is asked first");
    let mut after = keep;
    for item in &list().items {
        let at =
            shown[after..].find(&flat(&item.ask)).unwrap_or_else(|| panic!("{} is not asked in its place", item.id));
        let end = shown[after + at..].find("> ").unwrap();
        let question = &shown[after + at..after + at + end];
        assert!(
            question.contains("Type ") && question.len() > flat(&item.ask).len() + 40,
            "a line of help: {question}"
        );
        after += at;
    }
    assert!(nothing_kept(folder.path()));
}

fn walks(folder: &Path) -> std::path::PathBuf {
    folder.join("state/walks")
}

fn nothing_kept(folder: &Path) -> bool {
    fs::read_dir(walks(folder)).map_or(0, Iterator::count) == 0
}

#[test]
fn an_interrupted_walk_goes_on_where_it_stopped() {
    let folder = tempfile::tempdir().unwrap();
    let answers = ordinary();
    let first = typed(folder.path(), &WALK, &lines(&BEGIN, &answers[..11], &[]));
    assert_eq!((first.code, first.result.as_str()), (1, ""));
    assert!(first.talk.contains("the same command goes on from here"), "{}", first.talk);
    let kept: Vec<_> = fs::read_dir(walks(folder.path())).unwrap().map(|entry| entry.unwrap().path()).collect();
    assert_eq!(kept.len(), 1);
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        assert_eq!(fs::metadata(&kept[0]).unwrap().permissions().mode() & 0o077, 0, "for its owner only");
    }
    let stopped = typed(folder.path(), &WALK, &lines(&["yes"], &answers[11..20], &["q"]));
    assert_eq!(stopped.code, 1);
    assert!(stopped.talk.contains("stopped at item 12 of 32"), "{}", stopped.talk);
    let last = typed(folder.path(), &WALK, &lines(&[""], &answers[20..], &[""]));
    let whole = typed(&folder.path().join("other"), &WALK, &lines(&BEGIN, &answers, &[""]));
    assert_eq!(last.document(), whole.document());
    assert!(nothing_kept(folder.path()), "what is done is not offered again");
}

#[test]
fn an_interrupted_walk_can_be_let_go() {
    let folder = tempfile::tempdir().unwrap();
    let answers = ordinary();
    typed(folder.path(), &WALK, &lines(&BEGIN, &answers[..3], &[]));
    let seen = typed(folder.path(), &WALK, &lines(&["no", "yes", "", "sofa", "", ""], &answers, &[""]));
    let doc = seen.document();
    assert_eq!(
        (doc["place"].as_str(), doc["by"].as_str(), doc["date"].as_str()),
        (Some("sofa"), Some("visitor"), Some("2026-10-05"))
    );
}

#[test]
fn back_skip_and_stay_are_heard() {
    let folder = tempfile::tempdir().unwrap();
    let mut answers = ordinary();
    answers[0] = "s dark corner".to_owned();
    answers[1] = "s".to_owned();
    answers[2] = "k".to_owned();
    // Item 4 is first misread, then gone back to and put right.
    answers.insert(3, "77".to_owned());
    answers.insert(4, "b".to_owned());
    let seen = typed(folder.path(), &WALK, &lines(&BEGIN, &answers, &["b", "", "1", "", ""]));
    // At the end: back to the last, Enter leaves it; item 1 again, Enter leaves it, and so on to the end.
    assert_eq!(seen.code, 1, "going to item 1 asks the rest again, and here the input ends: {}", seen.result);
    let again = typed(folder.path(), &WALK, &[&["yes"][..], &[""; 40]].concat());
    let doc = again.document();
    assert_eq!(doc["unanswered"], serde_json::json!(["loose-things-on-table", "favourite-things-in-reach"]));
    assert_eq!(doc["reasons"]["loose-things-on-table"], "dark corner");
    assert_eq!(doc["reasons"]["favourite-things-in-reach"], "could not see");
    assert_eq!(doc["keep"], serde_json::json!(["picture schedule", "ear defenders", "moving-things-on-table"]));
    let food =
        doc["surfaces"][0]["items"].as_array().unwrap().iter().find(|item| item["id"] == "food-or-drink-in-view");
    assert_ne!(food.unwrap()["answer"], 77);
}

#[test]
fn what_was_mistyped_is_explained_and_asked_again() {
    let folder = tempfile::tempdir().unwrap();
    let mut answers = ordinary();
    answers.insert(0, "many".to_owned());
    answers.insert(1, "?".to_owned());
    let seen = typed(folder.path(), &WALK, &lines(&BEGIN, &answers, &[""]));
    seen.document();
    let shown = flat(&seen.talk);
    assert!(shown.contains("`many` is no count") && shown.contains("What helps later: Clear the table"), "{shown}");
}

#[test]
fn a_walk_through_a_changed_list_is_not_gone_on_with() {
    let folder = tempfile::tempdir().unwrap();
    let own = folder.path().join("own.toml");
    fs::write(&own, shipped()[0].1).unwrap();
    let name = own.display().to_string();
    let words = ["audit", "--checklist", &name, "--format", "json"];
    typed(folder.path(), &words, &lines(&BEGIN, &ordinary()[..3], &[]));
    fs::write(&own, format!("{}\n# changed\n", shipped()[0].1)).unwrap();
    let seen = typed(folder.path(), &words, &["no"]);
    assert_eq!(seen.code, 1);
    assert!(seen.talk.contains("the checklist has changed since"), "{}", seen.talk);
    assert!(!nothing_kept(folder.path()), "it is let go only when that is wanted");
}

#[test]
fn without_a_terminal_nobody_is_asked() {
    let folder = tempfile::tempdir().unwrap();
    let said = refusal(&stillroom(folder.path(), &WALK));
    assert_eq!((said["code"].as_str(), said["place"].as_str()), (Some("answers-missing"), Some("--answers")));
    assert!(said["hint"].as_str().unwrap().contains("stillroom checklist blank home-corner"));
}

#[test]
fn answers_come_from_standard_input_too() {
    let folder = tempfile::tempdir().unwrap();
    let words = [&WALK[..], &["--answers", "-"]].concat();
    let doc = document(&with_input(folder.path(), &words, ORDINARY.as_bytes()));
    fs::write(folder.path().join("a.toml"), ORDINARY).unwrap();
    let words = [&WALK[..], &["--answers", "a.toml"]].concat();
    assert_eq!(doc, document(&stillroom(folder.path(), &words)));
}

#[test]
fn a_recheck_at_a_terminal_takes_the_photo_first() {
    let folder = tempfile::tempdir().unwrap();
    let case = folder.path().join("fern").display().to_string();
    document(&stillroom(folder.path(), &["case", "new", "fern", "--alias", "Fern", "--format", "json"]));
    let words = ["audit", "--case", &case, "--checklist", "home-corner", "--format", "json"];
    let whole = typed(folder.path(), &words, &lines(&BEGIN, &ordinary(), &[""])).document();
    let photo = super::file("demo/photo-after-1.jpg");
    let words = ["audit", "--case", &case, "--recheck", "2026-10-05", "--format", "json"];
    // The photo, no second one; what must stay, who and when as offered; then every question skipped.
    let seen = typed(folder.path(), &words, &[&[photo.as_str(), "", "", "", ""][..], &["s"; 32]].concat());
    let shown = flat(&seen.talk);
    assert!(shown.find("First the photo").unwrap() < shown.find("What must stay in reach?").unwrap());
    // More lines than questions: the walk is over before, so its end is asked again and the input is spent.
    assert_eq!(seen.code, 1, "{shown}");
    let asked: usize = shown.split("item 1 of ").nth(1).unwrap().split(' ').next().unwrap().parse().unwrap();
    assert!(asked < 20, "{asked} of {} are asked", whole["surfaces"].as_array().unwrap().len());
    let lines = [&[photo.as_str(), "", "yes"][..], &[""]].concat();
    let doc = typed(folder.path(), &words, &lines).document();
    assert_eq!(doc["recheck"]["of"], whole["id"]);
    assert_eq!(doc["recheck"]["asked"].as_array().unwrap().len(), asked);
    assert!(doc["channels"]["seen"]["pull_measured"].is_number(), "the photo counts");
}
