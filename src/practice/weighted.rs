//! Weighted kappa, and how unsure two observers' answers are.
//!
//! Weighted kappa [COHEN1968] with disagreement weights `v_ij`, linear `|i−j|` or quadratic `(i−j)²`:
//!
//! ```text
//! κ_w = 1 − Σ v_ij·p_ij / Σ v_ij·p_i.·p_.j
//! ```
//!
//! Undefined where the second sum is 0 (both used one and the same category throughout), and then said to be so. Checked
//! against printed values of other programs (tests/suite/practice/agreeing.rs).
//!
//! Answers to different items become comparable by classes: absent, and then up to a quarter, half, three quarters, all
//! of what the item can take at most. Five classes, a convention of ours.
//!
//! The answer's doubt: if each of two people errs by a factor exp(σ·z), the difference of their ln(pull) has the
//! variance 2σ², so `σ² = Σ(ln u₁ − ln u₂)²/(2m)` over the m items where both saw something. The interval is that of a
//! variance with m degrees of freedom. The χ² quantiles come from the series of the incomplete gamma function,
//! `P(a, x) = xᵃ e⁻ˣ / Γ(a + 1) · (1 + x/(a+1) + x²/((a+1)(a+2)) + …)`, halved down to 1e-12 of themselves, and are
//! checked against printed tables. Fewer than three items give no figure.

use super::agreement::{KappaReason, same};
use crate::checklist::{Answer, Answers, Checklist, ItemId, Unit};

/// Which weights a disagreement gets.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Weights {
    /// The number of classes between the two.
    Linear,
    /// Its square.
    Quadratic,
}

/// Weighted kappa of a square table, rows the first person, columns the second; `None` for a table that is empty or not
/// square.
pub fn weighted_kappa(table: &[Vec<u64>], weights: Weights) -> Option<Result<f64, KappaReason>> {
    let size = table.len();
    if table.iter().any(|row| row.len() != size) {
        return None;
    }
    let n: u64 = table.iter().flatten().sum();
    if n == 0 {
        return None;
    }
    let rows: Vec<u64> = table.iter().map(|row| row.iter().sum()).collect();
    let columns: Vec<u64> = (0..size).map(|at| table.iter().map(|row| row[at]).sum()).collect();
    let (mut observed, mut expected) = (0u128, 0u128);
    for (i, row) in table.iter().enumerate() {
        for (j, count) in row.iter().enumerate() {
            let apart = i.abs_diff(j) as u128;
            let weight = if weights == Weights::Linear { apart } else { apart * apart };
            observed += weight * u128::from(*count);
            expected += weight * u128::from(rows[i]) * u128::from(columns[j]);
        }
    }
    if expected == 0 {
        return Some(Err(KappaReason::NoVariance));
    }
    Some(Ok(1.0 - observed as f64 * n as f64 / expected as f64))
}

/// The classes of an answer.
const CLASSES: usize = 5;
/// A quarter reached to the last bit is still up to a quarter.
const ROUNDING: f64 = 1e-9;

/// Two people's answers, item by item.
#[derive(Clone, Debug, PartialEq)]
pub struct ItemAgreement {
    /// The items that both answered, in the order of the checklist.
    pub pairs: Vec<AnswerPair>,
    /// Items that only one of the two answered.
    pub only_one: Vec<ItemId>,
    /// Weighted kappa of the counts and choices, linear weights over the five classes; `None` without any.
    pub weighted: Option<Result<f64, KappaReason>>,
    /// Counts and choices compared.
    pub weighted_n: usize,
    /// How unsure one answer is; `None` with fewer than three items in which both saw something.
    pub answer_sd: Option<AnswerSd>,
}

/// One item answered by both.
#[derive(Clone, Debug, PartialEq)]
pub struct AnswerPair {
    /// The item.
    pub id: ItemId,
    /// The first person's answer.
    pub first: Answer,
    /// The second person's answer.
    pub second: Answer,
    /// The same; counts within 1.
    pub agree: bool,
    /// The second answer's pull less the first's.
    pub pull_difference: f64,
}

/// The standard deviation of ln(pull) of one answer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AnswerSd {
    /// Found.
    pub observed: f64,
    /// Lower end of its 95 % interval.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// Items.
    pub n: usize,
}

/// Fewest items for a standard deviation.
const FEWEST: usize = 3;

/// Compares two people's answers to one checklist.
pub fn agree_items(first: &Answers, second: &Answers, list: &Checklist) -> ItemAgreement {
    let (mut pairs, mut only_one) = (Vec::new(), Vec::new());
    let mut table = vec![vec![0u64; CLASSES]; CLASSES];
    let mut squares = Vec::new();
    for item in &list.items {
        if first.kept(&item.id) || second.kept(&item.id) {
            continue;
        }
        let (one, other) = (first.to(&item.id), second.to(&item.id));
        let (Some(earlier), Some(later)) = (item.alone_share(one), item.alone_share(other)) else {
            if item.alone_share(one).is_some() != item.alone_share(other).is_some() {
                only_one.push(item.id.clone());
            }
            continue;
        };
        let pull = |answer| item.pull(answer).map_or(0.0, |pull| pull.u());
        let (u, v) = (pull(one), pull(other));
        if u > 0.0 && v > 0.0 {
            squares.push((libm::log(u) - libm::log(v)).powi(2));
        }
        if !matches!(item.unit, Unit::Yes { .. }) && item.alone() > 0.0 {
            table[class(earlier, item.alone())][class(later, item.alone())] += 1;
        }
        pairs.push(AnswerPair {
            id: item.id.clone(),
            first: one.clone(),
            second: other.clone(),
            agree: same(one, other),
            pull_difference: v - u,
        });
    }
    let weighted_n = table.iter().flatten().map(|count| usize::try_from(*count).unwrap_or(usize::MAX)).sum();
    let weighted = weighted_kappa(&table, Weights::Linear);
    ItemAgreement { pairs, only_one, weighted, weighted_n, answer_sd: answer_sd(&squares) }
}

