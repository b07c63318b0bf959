//! The most probable point of the model and the curve around it: Laplace's approximation.
//!
//! Newton's method on the log density with Fisher's information as the curve (never indefinite) and a halved step where
//! the density would fall. Around the top the density is taken as normal with the observed curve, or Fisher's where
//! that one is not positive; its logarithmic mass `ln f + (d/2) ln 2π − ½ ln |H|` weighs the shapes against each other.
//! Error against long chains of an independent sampler: see the module's head.

use super::model::{Data, Shape, alone};

/// Rounds of Newton's method; it has come to rest long before.
const ROUNDS: usize = 60;
/// At rest when no step would gain more than this.
const AT_REST: f64 = 1e-10;
/// Halvings of a step.
const HALVINGS: usize = 30;

/// One shape's answer.
#[derive(Clone, Debug)]
pub(super) struct Fit {
    pub(super) shape: Shape,
    /// The most probable point.
    pub(super) mean: Vec<f64>,
    /// The covariance around it, row by row.
    pub(super) covariance: Vec<f64>,
    /// Logarithm of the density's mass.
    pub(super) mass: f64,
}

/// Which curve to take.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum Curve {
    Fisher,
    Observed,
}

/// Value, slope and curve (negative second derivative, lower triangle) of the log density.
pub(super) fn density(data: &Data<'_>, shape: Shape, point: &[f64], kind: Curve) -> (f64, Vec<f64>, Vec<f64>) {
    let size = point.len();
    let (mut slope, mut curve) = (vec![0.0; size], vec![0.0; size * size]);
    let mut value = data.prior(shape, point, &mut slope, &mut curve);
    let mut touched: Vec<(usize, f64)> = Vec::new();
    for cell in &data.cells {
        let (strain, parts) = data.strain(cell.rung, cell.stretch, point);
        let (p, logistic) = alone(strain, shape.spread);
        let tiny = f64::MIN_POSITIVE;
        value += cell.alone * libm::log(p.max(tiny)) + cell.other * libm::log1p(-p);
        let trials = cell.alone + cell.other;
        let rest = 1.0 - logistic;
        // With η = (1 − X)/s: d ln f/dη, and its expected or observed second derivative.
        let first = cell.alone * rest - cell.other * p * rest / (1.0 - p);
        let fisher = trials * p * rest * rest / (1.0 - p);
        let second = match kind {
            Curve::Fisher => fisher,
            // d/dη of 1−Λ is −Λ(1−Λ); of p(1−Λ)/(1−p) it is p(1−Λ)(1 − 2Λ + pΛ)/(1−p)².
            Curve::Observed => {
                let by_alone = logistic * rest;
                let by_other = p * rest * (1.0 - 2.0 * logistic + p * logistic) / ((1.0 - p) * (1.0 - p));
                cell.alone * by_alone + cell.other * by_other
            }
        };
        // dη/dw_i = −x_i/s; dη/dθ_c = +X_c/s.
        touched.clear();
        for (own, theta, one) in &parts {
            let by = one / shape.spread;
            if let Some(own) = own {
                touched.push((*own, -by));
            }
            match touched.iter_mut().find(|(at, _)| at == theta) {
                Some((_, sum)) => *sum += by,
                None => touched.push((*theta, by)),
            }
        }
        for (at, by) in &touched {
            slope[*at] += first * by;
            for (other, by_other) in &touched {
                if other <= at {
                    curve[at * size + other] += second * by * by_other;
                }
            }
        }
        if kind == Curve::Observed {
            // − first · ∇²η: ∂²η/∂w_i² = −x_i/s, ∂²η/∂w_i∂θ_c = +x_i/s, ∂²η/∂θ_c² = −X_c/s.
            for (own, theta, one) in &parts {
                let by = first * one / shape.spread;
                curve[theta * size + theta] += by;
                if let Some(own) = own {
                    curve[own * size + own] += by;
                    curve[theta.max(own) * size + theta.min(own)] -= by;
                }
            }
        }
    }
    (value, slope, curve)
}

/// The top of a shape's density.
pub(super) fn fit(data: &Data<'_>, shape: Shape, begin: Vec<f64>) -> Fit {
    let size = data.parameters();
    let mut point = begin;
    for _ in 0..ROUNDS {
        let (value, slope, curve) = density(data, shape, &point, Curve::Fisher);
        // The prior makes it positive; rounding alone could spoil that, and then the point is kept.
        let Some(factor) = cholesky(curve, size) else { break };
        let step = solve(&factor, &slope, size);
        let gain: f64 = step.iter().zip(&slope).map(|(step, slope)| step * slope).sum();
        if gain < AT_REST {
            break;
        }
        let mut share = 1.0;
        let better = (0..HALVINGS).find_map(|_| {
            let next: Vec<f64> = point.iter().zip(&step).map(|(at, step)| at + share * step).collect();
            share /= 2.0;
            (density_value(data, shape, &next) > value).then_some(next)
        });
        match better {
            Some(next) => point = next,
            None => break,
        }
    }
    let (value, _, observed) = density(data, shape, &point, Curve::Observed);
    let factor = cholesky(observed, size).or_else(|| cholesky(density(data, shape, &point, Curve::Fisher).2, size));
    let (covariance, determinant) = factor.map_or_else(
        || (vec![0.0; size * size], 0.0),
        |factor| {
            let log: f64 = (0..size).map(|at| libm::log(factor[at * size + at])).sum();
            (inverse(&factor, size), 2.0 * log)
        },
    );
    // The (d/2) ln 2π of the mass and of the priors' normalisers cancel.
    Fit { shape, mean: point, covariance, mass: value - 0.5 * determinant }
}

