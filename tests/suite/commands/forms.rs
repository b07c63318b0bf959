//! `form` and the readers of `report`, as they are typed.

use super::{document, stillroom};

#[test]
fn the_list_names_every_sheet_and_each_can_be_had() {
    let folder = tempfile::tempdir().unwrap();
    let list = document(&stillroom(folder.path(), &["form", "--list", "--format", "json"]));
    assert_eq!(list["schema"], "stillroom.forms/1");
    let forms = list["forms"].as_array().unwrap();
    assert!(forms.len() >= 10);
    for form in forms {
        let name = form["name"].as_str().unwrap();
        let out = stillroom(folder.path(), &["form", name]);
        assert!(out.status.success());
        assert!(out.stdout.starts_with(b"<!DOCTYPE html>"), "{name}");
    }
}

#[test]
fn a_sheet_goes_to_a_file_in_the_language_asked_for() {
    let folder = tempfile::tempdir().unwrap();
    let out = stillroom(folder.path(), &["form", "session-sheet", "--language", "es", "--out", "hoja.html"]);
    assert!(out.status.success());
    let text = std::fs::read_to_string(folder.path().join("hoja.html")).unwrap();
    assert!(text.contains("<html lang=\"es\" dir=\"ltr\">") && text.contains("Hoja de práctica"));
}

#[test]
fn a_wrong_sheet_and_a_wrong_language_are_refused_with_the_right_ones() {
    let folder = tempfile::tempdir().unwrap();
    let refused = |words: &[&str]| {
        let out = stillroom(folder.path(), words);
        assert_eq!(out.status.code(), Some(1));
        assert!(out.stdout.is_empty());
        String::from_utf8(out.stderr).unwrap()
    };
    assert!(refused(&["form", "sesion-sheet"]).contains("did you mean `session-sheet`?"));
    assert!(refused(&["form", "checklist", "--language", "fr"]).contains("es (español)"));
}

#[test]
fn the_three_readers_get_three_pages() {
    let folder = tempfile::tempdir().unwrap();
    assert!(stillroom(folder.path(), &["demo", "--into", "d"]).status.success());
    for (reader, words) in
        [("family", "One thing to do now"), ("visitor", "Summary of the visit"), ("clinician", "How it was worked out")]
    {
        let out = stillroom(folder.path(), &["report", "--case", "d/case", "--for", reader, "--out", "r.html"]);
        assert!(out.status.success());
        assert!(std::fs::read_to_string(folder.path().join("r.html")).unwrap().contains(words), "{reader}");
    }
    let filled = stillroom(folder.path(), &["form", "session-sheet", "--case", "d/case"]);
    assert!(String::from_utf8(filled.stdout).unwrap().contains("Clover"));
}
