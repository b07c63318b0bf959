//! What is typed: kept at once, refused in the same words as at the terminal, never lost.

use std::path::Path;
use std::thread;

use serde_json::Value;

use super::Page;
use crate::commands::{document, stillroom};

fn case(folder: &Path) {
    let made = stillroom(folder, &["case", "new", "clover", "--alias", "Clover", "--keep", "picture schedule"]);
    assert!(made.status.success());
}

/// Answers every question of a surface as the page asks it: 2 of what is counted, `yes`, or the first option.
fn answers(body: &str) -> Vec<(String, String)> {
    let mut given: Vec<(String, String)> = Vec::new();
    for part in body.split("<input ").skip(1) {
        let tag = part.split('>').next().unwrap();
        let value =
            |name: &str| tag.split(&format!("{name}=\"")).nth(1).map(|rest| rest.split('"').next().unwrap().to_owned());
        let Some(name) = value("name").filter(|name| name.starts_with("a-")) else { continue };
        if given.iter().any(|(known, _)| *known == name) {
            continue;
        }
        let answer = if tag.contains("inputmode=\"numeric\"") { "2".to_owned() } else { value("value").unwrap() };
        given.push((name, answer));
    }
    given
}

fn location(head: &str) -> String {
    head.lines().find_map(|line| line.strip_prefix("Location: ")).unwrap().trim().to_owned()
}

/// Begins a walk and answers the first `surfaces` of it; gives the address that follows.
fn walk(page: &Page, surfaces: usize) -> String {
    let begun = page.post(
        "/room",
        &[("list", "home-corner"), ("place", "window table"), ("by", "parent"), ("keep", "picture schedule\nring")],
    );
    assert_eq!(begun.status, 303, "{}", begun.body);
    let mut at = location(&begun.head);
    for _ in 0..surfaces {
        let shown = page.get(&at);
        assert_eq!(shown.status, 200);
        let given = answers(&shown.body);
        let pairs: Vec<(&str, &str)> = given.iter().map(|(name, answer)| (name.as_str(), answer.as_str())).collect();
        assert!(pairs.len() >= 4, "{at}");
        let sent = page.post(&at, &pairs);
        assert_eq!(sent.status, 303, "{}", sent.body);
        at = location(&sent.head);
    }
    at
}

