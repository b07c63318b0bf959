//! The contracts: what each command prints for programs, on real files.

use std::fs;
use std::path::Path;

use super::{document, file, root, stillroom, text, with_input};

/// JSON and TOML carry whole numbers; what is computed twice is the same to the last few bits.
const ROUNDING: f64 = 1e-9;

#[track_caller]
fn near(a: &serde_json::Value, b: f64) {
    assert!((a.as_f64().unwrap() - b).abs() < ROUNDING, "{a} is not {b}");
}

#[test]
fn a_photo_and_several_photos_print_their_documents() {
    let (first, second) = (file("demo/photo-before-1.jpg"), file("demo/photo-before-2.jpg"));
    let one = document(&stillroom(&root(), &["photo", &first, "--format", "json"]));
    assert_eq!(one["schema"], "stillroom.photo/1");
    near(&one["pull"], -(1.0 - 0.003 * one["busyness"].as_f64().unwrap()).ln());
    let both = document(&stillroom(&root(), &["photo", &first, &second, "--format", "json"]));
    assert_eq!(both["schema"], "stillroom.photos/1");
    assert_eq!(both["photos"][0], {
        let mut one = one;
        one.as_object_mut().unwrap().remove("schema");
        one
    });
    let mean =
        both["photos"].as_array().unwrap().iter().map(|photo| photo["pull"].as_f64().unwrap()).sum::<f64>() / 2.0;
    near(&both["pull"], mean);
}

#[test]
fn a_busy_place_offers_items_and_can_be_marked_as_staying() {
    let photo = file("demo/photo-before-1.jpg");
    let doc = document(&stillroom(&root(), &["photo", &photo, "--stays", "2", "--format", "json"]));
    let places = doc["busy_places"].as_array().unwrap();
    assert!(places.iter().all(|place| !place["could_be"].as_array().unwrap().is_empty()));
    assert_eq!(places.iter().map(|place| place["stays"] == true).collect::<Vec<_>>()[..3], [false, true, false]);
    super::refusal(&stillroom(&root(), &["photo", &photo, "--stays", "9", "--format", "json"]));
}

#[test]
fn a_map_is_a_png_of_the_same_shape_over_a_legend() {
    let folder = tempfile::tempdir().unwrap();
    let photo = file("demo/photo-before-1.jpg");
    document(&stillroom(folder.path(), &["photo", &photo, "--map", "busy.png", "--format", "json"]));
    let map = image::open(folder.path().join("busy.png")).unwrap();
    let picture = map.width() * 3 / 4;
    assert!(map.width() <= 512 && map.height() > picture && map.height() < picture * 3 / 2);
}

#[test]
fn standard_input_reads_like_the_file() {
    let photo = fs::read(root().join("demo/photo-after-1.jpg")).unwrap();
    let piped = document(&with_input(&root(), &["photo", "-", "--format", "json"], &photo));
    let named = document(&stillroom(&root(), &["photo", &file("demo/photo-after-1.jpg"), "--format", "json"]));
    assert_eq!(piped["busyness"], named["busyness"]);
    let sound = fs::read(root().join("demo/room-after.flac")).unwrap();
    let piped = document(&with_input(&root(), &["sound", "-", "--format", "json"], &sound));
    let named = document(&stillroom(&root(), &["sound", &file("demo/room-after.flac"), "--format", "json"]));
    assert_eq!(piped["levels"], named["levels"]);
}

#[test]
fn a_calibration_raises_every_level_and_opens_the_criteria() {
    let room = file("demo/room-before.flac");
    let bare = document(&stillroom(&root(), &["sound", &room, "--format", "json"]));
    let offset = document(&stillroom(&root(), &["sound", &room, "--offset", "100", "--format", "json"]));
    assert_eq!((bare["level_unit"].as_str(), offset["level_unit"].as_str()), (Some("dBFS"), Some("dB")));
    near(&offset["levels"]["laeq_db"], bare["levels"]["laeq_db"].as_f64().unwrap() + 100.0);
    assert!(bare["criteria"]["nc"].is_null() && bare["pull"].is_null());
    assert!(offset["criteria"]["nr"].is_number() && offset["pull"].is_number());
    // A recording whose level a meter read is its own calibration.
    let read = document(&stillroom(
        &root(),
        &["sound", &room, "--reference", &room, "--reference-db", "61.5", "--format", "json"],
    ));
    near(&read["levels"]["laeq_db"], 61.5);
    assert_eq!(read["calibration"]["kind"], "reading");
}

