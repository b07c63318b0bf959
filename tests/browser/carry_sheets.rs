//! A filled sheet photographed by the phone that holds the file: read there, asked about, stored once, and taken in at the desk.

use stillroom::paper::{Field, Kind, LAYOUT, Label, Sheet};

use super::driver::Browser;
use super::house::stillroom;
use super::paper::{A4, printed, warped};
use super::phone::{Phone, carried_demo};

/// The places of circles in the drawing of a practice sheet.
fn places(wanted: &[(u8, Field, u16)]) -> Vec<usize> {
    let (kind, language) = (Kind::Sittings, *b"en");
    let label = Label { layout: LAYOUT, kind, language, page: 0, alias: 1, week: None, about: None, number: 0 };
    let circles = Sheet::plain(label).unwrap().circles;
    let at = |(row, field, option): &(u8, Field, u16)| {
        circles.iter().position(|one| (one.row, one.field, one.option) == (*row, *field, *option)).unwrap()
    };
    wanted.iter().map(at).collect()
}

#[test]
fn a_photo_of_a_sheet_is_read_and_stored_on_the_phone() {
    let folder = tempfile::tempdir().unwrap();
    let page = carried_demo(folder.path());
    // Monday of this week: four tries alone; whether the child was upset is not filled in.
    let marks = [
        (0, Field::Try(0), 0),
        (0, Field::Try(1), 0),
        (0, Field::Try(2), 0),
        (0, Field::Try(3), 0),
        (0, Field::On, 0),
        (0, Field::Came, 0),
        (0, Field::Minutes, 10),
    ];
    let lines: Vec<String> = places(&marks).iter().map(|at| format!("[{at},0.7,1.3,0,true]")).collect();
    stillroom(folder.path(), &["form", "session-sheet", "--case", "demo/case", "--out", "sheet.html"]);
    printed(&Browser::new(&[]), folder.path(), &lines.join(","), "#225", A4);
    warped(folder.path(), "0,0 90,110 1240,0 1180,70 1240,1754 1150,1640 0,1754 70,1690", "4.0");
    let photo = folder.path().join("sheet.jpg").display().to_string();

    let phone = Phone::open(&page, &folder.path().join("profile"), &[]);
    let read = |phone: &Phone| {
        phone.go("/sheets");
        phone.browser.kind_in("#sheet-photo", &photo);
        phone.follow("main form button[type=submit]");
        phone.browser.text()
    };
    let text = read(&phone);
    assert!(text.contains("Monday: 4 of 4 alone, 0 with help, 0 not right"), "{text}");
    assert!(text.contains("Monday, upset"), "what is not filled in is asked: {text}");
    phone.browser.keep_picture("carry-sheet");
    // Nothing is stored before it is said.
    phone.follow("form[action='/sheets/store'] button[type=submit]");
    let text = phone.browser.text();
    assert!(!text.contains("Stored:"), "{text}");
    phone.browser.run("document.querySelector('input[name=\"mark-0-1.upset.0\"][value=no]').checked = true");
    phone.follow("form[action='/sheets/store'] button[type=submit]");
    let text = phone.browser.text();
    assert!(text.contains("Stored: 2 records."), "{text}");
    phone.browser.keep_picture("carry-sheet-stored");
    phone.reload();
    let text = read(&phone);
    assert!(text.contains("holds this sheet already"), "{text}");

    // Back into the clinician's own case.
    phone.go("/hand-over");
    phone.browser.kind_in("#passphrase", "heron lantern gravel teapot");
    phone.follow("main form button[type=submit]");
    let out = folder.path().join("out");
    std::fs::create_dir(&out).unwrap();
    let saved = phone.saved(&out, "a[download]").display().to_string();
    std::fs::write(folder.path().join("key.txt"), "heron lantern gravel teapot\n").unwrap();
    let words = ["case", "merge", "demo/case", &saved, "--passphrase-file", "key.txt", "--format", "json"];
    let merged: serde_json::Value = serde_json::from_slice(&stillroom(folder.path(), &words).stdout).unwrap();
    let added = merged["added"].to_string();
    assert!(added.contains("-session-") && added.contains("-sheet-"), "{merged}");
    stillroom(folder.path(), &["case", "check", "demo/case"]);
}
