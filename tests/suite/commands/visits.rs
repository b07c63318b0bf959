//! What comes after the first audit: a recheck, a second pair of eyes, the clinician's sensitivities, shared work.

use std::fs;
use std::path::Path;

use serde_json::Value;

use super::{document, file, refusal, said, stillroom, text, with_input};

/// Sums of a few f64 that went through JSON and TOML.
const ROUNDING: f64 = 1e-9;

const ORDINARY: &str = include_str!("../../oracle/checklist/REFERENCE-home-corner-ordinary.toml");

fn json(folder: &Path, words: &[&str]) -> Value {
    document(&stillroom(folder, &[words, &["--format", "json"]].concat()))
}

/// A case with one audit of an ordinary room; the folder and the audit.
fn case_with_audit() -> (tempfile::TempDir, Value) {
    let folder = tempfile::tempdir().unwrap();
    json(
        folder.path(),
        &["case", "new", "fern", "--alias", "Fern", "--hearing-checked", "yes", "--sound-sensitive", "no"],
    );
    fs::write(folder.path().join("first.toml"), ORDINARY).unwrap();
    let words = ["audit", "--case", "fern", "--checklist", "home-corner", "--answers", "first.toml", "--minutes", "8"];
    let first = json(folder.path(), &words);
    (folder, first)
}

fn list(value: &Value) -> Vec<&str> {
    value.as_array().unwrap().iter().map(|one| one.as_str().unwrap()).collect()
}

/// The blank of a recheck, filled with the earlier answers except where `change` says otherwise.
fn filled(blank: &str, change: &[(&str, &str)]) -> String {
    let before: Vec<(&str, &str)> = ORDINARY.lines().filter_map(|line| line.split_once(" = ")).collect();
    blank
        .lines()
        .map(|line| match line.split_once(" = ") {
            Some(("place" | "keep", _)) => line.to_owned(),
            Some(("date", _)) => "date = \"2026-10-15\"".to_owned(),
            Some(("by", _)) => "by = \"parent\"".to_owned(),
            Some((id, _)) => {
                let new = change.iter().chain(&before).find(|(name, _)| *name == id);
                new.map_or_else(|| line.to_owned(), |(_, answer)| format!("{id} = {answer}"))
            }
            None => line.to_owned(),
        })
        .collect::<Vec<_>>()
        .join("\n")
}

#[test]
fn a_recheck_asks_what_carries_the_load_what_was_to_be_moved_and_one_more() {
    let (folder, first) = case_with_audit();
    let blank = text(&stillroom(folder.path(), &["audit", "--case", "fern", "--recheck", "2026-10-01", "--blank"]));
    let again = text(&stillroom(folder.path(), &["audit", "--case", "fern", "--recheck", "2026-10-01", "--blank"]));
    assert!(blank.contains("\nplace = \"") && blank.contains("\ndate = \"20"), "{blank}");
    assert_eq!(blank, again, "the one at random is not drawn anew each time");
    let asks = |id: &str| blank.lines().any(|line| line.starts_with(&format!("{id} = ")));
    let shares: Vec<(&str, f64)> = first["shares"]
        .as_array()
        .unwrap()
        .iter()
        .map(|share| (share["id"].as_str().unwrap(), share["share"].as_f64().unwrap()))
        .collect();
    let asked: f64 = shares.iter().filter(|(id, _)| asks(id)).map(|(_, share)| share).sum();
    assert!(asked >= 0.8, "{asked}");
    assert!(list(&first["first_moves"]["ids"]).iter().all(|id| asks(id)));
    let many = blank.lines().filter(|line| line.contains(" = \"not seen\"")).count();
    assert!((5..=16).contains(&many), "{many} questions");
}

