//! Ladders as a user or a program asks for them: bad input named, the child's own rules honoured, a plan lived with.

use std::fs;
use std::path::Path;

use serde_json::Value;

use super::{document, file, refusal, root, stillroom, with_input};

/// The head of an input file; what follows are distractors.
fn head(background_db: &str) -> String {
    format!(
        "format = \"stillroom.ladder-input/1\"\norder = [\"seen\", \"heard\", \"company\"]\nbackground_db = {background_db}\nsound_cap_db = 60.0\nnovelty = 0.5\n[sensitivity]\nseen = 1.0\nheard = 1.0\ncompany = 1.0\n[heard]\ndb = [35.0, 50.0, 70.0]\npull = [0.0, 0.19, 0.8]\nspeech_db = 10.0\n"
    )
}

/// A thing seen, with a start, a goal, a pull and perhaps a need.
fn thing(id: &str, ends: (usize, usize), pull: &str, needs: &str) -> String {
    let needs = if needs.is_empty() { String::new() } else { format!("needs = {{ id = \"{needs}\", level = 1 }}\n") };
    format!(
        "[[distractor]]\nid = \"{id}\"\nchannel = \"seen\"\nstart = {}\ngoal = {}\n{needs}[[distractor.level]]\nname = \"one\"\npull = {pull}\n[[distractor.level]]\nname = \"two\"\npull = 0.3\n",
        ends.0, ends.1
    )
}

#[track_caller]
fn check_refused(input: &str, names: &[&str]) {
    let words = ["ladder", "--from", "-", "--format", "json"];
    let told = refusal(&with_input(&root(), &words, input.as_bytes()));
    let whole = told.to_string();
    assert!(told["hint"].is_string(), "{whole}");
    for name in names {
        assert!(whole.contains(name), "the refusal does not name {name}: {whole}");
    }
}

#[test]
fn an_input_that_makes_no_sense_is_refused_by_the_names_of_its_items() {
    let calm = head("36.0");
    check_refused(
        &(calm.clone() + &thing("shelf", (0, 1), "0.1", "rug") + &thing("rug", (0, 1), "0.1", "shelf")),
        &["shelf", "rug"],
    );
    check_refused(&(calm.clone() + &thing("shelf", (0, 1), "0.1", "window")), &["shelf", "window"]);
    check_refused(&(calm.clone() + &thing("shelf", (2, 1), "0.1", "")), &["shelf", "start"]);
    check_refused(&(calm.clone() + &thing("shelf", (0, 1), "nan", "")), &["shelf", "pull"]);
    check_refused(&(head("nan") + &thing("shelf", (0, 1), "0.1", "")), &["background_db"]);
    check_refused(&(head("64.5") + &thing("shelf", (0, 1), "0.1", "")), &["background", "64.5", "60.0"]);
    check_refused(&calm, &["no distractor"]);
    let loud = "[[distractor]]\nid = \"radio\"\nchannel = \"heard\"\nstart = 0\ngoal = 1\n[[distractor.level]]\nname = \"loud\"\ndb = 63.0\n";
    check_refused(&(calm + loud), &["radio", "63", "60.0"]);
}

#[test]
fn two_hundred_distractors_are_planned_and_501_are_refused() {
    let many = |count: usize| -> String {
        (0..count).fold(head("36.0"), |text, number| text + &thing(&format!("thing-{number}"), (0, 1), "0.01", ""))
    };
    let words = ["ladder", "--from", "-", "--format", "json"];
    let doc = document(&with_input(&root(), &words, many(200).as_bytes()));
    assert_eq!((doc["rungs"].as_array().unwrap().len(), &doc["optimal"]), (200, &Value::Bool(true)));
    check_refused(&many(501), &["501", "500"]);
}

/// A case with the demo's first audit.
fn case(folder: &Path, more: &[&str]) {
    let words = ["case", "new", "fern", "--alias", "Fern", "--format", "json"].iter().chain(more).copied();
    document(&stillroom(folder, &words.collect::<Vec<_>>()));
    audit(folder, "demo/answers-before.toml");
}

fn audit(folder: &Path, answers: &str) {
    let answers = file(answers);
    let words = ["audit", "--case", "fern", "--checklist", "home-corner", "--answers", &answers, "--format", "json"];
    document(&stillroom(folder, &words));
}

const OPEN: [&str; 4] = ["--sound-sensitive", "no", "--hearing-checked", "yes"];

