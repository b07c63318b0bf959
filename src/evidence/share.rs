//! What is believed of the share of answers alone in one session, how it is scored, and the plain guess it must beat.
//!
//! The belief is 40 chances, of shares 0–0.025, 0.025–0.05 … 0.975–1, each standing at its middle. `k` of `n` answers alone then
//! have the chance `Σ_j w_j C(n,k) x_j^k (1−x_j)^(n−k)`; the score of a forecast is the logarithm of that chance, a strictly
//! proper score: only the honest belief is best on average [GNEITING2007]. The guess "same as last time" is what one
//! session of `k` in `n` leaves of an even belief: weights `x^k (1−x)^(n−k)`.

/// Chances of a belief.
pub const BINS: usize = 40;
/// What is left out on either side of a range.
const TAIL: f64 = 0.1;
/// Sessions of more opportunities have the range of the share itself.
const MOST_COUNTED: u32 = 1000;
/// A forecast came true if the share was that near: one answer in ten. Convention.
const NEAR: f64 = 0.1;
/// Shares are told apart to this.
const ROUNDING: f64 = 1e-9;

/// Chances of the share of answers alone in one session; they sum to 1.
#[derive(Clone, Debug, PartialEq)]
pub struct ShareBelief {
    weights: Vec<f64>,
}

/// The middle of a bin.
fn middle(bin: usize) -> f64 {
    (bin as f64 + 0.5) / BINS as f64
}

impl ShareBelief {
    /// From stored chances; `None` unless there are [`BINS`] of them, none negative, with a sum of 1.
    pub fn from_weights(weights: Vec<f64>) -> Option<Self> {
        let sum: f64 = weights.iter().sum();
        let sound = weights.iter().all(|weight| weight.is_finite() && *weight >= 0.0) && (sum - 1.0).abs() < 1e-6;
        (sound && weights.len() == BINS).then_some(Self { weights })
    }

    /// Around chances with weights, spread as a beta distribution with the correlation `together` within a session.
    pub(super) fn around(chances: &[(f64, f64)], together: f64) -> Self {
        let mut of_chance = [0.0; BINS];
        for (weight, chance) in chances {
            let bin = (0..BINS - 1).find(|bin| *chance < (*bin as f64 + 1.0) / BINS as f64).unwrap_or(BINS - 1);
            of_chance[bin] += weight;
        }
        let precision = (1.0 - together) / together;
        let mut weights = vec![0.0; BINS];
        for (bin, weight) in of_chance.iter().enumerate().filter(|(_, weight)| **weight > 0.0) {
            let (a, b) = (middle(bin) * precision, (1.0 - middle(bin)) * precision);
            let spread = Self::of_powers(a - 1.0, b - 1.0);
            weights.iter_mut().zip(&spread.weights).for_each(|(sum, one)| *sum += weight * one);
        }
        Self::scaled(weights)
    }

    /// The plain guess: as last time.
    pub fn same_as(opportunities: u32, independent: u32) -> Self {
        Self::of_powers(f64::from(independent.min(opportunities)), f64::from(opportunities.saturating_sub(independent)))
    }

    /// Weights `x^a (1−x)^b`.
    fn of_powers(a: f64, b: f64) -> Self {
        let logs: Vec<f64> = (0..BINS).map(|bin| a * libm::log(middle(bin)) + b * libm::log1p(-middle(bin))).collect();
        let top = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        Self::scaled(logs.iter().map(|log| libm::exp(log - top)).collect())
    }

    fn scaled(mut weights: Vec<f64>) -> Self {
        let sum: f64 = weights.iter().sum();
        weights.iter_mut().for_each(|weight| *weight /= sum);
        Self { weights }
    }

    /// The chances, of shares from 0 up.
    pub fn weights(&self) -> &[f64] {
        &self.weights
    }

    /// The expected share.
    pub fn mean(&self) -> f64 {
        self.weights.iter().enumerate().map(|(bin, weight)| weight * middle(bin)).sum()
    }

    /// The share that a session stays below with that chance.
    pub fn quantile(&self, chance: f64) -> f64 {
        let mut sum = 0.0;
        let bin = self.weights.iter().position(|weight| {
            sum += weight;
            sum >= chance
        });
        let bin = bin.unwrap_or(BINS - 1);
        let weight = self.weights[bin].max(f64::MIN_POSITIVE);
        (bin as f64 + 1.0 - ((sum - chance) / weight).clamp(0.0, 1.0)) / BINS as f64
    }

