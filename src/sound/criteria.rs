//! Room criteria from calibrated octave levels: NC, NR, SIL.
//!
//! NC: the largest number, over the octaves 63 Hz to 8 kHz, of the curve that passes through the level, linear between
//! neighbouring curves (tangency) [S12.2]. NR: the largest of `(L − a)/b` over the octaves that are there [R1996].
//! SIL: the mean of the 500 Hz, 1, 2 and 4 kHz octaves. An octave that NC or SIL needs and the recording lacks: none.
//! Tables from public copies. Checked: each curve gives its own number; an oracle recording shaped to NC 35.

/// The octaves of the NC table, Hz.
pub const NC_OCTAVES_HZ: [f64; 8] = [63.0, 125.0, 250.0, 500.0, 1000.0, 2000.0, 4000.0, 8000.0];
/// The lowest NC curve.
const NC_FIRST: f64 = 15.0;
/// The highest NC curve.
const NC_LAST: f64 = 70.0;
/// Between neighbouring curves.
const NC_STEP: f64 = 5.0;
/// Octave levels of the curves NC 15 to NC 70, dB. ANSI/ASA S12.2-2008 and -2019. [S12.2]
const NC_CURVES: [[f64; 8]; 12] = [
    [47.0, 36.0, 28.0, 22.0, 18.0, 14.0, 12.0, 11.0],
    [50.0, 40.0, 33.0, 26.0, 22.0, 20.0, 17.0, 16.0],
    [54.0, 44.0, 37.0, 31.0, 27.0, 24.0, 22.0, 22.0],
    [57.0, 48.0, 41.0, 35.0, 32.0, 29.0, 28.0, 27.0],
    [60.0, 52.0, 45.0, 40.0, 36.0, 34.0, 33.0, 32.0],
    [64.0, 56.0, 50.0, 44.0, 41.0, 39.0, 38.0, 37.0],
    [67.0, 60.0, 54.0, 49.0, 46.0, 44.0, 43.0, 42.0],
    [71.0, 64.0, 58.0, 54.0, 51.0, 49.0, 48.0, 47.0],
    [74.0, 67.0, 62.0, 58.0, 56.0, 54.0, 53.0, 52.0],
    [77.0, 71.0, 66.0, 63.0, 60.0, 59.0, 58.0, 57.0],
    [80.0, 75.0, 71.0, 68.0, 65.0, 64.0, 63.0, 62.0],
    [84.0, 79.0, 75.0, 72.0, 71.0, 70.0, 68.0, 68.0],
];
/// Octave, `a` and `b` of the NR curves, `L = a + b·NR`. ISO/R 1996:1971. [R1996]
const NR_CURVES: [(f64, f64, f64); 9] = [
    (31.5, 55.4, 0.681),
    (63.0, 35.4, 0.790),
    (125.0, 22.0, 0.870),
    (250.0, 12.0, 0.930),
    (500.0, 4.8, 0.974),
    (1000.0, 0.0, 1.0),
    (2000.0, -3.5, 1.015),
    (4000.0, -6.1, 1.025),
    (8000.0, -8.0, 1.030),
];
/// The octaves of the speech interference level.
const SIL_OCTAVES_HZ: [f64; 4] = [500.0, 1000.0, 2000.0, 4000.0];

/// A noise criterion.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NoiseCriterion {
    /// Below the lowest curve, NC 15.
    Below15,
    /// Between the curves.
    Number(f64),
    /// Above the highest curve, NC 70.
    Above70,
}

impl NoiseCriterion {
    /// The number, where there is one.
    pub const fn number(self) -> Option<f64> {
        match self {
            Self::Number(nc) => Some(nc),
            Self::Below15 | Self::Above70 => None,
        }
    }
}

impl std::fmt::Display for NoiseCriterion {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Below15 => out.write_str("below 15"),
            Self::Number(nc) => write!(out, "{nc:.0}"),
            Self::Above70 => out.write_str("above 70"),
        }
    }
}

/// The criteria of a calibrated recording; each is missing where its octaves are.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Criteria {
    /// The noise criterion.
    pub nc: Option<NoiseCriterion>,
    /// The octave, Hz, that decides the noise criterion.
    pub nc_octave_hz: Option<f64>,
    /// The noise rating.
    pub nr: Option<f64>,
    /// The speech interference level, dB.
    pub sil_db: Option<f64>,
}