fn ladder<'a>(more: &[&'a str]) -> Vec<&'a str> {
    ["ladder", "--case", "fern", "--format", "json"].iter().chain(more).copied().collect()
}

#[track_caller]
fn plan(folder: &Path, more: &[&str]) -> Value {
    document(&stillroom(folder, &ladder(more)))
}

fn raised(doc: &Value) -> Vec<String> {
    doc["rungs"].as_array().unwrap().iter().map(|rung| rung["distractor"].as_str().unwrap().to_owned()).collect()
}

fn has(doc: &Value, code: &str) -> bool {
    doc["cautions"].as_array().unwrap().iter().any(|caution| caution["code"] == code)
}

fn ladders(folder: &Path) -> Vec<Value> {
    let list = document(&stillroom(folder, &["case", "list", "fern", "--format", "json"]));
    list["records"].as_array().unwrap().iter().filter(|record| record["kind"] == "ladder").cloned().collect()
}

#[test]
fn what_the_child_record_keeps_is_in_no_rung_and_in_no_rotation() {
    let folder = tempfile::tempdir().unwrap();
    case(folder.path(), &[&OPEN[..], &["--keep", "Loose toys on floor", "--keep", "picture book"]].concat());
    let doc = plan(folder.path(), &["--dry-run"]);
    assert!(!raised(&doc).contains(&"loose-toys-on-floor".to_owned()) && raised(&doc).len() > 5);
    for rung in doc["rungs"].as_array().unwrap() {
        assert!(rung["state"].get("loose-toys-on-floor").is_none());
        let rotated = rung["exemplars"].as_array().unwrap();
        assert!(rotated.len() >= 2 && rotated.iter().all(|one| !one.as_str().unwrap().contains("picture book")));
        assert!(rung["set_up"].as_str().unwrap().contains("Loose toys on floor"), "it says what stays in reach");
    }
}

#[test]
fn hearing_that_nobody_asked_about_locks_sounds_until_a_clinician_signs() {
    for more in [
        &["--sound-sensitive", "no"][..],
        &["--hearing-checked", "yes"],
        &["--sound-sensitive", "yes", "--hearing-checked", "yes"],
    ] {
        let folder = tempfile::tempdir().unwrap();
        case(folder.path(), more);
        let draft = plan(folder.path(), &["--dry-run"]);
        assert!(has(&draft, "heard-locked") && has(&draft, "draft"), "{more:?}");
        assert!(!raised(&draft).contains(&"voices-heard".to_owned()), "{more:?}");
        let signed = plan(folder.path(), &["--dry-run", "--by", "clinician"]);
        assert!(raised(&signed).contains(&"voices-heard".to_owned()) && !has(&signed, "draft"), "{more:?}");
    }
}

#[test]
fn a_sound_that_was_too_much_lowers_the_cap_and_is_never_used() {
    let folder = tempfile::tempdir().unwrap();
    case(folder.path(), &OPEN);
    let words = [
        "case",
        "child",
        "fern",
        "--sound-sensitive",
        "yes",
        "--excluded-sound",
        "washing machine",
        "--excluded-sound",
        "voices",
        "--format",
        "json",
    ];
    document(&stillroom(folder.path(), &words));
    let doc = plan(folder.path(), &["--dry-run", "--by", "clinician", "--sound-cap", "64"]);
    assert!(has(&doc, "sound-sensitive") && !raised(&doc).contains(&"voices-heard".to_owned()));
    assert_eq!(doc["never"], serde_json::json!(["washing machine", "voices"]));
    for rung in doc["rungs"].as_array().unwrap() {
        assert!(
            rung["card"]["target"]["cap_db"].as_f64().is_none_or(|cap| cap <= 50.0),
            "a yes is not raised above 50 dB"
        );
        assert!(rung["exemplars"].as_array().unwrap().iter().all(|one| !one.as_str().unwrap().contains("washing")));
    }
}

#[test]
fn a_draft_stands_beside_a_signed_plan_until_it_is_signed() {
    let folder = tempfile::tempdir().unwrap();
    case(folder.path(), &OPEN);
    plan(folder.path(), &["--by", "clinician"]);
    let signed = ladders(folder.path())[0]["id"].clone();
    plan(folder.path(), &["--never", "window"]);
    let listed = ladders(folder.path());
    assert_eq!((listed.len(), &listed[1]["replaces"]), (2, &Value::Null), "a draft replaced a signed plan");
    let shown = || document(&stillroom(folder.path(), &["case", "show", "fern", "--format", "json"]));
    assert_eq!(shown()["ladder_signed_by"], "clinician");
    let draft = listed[1]["id"].as_str().unwrap();
    let doc = plan(folder.path(), &["--sign", draft, "--by", "clinician two"]);
    assert!(!raised(&doc).contains(&"window".to_owned()) && !has(&doc, "draft"));
    assert_eq!(ladders(folder.path())[2]["replaces"], signed);
    assert_eq!(shown()["ladder_signed_by"], "clinician two");
}

