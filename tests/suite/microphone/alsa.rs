//! With the feature `alsa` and no sound server, the system's own library records: a file stands in for the card.

use std::fs;
use std::process::{Command, Stdio};

use super::server::{TONE_DB, tone};
use crate::commands::{document, refusal};

/// What the library may change of a tone's level, dB.
const TONE: f64 = 0.1;

/// The program without a sound server, with that configuration of the library.
fn run(configuration: &str, words: &[&str]) -> std::process::Output {
    let home = tempfile::tempdir().unwrap();
    let raw: Vec<u8> = tone(48_000, 20)
        .iter()
        .flat_map(|sample| ((f64::from(*sample) * 32_768.0).round() as i16).to_le_bytes())
        .collect();
    fs::write(home.path().join("tone.raw"), raw).unwrap();
    fs::write(home.path().join(".asoundrc"), configuration).unwrap();
    Command::new(env!("CARGO_BIN_EXE_stillroom"))
        .args(["--format", "json", "sound"])
        .args(words)
        .current_dir(home.path())
        .env("HOME", home.path())
        .env("XDG_RUNTIME_DIR", home.path())
        .env("XDG_CONFIG_HOME", home.path())
        .env_remove("PULSE_SERVER")
        .env_remove("PULSE_RUNTIME_PATH")
        .stdin(Stdio::null())
        .output()
        .unwrap()
}

const TONE_CARD: &str = r#"
pcm.none { type null }
pcm.card { type file slave.pcm "none" file "/dev/null" infile "tone.raw" format "raw" }
pcm.!default { type plug slave { pcm "card" format S16_LE channels 1 rate 48000 } }
"#;

#[test]
fn a_tone_comes_back_through_the_systems_library() {
    let output = run(TONE_CARD, &["--record", "3", "--device", "alsa:default"]);
    let doc = document(&output);
    let level = doc["levels"]["lzeq_db"].as_f64().unwrap();
    assert!((level - TONE_DB).abs() < TONE, "{level}");
    assert!((doc["source"]["seconds"].as_f64().unwrap() - 3.0).abs() < 1e-9);
    assert_eq!(doc["device"]["name"], "alsa:default");
}

#[test]
fn a_device_that_is_not_there_is_refused() {
    let mut output = run(TONE_CARD, &["--record", "3", "--device", "alsa:nothing-of-the-kind"]);
    // The library prints lines of its own while it looks for devices; the refusal stands behind them.
    let ours = output.stderr.windows(2).position(|pair| pair == b"{\n").unwrap();
    output.stderr.drain(..ours);
    assert_eq!(refusal(&output)["code"], "microphone-unknown");
}