#[test]
fn what_a_recheck_carries_over_is_marked_and_cannot_show_a_change() {
    let (folder, first) = case_with_audit();
    let id = first["id"].as_str().unwrap();
    let blank = text(&stillroom(folder.path(), &["audit", "--case", "fern", "--recheck", id, "--blank"]));
    let words = ["audit", "--case", "fern", "--recheck", id, "--answers", "-", "--format", "json"];
    let same = document(&with_input(folder.path(), &words, filled(&blank, &[]).as_bytes()));
    assert_eq!(same["load"], first["load"]);
    let (asked, carried) = (list(&same["recheck"]["asked"]).len(), same["recheck"]["carried"].as_object().unwrap());
    assert_eq!(asked + carried.len(), 32);
    assert!(carried.values().all(|origin| origin == id));
    let compared = json(folder.path(), &["compare", "--case", "fern"]);
    assert_eq!((compared["difference"].as_f64(), compared["verdict"].as_str()), (Some(0.0), Some("no clear change")));
    let codes: Vec<&str> =
        compared["cautions"].as_array().unwrap().iter().map(|caution| caution["code"].as_str().unwrap()).collect();
    assert!(codes.contains(&"carried-over"), "{codes:?}");
    // A recheck of the recheck carries over from the first audit what nobody looked at since.
    let second = same["id"].as_str().unwrap();
    let blank = text(&stillroom(folder.path(), &["audit", "--case", "fern", "--recheck", second, "--blank"]));
    let words = ["audit", "--case", "fern", "--recheck", second, "--answers", "-", "--format", "json"];
    let calmer = [("people-not-taking-part", "0"), ("walk-throughs", "0"), ("radio-or-music", "\"off\"")];
    let third = document(&with_input(folder.path(), &words, filled(&blank, &calmer).as_bytes()));
    let origins = third["recheck"]["carried"].as_object().unwrap();
    assert!(origins.values().any(|origin| origin == id) && third["load"].as_f64() < first["load"].as_f64());
    let compared = json(folder.path(), &["compare", "--case", "fern", id, third["id"].as_str().unwrap()]);
    assert_eq!(compared["verdict"], "calmer");
    let shown = text(&stillroom(folder.path(), &["compare", "--case", "fern", id, third["id"].as_str().unwrap()]));
    assert!(shown.contains("Carried over and not looked at again"), "{shown}");
}

#[test]
fn a_recheck_is_refused_while_something_asked_has_no_answer() {
    let (folder, first) = case_with_audit();
    let id = first["id"].as_str().unwrap();
    let head = "format = \"stillroom.answers/1\"\nchecklist = \"home-corner\"\nplace = \"x\"\ndate = \"2026-10-15\"\nby = \"p\"\n";
    let head = head.replace("\"x\"", "\"an ordinary lived-in room\"");
    let text = format!("{head}[answers]\nsmell = \"none\"\n");
    let words = ["audit", "--case", "fern", "--recheck", id, "--answers", "-", "--format", "json"];
    let said = refusal(&with_input(folder.path(), &words, text.as_bytes()));
    assert_eq!(said["code"], "recheck-incomplete");
    assert!(said["message"].as_str().unwrap().contains("people-not-taking-part"));
    let blank = super::text(&stillroom(folder.path(), &["audit", "--case", "fern", "--recheck", id, "--blank"]));
    let elsewhere = filled(&blank, &[]).replace("lived-in", "other");
    assert_eq!(refusal(&with_input(folder.path(), &words, elsewhere.as_bytes()))["code"], "other-place");
    let said =
        refusal(&stillroom(folder.path(), &["audit", "--case", "fern", "--recheck", "2026-01-01", "--format", "json"]));
    assert_eq!(said["code"], "no-such-audit");
}

#[test]
fn two_audits_are_compared_by_id_by_date_and_across_lists() {
    let (folder, first) = case_with_audit();
    let later = ORDINARY.replace("2026-10-01", "2026-10-09").replace("walk-throughs = 2", "walk-throughs = 9");
    fs::write(folder.path().join("second.toml"), &later).unwrap();
    let words = ["audit", "--case", "fern", "--checklist", "home-corner", "--answers", "second.toml"];
    let second = json(folder.path(), &words);
    let by_date = json(folder.path(), &["compare", "--case", "fern", "2026-10-01", "2026-10-09"]);
    let ids = [first["id"].as_str().unwrap(), &second["id"].as_str().unwrap()[..6]];
    assert_eq!(by_date, json(folder.path(), &["compare", "--case", "fern", ids[0], ids[1]]));
    assert_eq!(by_date, json(folder.path(), &["compare", "--case", "fern"]));
    assert_eq!(by_date["items"][0]["id"], "walk-throughs");
    // Another list shares some items only; that is said.
    let other = include_str!("../../oracle/checklist/REFERENCE-group-room-ordinary.toml");
    let other = other.replace("2026-10-01", "2026-10-12");
    let words = ["audit", "--case", "fern", "--checklist", "group-room", "--answers", "-", "--format", "json"];
    document(&with_input(folder.path(), &words, other.as_bytes()));
    let across = json(folder.path(), &["compare", "--case", "fern", "2026-10-01", "2026-10-12"]);
    let codes: Vec<&str> =
        across["cautions"].as_array().unwrap().iter().map(|caution| caution["code"].as_str().unwrap()).collect();
    assert!(codes.contains(&"other-checklist") && codes.contains(&"not-asked"), "{codes:?}");
    let known = across["items"].as_array().unwrap().iter().map(|item| item["id"].as_str().unwrap());
    assert!(known.clone().all(|id| ORDINARY.contains(id)), "{:?}", known.collect::<Vec<_>>());
}

