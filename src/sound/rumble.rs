//! The low sound and what lies above it, every 125 ms, for the doubts about handling and wind.
//!
//! It takes the thinned recording and filters it: low 15 to 71 Hz (the thirds up to 63 Hz), high from 224 Hz up to
//! what the thinning leaves. Good to a few tenths of a decibel, which is all that doubts need; no level is taken from it.

use super::ballistics::HISTORY_STEPS;
use super::biquad::Filter;
use super::num::{single, whole};

/// The lower edge of the low sound, Hz: below it no room speaks.
const LOW_FROM_HZ: f64 = 15.0;
/// The upper edge of the low sound, Hz.
const LOW_TO_HZ: f64 = 71.0;
/// The lower edge of the sound above, Hz.
const HIGH_FROM_HZ: f64 = 224.0;

/// Follows the low sound.
pub(super) struct Rumble {
    rate: f64,
    channels: Vec<Channel>,
    low: Vec<f64>,
    high: Vec<f64>,
}

struct Channel {
    at: usize,
    low_cut: Filter,
    low: Filter,
    high: Filter,
}

impl Rumble {
    /// Ready for the first sample.
    pub(super) fn new(rate: f64, channels: usize) -> Self {
        let channel = || Channel {
            at: 0,
            low_cut: Filter::high_pass(LOW_FROM_HZ, rate),
            low: Filter::low_pass(LOW_TO_HZ, rate),
            high: Filter::high_pass(HIGH_FROM_HZ, rate),
        };
        Self { rate, channels: (0..channels).map(|_| channel()).collect(), low: Vec::new(), high: Vec::new() }
    }

    /// Takes thinned samples of all channels.
    pub(super) fn push(&mut self, planes: &[Vec<f32>]) {
        let step = self.rate / HISTORY_STEPS;
        for (channel, plane) in self.channels.iter_mut().zip(planes) {
            for x in plane {
                let x = f64::from(*x);
                let low = channel.low.step(channel.low_cut.step(x));
                let high = channel.high.step(x);
                let place = whole((channel.at as f64 / step).floor());
                if self.low.len() <= place {
                    self.low.resize(place + 1, 0.0);
                    self.high.resize(place + 1, 0.0);
                }
                self.low[place] += low * low;
                self.high[place] += high * high;
                channel.at += 1;
            }
        }
    }

    /// Mean powers of the low sound and of what lies above it, every 125 ms; a last step that is not whole is left out.
    pub(super) fn finish(mut self) -> (Vec<f32>, Vec<f32>) {
        self.low.pop();
        self.high.pop();
        let count = self.rate / HISTORY_STEPS * self.channels.len().max(1) as f64;
        let mean = |sums: Vec<f64>| sums.into_iter().map(|sum| single(sum / count)).collect();
        (mean(self.low), mean(self.high))
    }
}
