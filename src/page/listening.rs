//! Sound that comes from the browser's microphone in blocks, measured by the same code as everywhere; nothing of it is kept.

use std::sync::{Mutex, PoisonError};

use jiff::Timestamp;

use crate::sound::{Calibration, LiveFigures, LiveMeter};
use crate::tasks::Refusal;
use crate::tasks::aim::Aim;

/// Most meters at once; the one that was silent for longest makes room.
const MOST: usize = 16;
/// Longest block, in bytes: three seconds of one channel at 96 kHz. Browsers send a tenth of a second.
const LONGEST_BLOCK: usize = 96_000 * 4 * 3;
/// Rates that a browser may have, Hz.
const RATES: std::ops::RangeInclusive<u32> = 8_000..=192_000;

/// The meters that are running.
#[derive(Default)]
pub(super) struct Listeners {
    all: Mutex<House>,
}

#[derive(Default)]
struct House {
    next: u64,
    meters: Vec<Listener>,
    /// The level of an adult's ordinary voice, dBFS, as the last one was measured.
    voice_dbfs: Option<f64>,
}

struct Listener {
    id: u64,
    meter: LiveMeter,
    shown: Shown,
    heard: Timestamp,
}

/// How levels are shown.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Shown {
    /// Added to dBFS.
    pub(super) shift_db: f64,
    /// `dB` or `dBFS`.
    pub(super) unit: &'static str,
    /// The target, in that unit.
    pub(super) aim: Option<Aim>,
}

/// What a meter is to aim at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Target {
    /// Nothing.
    None,
    /// Decibels at the child's chair.
    Level(f64),
    /// Quieter than the adult's ordinary voice.
    Voice,
}

impl Listeners {
    /// Starts a meter; its number.
    pub(super) fn start(
        &self,
        rate_hz: u32,
        calibration: &Calibration,
        target: Target,
        now: Timestamp,
    ) -> Result<u64, Refusal> {
        if !RATES.contains(&rate_hz) {
            return Err(Refusal::new("rate", format!("{rate_hz} samples a second cannot be read here")));
        }
        let mut house = self.all.lock().unwrap_or_else(PoisonError::into_inner);
        let shift_db = calibration.offset_db().unwrap_or(0.0);
        let aim = match target {
            Target::None => None,
            Target::Level(db) => Some(Aim::level(db, calibration.sd_db())?),
            Target::Voice => {
                let voice = house.voice_dbfs.ok_or_else(|| {
                    Refusal::new("target-no-voice", "there is no voice to compare with")
                        .hint("record an adult's ordinary voice at the child's chair first")
                })?;
                Some(Aim::voice(voice + shift_db, calibration.sd_db()))
            }
        };
        if house.meters.len() >= MOST
            && let Some(oldest) = (0..house.meters.len()).min_by_key(|at| house.meters.get(*at).map(|one| one.heard))
        {
            house.meters.remove(oldest);
        }
        house.next += 1;
        let id = house.next;
        let shown = Shown { shift_db, unit: calibration.unit(), aim };
        house.meters.push(Listener { id, meter: LiveMeter::new(rate_hz, 1), shown, heard: now });
        Ok(id)
    }

    /// Takes a block of samples, 32-bit little-endian floats of one channel; the figures after it.
    pub(super) fn hear(&self, id: u64, block: &[u8], now: Timestamp) -> Result<(LiveFigures, Shown), Refusal> {
        let samples = samples(block)?;
        let mut house = self.all.lock().unwrap_or_else(PoisonError::into_inner);
        let one = house.meters.iter_mut().find(|one| one.id == id).ok_or_else(gone)?;
        one.meter.push(&[samples]);
        one.heard = now;
        Ok((one.meter.figures(), one.shown))
    }

