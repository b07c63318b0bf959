//! Bad input: every line of the list of fifteen, and thousands of seeded mutations, none of which may panic.

use proptest::prelude::{ProptestConfig, any, prop, prop_assert, proptest};
use stillroom::sound::{Fault, Settings, gather};

use super::made::{Chance, Format, analysed, float_wav, heard, read, wav};

const MONO_16: Format = Format { tag: 1, channels: 1, rate: 16_000, bits: 16 };
/// Mutations of each seed.
const MUTATIONS: usize = 60;

fn noise(bytes: usize) -> Vec<u8> {
    let mut chance = Chance(7);
    (0..bytes).map(|_| (chance.bits() >> 24) as u8).collect()
}

#[track_caller]
fn refused(bytes: Vec<u8>) -> Fault {
    let refusal = heard(bytes, "bad.wav", &Settings::default()).unwrap_err();
    assert!(!refusal.hint().is_empty() && refusal.to_string().starts_with("bad.wav: "));
    refusal.fault().clone()
}

#[test]
fn nothing_is_said_to_be_empty() {
    assert_eq!(refused(Vec::new()), Fault::Empty);
}

#[test]
fn text_pages_pictures_and_rubbish_are_no_recordings() {
    for bytes in [
        b"Dear all, the recording is attached.".to_vec(),
        b"<!DOCTYPE html><html><body>Not found</body></html>".to_vec(),
        b"\xff\xd8\xff\xe0\0\x10JFIF".to_vec(),
        b"RIFF\x24\0\0\0WXYZ".iter().copied().chain(noise(3000)).collect(),
        b"fLaC".iter().copied().chain(noise(3000)).collect(),
        b"OggS".iter().copied().chain(noise(3000)).collect(),
        noise(50_000),
        vec![0; 10_000],
    ] {
        let fault = refused(bytes);
        assert!(matches!(fault, Fault::NotSound { .. } | Fault::NoSound | Fault::Broken { .. }), "{fault:?}");
    }
    let rubbish = b"\0\0\0\x18ftypM4A ".iter().copied().chain(noise(3000)).collect();
    let _fault: Fault = refused(rubbish);
}

#[test]
fn a_header_without_sound_is_said_to_have_none() {
    let whole = wav(&MONO_16, 0, &[]);
    for length in [4, 11, 12, 20, 35, 36, 40, 44] {
        assert_eq!(refused(whole[..length].to_vec()), Fault::NoSound, "{length} bytes");
    }
    let mut with_chunk = wav(&MONO_16, 0, &[]);
    with_chunk.extend(b"LIST\x04\0\0\0INFO");
    assert_eq!(refused(with_chunk), Fault::NoSound);
}

#[test]
fn impossible_headers_are_refused() {
    let sound = noise(4000);
    let with = |format: Format| refused(wav(&format, 4000, &sound));
    assert!(matches!(with(Format { channels: 0, ..MONO_16 }), Fault::Channels { channels: 0, .. }));
    assert!(matches!(with(Format { channels: 65_535, ..MONO_16 }), Fault::Channels { channels: 65_535, .. }));
    assert_eq!(with(Format { rate: 0, ..MONO_16 }), Fault::Rate { hz: 0 });
    assert_eq!(with(Format { rate: 4_000_000_000, ..MONO_16 }), Fault::Rate { hz: 4_000_000_000 });
    assert!(matches!(with(Format { bits: 7, ..MONO_16 }), Fault::SampleForm { .. }));
    assert!(matches!(with(Format { tag: 3, ..MONO_16 }), Fault::SampleForm { .. }));
    let mut frame = wav(&MONO_16, 4000, &sound);
    frame[32] = 3;
    assert!(matches!(refused(frame), Fault::SampleForm { .. }));
}

#[test]
fn one_sample_that_is_no_number_or_far_too_large_is_enough() {
    let at = 1000;
    for (bad, number) in [(f32::NAN, false), (f32::INFINITY, false), (f32::NEG_INFINITY, false), (101.0, true)] {
        let mut samples = vec![0.1; 16_000];
        samples[at] = bad;
        let at_ms = 62;
        let expect = if number { Fault::BeyondScale { at_ms } } else { Fault::NotNumbers { at_ms } };
        assert_eq!(refused(float_wav(&samples, 16_000)), expect);
    }
    let doubles: Vec<u8> = [0.1, 1e300, 0.1].iter().cycle().take(9000).flat_map(|x: &f64| x.to_le_bytes()).collect();
    let fault = refused(wav(&Format { tag: 3, channels: 1, rate: 16_000, bits: 64 }, 72_000, &doubles));
    assert!(matches!(fault, Fault::BeyondScale { .. }));
}