/// The class of a share of attention out of at most `alone` percent.
fn class(share: f64, alone: f64) -> usize {
    let part = 100.0 * share / alone;
    if part <= 0.0 {
        return 0;
    }
    (1..CLASSES - 1).find(|quarter| part <= *quarter as f64 / 4.0 + ROUNDING).unwrap_or(CLASSES - 1)
}

/// σ and its 95 % interval from squared differences of ln(pull).
fn answer_sd(squares: &[f64]) -> Option<AnswerSd> {
    if squares.len() < FEWEST {
        return None;
    }
    let m = squares.len() as f64;
    let sum: f64 = squares.iter().sum();
    let end = |share: f64| (sum / 2.0 / chi_square(m, share)).sqrt();
    Some(AnswerSd { observed: (sum / (2.0 * m)).sqrt(), low: end(0.975), high: end(0.025), n: squares.len() })
}

/// Halvings that leave less than 1e-12 of a bracket.
const HALVINGS: usize = 60;

/// The value below which a χ² with m degrees of freedom stays with that probability.
fn chi_square(m: f64, share: f64) -> f64 {
    let (mut low, mut high) = (0.0, m);
    while below(m, high) < share {
        high *= 2.0;
    }
    for _ in 0..HALVINGS {
        let middle = low + (high - low) / 2.0;
        if below(m, middle) < share { low = middle } else { high = middle }
    }
    high
}

/// The probability that a χ² with m degrees of freedom stays below a value: P(m/2, value/2).
fn below(m: f64, value: f64) -> f64 {
    let (a, x) = (m / 2.0, value / 2.0);
    if x <= 0.0 {
        return 0.0;
    }
    let (mut term, mut sum, mut n) = (1.0, 1.0, 0.0);
    // The terms fall off once n passes x, so this ends.
    while term > sum * f64::EPSILON {
        n += 1.0;
        term *= x / (a + n);
        sum += term;
    }
    sum * libm::exp(a * libm::log(x) - x - libm::lgamma(a + 1.0))
}

#[cfg(test)]
mod tests {
    use super::{CLASSES, Weights, answer_sd, chi_square, class, weighted_kappa};
    use crate::practice::KappaReason;

    /// Half of the last printed decimal.
    const THREE_DECIMALS: f64 = 0.0005;
    const TWO_DECIMALS: f64 = 0.005;

    #[test]
    fn quarters_are_the_classes() {
        let classes: Vec<usize> =
            [0.0, 0.01, 2.5, 2.6, 5.0, 7.5, 7.6, 10.0].iter().map(|p| class(p / 100.0, 10.0)).collect();
        assert_eq!(classes, [0, 1, 1, 2, 2, 3, 4, 4]);
        assert_eq!(CLASSES, 5);
    }

    #[test]
    fn one_class_throughout_has_no_weighted_kappa() {
        assert_eq!(weighted_kappa(&[vec![4, 0], vec![0, 0]], Weights::Linear), Some(Err(KappaReason::NoVariance)));
        assert_eq!(weighted_kappa(&[vec![0, 0], vec![0, 0]], Weights::Linear), None);
        assert_eq!(weighted_kappa(&[vec![1, 2]], Weights::Quadratic), None);
    }

    #[test]
    fn two_classes_give_the_plain_kappa_whatever_the_weights() {
        let table = [vec![20, 5], vec![10, 15]];
        for weights in [Weights::Linear, Weights::Quadratic] {
            assert!((weighted_kappa(&table, weights).unwrap().unwrap() - 0.4).abs() < 1e-12);
        }
    }

    #[test]
    fn the_quantiles_of_a_variance_are_the_printed_ones() {
        // χ² at 2.5 % and 97.5 % as in any table (3 and 10 from memory; 20, 25 and 30 seen in public text).
        let printed = [
            (3.0, 0.216, 9.348, THREE_DECIMALS),
            (10.0, 3.247, 20.483, THREE_DECIMALS),
            (20.0, 9.59, 34.17, TWO_DECIMALS),
            (25.0, 13.12, 40.65, TWO_DECIMALS),
            (30.0, 16.79, 46.98, TWO_DECIMALS),
        ];
        for (m, low, high, within) in printed {
            assert!((chi_square(m, 0.025) - low).abs() < within, "{m}: {}", chi_square(m, 0.025));
            assert!((chi_square(m, 0.975) - high).abs() < within, "{m}: {}", chi_square(m, 0.975));
        }
    }

    #[test]
    fn an_sd_needs_three_items_and_halves_the_variance() {
        assert_eq!(answer_sd(&[0.08, 0.08]), None);
        let found = answer_sd(&[0.08, 0.08, 0.08]).unwrap();
        assert!((found.observed - 0.2).abs() < 1e-12 && found.low < 0.2 && found.high > 0.2);
    }
}
