//! Practice as a family and a clinician run it: sessions in, decisions, pauses, rules, what to try, what is never done.

use std::fs;
use std::path::{Path, PathBuf};

use serde_json::Value;

use super::{document, file, refusal, stillroom, text};

const HEAD: &str =
    "date,rung,opportunities,independent,prompted,errors,distress,assent,distractor_on,minutes,note,task,place";

/// A case without a ladder, in a folder of its own.
pub(super) struct Made {
    folder: tempfile::TempDir,
}

impl Made {
    pub(super) fn new() -> Self {
        let made = Self { folder: tempfile::tempdir().unwrap() };
        made.done(&["case", "new", "clover", "--alias", "Clover", "--born", "2022-07"]);
        made
    }

    /// The same with an audit and a signed ladder of the demo's room.
    pub(super) fn with_ladder() -> Self {
        let made = Self::new();
        let answers = file("demo/answers-before.toml");
        made.done(&["audit", "--case", "clover", "--checklist", "home-corner", "--answers", &answers]);
        made.done(&["ladder", "--case", "clover", "--by", "clinician"]);
        made
    }

    pub(super) fn path(&self) -> &Path {
        self.folder.path()
    }

    #[track_caller]
    pub(super) fn done(&self, words: &[&str]) -> Value {
        document(&stillroom(self.path(), &[words, &["--format", "json"]].concat()))
    }

    #[track_caller]
    pub(super) fn refused(&self, words: &[&str]) -> Value {
        refusal(&stillroom(self.path(), &[words, &["--format", "json"]].concat()))
    }

    fn write(&self, name: &str, text: &str) {
        fs::write(self.path().join(name), text).unwrap();
    }

    /// Sessions of a table with the usual header.
    #[track_caller]
    pub(super) fn take(&self, rows: &str) -> Value {
        self.write("rows.csv", &format!("{HEAD}\n{rows}"));
        self.done(&["session", "--case", "clover", "--import", "rows.csv"])
    }

    /// The refusal of such a table; nothing of it may be stored.
    #[track_caller]
    fn take_refused(&self, rows: &str) -> String {
        let before = self.sessions();
        self.write("rows.csv", &format!("{HEAD}\n{rows}"));
        let refused = self.refused(&["session", "--case", "clover", "--import", "rows.csv"]);
        assert_eq!(self.sessions(), before, "something was stored");
        refused["message"].as_str().unwrap().to_owned()
    }

    #[track_caller]
    fn review(&self, on: &str) -> Value {
        self.done(&["review", "--case", "clover", "--on", on])
    }

    fn sessions(&self) -> Vec<PathBuf> {
        let mut found: Vec<PathBuf> = fs::read_dir(self.path().join("clover"))
            .unwrap()
            .map(|entry| entry.unwrap().path())
            .filter(|path| path.to_string_lossy().contains("-session-"))
            .collect();
        found.sort();
        found
    }
}

/// Ten opportunities of matching leaves at the table.
fn row(day: &str, rung: u32, right: u32, rest: &str) -> String {
    format!("2026-{day},{rung},10,{right},0,{},{rest},9,,leaves,table\n", 10 - right)
}

const WELL: &str = "no,yes,yes";
const DISTRESSED: &str = "yes,yes,yes";

#[test]
fn a_session_is_stored_by_options_alone_and_safety_is_never_assumed() {
    let made = Made::new();
    let refused = made.refused(&["session", "--case", "clover", "--rung", "1", "--independent", "9"]);
    assert_eq!(refused["code"], "cannot-ask");
    assert_eq!(refused["message"], "not given: --distractor-on, --distress, --assent");
    let safe = ["--distractor-on", "yes", "--distress", "no", "--assent", "yes"];
    let words = [
        &[
            "session",
            "--case",
            "clover",
            "--rung",
            "1",
            "--independent",
            "8",
            "--prompted",
            "2",
            "--prompts",
            "1,0,0,1",
        ],
        &["--date", "2026-03-02", "--time", "16:30", "--reinforcer", "bubbles", "--breaks", "1", "--by", "parent"][..],
        &safe,
    ]
    .concat();
    let stored = made.done(&words);
    assert_eq!(stored["schema"], "stillroom.sessions/1");
    assert_eq!((&stored["sessions"][0]["independent"], &stored["sessions"][0]["rung"]), (&8.into(), &1.into()));
    let record = fs::read_to_string(&made.sessions()[0]).unwrap();
    for line in
        ["time = \"16:30\"", "gesture = 1", "full = 1", "reinforcer = \"bubbles\"", "breaks = 1", "by = \"parent\""]
    {
        assert!(record.contains(line), "{line} in {record}");
    }
    assert_eq!(made.refused(&words)["code"], "session-faults", "the same session twice");
    let impossible = [&words[..5], &["--independent", "8", "--prompted", "2", "--opportunities", "9"], &safe].concat();
    let refused = made.refused(&impossible);
    assert!(refused["message"].as_str().unwrap().contains("more than 9 opportunities"), "{refused}");
}