#[test]
fn lying_and_streaming_sizes_are_read_to_the_end_of_the_file() {
    let sound = noise(64_001);
    for (claimed, truncated) in [(128_000, true), (0xffff_ffff, false), (0xffff_fff0, false), (0, false)] {
        let analysis = heard(wav(&MONO_16, claimed, &sound), "lie.wav", &Settings::default()).unwrap();
        assert!((analysis.source.seconds - 2.0).abs() < 1e-9, "{claimed}: {} s", analysis.source.seconds);
        assert_eq!(analysis.warns("truncated"), truncated, "{claimed}");
    }
}

#[test]
fn a_long_data_chunk_of_the_64_bit_form_is_read() {
    let sound = noise(32_000);
    let mut bytes = b"RF64\xff\xff\xff\xffWAVEds64\x1c\0\0\0".to_vec();
    bytes.extend(0u64.to_le_bytes());
    bytes.extend(32_000u64.to_le_bytes());
    bytes.extend([0; 12]);
    bytes.extend(&wav(&MONO_16, 0xffff_ffff, &sound)[12..]);
    let analysis = heard(bytes, "long.wav", &Settings::default()).unwrap();
    assert!((analysis.source.seconds - 1.0).abs() < 1e-9);
    assert!(!analysis.warns("truncated"));
}

#[test]
fn a_constant_is_silence_and_no_level() {
    for value in [0.0, 0.5] {
        let analysis = analysed(&[value; 40_000], 16_000);
        assert!(analysis.quality.silent && analysis.warns("silent"));
        assert_eq!(analysis.levels, stillroom::sound::Levels::default());
        assert!(analysis.third_octaves.is_empty() && analysis.history.is_empty());
        assert_eq!(analysis.changes.speech_share, None);
        assert_eq!(analysis.warns("dc-offset"), value > 0.1);
    }
}

#[test]
fn one_sample_is_a_recording_without_percentiles() {
    let analysis = analysed(&[0.5, -0.5, 0.25], 8000);
    assert!(analysis.levels.lzeq.is_some() && analysis.levels.la90.is_none());
    assert!(analysis.warns("short"));
    assert!(analysed(&[0.5], 8000).quality.silent);
}

#[test]
fn thousands_of_tiny_chunks_are_refused() {
    let mut bytes = b"RIFF\0\0\0\0WAVE".to_vec();
    for _ in 0..20_000 {
        bytes.extend(b"junk\0\0\0\0");
    }
    assert!(matches!(refused(bytes), Fault::TooManyChunks { .. }));
}

#[test]
fn a_chunk_whose_size_would_wrap_ends_the_search() {
    let mut bytes = b"RIFF\0\0\0\0WAVEjunk\xff\xff\xff\xff".to_vec();
    bytes.extend(noise(100));
    assert_eq!(refused(bytes), Fault::NoSound);
}

#[test]
fn more_than_two_hours_are_refused_before_they_are_read() {
    let format = Format { tag: 1, channels: 1, rate: 4000, bits: 8 };
    let bytes = wav(&format, 29_000_000, &vec![128; 29_000_000]);
    assert_eq!(refused(bytes), Fault::TooLong);
}

/// FLAC frames of one constant value, 65,535 samples on a dozen bytes: hours of sound in a file of some kilobytes.
#[test]
fn a_small_file_cannot_stand_for_hours() {
    let frames = 6000;
    let fault = refused(flac_of_constants(frames));
    assert!(matches!(fault, Fault::TooDense { .. }), "{fault:?}");
    // As much of it as its bytes may stand for is read.
    assert!(heard(flac_of_constants(40), "still.flac", &Settings::default()).unwrap().quality.silent);
}