    /// Ends a meter. As a voice, its level so far is what later meters compare with.
    pub(super) fn end(&self, id: u64, as_voice: bool) -> Result<(LiveFigures, Shown), Refusal> {
        let mut house = self.all.lock().unwrap_or_else(PoisonError::into_inner);
        let at = house.meters.iter().position(|one| one.id == id).ok_or_else(gone)?;
        let one = house.meters.remove(at);
        let figures = one.meter.figures();
        if as_voice {
            let level = figures.laeq.ok_or_else(|| {
                Refusal::new("silent", "there is no sound in it at all").hint("is the microphone muted?")
            })?;
            house.voice_dbfs = Some(level.db());
        }
        Ok((figures, one.shown))
    }

    /// Whether a voice was measured.
    pub(super) fn knows_voice(&self) -> bool {
        self.all.lock().unwrap_or_else(PoisonError::into_inner).voice_dbfs.is_some()
    }
}

fn gone() -> Refusal {
    Refusal::new("no-meter", "this meter has ended").hint("start it again")
}

fn samples(block: &[u8]) -> Result<Vec<f32>, Refusal> {
    let fault = || Refusal::new("block", "this is no block of samples");
    if block.len() > LONGEST_BLOCK || !block.len().is_multiple_of(4) {
        return Err(fault());
    }
    let found: Vec<f32> =
        block.chunks_exact(4).filter_map(|four| four.try_into().ok().map(f32::from_le_bytes)).collect();
    if found.iter().all(|sample| sample.is_finite()) { Ok(found) } else { Err(fault()) }
}

#[cfg(test)]
mod tests {
    use super::{LONGEST_BLOCK, Listeners, MOST, Target};
    use crate::sound::Calibration;
    use jiff::Timestamp;

    fn tone(amplitude: f64) -> Vec<u8> {
        let sample = |i: u32| amplitude * libm::sin(std::f64::consts::TAU * 1000.0 * f64::from(i) / 48_000.0);
        #[expect(clippy::cast_possible_truncation, reason = "samples are single")]
        let bytes = (0..48_000).flat_map(|i| (sample(i) as f32).to_le_bytes()).collect();
        bytes
    }

    #[test]
    fn a_voice_that_was_measured_becomes_the_target() {
        let (all, now) = (Listeners::default(), Timestamp::UNIX_EPOCH);
        let none = Calibration::NONE;
        assert_eq!(all.start(48_000, &none, Target::Voice, now).unwrap_err().code, "target-no-voice");
        assert_eq!(all.start(48_000, &none, Target::Level(50.0), now).unwrap_err().code, "target-uncalibrated");
        let voice = all.start(48_000, &none, Target::None, now).unwrap();
        all.hear(voice, &tone(0.1), now).unwrap();
        all.end(voice, true).unwrap();
        assert!(all.hear(voice, &tone(0.1), now).is_err() && all.knows_voice());
        let room = all.start(48_000, &none, Target::Voice, now).unwrap();
        let (figures, shown) = all.hear(room, &tone(0.05), now).unwrap();
        let aim = shown.aim.unwrap();
        // Half the amplitude is 6.02 dB less.
        assert!((figures.second.unwrap().db() - aim.target_db + 6.02).abs() < 0.05, "{figures:?} {aim:?}");
    }

    #[test]
    fn what_is_no_block_is_refused_and_old_meters_make_room() {
        let (all, now) = (Listeners::default(), Timestamp::UNIX_EPOCH);
        let first = all.start(44_100, &Calibration::NONE, Target::None, now).unwrap();
        for block in [&[0; 3][..], &vec![0; LONGEST_BLOCK + 4], &f32::NAN.to_le_bytes()] {
            assert_eq!(all.hear(first, block, now).unwrap_err().code, "block");
        }
        assert!(all.start(100, &Calibration::NONE, Target::None, now).is_err());
        for _ in 0..MOST {
            all.start(44_100, &Calibration::NONE, Target::None, now).unwrap();
        }
        assert_eq!(all.hear(first, &[], now).unwrap_err().code, "no-meter");
    }
}
