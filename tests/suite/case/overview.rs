//! All cases at a glance, tables for statistics, kept photos: what they show, and what they do not give away.

use std::fs;
use std::path::Path;

use serde_json::Value;
use stillroom::case::Case;
use stillroom::contract::{DecisionBody, RecordBody, RecordDoc};

use super::made::{case, child, names, note, record, session};
use crate::commands::{document, refusal, stillroom, text};

/// A case with sessions of these days, independent of ten each.
fn practised(folder: &Path, alias: &str, sessions: &[(&str, u32, u32)]) -> Case {
    let (case, _) = Case::create(folder, &child(alias)).unwrap();
    for (second, (date, rung, independent)) in (0..).zip(sessions) {
        case.add(&session(date, second, *rung, *independent)).unwrap();
    }
    case
}

#[test]
fn as_of_an_earlier_day_later_sessions_are_not_looked_at_and_that_is_said() {
    let outer = tempfile::tempdir().unwrap();
    fs::create_dir(outer.path().join("cases")).unwrap();
    let days = [("2026-10-28", 1, 8), ("2026-10-29", 1, 8), ("2026-11-05", 2, 9)];
    practised(&outer.path().join("cases/fern"), "Fern", &days);
    let entry = &caseload(outer.path(), &[])["cases"][0];
    assert_eq!((entry["rung"].as_u64(), entry["last_session"].as_str()), (Some(1), Some("2026-10-29")));
    let said = entry["why"].as_array().unwrap().iter().find(|one| one["code"] == "later-left-out").unwrap();
    assert!(said["text"].as_str().unwrap().starts_with("1 session or decision after 2026-10-30"), "{said}");
}

#[test]
fn a_note_on_self_stimulation_that_counts_is_refused_by_hand_too() {
    let outer = tempfile::tempdir().unwrap();
    case(&outer.path().join("fern"), "Fern", 0);
    let add = |seen: &str| {
        let text = format!("[need]\nseen = \"{seen}\"\nbefore = \"the vacuum cleaner next door\"\n");
        fs::write(outer.path().join("need.toml"), text).unwrap();
        stillroom(outer.path(), &["case", "add", "fern", "need.toml", "--format", "json"])
    };
    assert_eq!(refusal(&add("flapped 12 times"))["code"], "need-count");
    assert_eq!(document(&add("flaps and hums"))["kind"], "need");
}

fn decision(date: &str, word: &str, rung: u32, lifts_pause: bool) -> RecordDoc {
    let body = DecisionBody {
        rung,
        decision: word.to_owned(),
        sessions_to: None,
        reasons: Vec::new(),
        task: None,
        place: None,
        ladder: None,
        signed_by: Some("clinician".to_owned()),
        lifts_pause,
        recommended: None,
        why: None,
    };
    record(date, 59, RecordBody::Decision(body))
}

fn caseload(folder: &Path, more: &[&str]) -> Value {
    let words: Vec<&str> = ["caseload", "cases", "--on", "2026-10-30", "--format", "json"]
        .into_iter()
        .chain(more.iter().copied())
        .collect();
    document(&stillroom(folder, &words))
}

#[test]
fn who_needs_a_person_today_comes_first_and_damage_is_listed() {
    let outer = tempfile::tempdir().unwrap();
    let at = |name: &str| outer.path().join("cases").join(name);
    fs::create_dir(outer.path().join("cases")).unwrap();
    let good: Vec<_> = ["2026-10-26", "2026-10-27", "2026-10-28", "2026-10-29"].map(|date| (date, 1, 10)).to_vec();
    practised(&at("c-advance"), "Clover", &good);
    practised(&at("a-fine"), "Aster", &[("2026-10-28", 1, 8), ("2026-10-29", 1, 8)]);
    practised(&at("b-quiet"), "Birch", &[("2026-10-19", 1, 8), ("2026-10-20", 1, 8)]);
    practised(&at("d-new"), "Daisy", &[]);
    let mut hurt = session("2026-10-29", 9, 2, 3);
    if let RecordBody::Session(body) = &mut hurt.body {
        body.note = "harm: bit a hand".to_owned();
    }
    practised(&at("e-paused"), "Elder", &[("2026-10-28", 2, 8)]).add(&hurt).unwrap();
    let damaged = practised(&at("f-damaged"), "Fern", &[("2026-10-28", 1, 8)]);
    let broken = names(damaged.folder()).into_iter().find(|name| name.contains("session")).unwrap();
    fs::write(damaged.folder().join(&broken), "not what it was").unwrap();
    fs::create_dir(at("holiday")).unwrap();
    let doc = caseload(outer.path(), &[]);
    let shown: Vec<_> = doc["cases"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| (one["alias"].as_str().unwrap(), one["due"].as_str().unwrap()))
        .collect();
    assert_eq!(&shown[..2], [("Elder", "today"), ("Clover", "today")], "{doc:#}");
    assert_eq!(doc["cases"][0]["decision"], "pause");
    assert_eq!(doc["cases"][1]["decision"], "advance");
    let due = |alias: &str| shown.iter().find(|one| one.0 == alias).unwrap().1;
    assert_eq!((due("Birch"), due("Daisy")), ("this week", "this week"), "{doc:#}");
    let quiet = doc["cases"].as_array().unwrap().iter().find(|one| one["alias"] == "Birch").unwrap();
    assert_eq!((quiet["days_since"].as_i64(), quiet["why"][0]["code"].as_str()), (Some(10), Some("quiet")));
    let unreadable: Vec<_> =
        doc["unreadable"].as_array().unwrap().iter().map(|one| one["name"].as_str().unwrap()).collect();
    assert_eq!(unreadable, [&format!("f-damaged/{broken}")[..], "holiday"]);
    let said = text(&stillroom(outer.path(), &["caseload", "cases", "--on", "2026-10-30"]));
    let at = |word: &str| said.find(word).unwrap_or_else(|| panic!("{word}: {said}"));
    assert!(
        at("today") < at("Elder")
            && at("Elder") < at("this week")
            && at("missing: ") > 0
            && at("holiday") > at("Not read")
    );
}

