//! Laws that hold for every recording.

use proptest::prelude::{ProptestConfig, prop, prop_assert, proptest};
use stillroom::sound::{Analysis, Calibration, Settings};

use super::made::{Chance, Format, analysed, heard, wav};

const RATE: u32 = 8000;
/// Levels of the same samples at another gain differ by rounding alone.
const ROUNDING_DB: f64 = 1e-3;

fn sound(seed: u64, seconds: f64, gain: f32) -> Vec<f32> {
    let mut chance = Chance(seed);
    let mut smooth = 0.0;
    (0..(seconds * f64::from(RATE)) as usize)
        .map(|i| {
            smooth = 0.9 * smooth + chance.noise();
            gain * smooth * if (i / 3000).is_multiple_of(2) { 1.0 } else { 0.2 }
        })
        .collect()
}

fn figures(analysis: &Analysis) -> Vec<f64> {
    let levels = &analysis.levels;
    [levels.laeq, levels.lceq, levels.lzeq, levels.lafmax, levels.lasmax, levels.la10, levels.la50, levels.la90]
        .into_iter()
        .flatten()
        .chain(analysis.third_octaves.iter().chain(&analysis.octaves).map(|band| band.level))
        .map(|level| level.db())
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    #[test]
    fn a_gain_moves_every_level_by_itself(seed in 0u64..1000, seconds in 0.2f64..3.0, gain_db in -30.0f64..20.0) {
        let quiet = figures(&analysed(&sound(seed, seconds, 0.01), RATE));
        let gain = 10f64.powf(gain_db / 20.0) as f32;
        let moved = figures(&analysed(&sound(seed, seconds, 0.01 * gain), RATE));
        prop_assert!(quiet.len() == moved.len() && quiet.len() > 20);
        for (a, b) in quiet.iter().zip(&moved) {
            prop_assert!((b - a - gain_db).abs() < ROUNDING_DB, "{a} became {b} by {gain_db}");
        }
    }

    #[test]
    fn channels_are_meant_in_power(seed in 0u64..1000, order in prop::bool::ANY) {
        let (left, right) = (sound(seed, 1.5, 0.05), sound(seed + 5000, 1.5, 0.01));
        let pair = if order { [&left, &right] } else { [&right, &left] };
        let data: Vec<u8> = pair[0].iter().zip(pair[1]).flat_map(|(a, b)| [*a, *b]).flat_map(f32::to_le_bytes).collect();
        let bytes = wav(&Format { tag: 3, channels: 2, rate: RATE, bits: 32 }, data.len() as u32, &data);
        let both = heard(bytes, "both.wav", &Settings::default()).unwrap();
        let (left, right) = (analysed(&left, RATE), analysed(&right, RATE));
        let mean = |a: f64, b: f64| 10.0 * ((10f64.powf(a / 10.0) + 10f64.powf(b / 10.0)) / 2.0).log10();
        for (found, level) in [
            (both.levels.laeq, mean(left.levels.laeq.unwrap().db(), right.levels.laeq.unwrap().db())),
            (both.levels.lzeq, mean(left.levels.lzeq.unwrap().db(), right.levels.lzeq.unwrap().db())),
            (Some(both.octaves[0].level), mean(left.octaves[0].level.db(), right.octaves[0].level.db())),
        ] {
            prop_assert!((found.unwrap().db() - level).abs() < ROUNDING_DB);
        }
    }

    #[test]
    fn shares_and_percentiles_keep_their_order(seed in 0u64..1000, seconds in 0.6f64..6.0) {
        let analysis = analysed(&sound(seed, seconds, 0.05), RATE);
        let levels = &analysis.levels;
        prop_assert!(levels.lafmax >= levels.la10 && levels.la10 >= levels.la50 && levels.la50 >= levels.la90);
        prop_assert!(levels.lafmax >= levels.lasmax);
        prop_assert!((0.0..=1.0).contains(&analysis.changes.speech_share.unwrap()));
        prop_assert!(analysis.changes.la10_minus_la90_db.unwrap() >= 0.0);
    }
}

#[test]
fn calibration_moves_levels_and_not_the_margin() {
    let quiet = sound(1, 2.0, 0.01);
    let data: Vec<u8> = quiet.iter().flat_map(|x| x.to_le_bytes()).collect();
    let bytes = wav(&Format { tag: 3, channels: 1, rate: RATE, bits: 32 }, data.len() as u32, &data);
    let calibration = Calibration::offset(94.0).unwrap();
    let plain = analysed(&quiet, RATE);
    let calibrated = heard(bytes, "a.wav", &Settings { calibration, ..Settings::default() }).unwrap();
    for (a, b) in figures(&plain).iter().zip(figures(&calibrated)) {
        assert!((b - a - 94.0).abs() < 1e-9);
    }
    assert!(plain.criteria.nr.is_none() && calibrated.criteria.nr.is_some());
    let voice = analysed(&sound(2, 2.0, 0.1), RATE);
    let margins = [&plain, &calibrated].map(|background| stillroom::sound::margin(&voice, background).unwrap());
    assert!((margins[0].margin_db - margins[1].margin_db).abs() < 1e-9);
    assert!((margins[1].voice_laeq.above(margins[0].voice_laeq) - 94.0).abs() < 1e-9);
    assert_eq!((calibrated.calibration.sd_db(), plain.calibration.sd_db()), (Some(3.0), None));
}

#[test]
fn a_reference_calibrates_by_its_reading_and_refuses_nonsense() {
    let reference = analysed(&sound(3, 2.0, 0.05), RATE);
    let calibration = Calibration::reading(&reference, 65.0).unwrap();
    let offset = 65.0 - reference.levels.laeq.unwrap().db();
    assert!((calibration.offset_db().unwrap() - offset).abs() < 1e-9);
    assert_eq!(calibration.with_sd(4.0).sd_db(), Some(4.0));
    let codes = [f64::NAN, 5000.0].map(|reading| Calibration::reading(&reference, reading).unwrap_err().code());
    assert_eq!(codes, ["sound-reference-reading"; 2]);
    let silent = analysed(&[0.0; 8000], RATE);
    assert_eq!(Calibration::reading(&silent, 65.0).unwrap_err().code(), "sound-reference-silent");
    assert_eq!(Calibration::offset(f64::NAN), None);
}