#[test]
fn two_visitors_agree_as_far_as_they_do() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("a.toml"), ORDINARY).unwrap();
    let other = ORDINARY
        .replace("by = \"writer\"", "by = \"parent\"")
        .replace("loose-things-on-table = 7", "loose-things-on-table = 8")
        .replace("open-shelves = 2", "open-shelves = 6")
        .replace("busy-rug = true", "busy-rug = false")
        .replace("smell = \"light\"", "smell = \"not seen\"");
    fs::write(folder.path().join("b.toml"), other).unwrap();
    let doc = json(folder.path(), &["agree", "a.toml", "b.toml"]);
    assert_eq!(doc["schema"], "stillroom.agreement/1");
    assert_eq!((doc["kind"].as_str(), doc["n"].as_u64()), (Some("answers"), Some(31)));
    // Of 31, the shelves (2 against 6) and the rug differ; 7 and 8 things agree.
    assert!((doc["agreement_percent"].as_f64().unwrap() - 100.0 * 29.0 / 31.0).abs() < ROUNDING);
    assert!(doc["kappa"].as_f64().unwrap() > 0.8 && doc["kappa_reason"].is_null());
    assert!(doc["kappa_weighted"].as_f64().unwrap() > 0.8);
    assert!(doc["kappa_weighted_variant"].as_str().unwrap().starts_with("linear"));
    let retrain: Vec<&str> =
        doc["retrain"].as_array().unwrap().iter().map(|item| item["id"].as_str().unwrap()).collect();
    assert_eq!(retrain, ["open-shelves", "busy-rug"], "the widest apart first");
    assert!((doc["answer_sd"]["assumed"].as_f64().unwrap() - 0.20).abs() < ROUNDING);
    assert!(doc["answer_sd"]["observed"].as_f64().unwrap() > 0.0 && doc["count_agreement_percent"].is_null());
    assert_eq!(doc["cautions"].as_array().unwrap().iter().filter(|one| one["code"] == "only-one").count(), 1);
    let shown = text(&stillroom(folder.path(), &["agree", "a.toml", "b.toml"]));
    assert!(shown.contains("94 % agree of 31 items") && shown.contains("Look at these together"), "{shown}");
    let alone = json(folder.path(), &["agree", "a.toml", "a.toml"]);
    assert!((alone["agreement_percent"].as_f64().unwrap() - 100.0).abs() < ROUNDING);
    assert!(alone["cautions"].as_array().unwrap().iter().any(|one| one["code"] == "same-person"));
}

#[test]
fn two_logs_agree_by_class_and_by_count() {
    let folder = tempfile::tempdir().unwrap();
    let head = "date,rung,opportunities,independent,prompted,errors,distress,assent,distractor_on,minutes,note\n";
    let row = |day: u32, right: u32| format!("2026-10-{day:02},1,10,{right},0,{},no,yes,yes,8,\n", 10 - right);
    let log = |rights: [u32; 4]| {
        let rows: String = rights.iter().zip(1..).map(|(right, day)| row(day, *right)).collect();
        format!("{head}{rows}")
    };
    fs::write(folder.path().join("a.csv"), log([9, 10, 5, 7])).unwrap();
    fs::write(folder.path().join("b.csv"), log([9, 8, 4, 7])).unwrap();
    let doc = json(folder.path(), &["agree", "a.csv", "b.csv"]);
    // Classes: pass pass low between, against pass between low between: three of four. Counts: 1, 0.8, 0.8, 1.
    assert_eq!((doc["kind"].as_str(), doc["n"].as_u64()), (Some("sessions"), Some(4)));
    assert!((doc["agreement_percent"].as_f64().unwrap() - 75.0).abs() < ROUNDING);
    assert!((doc["count_agreement_percent"].as_f64().unwrap() - 90.0).abs() < ROUNDING);
    // Chance: (2·1 + 1·2 + 1·1)/16 = 5/16; kappa = (0.75 − 0.3125)/(1 − 0.3125) = 0.636364.
    assert!((doc["kappa"].as_f64().unwrap() - 7.0 / 11.0).abs() < ROUNDING);
    assert!(doc["kappa_weighted"].is_null());
    fs::write(folder.path().join("c.toml"), ORDINARY).unwrap();
    assert_eq!(
        refusal(&stillroom(folder.path(), &["agree", "a.csv", "c.toml", "--format", "json"]))["code"],
        "two-kinds"
    );
    let other = log([9, 9, 9, 9]).replace("2026-10", "2026-11");
    fs::write(folder.path().join("d.csv"), other).unwrap();
    refusal(&stillroom(folder.path(), &["agree", "a.csv", "d.csv", "--format", "json"]));
}

