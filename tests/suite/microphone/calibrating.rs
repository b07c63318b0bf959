//! A calibration is stored outside any case, for its owner only, and serves its own device at its own gain.

use std::os::unix::fs::PermissionsExt;

use super::server::{ROOM, Server, TONE_DB, tone};
use crate::commands::{document, refusal, text};

/// A level through a server and back, dB.
const TONE: f64 = 0.1;

#[test]
fn a_calibrators_tone_is_stored_and_used_again() {
    let mut server = Server::start(&[ROOM]);
    server.play(&tone(48_000, 60), 48_000, 1);
    let record = ["--format", "json", "sound", "--device", "room.monitor", "--record", "2"];
    let mut words = record.to_vec();
    words.extend(["--calibrate", "desk", "--reference-db", "94", "--against", "calibrator"]);
    let profile = document(&server.run(&words));
    assert_eq!(profile["schema"], "stillroom.profile/1");
    assert!((profile["offset_db"].as_f64().unwrap() - (94.0 - TONE_DB)).abs() < TONE, "{profile}");
    assert_eq!((profile["sd_db"].as_f64(), profile["way"].as_str()), (Some(2.0), Some("calibrator")));

    let file = server.config().join("stillroom/profiles/desk.toml");
    assert_eq!(std::fs::metadata(&file).unwrap().permissions().mode() & 0o077, 0, "it is its owner's alone");

    let mut words = record.to_vec();
    words.extend(["--profile", "desk"]);
    let doc = document(&server.run(&words));
    assert_eq!((doc["level_unit"].as_str(), doc["calibration"]["kind"].as_str()), (Some("dB"), Some("reading")));
    assert!((doc["levels"]["laeq_db"].as_f64().unwrap() - 94.0).abs() < TONE, "{}", doc["levels"]);
    assert_eq!(doc["device"]["profile"], "desk");
    let listed = text(&server.run(&["sound", "--devices"]));
    assert!(listed.contains("desk: +117.0 dB, doubt ±2.0 dB, by a calibrator on"), "{listed}");

    // At another gain the same sound reads otherwise, so the calibration no longer holds.
    server.pactl(&["set-source-volume", "room.monitor", "50%"]).unwrap();
    assert_eq!(refusal(&server.run(&words))["code"], "profile-gain");
}

#[test]
fn a_profile_never_serves_another_device() {
    let server = Server::start(&[ROOM, "module-null-sink sink_name=hall rate=48000 channels=1"]);
    let made =
        server.run(&["sound", "--calibrate", "desk", "--device", "room.monitor", "--offset", "96.5", "--sd", "2.5"]);
    assert!(text(&made).contains("desk: +96.5 dB, doubt ±2.5 dB, typed from a note"));
    let refused =
        server.run(&["--format", "json", "sound", "--record", "2", "--device", "hall.monitor", "--profile", "desk"]);
    assert_eq!(refusal(&refused)["code"], "profile-other-device");
    let unknown = server.run(&["--format", "json", "sound", "--record", "2", "--profile", "disk"]);
    let unknown = refusal(&unknown);
    assert_eq!(unknown["code"], "no-profile");
    assert!(unknown["hint"].as_str().unwrap().contains("desk"), "{unknown}");
}

#[test]
fn what_is_no_calibrators_tone_calibrates_nothing() {
    let mut server = Server::start(&[ROOM]);
    // Two tones as loud as each other: half of the power is not the calibrator's.
    let both: Vec<f32> = tone(48_000, 30)
        .iter()
        .enumerate()
        .map(|(at, x)| x + (0.1 * (std::f64::consts::TAU * 250.0 * at as f64 / 48_000.0).sin()) as f32)
        .collect();
    server.play(&both, 48_000, 1);
    let words = ["--format", "json", "sound", "--device", "room.monitor", "--record", "2", "--calibrate", "desk"];
    let mut calibrator = words.to_vec();
    calibrator.extend(["--reference-db", "94", "--against", "calibrator"]);
    assert_eq!(refusal(&server.run(&calibrator))["code"], "calibrate-no-tone");
    assert!(!server.config().join("stillroom").exists(), "nothing was stored");
    let how = server.run(&words);
    assert_eq!(refusal(&how)["code"], "calibrate-how");
    // Beside a meter two seconds are too short, and that is said.
    let mut meter = words.to_vec();
    meter.extend(["--reference-db", "60"]);
    let profile = document(&server.run(&meter));
    assert_eq!(profile["cautions"][0]["code"], "reference-short");
    assert_eq!(profile["sd_db"], 1.5);
}

#[test]
fn a_profile_that_was_tampered_with_is_not_believed() {
    let server = Server::start(&[ROOM]);
    text(&server.run(&["sound", "--calibrate", "desk", "--device", "room.monitor", "--offset", "96.5"]));
    let file = server.config().join("stillroom/profiles/desk.toml");
    let good = std::fs::read_to_string(&file).unwrap();
    for (from, to) in
        [("96.5", "9650.0"), ("96.5", "\"loud\""), ("stillroom.profile/1", "other/1"), ("offset_db", "offset")]
    {
        assert!(good.contains(from));
        std::fs::write(&file, good.replacen(from, to, 1)).unwrap();
        let refused = server.run(&[
            "--format",
            "json",
            "sound",
            "--record",
            "2",
            "--device",
            "room.monitor",
            "--profile",
            "desk",
        ]);
        assert_eq!(refusal(&refused)["code"], "profile-damaged", "{from} -> {to}");
    }
}
