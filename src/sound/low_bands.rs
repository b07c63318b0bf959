//! The bands below 200 Hz, through filters: they are so narrow that a short recording would smear in a spectrum.
//!
//! Each is a Butterworth band-pass of order four, the same shape as [`Band::weight`], run over the thinned recording
//! from rest. The level is the mean square of what comes out while the recording lasts, as a meter would show it.
//! Checked: class-1 limits by tones; oracle recordings of noise.

use super::bands::Band;
use super::biquad::Filter;

/// Bands with a nominal midband up to here are filtered, Hz.
const HIGHEST_HZ: f64 = 160.0;

/// Filters the low bands of all channels.
pub(super) struct LowBands {
    bands: Vec<LowBand>,
    channels: usize,
    count: usize,
}

struct LowBand {
    band: Band,
    filters: Vec<Filter>,
    energy: f64,
}

impl LowBands {
    /// Ready for the first thinned sample of a recording at a sample rate.
    pub(super) fn new(sample_rate_hz: f64, thinned_hz: f64, channels: usize) -> Self {
        let bands = Band::thirds()
            .chain(Band::octaves())
            .filter(|band| band.nominal_hz <= HIGHEST_HZ && band.within(sample_rate_hz))
            .map(|band| {
                let filter = Filter::band_pass(band.lower_hz(), band.upper_hz(), thinned_hz);
                LowBand { band, filters: vec![filter; channels], energy: 0.0 }
            });
        Self { bands: bands.collect(), channels, count: 0 }
    }

    /// Takes thinned samples of all channels.
    pub(super) fn push(&mut self, planes: &[Vec<f32>]) {
        self.count += planes.first().map_or(0, Vec::len);
        for low in &mut self.bands {
            for (filter, plane) in low.filters.iter_mut().zip(planes) {
                low.energy += filter.energy(plane);
            }
        }
    }

    /// The mean square of each low band, meant over the channels.
    pub(super) fn finish(self) -> Vec<(Band, f64)> {
        let count = (self.count.max(1) * self.channels.max(1)) as f64;
        self.bands.into_iter().map(|low| (low.band, low.energy / count)).collect()
    }
}
