//! Half the sample rate, for the bands that need no more.
//!
//! A linear-phase half-band low-pass of 31 taps (windowed sinc, Kaiser), of which every second one is zero. Flat within
//! 0.01 dB up to 0.1625 of the old rate, and what folds down there is damped by 75 dB or more. Beyond its ends the
//! recording is taken to be silent; the output is not delayed. Checked: the response itself.

use std::f64::consts::PI;

use super::num::{bessel, single};

/// Taps that differ, beside the middle one.
const TAPS: usize = 8;
/// Shape of the Kaiser window.
const KAISER: f64 = 7.9;

/// Halves one channel.
#[derive(Clone, Debug)]
pub(super) struct Halver {
    taps: [f32; TAPS],
    even: Vec<f32>,
    /// Behind [`TAPS`] samples that were.
    odd: Vec<f32>,
    next_is_odd: bool,
}

impl Halver {
    /// Before the first sample.
    pub(super) fn new() -> Self {
        Self { taps: taps().map(single), even: Vec::new(), odd: vec![0.0; TAPS], next_is_odd: false }
    }

    /// Takes samples; `out` is given what can be told by now.
    pub(super) fn push(&mut self, samples: &[f32], out: &mut Vec<f32>) {
        out.clear();
        let rest = match samples.split_first() {
            Some((first, rest)) if self.next_is_odd => {
                self.odd.push(*first);
                rest
            }
            _ => samples,
        };
        let (pairs, last) = rest.as_chunks::<2>();
        self.even.extend(pairs.iter().map(|[even, _]| *even));
        self.odd.extend(pairs.iter().map(|[_, odd]| *odd));
        self.even.extend_from_slice(last);
        self.next_is_odd = if samples.is_empty() { self.next_is_odd } else { last.len() == 1 };
        self.run(out);
    }

    /// Runs out the end.
    pub(super) fn finish(&mut self, out: &mut Vec<f32>) {
        out.clear();
        self.odd.resize(self.even.len() + 2 * TAPS, 0.0);
        self.run(out);
    }

    fn run(&mut self, out: &mut Vec<f32>) {
        let count = self.even.len().min((self.odd.len() + 1).saturating_sub(2 * TAPS));
        if count == 0 {
            return;
        }
        out.extend(self.even[..count].iter().map(|x| 0.5 * x));
        for (place, tap) in self.taps.iter().enumerate() {
            let (before, behind) = (&self.odd[TAPS - 1 - place..], &self.odd[TAPS + place..]);
            for ((y, a), b) in out.iter_mut().zip(before).zip(behind) {
                *y += tap * (a + b);
            }
        }
        drop(self.even.drain(..count));
        drop(self.odd.drain(..count));
    }
}

/// The taps one, three, five … samples from the middle.
fn taps() -> [f64; TAPS] {
    let half = 2.0 * TAPS as f64;
    let mut taps = [0.0; TAPS];
    for (place, tap) in taps.iter_mut().enumerate() {
        let from_middle = 2.0 * place as f64 + 1.0;
        let part = from_middle / half;
        *tap = libm::sin(PI * from_middle / 2.0) / (PI * from_middle) * bessel(KAISER * libm::sqrt(1.0 - part * part))
            / bessel(KAISER);
    }
    let sum: f64 = taps.iter().sum();
    taps.map(|tap| tap / (4.0 * sum))
}

#[cfg(test)]
mod tests {
    use super::{Halver, taps};
    use crate::sound::num::single;
    use std::f64::consts::TAU;

    fn gain_db(turn: f64) -> f64 {
        let sum: f64 =
            taps().iter().enumerate().map(|(i, tap)| 2.0 * tap * (TAU * turn * (2 * i + 1) as f64).cos()).sum();
        20.0 * (0.5 + sum).abs().log10()
    }

    #[test]
    fn it_is_flat_where_bands_lie_and_deaf_to_what_would_fold_on_them() {
        for step in 0..=1000 {
            let turn = 0.1625 * f64::from(step) / 1000.0;
            assert!(gain_db(turn).abs() < 0.01, "{turn}: {}", gain_db(turn));
            assert!(gain_db(0.5 - turn) < -75.0, "{}: {}", 0.5 - turn, gain_db(0.5 - turn));
        }
    }

    #[test]
    fn a_tone_comes_through_undelayed_in_any_blocks() {
        let tone = |i: usize| single((TAU * 0.05 * i as f64).sin());
        let samples: Vec<f32> = (0..2001).map(tone).collect();
        for size in [1, 2, 7, 100, 2001] {
            let mut halver = Halver::new();
            let (mut all, mut part) = (Vec::new(), Vec::new());
            for samples in samples.chunks(size) {
                halver.push(samples, &mut part);
                all.extend_from_slice(&part);
            }
            halver.finish(&mut part);
            all.extend_from_slice(&part);
            assert_eq!(all.len(), 1001);
            for (i, y) in all.iter().enumerate().take(980).skip(20) {
                assert!((y - tone(2 * i)).abs() < 1e-3, "{i}: {y}");
            }
        }
    }
}
