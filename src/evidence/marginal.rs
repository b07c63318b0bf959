//! What is believed of one number alone, without taking it for normal: Laplace's approximation once for each of its values.
//!
//! For a value `x` of the number the density of all the others is taken as normal around its own top, so that
//!
//! ```text
//! ln p(x) = ln f(x, θ̂(x)) − ½ ln |H(x)| + constant
//! ```
//!
//! with `θ̂(x)` the top of the others and `H(x)` the curve there [TIERNEY1986]. It is done at a few values, outwards from the top until the
//! density has fallen to a thousandth, and `ln p + z²/2` is drawn straight between them. The long tail where all went well, and
//! the mean that lies off the top, come out of it. Domain: a number with a positive variance; else a point.

use super::model::Data;
use super::solve::{Curve, Fit, cholesky, density};

/// Steps outwards, in standard deviations at the top.
const STEP: f64 = 0.8;
/// And how many at most on either side.
const STEPS: usize = 10;
/// The logarithm by which the density falls before it is left.
const FALLEN: f64 = 7.0;
/// Rounds that bring the others to their top; they begin beside it.
const ROUNDS: usize = 2;
/// Pieces of the line between two values.
const PIECES: usize = 12;

/// The distribution of one number under one shape.
#[derive(Clone, Debug)]
pub(super) struct Marginal {
    /// Its share of the density, against Laplace's own.
    pub(super) mass: f64,
    /// Values, rising, with the chance up to each.
    up_to: Vec<(f64, f64)>,
    /// Mean and variance.
    pub(super) mean: f64,
    pub(super) variance: f64,
}

impl Marginal {
    /// Of the number at a place.
    pub(super) fn new(data: &Data<'_>, fit: &Fit, at: usize) -> Self {
        let size = fit.mean.len();
        let variance = fit.covariance[at * size + at];
        if !(variance > 0.0 && variance.is_finite()) {
            let top = fit.mean[at];
            return Self { mass: 1.0, up_to: vec![(top, 1.0)], mean: top, variance: 0.0 };
        }
        let sd = variance.sqrt();
        // How the others move with it.
        let along: Vec<f64> = (0..size).map(|other| fit.covariance[other * size + at] / sd).collect();
        let Some(top) = conditional(data, fit, at, fit.mean.clone()) else { return Self::normal(fit.mean[at], sd) };
        let mut known = vec![(0.0, 0.0)];
        for side in [1.0, -1.0] {
            let mut point = top.1.clone();
            for number in 1..=STEPS {
                point.iter_mut().zip(&along).for_each(|(x, by)| *x += side * STEP * by);
                point[at] = fit.mean[at] + side * STEP * number as f64 * sd;
                let Some((value, there)) = conditional(data, fit, at, point) else { break };
                point = there;
                known.push((side * STEP * number as f64, value - top.0));
                if value - top.0 < -FALLEN {
                    break;
                }
            }
        }
        known.sort_by(|a, b| a.0.total_cmp(&b.0));
        Self::through(&known, fit.mean[at], sd)
    }

    fn normal(mean: f64, sd: f64) -> Self {
        let known: Vec<(f64, f64)> = (-5..=5).map(|z| (f64::from(z), -0.5 * f64::from(z * z))).collect();
        Self::through(&known, mean, sd)
    }

    /// Through logarithms of the density at some `z`.
    fn through(known: &[(f64, f64)], top: f64, sd: f64) -> Self {
        let bent = |(z, log): (f64, f64)| log + 0.5 * z * z;
        let mut lines: Vec<(f64, f64)> = Vec::new();
        for pair in known.windows(2) {
            let ((a, _), (b, _)) = (pair[0], pair[1]);
            for piece in 0..PIECES {
                let share = (piece as f64 + 0.5) / PIECES as f64;
                let z = a + share * (b - a);
                let log = bent(pair[0]) + share * (bent(pair[1]) - bent(pair[0])) - 0.5 * z * z;
                lines.push((z, libm::exp(log) * (b - a) / PIECES as f64));
            }
        }
        let sum: f64 = lines.iter().map(|(_, weight)| weight).sum();
        let mean: f64 = lines.iter().map(|(z, weight)| z * weight).sum::<f64>() / sum;
        let variance = lines.iter().map(|(z, weight)| (z - mean).powi(2) * weight).sum::<f64>() / sum;
        let mut chance = 0.0;
        let up_to = lines.iter().map(|(z, weight)| {
            // The chance up to the middle of a piece.
            let here = chance + 0.5 * weight / sum;
            chance += weight / sum;
            (top + z * sd, here)
        });
        Self {
            up_to: up_to.collect(),
            mass: sum / (2.0 * std::f64::consts::PI).sqrt(),
            mean: top + sd * mean,
            variance: sd * sd * variance,
        }
    }

    /// The chance of a value below `x`.
    pub(super) fn below(&self, x: f64) -> f64 {
        let place = self.up_to.partition_point(|(value, _)| *value < x);
        let after = self.up_to.get(place);
        match (place.checked_sub(1).and_then(|before| self.up_to.get(before)), after) {
            (Some((a, below)), Some((b, above))) => below + (above - below) * (x - a) / (b - a),
            (None, _) => 0.0,
            (_, None) => 1.0,
        }
    }

    /// The values between which all of it lies.
    pub(super) fn ends(&self) -> (f64, f64) {
        let end = |one: Option<&(f64, f64)>| one.map_or(self.mean, |(value, _)| *value);
        (end(self.up_to.first()), end(self.up_to.last()))
    }
}

/// The others at their top for a value of the number at a place: `ln f − ½ ln |H|` and where that is.
fn conditional(data: &Data<'_>, fit: &Fit, at: usize, mut point: Vec<f64>) -> Option<(f64, Vec<f64>)> {
    let size = point.len();
    let without = |mut curve: Vec<f64>| {
        (0..size).for_each(|other| curve[at.max(other) * size + at.min(other)] = 0.0);
        curve[at * size + at] = 1.0;
        cholesky(curve, size)
    };
    let curved = |point: &[f64]| {
        let (value, mut slope, curve) = density(data, fit.shape, point, Curve::Observed);
        slope[at] = 0.0;
        // Where it is not a hill: by the expected curve.
        let factor = without(curve).or_else(|| without(density(data, fit.shape, point, Curve::Fisher).2));
        factor.map(|factor| (value, slope, factor))
    };
    let (mut value, mut slope, mut factor) = curved(&point)?;
    for _ in 0..ROUNDS {
        let step = factor.solve(&slope);
        let gain: f64 = step.iter().zip(&slope).map(|(step, slope)| step * slope).sum();
        if gain < 1e-4 {
            break;
        }
        let next: Vec<f64> = point.iter().zip(&step).map(|(x, step)| x + step).collect();
        let found = curved(&next)?;
        if found.0 <= value {
            break;
        }
        point = next;
        (value, slope, factor) = found;
    }
    let log = factor.half_log();
    (value.is_finite() && log.is_finite()).then_some((value - log, point))
}
