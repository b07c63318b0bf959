//! The few number conversions that lose something, each in one place.

/// A double as a single: 24 bits of mantissa are kept, far below any microphone's noise.
#[expect(clippy::cast_possible_truncation, reason = "rounding to 24 bits is what this is for")]
pub(super) fn single(x: f64) -> f32 {
    x as f32
}

/// The whole number nearest to a non-negative double; anything else is 0.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a float cast saturates, and negatives and NaN are mapped to 0 first"
)]
pub(super) fn whole(x: f64) -> usize {
    if x > 0.0 { (x + 0.5) as usize } else { 0 }
}

/// `10·lg power`.
pub(super) fn level(power: f64) -> f64 {
    10.0 * libm::log10(power)
}

/// The power of a level, `10^(L/10)`.
pub(super) fn power(level: f64) -> f64 {
    libm::pow(10.0, level / 10.0)
}

/// The value at `share` (0 to 1) of sorted numbers, linear between neighbours; `None` for no number at all.
pub(super) fn quantile(sorted: &[f64], share: f64) -> Option<f64> {
    let last = sorted.len().checked_sub(1)?;
    let place = share.clamp(0.0, 1.0) * last as f64;
    let below = whole(place.floor()).min(last);
    let above = (below + 1).min(last);
    Some(sorted[below] + (sorted[above] - sorted[below]) * (place - below as f64))
}

/// The modified Bessel function of order zero, by its series.
pub(super) fn bessel(x: f64) -> f64 {
    let quarter = x * x / 4.0;
    let mut term = 1.0;
    let mut sum = 1.0;
    for k in 1..40 {
        term *= quarter / f64::from(k * k);
        sum += term;
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::{quantile, whole};

    #[test]
    fn a_quantile_lies_between_its_neighbours() {
        assert_eq!(quantile(&[1.0, 2.0, 4.0], 0.75), Some(3.0));
        assert_eq!(quantile(&[7.0], 0.9), Some(7.0));
        assert_eq!(quantile(&[], 0.5), None);
    }

    #[test]
    fn a_number_that_is_not_one_counts_as_nothing() {
        assert_eq!((whole(f64::NAN), whole(-3.0), whole(2.6)), (0, 0, 3));
    }
}
