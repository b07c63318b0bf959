//! The frequency weightings A and C of IEC 61672-1, by their analytic form.
//!
//! `R_A(f) = f4²f⁴ / ((f²+f1²)·√((f²+f2²)(f²+f3²))·(f²+f4²))`, `R_C(f) = f4²f² / ((f²+f1²)(f²+f4²))`, each
//! divided by its value at 1 kHz. Domain f ≥ 0 Hz; at 0 Hz the weight is 0. [IEC61672], poles from memory.
//! Checked: the table of the standard (tests/oracle/sound/weights.csv) to its last printed decimal.

use realfft::num_complex::Complex;
use std::f64::consts::TAU;

/// Pole f1, Hz, double in A and C. [IEC61672]
const F1: f64 = 20.598_997;
/// Pole f2, Hz, A only. [IEC61672]
const F2: f64 = 107.652_65;
/// Pole f3, Hz, A only. [IEC61672]
const F3: f64 = 737.862_23;
/// Pole f4, Hz, double in A and C. [IEC61672]
const F4: f64 = 12_194.217;
/// Where both weights are 0 dB.
const REFERENCE_HZ: f64 = 1000.0;

/// The power weight of A at `hz`: what a power there is multiplied by.
pub fn a_power(hz: f64) -> f64 {
    let weight = unscaled_a(hz) / unscaled_a(REFERENCE_HZ);
    weight * weight
}

/// The power weight of C at `hz`.
pub fn c_power(hz: f64) -> f64 {
    let weight = unscaled_c(hz) / unscaled_c(REFERENCE_HZ);
    weight * weight
}

/// The complex response of the analogue A weighting at `hz` (its phase is that of the real poles).
pub(super) fn a_response(hz: f64) -> Complex<f64> {
    let s = Complex::new(0.0, TAU * hz);
    let pole = |f: f64| s + TAU * f;
    let down = pole(F1) * pole(F1) * pole(F2) * pole(F3) * pole(F4) * pole(F4);
    let gain = TAU * TAU * F4 * F4 / unscaled_a(REFERENCE_HZ);
    s * s * s * s * gain / down
}

fn unscaled_a(hz: f64) -> f64 {
    let f2 = hz * hz;
    F4 * F4 * f2 * f2 / ((f2 + F1 * F1) * libm::sqrt((f2 + F2 * F2) * (f2 + F3 * F3)) * (f2 + F4 * F4))
}

fn unscaled_c(hz: f64) -> f64 {
    let f2 = hz * hz;
    F4 * F4 * f2 / ((f2 + F1 * F1) * (f2 + F4 * F4))
}

#[cfg(test)]
mod tests {
    use super::{a_power, a_response, c_power};

    /// Two ways to the same number in doubles.
    const ROUNDING: f64 = 1e-12;

    #[test]
    fn both_weights_are_one_at_a_kilohertz_and_nothing_at_zero() {
        assert!((a_power(1000.0) - 1.0).abs() < ROUNDING && (c_power(1000.0) - 1.0).abs() < ROUNDING);
        assert!(a_power(0.0).abs() < ROUNDING && c_power(0.0).abs() < ROUNDING);
    }

    #[test]
    fn the_complex_response_has_the_size_of_the_weight() {
        for hz in [1.0, 25.0, 100.0, 1000.0, 4000.0, 16_000.0, 100_000.0] {
            assert!((a_response(hz).norm_sqr() / a_power(hz) - 1.0).abs() < ROUNDING, "{hz}");
        }
    }
}
