//! Second-order filter sections in doubles: Butterworth band-pass, low-pass and high-pass, by the bilinear transform.
//!
//! Edges are pre-warped, so they lie where they are asked for. Domain 0 < edge < half the sample rate.
//! Checked: gains at the midband, at the edges and far away against the analogue formulas.

use std::f64::consts::{PI, TAU};

use realfft::num_complex::Complex;

/// One section, `y = b0·x + b1·x₁ + b2·x₂ − a1·y₁ − a2·y₂`, in the transposed form.
#[derive(Clone, Copy, Debug)]
struct Section {
    b: [f64; 3],
    a: [f64; 2],
    state: [f64; 2],
}

/// Sections one after another.
#[derive(Clone, Debug)]
pub(super) struct Filter {
    sections: Vec<Section>,
}

impl Section {
    fn new(b: [f64; 3], a: [f64; 2]) -> Self {
        Self { b, a, state: [0.0; 2] }
    }

    fn gain(&self, omega: f64) -> f64 {
        let z = Complex::from_polar(1.0, -omega);
        let up = z * z * self.b[2] + z * self.b[1] + self.b[0];
        let down = z * z * self.a[1] + z * self.a[0] + 1.0;
        (up / down).norm()
    }
}

impl Filter {
    /// A Butterworth band-pass of order four (eight poles) between two edges.
    pub(super) fn band_pass(lower_hz: f64, upper_hz: f64, rate: f64) -> Self {
        let warp = |hz: f64| 2.0 * rate * libm::tan(PI * hz / rate);
        let (low, high) = (warp(lower_hz), warp(upper_hz));
        let (middle, width) = (libm::sqrt(low * high), high - low);
        let omega = 2.0 * libm::atan(middle / (2.0 * rate));
        // Two of the four poles of the low-pass prototype; the others are their mirror images.
        let prototypes = [5.0 / 8.0, 7.0 / 8.0].map(|turn| Complex::from_polar(1.0, PI * turn));
        let poles = prototypes.into_iter().flat_map(|p| {
            let root = (p * p * width * width - 4.0 * middle * middle).sqrt();
            [(p * width + root) / 2.0, (p * width - root) / 2.0]
        });
        let sections = poles.map(|s| {
            let z = (s / (2.0 * rate) + 1.0) / (-s / (2.0 * rate) + 1.0);
            let mut section = Section::new([1.0, 0.0, -1.0], [-2.0 * z.re, z.norm_sqr()]);
            let gain = section.gain(omega);
            section.b = section.b.map(|b| b / gain);
            section
        });
        Self { sections: sections.collect() }
    }

    /// A Butterworth low-pass of order four.
    pub(super) fn low_pass(edge_hz: f64, rate: f64) -> Self {
        Self::pass(edge_hz, rate, [1.0, 2.0, 1.0], 0.0)
    }

    /// A Butterworth high-pass of order four.
    pub(super) fn high_pass(edge_hz: f64, rate: f64) -> Self {
        Self::pass(edge_hz, rate, [1.0, -2.0, 1.0], PI)
    }

    fn pass(edge_hz: f64, rate: f64, zeros: [f64; 3], flat_at: f64) -> Self {
        let edge = TAU * edge_hz / rate;
        // Damping of the two pairs of poles of a fourth-order Butterworth filter.
        let sections = [PI / 8.0, 3.0 * PI / 8.0].map(|angle| {
            let alpha = libm::sin(edge) * libm::cos(angle);
            let first = 1.0 + alpha;
            let a = [-2.0 * libm::cos(edge) / first, (1.0 - alpha) / first];
            let mut section = Section::new(zeros, a);
            let gain = section.gain(flat_at);
            section.b = section.b.map(|b| b / gain);
            section
        });
        Self { sections: sections.to_vec() }
    }

    /// The next sample.
    pub(super) fn step(&mut self, x: f64) -> f64 {
        let mut x = x;
        for section in &mut self.sections {
            let Section { b, a, state } = section;
            let y = b[0] * x + state[0];
            *state = [b[1] * x - a[0] * y + state[1], b[2] * x - a[1] * y];
            x = y;
        }
        x
    }

    /// Gain and feedback of each section of a band-pass.
    pub(super) fn band_sections(&self) -> impl Iterator<Item = (f64, [f64; 2])> {
        self.sections.iter().map(|section| (section.b[0], section.a))
    }

    /// The gain at a frequency.
    #[cfg(test)]
    fn gain(&self, hz: f64, rate: f64) -> f64 {
        self.sections.iter().map(|section| section.gain(TAU * hz / rate)).product()
    }
}

#[cfg(test)]
mod tests {
    use super::Filter;
    use std::f64::consts::{FRAC_1_SQRT_2, PI};

    /// Coefficients are doubles; poles lie close to the unit circle.
    const ROUNDING: f64 = 1e-6;

    #[test]
    fn a_band_pass_is_flat_in_the_middle_and_half_at_the_edges() {
        for (low, high, rate) in [(88.4, 177.8, 48_000.0), (2818.4, 5623.4, 12_000.0), (707.1, 1414.2, 8000.0)] {
            let filter = Filter::band_pass(low, high, rate);
            assert!((filter.gain(low, rate) - FRAC_1_SQRT_2).abs() < ROUNDING);
            assert!((filter.gain(high, rate) - FRAC_1_SQRT_2).abs() < ROUNDING);
            // One octave beyond the upper edge in warped frequency: 1/√(1+Ω⁸).
            let warp = |hz: f64| (PI * hz / rate).tan();
            let far = (high * 2.0).min(0.45 * rate);
            let omega = (warp(far).powi(2) - warp(low) * warp(high)) / (warp(far) * (warp(high) - warp(low)));
            let expect = 1.0 / (1.0 + omega.powi(8)).sqrt();
            assert!((filter.gain(far, rate) / expect - 1.0).abs() < ROUNDING);
        }
    }

    #[test]
    fn low_and_high_pass_are_half_at_the_edge() {
        for (filter, flat) in [(Filter::low_pass(71.0, 1500.0), 1.0), (Filter::high_pass(224.0, 1500.0), 740.0)] {
            let edge = if flat < 10.0 { 71.0 } else { 224.0 };
            assert!((filter.gain(edge, 1500.0) - FRAC_1_SQRT_2).abs() < ROUNDING);
            assert!((filter.gain(flat, 1500.0) - 1.0).abs() < 1e-3);
        }
    }

    #[test]
    fn stepping_gives_the_gain_that_the_formula_gives() {
        let rate = 8000.0;
        let mut filter = Filter::band_pass(707.1, 1414.2, rate);
        let expect = filter.gain(1200.0, rate).powi(2) / 2.0;
        let power: f64 = (0..8000)
            .map(|i| filter.step((2.0 * PI * 1200.0 * f64::from(i) / rate).sin()))
            .skip(4000)
            .map(|y| y * y)
            .sum::<f64>()
            / 4000.0;
        assert!((power / expect - 1.0).abs() < 1e-3);
    }
}