#[test]
fn a_child_who_is_heard_gives_figures_but_no_pull() {
    let room = file("demo/room-before.flac");
    let heard =
        document(&stillroom(&root(), &["sound", &room, "--offset", "100", "--child-audible", "--format", "json"]));
    assert!(heard["pull"].is_null() && heard["levels"]["laeq_db"].is_number());
}

fn audit(folder: &Path, more: &[&str]) -> serde_json::Value {
    let answers = file("demo/answers-before.toml");
    let mut words = vec!["audit", "--checklist", "home-corner", "--answers", &answers, "--format", "json"];
    words.extend(more);
    document(&stillroom(folder, &words))
}

#[test]
fn shares_sum_to_one_and_the_load_follows_from_the_pull() {
    let folder = tempfile::tempdir().unwrap();
    let (room, photo) = (file("demo/room-before.flac"), file("demo/photo-before-1.jpg"));
    let doc = audit(folder.path(), &["--sound", &room, "--offset", "100", "--photo", &photo]);
    assert_eq!(doc["schema"], "stillroom.audit/1");
    let shares: f64 = doc["shares"].as_array().unwrap().iter().map(|share| share["share"].as_f64().unwrap()).sum();
    assert!((shares - 1.0).abs() < ROUNDING);
    near(&doc["load"], 100.0 * (1.0 - (-doc["pull"].as_f64().unwrap()).exp()));
    let channels: f64 =
        ["seen", "heard", "company"].iter().map(|name| doc["channels"][name]["pull"].as_f64().unwrap()).sum();
    near(&doc["pull"], channels);
    assert!(doc["load_low"].as_f64() < doc["load"].as_f64() && doc["load"].as_f64() < doc["load_high"].as_f64());
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0, "an audit without a case stores nothing");
}

#[test]
fn a_stored_audit_is_found_again_and_compared() {
    let folder = tempfile::tempdir().unwrap();
    document(&stillroom(
        folder.path(),
        &["case", "new", "fern", "--alias", "Fern", "--born", "2022-07", "--format", "json"],
    ));
    let first = audit(folder.path(), &["--case", "fern"]);
    let after = file("demo/answers-after.toml");
    let second = document(&stillroom(
        folder.path(),
        &["audit", "--case", "fern", "--checklist", "home-corner", "--answers", &after, "--format", "json"],
    ));
    let list = document(&stillroom(folder.path(), &["case", "list", "fern", "--format", "json"]));
    let ids: Vec<&str> =
        list["records"].as_array().unwrap().iter().map(|record| record["id"].as_str().unwrap()).collect();
    assert!(ids.contains(&first["id"].as_str().unwrap()) && ids.contains(&second["id"].as_str().unwrap()));
    let compared = document(&stillroom(folder.path(), &["compare", "--case", "fern", "--format", "json"]));
    assert_eq!(compared["verdict"], "calmer");
    near(&compared["load_before"], first["load"].as_f64().unwrap());
    near(&compared["load_after"], second["load"].as_f64().unwrap());
    let same = first["id"].as_str().unwrap();
    let unchanged = document(&stillroom(folder.path(), &["compare", "--case", "fern", same, same, "--format", "json"]));
    assert_eq!(unchanged["verdict"], "no clear change");
}