/// A FLAC file of so many frames, each 65,535 samples of nothing at 48 kHz.
fn flac_of_constants(frames: u32) -> Vec<u8> {
    let mut bytes = b"fLaC\x80\0\0\x22".to_vec();
    bytes.extend([0xff, 0xff, 0xff, 0xff, 0, 0, 0, 0, 0, 0]);
    // 48,000 Hz in 20 bits, one channel, 16 bits a sample, length unknown; then no checksum.
    bytes.extend([0x0b, 0xb8, 0x00, 0xf0, 0, 0, 0, 0]);
    bytes.extend([0; 16]);
    for number in 0..frames {
        let mut frame = vec![0xff, 0xf8, 0x7a, 0x08];
        let mut coded = [0; 4];
        frame.extend(char::from_u32(number).unwrap().encode_utf8(&mut coded).as_bytes());
        frame.extend(0xfffeu16.to_be_bytes());
        frame.push(sum(&frame, 0x07, 8) as u8);
        frame.extend([0, 0, 0]);
        frame.extend((sum(&frame, 0x8005, 16) as u16).to_be_bytes());
        bytes.extend(frame);
    }
    bytes
}

/// A cyclic redundancy check of so many bits, from nothing, highest bit first.
fn sum(bytes: &[u8], polynomial: u32, bits: u32) -> u32 {
    bytes.iter().fold(0, |sum, byte| {
        (0..8).fold(sum ^ (u32::from(*byte) << (bits - 8)), |sum, _| {
            let out = (sum >> (bits - 1)) & 1;
            ((sum << 1) ^ (out * polynomial)) & ((1 << bits) - 1)
        })
    })
}

#[test]
fn a_pipe_is_gathered_and_read() {
    let bytes = wav(&MONO_16, 0, &noise(32_000));
    let gathered = gather(&mut bytes.as_slice(), "-").unwrap();
    assert!(heard(gathered, "-", &Settings::default()).is_ok());
}

#[test]
fn no_mutation_of_a_recording_panics_or_gives_a_level_that_is_no_number() {
    let seeds = [
        "seeds/tone.flac",
        "seeds/tone.mp3",
        "seeds/tone.ogg",
        "seeds/tone-aac.m4a",
        "seeds/tone-aac-fast.m4a",
        "seeds/tone-alac.m4a",
        "seeds/tone.aac",
        "loud-not-clipped.wav",
    ];
    let mut read_anyway = 0;
    for (place, seed) in seeds.iter().enumerate() {
        let whole = read(seed);
        let mut chance = Chance(place as u64 + 1);
        for _ in 0..MUTATIONS {
            let mut bytes = whole.clone();
            // Heads decide most, so half of the changes fall there.
            for _ in 0..=chance.below(8) {
                let reach = if chance.below(2) == 0 { bytes.len().min(200) } else { bytes.len() };
                let at = chance.below(reach);
                match chance.below(4) {
                    0 => bytes[at] = 0xff,
                    1 => bytes[at] = 0,
                    2 => bytes[at] ^= 1 << chance.below(8),
                    _ => bytes[at] = (chance.bits() >> 24) as u8,
                }
            }
            if chance.below(6) == 0 {
                bytes.truncate(chance.below(bytes.len()));
            }
            if let Ok(analysis) = heard(bytes, seed, &Settings { decay: true, ..Settings::default() }) {
                read_anyway += 1;
                let levels = analysis.levels;
                for level in [levels.laeq, levels.lceq, levels.lzeq, levels.lafmax, levels.la90].into_iter().flatten() {
                    assert!(level.db().is_finite());
                }
            }
        }
    }
    assert!(read_anyway > 50, "the mutations are too coarse: only {read_anyway} were read");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn any_header_is_answered(
        tag in prop::sample::select(vec![1u16, 3, 0xfffe, 6, 0x55]),
        channels in 0u16..40,
        rate in prop::sample::select(vec![0u32, 3999, 4000, 11_025, 44_100, 384_000, 384_001]),
        bits in prop::sample::select(vec![0u16, 1, 7, 8, 12, 16, 24, 32, 64]),
        claimed in prop::sample::select(vec![0u32, 1, 999, 3000, 0x7fff_ffff, 0xffff_ffff]),
        flips in prop::collection::vec((0usize..60, any::<u8>()), 0..4),
        sound in prop::collection::vec(any::<u8>(), 0..3000),
    ) {
        let mut bytes = wav(&Format { tag, channels, rate, bits }, claimed, &sound);
        for (at, value) in flips {
            if let Some(byte) = bytes.get_mut(at) {
                *byte = value;
            }
        }
        match heard(bytes, "any.wav", &Settings::default()) {
            Ok(analysis) => prop_assert!(analysis.source.seconds > 0.0 && analysis.source.channels <= 32),
            Err(refusal) => prop_assert!(!refusal.hint().is_empty()),
        }
    }
}
