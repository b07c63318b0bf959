//! Figures while a recording is still running: the level now, over the last second and so far, and octave bars.
//!
//! Windows `sin(π(n+½)/N)` at half overlap, about 85 ms long: `w²` of two neighbours sums to one, so `Σ|X|²/N²` over
//! windows is the mean square (Parseval); each bin is weighed by the A curve [IEC61672] or a band's shape [IEC61260].
//! "Now" follows the windows' power with the time constant F; bars with half a second. Domain: 4 to 384 kHz.
//! Error against the full analysis: LAeq within 0.05 dB for noise; below 50 Hz a bin is too wide for the steep A
//! curve and a tone reads up to 1 dB off, so these figures are for the eye and only [`super::analyse`]'s are kept.
//! Checked: against that analysis on tones and noise.

use std::collections::VecDeque;
use std::f64::consts::PI;
use std::sync::Arc;

use realfft::num_complex::Complex;
use realfft::{RealFftPlanner, RealToComplex};

use super::analysis::BandLevel;
use super::bands::Band;
use super::num::{single, whole};
use super::weighting::a_power;
use crate::quantity::Decibels;

/// The length of a window, seconds, before it is rounded up to a power of two.
const WINDOW_SECONDS: f64 = 0.05;
/// Time constant of F, seconds. [IEC61672]
const FAST: f64 = 0.125;
/// Time constant of the bars, seconds: slow enough for the eye. Convention.
const BARS: f64 = 0.5;
/// The octaves shown, Hz: those that a short window can tell apart.
const SHOWN_HZ: std::ops::RangeInclusive<f64> = 60.0..=8100.0;

/// Figures of a running recording, dBFS; each is missing where there is no sound.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct LiveFigures {
    /// Seconds that were heard.
    pub seconds: f64,
    /// The A-weighted level now, F.
    pub now: Option<Decibels>,
    /// The A-weighted equivalent level of the last second.
    pub second: Option<Decibels>,
    /// The A-weighted equivalent level so far.
    pub laeq: Option<Decibels>,
    /// Octaves from 63 Hz to 8 kHz as far as the rate reaches, smoothed over half a second.
    pub octaves: Vec<BandLevel>,
}

/// Follows a running recording.
pub struct LiveMeter {
    rate: f64,
    length: usize,
    forward: Arc<dyn RealToComplex<f32>>,
    window: Vec<f32>,
    input: Vec<f32>,
    output: Vec<Complex<f32>>,
    planes: Vec<Vec<f32>>,
    weights: Vec<f64>,
    bands: Vec<(Band, Vec<f64>)>,
    heard: u64,
    windows: f64,
    sum: f64,
    fast: f64,
    last: VecDeque<f64>,
    bars: Vec<f64>,
}

impl LiveMeter {
    /// Ready for the first sample.
    pub fn new(sample_rate_hz: u32, channels: usize) -> Self {
        let rate = f64::from(sample_rate_hz);
        let length = whole((rate * WINDOW_SECONDS).ceil()).next_power_of_two();
        let forward = RealFftPlanner::new().plan_fft_forward(length);
        let bins = length / 2 + 1;
        // A real transform gives each pair of mirrored bins once.
        let weigh = |weight: &dyn Fn(f64) -> f64| -> Vec<f64> {
            (0..bins)
                .map(|bin| {
                    let pair = if bin == 0 || bin == length / 2 { 1.0 } else { 2.0 };
                    pair * weight(bin as f64 * rate / length as f64)
                })
                .collect()
        };
        let bands: Vec<(Band, Vec<f64>)> = Band::octaves()
            .filter(|band| SHOWN_HZ.contains(&band.nominal_hz) && band.within(rate))
            .map(|band| (band, weigh(&|hz| band.weight(hz))))
            .collect();
        Self {
            rate,
            length,
            window: (0..length).map(|i| single(libm::sin(PI * (i as f64 + 0.5) / length as f64))).collect(),
            input: forward.make_input_vec(),
            output: forward.make_output_vec(),
            forward,
            planes: vec![Vec::new(); channels],
            weights: weigh(&a_power),
            bars: vec![0.0; bands.len()],
            bands,
            heard: 0,
            windows: 0.0,
            sum: 0.0,
            fast: 0.0,
            last: VecDeque::new(),
        }
    }

    /// Takes samples of all channels.
    pub fn push(&mut self, planes: &[Vec<f32>]) {
        for (kept, plane) in self.planes.iter_mut().zip(planes) {
            kept.extend_from_slice(plane);
        }
        self.heard += planes.first().map_or(0, Vec::len) as u64;
        let (half, mut from) = (self.length / 2, 0);
        while self.planes.first().is_some_and(|plane| plane.len() >= from + self.length) {
            self.take(from);
            from += half;
        }
        for plane in &mut self.planes {
            plane.drain(..from);
        }
    }

    /// The figures now.
    pub fn figures(&self) -> LiveFigures {
        let second = self.last.iter().sum::<f64>() / self.last.len().max(1) as f64;
        LiveFigures {
            seconds: self.heard as f64 / self.rate,
            now: Decibels::from_power(self.fast),
            second: Decibels::from_power(second),
            laeq: Decibels::from_power(self.sum / self.windows.max(1.0)),
            octaves: self
                .bands
                .iter()
                .zip(&self.bars)
                .filter_map(|((band, _), power)| {
                    Some(BandLevel { hz: band.nominal_hz, level: Decibels::from_power(*power)? })
                })
                .collect(),
        }
    }