/// The log density alone.
pub(super) fn density_value(data: &Data<'_>, shape: Shape, point: &[f64]) -> f64 {
    let size = point.len();
    let (mut slope, mut curve) = (vec![0.0; size], vec![0.0; size * size]);
    let prior = data.prior(shape, point, &mut slope, &mut curve);
    data.cells.iter().fold(prior, |value, cell| {
        let (p, _) = alone(data.strain(cell.rung, cell.stretch, point).0, shape.spread);
        value + cell.alone * libm::log(p.max(f64::MIN_POSITIVE)) + cell.other * libm::log1p(-p)
    })
}

/// The lower factor of a symmetric positive matrix given by its lower triangle; `None` where it is not positive.
pub(super) fn cholesky(mut matrix: Vec<f64>, size: usize) -> Option<Vec<f64>> {
    for row in 0..size {
        for column in 0..=row {
            let dot: f64 = (0..column).map(|at| matrix[row * size + at] * matrix[column * size + at]).sum();
            let rest = matrix[row * size + column] - dot;
            matrix[row * size + column] = if row == column {
                if !(rest > 0.0 && rest.is_finite()) {
                    return None;
                }
                rest.sqrt()
            } else {
                rest / matrix[column * size + column]
            };
        }
        matrix[row * size + row + 1..(row + 1) * size].fill(0.0);
    }
    Some(matrix)
}

pub(super) fn solve(factor: &[f64], right: &[f64], size: usize) -> Vec<f64> {
    let mut x = right.to_vec();
    for row in 0..size {
        let dot: f64 = (0..row).map(|at| factor[row * size + at] * x[at]).sum();
        x[row] = (x[row] - dot) / factor[row * size + row];
    }
    for row in (0..size).rev() {
        let dot: f64 = (row + 1..size).map(|at| factor[at * size + row] * x[at]).sum();
        x[row] = (x[row] - dot) / factor[row * size + row];
    }
    x
}

fn inverse(factor: &[f64], size: usize) -> Vec<f64> {
    let mut all = vec![0.0; size * size];
    let mut unit = vec![0.0; size];
    for column in 0..size {
        unit.fill(0.0);
        unit[column] = 1.0;
        for (row, value) in solve(factor, &unit, size).into_iter().enumerate() {
            all[row * size + column] = value;
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::super::model::{Data, Part, Rungs, Shape, Sitting};
    use super::{Curve, density, density_value, fit};

    /// Central differences of a smooth function of size ten.
    const DIFFERENCES: f64 = 1e-4;

    fn rungs() -> Rungs {
        let part = |distractor, pull| Part { distractor, pull };
        Rungs {
            channels: vec![0, 0, 1],
            parts: vec![
                vec![],
                vec![part(0, 0.1)],
                vec![part(0, 0.1), part(1, 0.3)],
                vec![part(0, 0.1), part(1, 0.3), part(2, 0.2)],
            ],
        }
    }

    fn sittings() -> Vec<Sitting> {
        let one = |day, rung, opportunities, independent| Sitting { day, rung, opportunities, independent };
        vec![one(0, 0, 10, 10), one(3, 1, 10, 9), one(5, 2, 10, 4), one(9, 2, 8, 5), one(20, 3, 10, 3)]
    }

    #[test]
    fn slope_and_curve_are_those_of_small_differences() {
        let (rungs, shape) = (rungs(), Shape { from_scale: 0.4, spread: 0.32 });
        let data = Data::new(&rungs, &sittings());
        let point: Vec<f64> = data.begin().iter().enumerate().map(|(at, x)| x + 0.1 * (at % 3) as f64).collect();
        let size = point.len();
        let (value, slope, curve) = density(&data, shape, &point, Curve::Observed);
        assert!((value - density_value(&data, shape, &point)).abs() < 1e-12);
        let moved = |at: usize, by: f64| {
            let mut moved = point.clone();
            moved[at] += by;
            moved
        };
        let h = 1e-5;
        for at in 0..size {
            let rise = density_value(&data, shape, &moved(at, h)) - density_value(&data, shape, &moved(at, -h));
            assert!((rise / (2.0 * h) - slope[at]).abs() < DIFFERENCES, "{at}");
            let up = density(&data, shape, &moved(at, h), Curve::Fisher).1;
            let down = density(&data, shape, &moved(at, -h), Curve::Fisher).1;
            for other in 0..=at {
                let second = -(up[other] - down[other]) / (2.0 * h);
                assert!((second - curve[at * size + other]).abs() < DIFFERENCES, "{at} {other}");
            }
        }
    }

    #[test]
    fn the_top_has_no_slope_and_the_covariance_is_the_inverse_of_the_curve() {
        let (rungs, shape) = (rungs(), Shape { from_scale: 0.7, spread: 0.16 });
        let data = Data::new(&rungs, &sittings());
        let found = fit(&data, shape, data.begin());
        let size = data.parameters();
        let (_, slope, curve) = density(&data, shape, &found.mean, Curve::Observed);
        assert!(slope.iter().all(|slope| slope.abs() < 1e-3), "{slope:?}");
        let entry = |row: usize, column: usize| curve[row.max(column) * size + row.min(column)];
        for row in 0..size {
            for column in 0..size {
                let product: f64 = (0..size).map(|at| entry(row, at) * found.covariance[at * size + column]).sum();
                let unit = if row == column { 1.0 } else { 0.0 };
                assert!((product - unit).abs() < 1e-8, "{row} {column}: {product}");
            }
        }
    }
}