#[test]
fn a_case_at_a_glance_shows_the_newest_of_everything() {
    let folder = tempfile::tempdir().unwrap();
    document(&stillroom(folder.path(), &["demo", "--into", "made", "--format", "json"]));
    let case = document(&stillroom(folder.path(), &["case", "show", "made/case", "--format", "json"]));
    assert_eq!(case["schema"], "stillroom.case/1");
    assert_eq!(
        (case["places"][0]["audits"].as_u64(), case["places"][0]["date"].as_str()),
        (Some(2), Some("2026-10-19"))
    );
    assert_eq!(case["sessions"], 14);
    assert!(case["ladder_rungs"].as_u64().unwrap() > 3 && case["decision"].is_string());
    let shown = text(&stillroom(folder.path(), &["case", "show", "made/case"]));
    assert!(
        shown.contains("Clover") && shown.contains("signed by clinician") && shown.contains("not a validated scale")
    );
}

#[test]
fn every_record_is_named_by_its_sha256() {
    let folder = tempfile::tempdir().unwrap();
    document(&stillroom(folder.path(), &["case", "new", "fern", "--alias", "Fern", "--format", "json"]));
    audit(folder.path(), &["--case", "fern"]);
    for entry in fs::read_dir(folder.path().join("fern")).unwrap() {
        let path = entry.unwrap().path();
        let output = std::process::Command::new("sha256sum").arg(&path).output().unwrap();
        let hash = String::from_utf8(output.stdout).unwrap();
        assert!(path.to_string_lossy().ends_with(&format!("-{}.toml", &hash[..16])), "{}", path.display());
    }
}

#[test]
fn a_blank_answers_file_reads_and_nothing_in_it_is_a_zero() {
    for list in ["home-corner", "play-floor", "group-room"] {
        let blank = text(&stillroom(&root(), &["checklist", "blank", list]));
        let blank = blank
            .replace("place = \"\"", "place = \"corner\"")
            .replace("date = \"\"", "date = \"2026-10-05\"")
            .replace("by = \"\"", "by = \"parent\"");
        let words = ["checklist", "score", list, "--answers", "-", "--format", "json"];
        let doc = document(&with_input(&root(), &words, blank.as_bytes()));
        let shown = document(&stillroom(&root(), &["checklist", "show", list, "--format", "json"]));
        assert_eq!(doc["unanswered"].as_array().unwrap().len(), shown["items"].as_array().unwrap().len());
        near(&doc["pull"], 0.0);
    }
}

#[test]
fn a_signature_and_nothing_else_ends_a_draft() {
    let folder = tempfile::tempdir().unwrap();
    document(&stillroom(folder.path(), &["demo", "--into", "made", "--format", "json"]));
    let drafts = |more: &[&str]| {
        let words = ["ladder", "--case", "made/case", "--dry-run", "--format", "json"].iter().chain(more).copied();
        let doc = document(&stillroom(folder.path(), &words.collect::<Vec<_>>()));
        doc["cautions"].as_array().unwrap().iter().filter(|caution| caution["code"] == "draft").count()
    };
    assert_eq!((drafts(&[]), drafts(&["--by", "clinician"])), (1, 0));
}

#[test]
fn a_case_has_a_ladder_that_is_stored_once() {
    let folder = tempfile::tempdir().unwrap();
    document(&stillroom(
        folder.path(),
        &[
            "case",
            "new",
            "fern",
            "--alias",
            "Fern",
            "--sound-sensitive",
            "no",
            "--hearing-checked",
            "yes",
            "--format",
            "json",
        ],
    ));
    audit(folder.path(), &["--case", "fern"]);
    let first = document(&stillroom(folder.path(), &["ladder", "--case", "fern", "--format", "json"]));
    let again = document(&stillroom(folder.path(), &["ladder", "--case", "fern", "--format", "json"]));
    assert_eq!(first["rungs"], again["rungs"]);
    assert!(!first["rungs"].as_array().unwrap().is_empty());
    let list = document(&stillroom(folder.path(), &["case", "list", "fern", "--format", "json"]));
    let ladders = list["records"].as_array().unwrap().iter().filter(|record| record["kind"] == "ladder").count();
    assert_eq!(ladders, 1, "the same plan is not stored twice");
}
