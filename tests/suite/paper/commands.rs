//! `paper` as it is typed: read, asked, confirmed, stored once, refused by name.

use serde_json::Value;
use stillroom::paper::{Field, Kind, LAYOUT, Label, Sheet, alias_code};

use super::render::{AT, Chance, Shot, printed};
use crate::commands::{document, refusal, stillroom};
use crate::page::Page;

/// Monday, 6 January 2025, in weeks since 1 January 2024.
const WEEK: u16 = 53;

pub(super) fn label(kind: Kind, number: u32) -> Label {
    Label {
        layout: LAYOUT,
        kind,
        language: *b"en",
        page: 0,
        alias: alias_code("Clover"),
        week: Some(WEEK),
        about: Some(0),
        number,
    }
}

/// A folder with two cases and photos of sheets.
pub(super) struct Desk(pub(super) tempfile::TempDir);

impl Desk {
    pub(super) fn new() -> Self {
        let desk = Self(tempfile::tempdir().unwrap());
        for (folder, alias) in [("clover", "Clover"), ("poppy", "Poppy")] {
            desk.done(&["case", "new", folder, "--alias", alias, "--born", "2022-07"]);
        }
        desk
    }

    /// A photo of a sheet with these circles filled.
    pub(super) fn photo(&self, name: &str, label: Label, filled: &[(u8, Field, u16)]) {
        let sheet = Sheet::plain(Label { layout: LAYOUT, ..label }).unwrap();
        let sheet = Sheet { label, ..sheet };
        let jpeg = photographed(&sheet, filled, &[]);
        std::fs::write(self.0.path().join(name), jpeg).unwrap();
    }

    #[track_caller]
    pub(super) fn done(&self, words: &[&str]) -> Value {
        document(&stillroom(self.0.path(), &[words, &["--format", "json"]].concat()))
    }

    #[track_caller]
    pub(super) fn refused(&self, words: &[&str]) -> Value {
        refusal(&stillroom(self.0.path(), &[words, &["--format", "json"]].concat()))
    }

    pub(super) fn kinds(&self) -> Vec<String> {
        let records = self.done(&["case", "list", "clover"]);
        records["records"].as_array().unwrap().iter().map(|one| one["kind"].as_str().unwrap().to_owned()).collect()
    }
}

/// A photo of a sheet with these circles filled, and strokes beside them.
pub(super) fn photographed(sheet: &Sheet, filled: &[(u8, Field, u16)], strokes: &[[f64; 4]]) -> Vec<u8> {
    let mut page = printed(sheet);
    for (row, field, option) in filled {
        let wanted = |one: &&stillroom::paper::Circle| (one.row, one.field, one.option) == (*row, *field, *option);
        let circle = sheet.circles.iter().find(wanted).unwrap();
        let (x, y) = (AT.0 + circle.x, AT.1 + circle.y);
        page.stroke((x - 0.8, y), (x + 0.8, y), 2.6, 0.12);
    }
    for [x, y, to_x, to_y] in strokes {
        page.stroke((AT.0 + x, AT.1 + y), (AT.0 + to_x, AT.1 + to_y), 0.8, 0.12);
    }
    let shot = Shot { tilt: 8.0, ..Shot::plain(sheet.label.kind) };
    shot.photographed(&[(&page, (0.0, 0.0))], &mut Chance::new(sheet.label.number.into()))
}

/// A sitting of three tries on a Tuesday.
pub(super) fn tuesday() -> Vec<(u8, Field, u16)> {
    let tries = [(0, 0), (1, 0), (2, 1)].map(|(number, how)| (1, Field::Try(number), how));
    [&tries[..], &[(1, Field::Upset, 1), (1, Field::Came, 0), (1, Field::Minutes, 15)]].concat()
}

#[test]
fn a_sheet_is_stored_once_and_only_when_somebody_says_so() {
    let desk = Desk::new();
    desk.photo("sheet.jpg", label(Kind::Sittings, 123_456), &tuesday());
    let read = desk.done(&["paper", "sheet.jpg", "--case", "clover"]);
    assert_eq!(read["schema"], "stillroom.paper/1");
    assert_eq!(read["stored"].as_array().unwrap().len(), 0);
    let sheet = &read["sheets"][0];
    assert_eq!(sheet["week"], "2025-01-06");
    assert_eq!(sheet["says"][0], "Tuesday: 2 of 3 alone, 1 with help, 0 not right");
    assert_eq!(sheet["doubtful"].as_array().unwrap().len(), 0, "{sheet}");
    assert_eq!(desk.kinds(), ["child"]);
    let stored = desk.done(&["paper", "sheet.jpg", "--case", "clover", "--yes", "--by", "parent"]);
    assert_eq!(stored["stored"].as_array().unwrap().len(), 2);
    let mut kinds = desk.kinds();
    kinds.sort();
    assert_eq!(kinds, ["child", "session", "sheet"]);
    let sessions =
        String::from_utf8(stillroom(desk.0.path(), &["session", "--case", "clover", "--export", "-"]).stdout).unwrap();
    assert!(sessions.contains("2025-01-07,0,3,2,1,0"), "{sessions}");
    let again = desk.done(&["paper", "sheet.jpg", "--case", "clover", "--yes"]);
    assert_eq!(again["sheets"][0]["already"], true);
    assert_eq!(again["stored"].as_array().unwrap().len(), 0);
    assert_eq!(desk.kinds().len(), 3);
    assert_eq!(desk.done(&["case", "check", "clover"])["sound"], true);
}

