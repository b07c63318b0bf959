//! The level of every third octave in every 125 ms, 25 Hz to 16 kHz.
//!
//! Butterworth band-passes of order four, as a meter of class 1 has them, over the recording at the lowest of its halved
//! rates that holds the band: where the upper edge lies at or below 0.325 of the rate. The rate is halved by [`Halver`],
//! without delay. The bands up to 160 Hz come from the filters of [`super::low_bands`]. Filters start from rest, so a low
//! band needs its first steps to fill; what each let through in a step is meant over the channels.
//! A constant is taken out, known from the first 8192 samples (or a shorter recording), lest its start sound like a click.
//! The work is done on a thread of its own where there are threads. Checked: class-1 limits by tones in every band at 48,
//! 44.1 and 16 kHz; reference levels of noise step by step; the energy mean of all steps against the band's level.
//! [IEC61260]

use std::sync::mpsc::{SyncSender, sync_channel};
use std::thread::{Builder, Scope, ScopedJoinHandle};

use super::bands::Band;
use super::halver::Halver;
use super::low_bands::HIGHEST_HZ;
use super::num::{single, whole};
use super::stepped::{Grid, Stepped};

/// The highest upper edge of a band at a halved rate, as a share of that rate.
const HIGHEST_EDGE: f64 = 0.325;
/// Samples that the constant is known from.
const SETTLING: usize = 8192;
/// Blocks on their way to the thread.
const ON_THE_WAY: usize = 8;
/// Below this mean square there is nothing (and no logarithm): −200 dB.
const LEAST: f32 = 1e-20;

/// The level of every third in every 125 ms.
#[derive(Clone, Debug, PartialEq)]
pub struct BandHistory {
    /// Nominal midbands, Hz, rising.
    pub hz: Vec<f64>,
    /// Unweighted equivalent levels: the bands of the first 125 ms, then those of the next.
    pub levels_db: Vec<f32>,
}

impl BandHistory {
    /// The bands of each 125 ms, one after another.
    pub fn steps(&self) -> impl ExactSizeIterator<Item = &[f32]> {
        self.levels_db.chunks_exact(self.hz.len().max(1))
    }

    /// Puts low and high bands together, for as many steps as are whole.
    pub(super) fn of(low: &[Band], low_steps: &Grid, high: &HighSteps, steps: usize, shift: f64) -> Self {
        let (high, high_steps) = (&high.bands, &high.grid);
        let level = |square: f32| 10.0 * square.max(LEAST).log10() + single(shift);
        let mut levels_db = Vec::with_capacity(steps * (low.len() + high.len()));
        for step in 0..steps {
            let lows = low_steps.row(step).iter().take(low.len());
            levels_db.extend(lows.chain(high_steps.row(step)).map(|square| level(*square)));
        }
        let hz = low.iter().chain(high).map(|band| band.nominal_hz).collect();
        Self { hz, levels_db }
    }
}

/// What the bands above 160 Hz came to, step by step.
pub(super) struct HighSteps {
    bands: Vec<Band>,
    grid: Grid,
}

/// The filters for the bands above 160 Hz.
struct HighBands {
    bands: Vec<Band>,
    channels: Vec<Channel>,
    held: Vec<Vec<f32>>,
    means: Option<Vec<f32>>,
    grid: Grid,
}

#[derive(Clone)]
struct Channel {
    floors: Vec<Floor>,
    buffers: [Vec<f32>; 2],
}

/// One rate: the bands that are taken from it, and the way down to half of it.
#[derive(Clone)]
struct Floor {
    column: usize,
    filters: Stepped<f32>,
    halver: Halver,
}

impl HighBands {
    fn new(rate: f64, channels: usize) -> Self {
        let bands: Vec<Band> =
            Band::thirds().filter(|band| band.nominal_hz > HIGHEST_HZ && band.within(rate)).collect();
        let floor_of = |band: &Band| {
            (0..).take_while(|floor| band.upper_hz() <= HIGHEST_EDGE * rate * libm::exp2(-f64::from(*floor))).last()
        };
        let lowest = bands.first().and_then(floor_of).unwrap_or(0);
        let floors = (0..=lowest).map(|floor| {
            let here = |band: &&Band| floor_of(band).unwrap_or(0) == floor;
            let edges: Vec<(f64, f64)> = bands.iter().filter(here).map(Band::edges_hz).collect();
            Floor {
                column: bands.iter().position(|band| here(&band)).unwrap_or(0),
                filters: Stepped::new(&edges, rate * libm::exp2(-f64::from(floor))),
                halver: Halver::new(),
            }
        });
        let channel = Channel { floors: floors.collect(), buffers: Default::default() };
        Self {
            grid: Grid::new(bands.len()),
            channels: vec![channel; channels],
            held: vec![Vec::new(); channels],
            means: None,
            bands,
        }
    }