#[test]
fn an_audit_on_the_page_gives_the_figures_of_the_terminal() {
    let folder = tempfile::tempdir().unwrap();
    case(folder.path());
    let page = Page::start(folder.path(), &["--case", "clover"]);
    let measure = walk(&page, 5);
    assert_eq!(measure, "/room/measure/home-corner");
    let done = page.post(&measure, &[("minutes", "20")]);
    assert_eq!(done.status, 303, "{}", done.body);
    let found = page.get(&location(&done.head));
    assert_eq!(found.status, 200);
    let list = document(&stillroom(folder.path(), &["case", "list", "clover", "--format", "json"]));
    let id = list["records"].as_array().unwrap().iter().find(|record| record["kind"] == "audit").unwrap()["id"]
        .as_str()
        .unwrap()
        .to_owned();
    let file = std::fs::read_dir(folder.path().join("clover"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .find(|path| path.to_string_lossy().contains(&id))
        .unwrap();
    let record: toml::Table = std::fs::read_to_string(file).unwrap().parse().unwrap();
    let audit = record["audit"].as_table().unwrap();
    std::fs::write(folder.path().join("answers.toml"), audit["answers_text"].as_str().unwrap()).unwrap();
    let again = document(&stillroom(
        folder.path(),
        &["audit", "--checklist", "home-corner", "--answers", "answers.toml", "--minutes", "20", "--format", "json"],
    ));
    let stored = serde_json::to_value(&audit["figures"]).unwrap();
    for field in ["load", "load_low", "load_high", "pull", "grade", "shares", "first_moves", "keep"] {
        assert_eq!(plain(&stored[field]), plain(&again[field]), "{field}");
    }
    assert!(found.body.contains(&format!("load {:.0} of 100", again["load"].as_f64().unwrap())), "{}", found.body);
}

/// TOML has no null: a field that is missing there is null here.
fn plain(value: &Value) -> Value {
    match value {
        Value::Object(fields) => Value::Object(
            fields
                .iter()
                .filter(|(_, value)| !value.is_null())
                .map(|(name, value)| (name.clone(), plain(value)))
                .collect(),
        ),
        Value::Array(all) => Value::Array(all.iter().map(plain).collect()),
        // The reader of JSON here may miss the last binary digit; what is printed is whole.
        Value::Number(number) => serde_json::json!(format!("{:.13e}", number.as_f64().unwrap())),
        other => other.clone(),
    }
}

#[test]
fn a_page_that_is_killed_in_the_middle_of_an_audit_loses_nothing() {
    let folder = tempfile::tempdir().unwrap();
    case(folder.path());
    let page = Page::start(folder.path(), &["--case", "clover"]);
    let next = walk(&page, 3);
    page.kill();
    let page = Page::start(folder.path(), &["--case", "clover"]);
    assert!(page.get("/room").body.contains("is not finished yet"));
    for surface in ["table", "floor", "wall"] {
        let shown = page.get(&format!("/room/walk/home-corner/{surface}")).body;
        assert!(shown.contains("value=\"2\"") || shown.contains(" checked"), "{surface}");
    }
    assert_eq!(page.get(&next).status, 200);
}

#[test]
fn what_is_wrong_is_said_beside_what_was_typed() {
    let folder = tempfile::tempdir().unwrap();
    case(folder.path());
    let page = Page::start(folder.path(), &["--case", "clover"]);
    let at = walk(&page, 0);
    let wrong = page.post(&at, &[("a-loose-things-on-table", "minus two")]);
    assert_eq!(wrong.status, 422);
    assert!(wrong.body.contains("role=\"alert\"") && wrong.body.contains("minus two"));
    let terminal = stillroom(folder.path(), &["case", "new", "x", "--alias", "anna@example.org"]);
    let words = String::from_utf8(terminal.stderr).unwrap();
    let refused = page.post("/case/new", &[("new-folder", "x"), ("alias", "anna@example.org")]);
    assert_eq!(refused.status, 422);
    let said = words.lines().next().unwrap().trim_start_matches("error: ");
    assert!(refused.body.contains(said), "{said}\n{}", refused.body);
    assert!(!folder.path().join("x").exists());
}

#[test]
fn two_pages_write_to_one_case_at_once() {
    let folder = tempfile::tempdir().unwrap();
    case(folder.path());
    let pages = [Page::start(folder.path(), &["--case", "clover"]), Page::start(folder.path(), &["--case", "clover"])];
    let lists = ["play-floor", "group-room"];
    thread::scope(|scope| {
        for (page, list) in pages.iter().zip(lists) {
            scope.spawn(move || {
                for _ in 0..4 {
                    let begun = page.post("/room", &[("list", list), ("place", list), ("by", "parent")]);
                    assert_eq!(begun.status, 303);
                    let done = page.post(&format!("/room/measure/{list}"), &[]);
                    assert_eq!(done.status, 303, "{}", done.body);
                }
            });
        }
    });
    let list = document(&stillroom(folder.path(), &["case", "list", "clover", "--format", "json"]));
    let audits = list["records"].as_array().unwrap().iter().filter(|record| record["kind"] == "audit").count();
    // The same empty walk on the same day is the same record, so each list stands at least once and none is broken.
    assert!(audits >= 2, "{audits}");
    assert!(stillroom(folder.path(), &["case", "check", "clover"]).status.success());
}

#[test]
fn a_record_that_is_damaged_taken_away_or_added_while_the_page_runs_is_noticed() {
    let folder = tempfile::tempdir().unwrap();
    assert!(stillroom(folder.path(), &["demo", "--into", "demo"]).status.success());
    let page = Page::start(folder.path(), &["--case", "demo/case"]);
    let case = folder.path().join("demo/case");
    let audit = std::fs::read_dir(&case)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.to_string_lossy().contains("-audit-"))
        .max()
        .unwrap();
    let left_out = "could not be read";
    let first = page.get("/").body;
    assert!(!first.contains(left_out));
    // The second view comes from memory and is the same.
    assert_eq!(page.get("/").body, first);
    let sound = std::fs::read(&audit).unwrap();
    let mut damaged = sound.clone();
    let at = damaged.len() / 2;
    damaged[at] ^= 1;
    // Same name, same length, and even the same time of writing: only the system knows that it was touched.
    let written = std::fs::metadata(&audit).unwrap().modified().unwrap();
    std::fs::write(&audit, &damaged).unwrap();
    std::fs::File::options().write(true).open(&audit).unwrap().set_modified(written).unwrap();
    let shown = page.get("/").body;
    assert!(shown.contains(left_out) && shown.contains(audit.file_name().unwrap().to_str().unwrap()), "{shown}");
    std::fs::write(&audit, &sound).unwrap();
    assert_eq!(page.get("/").body, first);
    std::fs::remove_file(&audit).unwrap();
    let fewer = page.get("/").body;
    assert!(fewer != first && !fewer.contains(left_out));
    std::fs::write(&audit, &sound).unwrap();
    assert_eq!(page.get("/").body, first);
}