#[test]
fn what_is_not_said_is_asked_and_what_was_answered_is_remembered() {
    let desk = Desk::new();
    let marks: Vec<_> = tuesday().into_iter().filter(|(_, field, _)| *field != Field::Upset).collect();
    desk.photo("sheet.jpg", label(Kind::Sittings, 7), &marks);
    let doubt = desk.done(&["paper", "sheet.jpg", "--case", "clover"]);
    assert_eq!(doubt["sheets"][0]["doubtful"][0]["name"], "2.upset.0");
    assert_eq!(desk.refused(&["paper", "sheet.jpg", "--case", "clover", "--yes"])["code"], "doubtful");
    assert_eq!(
        desk.refused(&["paper", "sheet.jpg", "--case", "clover", "--mark", "2.mood.1=yes"])["code"],
        "mark-unknown"
    );
    assert_eq!(desk.kinds(), ["child"]);
    let page = desk.0.path().join("doubts.html");
    desk.done(&["paper", "sheet.jpg", "--case", "clover", "--pictures", "doubts.html"]);
    assert!(std::fs::read_to_string(page).unwrap().contains("data:image/jpeg;base64,"));
    let words = ["paper", "sheet.jpg", "--case", "clover", "--mark", "2.upset.0=no", "--mark", "2.try-3.1=no", "--yes"];
    desk.done(&words);
    let found = std::fs::read_dir(desk.0.path().join("clover")).unwrap().map(|entry| entry.unwrap().path());
    let sheet = found.into_iter().find(|path| path.to_string_lossy().contains("-sheet-")).unwrap();
    let text = std::fs::read_to_string(sheet).unwrap();
    assert!(
        text.contains("asked = [\"2.upset.0 = no\"]") && text.contains("corrected = [\"2.try-3.1 = no\"]"),
        "{text}"
    );
}

#[test]
fn how_the_child_was_is_asked_of_the_child_and_not_of_a_circle() {
    let desk = Desk::new();
    // Both circles of upset and of willing are filled: which one holds is one question each.
    let both = [(1, Field::Upset, 0), (1, Field::Came, 1)];
    desk.photo("both.jpg", label(Kind::Sittings, 41), &[&tuesday()[..], &both].concat());
    let read = desk.done(&["paper", "both.jpg", "--case", "clover"]);
    let doubts = read["sheets"][0]["doubtful"].as_array().unwrap();
    let asked: Vec<&str> = doubts.iter().map(|doubt| doubt["text"].as_str().unwrap()).collect();
    assert_eq!(asked, ["Tuesday, upset", "Tuesday, came and stayed willingly"]);
    let said = ["--mark", "2.upset.0=yes", "--mark", "2.willing.0=no", "--yes"];
    desk.done(&[&["paper", "both.jpg", "--case", "clover"], &said[..]].concat());
    let out = stillroom(desk.0.path(), &["session", "--case", "clover", "--export", "-"]).stdout;
    assert!(String::from_utf8(out).unwrap().contains("2025-01-07,0,3,2,1,0,1,no"));
}

