//! What the sessions of a child say: how strongly each distractor draws, and what a rung would be like today.
//!
//! A mixture over the shapes (σ, s), each weighed by its mass. One number alone is not taken for normal (`marginal.rs`), and its
//! quantiles are those of the mixture. For forecasts each shape's density is taken as normal: a rung's strain
//! is taken as log-normal: `ln X` by its slope at the top (the delta method), with the drift since the last session, the prior
//! of what was never practised, and the beta-binomial spread of a session around its chance.

use super::marginal::Marginal;
use super::model::{Data, FROM_SCALE, Rungs, SPREADS, Shape, Sitting, alone, drift, half_way_variance};
use super::share::ShareBelief;
use super::solve::{Fit, fit};
use crate::load::normal_quantile;

/// Equally likely values of a rung's strain that stand for its distribution, a shape.
const NODES: usize = 32;
/// Shapes whose weight is below this share of the whole say nothing.
const SILENT: f64 = 1e-9;
/// Shapes of less weight than this are left out where each number is looked at alone.
const FAINT: f64 = 0.02;
/// Sessions that tell less than this of a logarithm (a standard deviation of ten) say nothing.
const SAYS_NOTHING: f64 = 0.01;
/// The interval given: 5 % on either side.
const LOW: f64 = 0.05;
/// Halvings when a quantile is looked for.
const HALVINGS: usize = 60;
/// Opportunities with a distractor in the room before a figure of it is given. Convention.
const ENOUGH_TRIALS: u64 = 30;
/// Different strains that the opportunities must spread over: one alone cannot tell a distractor from tolerance.
const ENOUGH_RUNGS: usize = 3;

/// What was learned of one distractor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Learned {
    /// Which, counted from 0.
    pub distractor: usize,
    /// How many times as strong as the scale says: the middle of what is believed.
    pub factor: f64,
    /// Its 5th percentile.
    pub low: f64,
    /// Its 95th percentile.
    pub high: f64,
    /// Opportunities on rungs where it stood.
    pub trials: u64,
    /// Whether that is enough to speak of.
    pub enough: bool,
}

impl Learned {
    /// Whether the interval leaves the scale's value out.
    pub fn differs(&self) -> bool {
        self.enough && (self.low > 1.0 || self.high < 1.0)
    }
}

/// What is believed after some sessions.
#[derive(Clone, Debug)]
pub struct Belief<'a> {
    data: Data<'a>,
    fits: Vec<(f64, Fit)>,
    sittings: Vec<Sitting>,
}

impl<'a> Belief<'a> {
    /// From sessions in any order; `None` without one that says anything.
    pub fn new(rungs: &'a Rungs, sittings: &[Sitting]) -> Option<Self> {
        let data = Data::new(rungs, sittings);
        if data.cells.is_empty() {
            return None;
        }
        let mut fits: Vec<(f64, Fit)> = Vec::new();
        for spread in SPREADS {
            let mut begin = data.begin();
            for from_scale in FROM_SCALE {
                let found = fit(&data, Shape { from_scale, spread }, begin);
                begin = found.mean.clone();
                fits.push((found.mass, found));
            }
        }
        let top = fits.iter().map(|(mass, _)| *mass).fold(f64::NEG_INFINITY, f64::max);
        fits.iter_mut().for_each(|(mass, _)| *mass = libm::exp(*mass - top));
        let sum: f64 = fits.iter().map(|(weight, _)| weight).sum();
        fits.retain(|(weight, _)| *weight > SILENT * sum);
        let sum: f64 = fits.iter().map(|(weight, _)| weight).sum();
        fits.iter_mut().for_each(|(weight, _)| *weight /= sum);
        Some(Self { data, fits, sittings: sittings.to_vec() })
    }

    /// How much the answers of one session hang together, from 0.02 up.
    pub fn together(&self) -> f64 {
        self.data.together
    }

    /// What was learned of every distractor that stood on a practised rung.
    pub fn learned(&self) -> Vec<Learned> {
        let one = |distractor: usize| {
            let at = self.data.at_distractor(distractor)?;
            let (trials, enough) = self.counted(distractor);
            let alone = self.alone(at);
            let quantile = |share| libm::exp(quantile(&alone, share));
            Some(Learned {
                distractor,
                factor: quantile(0.5),
                low: quantile(LOW),
                high: quantile(1.0 - LOW),
                trials,
                enough,
            })
        };
        self.data.learned.iter().filter_map(|distractor| one(*distractor)).collect()
    }

    /// Whether the sessions are enough to speak of a distractor.
    pub fn enough(&self, distractor: usize) -> bool {
        self.data.at_distractor(distractor).is_some() && self.counted(distractor).1
    }

