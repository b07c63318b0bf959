//! Decays made here: noise under an exponential, with what a real room adds.

use stillroom::sound::{Analysis, Settings};

use super::made::{Chance, float_wav, heard};

const RATE: u32 = 24_000;
/// One decay of noise scatters; over the two octaves of the single number this is what the reference allows, share.
const SCATTER: f64 = 0.08;
/// The early decay has fewer independent values, share.
const EARLY_SCATTER: f64 = 0.2;

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
