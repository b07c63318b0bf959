//! A rung's sound at the child's chair: below, at, over; nothing in dB without a calibration; stopped when too loud.

use serde_json::Value;

use super::server::{ROOM, Server, tone};
use crate::commands::{document, refusal, text};

const RECORD: [&str; 7] = ["--format", "json", "sound", "--device", "room.monitor", "--record", "3"];

fn words<'a>(more: &[&'a str]) -> Vec<&'a str> {
    RECORD.iter().copied().chain(more.iter().copied()).collect()
}

fn codes(doc: &Value) -> Vec<&str> {
    doc["quality"]["warnings"].as_array().unwrap().iter().map(|note| note["code"].as_str().unwrap()).collect()
}

#[test]
fn a_rungs_sound_lies_below_at_or_over_its_target() {
    let mut server = Server::start(&[ROOM]);
    server.play(&tone(48_000, 60), 48_000, 1);
    // The tone reads 50.0 dB with this offset, in doubt by 1 dB.
    let calibrated = ["--offset", "73.01", "--sd", "1"];
    for (target, state, sure) in
        [("53", "below", true), ("51.5", "below", false), ("50.4", "at", false), ("45", "over", false)]
    {
        let mut more = calibrated.to_vec();
        more.extend(["--target", target]);
        let doc = document(&server.run(&words(&more)));
        assert_eq!(
            (doc["target"]["state"].as_str(), doc["target"]["surely_met"].as_bool()),
            (Some(state), Some(sure)),
            "{target}"
        );
        assert!(codes(&doc).iter().all(|code| !code.starts_with("rung-sound")), "{doc}");
    }
    let shown = text(&server.run(&[
        "sound",
        "--device",
        "room.monitor",
        "--record",
        "1",
        "--offset",
        "73.01",
        "--target",
        "55",
    ]));
    assert!(shown.contains("below: LAeq 50.0 dB, 5.0 dB under the target of 55 dB. Not surely met"), "{shown}");
}

#[test]
fn a_sound_too_loud_for_a_child_is_cautioned_and_stopped() {
    let mut server = Server::start(&[ROOM]);
    server.play(&tone(48_000, 60), 48_000, 1);
    let doc = document(&server.run(&words(&["--offset", "87", "--sd", "1", "--target", "60"])));
    assert_eq!(doc["target"]["state"], "over");
    assert!(codes(&doc).contains(&"rung-sound-loud"), "64 and twice 1 dB is above 65: {:?}", codes(&doc));
    let stopped = document(&server.run(&[
        "--format",
        "json",
        "sound",
        "--device",
        "room.monitor",
        "--record",
        "40",
        "--offset",
        "95",
        "--sd",
        "1",
        "--target",
        "60",
    ]));
    assert!(
        codes(&stopped).contains(&"recording-too-loud") && codes(&stopped).contains(&"rung-sound-stop"),
        "{stopped}"
    );
    assert!(stopped["source"]["seconds"].as_f64().unwrap() < 5.0, "{}", stopped["source"]);
}

#[test]
fn an_uncalibrated_device_gets_no_target_in_decibels_but_a_voice() {
    let mut server = Server::start(&[ROOM]);
    assert_eq!(refusal(&server.run(&words(&["--target", "50"])))["code"], "target-uncalibrated");
    assert_eq!(refusal(&server.run(&words(&["--target", "voice"])))["code"], "target-no-voice");
    assert_eq!(refusal(&server.run(&words(&["--target", "75", "--offset", "95"])))["code"], "target-too-loud");
    server.play(&tone(48_000, 60), 48_000, 1);
    text(&server.run(&["sound", "--device", "room.monitor", "--record", "2", "--keep", "voice.wav"]));
    let same = document(&server.run(&words(&["--voice", "voice.wav", "--target", "voice"])));
    assert_eq!((same["target"]["state"].as_str(), same["level_unit"].as_str()), (Some("at"), Some("dBFS")));
    assert!(same["target"]["surely_met"].is_null());
    // The same sound through a quieter sink lies below the voice.
    server.pactl(&["set-sink-volume", "room", "-12dB"]).unwrap();
    let quieter = text(&server.run(&[
        "sound",
        "--device",
        "room.monitor",
        "--record",
        "2",
        "--voice",
        "voice.wav",
        "--target",
        "voice",
    ]));
    assert!(quieter.contains("below: 12.0 dB quieter than the adult's ordinary voice."), "{quieter}");
    assert!(!quieter.contains("35 dB LAeq"), "no absolute verdict: {quieter}");
}

#[test]
fn a_visit_is_cautioned() {
    let mut server = Server::start(&[ROOM]);
    server.play(&tone(48_000, 60), 48_000, 1);
    let doc = document(&server.run(&words(&["--when", "visit"])));
    assert_eq!(doc["when"], "visit");
    assert!(codes(&doc).contains(&"visit"));
}