#[test]
fn a_spreadsheet_is_taken_whole_or_not_at_all() {
    let made = Made::new();
    let sheet = "\u{feff}date;rung;opportunities;independent;prompted;errors;distress;assent;distractor_on;minutes;note\r\n\
                 02.03.2026;1;10,0;9;1;0;no;yes;yes;7,5;\"calm; hummed\"\r\n\
                 03.03.2026;1;10;10;0;0;no;yes;yes;8;\r\n";
    made.write("sheet.csv", sheet);
    let import = ["session", "--case", "clover", "--import", "sheet.csv"];
    let refused = made.refused(&import);
    assert!(refused["message"].as_str().unwrap().contains("line 2, column `date`"), "{refused}");
    assert!(refused["hint"].as_str().unwrap().contains("--date-form dmy"), "{refused}");
    let dmy = [&import[..], &["--date-form", "dmy"]].concat();
    let would = made.done(&[&dmy[..], &["--dry-run"]].concat());
    assert_eq!((would["dry_run"].as_bool(), would["sessions"].as_array().unwrap().len()), (Some(true), 2));
    assert!(would["sessions"][0]["id"].is_null() && made.sessions().is_empty());
    let stored = made.done(&dmy);
    assert_eq!((&stored["sessions"][0]["date"], &stored["sessions"][0]["line"]), (&"2026-03-02".into(), &2.into()));
    assert!(stored["notices"][0].as_str().unwrap().contains("7,5 minutes were read as 8"));
    assert_eq!(made.sessions().len(), 2);
    assert_eq!(made.review("2026-03-04")["decision"], "advance");
    assert!(made.refused(&dmy)["message"].as_str().unwrap().contains("lines 2–3"));
}

#[test]
fn what_cannot_be_is_refused_by_line_and_nothing_is_stored() {
    let made = Made::with_ladder();
    let good = row("03-02", 1, 9, WELL);
    let refused = made.take_refused(&format!("{good}2026-03-03,1,10,9,1,1,no,yes,yes,9,,leaves,table\n"));
    assert!(refused.contains("line 3, column `opportunities`"), "{refused}");
    let refused = made.take_refused(&format!("{good}2999-03-03,1,10,9,1,0,no,yes,yes,9,,leaves,table\n"));
    assert!(refused.contains("line 3, column `date`: 2999-03-03 has not come yet"), "{refused}");
    let refused = made.take_refused(&format!("{good}{good}"));
    assert!(refused.contains("line 3, column `date`: the same session stands on line 2"), "{refused}");
    let refused = made.take_refused(&format!("{good}2026-03-03,400,10,9,1,0,no,yes,yes,9,,,window table\n"));
    assert!(refused.contains("line 3, column `rung`: the ladder has no rung 400"), "{refused}");
    let refused = made.take_refused(&format!("{good}2020-03-03,1,10,9,1,0,no,yes,yes,9,,leaves,table\n"));
    assert!(refused.contains("before the child's month of birth"), "{refused}");
    made.write(
        "two.csv",
        &format!("{HEAD},alias\n{},Clover\n{},Fern\n", good.trim_end(), row("03-03", 1, 9, WELL).trim_end()),
    );
    let refused = made.refused(&["session", "--case", "clover", "--import", "two.csv"]);
    assert!(refused["message"].as_str().unwrap().contains("line 3, column `alias`: `Fern`"), "{refused}");
    assert!(made.sessions().is_empty());
    made.take(&good);
    assert!(
        made.take_refused(&format!("{}{good}", row("03-01", 1, 9, WELL)))
            .contains("line 3, column `date`: this session is in the case already")
    );
}

#[test]
fn an_import_that_was_cut_short_is_finished_by_the_same_file() {
    let made = Made::new();
    let rows: String = (1..=4).map(|day| row(&format!("03-0{day}"), 1, 9, WELL)).collect();
    made.take(&rows);
    let all = made.sessions();
    fs::remove_file(&all[2]).unwrap();
    fs::remove_file(&all[3]).unwrap();
    let finished = made.take(&rows);
    assert_eq!(finished["sessions"].as_array().unwrap().len(), 2);
    assert!(finished["notices"][0].as_str().unwrap().contains("lines 2–3 were stored by an earlier try"), "{finished}");
    assert_eq!(made.sessions().len(), 4);
}

