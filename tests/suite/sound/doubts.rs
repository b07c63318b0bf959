//! Doubts that are there when they should be, and silent on every oracle recording.

use std::f64::consts::TAU;

use stillroom::sound::Settings;

use super::made::{Chance, analysed, heard, read};

const RATE: u32 = 16_000;
const JUDGED: [&str; 5] = ["gain-control", "handling", "wind", "narrow-band", "flat-top"];

fn hiss(seconds: f64, gain: impl Fn(f64) -> f64) -> Vec<f32> {
    let mut chance = Chance(3);
    let count = (seconds * f64::from(RATE)) as usize;
    (0..count).map(|i| chance.noise() * gain(i as f64 / f64::from(RATE)) as f32).collect()
}

#[test]
fn a_steady_hiss_raises_no_doubt_but_its_rate_and_length() {
    let analysis = analysed(&hiss(10.0, |_| 0.01), RATE);
    let codes: Vec<&str> = analysis.quality.warnings.iter().map(|warning| warning.code()).collect();
    assert_eq!(codes, ["short", "low-rate"]);
}

#[test]
fn no_oracle_recording_raises_a_judged_doubt() {
    let expected: serde_json::Value = serde_json::from_slice(&read("expected.json")).unwrap();
    for (name, entry) in expected["files"].as_object().unwrap() {
        if entry["refused"] == true {
            continue;
        }
        let analysis = heard(read(name), name, &Settings::default()).unwrap();
        let judged: Vec<String> = analysis
            .quality
            .warnings
            .iter()
            .filter(|warning| JUDGED.contains(&warning.code()))
            .map(|warning| warning.text())
            .collect();
        assert!(judged.is_empty(), "{name}: {judged:?}");
    }
}

#[test]
fn a_background_that_climbs_after_every_bang_is_gain_control() {
    // Every 8 s a bang of 0.3 s, behind which the background starts 12 dB down and comes back over 4 s.
    let gain = |t: f64| {
        let since = t % 8.0;
        if since < 0.3 { 0.2 } else { 0.004 * 10f64.powf((-12.0 * (1.0 - (since - 0.3) / 4.0).clamp(0.0, 1.0)) / 20.0) }
    };
    assert!(analysed(&hiss(40.0, gain), RATE).warns("gain-control"));
    let honest = |t: f64| if t % 8.0 < 0.3 { 0.2 } else { 0.004 };
    assert!(!analysed(&hiss(40.0, honest), RATE).warns("gain-control"));
}

#[test]
fn a_gate_that_leaves_digital_silence_between_sounds_is_gain_control() {
    let gate = |t: f64| if t % 3.0 < 1.0 { 0.05 } else { 0.0 };
    assert!(analysed(&hiss(12.0, gate), RATE).warns("gain-control"));
}

#[test]
fn a_low_thump_alone_is_handling_and_a_bang_is_not() {
    let mut touched = hiss(10.0, |_| 0.003);
    for (i, x) in touched.iter_mut().enumerate().skip(80_000).take(4000) {
        let t = (i - 80_000) as f64 / f64::from(RATE);
        *x += (0.3 * (TAU * 40.0 * t).sin() * (-t / 0.08).exp() * (1.0 - (-t / 0.01).exp())) as f32;
    }
    assert!(analysed(&touched, RATE).warns("handling"));
    let bang = hiss(10.0, |t| if (5.0..5.2).contains(&t) { 0.3 } else { 0.003 });
    assert!(!analysed(&bang, RATE).warns("handling"));
}

#[test]
fn low_sound_that_swells_is_wind_and_a_steady_fan_is_not() {
    let low = |gusty: bool| {
        let (mut brown, mut browner) = (0.0f64, 0.0f64);
        let mut chance = Chance(5);
        let mut calm = hiss(20.0, |_| 0.0005);
        for (i, x) in calm.iter_mut().enumerate() {
            let t = i as f64 / f64::from(RATE);
            brown = brown * 0.997 + f64::from(chance.noise()) * 0.003;
            browner = browner * 0.997 + brown * 0.02;
            let gain = if gusty { 10f64.powf(0.9 * (TAU * 0.4 * t).sin()) } else { 1.0 };
            *x += (browner * gain) as f32;
        }
        analysed(&calm, RATE)
    };
    assert!(low(true).warns("wind"));
    assert!(!low(false).warns("wind"));
}

#[test]
fn a_telephone_band_at_a_higher_rate_is_seen() {
    let rate = 16_000;
    let mut chance = Chance(9);
    let wide: Vec<f32> = (0..rate * 8).map(|_| chance.noise() * 0.05).collect();
    // A windowed-sinc low-pass at 3.4 kHz, 127 taps.
    let taps: Vec<f64> = (-63..=63)
        .map(|i| {
            let x = f64::from(i);
            let sinc = if i == 0 { 0.425 } else { (TAU / 2.0 * 0.425 * x).sin() / (TAU / 2.0 * x) };
            sinc * (0.5 + 0.5 * (TAU / 2.0 * x / 64.0).cos())
        })
        .collect();
    let narrow: Vec<f32> = wide
        .windows(taps.len())
        .map(|part| part.iter().zip(&taps).map(|(x, tap)| f64::from(*x) * tap).sum::<f64>() as f32)
        .collect();
    assert!(analysed(&narrow, RATE).warns("narrow-band"));
    assert!(!analysed(&wide, RATE).warns("narrow-band"));
}

#[test]
fn an_overload_before_storing_is_a_flat_top() {
    let cut: Vec<f32> = (0..64_000).map(|i| (0.9 * (f64::from(i) * 0.08).sin()).clamp(-0.6, 0.6) as f32).collect();
    let analysis = analysed(&cut, RATE);
    assert!(analysis.warns("flat-top") && !analysis.warns("clipped"));
}
