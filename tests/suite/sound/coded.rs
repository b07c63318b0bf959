//! Compressed recordings: the same 1 kHz tone at −20 dBFS, 1.5 s at 16 kHz, in every form that is read; and the
//! forms that are not.

use stillroom::sound::{Fault, Settings};

use super::made::{heard, read};

/// What these encoders changed the level of the tone by at so few bits, padding at the ends included, dB.
const LOSSY_DB: f64 = 0.7;
/// Lossless forms keep every sample; the maker's 16 bits are left.
const LOSSLESS_DB: f64 = 0.02;
/// What encoders add in padding, seconds.
const PADDING_S: f64 = 0.2;

#[track_caller]
fn check(name: &str, format: &str, lossy: bool) {
    let analysis = heard(read(&format!("seeds/{name}")), name, &Settings::default()).unwrap();
    assert_eq!(analysis.source.format, format);
    assert_eq!((analysis.source.sample_rate_hz, analysis.source.channels), (16_000, 1));
    let tolerance = if lossy { LOSSY_DB } else { LOSSLESS_DB };
    let level = analysis.levels.lzeq.unwrap().db();
    assert!((level + 20.0).abs() < tolerance, "{name}: {level}");
    let seconds = analysis.source.seconds;
    assert!((seconds - 1.5).abs() < if lossy { PADDING_S } else { 1e-9 }, "{name}: {seconds} s");
    assert_eq!(analysis.warns("lossy"), lossy);
    assert!(!analysis.warns("truncated") && !analysis.warns("damaged"), "{name}: {:?}", analysis.quality.warnings);
}

#[test]
fn lossless_forms_keep_the_level_exactly() {
    check("tone.flac", "FLAC", false);
    check("tone-alac.m4a", "M4A (ALAC)", false);
}

#[test]
fn lossy_forms_keep_the_level_nearly_and_say_so() {
    check("tone.mp3", "MP3", true);
    check("tone.ogg", "OGG Vorbis", true);
    check("tone-aac.m4a", "M4A (AAC)", true);
    check("tone-aac-fast.m4a", "M4A (AAC)", true);
    check("tone.aac", "AAC", true);
}

#[test]
fn a_form_that_is_not_read_is_refused_by_its_name_with_a_way_out() {
    for (name, word) in [
        ("tone.opus", "Opus"),
        ("tone.spx", "Speex"),
        ("tone.webm", "WebM"),
        ("tone.aiff", "AIFF"),
        ("tone.caf", "CAF"),
        ("tone.wma", "WMA"),
        ("tone-alaw.wav", "A-law"),
        ("tone-ac3.mp4", ""),
        ("video-only.mp4", ""),
    ] {
        let refusal = heard(read(&format!("seeds/refused/{name}")), name, &Settings::default()).unwrap_err();
        assert!(matches!(refusal.fault(), Fault::Unsupported { .. }), "{name}: {refusal:?}");
        assert!(refusal.to_string().contains(word), "{refusal}");
        assert!(refusal.hint().contains("ffmpeg"), "{}", refusal.hint());
    }
}

#[test]
fn a_compressed_recording_cut_short_is_read_and_said_to_be() {
    for name in ["tone.flac", "tone-aac-fast.m4a"] {
        let mut bytes = read(&format!("seeds/{name}"));
        bytes.truncate(bytes.len() * 85 / 100);
        let analysis = heard(bytes, name, &Settings::default()).unwrap();
        assert!(analysis.warns("truncated"), "{name}: {:?}", analysis.quality.warnings);
        assert!(analysis.source.seconds < 1.45);
    }
}

#[test]
fn a_few_good_frames_in_rubbish_are_no_recording() {
    let mut bytes = read("seeds/tone.mp3");
    bytes.truncate(1500);
    bytes.extend(std::iter::repeat_n(0x55u8, 20_000));
    let refusal = heard(bytes, "few.mp3", &Settings::default()).unwrap_err();
    assert!(!refusal.hint().is_empty());
}

#[test]
fn an_m4a_whose_recorder_died_before_the_index_says_so() {
    let mut bytes = read("seeds/tone-aac.m4a");
    bytes.truncate(5000);
    let refusal = heard(bytes, "died.m4a", &Settings::default()).unwrap_err();
    assert!(refusal.to_string().contains("index is missing"), "{refusal}");
}
