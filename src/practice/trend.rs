//! Trend over time: the slope of Theil and Sen with its interval, and Kendall's test.
//!
//! Slope: the median of the N slopes of all pairs with different days [SEN1968]. Interval: the slopes at the ranks
//! `(N ∓ z·σ)/2`, where `σ² = (n(n−1)(2n+5) − Σt(t−1)(2t+5))/18` over ties in x and in y, not below 0; halves round to
//! even. Domain: finite numbers; `None` where no two days differ. Checked against Sen's printed example, the printed
//! example of a second program and a reference library (tests/oracle/practice). Sessions of one child are not
//! independent, so the interval is too narrow; every screen that shows it says so.

/// Differences below this are ties: rounding must not break a tie. Fixed with the definitions.
pub(super) const TIE: f64 = 1e-9;

/// The factor of a 95 % interval of the slope, as the definition gives it.
pub const SLOPE_95: f64 = 1.96;

/// Points beyond this many are left out, oldest first: the pairs grow with the square. Convention.
pub(super) const MOST_POINTS: usize = 4_000;

/// Largest n for which Kendall's test counts every order; beyond, the normal law is used. Convention: the two agree
/// there to far more digits than are shown.
const EXACT_UP_TO: usize = 500;

/// A slope with its interval, in y per unit of x.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slope {
    /// The median slope.
    pub per_day: f64,
    /// Lower end of the interval.
    pub low: f64,
    /// Upper end of the interval.
    pub high: f64,
}

