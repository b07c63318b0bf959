//! Four band-pass filters side by side, one a lane, so that the processor runs them at once.
//!
//! Each lane is a Butterworth band-pass of order four as [`Filter::band_pass`] gives it: four sections with zeros at 0 Hz
//! and at half the rate, `y = x + s₀; s₀ ← s₁ − a₁·y; s₁ ← −x − a₂·y`. The sections run without their gains; the product
//! of the gains is put on the energy. Sums of squares are kept in singles for at most [`AT_ONCE`] samples, then in doubles.
//! States that have died away are set to nothing, because numbers near the smallest are a hundred times slower.
//! Error in singles: about −120 dB of the loudest input. Checked: against the same filters one by one.

use std::ops::{Add, Mul, Sub};

use super::biquad::Filter;
use super::num::single;

/// Filters side by side.
pub(super) const LANES: usize = 4;
/// Sections of a band-pass.
const SECTIONS: usize = 4;
/// Samples between two looks at what has died away.
const AT_ONCE: usize = 512;
/// Below this a state has died away: 400 dB under full scale.
const NOTHING: f64 = 1e-20;

/// A single or a double.
pub(super) trait Real:
    Copy + Default + Add<Output = Self> + Sub<Output = Self> + Mul<Output = Self> + From<f32> + Into<f64>
{
    /// The nearest to a double.
    fn of(x: f64) -> Self;
}

impl Real for f32 {
    fn of(x: f64) -> Self {
        single(x)
    }
}

impl Real for f64 {
    fn of(x: f64) -> Self {
        x
    }
}

/// Up to four band-passes over the same samples.
#[derive(Clone, Debug)]
pub(super) struct Lanes<T> {
    a1: [[T; LANES]; SECTIONS],
    a2: [[T; LANES]; SECTIONS],
    state: [[[T; LANES]; 2]; SECTIONS],
    power_gain: [f64; LANES],
}

impl<T: Real> Lanes<T> {
    /// The filters of up to four bands, each by its edges; a lane that is not used gives no energy.
    pub(super) fn new(edges_hz: &[(f64, f64)], rate: f64) -> Self {
        let mut new = Self {
            a1: Default::default(),
            a2: Default::default(),
            state: Default::default(),
            power_gain: [0.0; LANES],
        };
        for (lane, (lower, upper)) in edges_hz.iter().take(LANES).enumerate() {
            let mut gain = 1.0;
            for (section, (b0, a)) in Filter::band_pass(*lower, *upper, rate).band_sections().enumerate() {
                gain *= b0;
                (new.a1[section][lane], new.a2[section][lane]) = (T::of(a[0]), T::of(a[1]));
            }
            new.power_gain[lane] = gain * gain;
        }
        new
    }

    /// The energy that comes out of each lane for these samples.
    pub(super) fn energy(&mut self, samples: &[f32]) -> [f64; LANES] {
        let mut energy = [0.0; LANES];
        for part in samples.chunks(AT_ONCE) {
            let sums = self.run(part);
            for lane in 0..LANES {
                energy[lane] += sums[lane].into() * self.power_gain[lane];
            }
            self.let_die();
        }
        energy
    }

    fn run(&mut self, samples: &[f32]) -> [T; LANES] {
        let (a1, a2) = (self.a1, self.a2);
        let mut state = self.state;
        let mut sums = [T::default(); LANES];
        for x in samples {
            let mut x = [T::from(*x); LANES];
            for section in 0..SECTIONS {
                let [s0, s1] = &mut state[section];
                let mut y = [T::default(); LANES];
                for lane in 0..LANES {
                    y[lane] = x[lane] + s0[lane];
                }
                for lane in 0..LANES {
                    s0[lane] = s1[lane] - a1[section][lane] * y[lane];
                }
                for lane in 0..LANES {
                    s1[lane] = T::default() - (x[lane] + a2[section][lane] * y[lane]);
                }
                x = y;
            }
            for lane in 0..LANES {
                sums[lane] = sums[lane] + x[lane] * x[lane];
            }
        }
        self.state = state;
        sums
    }

    fn let_die(&mut self) {
        for value in self.state.as_flattened_mut().as_flattened_mut() {
            if Into::<f64>::into(*value).abs() < NOTHING {
                *value = T::default();
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Lanes;
    use crate::sound::biquad::Filter;
    use crate::sound::num::single;

    /// Singles against doubles, over sums of squares.
    const SINGLES: f64 = 1e-4;
    /// Doubles in another order.
    const DOUBLES: f64 = 1e-9;

    #[test]
    fn lanes_give_what_each_filter_alone_gives() {
        let rate = 12_000.0;
        let edges = [(1778.3, 2238.7), (2238.7, 2818.4), (2818.4, 3548.1)];
        let mut state = 1u32;
        let samples: Vec<f32> = (0..5000)
            .map(|_| {
                state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                single(f64::from(state >> 8) / f64::from(1 << 23) - 1.0)
            })
            .collect();
        let (mut singles, mut doubles) = (Lanes::<f32>::new(&edges, rate), Lanes::<f64>::new(&edges, rate));
        let (mut found_32, mut found_64) = ([0.0; 4], [0.0; 4]);
        for part in samples.chunks(777) {
            for (sum, add) in found_32.iter_mut().zip(singles.energy(part)) {
                *sum += add;
            }
            for (sum, add) in found_64.iter_mut().zip(doubles.energy(part)) {
                *sum += add;
            }
        }
        for (lane, (low, high)) in edges.into_iter().enumerate() {
            let mut filter = Filter::band_pass(low, high, rate);
            let expect: f64 = samples.iter().map(|x| filter.step(f64::from(*x)).powi(2)).sum();
            assert!((found_64[lane] / expect - 1.0).abs() < DOUBLES);
            assert!((found_32[lane] / expect - 1.0).abs() < SINGLES);
        }
        assert!(found_32[3].abs() < f64::EPSILON);
    }

    #[test]
    fn after_a_sound_silence_is_nothing_at_all() {
        let mut lanes = Lanes::<f32>::new(&[(178.0, 224.0)], 1500.0);
        lanes.energy(&[1.0; 100]);
        lanes.energy(&[0.0; 20_000]);
        assert!(lanes.state.as_flattened().as_flattened().iter().all(|x| x.to_bits() == 0));
    }
}