#[test]
fn planning_on_keeps_the_climbed_rungs_names_what_it_replaces_and_says_what_changed() {
    let folder = tempfile::tempdir().unwrap();
    case(folder.path(), &OPEN);
    let first = plan(folder.path(), &["--by", "clinician"]);
    let words = [
        "--from-rung",
        "4",
        "--fixed",
        "open-shelves",
        "--max-step",
        "0.05",
        "--why",
        "stepped back",
        "--by",
        "clinician",
    ];
    let again = plan(folder.path(), &words);
    assert_eq!(again["kept_to"], 4);
    assert_eq!(first["rungs"].as_array().unwrap()[..4], again["rungs"].as_array().unwrap()[..4]);
    assert!(!raised(&again)[4..].contains(&"open-shelves".to_owned()));
    let listed = ladders(folder.path());
    assert_eq!(listed[1]["replaces"], listed[0]["id"]);
    let record = fs::read_dir(folder.path().join("fern")).unwrap().map(|entry| entry.unwrap().path());
    let id = listed[1]["id"].as_str().unwrap();
    let path = record.into_iter().find(|path| path.to_string_lossy().contains(id)).unwrap();
    let text = fs::read_to_string(path).unwrap();
    assert!(text.contains("why = \"stepped back\"") && text.contains("Rungs 1 to 4 are kept"), "{text}");
    let beyond: Vec<_> = again["beyond"].as_array().unwrap().iter().map(|one| one["what"].as_str().unwrap()).collect();
    assert_eq!(beyond, ["another adult", "another place", "another task"]);
    let weeks: Vec<_> =
        again["maintenance"].as_array().unwrap().iter().map(|one| one["weeks"].as_u64().unwrap()).collect();
    assert_eq!(weeks, [1, 2, 4, 8]);
    let told = refusal(&stillroom(folder.path(), &ladder(&["--from-rung", "99"])));
    assert_eq!(told["code"], "no-such-rung");
}

#[test]
fn planning_by_tolerance_steps_back_only_when_there_is_enough_to_go_by() {
    let folder = tempfile::tempdir().unwrap();
    case(folder.path(), &OPEN);
    let told = || refusal(&stillroom(folder.path(), &ladder(&["--from-tolerance"])))["code"].clone();
    assert_eq!(told(), "no-plan");
    let first = plan(folder.path(), &["--by", "clinician"]);
    assert_eq!(told(), "not-enough-data");
    for (number, (rung, independent)) in
        [(1, 12), (2, 12), (3, 11), (4, 3), (4, 2), (5, 1), (5, 0)].into_iter().enumerate()
    {
        let text = format!(
            "[session]\nrung = {rung}\nopportunities = 12\nindependent = {independent}\nprompted = 0\nerrors = 0\ndistress = false\nassent = true\ndistractor_on = true\nminutes = 10\nnote = \"\"\n"
        );
        let on = format!("2027-01-{:02}", number + 1);
        let words = ["case", "add", "fern", "-", "--on", &on, "--format", "json"];
        document(&with_input(folder.path(), &words, text.as_bytes()));
    }
    let doc = plan(folder.path(), &["--from-tolerance", "--dry-run", "--by", "clinician"]);
    let kept = doc["kept_to"].as_u64().unwrap();
    assert!((1..=3).contains(&kept), "passed up to 3, failed 4 and 5, kept up to {kept}");
    let kept = usize::try_from(kept).unwrap();
    assert_eq!(first["rungs"].as_array().unwrap()[..kept], doc["rungs"].as_array().unwrap()[..kept]);
}

