//! How the level changes: percentiles, events, and the share of speech-like fluctuation.
//!
//! `LN` is the level exceeded N % of the time, over F levels every 10 ms without the first 0.5 s, linear between
//! neighbours. An event starts when the F level reaches LA90 + 10 dB and ends after 1 s below LA90 + 5 dB.
//! Speech-like: in windows of 4 s every 1 s, the 10 ms means of the A-weighted power, less their mean, Hann-weighted;
//! `B` the power of their fluctuation from 2 to 8 Hz, `T` from 0.25 to 20 Hz; depth `√(4B/(n·Σw²))/mean` ≥ 0.5 and
//! `B/T` ≥ 0.4. These are conventions; the 2–8 Hz band rests on [DING2017]. Never to be called speech detection:
//! ticks, plucked notes and a 4 Hz machine count as well. Checked: oracle recordings of noise, bursts and speech.

use std::f64::consts::TAU;

use realfft::RealFftPlanner;

use super::ballistics::STEPS;
use super::num::{level, quantile};

/// F steps that are dropped while the F weighting starts up: 0.5 s.
const STARTING_STEPS: usize = 50;
/// The least power of a level, so that digital silence has one: −200 dB.
const LEAST_POWER: f64 = 1e-20;
/// How far above LA90 an event starts, dB.
const EVENT_START_DB: f64 = 10.0;
/// How far above LA90 an event has ended, dB.
const EVENT_END_DB: f64 = 5.0;
/// How long the level stays below that, in steps.
const EVENT_QUIET_STEPS: usize = 100;
/// Steps of a window of fluctuation, 4 s.
const WINDOW_STEPS: usize = 400;
/// Steps from window to window, 1 s.
const HOP_STEPS: usize = 100;
/// The fluctuation that counts, Hz.
const SPEECH_HZ: std::ops::RangeInclusive<f64> = 2.0..=8.0;
/// All of the fluctuation, Hz.
const ALL_HZ: std::ops::RangeInclusive<f64> = 0.25..=20.0;
/// The least depth that counts.
const LEAST_DEPTH: f64 = 0.5;
/// The least part of all fluctuation that counts.
const LEAST_PART: f64 = 0.4;

/// Levels that are exceeded a tenth, half and nine tenths of the time, dB.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Percentiles {
    pub la10: f64,
    pub la50: f64,
    pub la90: f64,
}

/// A loud stretch, in F steps.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Event {
    /// The step that reached the start level.
    pub start: usize,
    /// The last step above the end level.
    pub last: usize,
}

/// F levels in dB, step by step, never below −200 dB.
pub(super) fn levels(fast: &[f32]) -> Vec<f64> {
    fast.iter().map(|power| level(f64::from(*power).max(LEAST_POWER))).collect()
}

/// The percentiles of F levels; `None` for a recording of half a second or less.
pub(super) fn percentiles(levels: &[f64]) -> Option<Percentiles> {
    let mut sorted = levels.get(STARTING_STEPS..)?.to_vec();
    sorted.sort_unstable_by(f64::total_cmp);
    let at = |share| quantile(&sorted, share);
    Some(Percentiles { la10: at(0.9)?, la50: at(0.5)?, la90: at(0.1)? })
}

/// The level exceeded nine tenths of the time, of all the levels given; `None` for none.
pub(super) fn background(levels: &[f64]) -> Option<f64> {
    let mut sorted = levels.to_vec();
    sorted.sort_unstable_by(f64::total_cmp);
    quantile(&sorted, 0.1)
}

/// The loud stretches of F levels above a background.
pub(super) fn events(levels: &[f64], la90: f64) -> Vec<Event> {
    let mut events: Vec<Event> = Vec::new();
    let mut open = false;
    for (step, level) in levels.iter().enumerate() {
        if !open && *level >= la90 + EVENT_START_DB {
            open = true;
            events.push(Event { start: step, last: step });
        }
        if let Some(event) = events.last_mut().filter(|_| open) {
            if *level >= la90 + EVENT_END_DB {
                event.last = step;
            }
            open = step - event.last < EVENT_QUIET_STEPS;
        }
    }
    events
}