impl Criteria {
    /// The criteria of octave levels `(nominal Hz, dB)`.
    pub fn of(octaves: &[(f64, f64)]) -> Self {
        let level = |hz: f64| octaves.iter().find(|(at, _)| (at - hz).abs() < 0.5).map(|(_, level)| *level);
        let numbers: Option<Vec<f64>> =
            NC_OCTAVES_HZ.iter().enumerate().map(|(place, hz)| Some(curve_number(place, level(*hz)?))).collect();
        let deciding = numbers
            .and_then(|numbers| numbers.into_iter().zip(NC_OCTAVES_HZ).max_by(|(a, _), (b, _)| f64::total_cmp(a, b)));
        let nr = NR_CURVES.iter().filter_map(|(hz, a, b)| Some((level(*hz)? - a) / b)).max_by(f64::total_cmp);
        let sil: Option<Vec<f64>> = SIL_OCTAVES_HZ.iter().map(|hz| level(*hz)).collect();
        Self {
            nc: deciding.map(|(number, _)| criterion(number)),
            nc_octave_hz: deciding.map(|(_, hz)| hz),
            nr,
            sil_db: sil.map(|levels| levels.iter().sum::<f64>() / levels.len() as f64),
        }
    }
}

/// The NC curve of any number from 15 to 70 (held at both ends): octave, Hz, and level, dB.
pub fn nc_curve(nc: f64) -> [(f64, f64); 8] {
    let place = ((nc.clamp(NC_FIRST, NC_LAST) - NC_FIRST) / NC_STEP).min(NC_CURVES.len() as f64 - 1.0);
    let below = super::num::whole(place.floor()).min(NC_CURVES.len() - 2);
    let part = place - below as f64;
    std::array::from_fn(|octave| {
        let (low, high) = (NC_CURVES[below][octave], NC_CURVES[below + 1][octave]);
        (NC_OCTAVES_HZ[octave], low + (high - low) * part)
    })
}

/// The NR curve of a number: octave, Hz, and level, dB.
pub fn nr_curve(nr: f64) -> [(f64, f64); 9] {
    NR_CURVES.map(|(hz, a, b)| (hz, a + b * nr))
}

/// The number of the NC curve through a level, linear; beyond the curves the nearest pair goes on.
fn curve_number(octave: usize, level: f64) -> f64 {
    let last = NC_CURVES.len() - 1;
    let upper = (1..last).find(|&curve| level <= NC_CURVES[curve][octave]).unwrap_or(last);
    let (low, high) = (NC_CURVES[upper - 1][octave], NC_CURVES[upper][octave]);
    NC_FIRST + NC_STEP * ((upper - 1) as f64 + (level - low) / (high - low))
}

fn criterion(number: f64) -> NoiseCriterion {
    if number < NC_FIRST {
        NoiseCriterion::Below15
    } else if number > NC_LAST {
        NoiseCriterion::Above70
    } else {
        NoiseCriterion::Number(number)
    }
}

#[cfg(test)]
mod tests {
    use super::{Criteria, NoiseCriterion, nc_curve, nr_curve};

    /// A few rounded doubles.
    const ROUNDING: f64 = 1e-9;

    #[track_caller]
    fn nc(octaves: &[(f64, f64)]) -> NoiseCriterion {
        Criteria::of(octaves).nc.unwrap()
    }

    #[test]
    fn every_curve_gives_its_own_number() {
        for number in [15.0, 17.5, 20.0, 36.0, 52.5, 69.9, 70.0] {
            let NoiseCriterion::Number(found) = nc(&nc_curve(number)) else { panic!("{number} is on the curves") };
            assert!((found - number).abs() < ROUNDING, "{number} gave {found}");
        }
        let found = Criteria::of(&nr_curve(41.0)).nr.unwrap();
        assert!((found - 41.0).abs() < ROUNDING);
    }

    #[test]
    fn one_octave_that_touches_a_higher_curve_decides() {
        let mut octaves = nc_curve(30.0);
        octaves[2].1 = 50.0; // the level of NC 40 at 250 Hz
        let criteria = Criteria::of(&octaves);
        assert!((criteria.nc.unwrap().number().unwrap() - 40.0).abs() < ROUNDING);
        assert_eq!(criteria.nc_octave_hz, Some(250.0));
    }

    #[test]
    fn beyond_the_curves_it_is_said_in_words() {
        let shifted = |by: f64, number: f64| nc_curve(number).map(|(hz, level)| (hz, level + by));
        assert_eq!(nc(&shifted(-1.0, 15.0)), NoiseCriterion::Below15);
        assert_eq!(nc(&shifted(1.0, 70.0)), NoiseCriterion::Above70);
        assert_eq!(NoiseCriterion::Below15.to_string(), "below 15");
    }

    #[test]
    fn a_missing_octave_leaves_no_noise_criterion_but_a_noise_rating() {
        let criteria = Criteria::of(&nc_curve(30.0)[..7]);
        assert_eq!(criteria.nc, None);
        assert!(criteria.nr.is_some() && criteria.sil_db.is_some());
        assert_eq!(Criteria::of(&[(500.0, 30.0)]).sil_db, None);
        assert_eq!(Criteria::of(&[]).nr, None);
    }
}