#[test]
fn what_was_exported_is_read_again_and_names_its_case() {
    let made = Made::new();
    made.take(&format!("{}{}", row("03-02", 1, 9, WELL), row("03-03", 1, 10, WELL)));
    made.done(&["session", "--case", "clover", "--export", "out.csv"]);
    let decided = document(&stillroom(made.path(), &["review", "--log", "out.csv", "--format", "json"]));
    assert_eq!((&decided["decision"], &decided["task"]), (&"advance".into(), &"leaves".into()));
    made.done(&["case", "new", "fern", "--alias", "Fern"]);
    let refused = made.refused(&["session", "--case", "fern", "--import", "out.csv"]);
    assert!(refused["message"].as_str().unwrap().contains("`Clover` is not this case"), "{refused}");
}

#[test]
fn a_pause_ends_only_when_a_clinician_says_so() {
    let made = Made::new();
    made.take(&format!("{}{}", row("03-02", 1, 9, DISTRESSED), row("03-03", 1, 9, DISTRESSED)));
    let paused = made.review("2026-03-04");
    assert_eq!(paused["decision"], "pause");
    assert!(paused["tomorrow"][0].as_str().unwrap().starts_with("No practice"));
    // A note lifts nothing in a case.
    let cleared = "2026-03-04,1,10,9,0,1,no,yes,yes,9,cleared,leaves,table\n";
    made.take(cleared);
    assert_eq!(made.review("2026-03-05")["decision"], "pause");
    let decide = |more: &[&'static str]| [&["decide", "--case", "clover", "--by", "clinician"], more].concat();
    assert_eq!(made.refused(&decide(&["--decision", "hold", "--why", "calm again"]))["code"], "paused");
    assert_eq!(made.refused(&decide(&["--lift-pause"]))["code"], "why");
    let lifted = made.done(&decide(&["--lift-pause", "--why", "the vacuum cleaner stays out"]));
    assert_eq!((&lifted["decision"], lifted["lifts_pause"].as_bool()), (&"hold".into(), Some(true)));
    let after = made.review("2026-03-05");
    assert_eq!(after["decision"], "hold");
    assert_eq!((&after["decided"]["recommended"], &after["decided"]["by"]), (&"pause".into(), &"clinician".into()));
    assert_eq!(made.refused(&decide(&["--lift-pause", "--why", "again"]))["code"], "no-pause");
    // Distress that is written down after the lift counts, even of an earlier day.
    made.take(&format!("{}{}", row("03-01", 1, 8, DISTRESSED), row("03-05", 1, 8, DISTRESSED)));
    assert_eq!(made.review("2026-03-06")["decision"], "pause");
}

#[test]
fn a_decision_may_differ_with_a_reason_and_is_followed() {
    let made = Made::with_ladder();
    made.take(&format!("{}{}", row("03-02", 1, 9, WELL), row("03-03", 1, 10, WELL)).replace(",table", ",window table"));
    assert_eq!(made.review("2026-03-04")["decision"], "advance");
    let hold = ["decide", "--case", "clover", "--by", "clinician", "--decision", "hold"];
    assert_eq!(made.refused(&hold)["code"], "why");
    let decided = made.done(&[&hold[..], &["--why", "one more week with grandfather"]].concat());
    assert_eq!((&decided["decision"], &decided["recommended"]), (&"hold".into(), &"advance".into()));
    let after = made.review("2026-03-04");
    assert_eq!((&after["decision"], &after["decided"]["decision"]), (&"advance".into(), &"hold".into()));
    assert!(after["tomorrow"][0].as_str().unwrap().starts_with("Rung 1."), "{after}");
    let asked = made.refused(&["decide", "--case", "clover", "--by", "clinician", "--decision", "advence"]);
    assert!(asked["message"].as_str().unwrap().contains("advance"), "{asked}");
}

#[test]
fn the_rule_of_mastery_is_kept_with_the_ladder_and_outlives_a_new_plan() {
    let made = Made::with_ladder();
    let rows: String = (2..=4).map(|day| row(&format!("03-0{day}"), 1, 8, WELL)).collect();
    made.take(&rows.replace(",table", ",window table"));
    assert_eq!(made.review("2026-03-05")["decision"], "hold");
    let tried = made.done(&["review", "--case", "clover", "--on", "2026-03-05", "--criterion", "80x3", "--explain"]);
    assert_eq!((&tried["decision"], tried["chances"].as_array().unwrap().len()), (&"advance".into(), 3));
    let set = ["decide", "--case", "clover", "--by", "clinician", "--criterion", "80x3"];
    assert_eq!(made.refused(&set)["code"], "why");
    made.done(&[&set[..], &["--why", "tires early"]].concat());
    let after = made.review("2026-03-05");
    assert_eq!(after["decision"], "advance");
    assert_eq!((&after["criterion"]["percent"], &after["criterion"]["by"]), (&80.into(), &"clinician".into()));
    made.done(&["ladder", "--case", "clover", "--by", "clinician", "--max-step", "0.2"]);
    assert_eq!(made.review("2026-03-05")["decision"], "advance");
    assert_eq!(made.refused(&["review", "--case", "clover", "--criterion", "85x2"])["code"], "criterion");
}

#[test]
fn each_task_and_place_has_its_own_answer_and_sittings_of_a_day_are_one() {
    let made = Made::new();
    let sitting = |day: &str, time: &str, task: &str, right: u32| {
        format!("2026-03-0{day},1,4,{right},0,{},no,yes,yes,3,{time},{task},table\n", 4 - right)
    };
    let mut rows = String::new();
    for day in ["2", "3"] {
        for time in ["morning", "noon", "evening"] {
            rows.push_str(&sitting(day, time, "leaves", 4));
            rows.push_str(&sitting(day, time, "rings", 1));
        }
    }
    made.take(&rows);
    let found = made.review("2026-03-04");
    assert_eq!((&found["task"], &found["decision"]), (&"rings".into(), &"step-back".into()));
    assert!(!found["smaller"].as_array().unwrap().is_empty(), "smaller steps are offered");
    assert_eq!((&found["others"][0]["task"], &found["others"][0]["decision"]), (&"leaves".into(), &"advance".into()));
    let one = made.done(&["review", "--case", "clover", "--on", "2026-03-04", "--task", "leaves"]);
    assert_eq!((&one["decision"], one["others"].is_null()), (&"advance".into(), true));
    assert_eq!(made.refused(&["review", "--case", "clover", "--task", "leafs"])["code"], "no-such-practice");
    assert_eq!(made.refused(&["decide", "--case", "clover", "--by", "clinician"])["code"], "which-practice");
}

#[test]
fn a_session_that_was_taken_back_counts_for_nothing() {
    let made = Made::new();
    let stored = made.take(&format!("{}{}", row("03-02", 1, 9, WELL), row("03-03", 1, 10, WELL)));
    let id = stored["sessions"][1]["id"].as_str().unwrap();
    made.done(&["case", "withdraw", "clover", id, "--why", "another child's"]);
    let found = made.review("2026-03-04");
    assert_eq!((&found["decision"], &found["statistics"]["sessions"]), (&"hold".into(), &1.into()));
}

#[test]
fn what_to_try_ends_in_one_or_two_things_and_when_to_call() {
    let made = Made::with_ladder();
    let rows: String = (2..=9).map(|day| row(&format!("03-0{day}"), 1, 7, WELL)).collect();
    made.take(&rows.replace(",table", ",window table"));
    let found = made.done(&["troubleshoot", "--case", "clover", "--on", "2026-03-10"]);
    assert_eq!(found["decision"], "break-down");
    let codes: Vec<&str> =
        found["looks"].as_array().unwrap().iter().map(|look| look["code"].as_str().unwrap()).collect();
    assert_eq!(codes[2..10], ["task", "step", "practice", "reinforcer", "prompts", "need", "room", "screens"]);
    assert!((1..=2).contains(&found["this_week"].as_array().unwrap().len()));
    assert!(found["call"].as_array().unwrap().len() > 2);
    let levels = found["smaller"].as_array().unwrap().iter().filter(|step| step["kind"] == "level").count();
    assert!(levels > 0, "the ladder's own levels give steps: {found}");
    made.take(&format!("{}{}", row("03-10", 1, 7, DISTRESSED), row("03-11", 1, 7, DISTRESSED)));
    let unsafe_now = made.done(&["troubleshoot", "--case", "clover", "--on", "2026-03-12"]);
    assert!(unsafe_now["this_week"][0].as_str().unwrap().starts_with("Call the clinician"), "{unsafe_now}");
}

#[test]
fn the_child_chooses_and_the_next_assessment_falls_due() {
    let made = Made::new();
    let items = ["--item", "bubbles", "--item", "train", "--item", "top"];
    let sheet = text(&stillroom(made.path(), &[&["reinforcers", "--offer", "pairs"], &items[..]].concat()));
    assert_eq!(sheet.lines().count(), 4);
    let filled: String = sheet
        .lines()
        .map(|line| match line {
            "left,right,chosen" => format!("{line}\n"),
            line if line.contains("train") => format!("{line}train\n"),
            line => format!("{line}\n"),
        })
        .collect();
    made.write("pairs.csv", &filled);
    let found = made.done(&["reinforcers", "--case", "clover", "--pairs", "pairs.csv"]);
    assert_eq!((&found["items"][0]["name"], found["items"][0]["percent"].as_f64()), (&"train".into(), Some(100.0)));
    assert_eq!(found["due"].as_bool(), Some(false));
    let quick = made.done(&[&["reinforcers", "--case", "clover", "--quick", "top"], &items[..]].concat());
    assert!(quick["quick"]["text"].as_str().unwrap().ends_with(": top"));
    let rounds =
        [&["reinforcers", "--case", "clover", "--round", "top,train", "--round", "top,bubbles,train"], &items[..]]
            .concat();
    let rounds = made.done(&rounds);
    assert_eq!((&rounds["items"][0]["name"], &rounds["method"]), (&"top".into(), &"one after the other".into()));
    made.write("bad.csv", &filled.replacen("train\n", "ball\n", 1));
    let refused = made.refused(&["reinforcers", "--case", "clover", "--pairs", "bad.csv"]);
    assert_eq!(refused["code"], "pair-faults");
}

#[test]
fn self_stimulation_is_noted_in_words_and_never_counted_or_sampled() {
    let made = Made::new();
    made.take(&row("03-02", 1, 9, WELL));
    let before = made.review("2026-03-03");
    let note = |seen: &'static str| {
        ["needs", "--case", "clover", "--seen", seen, "--before", "the vacuum cleaner", "--serves", "quiet"]
    };
    assert_eq!(made.refused(&note("flapped 12 times"))["code"], "need-count");
    let found = made.done(&note("hums and rocks"));
    assert!(found["notes"][0]["text"].as_str().unwrap().contains("hums and rocks"));
    assert_eq!(made.review("2026-03-03"), before, "a note changes no decision");
    let sample = ["session", "--sample", "momentary", "--what", "hand flapping"];
    assert_eq!(made.refused(&sample)["code"], "never-sampled");
    assert_eq!(made.refused(&["session", "--sample", "whole"])["code"], "cannot-ask");
}

