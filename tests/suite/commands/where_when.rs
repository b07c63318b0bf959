//! The calmest corner and the calmest time: corners and recordings taken in, answered, refused.

use std::fs;
use std::path::Path;

use serde_json::Value;

use super::{document, refusal, root, stillroom, text};

const RATE: u32 = 4000;

/// A WAV of minutes, each of noise with its own peak.
pub(super) fn minutes(peaks: &[f64]) -> Vec<u8> {
    let mut state = 1u32;
    let mut data = Vec::with_capacity(peaks.len() * 60 * RATE as usize * 2);
    for peak in peaks {
        for _ in 0..60 * RATE {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            let noise = f64::from(state >> 8) / f64::from(1u32 << 24) - 0.5;
            #[expect(clippy::cast_possible_truncation, reason = "a sample lies between −32768 and 32767")]
            let sample = (noise * peak * 65_536.0) as i16;
            data.extend(sample.to_le_bytes());
        }
    }
    let size = u32::try_from(data.len()).unwrap();
    let mut wav = b"RIFF".to_vec();
    wav.extend((size + 36).to_le_bytes());
    wav.extend(b"WAVEfmt \x10\0\0\0\x01\0\x01\0");
    wav.extend(RATE.to_le_bytes());
    wav.extend((RATE * 2).to_le_bytes());
    wav.extend(b"\x02\0\x10\0data");
    wav.extend(size.to_le_bytes());
    wav.extend(data);
    wav
}

/// An afternoon of a hundred minutes, quiet from the fortieth to the seventieth.
fn afternoon(loud: f64) -> Vec<u8> {
    let wandering = |minute: usize| loud * [1.0, 1.4, 0.8, 1.1, 0.7][minute * 7 % 5];
    minutes(&(0..100).map(|at| if (40..70).contains(&at) { loud / 30.0 } else { wandering(at) }).collect::<Vec<_>>())
}

fn case(folder: &Path) {
    text(&stillroom(folder, &["case", "new", "fern", "--alias", "Fern"]));
}

fn where_of(folder: &Path, words: &[&str]) -> Value {
    let all = [&["where", "--case", "fern", "--format", "json"], words].concat();
    document(&stillroom(folder, &all))
}

fn codes(doc: &Value) -> Vec<&str> {
    doc["notes"].as_array().unwrap().iter().map(|note| note["code"].as_str().unwrap()).collect()
}

fn answers(place: &str, things: u32, by: &str) -> String {
    format!(
        "format = \"stillroom.answers/1\"\nchecklist = \"home-corner\"\nplace = \"{place}\"\ndate = \"2026-10-05\"\nby = \"{by}\"\n[answers]\n\
         loose-things-on-table = {things}\nloose-toys-on-floor = {things}\nwindow = \"not seen\"\n"
    )
}

#[test]
fn recordings_of_days_give_the_calm_time_and_are_not_kept() {
    let folder = tempfile::tempdir().unwrap();
    let here = folder.path();
    case(here);
    fs::create_dir(here.join("week")).unwrap();
    for (day, loud) in [(5, 0.2), (6, 0.1), (7, 0.3), (8, 0.15), (9, 0.25)] {
        fs::write(here.join(format!("week/2026-10-0{day} 15.00.wav")), afternoon(loud)).unwrap();
    }
    let doc = where_of(here, &["week", "--place", "desk", "--device", "phone"]);
    assert_eq!(doc["stored"].as_array().unwrap().len(), 5);
    let times = &doc["times"];
    assert_eq!((&times["days"], &times["is_clear"]), (&Value::from(5), &Value::from(true)), "{times}");
    let from = times["window"]["from"].as_str().unwrap();
    assert!(["15:40", "15:45", "15:50"].contains(&from), "{from}");
    let window = &times["window"];
    assert!(window["high_db"].as_f64().unwrap() < 0.0 && window["days_below"] == 5, "{window}");
    assert!(times["level_unit"].is_null() && codes(&doc).contains(&"uncalibrated"));
    assert_eq!(times["hours"].as_array().unwrap().len(), 2);
    // The very same recordings again: nothing is stored, and it is said.
    let again = where_of(here, &["week", "--place", "desk", "--device", "phone"]);
    assert_eq!(again["stored"], Value::Array(Vec::new()));
    assert!(codes(&again).contains(&"overlap"));
    // What is kept are figures: under 10 kB an afternoon.
    let kept = fs::read_dir(here.join("fern")).unwrap().map(|entry| entry.unwrap().path());
    for file in kept.filter(|file| file.to_string_lossy().contains("day-sound")) {
        assert!(fs::metadata(&file).unwrap().len() < 10_000, "{}", file.display());
    }
    // With a calibrated audit of the place, another time competes with tidying.
    fs::write(here.join("desk.toml"), answers("desk", 3, "visitor")).unwrap();
    fs::write(here.join("room.wav"), minutes(&[0.2])).unwrap();
    let audit = [
        "audit",
        "--case",
        "fern",
        "--checklist",
        "home-corner",
        "--answers",
        "desk.toml",
        "--sound",
        "room.wav",
        "--offset",
        "90",
    ];
    text(&stillroom(here, &audit));
    let moved = where_of(here, &["--learning", "15:00", "--time-minutes", "3"]);
    let against = &moved["times"]["against_learning"];
    assert!(against["from"] == "15:00" && against["high_db"].as_f64().unwrap() < 0.0, "{against}");
    let ways = moved["ways"].as_array().unwrap();
    assert!(
        ways[0]["from"] == from && ways[0]["place"].is_null() && ways[0]["minutes"].as_f64().unwrap() >= 3.0,
        "{ways:?}"
    );
    assert!(ways.iter().any(|way| way["from"].is_null()), "staying and tidying is still a way: {ways:?}");
    let report = stillroom(here, &["report", "--case", "fern", "--out", "report.html"]);
    text(&report);
    let told = fs::read_to_string(here.join("report.html")).unwrap();
    assert!(told.contains("Where and when") && told.contains("Before tidying: another time"), "the report tells it");
    text(&stillroom(here, &["report", "--case", "fern", "--for", "family", "--out", "family.html"]));
    assert!(fs::read_to_string(here.join("family.html")).unwrap().contains(&format!("Practise at {from}")));
    // A time that is taken is not proposed; what was said stays.
    let taken = where_of(here, &["--taken", "15:20-16:20=cooking"]);
    assert!(taken["times"].is_null() || taken["times"]["window"].is_null() || taken["times"]["window"]["from"] != from);
    assert_eq!(where_of(here, &[])["possible"]["taken"][0]["why"], "cooking");
    // In Spanish the same, and a report tells it too.
    let spanish =
        text(&stillroom(here, &["where", "--case", "fern", "--taken", "20:00-07:00=dormir", "--language", "es"]));
    assert!(spanish.contains("Los 20 minutos más tranquilos en desk"), "{spanish}");
    let text = text(&stillroom(here, &["where", "--case", "fern", "--chart", "days.svg"]));
    assert!(text.contains("The calmest 20 minutes in desk"), "{text}");
    let picture = fs::read_to_string(here.join("days.svg")).unwrap();
    assert!(picture.contains("<desc") && picture.contains(&format!("{from}–")), "{picture}");
}

