//! The bands below 200 Hz, through filters: they are so narrow that a short recording would smear in a spectrum.
//!
//! Each is a Butterworth band-pass of order four, the same shape as [`Band::weight`], run over the thinned recording
//! from rest. The level is the mean square of what comes out while the recording lasts, as a meter would show it.
//! Checked: class-1 limits by tones; oracle recordings of noise.

use super::bands::Band;
use super::stepped::{Grid, Stepped};

/// Bands with a nominal midband up to here are filtered, Hz.
pub(super) const HIGHEST_HZ: f64 = 160.0;

/// Filters the low bands of all channels.
pub(super) struct LowBands {
    bands: Vec<Band>,
    channels: Vec<Stepped<f64>>,
    count: usize,
    steps: Option<Grid>,
}

/// What the low bands came to: mean squares, meant over the channels.
pub(super) struct Low {
    /// Each band over the whole recording, thirds first.
    pub bands: Vec<(Band, f64)>,
    /// The same in every 125 ms, if it was asked for.
    pub steps: Option<Grid>,
}

impl LowBands {
    /// Ready for the first thinned sample of a recording at a sample rate.
    pub(super) fn new(sample_rate_hz: f64, thinned_hz: f64, channels: usize, keeps_steps: bool) -> Self {
        let bands: Vec<Band> = Band::thirds()
            .chain(Band::octaves())
            .filter(|band| band.nominal_hz <= HIGHEST_HZ && band.within(sample_rate_hz))
            .collect();
        let edges: Vec<(f64, f64)> = bands.iter().map(Band::edges_hz).collect();
        let steps = keeps_steps.then(|| Grid::new(bands.len()));
        Self { bands, channels: vec![Stepped::new(&edges, thinned_hz); channels], count: 0, steps }
    }

    /// Takes thinned samples of all channels.
    pub(super) fn push(&mut self, planes: &[Vec<f32>]) {
        self.count += planes.first().map_or(0, Vec::len);
        let share = 1.0 / self.channels.len().max(1) as f64;
        for (channel, plane) in self.channels.iter_mut().zip(planes) {
            channel.push(plane, share, self.steps.as_mut(), 0);
        }
    }

    /// The mean square of each low band.
    pub(super) fn finish(self) -> Low {
        let count = (self.count.max(1) * self.channels.len().max(1)) as f64;
        let mut squares = vec![0.0; self.bands.len()];
        for channel in self.channels {
            for (square, energy) in squares.iter_mut().zip(channel.finish()) {
                *square += energy / count;
            }
        }
        Low { bands: self.bands.into_iter().zip(squares).collect(), steps: self.steps }
    }
}