    /// Opportunities with a distractor in the room, and whether they are enough.
    fn counted(&self, distractor: usize) -> (u64, bool) {
        let on = |rung: usize| {
            let parts = self.data.rungs.parts.get(rung);
            parts.is_some_and(|parts| parts.iter().any(|part| part.distractor == distractor && part.pull > 0.0))
        };
        let mut practised: Vec<usize> = self.data.cells.iter().map(|cell| cell.rung).collect();
        practised.sort_unstable();
        practised.dedup();
        let trials = self.sittings.iter().filter(|one| on(one.rung)).map(|one| u64::from(one.opportunities)).sum();
        let stood = practised.iter().any(|rung| on(*rung));
        (trials, trials >= ENOUGH_TRIALS && practised.len() >= ENOUGH_RUNGS && stood)
    }

    /// What the sessions alone say of `w` of a distractor, without what was believed of it before them: its mean and variance
    /// as a normal likelihood; `None` where they say nothing.
    pub fn sessions_say(&self, distractor: usize) -> Option<(f64, f64)> {
        let at = self.data.at_distractor(distractor)?;
        let size = self.data.parameters();
        let (mut precision, mut moment) = (0.0, 0.0);
        for (weight, fit) in &self.fits {
            let variance = fit.covariance[at * size + at].max(f64::MIN_POSITIVE);
            precision += weight * (1.0 / variance - fit.shape.from_scale.powi(-2));
            moment += weight * fit.mean[at] / variance;
        }
        (precision > SAYS_NOTHING).then(|| (moment / precision, 1.0 / precision))
    }

    /// Mean and standard deviation of `w` of a distractor, over all shapes: for checks against other methods.
    pub fn moments(&self, distractor: usize) -> Option<(f64, f64)> {
        let at = self.data.at_distractor(distractor)?;
        Some(self.moments_at(at))
    }

    /// The same of the logarithm of the half-way pull of a channel in the last stretch.
    pub fn half_way(&self, channel: usize) -> Option<(f64, f64)> {
        let last = self.data.days.len().checked_sub(1)?;
        Some(self.moments_at(self.data.at_channel(channel, last)?))
    }

    /// One number under every shape that matters, with the shape's weight for it.
    fn alone(&self, at: usize) -> Vec<(f64, Marginal)> {
        let heard = self.fits.iter().filter(|(weight, _)| *weight > FAINT);
        let mut all: Vec<(f64, Marginal)> = heard
            .map(|(weight, fit)| {
                let one = Marginal::new(&self.data, fit, at);
                (weight * one.mass, one)
            })
            .collect();
        let sum: f64 = all.iter().map(|(weight, _)| weight).sum();
        all.iter_mut().for_each(|(weight, _)| *weight /= sum);
        all
    }

    fn moments_at(&self, at: usize) -> (f64, f64) {
        let all = self.alone(at);
        let mean: f64 = all.iter().map(|(weight, one)| weight * one.mean).sum();
        let variance: f64 = all.iter().map(|(weight, one)| weight * (one.variance + (one.mean - mean).powi(2))).sum();
        (mean, variance.max(0.0).sqrt())
    }

    /// What share of answers alone one session on a rung would have on a day.
    pub fn share(&self, rung: usize, day: i64) -> ShareBelief {
        let mut chances: Vec<(f64, f64)> = Vec::new();
        for (weight, fit) in &self.fits {
            let (mean, variance) = self.log_strain(fit, rung, day);
            for node in 0..NODES {
                let away = if variance > 0.0 {
                    normal_quantile((node as f64 + 0.5) / NODES as f64) * variance.sqrt()
                } else {
                    0.0
                };
                let (chance, _) = alone(libm::exp(mean + away), fit.shape.spread);
                chances.push((weight / NODES as f64, chance));
            }
        }
        ShareBelief::around(&chances, self.data.together)
    }

    /// Mean and variance of `ln X` of a rung on a day.
    fn log_strain(&self, fit: &Fit, rung: usize, day: i64) -> (f64, f64) {
        let (slope, strain, loose) = self.slope(fit, rung, day);
        if strain <= 0.0 {
            return (f64::NEG_INFINITY, 0.0);
        }
        let moved = times(&fit.covariance, &slope);
        let variance: f64 = loose + moved.iter().zip(&slope).map(|(a, b)| a * b).sum::<f64>();
        (libm::log(strain), variance.max(0.0))
    }

