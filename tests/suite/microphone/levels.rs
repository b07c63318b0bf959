//! Levels and frequencies that come back are those that were played; channels are met in power, nothing is mixed.

use std::f64::consts::TAU;

use super::server::{ROOM, Server, TONE_DB, tone};
use crate::commands::{document, text};

/// What a server and a microphone path may change of a tone's level, dB: the project's own promise.
const TONE: f64 = 0.1;
/// The same of its frequency, as a share.
const PITCH: f64 = 0.001;
/// The same of noise, dB.
const NOISE: f64 = 0.2;

const RECORD: [&str; 7] = ["--format", "json", "sound", "--device", "room.monitor", "--record", "3"];

#[test]
fn a_played_tone_comes_back_at_its_level_and_its_pitch() {
    let mut server = Server::start(&[ROOM]);
    server.play(&tone(48_000, 20), 48_000, 1);
    let mut words = RECORD.to_vec();
    words.extend(["--keep", "kept.wav"]);
    let output = server.run(&words);
    let doc = document(&output);
    let level = doc["levels"]["lzeq_db"].as_f64().unwrap();
    assert!((level - TONE_DB).abs() < TONE, "{level}");
    assert_eq!(doc["source"]["sample_rate_hz"], 48_000);
    assert!((doc["source"]["seconds"].as_f64().unwrap() - 3.0).abs() < 1e-9);
    assert_eq!(doc["device"]["name"], "room.monitor");
    let said = String::from_utf8(output.stderr).unwrap();
    assert!(said.contains("A recording of a home is personal"), "{said}");

    let kept = std::fs::read(server.work().join("kept.wav")).unwrap();
    let (samples, _) = kept[58..].as_chunks::<4>();
    let samples: Vec<f64> = samples.iter().map(|bytes| f64::from(f32::from_le_bytes(*bytes))).collect();
    assert_eq!(samples.len(), 3 * 48_000);
    let pitch = pitch(&samples, 48_000.0);
    assert!((pitch / 1000.0 - 1.0).abs() < PITCH, "{pitch}");
    // What is kept reads like any recording.
    let again = document(&server.run(&["--format", "json", "sound", "kept.wav"]));
    assert!((again["levels"]["lzeq_db"].as_f64().unwrap() - level).abs() < 0.001);
}

/// The frequency between the first and the last rise through zero.
fn pitch(samples: &[f64], rate: f64) -> f64 {
    let rises: Vec<f64> = samples
        .windows(2)
        .enumerate()
        .filter(|(_, pair)| pair[0] < 0.0 && pair[1] >= 0.0)
        .map(|(at, pair)| at as f64 + pair[0] / (pair[0] - pair[1]))
        .collect();
    (rises.len() - 1) as f64 * rate / (rises[rises.len() - 1] - rises[0])
}

#[test]
fn pink_noise_of_known_level_comes_back_within_two_tenths_of_a_decibel() {
    // Lines a hertz apart with amplitudes 1/√f: every stretch of whole seconds holds the same power, known exactly.
    let line = |hz: u32| 0.02 / f64::from(hz).sqrt();
    let phases: Vec<f64> = (0..20_000_u32)
        .map(|hz| f64::from(hz.wrapping_mul(hz).wrapping_mul(2_654_435_761)) / f64::from(u32::MAX) * TAU)
        .collect();
    let mut second = vec![0.0_f64; 48_000];
    // A cosine table of a second: line k walks through it in steps of k.
    let table: Vec<f64> = (0..48_000).map(|at| (TAU * f64::from(at) / 48_000.0).cos()).collect();
    let lines: Vec<u32> = (20..15_000).collect();
    for hz in &lines {
        let from = (phases[*hz as usize] / TAU * 48_000.0) as usize;
        let size = line(*hz);
        for (at, x) in second.iter_mut().enumerate() {
            *x += size * table[(from + at * *hz as usize) % 48_000];
        }
    }
    let power = |weight: &dyn Fn(f64) -> f64| {
        lines.iter().map(|hz| weight(f64::from(*hz)) * line(*hz).powi(2) / 2.0).sum::<f64>()
    };
    let whole = 10.0 * power(&|_| 1.0).log10();
    let weighted = 10.0 * power(&a_weight).log10();
    assert!(second.iter().all(|x| x.abs() < 1.0), "the noise itself is not clipped");

    let mut server = Server::start(&[ROOM]);
    let played: Vec<f32> = second.iter().cycle().take(48_000 * 20).map(|x| *x as f32).collect();
    server.play(&played, 48_000, 1);
    let doc = document(&server.run(&RECORD));
    let level = |name: &str| doc["levels"][name].as_f64().unwrap();
    assert!((level("lzeq_db") - whole).abs() < NOISE, "{} {whole}", level("lzeq_db"));
    assert!((level("laeq_db") - weighted).abs() < NOISE, "{} {weighted}", level("laeq_db"));
}

