//! The grid on which tolerance is estimated: belief over half-way points and spreads, its drift, its weighing.
//!
//! The definition stands at the head of `tolerance.rs`. Chances below 1e-250 are dropped (a belief that faint cannot be
//! seen in any figure, and such numbers are slow); where all become faint the product is formed from logarithms.
//! Checked against a plain twin of the definition, in the tests of `tolerance.rs`.

use std::collections::BTreeMap;

/// Distance between grid points, and how many make one rung.
pub(super) const STEP: f64 = 0.05;
pub(super) const STEPS_A_RUNG: usize = 20;
/// Rungs that the grid reaches below 0 and above the highest rung.
pub(super) const MARGIN: usize = 3;
/// Spreads of the curve.
pub(super) const SPREADS: [f64; 4] = [0.25, 0.5, 1.0, 2.0];
/// Highest chance of an independent answer: everyone slips at times. Convention.
pub(super) const CEILING: f64 = 0.97;
/// What is believed of the half-way point before any session. Convention.
const PRIOR_MEAN: f64 = 1.0;
const PRIOR_SD: f64 = 2.0;
/// Standard deviation of the drift after one day, and where it is cut. Convention.
const DRIFT: f64 = 0.15;
const CUT: f64 = 4.0;

/// Chances below this are dropped.
const DROPPED: f64 = 1e-250;
/// Below this sum too much has been dropped.
const FAINT: f64 = 1e-200;
/// Curves and kernels kept for use again; more would only cost memory.
const KEPT: usize = 32;

/// Belief over (spread, half-way point); sums to 1 after a weighing.
pub(super) struct Grid {
    pub(super) belief: Vec<Vec<f64>>,
    points: usize,
    top: usize,
    /// A spread's log chances of an answer alone and of another, over all distances h − x that the grid can show.
    logs: Vec<(Vec<f64>, Vec<f64>)>,
    likelihoods: BTreeMap<(u32, u32), Likelihood>,
    kernels: BTreeMap<i64, Kernel>,
}

/// A likelihood over all distances, a spread a row, scaled so that the largest is 1.
type Likelihood = Vec<Vec<f64>>;

impl Grid {
    /// The prior, on that many points, for rungs up to `top`.
    pub(super) fn new(points: usize, top: usize) -> Self {
        let prior = (0..points).map(|point| {
            let away = (STEP * point as f64 - MARGIN as f64 - PRIOR_MEAN) / PRIOR_SD;
            libm::exp(-0.5 * away * away)
        });
        let distances = STEPS_A_RUNG * (2 * top + 2 * MARGIN) + 1;
        let distance = |point: usize| STEP * point as f64 - (MARGIN + top) as f64;
        let logs = SPREADS.map(|spread| {
            let chances = || (0..distances).map(|point| independent(distance(point), spread));
            // Far up a steep curve the chance underflows; the smallest positive number keeps its logarithm finite.
            let alone = chances().map(|chance| libm::log(chance.max(f64::MIN_POSITIVE))).collect();
            (alone, chances().map(|chance| libm::log1p(-chance)).collect())
        });
        Self {
            belief: vec![prior.collect(); SPREADS.len()],
            points,
            top,
            logs: logs.into(),
            likelihoods: BTreeMap::new(),
            kernels: BTreeMap::new(),
        }
    }

    /// Multiplies belief by the likelihood of `yes` answers alone and `no` others at rung `x`, and makes it sum to 1.
    pub(super) fn weigh(&mut self, x: u32, yes: u32, no: u32) {
        let x = usize::try_from(x).unwrap_or(self.top).min(self.top);
        let seen = STEPS_A_RUNG * (self.top - x)..STEPS_A_RUNG * (self.top - x) + self.points;
        if self.likelihoods.len() >= KEPT && !self.likelihoods.contains_key(&(yes, no)) {
            self.likelihoods.clear();
        }
        let likelihood = self.likelihoods.entry((yes, no)).or_insert_with(|| likelihood(&self.logs, yes, no));
        let mut product: Vec<Vec<f64>> = (self.belief.iter().zip(likelihood.iter()))
            .map(|(belief, likelihood)| {
                let both = belief.iter().zip(&likelihood[seen.clone()]);
                both.map(|(belief, likelihood)| kept(belief * likelihood)).collect()
            })
            .collect();
        if product.iter().flatten().sum::<f64>() < FAINT {
            product = self.product_of_logs(seen.start, yes, no);
        }
        let total: f64 = product.iter().flatten().sum();
        product.iter_mut().flatten().for_each(|belief| *belief /= total);
        self.belief = product;
    }