#[test]
fn a_sensitivity_holds_in_its_case_and_is_said_beside_every_figure_it_changed() {
    let (folder, first) = case_with_audit();
    let note = "covers the ears at the hoover";
    let answers = ["--checklist", "home-corner", "--answers", "second.toml"];
    fs::write(folder.path().join("second.toml"), ORDINARY.replace("2026-10-01", "2026-10-08")).unwrap();
    let set = ["--sensitivity", "heard=1.5", "--sensitivity-note", note];
    let words = [&["audit", "--case", "fern"][..], &answers, &set].concat();
    let doc = json(folder.path(), &words);
    assert!(
        (doc["sensitivity"]["heard"].as_f64().unwrap() - 1.5).abs() < ROUNDING && doc["sensitivity"]["note"] == note
    );
    let heard = doc["channels"]["heard"]["pull"].as_f64().unwrap();
    let raised = doc["pull"].as_f64().unwrap() - first["pull"].as_f64().unwrap();
    assert!((raised - 0.5 * heard).abs() < ROUNDING, "{raised} is not half of {heard}");
    fs::write(folder.path().join("second.toml"), ORDINARY.replace("2026-10-01", "2026-10-09")).unwrap();
    let later = json(folder.path(), &[&["audit", "--case", "fern"][..], &answers].concat());
    assert_eq!(later["sensitivity"], doc["sensitivity"], "it holds until the clinician sets another");
    for words in [
        &["audit", "--case", "fern", "--checklist", "home-corner", "--answers", "second.toml"][..],
        &["compare", "--case", "fern"],
        &["ladder", "--case", "fern", "--dry-run"],
        &["case", "show", "fern"],
    ] {
        let shown = text(&stillroom(folder.path(), words)).split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(shown.contains(note), "{words:?}: {shown}");
    }
    assert_eq!(text(&stillroom(folder.path(), &["report", "--case", "fern"])).lines().count(), 1);
    assert!(fs::read_to_string(folder.path().join("report.html")).unwrap().contains(note));
    let words = ["audit", "--checklist", "home-corner", "--answers", "first.toml", "--format", "json", "--sensitivity"];
    for (bad, part) in [("heard=1.5", "reason"), ("haerd=1.5", "heard"), ("heard=3", "0.5 to 2.0")] {
        let more = if part == "reason" { vec![bad] } else { vec![bad, "--sensitivity-note", "why"] };
        let said = refusal(&stillroom(folder.path(), &[&words[..], &more].concat()));
        let all = format!("{} {}", said["message"], said["hint"]);
        assert!(all.contains(part), "{bad}: {all}");
    }
}

const SHARED: &str = r#"
format = "stillroom.checklist/1"
id = "two-boxes"
title = "Two boxes"
[[item]]
id = "table-things"
surface = "table"
channel = "seen"
ask = "How many?"
unit = "count"
alone = 20
half = 4
evidence = "practice"
remedy = "Put them into the box."
minutes = 4
shares = { work = "one-box", own = 3 }
[[item]]
id = "floor-things"
surface = "floor"
channel = "seen"
ask = "How many?"
unit = "count"
alone = 20
half = 4
evidence = "convention"
remedy = "Put them into the box too."
minutes = 5
shares = { work = "one-box", own = 4 }
"#;