#[test]
fn a_replaced_session_counts_nowhere_and_a_decided_advance_is_no_longer_due() {
    let outer = tempfile::tempdir().unwrap();
    let folder = outer.path().join("cases/fern");
    fs::create_dir(outer.path().join("cases")).unwrap();
    let good: Vec<_> = ["2026-10-26", "2026-10-27", "2026-10-28", "2026-10-29"].map(|date| (date, 1, 10)).to_vec();
    let case = practised(&folder, "Fern", &good);
    let newest = case.read().unwrap().records.pop().unwrap();
    let wrong = session("2026-10-29", 30, 7, 0);
    let wrong_id = case.add(&wrong).unwrap().id;
    case.add(&RecordDoc { replaces: Some(wrong_id), ..session("2026-10-29", 31, 1, 10) }).unwrap();
    assert_eq!(newest.record.date, "2026-10-29");
    let doc = caseload(outer.path(), &[]);
    assert_eq!(
        (doc["cases"][0]["rung"].as_u64(), doc["cases"][0]["due"].as_str()),
        (Some(1), Some("today")),
        "{doc:#}"
    );
    let words = ["review", "--case", "cases/fern", "--on", "2026-10-30", "--format", "json"];
    assert_eq!(document(&stillroom(outer.path(), &words))["rung"], 1);
    case.add(&decision("2026-10-30", "advance", 1, false)).unwrap();
    let doc = caseload(outer.path(), &[]);
    assert_ne!(doc["cases"][0]["due"], "today", "{doc:#}");
    assert_eq!(doc["cases"][0]["last_decision"]["signed_by"], "clinician");
}

#[test]
fn a_caseload_of_a_single_case_says_where_to_look_instead() {
    let outer = tempfile::tempdir().unwrap();
    practised(&outer.path().join("fern"), "Fern", &[]);
    let refused = refusal(&stillroom(outer.path(), &["caseload", "fern", "--format", "json"]));
    assert_eq!(refused["code"], "one-case");
    assert!(refused["hint"].as_str().unwrap().contains("case show"), "{refused}");
    fs::create_dir(outer.path().join("cases")).unwrap();
    assert!(text(&stillroom(outer.path(), &["caseload", "cases"])).contains("holds none yet"));
}

#[test]
fn a_list_says_what_each_record_holds_and_who_wrote_it() {
    let outer = tempfile::tempdir().unwrap();
    let case = practised(&outer.path().join("fern"), "Fern", &[("2026-10-28", 1, 8)]);
    let told = RecordDoc { by: Some("aunt".to_owned()), ..note(3, "slept\nbadly") };
    let id = case.add(&told).unwrap().id;
    let words = ["case", "withdraw", "fern", &id, "--why", "another child", "--by", "aunt"];
    assert!(stillroom(outer.path(), &words).status.success());
    let said = text(&stillroom(outer.path(), &["case", "list", "fern"]));
    for words in ["rung 1: 8 of 10 alone", "slept badly (aunt)", "taken back: another child (aunt)"] {
        assert!(said.contains(words), "{words}: {said}");
    }
    let doc = document(&stillroom(outer.path(), &["case", "list", "fern", "--format", "json"]));
    let child = doc["records"].as_array().unwrap().iter().find(|one| one["kind"] == "child").unwrap();
    assert_eq!(child["says"], "Fern; a sound distresses: no; hearing checked: yes");
}

