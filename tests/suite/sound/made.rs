//! Recordings made for the checks, and one way to analyse.

use std::fs;
use std::io::Cursor;
use std::path::Path;

use stillroom::sound::{Analysis, Refusal, Settings, analyse, open};

/// A file of tests/oracle/sound.
pub(super) fn read(name: &str) -> Vec<u8> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/oracle/sound").join(name);
    fs::read(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// Lines of a table there, without its head.
pub(super) fn table(name: &str) -> Vec<Vec<String>> {
    let text = String::from_utf8(read(name)).unwrap();
    let rows = text.lines().filter(|line| !line.starts_with('#')).skip(1);
    rows.map(|line| line.split(',').map(str::to_owned).collect()).collect()
}

/// Analyses bytes as a recording.
pub(super) fn heard(bytes: Vec<u8>, name: &str, settings: &Settings) -> Result<Analysis, Refusal> {
    analyse(open(Box::new(Cursor::new(bytes)), name)?, settings, &mut |_| {})
}

/// Analyses a mono recording in 32-bit floats.
pub(super) fn analysed(samples: &[f32], rate: u32) -> Analysis {
    heard(float_wav(samples, rate), "made.wav", &Settings::default()).unwrap()
}

/// A mono WAV file in 32-bit floats.
pub(super) fn float_wav(samples: &[f32], rate: u32) -> Vec<u8> {
    let data: Vec<u8> = samples.iter().flat_map(|x| x.to_le_bytes()).collect();
    let length = data.len() as u32;
    wav(&Format { tag: 3, channels: 1, rate, bits: 32 }, length, &data)
}

/// The numbers of a WAV header.
pub(super) struct Format {
    pub tag: u16,
    pub channels: u16,
    pub rate: u32,
    pub bits: u16,
}

/// A WAV file that claims `claimed` bytes of data and has `data`.
pub(super) fn wav(format: &Format, claimed: u32, data: &[u8]) -> Vec<u8> {
    let frame = u32::from(format.channels) * u32::from(format.bits) / 8;
    let mut bytes = Vec::new();
    bytes.extend(b"RIFF");
    bytes.extend(claimed.saturating_add(36).to_le_bytes());
    bytes.extend(b"WAVEfmt \x10\0\0\0");
    bytes.extend(format.tag.to_le_bytes());
    bytes.extend(format.channels.to_le_bytes());
    bytes.extend(format.rate.to_le_bytes());
    bytes.extend(format.rate.wrapping_mul(frame).to_le_bytes());
    bytes.extend((frame as u16).to_le_bytes());
    bytes.extend(format.bits.to_le_bytes());
    bytes.extend(b"data");
    bytes.extend(claimed.to_le_bytes());
    bytes.extend(data);
    bytes
}

/// A seeded stream of numbers from 0 to 1 (a linear congruence: good enough for noise and for mutations).
pub(super) struct Chance(pub u64);

impl Chance {
    /// The next 32 bits.
    pub(super) fn bits(&mut self) -> u32 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 32) as u32
    }

    /// A number below `limit`.
    pub(super) fn below(&mut self, limit: usize) -> usize {
        self.bits() as usize % limit.max(1)
    }

    /// A number of roughly normal spread, mean 0, deviation 1.
    pub(super) fn noise(&mut self) -> f32 {
        let sum: f32 = (0..6).map(|_| self.bits() as f32 / 4_294_967_296.0).sum();
        (sum - 3.0) * 2f32.sqrt()
    }
}
