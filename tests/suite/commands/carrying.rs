//! One file for a phone: what goes along, what stays behind, and what is handed over comes back by `case merge`.

use std::collections::BTreeSet;
use std::fs;
use std::io::Read;
use std::path::{Path, PathBuf};

use jiff::Timestamp;
use jiff::tz::TimeZone;
use stillroom::language::Language;
use stillroom::page::{Answered, Carried};

use super::where_when::minutes;
use super::{document, refusal, stillroom, text};
use crate::case::made::{case, names, session};

const TEMPLATE: &str = "<!DOCTYPE html>\n<html lang=\"en\" dir=\"ltr\">\n<head><title>x</title></head>\n<body>\n\
    <script type=\"application/octet-stream\" id=\"records\"></script>\n</body>\n</html>\n";

fn clock() -> Timestamp {
    "2026-11-26T10:00:00Z".parse().unwrap()
}

fn phone(root: &Path) -> Carried {
    Carried::new(root, Language::English, TimeZone::UTC, clock)
}

fn posted(phone: &mut Carried, address: &str, form: &str) -> Answered {
    phone.answer(true, address, "application/x-www-form-urlencoded", form.as_bytes().to_vec())
}

fn shown(answered: &Answered) -> String {
    String::from_utf8(answered.body.clone()).unwrap()
}

/// The records inside a page.
fn carried(page: &str) -> Vec<u8> {
    let at = page.find("id=\"records\">").unwrap() + "id=\"records\">".len();
    let text = page[at..].split("</script>").next().unwrap();
    let mut bytes = Vec::new();
    flate2::read::GzDecoder::new(&from_base64(text)[..]).read_to_end(&mut bytes).unwrap();
    bytes
}

/// Bytes from base64 (RFC 4648, section 4), by its definition.
fn from_base64(text: &str) -> Vec<u8> {
    const SIGNS: &str = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let bits: String = text.chars().filter_map(|sign| SIGNS.find(sign)).map(|value| format!("{value:06b}")).collect();
    bits.as_bytes()
        .chunks_exact(8)
        .map(|eight| u8::from_str_radix(std::str::from_utf8(eight).unwrap(), 2).unwrap())
        .collect()
}

/// A case with notes, two sessions, in a folder with a template.
fn desk() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let made = case(&folder.path().join("clover"), "clover", 3);
    made.add(&session("2026-11-20", 1, 0, 9)).unwrap();
    made.add(&session("2026-11-21", 2, 0, 10)).unwrap();
    fs::write(folder.path().join("page.html"), TEMPLATE).unwrap();
    folder
}

fn carry(folder: &Path) -> serde_json::Value {
    let words = ["carry", "--case", "clover", "--template", "page.html", "--out", "out.html", "--format", "json"];
    document(&stillroom(folder, &words))
}

#[test]
fn what_the_plan_rests_on_goes_along_and_notes_stay_behind() {
    let folder = desk();
    let doc = carry(folder.path());
    assert_eq!(doc["schema"], "stillroom.carried/1");
    assert_eq!(doc["alias"], "clover");
    assert_eq!(doc["holds"], serde_json::json!([{"kind": "child", "count": 1}, {"kind": "session", "count": 2}]));
    assert_eq!(doc["left_out"], serde_json::json!([{"kind": "note", "count": 3}]));
    let page = fs::read_to_string(folder.path().join("out.html")).unwrap();
    assert_eq!(doc["bytes"], page.len());
    assert!(page.contains("data-id=\""), "whose records are kept together is said");
    assert!(!String::from_utf8_lossy(&carried(&page)).contains("note 1"));
    let said = text(&stillroom(
        folder.path(),
        &["carry", "--case", "clover", "--template", "page.html", "--out", "again.html"],
    ));
    assert!(said.contains("1 child record, 2 sessions") && said.contains("stays behind: 3 notes"), "{said}");
}