    /// The product by way of logarithms, scaled so that the largest is 1.
    fn product_of_logs(&self, from: usize, yes: u32, no: u32) -> Vec<Vec<f64>> {
        let mut product: Vec<Vec<f64>> = (self.belief.iter().zip(&self.logs))
            .map(|(belief, (alone, other))| {
                let chances = alone[from..].iter().zip(&other[from..]);
                let both = belief.iter().zip(chances);
                both.map(|(belief, (alone, other))| {
                    libm::log(belief.max(f64::MIN_POSITIVE)) + f64::from(yes) * alone + f64::from(no) * other
                })
                .collect()
            })
            .collect();
        scale(&mut product);
        product
    }

    /// Lets h drift over some days by a Gaussian, cut, each source spreading within the grid only.
    pub(super) fn drift(&mut self, days: i64) {
        if self.kernels.len() >= KEPT && !self.kernels.contains_key(&days) {
            self.kernels.clear();
        }
        let kernel = self.kernels.entry(days).or_insert_with(|| Kernel::new(days, self.points));
        for belief in &mut self.belief {
            kernel.spread(belief);
        }
    }
}

/// The chance of an independent answer at a distance `h − x`.
pub(super) fn independent(distance: f64, spread: f64) -> f64 {
    CEILING / (1.0 + libm::exp(-distance / spread))
}

fn kept(chance: f64) -> f64 {
    if chance < DROPPED { 0.0 } else { chance }
}

fn likelihood(logs: &[(Vec<f64>, Vec<f64>)], yes: u32, no: u32) -> Likelihood {
    let (yes, no) = (f64::from(yes), f64::from(no));
    let mut rows: Likelihood = (logs.iter())
        .map(|(alone, other)| alone.iter().zip(other).map(|(alone, other)| yes * alone + no * other).collect())
        .collect();
    scale(&mut rows);
    rows
}

/// From logarithms to numbers of which the largest is 1.
fn scale(rows: &mut [Vec<f64>]) {
    let most = rows.iter().flatten().copied().fold(f64::NEG_INFINITY, f64::max);
    rows.iter_mut().flatten().for_each(|log| *log = kept(libm::exp(*log - most)));
}

/// The drift of some days.
struct Kernel {
    /// By steps away, from 0.
    weight: Vec<f64>,
    /// By source: one over the weight that stays within the grid.
    share: Vec<f64>,
}

impl Kernel {
    fn new(days: i64, points: usize) -> Self {
        let sd = DRIFT * (days.max(0) as f64).sqrt();
        // Cut at 4 sd, rounded up to whole steps; a ratio that is whole but for its rounding stays.
        let cut = (CUT * sd / STEP - 1e-9).ceil();
        let weight: Vec<f64> = (0..points)
            .take_while(|steps| *steps == 0 || *steps as f64 <= cut)
            .map(|steps| {
                let away = if steps == 0 { 0.0 } else { STEP * steps as f64 / sd };
                libm::exp(-0.5 * away * away)
            })
            .collect();
        // The weights of 0..=k steps to one side.
        let within: Vec<f64> = (weight.iter())
            .scan(0.0, |sum, weight| {
                *sum += weight;
                Some(*sum)
            })
            .collect();
        let side = |room: usize| within[room.min(within.len() - 1)];
        let share = (0..points).map(|from| 1.0 / (side(from) + side(points - 1 - from) - weight[0])).collect();
        Self { weight, share }
    }

    fn spread(&self, belief: &mut [f64]) {
        let reach = self.weight.len() - 1;
        // The source with `reach` zeros on either side, so that one pass a step serves both sides.
        let mut source = vec![0.0; belief.len() + 2 * reach];
        for (to, (belief, share)) in source[reach..].iter_mut().zip(belief.iter().zip(&self.share)) {
            *to = belief * share;
        }
        belief.fill(0.0);
        for (steps, weight) in self.weight.iter().enumerate() {
            let weight = if steps == 0 { weight / 2.0 } else { *weight };
            let sides = source[reach - steps..].iter().zip(&source[reach + steps..]);
            for (to, (below, above)) in belief.iter_mut().zip(sides) {
                *to += weight * (below + above);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Grid, MARGIN, STEPS_A_RUNG};

    #[test]
    fn by_logarithms_the_product_is_the_same() {
        let top = 3;
        let mut grid = Grid::new(STEPS_A_RUNG * (top + 2 * MARGIN) + 1, top);
        for (x, yes, no) in [(1, 7, 3), (2, 4, 6), (3, 0, 10)] {
            let mut by_logs = grid.product_of_logs(STEPS_A_RUNG * (top - x), yes, no);
            let total: f64 = by_logs.iter().flatten().sum();
            by_logs.iter_mut().flatten().for_each(|belief| *belief /= total);
            grid.weigh(u32::try_from(x).unwrap(), yes, no);
            for (one, other) in grid.belief.iter().flatten().zip(by_logs.iter().flatten()) {
                assert!((one - other).abs() < 1e-12, "{one} {other}");
            }
        }
    }
}
