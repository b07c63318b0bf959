//! PipeWire, where it answers in PulseAudio's name: two equal channels come back at their level, not 3 dB above it.

use std::fs;
use std::os::unix::fs::PermissionsExt;
use std::process::{Command, Stdio};

use serde_json::Value;

use super::server::{TONE_DB, tone};

/// What the tests need besides the program.
const NEEDED: &str = "the microphone tests need PipeWire: apt-get install pipewire pipewire-pulse wireplumber dbus";
/// What a server may change of a tone's level, dB.
const TONE: f64 = 0.1;

/// Starts the three parts of the server in a session of their own, plays the tone, records, and ends them all.
const SESSION: &str = r#"
started=()
trap 'kill "${started[@]}" 2>/dev/null; wait' EXIT
until_true() { for _ in $(seq 200); do "$@" >/dev/null 2>&1 && return; sleep 0.1; done; echo "$* stayed false" >&2; exit 7; }
pipewire >/dev/null 2>&1 & started+=($!)
until_true test -S "$XDG_RUNTIME_DIR/pipewire-0"
wireplumber >/dev/null 2>&1 & started+=($!)
pipewire-pulse >/dev/null 2>&1 & started+=($!)
until_true pactl info
until_true pactl load-module module-null-sink sink_name=room rate=48000 channels=2
pacat --playback --device=room --raw --format=float32le --rate=48000 --channels=2 tone.raw >/dev/null 2>&1 & started+=($!)
playing() { pactl list short sink-inputs | grep -q .; }
until_true playing
sleep 2
"$PROGRAM" --format json sound --device room.monitor --record 3
"#;

#[test]
fn pipewire_is_recorded_without_mixing() {
    let folder = tempfile::tempdir().unwrap();
    fs::set_permissions(folder.path(), fs::Permissions::from_mode(0o700)).unwrap();
    let played: Vec<u8> = tone(48_000, 30).iter().flat_map(|x| [x.to_le_bytes(), x.to_le_bytes()].concat()).collect();
    fs::write(folder.path().join("tone.raw"), played).unwrap();
    for program in ["pipewire", "pipewire-pulse", "wireplumber", "dbus-run-session"] {
        Command::new(program).arg("--version").stdout(Stdio::null()).stderr(Stdio::null()).status().expect(NEEDED);
    }
    let output = Command::new("dbus-run-session")
        .args(["--", "bash", "-c", SESSION])
        .current_dir(folder.path())
        .env("PROGRAM", env!("CARGO_BIN_EXE_stillroom"))
        .env("XDG_RUNTIME_DIR", folder.path())
        .env("HOME", folder.path())
        .env("XDG_CONFIG_HOME", folder.path().join("config"))
        .env_remove("PULSE_SERVER")
        .env_remove("PULSE_RUNTIME_PATH")
        .stdin(Stdio::null())
        .output()
        .expect(NEEDED);
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    let doc: Value = serde_json::from_slice(&output.stdout).unwrap_or_else(|_| panic!("{said}"));
    assert_eq!(doc["source"]["channels"], 2);
    let level = doc["levels"]["lzeq_db"].as_f64().unwrap();
    assert!((level - TONE_DB).abs() < TONE, "{level}\n{said}");
}