    /// The logarithm of the chance of so many answers alone; 0 without an opportunity.
    pub fn log_score(&self, opportunities: u32, independent: u32) -> f64 {
        let (n, k) = (f64::from(opportunities), f64::from(independent.min(opportunities)));
        let ways = libm::lgamma(n + 1.0) - libm::lgamma(k + 1.0) - libm::lgamma(n - k + 1.0);
        let logs: Vec<f64> = (self.weights.iter().enumerate())
            .map(|(bin, weight)| {
                libm::log(weight.max(f64::MIN_POSITIVE))
                    + k * libm::log(middle(bin))
                    + (n - k) * libm::log1p(-middle(bin))
            })
            .collect();
        let top = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        ways + top + libm::log(logs.iter().map(|log| libm::exp(log - top)).sum())
    }

    /// The range that the share of a session of so many opportunities stays in with a chance of 80 % or more: as many
    /// answers alone as leave a tenth or less on either side.
    pub fn range(&self, opportunities: u32) -> (f64, f64) {
        if opportunities == 0 || opportunities > MOST_COUNTED {
            return (self.quantile(TAIL), self.quantile(1.0 - TAIL));
        }
        let chances: Vec<f64> = (0..=opportunities).map(|k| libm::exp(self.log_score(opportunities, k))).collect();
        let reaching = |chances: &mut dyn Iterator<Item = &f64>| {
            let mut sum = 0.0;
            let passed = chances.take_while(|chance| {
                sum += **chance;
                sum < TAIL
            });
            passed.count() as f64 / f64::from(opportunities)
        };
        (reaching(&mut chances.iter()), 1.0 - reaching(&mut chances.iter().rev()))
    }
}

/// One forecast and what came.
#[derive(Clone, Debug, PartialEq)]
pub struct Scored {
    /// Log score of the forecast.
    pub score: f64,
    /// Log score of "same as last time".
    pub guess: f64,
    /// Whether the share came within a tenth of what was expected.
    pub hit: bool,
    /// The same of the guess.
    pub guess_hit: bool,
}

/// Scores a forecast against what came.
pub fn score(forecast: &ShareBelief, last: (u32, u32), came: (u32, u32)) -> Scored {
    let guess = ShareBelief::same_as(last.0, last.1);
    let share = f64::from(came.1) / f64::from(came.0.max(1));
    let near = |said: f64| (said - share).abs() <= NEAR + ROUNDING;
    Scored {
        score: forecast.log_score(came.0, came.1),
        guess: guess.log_score(came.0, came.1),
        hit: near(forecast.mean()),
        guess_hit: near(f64::from(last.1) / f64::from(last.0.max(1))),
    }
}

/// Forecasts after which they are judged.
pub const JUDGED: usize = 8;

/// Several forecasts together.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Record {
    /// Forecasts scored.
    pub forecasts: usize,
    /// Sum of their log scores.
    pub score: f64,
    /// The same of the guess.
    pub guess: f64,
    /// Forecasts that came true within a tenth.
    pub hits: usize,
    /// The same of the guess.
    pub guess_hits: usize,
}

impl Record {
    /// Of some forecasts.
    pub fn of<'a>(scored: impl IntoIterator<Item = &'a Scored>) -> Self {
        scored.into_iter().fold(Self::default(), |sum, one| Self {
            forecasts: sum.forecasts + 1,
            score: sum.score + one.score,
            guess: sum.guess + one.guess,
            hits: sum.hits + usize::from(one.hit),
            guess_hits: sum.guess_hits + usize::from(one.guess_hit),
        })
    }

    /// Both together.
    pub const fn plus(self, other: Self) -> Self {
        Self {
            forecasts: self.forecasts + other.forecasts,
            score: self.score + other.score,
            guess: self.guess + other.guess,
            hits: self.hits + other.hits,
            guess_hits: self.guess_hits + other.guess_hits,
        }
    }

    /// Whether the load has shown, over eight forecasts or more, that it foretells no better than the guess.
    pub fn no_better(&self) -> bool {
        self.forecasts >= JUDGED && self.score <= self.guess
    }
}

#[cfg(test)]
mod tests {
    use super::{BINS, Record, Scored, ShareBelief, score};