#[test]
fn a_recording_without_a_time_or_from_another_device_is_said_and_left_out() {
    let folder = tempfile::tempdir().unwrap();
    let here = folder.path();
    case(here);
    fs::write(here.join("evening.wav"), minutes(&[0.1; 20])).unwrap();
    let refused =
        refusal(&stillroom(here, &["where", "--case", "fern", "evening.wav", "--place", "desk", "--format", "json"]));
    assert_eq!(refused["code"], "no-time");
    let told = where_of(here, &["evening.wav", "--at", "2026-10-05 15:02", "--place", "desk", "--device", "phone"]);
    assert_eq!(told["stored"].as_array().unwrap().len(), 1);
    assert!(told["times"]["window"].is_null() && codes(&told).contains(&"no-day"));
    // The same minutes by another device: stored, and not compared with the first.
    let other = where_of(here, &["evening.wav", "--at", "2026-10-05 15:02", "--place", "desk", "--device", "tablet"]);
    assert!(codes(&other).contains(&"other-device"));
    assert_eq!(other["times"]["days"], 1);
    // Half of it overlaps with what the phone heard.
    let half = where_of(here, &["evening.wav", "--at", "2026-10-05 15:12", "--place", "desk", "--device", "phone"]);
    assert!(codes(&half).contains(&"overlap"));
    assert_eq!(half["stored"].as_array().unwrap().len(), 1);
    // Past midnight it belongs to two days.
    let night = where_of(here, &["evening.wav", "--at", "2026-10-06 23:50", "--place", "desk", "--device", "phone"]);
    assert_eq!(night["stored"].as_array().unwrap().len(), 2);
    let checked = document(&stillroom(here, &["case", "check", "fern", "--format", "json"]));
    assert_eq!(checked["findings"], Value::Array(Vec::new()), "{checked}");
}

#[test]
fn bad_input_is_refused_with_what_to_do() {
    let folder = tempfile::tempdir().unwrap();
    let here = folder.path();
    case(here);
    fs::write(here.join("mute.wav"), minutes(&[0.0; 6])).unwrap();
    fs::write(here.join("text.wav"), "no sound").unwrap();
    fs::create_dir(here.join("empty")).unwrap();
    let code = |words: &[&str]| {
        let all = [&["where", "--case", "fern", "--format", "json"], words].concat();
        refusal(&stillroom(here, &all))["code"].as_str().unwrap().to_owned()
    };
    assert_eq!(code(&[]), "nothing-to-compare");
    assert_eq!(code(&["mute.wav", "--at", "yesterday", "--place", "desk"]), "moment");
    assert_eq!(code(&["mute.wav", "--at", "2026-10-05 15:00"]), "place");
    assert_eq!(code(&["mute.wav", "mute.wav", "--at", "2026-10-05 15:00", "--place", "desk"]), "one-recording");
    assert_eq!(code(&["empty", "--place", "desk"]), "no-recording");
    assert_eq!(code(&["--corner", "empty"]), "corner-answers");
    assert_eq!(code(&["--corner", "mute.wav"]), "corner-folder");
    assert_eq!(code(&["--taken", "cooking"]), "taken");
    assert_eq!(code(&["--moving", "kitchen"]), "moving");
    assert_eq!(code(&["--learning", "half past four"]), "no-time");
    assert_eq!(code(&["--minutes=-1"]), "minutes");
    assert!(!code(&["text.wav", "--at", "2026-10-05 15:00", "--place", "desk"]).is_empty());
    // A muted microphone is no quiet room: nothing is stored of it.
    assert_eq!(code(&["mute.wav", "--at", "2026-10-05 15:00", "--place", "desk"]), "silent");
    let records = document(&stillroom(here, &["case", "list", "fern", "--format", "json"]));
    assert_eq!(records["records"].as_array().unwrap().len(), 1, "{records}");
}

