//! Doubts that take some judging: gain control, handling, wind, a telephone's band. Common practice, no source; made
//! to stay silent when in doubt, for a false alarm costs a family a second recording.

use super::bands::Band;
use super::changes::Event;
use super::num::{level, quantile};
use super::warning::Warning;

/// How far the background climbs after a loud event, dB.
const CLIMB_DB: f64 = 3.0;
/// Within how many F steps, 5 s.
const CLIMB_STEPS: usize = 500;
/// F steps of either end of that time that are compared, 1 s.
const COMPARED_STEPS: usize = 100;
/// F steps after an event in which its own decay is over, 0.4 s.
const SETTLING_STEPS: usize = 40;
/// Events after which the background must climb.
const LEAST_CLIMBS: usize = 2;
/// An A level below this, in dBFS, is emptier than any microphone that reaches full scale.
const DEAD_FLOOR_DB: f64 = -115.0;
/// The share of the time it must be so.
const DEAD_SHARE: f64 = 0.02;
/// A jump of the low sound that a touch makes, dB in 125 ms.
const JUMP_DB: f64 = 15.0;
/// How much the sound above may change with it, dB.
const STAY_DB: f64 = 3.0;
/// The least low level that matters, dBFS.
const LEAST_LOW_DB: f64 = -60.0;
/// The first steps, in which filters start up.
const STARTING_STEPS: usize = 4;
/// The swelling of wind: low level exceeded a tenth of the time over that nine tenths of the time, dB.
const SWELL_DB: f64 = 12.0;
/// The slope of wind's spectrum from 31.5 to 100 Hz (five thirds): at least 6 dB an octave.
const WIND_SLOPE_DB: f64 = 10.0;
/// A cliff of a telephone's band, dB.
const CLIFF_DB: f64 = 30.0;
/// How much thirds below the cliff may differ when the sound is broad, dB.
const BROAD_DB: f64 = 30.0;
/// Telephone bands: the last third below the cliff, the first above it, and what to say, nominal Hz.
const TELEPHONES: [(f64, f64, f64); 2] = [(2500.0, 5000.0, 3400.0), (5000.0, 10_000.0, 7000.0)];
/// Thirds below the cliff that must carry sound.
const BROAD_THIRDS: usize = 8;

/// Whether the device changed its gain, from F levels and mean powers every 10 ms and the loud events among them.
pub(super) fn gain_control(levels: &[f64], means: &[f32], events: &[Event]) -> Option<Warning> {
    let dead = decibels(means).into_iter().filter(|level| *level < DEAD_FLOOR_DB).count();
    if dead as f64 > DEAD_SHARE * means.len() as f64 {
        return Some(Warning::GainControl { dead_floor: true });
    }
    let mut climbs = 0;
    for (place, event) in events.iter().enumerate() {
        let from = event.last + SETTLING_STEPS;
        let until = events.get(place + 1).map_or(levels.len(), |next| next.start).min(event.last + CLIMB_STEPS);
        // Too little quiet behind this one to tell.
        if until < from + 3 * COMPARED_STEPS {
            continue;
        }
        let floor = |range: std::ops::Range<usize>| {
            let mut part = levels[range].to_vec();
            part.sort_unstable_by(f64::total_cmp);
            quantile(&part, 0.1)
        };
        let (Some(early), Some(late)) = (floor(from..from + COMPARED_STEPS), floor(until - COMPARED_STEPS..until))
        else {
            continue;
        };
        if late - early <= CLIMB_DB {
            return None;
        }
        climbs += 1;
    }
    (climbs >= LEAST_CLIMBS).then_some(Warning::GainControl { dead_floor: false })
}

/// Whether the device was touched, from the powers of the low sound and of the sound above it every 125 ms.
pub(super) fn handling(low: &[f32], high: &[f32]) -> Option<Warning> {
    let (low, high) = (decibels(low), decibels(high));
    let mut times = 0u32;
    for step in STARTING_STEPS + 1..low.len().min(high.len()) {
        let jump = low[step] - low[step - 1];
        let stay = (high[step] - high[step - 1]).abs();
        if jump > JUMP_DB && stay < STAY_DB && low[step] > LEAST_LOW_DB && low[step] > high[step] {
            times += 1;
        }
    }
    (times > 0).then_some(Warning::Handling { times })
}

/// Whether wind blew, from the powers of the low sound every 125 ms and the levels of the thirds.
pub(super) fn wind(low: &[f32], thirds: &[(Band, f64)]) -> Option<Warning> {
    let mut low = decibels(low.get(STARTING_STEPS..)?);
    low.sort_unstable_by(f64::total_cmp);
    let (loud, quiet) = (quantile(&low, 0.9)?, quantile(&low, 0.1)?);
    let slope = third(thirds, 31.5)? - third(thirds, 100.0)?;
    (loud - quiet > SWELL_DB && slope >= WIND_SLOPE_DB && loud > LEAST_LOW_DB).then_some(Warning::Wind)
}

/// Whether the sound ends at a telephone's band although the sample rate reaches further.
pub(super) fn narrow_band(thirds: &[(Band, f64)]) -> Option<Warning> {
    TELEPHONES.iter().find_map(|(below, above, hz)| {
        let last = thirds.iter().position(|(band, _)| (band.nominal_hz - below).abs() < 1.0)?;
        let carrying = thirds.get(last + 1 - BROAD_THIRDS..=last)?;
        let beyond: Vec<f64> =
            thirds.iter().filter(|(band, _)| band.nominal_hz >= above - 1.0).map(|(_, level)| *level).collect();
        let least = carrying.iter().map(|(_, level)| *level).fold(f64::INFINITY, f64::min);
        let most = carrying.iter().map(|(_, level)| *level).fold(f64::NEG_INFINITY, f64::max);
        let highest = beyond.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let narrow = !beyond.is_empty() && most - least < BROAD_DB && carrying[BROAD_THIRDS - 1].1 - highest > CLIFF_DB;
        narrow.then_some(Warning::NarrowBand { hz: *hz })
    })
}

fn third(thirds: &[(Band, f64)], nominal_hz: f64) -> Option<f64> {
    thirds.iter().find(|(band, _)| (band.nominal_hz - nominal_hz).abs() < 0.1).map(|(_, level)| *level)
}

fn decibels(powers: &[f32]) -> Vec<f64> {
    powers.iter().map(|power| level(f64::from(*power).max(1e-20))).collect()
}
