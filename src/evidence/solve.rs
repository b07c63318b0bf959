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
    let powers = data.powers(point);
    let (mut by, mut channels) = (Vec::new(), Vec::new());
    for cell in &data.cells {
        let strain = data.strain(cell, &powers, &mut by, &mut channels);
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
        // dη/dθ_c = +X_c/s; dη/dw_i = −x_i/s.
        by.iter_mut().for_each(|(_, by)| *by /= shape.spread);
        for (number, (at, own)) in by.iter().enumerate() {
            slope[*at] += first * own;
            let (row, bent) = (&mut curve[at * size..(at + 1) * size], second * own);
            by[..=number].iter().for_each(|(other, by_other)| row[*other] += bent * by_other);
        }
        if kind == Curve::Observed {
            // − first · ∇²η: ∂²η/∂θ_c² = −X_c/s, ∂²η/∂w_i² = −x_i/s, ∂²η/∂w_i∂θ_c = +x_i/s.
            let (half_ways, own) = by.split_at(data.channels.len());
            half_ways.iter().for_each(|(at, by)| curve[at * size + at] += first * by);
            for ((at, by), channel) in own.iter().zip(&channels) {
                curve[at * size + at] -= first * by;
                curve[at * size + half_ways[*channel].0] += first * by;
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
        let step = factor.solve(&slope);
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
    let (covariance, half_log) =
        factor.map_or_else(|| (vec![0.0; size * size], 0.0), |factor| (factor.inverse(), factor.half_log()));
    // The (d/2) ln 2π of the mass and of the priors' normalisers cancel.
    Fit { shape, mean: point, covariance, mass: value - half_log }
}

/// The log density alone.
pub(super) fn density_value(data: &Data<'_>, shape: Shape, point: &[f64]) -> f64 {
    let size = point.len();
    let (mut slope, mut curve) = (vec![0.0; size], vec![0.0; size * size]);
    let prior = data.prior(shape, point, &mut slope, &mut curve);
    let powers = data.powers(point);
    let (mut by, mut channels) = (Vec::new(), Vec::new());
    data.cells.iter().fold(prior, |value, cell| {
        let (p, _) = alone(data.strain(cell, &powers, &mut by, &mut channels), shape.spread);
        value + cell.alone * libm::log(p.max(f64::MIN_POSITIVE)) + cell.other * libm::log1p(-p)
    })
}

/// The lower factor of a symmetric positive matrix. In each row what lies before its first number is nothing, as in the
/// matrix itself: a band with a border costs as much as its numbers.
#[derive(Clone, Debug)]
pub(super) struct Factor {
    rows: Vec<f64>,
    /// The place of each row's first number.
    from: Vec<usize>,
}

/// The factor of a matrix given by its lower triangle; `None` where it is not positive.
pub(super) fn cholesky(mut rows: Vec<f64>, size: usize) -> Option<Factor> {
    let mut from: Vec<usize> = Vec::with_capacity(size);
    for row in 0..size {
        let (above, below) = rows.split_at_mut(row * size);
        let own = &mut below[..=row];
        let first = own[..row].iter().position(|value| *value != 0.0).unwrap_or(row);
        for column in first..row {
            let other = &above[column * size..=column * size + column];
            let begin = first.max(from[column]);
            own[column] = if begin < column {
                (own[column] - dot(&own[begin..column], &other[begin..column])) / other[column]
            } else {
                own[column] / other[column]
            };
        }
        let rest = own[row] - dot(&own[first..row], &own[first..row]);
        if !(rest > 0.0 && rest.is_finite()) {
            return None;
        }
        own[row] = rest.sqrt();
        from.push(first);
    }
    Some(Factor { rows, from })
}

impl Factor {
    /// Row by row: the place of its first number, its numbers from there to the one before the diagonal, and that one.
    fn rows(&self) -> impl DoubleEndedIterator<Item = (usize, usize, &[f64], f64)> {
        let size = self.from.len();
        self.from.iter().enumerate().map(move |(row, first)| {
            (row, *first, &self.rows[row * size + first..row * size + row], self.rows[row * size + row])
        })
    }

    /// Half of the logarithm of the matrix's determinant.
    pub(super) fn half_log(&self) -> f64 {
        self.rows().map(|(.., diagonal)| libm::log(diagonal)).sum()
    }

    /// The matrix's inverse applied.
    pub(super) fn solve(&self, right: &[f64]) -> Vec<f64> {
        let mut x = right.to_vec();
        for (row, first, before, diagonal) in self.rows() {
            x[row] = (x[row] - dot(before, &x[first..row])) / diagonal;
        }
        for (row, first, before, diagonal) in self.rows().rev() {
            x[row] /= diagonal;
            let own = x[row];
            x[first..row].iter_mut().zip(before).for_each(|(x, by)| *x -= by * own);
        }
        x
    }

    /// The matrix's inverse, row by row.
    fn inverse(&self) -> Vec<f64> {
        let size = self.from.len();
        let unit = |column| (0..size).map(|row| if row == column { 1.0 } else { 0.0 }).collect::<Vec<_>>();
        (0..size).flat_map(|column| self.solve(&unit(column))).collect()
    }
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
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
