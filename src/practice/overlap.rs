//! How far two phases overlap: nonoverlap of all pairs, Tau and its kin.
//!
//! NAP: the share of pairs (a, b) with b above a, ties a half [PARKER2009]. Its interval are the roots θ of
//! `mn(NAP−θ)²(2−θ)(1+θ) = z²θ(1−θ)(2+h+(1+2h)θ(1−θ))`, `h = (m+n)/2 − 1` [NEWCOMBE2006, method 5]: sound at complete
//! separation, where an interval of the usual kind has no width. Tau = 2·NAP − 1. Tau-U = (S_AB − S_A)/(mn)
//! [PARKER2011], one of several variants, not bound to ±1. Baseline-corrected tau [TARLOW2017]: if the baseline has a
//! trend (Kendall p ≤ .05), its Theil–Sen line is taken off both phases; then tau-b with the phase. Differences under
//! 1e-9 are ties. Domain: finite numbers; `None` for an empty phase. Checked against printed figures and a reference
//! library (tests/oracle/practice).

use super::trend::{SLOPE_95, kendall_p, rises_minus_falls, sign, theil_sen};

/// The 97.5 % point of the normal law.
const Z_95: f64 = 1.959_963_984_540_054;

/// A baseline with a trend at least this unlikely by chance is corrected. [TARLOW2017]
const TREND: f64 = 0.05;

/// Nonoverlap of all pairs with its 95 % interval.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Nap {
    /// The share of pairs that improve, ties a half.
    pub nap: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// A value and the day on which it was seen.
pub type Dated = (f64, f64);

/// Baseline-corrected tau.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CorrectedTau {
    /// Tau-b of the values, corrected or not, with the phase; 0 when all tie.
    pub tau: f64,
    /// Whether the baseline's trend was taken off.
    pub corrected: bool,
    /// Kendall's two-sided p of the baseline over time.
    pub trend_p: f64,
}

/// Pairs with b above a minus pairs with b below a.
fn between(a: &[f64], b: &[f64]) -> i64 {
    a.iter().map(|a| b.iter().map(|b| sign(*a, *b)).sum::<i64>()).sum()
}

/// Number of pairs between two phases; `None` if either is empty.
fn pairs(a: &[f64], b: &[f64]) -> Option<f64> {
    (!a.is_empty() && !b.is_empty()).then_some(a.len() as f64 * b.len() as f64)
}

/// Nonoverlap of all pairs of a baseline and a treatment phase.
pub fn nap(a: &[f64], b: &[f64]) -> Option<Nap> {
    let total = pairs(a, b)?;
    let nap = f64::midpoint(between(a, b) as f64 / total, 1.0);
    let h = f64::midpoint(a.len() as f64, b.len() as f64) - 1.0;
    let outside = |theta: f64| {
        let spread = theta * (1.0 - theta);
        let left = total * (nap - theta) * (nap - theta) * (2.0 - theta) * (1.0 + theta);
        left - Z_95 * Z_95 * spread * (2.0 + h + (1.0 + 2.0 * h) * spread)
    };
    let low = if nap <= 0.0 { 0.0 } else { root(&outside, 0.0, nap) };
    let high = if nap >= 1.0 { 1.0 } else { root(&outside, 1.0, nap) };
    Some(Nap { nap, low, high })
}

/// Bisection between a point outside the interval and one inside it, down to neighbouring numbers.
fn root(outside: &impl Fn(f64) -> f64, mut out: f64, mut inside: f64) -> f64 {
    // The function is zero at 1 (and at 0) with complete separation there; the root sought is the inner one.
    for _ in 0..200 {
        let middle = f64::midpoint(out, inside);
        if outside(middle) > 0.0 { out = middle } else { inside = middle }
    }
    f64::midpoint(out, inside)
}