/// The slope of points (x, y) with the interval of factor `z`; `None` if all x are equal. Of more than 4,000 points
/// the newest (last) 4,000 are taken.
pub fn theil_sen(points: &[(f64, f64)], z: f64) -> Option<Slope> {
    let points = &points[points.len().saturating_sub(MOST_POINTS)..];
    let mut slopes = Vec::new();
    for (at, (x1, y1)) in points.iter().enumerate() {
        for (x2, y2) in &points[..at] {
            let run = x1 - x2;
            if run != 0.0 {
                slopes.push((y1 - y2) / run);
            }
        }
    }
    let last = slopes.len().checked_sub(1)?;
    let n = points.len() as f64;
    let ties = tie_sum(points.iter().map(|point| point.0)) + tie_sum(points.iter().map(|point| point.1));
    let sigma = ((n * (n - 1.0) * (2.0 * n + 5.0) - ties) / 18.0).max(0.0).sqrt();
    let total = slopes.len() as f64;
    let low = rank(((total - z * sigma) / 2.0).round_ties_even() - 1.0, last);
    let high = rank(((total + z * sigma) / 2.0).round_ties_even(), last);
    let middle = slopes.len() / 2;
    let upper = nth(&mut slopes, middle);
    let per_day = if last % 2 == 0 { upper } else { f64::midpoint(nth(&mut slopes, middle - 1), upper) };
    Some(Slope { per_day, low: nth(&mut slopes, low), high: nth(&mut slopes, high) })
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to 0..=last before the cast")]
fn rank(at: f64, last: usize) -> usize {
    at.clamp(0.0, last as f64) as usize
}

fn nth(values: &mut [f64], at: usize) -> f64 {
    *values.select_nth_unstable_by(at, f64::total_cmp).1
}

/// `Σ t(t−1)(2t+5)` over groups of ties.
fn tie_sum(values: impl Iterator<Item = f64>) -> f64 {
    let mut sorted: Vec<f64> = values.collect();
    sorted.sort_unstable_by(f64::total_cmp);
    sorted
        .chunk_by(|a, b| b - a < TIE)
        .map(|group| {
            let t = group.len() as f64;
            t * (t - 1.0) * (2.0 * t + 5.0)
        })
        .sum()
}

/// 1, 0 or −1 as `later` is above, tied with or below `earlier`.
pub(super) fn sign(earlier: f64, later: f64) -> i64 {
    let difference = later - earlier;
    if difference.abs() < TIE {
        0
    } else if difference > 0.0 {
        1
    } else {
        -1
    }
}

/// Kendall's S of values in order of time: pairs that rise minus pairs that fall.
pub(super) fn rises_minus_falls(values: &[f64]) -> i64 {
    let later = |at: usize| values[at + 1..].iter().map(move |value| sign(values[at], *value)).sum::<i64>();
    (0..values.len()).map(later).sum()
}

/// Kendall's test for a trend of values in order of time, two-sided p.
///
/// Without ties exact, by counting orders with at least |S|; with ties (or beyond 500 values) the normal law with the
/// tie variance and |S| − 1. 1 under three values or when all are tied.
pub fn kendall_p(values: &[f64]) -> f64 {
    let n = values.len();
    let s = rises_minus_falls(values).unsigned_abs();
    let ties = tie_sum(values.iter().copied());
    if n < 3 || s == 0 {
        return 1.0;
    }
    if ties == 0.0 && n <= EXACT_UP_TO {
        return exact_p(n, s);
    }
    let n = n as f64;
    let variance = (n * (n - 1.0) * (2.0 * n + 5.0) - ties) / 18.0;
    if variance <= 0.0 {
        return 1.0;
    }
    let z = (s as f64 - 1.0) / variance.sqrt();
    libm::erfc(z / std::f64::consts::SQRT_2)
}

/// Twice the share of the n! orders whose S is `s` or more, `s` ≥ 1. With k falling pairs S = n(n−1)/2 − 2k.
fn exact_p(n: usize, s: u64) -> f64 {
    let pairs = n * (n - 1) / 2;
    // share[k]: the share of orders of the first m values with k falling pairs.
    let mut share = vec![0.0; pairs + 1];
    share[0] = 1.0;
    for m in 2..=n {
        let before = share.clone();
        let mut window = 0.0;
        for k in 0..=m * (m - 1) / 2 {
            window += before[k];
            if k >= m {
                window -= before[k - m];
            }
            share[k] = window / m as f64;
        }
    }
    let most = (pairs as u64).saturating_sub(s) / 2;
    let tail: f64 = share.iter().zip(0..=most).map(|(share, _)| share).sum();
    (2.0 * tail).min(1.0)
}

#[cfg(test)]
mod tests {
    use super::{SLOPE_95, exact_p, kendall_p, rises_minus_falls, theil_sen};

    /// Sums of shares that are rounded once each.
    const ROUNDING: f64 = 1e-12;

    /// All orders of 0..n.
    fn orders(n: usize) -> Vec<Vec<f64>> {
        if n == 0 {
            return vec![Vec::new()];
        }
        let mut all = Vec::new();
        for shorter in orders(n - 1) {
            for at in 0..n {
                let mut order = shorter.clone();
                order.insert(at, n as f64);
                all.push(order);
            }
        }
        all
    }

    #[test]
    fn the_exact_test_counts_every_order() {
        let all = orders(6);
        for s in 1..=15u64 {
            let as_far = all.iter().filter(|order| rises_minus_falls(order).unsigned_abs() >= s).count();
            assert!((exact_p(6, s) - as_far as f64 / all.len() as f64).abs() < ROUNDING);
        }
    }

    #[test]
    fn the_normal_law_takes_over_smoothly() {
        // At n = 30 the two laws, both implemented here, must agree to the third decimal; S is odd, as 435 pairs are.
        let variance: f64 = 30.0 * 29.0 * 65.0 / 18.0;
        let normal = libm::erfc((98.0 / variance.sqrt()) / std::f64::consts::SQRT_2);
        assert!((exact_p(30, 99) - normal).abs() < 2e-3);
    }

    #[test]
    fn a_flat_or_short_record_has_no_trend() {
        assert!(kendall_p(&[0.5, 0.5, 0.5, 0.5]) >= 1.0);
        // Three ties: S = 7, variance (5·4·15 − 3·2·11)/18 = 13, z = 6/√13 = 1.664101, two-sided 0.096092 (erfc).
        assert!((kendall_p(&[0.1, 0.1, 0.1, 0.2, 0.3]) - 0.096_092_329).abs() < 1e-8);
        assert!(kendall_p(&[0.1, 0.9]) >= 1.0);
        assert!(kendall_p(&[]) >= 1.0);
    }

    #[test]
    fn one_day_has_no_slope() {
        assert_eq!(theil_sen(&[(3.0, 0.1), (3.0, 0.4), (3.0, 0.9)], SLOPE_95), None);
        assert_eq!(theil_sen(&[], SLOPE_95), None);
    }
}
