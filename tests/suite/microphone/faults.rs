//! Whatever goes wrong with a microphone has its own message, and what was heard before is kept.

use std::thread::sleep;
use std::time::Duration;

use serde_json::Value;

use super::server::{ROOM, Server, TONE_DB, end, tone};
use crate::commands::{document, refusal, said};

const LONG: [&str; 7] = ["--format", "json", "sound", "--device", "room.monitor", "--record", "40"];

/// Seconds after which the accident happens, longer than any start takes.
const MEANWHILE: Duration = Duration::from_secs(3);

/// The seconds that came before the accident, at their right level, and the reason in the document and in words.
#[track_caller]
fn kept(output: &std::process::Output, code: &str, words: &str) {
    let doc = document(output);
    let seconds = doc["source"]["seconds"].as_f64().unwrap();
    assert!((0.5..20.0).contains(&seconds), "{seconds}");
    let level = doc["levels"]["lzeq_db"].as_f64().unwrap();
    assert!((level - TONE_DB).abs() < 0.1, "{level}");
    let warnings = doc["quality"]["warnings"].as_array().unwrap();
    assert!(warnings.iter().any(|warning| warning["code"] == code), "{warnings:?}");
    let told = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(told.contains(words) && told.contains("s that came before"), "{told}");
}

#[test]
fn a_server_that_dies_ends_the_recording_with_the_seconds_kept() {
    let mut server = Server::start(&[ROOM]);
    server.play(&tone(48_000, 60), 48_000, 1);
    let child = server.begin(&LONG);
    sleep(MEANWHILE);
    server.kill();
    kept(&end(child), "recording-server-ended", "The sound server ended");
}

#[test]
fn a_source_that_is_taken_away_ends_the_recording_with_the_seconds_kept() {
    let mut server = Server::start(&[ROOM]);
    server.play(&tone(48_000, 60), 48_000, 1);
    let child = server.begin(&LONG);
    sleep(MEANWHILE);
    server.remove_room();
    kept(&end(child), "recording-device-removed", "The microphone was taken away");
}

fn refused(server: &Server, words: &[&str]) -> Value {
    let mut all = vec!["--format", "json", "sound"];
    all.extend(words);
    refusal(&server.run(&all))
}

#[test]
fn without_a_server_it_says_so() {
    let mut server = Server::start(&[ROOM]);
    server.kill();
    for words in [&["--devices"][..], &["--record", "2"]] {
        let refusal = refused(&server, words);
        assert_eq!(refusal["code"], "microphone-no-server");
        assert!(refusal["hint"].as_str().unwrap().contains("stillroom sound FILE"), "{refusal}");
    }
}

#[test]
fn what_the_computer_plays_is_not_taken_for_a_microphone() {
    let server = Server::start(&[ROOM]);
    let refusal = refused(&server, &["--record", "2"]);
    assert_eq!(refusal["code"], "microphone-none");
    assert!(refusal["hint"].as_str().unwrap().contains("--device room.monitor"), "{refusal}");
}

#[test]
fn a_server_without_any_source_has_no_microphone() {
    let server = Server::start(&[]);
    assert_eq!(refused(&server, &["--record", "2"])["code"], "microphone-none");
    let devices = document(&server.run(&["--format", "json", "sound", "--devices"]));
    assert_eq!(devices["devices"].as_array().unwrap().len(), 0);
}

#[test]
fn a_device_that_is_not_there_is_named_with_the_nearest() {
    let server = Server::start(&[ROOM]);
    let refusal = refused(&server, &["--record", "2", "--device", "room.moniter"]);
    assert_eq!(refusal["code"], "microphone-unknown");
    assert!(refusal["hint"].as_str().unwrap().contains("room.monitor"), "{refusal}");
}

#[test]
fn a_rate_that_cannot_be_measured_is_refused_before_anybody_waits() {
    let server = Server::start(&["module-null-sink sink_name=room rate=2000 channels=1 format=s16le"]);
    let refusal = refused(&server, &["--record", "600", "--device", "room.monitor"]);
    assert_eq!(refusal["code"], "microphone-odd-form");
    assert!(refusal["message"].as_str().unwrap().contains("2000 Hz"), "{refusal}");
}

#[test]
fn a_muted_microphone_is_refused_before_anybody_waits() {
    let server = Server::start(&[ROOM]);
    server.pactl(&["set-source-mute", "room.monitor", "1"]).unwrap();
    let refusal = refused(&server, &["--record", "600", "--device", "room.monitor"]);
    assert_eq!(refusal["code"], "microphone-muted");
}

#[test]
fn nothing_but_zeros_is_no_quiet_room() {
    // Nothing is played, so the source gives exact zeros, as one does that is muted at a switch of its own.
    let server = Server::start(&[ROOM]);
    let output = server.run(&["--format", "json", "sound", "--device", "room.monitor", "--record", "2"]);
    let doc = document(&output);
    assert_eq!(doc["quality"]["silent"], true);
    assert!(doc["levels"]["laeq_db"].is_null() && doc["pull"].is_null());
    assert!(doc["quality"]["warnings"].to_string().contains("muted"), "{}", said(&output));
}

#[test]
fn a_length_that_cannot_be_recorded_is_refused() {
    let server = Server::start(&[ROOM]);
    for seconds in ["0", "7201", "nan"] {
        assert_eq!(refused(&server, &["--record", seconds])["code"], "record-length");
    }
}

#[test]
fn a_kept_file_never_replaces_another() {
    let server = Server::start(&[ROOM]);
    std::fs::write(server.work().join("old.wav"), b"old").unwrap();
    let refusal = refused(&server, &["--record", "2", "--device", "room.monitor", "--keep", "old.wav"]);
    assert_eq!(refusal["code"], "keep-exists");
    assert_eq!(std::fs::read(server.work().join("old.wav")).unwrap(), b"old");
}