#[test]
fn a_page_without_records_and_no_page_at_all() {
    let folder = desk();
    let words = ["carry", "--template", "page.html", "--out", "empty.html", "--format", "json"];
    assert!(document(&stillroom(folder.path(), &words))["alias"].is_null());
    assert_eq!(fs::read_to_string(folder.path().join("empty.html")).unwrap(), TEMPLATE);
    carry(folder.path());
    let twice = ["carry", "--case", "clover", "--template", "out.html", "--out", "x.html", "--format", "json"];
    assert_eq!(refusal(&stillroom(folder.path(), &twice))["code"], "not-a-template");
    if cfg!(not(feature = "carry")) {
        let none = ["carry", "--case", "clover", "--out", "x.html", "--format", "json"];
        assert_eq!(refusal(&stillroom(folder.path(), &none))["code"], "no-template");
    }
}

#[test]
fn a_carried_case_is_practised_on_and_comes_back_plain_and_sealed() {
    let folder = desk();
    carry(folder.path());
    let archive = carried(&fs::read_to_string(folder.path().join("out.html")).unwrap());
    let root = folder.path().join("phone");
    let mut phone = phone(&root);
    assert_eq!(phone.take_in(&archive).unwrap(), 3);
    assert_eq!(phone.take_in(&archive).unwrap(), 0, "the same file again adds nothing");
    assert!(shown(&phone.answer(false, "/", "", vec![])).contains("clover"));

    assert_eq!(posted(&mut phone, "/practice/sitting/begin", "rung=0&of=1").to.as_deref(), Some("/practice/sitting"));
    posted(&mut phone, "/practice/sitting/mark", "bead=alone&so-far=0");
    let ended = "distress=no&assent=yes&distractor_on=yes&distractor-on=yes&minutes=10&by=parent";
    let stored = posted(&mut phone, "/practice/sitting/end", ended);
    assert_eq!(stored.to.as_deref(), Some("/practice"), "{}", shown(&stored));

    let made = posted(&mut phone, "/hand-over", "passphrase=");
    assert!(shown(&made).contains("clover-2026-11-26.tar") && shown(&made).contains("not sealed"), "{}", shown(&made));
    let file = phone.answer(false, "/hand-over/clover-2026-11-26.tar", "", vec![]);
    assert_eq!((file.status, file.kind), (200, "application/octet-stream"));
    fs::write(folder.path().join("back.tar"), &file.body).unwrap();
    let before = names(&folder.path().join("clover"));
    let merge = |words: &[&str]| {
        document(&stillroom(folder.path(), &[&["case", "merge", "clover"], words, &["--format", "json"]].concat()))
    };
    let merged = merge(&["back.tar"]);
    assert_eq!((merged["added"].as_array().unwrap().len(), merged["already"].as_u64()), (1, Some(3)), "{merged}");
    let after = names(&folder.path().join("clover"));
    let added: BTreeSet<_> = after.iter().filter(|name| !before.contains(name)).collect();
    assert!(added.iter().all(|name| name.contains("-session-")), "{added:?}");

    if cfg!(feature = "hand-over") {
        let made = posted(&mut phone, "/hand-over", "passphrase=heron+lantern+gravel+teapot");
        assert!(shown(&made).contains("clover-2026-11-26.age"), "{}", shown(&made));
        let file = phone.answer(false, "/hand-over/clover-2026-11-26.age", "", vec![]);
        fs::write(folder.path().join("back.age"), &file.body).unwrap();
        fs::write(folder.path().join("key.txt"), "heron lantern gravel teapot\n").unwrap();
        fs::write(folder.path().join("wrong.txt"), "heron lantern gravel\n").unwrap();
        assert_eq!(merge(&["back.age", "--passphrase-file", "key.txt"])["already"], 4);
        let wrong = ["case", "merge", "clover", "back.age", "--passphrase-file", "wrong.txt", "--format", "json"];
        refusal(&stillroom(folder.path(), &wrong));
    }
}

