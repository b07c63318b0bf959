//! `paper` as somebody uses it at a terminal: what is doubtful is asked in words, nothing is stored before a yes, and the strip
//! with the note is kept only if asked.

use stillroom::paper::{Field, Kind, Label, Sheet};

use super::commands::{Desk, label, photographed, tuesday};
use crate::commands::{at_a_terminal, document, stillroom};

const PROGRAM: &str = env!("CARGO_BIN_EXE_stillroom");

/// Upset is not filled in; of willing both circles are.
fn unclear() -> Vec<(u8, Field, u16)> {
    let mut marks: Vec<_> = tuesday().into_iter().filter(|(_, field, _)| *field != Field::Upset).collect();
    marks.push((1, Field::Came, 1));
    marks
}

/// The text of the record of a sheet.
fn sheet_record(desk: &Desk) -> String {
    let found = std::fs::read_dir(desk.0.path().join("clover")).unwrap().map(|entry| entry.unwrap().path());
    let sheet = found.into_iter().find(|path| path.to_string_lossy().contains("-sheet-")).unwrap();
    std::fs::read_to_string(sheet).unwrap()
}

#[test]
fn what_is_doubtful_is_asked_in_words_and_nothing_is_stored_without_a_yes() {
    let desk = Desk::new();
    desk.photo("sheet.jpg", label(Kind::Sittings, 401), &unclear());
    let command = format!("{PROGRAM} paper sheet.jpg --case clover --by parent");
    let upset = "Tuesday, upset? [y/n]";
    let came = "Tuesday, came and stayed willingly? [y/n]";
    let no = [(upset, "perhaps"), ("Please answer y or n.", ""), (upset, "n"), (came, "y"), ("Store this? [y/n]", "n")];
    let (done, seen) = at_a_terminal(desk.0.path(), &command, &no);
    assert!(done && seen.contains("Nothing was stored."), "{seen}");
    assert!(seen.contains("enlarged in sheets.html"), "{seen}");
    assert!(seen.find("2 of 3 alone").unwrap() < seen.find("Store this?").unwrap(), "{seen}");
    assert_eq!(seen.matches("2 of 3 alone").count(), 1, "it is shown once: {seen}");
    assert!(!seen.contains("did not come"), "one question about the child, not one a circle: {seen}");
    assert_eq!(desk.kinds(), ["child"]);
    let pictures = std::fs::read_to_string(desk.0.path().join("sheets.html")).unwrap();
    assert_eq!(pictures.matches("data:image/jpeg;base64,").count(), 2);

    let yes = [(upset, "n"), (came, "y"), ("Store this? [y/n]", "y")];
    let (done, seen) = at_a_terminal(desk.0.path(), &command, &yes);
    assert!(done && seen.contains("Stored: 2 records."), "{seen}");
    let mut kinds = desk.kinds();
    kinds.sort();
    assert_eq!(kinds, ["child", "session", "sheet"]);
    let record = sheet_record(&desk);
    assert!(record.contains("\"2.upset.0 = no\"") && record.contains("\"2.willing.0 = yes\""), "{record}");
    assert!(!record.contains("\"2.willing.1\""), "{record}");
    let sessions = stillroom(desk.0.path(), &["session", "--case", "clover", "--export", "-"]).stdout;
    assert!(String::from_utf8(sessions).unwrap().contains("2025-01-07,0,3,2,1,0"));

    // A sheet that is in the case is named, without a question.
    let (done, seen) = at_a_terminal(desk.0.path(), &command, &[]);
    assert!(done && seen.contains("is in the case already") && !seen.contains("[y/n]"), "{seen}");
    assert_eq!(desk.kinds().len(), 3);
}

#[test]
fn an_end_in_the_middle_of_the_questions_stores_nothing() {
    let desk = Desk::new();
    desk.photo("sheet.jpg", label(Kind::Sittings, 402), &unclear());
    let command = format!("{PROGRAM} paper sheet.jpg --case clover");
    // Ctrl-D.
    let (done, seen) = at_a_terminal(desk.0.path(), &command, &[("Tuesday, upset? [y/n]", "\u{4}")]);
    assert!(done && seen.contains("Nothing was stored."), "{seen}");
    assert!(!seen.contains("Store this?") && seen.contains("--mark 2.upset.0=yes"), "{seen}");
    assert_eq!(desk.kinds(), ["child"]);
}

