//! Units as types: a level is not a number, a pull is not a load. Depends on no room.

use std::iter::Sum;
use std::ops::{Add, Mul};

/// A level in decibels. Levels do not add, so there is no `Add`: see [`Decibels::energy_sum`].
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Decibels(f64);

impl Decibels {
    /// A level of `db` decibels.
    pub const fn new(db: f64) -> Self {
        Self(db)
    }

    /// The level of a mean square (`10·lg power`); `None` where there is no power to take a level of.
    pub fn from_power(power: f64) -> Option<Self> {
        (power.is_finite() && power > 0.0).then(|| Self(10.0 * libm::log10(power)))
    }

    /// The number of decibels.
    pub const fn db(self) -> f64 {
        self.0
    }

    /// The mean square this level stands for, `10^(L/10)`.
    pub fn power(self) -> f64 {
        libm::pow(10.0, self.0 / 10.0)
    }

    /// This level raised by a gain (a calibration offset, an adjustment) in decibels.
    #[must_use]
    pub fn raised_by(self, gain_db: f64) -> Self {
        Self(self.0 + gain_db)
    }

    /// The difference `self − other` in decibels.
    pub fn above(self, other: Self) -> f64 {
        self.0 - other.0
    }

    /// Sounds together: `10·lg Σ 10^(L/10)`; `None` for no sound at all.
    pub fn energy_sum(levels: &[Self]) -> Option<Self> {
        Self::from_power(levels.iter().map(|level| level.power()).sum())
    }

    /// The level of the mean power, `10·lg mean 10^(L/10)`; `None` for no level at all.
    pub fn energy_mean(levels: &[Self]) -> Option<Self> {
        let count = levels.len();
        if count == 0 {
            return None;
        }
        Self::from_power(levels.iter().map(|level| level.power()).sum::<f64>() / count as f64)
    }
}

/// How strongly distractors draw, `u = −ln(1 − p)`. Pulls add. Never negative.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Pull(f64);

impl Pull {
    /// No pull at all.
    pub const ZERO: Self = Self(0.0);

    /// A pull of `u`; `None` unless it is finite and not negative.
    pub fn new(u: f64) -> Option<Self> {
        (u.is_finite() && u >= 0.0).then_some(Self(u))
    }

    /// The pull of something that alone takes `share` of a child's attention, `0 ≤ share < 1`.
    pub fn of_share(share: f64) -> Option<Self> {
        (0.0..1.0).contains(&share).then(|| Self(-libm::log1p(-share)))
    }

    /// The number `u`.
    pub const fn u(self) -> f64 {
        self.0
    }

    /// The load of this pull alone, `100·(1 − e^(−u))`.
    pub fn load(self) -> Load {
        Load(-100.0 * libm::expm1(-self.0))
    }

    /// What is left of this pull without `part`, never below zero.
    #[must_use]
    pub fn without(self, part: Self) -> Self {
        Self((self.0 - part.0).max(0.0))
    }
}

impl Add for Pull {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl Mul<f64> for Pull {
    type Output = Self;
    /// Scaled by a sensitivity, a weight or a doubt; a negative or undefined factor counts as zero.
    fn mul(self, factor: f64) -> Self {
        Self((self.0 * factor).max(0.0))
    }
}

impl Sum for Pull {
    fn sum<I: Iterator<Item = Self>>(pulls: I) -> Self {
        pulls.fold(Self::ZERO, Add::add)
    }
}

/// The distraction load of a place, 0 to 100: `100·(1 − e^(−U))`. A convention, not a validated scale.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Load(f64);

impl Load {
    /// The number, 0 to 100.
    pub const fn points(self) -> f64 {
        self.0
    }
}

#[cfg(test)]
mod tests {
    use super::{Decibels, Pull};

    /// Sums of a few rounded f64.
    const ROUNDING: f64 = 1e-12;

    #[test]
    fn two_equal_sounds_are_three_decibels_more() {
        let both = Decibels::energy_sum(&[Decibels::new(60.0), Decibels::new(60.0)]).unwrap();
        assert!((both.db() - (60.0 + 10.0 * 2f64.log10())).abs() < ROUNDING);
    }

    #[test]
    fn a_mean_of_levels_is_a_mean_of_energies() {
        let mean = Decibels::energy_mean(&[Decibels::new(40.0), Decibels::new(60.0)]).unwrap();
        assert!((mean.db() - 10.0 * ((1e4 + 1e6) / 2.0f64).log10()).abs() < ROUNDING);
        assert_eq!(Decibels::energy_mean(&[]), None);
        assert_eq!(Decibels::from_power(0.0), None);
    }

    #[test]
    fn pulls_add_as_what_is_left_multiplies() {
        let (a, b) = (Pull::of_share(0.3).unwrap(), Pull::of_share(0.5).unwrap());
        let together = (a + b).load().points();
        assert!((together - 100.0 * (1.0 - 0.7 * 0.5)).abs() < ROUNDING * 100.0);
    }

    #[test]
    fn a_share_of_all_attention_has_no_pull() {
        assert_eq!(Pull::of_share(1.0), None);
        assert_eq!(Pull::of_share(-0.1), None);
        assert_eq!(Pull::of_share(f64::NAN), None);
        assert_eq!(Pull::new(f64::INFINITY), None);
    }
}