/// What the family said is possible and the newest ten recorded days; the phone answers where and when from them.
#[test]
fn when_it_is_calm_goes_along() {
    let folder = desk();
    let here = folder.path();
    fs::create_dir(here.join("days")).unwrap();
    let sound = minutes(&[0.1, 0.01].repeat(11));
    for day in 1..=12 {
        fs::write(here.join(format!("days/2026-11-{day:02} 15.00.wav")), &sound).unwrap();
    }
    let words = ["where", "--case", "clover", "days", "--place", "desk", "--device", "phone"];
    text(&stillroom(here, &[&words[..], &["--taken", "17:00-18:30=cooking", "--by", "parent"]].concat()));
    let doc = carry(here);
    let count = |of: &str, kind: &str| {
        doc[of].as_array().unwrap().iter().find(|one| one["kind"] == kind).map(|one| one["count"].as_u64().unwrap())
    };
    assert_eq!((count("holds", "day-sound"), count("left_out", "day-sound")), (Some(10), Some(2)), "{doc}");
    assert_eq!(count("holds", "possible"), Some(1), "{doc}");
    let page = fs::read_to_string(here.join("out.html")).unwrap();
    // Three kilobytes a recorded day, at most.
    assert!(page.len() < 40_000, "{}", page.len());
    let mut phone = phone(&here.join("phone"));
    phone.take_in(&carried(&page)).unwrap();
    let answered = shown(&phone.answer(false, "/where", "", vec![]));
    assert!(answered.contains("10 days in rows"), "{answered}");
    assert!(answered.contains("cooking"), "{answered}");
}

#[test]
fn another_childs_records_are_not_mixed_in() {
    let folder = desk();
    carry(folder.path());
    let archive = carried(&fs::read_to_string(folder.path().join("out.html")).unwrap());
    let root = folder.path().join("phone");
    let mut phone = phone(&root);
    posted(&mut phone, "/case/new", "alias=fern&sound-sensitive=no&hearing-checked=yes");
    let before = names(&root.join("case"));
    assert!(phone.take_in(&archive).is_err());
    assert_eq!(names(&root.join("case")), before);
}

#[test]
fn a_damaged_hand_over_changes_nothing() {
    let folder = desk();
    carry(folder.path());
    let archive = carried(&fs::read_to_string(folder.path().join("out.html")).unwrap());
    let before = names(&folder.path().join("clover"));
    for (name, bytes) in [
        ("cut.tar", archive[..archive.len() / 2].to_vec()),
        ("empty.tar", Vec::new()),
        ("changed.tar", archive.iter().map(|byte| if *byte == b'9' { b'8' } else { *byte }).collect()),
        ("photo.jpg", fs::read(super::file("demo/photo-after-1.jpg")).unwrap()),
    ] {
        fs::write(folder.path().join(name), bytes).unwrap();
        refusal(&stillroom(folder.path(), &["case", "merge", "clover", name, "--format", "json"]));
        assert_eq!(names(&folder.path().join("clover")), before, "{name}");
    }
    let left: Vec<PathBuf> = fs::read_dir(folder.path()).unwrap().map(|entry| entry.unwrap().path()).collect();
    assert!(left.iter().all(|path| !path.display().to_string().contains(".tmp-")), "{left:?}");
}

#[test]
fn a_carried_page_has_one_case_and_opens_no_folder() {
    let folder = tempfile::tempdir().unwrap();
    let mut phone = phone(folder.path());
    let first = shown(&phone.answer(false, "/", "", vec![]));
    assert!(first.contains("on this phone and nowhere else") && !first.contains("new-folder"), "{first}");
    assert_eq!(posted(&mut phone, "/case/open", "folder=/etc").status, 404);
    assert_eq!(phone.answer(false, "/caseload", "", vec![]).status, 404);
    assert_ne!(phone.answer(false, "/hand-over/..%2Fcase", "", vec![]).status, 200);
    posted(&mut phone, "/language", "to=es");
    assert!(shown(&phone.answer(false, "/", "", vec![])).contains("lang=\"es\""));
}
