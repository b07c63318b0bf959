//! The demo: the whole chain on real files, from any folder, and nothing in it canned.

use std::fs;
use std::path::Path;

use super::{document, root, stillroom};

fn copy_folder(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap() {
        let path = entry.unwrap().path();
        if path.is_file() {
            fs::copy(&path, to.join(path.file_name().unwrap())).unwrap();
        }
    }
}

#[test]
fn the_demo_writes_a_report_a_case_and_pictures_from_any_folder() {
    let folder = tempfile::tempdir().unwrap();
    let doc = document(&stillroom(folder.path(), &["demo", "--format", "json"]));
    let made = folder.path().join("stillroom-demo");
    let report = fs::read_to_string(made.join("report.html")).unwrap();
    assert!(!report.contains("<script") && !report.contains("href=\"http") && !report.contains("src=\"http"));
    assert!(report.contains("<svg") && report.contains("data:image/jpeg;base64,"));
    assert_eq!(doc["compare"]["verdict"], "calmer");
    assert!(doc["now"]["load"].as_f64().unwrap() < doc["before"]["load"].as_f64().unwrap());
    assert!(doc["ladder"]["rungs"].as_array().unwrap().len() >= 4);
    let case = made.join("case");
    let list = document(&stillroom(&case, &["case", "list", ".", "--format", "json"]));
    assert_eq!(list["alias"], doc["alias"]);
    assert!(list["unreadable"].as_array().unwrap().is_empty());
    // What was written is what a user's own commands find in the case.
    let compared = document(&stillroom(&case, &["compare", "--case", ".", "--format", "json"]));
    assert_eq!(compared["load_before"], doc["compare"]["load_before"]);
    assert_eq!(compared["load_after"], doc["compare"]["load_after"]);
}

#[test]
fn the_same_sources_make_the_same_demo() {
    let folder = tempfile::tempdir().unwrap();
    document(&stillroom(folder.path(), &["demo", "--into", "one", "--format", "json"]));
    document(&stillroom(folder.path(), &["demo", "--into", "two", "--format", "json"]));
    let read = |name: &str| fs::read(folder.path().join(name).join("report.html")).unwrap();
    assert_eq!(read("one"), read("two"));
}

#[test]
fn a_changed_recording_changes_the_figures() {
    let folder = tempfile::tempdir().unwrap();
    let sources = folder.path().join("sources");
    copy_folder(&root().join("demo"), &sources);
    let plain =
        document(&stillroom(folder.path(), &["demo", "--from", "sources", "--into", "plain", "--format", "json"]));
    let built_in = document(&stillroom(folder.path(), &["demo", "--into", "inside", "--format", "json"]));
    assert_eq!(plain["before"], built_in["before"], "the program holds the same sources as the folder");
    // The quiet recording in place of the loud one.
    fs::copy(sources.join("room-after.flac"), sources.join("room-before.flac")).unwrap();
    let quiet =
        document(&stillroom(folder.path(), &["demo", "--from", "sources", "--into", "quiet", "--format", "json"]));
    let heard = |doc: &serde_json::Value| doc["before"]["channels"]["heard"]["pull_measured"].as_f64().unwrap();
    assert!(heard(&quiet) < heard(&plain), "{} {}", heard(&quiet), heard(&plain));
    assert!(quiet["before"]["load"].as_f64() < plain["before"]["load"].as_f64());
    assert_eq!(quiet["now"], plain["now"]);
}

#[test]
fn the_demo_never_writes_over_anything() {
    let folder = tempfile::tempdir().unwrap();
    fs::create_dir(folder.path().join("holiday")).unwrap();
    fs::write(folder.path().join("holiday/sea.txt"), "sea").unwrap();
    let refused = super::refusal(&stillroom(folder.path(), &["demo", "--into", "holiday", "--format", "json"]));
    assert_eq!(refused["code"], "folder-not-empty");
    assert_eq!(fs::read_dir(folder.path().join("holiday")).unwrap().count(), 1);
    document(&stillroom(folder.path(), &["demo", "--format", "json"]));
    document(&stillroom(folder.path(), &["demo", "--format", "json"]));
    assert!(folder.path().join("stillroom-demo-2/report.html").exists());
}