    fn push(&mut self, planes: Vec<Vec<f32>>) {
        if self.means.is_some() {
            self.run(planes, false);
            return;
        }
        for (held, plane) in self.held.iter_mut().zip(planes) {
            held.extend(plane);
        }
        if self.held.first().is_some_and(|held| held.len() >= SETTLING) {
            self.settle(false);
        }
    }

    fn finish(mut self) -> HighSteps {
        if self.means.is_none() {
            self.settle(true);
        } else {
            self.run(vec![Vec::new(); self.channels.len()], true);
        }
        HighSteps { bands: self.bands, grid: self.grid }
    }

    fn settle(&mut self, last: bool) {
        let mean = |held: &Vec<f32>| held.iter().map(|x| f64::from(*x)).sum::<f64>() / held.len().max(1) as f64;
        self.means = Some(self.held.iter().map(|held| single(mean(held))).collect());
        let held = std::mem::take(&mut self.held);
        self.run(held, last);
    }

    fn run(&mut self, planes: Vec<Vec<f32>>, last: bool) {
        let share = 1.0 / self.channels.len().max(1) as f64;
        for ((channel, mut plane), mean) in self.channels.iter_mut().zip(planes).zip(self.means.iter().flatten()) {
            plane.iter_mut().for_each(|x| *x -= mean);
            channel.run(&plane, last, share, &mut self.grid);
        }
    }
}

impl Channel {
    /// Down the floors: each filters what it is given and hands half as many samples on.
    fn run(&mut self, samples: &[f32], last: bool, share: f64, grid: &mut Grid) {
        let Self { floors, buffers: [now, next] } = self;
        now.clear();
        now.extend_from_slice(samples);
        let count = floors.len();
        for (place, floor) in floors.iter_mut().enumerate() {
            floor.filters.push(now, share, Some(grid), floor.column);
            if place + 1 < count {
                floor.halver.push(now, next);
                if last {
                    floor.halver.finish(now);
                    next.append(now);
                }
                std::mem::swap(now, next);
            }
        }
    }
}

/// The high bands on a thread of their own, or here where there is none to be had.
pub(super) enum Beside<'scope> {
    Thread { to: SyncSender<Vec<Vec<f32>>>, thread: ScopedJoinHandle<'scope, HighSteps> },
    Here(Box<Here>),
}

/// The high bands without a thread.
pub(super) struct Here(HighBands);

impl<'scope> Beside<'scope> {
    /// Ready for the first sample.
    pub(super) fn start(scope: &'scope Scope<'scope, '_>, rate: f64, channels: usize) -> Self {
        let (to, from) = sync_channel(ON_THE_WAY);
        let work = move || {
            let mut bands = HighBands::new(rate, channels);
            while let Ok(planes) = from.recv() {
                bands.push(planes);
            }
            bands.finish()
        };
        Builder::new().spawn_scoped(scope, work).map_or_else(
            |_| Self::Here(Box::new(Here(HighBands::new(rate, channels)))),
            |thread| Self::Thread { to, thread },
        )
    }

    /// Takes samples of all channels.
    pub(super) fn push(&mut self, planes: Vec<Vec<f32>>) {
        match self {
            // A thread that is gone has panicked; joining it says so.
            Self::Thread { to, .. } => drop(to.send(planes)),
            Self::Here(here) => here.0.push(planes),
        }
    }

    /// All that came through.
    pub(super) fn finish(self) -> HighSteps {
        match self {
            Self::Thread { to, thread } => {
                drop(to);
                thread.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic))
            }
            Self::Here(here) => here.0.finish(),
        }
    }
}

/// How many whole steps so many samples hold.
pub(super) fn whole_steps(frames: u64, rate: f64) -> usize {
    let steps = whole(frames as f64 / rate * super::ballistics::HISTORY_STEPS);
    let end = |steps: usize| whole(steps as f64 * rate / super::ballistics::HISTORY_STEPS);
    if end(steps) as u64 <= frames { steps } else { steps - 1 }
}

#[cfg(test)]
mod tests {
    use super::{HighBands, whole_steps};
    use crate::sound::num::single;
    use std::f64::consts::TAU;

    #[test]
    fn every_band_has_its_floor_and_every_step_its_levels_at_any_rate() {
        for rate in [4000.0, 8000.0, 11_025.0, 16_000.0, 22_050.0, 44_100.0, 48_000.0, 96_000.0, 192_000.0, 384_000.0] {
            for frames in [1, 511, 5000, 8191, 8193, 20_001] {
                let mut bands = HighBands::new(rate, 1);
                let samples: Vec<f32> = (0..frames).map(|i| single((TAU * 0.07 * f64::from(i)).sin())).collect();
                for part in samples.chunks(1000) {
                    bands.push(vec![part.to_vec()]);
                }
                let steps = whole_steps(samples.len() as u64, rate);
                let found = bands.finish();
                for step in 0..steps {
                    let row = found.grid.row(step);
                    assert_eq!(row.len(), found.bands.len());
                    assert!(row.iter().all(|square| *square > 0.0), "{rate}: step {step} of {steps}: {row:?}");
                }
            }
        }
    }
}
