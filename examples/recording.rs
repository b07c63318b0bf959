//! Reads a recording and tells how loud it is, from Rust.
//!
//! `cargo run --example recording -- room.wav`

use std::error::Error;
use std::io::Cursor;

use stillroom::sound::{Analysis, Calibration, Settings, analyse, open};

/// Levels are in dBFS without a calibration; with one they are in dB re 20 µPa, in doubt by its standard deviation.
pub(crate) fn read(bytes: Vec<u8>, name: &str, offset_db: Option<f64>) -> Result<Analysis, Box<dyn Error>> {
    let recording = open(Box::new(Cursor::new(bytes)), name)?;
    let calibration = match offset_db {
        Some(offset) => Calibration::offset(offset).ok_or("no phone is calibrated so")?,
        None => Calibration::NONE,
    };
    let settings = Settings { calibration, ..Settings::default() };
    Ok(analyse(recording, &settings, &mut |_share| ())?)
}

pub(crate) fn told(analysis: &Analysis) -> String {
    let unit = analysis.calibration.unit();
    // What was not measured is `None`, never a zero.
    let level = |level: Option<stillroom::quantity::Decibels>| {
        level.map_or_else(|| "not measured".to_owned(), |level| format!("{:.1} {unit}", level.db()))
    };
    let mut lines = vec![
        format!("LAeq {}, background LA90 {}", level(analysis.levels.laeq), level(analysis.levels.la90)),
        format!("{} third octaves", analysis.third_octaves.len()),
    ];
    lines.extend(analysis.quality.warnings.iter().map(|warning| format!("mind: {}", warning.text())));
    lines.join("\n")
}

fn main() -> Result<(), Box<dyn Error>> {
    let file = std::env::args().nth(1).ok_or("name a recording")?;
    let analysis = read(std::fs::read(&file)?, &file, None)?;
    #[expect(clippy::print_stdout, reason = "an example prints what it found")]
    {
        println!("{}", told(&analysis));
    }
    Ok(())
}