/// The A weighting as a power, by its poles (IEC 61672-1, from memory; the sound tests hold the table against it).
fn a_weight(hz: f64) -> f64 {
    let f2 = hz * hz;
    let r = 12_194.217_f64.powi(2) * f2 * f2
        / ((f2 + 20.598_997_f64.powi(2))
            * ((f2 + 107.652_65_f64.powi(2)) * (f2 + 737.862_23_f64.powi(2))).sqrt()
            * (f2 + 12_194.217_f64.powi(2)));
    (r * 10.0_f64.powf(2.0 / 20.0)).powi(2)
}

#[test]
fn two_channels_are_met_in_power_and_never_mixed_by_the_server() {
    let mut server = Server::start(&["module-null-sink sink_name=room rate=44100 channels=2 format=s16le"]);
    // Left the tone, right its opposite: mixed they would be silence, and added they would gain 3 dB.
    let both: Vec<f32> = tone(44_100, 20).into_iter().flat_map(|x| [x, -x]).collect();
    server.play(&both, 44_100, 2);
    let doc = document(&server.run(&RECORD));
    assert_eq!((doc["source"]["channels"].as_u64(), doc["source"]["sample_rate_hz"].as_u64()), (Some(2), Some(44_100)));
    let level = doc["levels"]["lzeq_db"].as_f64().unwrap();
    assert!((level - TONE_DB).abs() < TONE, "{level}");
}

#[test]
fn an_odd_rate_is_recorded_as_it_is_and_said_to_be_low() {
    let mut server = Server::start(&["module-null-sink sink_name=room rate=22050 channels=1 format=s16le"]);
    server.play(&tone(22_050, 20), 22_050, 1);
    let doc = document(&server.run(&RECORD));
    assert_eq!(doc["source"]["sample_rate_hz"], 22_050);
    let level = doc["levels"]["lzeq_db"].as_f64().unwrap();
    assert!((level - TONE_DB).abs() < TONE, "{level}");
    let warnings = doc["quality"]["warnings"].to_string();
    assert!(warnings.contains("low-rate"), "{warnings}");
}

#[test]
fn the_microphone_of_the_system_is_used_and_nothing_is_written_to_disk() {
    let mut server = Server::start(&[ROOM, "module-remap-source master=room.monitor source_name=desk"]);
    server.play(&tone(48_000, 20), 48_000, 1);
    let devices = document(&server.run(&["--format", "json", "sound", "--devices"]));
    assert_eq!(devices["devices"][0]["name"], "desk");
    assert_eq!(devices["devices"][1]["monitor"], true);
    let output = server.run(&["sound", "--record", "2", "--when", "learning"]);
    let shown = text(&output);
    assert!(shown.contains("Recorded at learning time.") && shown.contains("Recorded now with desk"), "{shown}");
    assert!(shown.contains("LZeq     -23.0 dBFS"), "{shown}");
    let said = String::from_utf8(output.stderr).unwrap();
    assert!(said.contains("Nothing of the sound is kept."), "{said}");
    assert_eq!(std::fs::read_dir(server.work()).unwrap().count(), 0);
    assert!(!server.config().join("stillroom").exists());
}

#[test]
fn at_a_terminal_a_live_line_shows_level_bands_and_time_left() {
    let mut server = Server::start(&[ROOM]);
    server.play(&tone(48_000, 20), 48_000, 1);
    // `script` gives the program a terminal of its own.
    let program = env!("CARGO_BIN_EXE_stillroom");
    let line = format!("{program} sound --device room.monitor --record 3 --offset 73");
    let mut command = server.command(&[]);
    let environment: Vec<_> =
        command.get_envs().map(|(name, value)| (name.to_owned(), value.map(ToOwned::to_owned))).collect();
    command = std::process::Command::new("script");
    for (name, value) in environment {
        match value {
            Some(value) => command.env(name, value),
            None => command.env_remove(name),
        };
    }
    let output = command.args(["-qefc", &line, "/dev/null"]).current_dir(server.work()).output().unwrap();
    let shown = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(output.status.success(), "{shown}");
    assert!(shown.contains("50.0 dB now · LAeq 50.0 · 63 "), "{shown}");
    assert!(shown.contains("0:01 left"), "{shown}");
}
