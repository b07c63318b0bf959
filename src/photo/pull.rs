//! From busyness to pull, for one photo and for several.

use crate::quantity::Pull;

/// The pull of a photo, `−ln(1 − alone/100 · busyness/100)`. `None` unless `busyness` is within 0…100 and `alone_percent` within
/// 0…100 and not both 100.
pub fn pull(busyness: f64, alone_percent: f64) -> Option<Pull> {
    let within = |v: f64| (0.0..=100.0).contains(&v);
    if !within(busyness) || !within(alone_percent) {
        return None;
    }
    Pull::of_share(alone_percent / 100.0 * busyness / 100.0)
}

/// Several photos of one place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Together {
    /// The mean of their pulls.
    pub pull: Pull,
    /// The busyness that alone would have that pull.
    pub busyness: f64,
    /// Highest minus lowest busyness.
    pub spread: f64,
}

/// The photos of one place together; `None` for no photo, or a busyness or share out of range.
pub fn together(busyness: &[f64], alone_percent: f64) -> Option<Together> {
    let pulls: Option<Vec<Pull>> = busyness.iter().map(|&one| pull(one, alone_percent)).collect();
    let pulls = pulls.filter(|pulls| !pulls.is_empty())?;
    let mean = pulls.iter().map(|pull| pull.u()).sum::<f64>() / pulls.len() as f64;
    let lowest = busyness.iter().copied().fold(f64::INFINITY, f64::min);
    let highest = busyness.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    // With a share of 0 every photo has no pull, and the mean busyness is the plain one.
    let of_mean = if alone_percent > 0.0 {
        -100.0 * libm::expm1(-mean) / (alone_percent / 100.0)
    } else {
        busyness.iter().sum::<f64>() / busyness.len() as f64
    };
    Some(Together { pull: Pull::new(mean)?, busyness: of_mean.clamp(lowest, highest), spread: highest - lowest })
}

#[cfg(test)]
mod tests {
    use super::{pull, together};

    const ROUNDING: f64 = 1e-12;

    #[test]
    fn the_pull_follows_its_formula() {
        assert!((pull(50.0, 30.0).unwrap().u() + (1.0f64 - 0.15).ln()).abs() < ROUNDING);
        assert!(pull(0.0, 30.0).unwrap().u().abs() < ROUNDING);
        assert_eq!(pull(100.1, 30.0), None);
        assert_eq!(pull(f64::NAN, 30.0), None);
        assert_eq!(pull(100.0, 100.0), None);
    }

    #[test]
    fn one_photo_alone_is_itself_and_two_lie_between() {
        let one = together(&[40.0], 30.0).unwrap();
        assert!((one.busyness - 40.0).abs() < ROUNDING * 100.0 && one.spread.abs() < ROUNDING);
        let two = together(&[20.0, 60.0], 30.0).unwrap();
        assert!(two.busyness > 40.0 && two.busyness < 41.0);
        assert!((two.spread - 40.0).abs() < ROUNDING);
        assert_eq!(together(&[], 30.0), None);
    }
}