    /// One window of every channel.
    fn take(&mut self, from: usize) {
        let hop = self.length as f64 / 2.0 / self.rate;
        let mut power = 0.0;
        let mut bands = vec![0.0; self.bands.len()];
        // Windows of unit power: each holds half the energy of the samples below it.
        let scale = 2.0 / (self.length as f64 * self.length as f64 * self.planes.len().max(1) as f64);
        for plane in &self.planes {
            let samples = &plane[from..from + self.length];
            let mean = single(samples.iter().map(|x| f64::from(*x)).sum::<f64>() / self.length as f64);
            for ((to, x), w) in self.input.iter_mut().zip(samples).zip(&self.window) {
                *to = (x - mean) * w;
            }
            if self.forward.process(&mut self.input, &mut self.output).is_err() {
                return;
            }
            let weighed = |weights: &[f64], spectrum: &[Complex<f32>]| -> f64 {
                weights.iter().zip(spectrum).map(|(weight, x)| weight * f64::from(x.norm_sqr())).sum::<f64>() * scale
            };
            power += weighed(&self.weights, &self.output);
            for (sum, (_, weights)) in bands.iter_mut().zip(&self.bands) {
                *sum += weighed(weights, &self.output);
            }
        }
        self.windows += 1.0;
        self.sum += power;
        self.fast += -libm::expm1(-hop / FAST) * (power - self.fast);
        for (bar, power) in self.bars.iter_mut().zip(bands) {
            *bar += -libm::expm1(-hop / BARS) * (power - *bar);
        }
        self.last.push_back(power);
        while self.last.len() > whole(1.0 / hop) {
            self.last.pop_front();
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "tests make small whole numbers and f32 samples"
    )]

    use super::{LiveFigures, LiveMeter};
    use rand_chacha::ChaCha8Rng;
    use rand_chacha::rand_core::{Rng, SeedableRng};

    /// What the head promises for noise, dB; a tone in the middle of the band as well.
    const CLOSE: f64 = 0.05;

    fn figures(samples: &[f32], rate: u32) -> LiveFigures {
        let mut meter = LiveMeter::new(rate, 1);
        for part in samples.chunks(1000) {
            meter.push(&[part.to_vec()]);
        }
        meter.figures()
    }

    fn tone(hz: f64, rate: u32, seconds: f64) -> Vec<f32> {
        let count = (f64::from(rate) * seconds) as usize;
        (0..count).map(|i| (0.1 * libm::sin(std::f64::consts::TAU * hz * i as f64 / f64::from(rate))) as f32).collect()
    }

    #[test]
    fn a_kilohertz_tone_reads_its_own_level_now_and_so_far() {
        for rate in [16_000, 44_100, 48_000] {
            let shown = figures(&tone(1000.0, rate, 3.0), rate);
            for level in [shown.now, shown.second, shown.laeq] {
                // Peak 0.1: −23.010 dB.
                assert!((level.unwrap().db() + 23.010).abs() < CLOSE, "{rate}: {shown:?}");
            }
            let loudest = shown.octaves.iter().max_by(|a, b| a.level.db().total_cmp(&b.level.db())).unwrap();
            assert!((loudest.hz - 1000.0).abs() < 1e-9 && (loudest.level.db() + 23.0).abs() < 0.2, "{loudest:?}");
        }
    }

    #[test]
    fn noise_reads_the_same_as_in_the_full_analysis() {
        use crate::sound::{Feed, FeedInfo, Recording, Settings, analyse};
        struct Once(Vec<f32>);
        impl Feed for Once {
            fn next(&mut self, planes: &mut [Vec<f32>]) -> bool {
                planes[0].append(&mut self.0);
                false
            }
            fn progress(&self) -> f64 {
                1.0
            }
        }
        let mut chance = ChaCha8Rng::seed_from_u64(7);
        let noise: Vec<f32> =
            (0..48_000 * 10).map(|_| (f64::from(chance.next_u32()) / f64::from(u32::MAX) - 0.5) as f32 * 0.1).collect();
        let shown = figures(&noise, 48_000).laeq.unwrap().db();
        let info = FeedInfo { name: "noise".to_owned(), sample_rate_hz: 48_000, channels: 1, step: 0.0 };
        let recording = Recording::of_feed(info, Box::new(Once(noise))).unwrap();
        let told = analyse(recording, &Settings::default(), &mut |_| ()).unwrap().levels.laeq.unwrap().db();
        assert!((shown - told).abs() < CLOSE, "{shown} {told}");
    }

    #[test]
    fn the_last_second_forgets_what_was_before() {
        let mut samples = tone(1000.0, 16_000, 2.0);
        samples.extend(vec![0.0; 16_000 * 2]);
        let shown = figures(&samples, 16_000);
        assert!(shown.second.is_none_or(|level| level.db() < -90.0), "{shown:?}");
        assert!((shown.laeq.unwrap().db() + 26.02).abs() < 0.2, "{shown:?}");
        assert!((shown.seconds - 4.0).abs() < 1e-9);
    }

    #[test]
    fn silence_has_no_level() {
        let shown = figures(&vec![0.0; 48_000], 48_000);
        assert_eq!((shown.now, shown.laeq), (None, None));
        assert!(shown.octaves.is_empty());
    }
}