    /// Bins of a fortieth against the integral.
    const BINNED: f64 = 0.01;

    #[test]
    fn the_chances_of_all_counts_sum_to_one() {
        let belief = ShareBelief::around(&[(0.3, 0.2), (0.7, 0.9)], 0.05);
        let sum: f64 = (0..=12).map(|k| belief.log_score(12, k).exp()).sum();
        assert!((sum - 1.0).abs() < 1e-9, "{sum}");
        assert!((belief.weights().iter().sum::<f64>() - 1.0).abs() < 1e-12);
        assert!(belief.log_score(0, 0).abs() < 1e-12);
    }

    /// After k₀ of n₀ the chance of k of n is beta-binomial: C(n,k)·B(k+k₀+1, n−k+n₀−k₀+1)/B(k₀+1, n₀−k₀+1).
    #[test]
    fn the_guess_is_the_beta_binomial_of_one_session() {
        let beta = |a: f64, b: f64| libm::lgamma(a) + libm::lgamma(b) - libm::lgamma(a + b);
        for (n0, k0) in [(10, 8), (12, 6), (9, 2)] {
            let guess = ShareBelief::same_as(n0, k0);
            for k in 0..=10_u32 {
                let (a, b) = (f64::from(k0) + 1.0, f64::from(n0 - k0) + 1.0);
                let ways = libm::lgamma(11.0) - libm::lgamma(f64::from(k) + 1.0) - libm::lgamma(11.0 - f64::from(k));
                let exact = (ways + beta(a + f64::from(k), b + 10.0 - f64::from(k)) - beta(a, b)).exp();
                assert!((guess.log_score(10, k).exp() - exact).abs() < BINNED, "{k0} of {n0}, {k}");
            }
        }
    }

    /// A strictly proper score: whoever believes p is best served by saying p [GNEITING2007].
    #[test]
    fn no_other_forecast_scores_better_than_the_honest_one() {
        let honest = ShareBelief::around(&[(0.5, 0.6), (0.5, 0.8)], 0.05);
        let expected = |said: &ShareBelief| -> f64 {
            (0..=10).map(|k| honest.log_score(10, k).exp() * said.log_score(10, k)).sum()
        };
        let own = expected(&honest);
        for chance in [0.1, 0.5, 0.7, 0.95] {
            assert!(expected(&ShareBelief::around(&[(1.0, chance)], 0.05)) < own, "{chance}");
        }
    }

    #[test]
    fn a_range_holds_four_in_five_and_no_more_than_it_must() {
        let belief = ShareBelief::around(&[(1.0, 0.7)], 0.05);
        let (low, high) = belief.range(10);
        let within = |from: f64, to: f64| -> f64 {
            (0..=10)
                .filter(|k| (from..=to).contains(&(f64::from(*k) / 10.0)))
                .map(|k| belief.log_score(10, k).exp())
                .sum()
        };
        assert!(within(low, high + 1e-9) >= 0.8);
        assert!(within(low + 0.05, 1.0) < 0.9 && within(0.0, high - 0.05) < 0.9);
        assert_eq!(belief.range(0), (belief.quantile(0.1), belief.quantile(0.9)));
    }

    #[test]
    fn stored_chances_are_taken_only_when_they_are_some() {
        assert!(ShareBelief::from_weights(vec![1.0 / BINS as f64; BINS]).is_some());
        assert!(ShareBelief::from_weights(vec![1.0; BINS]).is_none());
        assert!(ShareBelief::from_weights(vec![1.0]).is_none());
        assert!(ShareBelief::from_weights(vec![f64::NAN; BINS]).is_none());
    }

    #[test]
    fn eight_forecasts_no_better_than_the_guess_are_said_to_be_so() {
        let sure = ShareBelief::around(&[(1.0, 0.1)], 0.02);
        let wrong: Vec<Scored> = (0..8).map(|_| score(&sure, (10, 9), (10, 9))).collect();
        assert!(Record::of(&wrong).no_better());
        assert!(!Record::of(&wrong[..7]).no_better());
        let right: Vec<Scored> = (0..8).map(|_| score(&sure, (10, 9), (10, 1))).collect();
        assert!(!Record::of(&right).no_better());
        assert_eq!((Record::of(&right).hits, Record::of(&right).guess_hits), (8, 0));
    }
}