#[test]
fn corners_in_folders_are_audited_and_compared_and_moving_competes_with_tidying() {
    let folder = tempfile::tempdir().unwrap();
    let here = folder.path();
    case(here);
    for (place, things) in [("desk", 14), ("bedroom", 1), ("hall", 12)] {
        fs::create_dir(here.join(place)).unwrap();
        fs::write(here.join(place).join("answers.toml"), answers(place, things, "visitor")).unwrap();
    }
    // The desk is against the light in the afternoon and not in the morning; the hall echoes.
    let oracle = |name: &str| fs::read(root().join("tests/oracle").join(name)).unwrap();
    fs::write(here.join("desk/IMG_20261005_163000.jpg"), oracle("photo/room-16-blown.jpg")).unwrap();
    fs::write(here.join("desk/IMG_20261005_090000.jpg"), oracle("photo/room-16.jpg")).unwrap();
    fs::write(here.join("hall/room.wav"), oracle("sound/background.wav")).unwrap();
    fs::write(here.join("hall/clap.wav"), oracle("sound/decay-06.wav")).unwrap();
    let taken =
        ["--corner", "desk", "--corner", "hall", "--corner", "bedroom", "--place", "desk", "--moving", "hall=no"];
    let doc = where_of(here, &taken);
    let light = doc["light"].as_array().unwrap();
    let poor: Vec<_> = light.iter().map(|one| (one["hour"].clone(), one["poor"].clone())).collect();
    assert_eq!(poor, [(Value::from(9), Value::from(0)), (Value::from(16), Value::from(1))]);
    let corners = doc["corners"].as_array().unwrap();
    let hall = corners.iter().find(|corner| corner["place"] == "hall").unwrap();
    assert!((hall["decay_s"].as_f64().unwrap() - 0.6).abs() < 0.06, "{hall}");
    for corner in corners {
        // What was not seen widens the audit's own interval, not that of what all share.
        let (own, shared) = (corner["load_high"].as_f64().unwrap(), corner["shared_high"].as_f64().unwrap());
        assert!(shared < own && corner["shared_load"].as_f64().unwrap() <= shared, "{corner}");
    }
    let said = text(&stillroom(here, &["where", "--case", "fern"])).split_whitespace().collect::<Vec<_>>().join(" ");
    for words in ["it was good around 09:00", "The echo in hall", "The calmest corner is bedroom"] {
        assert!(said.contains(words), "{words}: {said}");
    }
    assert_eq!(doc["stored"].as_array().unwrap().len(), 4);
    assert_eq!((&doc["calmest_place"], &doc["place_is_clear"]), (&Value::from("bedroom"), &Value::from(true)), "{doc}");
    for other in doc["differences"].as_array().unwrap() {
        assert!(other["verdict"] == "busier" && other["low"].as_f64().unwrap() > 0.0, "{other}");
    }
    let ways = doc["ways"].as_array().unwrap();
    assert!(ways.iter().all(|way| way["place"] != "hall"), "{ways:?}");
    let moving = ways.iter().find(|way| way["place"] == "bedroom").unwrap();
    assert!((10.0..=15.0).contains(&moving["minutes"].as_f64().unwrap()), "{moving}");
    let loads: Vec<f64> = ways.iter().map(|way| way["load_after"].as_f64().unwrap()).collect();
    assert!(loads.is_sorted(), "{loads:?}");
    // Five minutes are too few to move, so what is left is tidying.
    let short = where_of(here, &["--place", "desk", "--minutes", "5"]);
    assert!(short["ways"].as_array().unwrap().iter().all(|way| way["place"].is_null()), "{short}");
    // Two corners alike: no clear difference is an answer.
    let alike = tempfile::tempdir().unwrap();
    case(alike.path());
    for place in ["desk", "hall"] {
        fs::create_dir(alike.path().join(place)).unwrap();
        fs::write(alike.path().join(place).join("answers.toml"), answers(place, 8, "visitor")).unwrap();
    }
    let doc = where_of(alike.path(), &["--corner", "desk", "--corner", "hall"]);
    assert_eq!(
        (&doc["place_is_clear"], &doc["differences"][0]["verdict"]),
        (&Value::from(false), &Value::from("no clear difference"))
    );
    assert!(doc["ways"].as_array().unwrap().iter().all(|way| way["place"].is_null()));
}