    /// The slope of `ln X` of a rung on a day, `X`, and the variance of `ln X` that no estimated number carries.
    fn slope(&self, fit: &Fit, rung: usize, day: i64) -> (Vec<f64>, f64, f64) {
        let data = &self.data;
        let mut slope = vec![0.0; data.parameters()];
        let Some(parts) = data.rungs.parts.get(rung) else { return (slope, 0.0, 0.0) };
        let last = data.days.len().saturating_sub(1);
        // A channel or distractor that was never practised is taken at the prior's median.
        let stood = parts.iter().filter(|part| part.pull > 0.0).map(|part| {
            let channel = data.rungs.channels[part.distractor];
            let (own, theta) = (data.at_distractor(part.distractor), data.at_channel(channel, last));
            let log = own.map_or(0.0, |at| fit.mean[at])
                - theta.map_or_else(|| libm::log(super::model::HALF_WAY), |at| fit.mean[at]);
            (channel, own, theta, (part.pull * libm::exp(log)).min(super::model::MOST_STRAIN))
        });
        let stood: Vec<_> = stood.collect();
        let strain = stood.iter().map(|(.., one)| one).sum::<f64>().min(super::model::MOST_STRAIN);
        if strain <= 0.0 {
            return (slope, 0.0, 0.0);
        }
        let (mut loose, mut by_channel) = (0.0, [0.0; 3]);
        let since = data.days.last().map_or(0.0, |before| day as f64 - before);
        for (channel, own, theta, one) in stood {
            let share = one / strain;
            by_channel[channel] += share;
            match own {
                Some(own) => slope[own] += share,
                None => loose += (share * fit.shape.from_scale).powi(2),
            }
            if let Some(theta) = theta {
                slope[theta] -= share;
            }
        }
        for (channel, share) in by_channel.into_iter().enumerate() {
            loose += share
                * share
                * match data.at_channel(channel, last) {
                    Some(_) if since > 0.0 => drift(since).powi(2),
                    Some(_) => 0.0,
                    None => half_way_variance(),
                };
        }
        (slope, strain, loose)
    }

    /// What one session of so many opportunities on a rung would teach about the distractors, in nats, by the linear
    /// theory: half the logarithm of how much it shrinks their joint variance.
    ///
    /// With `g` the slope of `ln X` and `I` Fisher's information of the session in `ln X`, the joint covariance of all becomes
    /// `C − C g gᵀ C·I/(1 + I gᵀCg)`; that of the `w` alone shrinks by the factor `1 − a·I/(1 + I gᵀCg)` with
    /// `a = (Cg)_wᵀ C_ww⁻¹ (Cg)_w`, by the lemma of the determinant.
    pub fn teaches(&self, rung: usize, day: i64, opportunities: u32) -> f64 {
        let counts = f64::from(opportunities) / (1.0 + (f64::from(opportunities) - 1.0).max(0.0) * self.data.together);
        let (border, size) = (self.data.border(), self.data.parameters());
        let one = |fit: &Fit| {
            let (slope, strain, loose) = self.slope(fit, rung, day);
            if strain <= 0.0 {
                return 0.0;
            }
            let (chance, logistic) = alone(strain, fit.shape.spread);
            let by_log = strain / fit.shape.spread;
            let information = counts * chance * (1.0 - logistic).powi(2) / (1.0 - chance) * by_log * by_log;
            // What is not estimated acts as noise on ln X.
            let information = information / (1.0 + information * loose);
            let moved = times(&fit.covariance, &slope);
            let all: f64 = moved.iter().zip(&slope).map(|(a, b)| a * b).sum();
            let own: Vec<f64> = (border..size)
                .flat_map(|row| fit.covariance[row * size + border..(row + 1) * size].iter().copied())
                .collect();
            let Some(factor) = super::solve::cholesky(own, size - border) else { return 0.0 };
            let moved = &moved[border..];
            let shared: f64 = factor.solve(moved).iter().zip(moved).map(|(a, b)| a * b).sum();
            -0.5 * libm::log((1.0 - shared * information / (1.0 + information * all)).max(f64::MIN_POSITIVE))
        };
        self.fits.iter().map(|(weight, fit)| weight * one(fit)).sum()
    }
}

/// The value that a number under several shapes stays below with that chance.
fn quantile(alone: &[(f64, Marginal)], share: f64) -> f64 {
    let below = |x: f64| -> f64 { alone.iter().map(|(weight, one)| weight * one.below(x)).sum() };
    let ends = alone.iter().map(|(_, one)| one.ends());
    let (mut low, mut high) =
        ends.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), (from, to)| (low.min(from), high.max(to)));
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if below(middle) < share { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}

fn times(matrix: &[f64], vector: &[f64]) -> Vec<f64> {
    matrix.chunks_exact(vector.len().max(1)).map(|row| row.iter().zip(vector).map(|(a, b)| a * b).sum()).collect()
}