/// The share of windows whose fluctuation is speech-like or rhythmic; `None` for no window at all.
pub(super) fn speech_share(means: &[f32]) -> Option<f64> {
    if means.is_empty() {
        return None;
    }
    let length = means.len().min(WINDOW_STEPS);
    let mut judge = Judge::new(length);
    let windows: Vec<bool> =
        (0..=means.len() - length).step_by(HOP_STEPS).map(|at| judge.speech_like(&means[at..at + length])).collect();
    Some(windows.iter().filter(|yes| **yes).count() as f64 / windows.len() as f64)
}

struct Judge {
    hann: Vec<f64>,
    transform: std::sync::Arc<dyn realfft::RealToComplex<f64>>,
    squares: f64,
}

impl Judge {
    fn new(length: usize) -> Self {
        let hann: Vec<f64> = (0..length).map(|i| 0.5 - 0.5 * libm::cos(TAU * i as f64 / length as f64)).collect();
        let squares = hann.iter().map(|w| w * w).sum();
        Self { hann, transform: RealFftPlanner::new().plan_fft_forward(length), squares }
    }

    fn speech_like(&mut self, means: &[f32]) -> bool {
        let count = means.len() as f64;
        let mean = means.iter().map(|x| f64::from(*x)).sum::<f64>() / count;
        if mean <= LEAST_POWER {
            return false;
        }
        let mut input: Vec<f64> = means.iter().zip(&self.hann).map(|(x, w)| (f64::from(*x) / mean - 1.0) * w).collect();
        let mut output = self.transform.make_output_vec();
        if self.transform.process(&mut input, &mut output).is_err() {
            return false;
        }
        let (mut band, mut all) = (0.0, 0.0);
        for (bin, x) in output.iter().enumerate() {
            let hz = bin as f64 * STEPS / count;
            if ALL_HZ.contains(&hz) {
                all += x.norm_sqr();
                if SPEECH_HZ.contains(&hz) {
                    band += x.norm_sqr();
                }
            }
        }
        let depth = libm::sqrt(4.0 * band / (count * self.squares));
        depth >= LEAST_DEPTH && band >= LEAST_PART * all && all > 0.0
    }
}

#[cfg(test)]
mod tests {
    use super::super::num::single;
    use super::{Event, events, percentiles, speech_share};
    use std::f64::consts::TAU;

    #[test]
    fn a_percentile_is_the_level_exceeded_that_share_of_the_time() {
        let levels: Vec<f64> = (0..50).map(|_| -99.0).chain((0..=100).map(f64::from)).collect();
        let found = percentiles(&levels).unwrap();
        assert_eq!((found.la10, found.la50, found.la90), (90.0, 50.0, 10.0));
        assert_eq!(percentiles(&levels[..50]), None);
    }

    #[test]
    fn an_event_ends_after_a_second_of_quiet() {
        let mut levels = vec![30.0; 1000];
        levels[100..120].fill(45.0);
        levels[200..210].fill(45.0); // 0.8 s later: still the same event
        levels[400..410].fill(45.0);
        levels[700..710].fill(39.0); // below the start level
        assert_eq!(events(&levels, 30.0), [Event { start: 100, last: 209 }, Event { start: 400, last: 409 }]);
    }

    #[test]
    fn a_four_hertz_pulse_counts_and_slow_swells_do_not() {
        let wave = |hz: f64| -> Vec<f32> {
            (0..1200u16).map(|i| single(1.0 + 0.9 * (TAU * hz * f64::from(i) / 100.0).sin())).collect()
        };
        assert_eq!(speech_share(&wave(4.0)), Some(1.0));
        assert_eq!(speech_share(&wave(0.5)), Some(0.0));
        assert_eq!(speech_share(&[]), None);
    }
}