#[test]
fn screens_and_dose_are_told_without_a_verdict() {
    let made = Made::new();
    let add =
        ["screens", "--case", "clover", "--minutes", "80", "--what", "train film", "--with", "parent", "--repeat"];
    let found = made.done(&add);
    assert_eq!((found["mean_minutes"].as_f64(), found["together_share"].as_f64()), (Some(80.0), Some(1.0)));
    let editions: Vec<&str> =
        found["guidance"].as_array().unwrap().iter().map(|one| one["edition"].as_str().unwrap()).collect();
    for (edition, year) in editions.iter().zip(["2026", "2019", "2016"]) {
        assert!(edition.contains(year), "{edition}");
    }
    assert_eq!(
        made.refused(&["screens", "--case", "clover", "--minutes", "5", "--date", "2999-01-01"])["code"],
        "date"
    );
    let plan =
        ["dose", "--case", "clover", "--days", "5", "--at", "while cooking=4:sort the spoons", "--at", "after tea=0"];
    let dose = made.done(&plan);
    assert_eq!((dose["planned_a_week"].as_u64(), dose["needed_a_week"].as_u64()), (Some(20), Some(20)));
    assert!(
        dose["said"].as_array().unwrap().iter().any(|line| line.as_str().unwrap().starts_with("For illustration only"))
    );
    assert_eq!(made.refused(&["dose", "--case", "clover", "--at", "cooking"])["code"], "day-plan");
}

#[test]
fn the_graph_is_drawn_as_a_picture() {
    let made = Made::new();
    made.take(&format!("{}{}", row("03-02", 1, 9, WELL), row("03-20", 1, 10, DISTRESSED)));
    made.done(&["review", "--case", "clover", "--on", "2026-03-21", "--chart", "s.svg"]);
    let svg = fs::read_to_string(made.path().join("s.svg")).unwrap();
    assert!(svg.starts_with("<svg") && svg.contains("D: distress") && svg.contains("criterion"), "{svg}");
    let told = text(&stillroom(made.path(), &["review", "--case", "clover", "--on", "2026-03-21"]));
    assert!(told.contains("D distress") && told.contains("// more than 10 days"), "{told}");
}
