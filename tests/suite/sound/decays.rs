//! Decays made here: noise under an exponential, with what a real room adds.

use stillroom::sound::{Analysis, Settings};

use super::made::{Chance, float_wav, heard};

const RATE: u32 = 24_000;
/// One decay of noise scatters; over the two octaves of the single number this is what the reference allows, share.
const SCATTER: f64 = 0.08;
/// The early decay has fewer independent values, share.
const EARLY_SCATTER: f64 = 0.2;
/// A decay is taken to begin at the last 5 ms step within 3 dB of its top: of these early slopes about so late, seconds.
const BEGINS_S: f64 = 0.02;
/// The early decay of two slopes has fewer independent values still, share.
const EARLY_OF_TWO: f64 = 0.3;

/// Bangs at the given times (seconds, gain), each dying by 60 dB in `t60`, over hiss of level `floor`.
fn room(bangs: &[(f64, f64)], t60: f64, floor: f64, seconds: f64, seed: u64) -> Analysis {
    let mut chance = Chance(seed);
    let count = (seconds * f64::from(RATE)) as usize;
    let samples: Vec<f32> = (0..count)
        .map(|i| {
            let t = i as f64 / f64::from(RATE);
            let sound: f64 = bangs
                .iter()
                .filter(|(at, _)| t >= *at)
                .map(|(at, gain)| gain * (-6.907_755 * (t - at) / t60).exp())
                .sum();
            chance.noise() * sound as f32 + chance.noise() * floor as f32
        })
        .collect();
    heard(float_wav(&samples, RATE), "room.wav", &Settings { decay: true, ..Settings::default() }).unwrap()
}

#[track_caller]
fn check(analysis: &Analysis, t60: f64) {
    let decay = analysis.decay.as_ref().unwrap();
    for (time, scatter) in [(decay.t20_s, SCATTER), (decay.t30_s, SCATTER), (decay.edt_s, EARLY_SCATTER)] {
        let time = time.unwrap();
        assert!((time / t60 - 1.0).abs() < scatter, "{time} s, not {t60}: {decay:?}");
    }
    assert!(!analysis.warns("decay-range"));
}

#[test]
fn rooms_from_dry_to_live_are_read_right() {
    for (seed, t60) in [(1, 0.3), (2, 0.45), (3, 0.6), (4, 1.0), (5, 1.6), (6, 0.4)] {
        check(&room(&[(0.5, 0.3)], t60, 1e-5, 0.5 + 2.5 * t60, seed), t60);
    }
}

#[test]
fn a_second_clap_behind_the_first_does_not_lengthen_it() {
    check(&room(&[(0.5, 0.3), (3.0, 0.1)], 0.5, 1e-5, 5.0, 7), 0.5);
    check(&room(&[(0.5, 0.1), (3.0, 0.3)], 0.5, 1e-5, 5.0, 8), 0.5);
}

/// The time that a straight line through a stretch of the ideal backward integral of two decays has: ten obvious lines.
fn ideal(parts: [(f64, f64); 2], from: f64, to: f64) -> f64 {
    let left =
        |t: f64| -> f64 { parts.iter().map(|(a, t60)| a * t60 * (-13.815_511 * (t + BEGINS_S) / t60).exp()).sum() };
    let points: Vec<(f64, f64)> = (0..30_000)
        .map(|i| f64::from(i) * 1e-4)
        .map(|t| (t, 10.0 * (left(t) / left(0.0)).log10()))
        .filter(|(_, db)| (to..=from).contains(db))
        .collect();
    let count = points.len() as f64;
    let (mean_t, mean_db) = points.iter().fold((0.0, 0.0), |sum, (t, db)| (sum.0 + t / count, sum.1 + db / count));
    let slope = points.iter().map(|(t, db)| (t - mean_t) * (db - mean_db)).sum::<f64>()
        / points.iter().map(|(t, _)| (t - mean_t).powi(2)).sum::<f64>();
    -60.0 / slope
}

/// A dry room with a live one behind its door: the level bends. Each stretch must see the slope that it spans, and the
/// early decay must come out shorter than the late one.
#[test]
fn a_decay_of_two_slopes_is_read_stretch_by_stretch() {
    for (seed, early, late, step_db) in [(21, 0.3, 1.2, -15.0), (22, 0.4, 1.0, -10.0), (23, 0.25, 0.9, -20.0)] {
        let parts = [(1.0, early), (10f64.powf(step_db / 10.0), late)];
        let mut chance = Chance(seed);
        let samples: Vec<f32> = (0..(4.0 * f64::from(RATE)) as usize)
            .map(|i| {
                let t = i as f64 / f64::from(RATE) - 0.5;
                let power: f64 = parts.iter().map(|(a, t60)| a * (-13.815_511 * t / t60).exp()).sum();
                let sound = if t < 0.0 { 0.0 } else { 0.3 * power.sqrt() };
                chance.noise() * sound as f32 + chance.noise() * 1e-5
            })
            .collect();
        let settings = Settings { decay: true, ..Settings::default() };
        let decay = heard(float_wav(&samples, RATE), "room.wav", &settings).unwrap().decay.unwrap();
        let times = [decay.t20_s, decay.t30_s, decay.edt_s].map(Option::unwrap);
        let expect = [ideal(parts, -5.0, -25.0), ideal(parts, -5.0, -35.0), ideal(parts, 0.0, -10.0)];
        for ((found, expect), scatter) in times.iter().zip(expect).zip([SCATTER, SCATTER, EARLY_OF_TWO]) {
            assert!((found / expect - 1.0).abs() < scatter, "{found} s, not {expect}: {times:?}");
        }
        assert!(times[2] < times[0] && times[0] < times[1], "{times:?}");
    }
}

#[test]
fn noise_takes_away_first_t30_then_t20_then_all() {
    let loud = |floor: f64| {
        let analysis = room(&[(0.5, 0.3)], 0.5, floor, 3.0, 9);
        assert!(analysis.warns("decay-range"));
        let decay = analysis.decay.unwrap();
        (decay.t20_s.is_some(), decay.t30_s.is_some(), decay.edt_s.is_some())
    };
    assert_eq!(loud(0.003), (true, false, true));
    assert_eq!(loud(0.01), (false, false, true));
    assert_eq!(loud(0.2), (false, false, false));
}

#[test]
fn what_is_no_decay_has_no_times() {
    let hiss = room(&[], 0.5, 0.01, 4.0, 10);
    assert!(hiss.warns("decay-range"));
    let decay = hiss.decay.unwrap();
    assert_eq!((decay.t20_s, decay.t30_s, decay.edt_s), (None, None, None));
    let silent = heard(float_wav(&[0.0; 48_000], RATE), "mute.wav", &Settings { decay: true, ..Settings::default() });
    assert!(silent.unwrap().decay.unwrap().bands.is_empty());
}