#[test]
fn two_audits_are_start_and_goal_and_a_start_beyond_the_goal_names_its_items() {
    let folder = tempfile::tempdir().unwrap();
    case(folder.path(), &OPEN);
    audit(folder.path(), "demo/answers-after.toml");
    let doc = plan(folder.path(), &["--dry-run", "--start", "2026-10-19", "--goal", "2026-10-05", "--order", "heard"]);
    assert!(doc["start_load"].as_f64().unwrap() > 1.0);
    let heard = |id: &str| ["voices-heard", "radio-or-music", "machines-heard", "street-or-house-noise"].contains(&id);
    assert!(heard(&raised(&doc)[0]), "{:?}", raised(&doc));
    let words = ["--dry-run", "--start", "2026-10-05", "--goal", "2026-10-19"];
    let told = refusal(&stillroom(folder.path(), &ladder(&words)));
    assert_eq!(told["code"], "start-beyond-goal");
    assert!(told["place"].as_str().unwrap().contains("open-shelves"), "{told}");
}

#[test]
fn one_adult_alone_gets_no_rung_that_needs_a_person_and_cards_print_two_to_a_page() {
    let folder = tempfile::tempdir().unwrap();
    case(folder.path(), &OPEN);
    let doc = plan(folder.path(), &["--dry-run", "--alone", "--cards", "cards.html", "--chart", "stairs.svg"]);
    assert!(has(&doc, "alone"));
    assert!(doc["rungs"].as_array().unwrap().iter().all(|rung| rung["card"]["people"] == 0));
    let cards = fs::read_to_string(folder.path().join("cards.html")).unwrap();
    let sheets = cards.matches("<div class=\"sheet\">").count();
    let articles = cards.matches("<article class=\"card\">").count();
    // Every rung, three after the top and the probes; the last sheet may hold one.
    assert_eq!(articles, doc["rungs"].as_array().unwrap().len() + 4);
    assert_eq!(sheets, articles.div_ceil(2));
    assert!(cards.contains("Draft.") && !cards.contains("<script"));
    let stairs = fs::read_to_string(folder.path().join("stairs.svg")).unwrap();
    assert!(stairs.starts_with("<svg") && stairs.contains("things seen") && stairs.contains("things heard"));
}

#[test]
fn what_is_never_used_holds_on_until_it_is_allowed_again() {
    let folder = tempfile::tempdir().unwrap();
    case(folder.path(), &OPEN);
    let radio = "radio-or-music".to_owned();
    assert!(raised(&plan(folder.path(), &["--dry-run"])).contains(&radio));
    let never = plan(folder.path(), &["--by", "clinician", "--never", "radio-or-music", "--fixed", "window"]);
    assert!(!raised(&never).contains(&radio) && !raised(&never).contains(&"window".to_owned()));
    // A later plan that says nothing of it still leaves it out.
    assert!(!raised(&plan(folder.path(), &["--dry-run", "--by", "clinician"])).contains(&radio));
    let allowed = plan(folder.path(), &["--dry-run", "--by", "clinician", "--allow", "radio-or-music"]);
    assert!(raised(&allowed).contains(&radio) && !raised(&allowed).contains(&"window".to_owned()));
}

#[test]
fn a_sensitivity_scales_the_steps_of_its_channel_alone() {
    let folder = tempfile::tempdir().unwrap();
    case(folder.path(), &OPEN);
    let usual = plan(folder.path(), &["--dry-run", "--by", "clinician", "--max-step", "5"]);
    let keen =
        plan(folder.path(), &["--dry-run", "--by", "clinician", "--max-step", "5", "--sensitivity", "company=2"]);
    let steps = |doc: &Value, channel: &str| -> Vec<(String, f64)> {
        let rungs = doc["rungs"].as_array().unwrap().iter();
        let mut of_channel: Vec<(String, f64)> = rungs
            .filter(|rung| rung["card"]["channel"] == channel)
            .map(|rung| (format!("{}-{}", rung["distractor"], rung["level"]), rung["step"].as_f64().unwrap()))
            .collect();
        of_channel.sort_by(|a, b| a.0.cmp(&b.0));
        of_channel
    };
    let (before, after) = (steps(&usual, "company"), steps(&keen, "company"));
    assert!(!before.is_empty() && before.len() == after.len());
    for (one, other) in before.iter().zip(&after) {
        assert!(one.0 == other.0 && (2.0 * one.1 - other.1).abs() < 1e-9, "{one:?} {other:?}");
    }
    for (one, other) in steps(&usual, "seen").iter().zip(&steps(&keen, "seen")) {
        assert!(one.0 == other.0 && (one.1 - other.1).abs() < 1e-12, "{one:?} {other:?}");
    }
    let out_of_range = refusal(&stillroom(folder.path(), &ladder(&["--dry-run", "--sensitivity", "heard=3"])));
    assert!(out_of_range["message"].as_str().unwrap().contains("0.5 to 2"), "{out_of_range}");
}