#[test]
fn in_spanish_it_asks_and_understands_spanish() {
    let desk = Desk::new();
    desk.photo("hoja.jpg", Label { language: *b"es", ..label(Kind::Sittings, 403) }, &unclear());
    let command = format!("{PROGRAM} paper hoja.jpg --case clover --language es");
    let answers = [("martes", "no"), ("martes", "sí"), ("¿Guardar", "s")];
    let (done, seen) = at_a_terminal(desk.0.path(), &command, &answers);
    assert!(done && !seen.contains("Tuesday") && !seen.contains("Store"), "{seen}");
    assert_eq!(desk.kinds().len(), 3, "{seen}");
}

/// The kinds of the parts of a PNG file, in their order.
fn parts(png: &[u8]) -> Vec<String> {
    let mut kinds = Vec::new();
    let mut rest = &png[8..];
    while rest.len() >= 12 {
        let length = u32::from_be_bytes(rest[..4].try_into().unwrap()) as usize;
        kinds.push(String::from_utf8(rest[4..8].to_vec()).unwrap());
        rest = &rest[12 + length..];
    }
    kinds
}

#[test]
fn the_strip_with_the_note_is_kept_only_if_asked_and_bare_of_anything_else() {
    let desk = Desk::new();
    let sheet = Sheet::plain(label(Kind::Sittings, 404)).unwrap();
    // A line of handwriting at the foot, 20 to 80 mm from the left.
    let jpeg = photographed(&sheet, &tuesday(), &[[20.0, 210.0, 80.0, 210.0]]);
    std::fs::write(desk.0.path().join("sheet.jpg"), jpeg).unwrap();
    let files = || {
        let mut names: Vec<String> = std::fs::read_dir(desk.0.path())
            .unwrap()
            .map(|one| one.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    };
    let before = files();
    // Not confirmed: not stored, no strip either.
    desk.done(&["paper", "sheet.jpg", "--case", "clover", "--keep-note", "strips"]);
    assert_eq!(files(), before);
    desk.done(&["paper", "sheet.jpg", "--case", "clover", "--keep-note", "strips", "--yes"]);
    let name = format!("sheet-{}-note.png", stillroom::paper::spoken(404).replace(' ', ""));
    let kept = desk.0.path().join("strips").join(name);
    let png = std::fs::read(&kept).unwrap();
    assert!(parts(&png).iter().all(|kind| ["IHDR", "IDAT", "IEND"].contains(&kind.as_str())), "{:?}", parts(&png));
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let folder = std::fs::metadata(desk.0.path().join("strips")).unwrap().permissions().mode();
        assert_eq!(folder & 0o077, 0, "{folder:o}");
    }
    // It shows the line where it was written, and only there.
    let strip = image::load_from_memory(&png).unwrap().to_luma8();
    let mm = f64::from(strip.width()) / 162.0;
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "places in a small picture")]
    let darkest = |from: f64, to: f64| {
        let columns = (from * mm) as u32..(to * mm) as u32;
        columns.map(|x| (30..60).map(|y| strip.get_pixel(x, y).0[0]).min().unwrap()).max().unwrap()
    };
    assert!(darkest(20.0, 74.0) < 120, "{}", darkest(20.0, 74.0));
    let rest = (90..150).map(|x| darkest(f64::from(x), f64::from(x) + 1.0)).min().unwrap();
    assert!(rest > 120, "{rest}");
    // The case has no picture.
    let listed = document(&stillroom(desk.0.path(), &["case", "list", "clover", "--format", "json"])).to_string();
    assert!(!listed.contains("photo"), "{listed}");
}

#[test]
fn a_note_is_dropped_where_nobody_asked_for_it() {
    let desk = Desk::new();
    desk.photo("sheet.jpg", label(Kind::Sittings, 405), &tuesday());
    desk.done(&["paper", "sheet.jpg", "--case", "clover", "--yes"]);
    let pictures = walk(desk.0.path()).into_iter().filter(|name| name.ends_with(".png")).count();
    assert_eq!(pictures, 0);
}

fn walk(folder: &std::path::Path) -> Vec<String> {
    let mut names = Vec::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() { names.extend(walk(&path)) } else { names.push(path.display().to_string()) }
    }
    names
}
