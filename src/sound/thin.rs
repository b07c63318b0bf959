//! The recording thinned to about 1500 samples a second, for what happens below 240 Hz.
//!
//! A linear-phase low-pass (windowed sinc, Kaiser) at half the new rate, eight new samples long; every `factor`-th
//! output is taken. What folds down below 240 Hz is damped by 74 dB or more; up to there the low-pass is flat within
//! 0.01 dB. Beyond its ends the recording holds its first and last value. The constant is taken out, known from the
//! first 2048 samples that are left (over a second) or from the whole of a shorter recording.
//! Checked: the response itself; tones through the whole analysis in every third.

use std::f64::consts::PI;

use super::num::{bessel, single, whole};

/// About how many samples a second are left.
const THINNED_HZ: f64 = 1500.0;
/// Length of the low-pass, in new samples.
const SPAN: usize = 8;
/// Shape of the Kaiser window: side lobes nearly 80 dB down.
const KAISER: f64 = 8.0;
/// Samples, of those that are left, that the constant is known from.
const SETTLING: usize = 2048;
/// Sums side by side.
const LANES: usize = 8;

/// Thins all channels.
pub(super) struct Thinner {
    factor: usize,
    taps: Vec<f32>,
    rate: f64,
    channels: Vec<Vec<f32>>,
    out: Vec<Vec<f32>>,
    means: Option<Vec<f32>>,
    started: bool,
}

impl Thinner {
    /// Ready for the first sample.
    pub(super) fn new(sample_rate_hz: f64, channels: usize) -> Self {
        let factor = whole((sample_rate_hz / THINNED_HZ).floor()).max(1);
        let half = factor * SPAN / 2;
        let mut taps: Vec<f64> = (0..=2 * half)
            .map(|i| {
                let place = i as f64 - half as f64;
                let x = place / factor as f64;
                let sinc = if i == half { 1.0 } else { libm::sin(PI * x) / (PI * x) };
                let part = place / (half as f64 + 1.0);
                sinc * bessel(KAISER * libm::sqrt(1.0 - part * part))
            })
            .collect();
        let sum: f64 = taps.iter().sum();
        taps.iter_mut().for_each(|tap| *tap /= sum);
        Self {
            factor,
            taps: taps.into_iter().map(single).collect(),
            rate: sample_rate_hz,
            channels: vec![Vec::new(); channels],
            out: vec![Vec::new(); channels],
            means: None,
            started: false,
        }
    }

    /// Samples a second that are left.
    pub(super) fn rate(&self) -> f64 {
        self.rate / self.factor as f64
    }

    /// The power response at a frequency.
    #[cfg(test)]
    fn power_response(&self, hz: f64) -> f64 {
        let half = self.taps.len() / 2;
        let turn = 2.0 * PI * hz / self.rate;
        let sum: f64 = self.taps[half + 1..]
            .iter()
            .enumerate()
            .map(|(i, tap)| 2.0 * f64::from(*tap) * libm::cos(turn * (i + 1) as f64))
            .sum();
        let response = sum + f64::from(self.taps[half]);
        response * response
    }

    /// Takes samples of all channels and gives what is left of them.
    pub(super) fn push(&mut self, planes: &[Vec<f32>]) -> &[Vec<f32>] {
        for (held, plane) in self.channels.iter_mut().zip(planes) {
            if let Some(first) = plane.first().filter(|_| !self.started) {
                held.resize(self.taps.len() / 2, *first);
            }
            held.extend_from_slice(plane);
        }
        self.started |= planes.first().is_some_and(|plane| !plane.is_empty());
        self.thin(SETTLING)
    }

    /// Runs out the end.
    pub(super) fn finish(&mut self) -> &[Vec<f32>] {
        for held in &mut self.channels {
            let last = held.last().copied().unwrap_or(0.0);
            held.resize(held.len() + self.taps.len() / 2, last);
        }
        self.thin(0)
    }