#[test]
fn shared_work_is_counted_once_and_explain_writes_it_out() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("two.toml"), SHARED).unwrap();
    let head = "format = \"stillroom.answers/1\"\nchecklist = \"two-boxes\"\nplace = \"x\"\ndate = \"2026-10-15\"\nby = \"p\"\n";
    fs::write(folder.path().join("a.toml"), format!("{head}[answers]\ntable-things = 4\nfloor-things = 8\n")).unwrap();
    let words = ["audit", "--checklist", "two.toml", "--answers", "a.toml", "--minutes", "8"];
    let doc = json(folder.path(), &words);
    assert_eq!(list(&doc["first_moves"]["ids"]).len(), 2, "3 + 4 and one box of a minute fit into 8");
    assert!((doc["first_moves"]["takes_minutes"].as_f64().unwrap() - 8.0).abs() < ROUNDING);
    assert!(doc.get("calculation").is_none());
    let less = json(folder.path(), &[&words[..6], &["7.9"]].concat());
    assert_eq!(list(&less["first_moves"]["ids"]), ["floor-things"]);
    let explained = json(folder.path(), &[&words[..], &["--explain"]].concat());
    let lines = list(&explained["calculation"]);
    let table = lines.iter().find(|line| line.starts_with("u[table-things] = ")).unwrap();
    assert!(table.contains("= -ln(1 - 20/100 * (1 - 2^(-4/4))) = 0.105361 "), "{table}");
    for line in &lines {
        let tag = line.rsplit('[').next().unwrap().trim_end_matches(']');
        assert!(["standard", "published", "practice", "convention"].contains(&tag), "{line}");
    }
    assert!(table.ends_with("[practice]") && lines.last().unwrap().starts_with("load_low, load_high = "));
    let shown = text(&stillroom(folder.path(), &[&words[..], &["--explain"]].concat()));
    assert!(shown.contains("Together 8 min") && shown.contains("The calculation, line by line"), "{shown}");
}

#[test]
fn a_checklist_of_ones_own_is_checked_with_line_item_and_spelling() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(
        folder.path().join("two.toml"),
        SHARED.replace("work = \"one-box\", own = 4", "wrok = \"one-box\", own = 9"),
    )
    .unwrap();
    let output = stillroom(folder.path(), &["checklist", "check", "two.toml"]);
    assert_eq!(output.status.code(), Some(1));
    let shown = said(&output);
    for part in ["two.toml", "line 28", "floor-things", "work"] {
        assert!(shown.contains(part), "{part}: {shown}");
    }
    fs::write(folder.path().join("two.toml"), SHARED.replace("one-box\", own = 4", "no-box\", own = 4")).unwrap();
    let doc = json(folder.path(), &["checklist", "check", "two.toml"]);
    let codes: Vec<&str> = doc["advice"].as_array().unwrap().iter().map(|one| one["code"].as_str().unwrap()).collect();
    assert!(codes.contains(&"shares-alone"), "{codes:?}");
}

#[test]
fn the_demo_files_name_what_to_do_where_photo_and_answers_differ() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("a.toml"), ORDINARY).unwrap();
    let (room, photo) = (file("demo/room-before.flac"), file("demo/photo-before-1.jpg"));
    let words = [
        "audit",
        "--checklist",
        "home-corner",
        "--answers",
        "a.toml",
        "--photo",
        &photo,
        "--sound",
        &room,
        "--offset",
        "112",
    ];
    let doc = json(folder.path(), &words);
    let one = &doc["disagreements"][0];
    let (checklist, measured) = (one["checklist"].as_f64().unwrap(), one["measured"].as_f64().unwrap());
    assert_eq!(one["channel"], "heard");
    let words = format!("the recording finds {:.1} times as much as the answers", measured / checklist);
    assert!(measured > 2.0 * checklist && one["text"].as_str().unwrap().contains(&words), "{one}");
    assert!(one["text"].as_str().unwrap().ends_with("Recount, or take the recording again."));
}

#[test]
fn what_the_child_needs_in_reach_is_no_clutter_and_is_never_moved() {
    let (folder, first) = case_with_audit();
    let moved = list(&first["first_moves"]["ids"])[0].to_owned();
    let kept = moved.replace('-', " ");
    let changed = stillroom(folder.path(), &["case", "child", "fern", "--keep", &kept, "--by", "parent"]);
    assert!(changed.status.success(), "{}", said(&changed));
    let words = ["audit", "--case", "fern", "--checklist", "home-corner", "--answers", "first.toml", "--minutes", "8"];
    let second = json(folder.path(), &words);
    assert!(list(&second["keep"]).contains(&kept.as_str()), "{second}");
    assert!(!list(&second["first_moves"]["ids"]).contains(&moved.as_str()), "{second}");
    assert!(second["shares"].as_array().unwrap().iter().all(|share| share["id"] != moved.as_str()), "{second}");
    // Read again from the case it is the same room: the record holds what must stay.
    let report = stillroom(folder.path(), &["report", "--case", "fern", "--out", "fern.html"]);
    assert!(report.status.success(), "{}", said(&report));
    let page = fs::read_to_string(folder.path().join("fern.html")).unwrap();
    assert!(page.contains(&kept), "the report names what stays");
}