/// Standard error of NAP from the unbiased variance; `None` under two values in a phase.
///
/// `V(tau) = (1 + nQ₁ + mQ₂ − (m+n−1)tau² − 2X)/((m−1)(n−1))`, Q₁ and Q₂ the squared row and column sums of the matrix
/// of signs over mn² and m²n, X its mean square; se = √V/2 (the variance as printed for the reference package).
pub fn nap_standard_error(a: &[f64], b: &[f64]) -> Option<f64> {
    if a.len() < 2 || b.len() < 2 {
        return None;
    }
    let (m, n) = (a.len() as f64, b.len() as f64);
    let square = |sum: i64| (sum * sum) as f64;
    let rows: f64 = a.iter().map(|a| square(b.iter().map(|b| sign(*a, *b)).sum())).sum();
    let columns: f64 = b.iter().map(|b| square(a.iter().map(|a| sign(*a, *b)).sum())).sum();
    let untied = a.iter().map(|a| b.iter().filter(|b| sign(*a, **b) != 0).count()).sum::<usize>();
    let tau = between(a, b) as f64 / (m * n);
    let variance =
        (1.0 + rows / (m * n) + columns / (m * n) - (m + n - 1.0) * tau * tau - 2.0 * untied as f64 / (m * n))
            / ((m - 1.0) * (n - 1.0));
    Some(variance.max(0.0).sqrt() / 2.0)
}

/// Tau between phases, S_AB/(mn).
pub fn tau(a: &[f64], b: &[f64]) -> Option<f64> {
    Some(between(a, b) as f64 / pairs(a, b)?)
}

/// Tau-U, (S_AB − S_A)/(mn), values in order of time.
pub fn tau_u(a: &[f64], b: &[f64]) -> Option<f64> {
    Some((between(a, b) - rises_minus_falls(a)) as f64 / pairs(a, b)?)
}

/// Kendall's S and tau-b of two variables; tau-b is 0 where either is all tied.
pub fn tau_b(points: &[(f64, f64)]) -> (i64, f64) {
    let (mut s, mut untied_x, mut untied_y) = (0, 0u64, 0u64);
    for (at, (x1, y1)) in points.iter().enumerate() {
        for (x2, y2) in &points[..at] {
            let (x, y) = (sign(*x2, *x1), sign(*y2, *y1));
            s += x * y;
            untied_x += u64::from(x != 0);
            untied_y += u64::from(y != 0);
        }
    }
    let scale = (untied_x as f64).sqrt() * (untied_y as f64).sqrt();
    (s, if scale > 0.0 { s as f64 / scale } else { 0.0 })
}

/// Baseline-corrected tau of dated values (day, value), each phase in order of time.
pub fn corrected_tau(a: &[Dated], b: &[Dated]) -> Option<CorrectedTau> {
    if a.is_empty() || b.is_empty() {
        return None;
    }
    let values: Vec<f64> = a.iter().map(|point| point.1).collect();
    let trend_p = kendall_p(&values);
    // A baseline of one day has no slope to take off, whatever the order of its sessions.
    let slope = if trend_p > TREND { None } else { theil_sen(a, SLOPE_95) };
    let start = a[0].0;
    let level =
        |phase: f64| move |point: &Dated| (phase, point.1 - slope.map_or(0.0, |s| s.per_day * (point.0 - start)));
    let points: Vec<(f64, f64)> = a.iter().map(level(0.0)).chain(b.iter().map(level(1.0))).collect();
    Some(CorrectedTau { tau: tau_b(&points).1, corrected: slope.is_some(), trend_p })
}

#[cfg(test)]
mod tests {
    use super::{corrected_tau, nap, nap_standard_error, tau, tau_b};

    #[test]
    fn an_empty_phase_gives_no_figure() {
        assert_eq!(nap(&[], &[0.5]), None);
        assert_eq!(tau(&[0.5], &[]), None);
        assert_eq!(corrected_tau(&[], &[]), None);
        assert_eq!(nap_standard_error(&[0.5], &[0.5, 0.6]), None);
    }

    #[test]
    fn the_interval_is_sound_where_every_pair_is_worse() {
        let worst = nap(&[0.9, 0.9, 0.8], &[0.1, 0.2]).unwrap();
        assert_eq!((worst.nap, worst.low), (0.0, 0.0));
        assert!(worst.high > 0.2 && worst.high < 1.0);
    }

    #[test]
    fn all_tied_is_no_association() {
        assert_eq!(tau_b(&[(0.0, 0.5), (0.0, 0.5), (1.0, 0.5)]), (0, 0.0));
    }

    #[test]
    fn a_baseline_of_one_day_is_not_corrected() {
        let a: Vec<(f64, f64)> = (1..=5).map(|value| (0.0, f64::from(value))).collect();
        let found = corrected_tau(&a, &[(1.0, 6.0)]).unwrap();
        assert!(!found.corrected && found.trend_p < 0.05);
    }
}