#[test]
fn the_days_pile_is_one_sheet_a_case() {
    let outer = tempfile::tempdir().unwrap();
    fs::create_dir(outer.path().join("cases")).unwrap();
    for (name, alias) in [("fern", "Fern"), ("moss", "Moss")] {
        practised(&outer.path().join("cases").join(name), alias, &[("2026-10-28", 1, 8)]);
    }
    caseload(outer.path(), &["--print", "pile.html"]);
    let html = fs::read_to_string(outer.path().join("pile.html")).unwrap();
    assert_eq!(html.matches("<article").count(), 2);
    for words in ["Last decision", "What is due", "What to look at", "break-after:page", "Fern", "Moss", "October"] {
        assert!(html.contains(words), "{words}");
    }
    assert!(!html.contains("http://") && !html.contains("https://"), "a sheet fetches nothing");
}

/// A case in which everything typed carries the word `secretly`.
fn telling(folder: &Path) -> Case {
    let mut first = child("Secretly");
    first.date = "2026-10-01".to_owned();
    let (case, _) = Case::create(folder, &first).unwrap();
    case.add(&note(1, "=secretly(1)")).unwrap();
    let mut told = session("2026-10-05", 2, 1, 9);
    told.by = Some("secretly aunt".to_owned());
    if let RecordBody::Session(body) = &mut told.body {
        body.note = "secretly calm".to_owned();
        body.exemplar = Some("secretly a drum".to_owned());
        body.task = Some("secretly a task".to_owned());
        body.place = Some("secretly a place".to_owned());
    }
    case.add(&told).unwrap();
    case.add(&session("2026-10-12", 3, 1, 7)).unwrap();
    case
}

fn all_text(folder: &Path) -> String {
    names(folder).iter().map(|name| fs::read_to_string(folder.join(name)).unwrap()).collect()
}

#[test]
fn an_anonymous_export_keeps_the_figures_and_gives_away_no_word_and_no_date() {
    let outer = tempfile::tempdir().unwrap();
    telling(&outer.path().join("case"));
    for words in [
        ["case", "export", "case", "--out", "plain"].as_slice(),
        &["case", "export", "case", "--out", "hidden", "--anonymous"],
    ] {
        assert!(stillroom(outer.path(), words).status.success());
    }
    let (plain, hidden) = (all_text(&outer.path().join("plain")), all_text(&outer.path().join("hidden")));
    assert!(plain.contains("secretly calm") && plain.contains("2026-10-05"));
    assert!(plain.contains("'=secretly(1)"), "a spreadsheet would run it: {plain}");
    assert!(!hidden.to_lowercase().contains("secretly") && !hidden.contains("2026-10"), "{hidden}");
    let rows: Value =
        serde_json::from_str(&fs::read_to_string(outer.path().join("hidden/case.json")).unwrap()).unwrap();
    assert_eq!((rows["alias"].is_null(), rows["sessions"][0]["independent"].as_u64()), (true, Some(9)));
    let day = |at: usize| rows["sessions"][at]["date"].as_str().unwrap().parse::<jiff::civil::Date>().unwrap();
    assert_eq!(day(0).until(day(1)).unwrap().get_days(), 7, "days apart stay");
    // Another case is moved by another number of days, the same case by the same.
    let mut offsets = std::collections::BTreeSet::new();
    for second in 0..8 {
        let name = format!("other-{second}");
        let mut first = child("Fern");
        first.written = format!("2026-10-01T09:00:0{second}Z");
        let (case, _) = Case::create(&outer.path().join(&name), &first).unwrap();
        case.add(&session("2026-10-05", 1, 0, 5)).unwrap();
        for out in [format!("{name}-a"), format!("{name}-b")] {
            assert!(stillroom(outer.path(), &["case", "export", &name, "--out", &out, "--anonymous"]).status.success());
        }
        let read = |out: &str| fs::read_to_string(outer.path().join(out).join("sessions.csv")).unwrap();
        assert_eq!(read(&format!("{name}-a")), read(&format!("{name}-b")));
        offsets.insert(read(&format!("{name}-a")));
    }
    assert!(offsets.len() >= 7, "{offsets:?}");
}

#[test]
fn an_alias_that_looks_like_a_name_or_a_date_gets_a_question_and_an_answer_settles_it() {
    let outer = tempfile::tempdir().unwrap();
    for alias in ["Anna Example", "14072022"] {
        let words = ["case", "new", "quiet", "--alias", alias, "--format", "json"];
        let refused = refusal(&stillroom(outer.path(), &words));
        assert!(refused["hint"].as_str().unwrap().contains("--sure"), "{refused}");
        assert!(!outer.path().join("quiet").exists());
    }
    let words = ["case", "new", "quiet", "--alias", "Quiet River", "--sure", "--format", "json"];
    assert_eq!(document(&stillroom(outer.path(), &words))["alias"], "Quiet River");
    assert!(stillroom(outer.path(), &["case", "check", "quiet"]).status.success());
    let words = ["case", "new", "mail", "--alias", "fern@example.org", "--sure", "--format", "json"];
    assert_eq!(refusal(&stillroom(outer.path(), &words))["code"], "alias", "an address is never an alias");
    case(&outer.path().join("plain"), "Fern", 0);
}