#[test]
fn another_case_version_or_language_is_refused_by_name() {
    let desk = Desk::new();
    desk.photo("poppy.jpg", Label { alias: alias_code("Poppy"), ..label(Kind::Sittings, 8) }, &tuesday());
    let refused = desk.refused(&["paper", "poppy.jpg", "--case", "clover"]);
    assert_eq!(refused["code"], "other-case");
    let message = refused["message"].as_str().unwrap();
    assert!(message.contains("Poppy") && message.contains("Clover"), "{message}");
    desk.photo("new.jpg", Label { layout: 2, ..label(Kind::Sittings, 9) }, &tuesday());
    let refused = desk.refused(&["paper", "new.jpg", "--case", "clover"]);
    assert_eq!(refused["code"], "other-version");
    assert!(refused["message"].as_str().unwrap().contains("version 2"));
    desk.photo("es.jpg", Label { language: *b"es", ..label(Kind::Sittings, 10) }, &tuesday());
    let refused = desk.refused(&["paper", "es.jpg", "--case", "clover"]);
    assert_eq!(refused["code"], "other-language");
    assert!(refused["message"].as_str().unwrap().contains("español"));
    assert!(desk.done(&["paper", "es.jpg", "--language", "es", "--case", "clover"])["sheets"][0]["filled"].is_array());
    desk.photo("later.jpg", Label { week: Some(4000), ..label(Kind::Sittings, 11) }, &tuesday());
    assert_eq!(desk.refused(&["paper", "later.jpg", "--case", "clover", "--yes"])["code"], "date");
    desk.photo("stock.jpg", Label { alias: 0, week: None, about: None, ..label(Kind::Sittings, 12) }, &tuesday());
    assert_eq!(
        desk.refused(&["paper", "stock.jpg", "--case", "clover", "--rung", "0", "--yes"])["code"],
        "week-missing"
    );
    let words = ["paper", "stock.jpg", "--case", "clover", "--rung", "0", "--week", "2025-01-15", "--yes"];
    assert_eq!(desk.done(&words)["stored"].as_array().unwrap().len(), 2);
    assert!(desk.refused(&["paper", "nothing.jpg"])["code"].is_string());
}

#[test]
fn several_sheets_of_several_kinds_are_stored_in_one_run() {
    let desk = Desk::new();
    desk.photo(
        "one.jpg",
        label(Kind::Screens, 20),
        &[
            (0, Field::Screen, 20),
            (0, Field::Screen, 10),
            (0, Field::Who, 1),
            (0, Field::Again, 0),
            (4, Field::Screen, 60),
        ],
    );
    desk.photo(
        "two.jpg",
        label(Kind::Sampling, 21),
        &[(0, Field::Day, 3), (0, Field::Moment(0), 0), (0, Field::Moment(1), 1), (0, Field::Moment(3), 0)],
    );
    let done = desk.done(&["paper", "one.jpg", "two.jpg", "--case", "clover", "--yes"]);
    assert_eq!(done["sheets"][0]["says"][0], "Monday: 30 minutes before a screen");
    assert_eq!(done["sheets"][1]["says"][0], "series 1: on task in 2 of 3 moments");
    let mut kinds = desk.kinds();
    kinds.sort();
    assert_eq!(kinds, ["child", "observation", "screen-time", "screen-time", "sheet", "sheet"]);
}

#[test]
fn the_local_page_reads_asks_and_stores_the_same() {
    let desk = Desk::new();
    let marks: Vec<_> = tuesday().into_iter().filter(|(_, field, _)| *field != Field::Came).collect();
    desk.photo("sheet.jpg", label(Kind::Sittings, 31), &marks);
    let photo = std::fs::read(desk.0.path().join("sheet.jpg")).unwrap();
    let page = Page::start(desk.0.path(), &["--case", "clover"]);
    assert!(page.get("/papers").body.contains("href=\"/sheets\""));
    assert_eq!(page.get("/sheets").status, 200);
    let send = |bytes: &[u8]| {
        let head = "--edge\r\nContent-Disposition: form-data; name=\"sheet-photo\"; filename=\"sheet.jpg\"\r\n\r\n";
        let body = [head.as_bytes(), bytes, b"\r\n--edge--\r\n"].concat();
        let kind = format!("{}Content-Type: multipart/form-data; boundary=edge\r\n", page.known());
        page.ask("POST /sheets", &kind, &body)
    };
    let none = send(&std::fs::read(crate::commands::file("tests/oracle/photo/room-64.jpg")).unwrap());
    assert_eq!(none.status, 422);
    assert!(none.body.contains("no sheet of this program"), "{}", none.body);
    let seen = send(&photo);
    assert!(seen.body.contains("2 of 3 alone") && seen.body.contains("data:image/jpeg;base64,"), "{}", seen.body);
    let held = seen.body.split("name=\"sheet\" value=\"").nth(1).unwrap().split('"').next().unwrap();
    let unsure = page.post("/sheets/store", &[("sheet", held)]);
    assert_eq!(unsure.status, 422, "{}", unsure.body);
    assert_eq!(desk.kinds(), ["child"]);
    let done = page.post("/sheets/store", &[("sheet", held), ("mark-0-2.willing.0", "yes"), ("by", "parent")]);
    assert_eq!(done.status, 200, "{}", done.body);
    let mut kinds = desk.kinds();
    kinds.sort();
    assert_eq!(kinds, ["child", "session", "sheet"]);
    assert!(send(&photo).body.contains("holds this sheet already"));
    assert_eq!(page.post("/sheets/store", &[("sheet", "1|session-sheet|en|0|5|1|1|7||y|x")]).status, 422);
}
