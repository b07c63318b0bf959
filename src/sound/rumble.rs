//! The low sound and what lies above it, every 125 ms, for the doubts about handling and wind.
//!
//! The signal is thinned to about 1500 Hz by means of neighbouring samples, then filtered: low 15 to 71 Hz (the thirds
//! up to 63 Hz), high from 224 Hz up to what the thinning leaves. Good to a few tenths of a decibel, which is all that
//! doubts need; no level is taken from it.

use super::ballistics::HISTORY_STEPS;
use super::biquad::Filter;
use super::num::{single, whole};

/// About how many samples a second are left.
const THINNED_HZ: f64 = 1500.0;
/// The lower edge of the low sound, Hz: below it no room speaks.
const LOW_FROM_HZ: f64 = 15.0;
/// The upper edge of the low sound, Hz.
const LOW_TO_HZ: f64 = 71.0;
/// The lower edge of the sound above, Hz.
const HIGH_FROM_HZ: f64 = 224.0;

/// Follows the low sound.
pub(super) struct Rumble {
    thin: usize,
    rate: f64,
    channels: Vec<Channel>,
    low: Vec<f64>,
    high: Vec<f64>,
}

struct Channel {
    sum: f32,
    count: usize,
    at: usize,
    low_cut: Filter,
    low: Filter,
    high: Filter,
    first: Option<f64>,
}

impl Rumble {
    /// Ready for the first sample.
    pub(super) fn new(sample_rate_hz: f64, channels: usize) -> Self {
        let thin = whole((sample_rate_hz / THINNED_HZ).floor()).max(1);
        let rate = sample_rate_hz / thin as f64;
        let channel = || Channel {
            sum: 0.0,
            count: 0,
            at: 0,
            low_cut: Filter::high_pass(LOW_FROM_HZ, rate),
            low: Filter::low_pass(LOW_TO_HZ, rate),
            high: Filter::high_pass(HIGH_FROM_HZ, rate),
            first: None,
        };
        Self { thin, rate, channels: (0..channels).map(|_| channel()).collect(), low: Vec::new(), high: Vec::new() }
    }

    /// Takes samples of all channels.
    pub(super) fn push(&mut self, planes: &[Vec<f32>]) {
        let step = self.rate / HISTORY_STEPS;
        for (channel, plane) in self.channels.iter_mut().zip(planes) {
            let mut rest = plane.as_slice();
            while !rest.is_empty() {
                let (now, later) = rest.split_at(rest.len().min(self.thin - channel.count));
                channel.sum += now.iter().sum::<f32>();
                channel.count += now.len();
                rest = later;
                if channel.count < self.thin {
                    continue;
                }
                let x = f64::from(channel.sum) / self.thin as f64;
                let x = x - *channel.first.get_or_insert(x);
                let low = channel.low.step(channel.low_cut.step(x));
                let high = channel.high.step(x);
                let place = whole((channel.at as f64 / step).floor());
                if self.low.len() <= place {
                    self.low.resize(place + 1, 0.0);
                    self.high.resize(place + 1, 0.0);
                }
                self.low[place] += low * low;
                self.high[place] += high * high;
                (channel.sum, channel.count, channel.at) = (0.0, 0, channel.at + 1);
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