    /// What can be given: nothing before `enough` of it is there to know the constant from.
    fn thin(&mut self, enough: usize) -> &[Vec<f32>] {
        let known = self.means.is_some();
        for (held, out) in self.channels.iter_mut().zip(&mut self.out) {
            if known {
                out.clear();
            }
            let mut at = 0;
            while at + self.taps.len() <= held.len() {
                out.push(dot(&held[at..at + self.taps.len()], &self.taps));
                at += self.factor;
            }
            held.drain(..at);
        }
        if !known {
            if self.out.first().is_none_or(|out| out.len() < enough) {
                return &[];
            }
            let mean = |out: &Vec<f32>| out.iter().map(|x| f64::from(*x)).sum::<f64>() / out.len().max(1) as f64;
            self.means = Some(self.out.iter().map(|out| single(mean(out))).collect());
        }
        for (out, mean) in self.out.iter_mut().zip(self.means.iter().flatten()) {
            out.iter_mut().for_each(|x| *x -= mean);
        }
        &self.out
    }
}

fn dot(a: &[f32], b: &[f32]) -> f32 {
    let ((a, a_rest), (b, b_rest)) = (a.as_chunks::<LANES>(), b.as_chunks::<LANES>());
    let mut sums = [0f32; LANES];
    for (a, b) in a.iter().zip(b) {
        for lane in 0..LANES {
            sums[lane] += a[lane] * b[lane];
        }
    }
    sums.iter().sum::<f32>() + a_rest.iter().zip(b_rest).map(|(a, b)| a * b).sum::<f32>()
}

#[cfg(test)]
mod tests {
    use super::super::num::single;
    use super::Thinner;
    use std::f64::consts::TAU;

    #[test]
    fn what_would_fold_down_below_240_hz_is_gone() {
        for rate in [4000.0, 8000.0, 11_025.0, 16_000.0, 44_100.0, 48_000.0, 96_000.0] {
            let thinner = Thinner::new(rate, 1);
            let from = thinner.rate() - 240.0;
            for step in 0..400 {
                let hz = from + (rate / 2.0 - from) * f64::from(step) / 400.0;
                let folded = (hz / thinner.rate()).round().mul_add(-thinner.rate(), hz).abs();
                let damped = 10.0 * thinner.power_response(hz).log10();
                assert!(folded > 240.0 || damped < -74.0, "{hz} Hz at {rate}: {damped} dB");
            }
        }
    }

    #[test]
    fn a_low_tone_comes_through_as_the_response_says_in_any_blocks() {
        let rate = 16_000.0;
        let samples: Vec<f32> = (0..32_000).map(|i| single((TAU * 100.0 * f64::from(i) / rate).sin())).collect();
        let mut thinner = Thinner::new(rate, 1);
        let mut out = Vec::new();
        for part in samples.chunks(1001) {
            out.extend(thinner.push(&[part.to_vec()]).first().into_iter().flatten());
        }
        out.extend_from_slice(&thinner.finish()[0]);
        assert_eq!(out.len(), 3200); // ten to one
        let middle = &out[800..2400];
        let power: f64 = middle.iter().map(|x| f64::from(x * x)).sum::<f64>() / middle.len() as f64;
        assert!((power / (0.5 * thinner.power_response(100.0)) - 1.0).abs() < 1e-4);
    }

    #[test]
    fn a_constant_leaves_nothing_to_both_ends() {
        let mut thinner = Thinner::new(48_000.0, 1);
        let mut out = thinner.push(&[vec![0.2; 5000]]).to_vec().pop().unwrap_or_default();
        out.extend_from_slice(&thinner.finish()[0]);
        assert_eq!(out.len(), 5000usize.div_ceil(32));
        assert!(out.iter().all(|x| x.abs() < 1e-6));
    }

    #[test]
    fn the_low_pass_is_flat_where_bands_are_taken_from_it() {
        for rate in [4000.0, 11_025.0, 48_000.0, 384_000.0] {
            let thinner = Thinner::new(rate, 1);
            for hz in 0..=240 {
                assert!((10.0 * thinner.power_response(f64::from(hz)).log10()).abs() < 0.01, "{hz} Hz at {rate}");
            }
        }
    }
}
