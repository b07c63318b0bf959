//! How fast the sound room is: a whole analysis of recordings made here, medians of some runs.
//! `cargo bench --bench sound`
#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    clippy::disallowed_methods,
    clippy::cast_possible_truncation,
    reason = "a bench prints and reads the clock"
)]

use std::io::{Cursor, Read, Seek, SeekFrom};
use std::time::Instant;

use stillroom::sound::{Settings, analyse, open};

/// A recording of hiss with a slow swell, 16 bit.
fn recording(seconds: u32, rate: u32, channels: u16) -> Vec<u8> {
    let data = seconds * rate * u32::from(channels) * 2;
    let mut wav = Vec::new();
    wav.extend(b"RIFF");
    wav.extend((data + 36).to_le_bytes());
    wav.extend(b"WAVEfmt ");
    wav.extend(16u32.to_le_bytes());
    wav.extend(1u16.to_le_bytes());
    wav.extend(channels.to_le_bytes());
    wav.extend(rate.to_le_bytes());
    wav.extend((rate * u32::from(channels) * 2).to_le_bytes());
    wav.extend((channels * 2).to_le_bytes());
    wav.extend(16u16.to_le_bytes());
    wav.extend(b"data");
    wav.extend(data.to_le_bytes());
    let mut state = 1u32;
    for i in 0..data / 2 {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        let swell = 1 + (i / rate) % 5;
        let sample = ((state >> 20) * swell / 4) as i32 - (512 * swell) as i32;
        wav.extend((sample as i16).to_le_bytes());
    }
    wav
}

/// A recording too long to hold: its head, and hiss that is made as it is read.
struct Long {
    head: Vec<u8>,
    length: u64,
    at: u64,
}

impl Read for Long {
    fn read(&mut self, buffer: &mut [u8]) -> std::io::Result<usize> {
        let count = (buffer.len() as u64).min(self.length - self.at.min(self.length)) as usize;
        for byte in &mut buffer[..count] {
            let sample = (self.at / 2).wrapping_mul(0x9e37_79b9_7f4a_7c15) >> 52;
            let noise = (sample as i16 - 2048).to_le_bytes()[(self.at % 2) as usize];
            *byte = self.head.get(self.at as usize).copied().unwrap_or(noise);
            self.at += 1;
        }
        Ok(count)
    }
}

impl Seek for Long {
    fn seek(&mut self, to: SeekFrom) -> std::io::Result<u64> {
        self.at = match to {
            SeekFrom::Start(at) => at,
            SeekFrom::End(by) => self.length.saturating_add_signed(by),
            SeekFrom::Current(by) => self.at.saturating_add_signed(by),
        };
        Ok(self.at)
    }
}

fn most_memory() -> String {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    status.lines().find(|line| line.starts_with("VmHWM")).unwrap_or("VmHWM: not told here").to_owned()
}

/// An hour, first of all, so that the most memory is its own.
fn hour(settings: &Settings) {
    let mut head = recording(0, 48_000, 1);
    let length = 3600 * 48_000 * 2u64;
    head[40..44].copy_from_slice(&(length as u32).to_le_bytes());
    let source = Box::new(Long { length: length + head.len() as u64, head, at: 0 });
    let start = Instant::now();
    let analysis = analyse(open(source, "hour").unwrap(), settings, &mut |_| {}).unwrap();
    assert!((analysis.source.seconds - 3600.0).abs() < 1e-6);
    println!(
        "{:<44} {:8.1} ms, {}",
        "3600 s, 48 kHz, mono, made while it is read",
        start.elapsed().as_secs_f64() * 1e3,
        most_memory()
    );
}

fn median(name: &str, bytes: &[u8], settings: &Settings, runs: usize) {
    let mut times: Vec<f64> = (0..runs)
        .map(|_| {
            let source = Box::new(Cursor::new(bytes.to_vec()));
            let start = Instant::now();
            let analysis = analyse(open(source, name).unwrap(), settings, &mut |_| {}).unwrap();
            assert!(analysis.levels.laeq.is_some());
            start.elapsed().as_secs_f64()
        })
        .collect();
    times.sort_by(f64::total_cmp);
    println!("{name:<44} {:8.1} ms  (best {:.1})", times[runs / 2] * 1e3, times[0] * 1e3);
}

/// Ten minutes with every index and every third in every 125 ms, beside a plain read with a sum of squares and, where it is
/// installed, the same job in numpy and scipy: ratios in one run.
fn against_the_reference() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("room.wav");
    std::fs::write(&file, recording(600, 48_000, 1)).unwrap();
    let settings = Settings { band_history: true, ..Settings::default() };
    let timed = |work: &dyn Fn()| {
        let mut times: Vec<f64> = (0..3)
            .map(|_| {
                let start = Instant::now();
                work();
                start.elapsed().as_secs_f64()
            })
            .collect();
        times.sort_by(f64::total_cmp);
        times[1]
    };
    let ours = timed(&|| {
        let source = Box::new(std::fs::File::open(&file).unwrap());
        let analysis = analyse(open(source, "room").unwrap(), &settings, &mut |_| {}).unwrap();
        assert_eq!(analysis.band_history.unwrap().steps().len(), 4800);
    });
    let plain = timed(&|| {
        let bytes = std::fs::read(&file).unwrap();
        let square = |pair: &[u8; 2]| f64::from(i16::from_le_bytes(*pair)).powi(2);
        assert!(bytes[44..].as_chunks::<2>().0.iter().map(square).sum::<f64>() > 0.0);
    });
    println!("600 s with thirds every 125 ms {:26.1} ms; a plain read takes 1/{:.0} of it", ours * 1e3, ours / plain);
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/benches/reference/sound.py");
    let output = std::process::Command::new("python3").arg(script).arg(&file).output();
    let numbers: Vec<f64> = output
        .map(|output| String::from_utf8_lossy(&output.stdout).split_whitespace().flat_map(str::parse).collect())
        .unwrap_or_default();
    let [_, whole, _] = numbers[..] else {
        println!("no reference: python3 with numpy and scipy is not installed");
        return;
    };
    println!("numpy and scipy, the same job {:27.1} ms; {:.1} times ours", whole * 1e3, whole / ours);
}

fn main() {
    let plain = Settings::default();
    let decay = Settings { decay: true, ..plain };
    hour(&Settings { band_history: true, ..plain });
    against_the_reference();
    median("60 s, 48 kHz, mono", &recording(60, 48_000, 1), &plain, 9);
    median("60 s, 48 kHz, mono, with decay", &recording(60, 48_000, 1), &decay, 5);
    median("60 s, 44.1 kHz, stereo", &recording(60, 44_100, 2), &plain, 5);
    median("60 s, 16 kHz, mono", &recording(60, 16_000, 1), &plain, 5);
    median("600 s, 48 kHz, mono", &recording(600, 48_000, 1), &plain, 3);
}
