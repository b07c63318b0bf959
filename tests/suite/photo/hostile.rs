//! Broken, cut and strange files: an answer or a refusal, never a panic and never a figure from a grey rest.

use image::codecs::jpeg::JpegEncoder;
use image::{DynamicImage, ImageFormat, RgbImage};
use stillroom::photo::{Warning, measure, thumbnail};

use super::vectors::bytes;
use crate::evidence::learning::dice::Dice;

/// A small picture with edges, shading and colour, a different one for each seed.
fn picture(width: u32, height: u32) -> RgbImage {
    RgbImage::from_fn(width, height, |x, y| {
        let checked = if (x / 9 + y / 7) % 2 == 0 { 60 } else { 0 };
        image::Rgb([(x * 2 % 190) as u8 + checked, (y * 3 % 190) as u8 + checked, ((x + y) % 190) as u8 + checked])
    })
}

fn encoded(format: ImageFormat) -> Vec<u8> {
    let mut out = std::io::Cursor::new(Vec::new());
    DynamicImage::ImageRgb8(picture(97, 66)).write_to(&mut out, format).unwrap();
    out.into_inner()
}

fn seeds() -> Vec<(&'static str, Vec<u8>)> {
    let mut jpeg = Vec::new();
    JpegEncoder::new_with_quality(&mut jpeg, 80).encode_image(&picture(97, 66)).unwrap();
    vec![
        ("jpeg", jpeg),
        ("png", encoded(ImageFormat::Png)),
        ("webp", encoded(ImageFormat::WebP)),
        ("gif", encoded(ImageFormat::Gif)),
        ("bmp", encoded(ImageFormat::Bmp)),
    ]
}

#[test]
fn no_mutation_panics() {
    let mut dice = Dice(7);
    let (mut measured, mut refused) = (0, 0);
    for (name, seed) in seeds() {
        assert!(measure(&seed).is_ok(), "{name}");
        for _ in 0..250 {
            match measure(&dice.damaged(&seed)) {
                Ok(photo) => {
                    measured += 1;
                    assert!((0.0..=100.0).contains(&photo.busyness));
                }
                Err(refusal) => {
                    refused += 1;
                    assert!(!refusal.to_string().is_empty() && !refusal.hint().is_empty());
                }
            }
        }
    }
    // Both ways must have been walked for the test to say anything.
    assert!(measured > 50 && refused > 50, "{measured} measured, {refused} refused");
}

/// Profiles, turns, progressive scans and four inks: the readers that the small pictures do not reach. Each of these pictures
/// went through a thousand mutations once; a few are kept here.
#[test]
fn no_mutation_of_a_richer_photo_panics() {
    const MUTATIONS: usize = 8;
    let mut dice = Dice(11);
    for name in ["room-16-p3.jpg", "turned-6.jpg", "room-16-progressive.jpg", "room-16-cmyk.jpg", "room-16-16bit.png"] {
        let seed = bytes(name);
        for _ in 0..MUTATIONS {
            if let Ok(photo) = measure(&dice.damaged(&seed)) {
                assert!((0.0..=100.0).contains(&photo.busyness));
            }
        }
    }
}

/// What a phone's or a browser's broken copying leaves: the front, the front and zeros, the front closed with an end mark.
#[test]
fn a_cut_jpeg_is_refused_however_it_was_cut() {
    for name in ["turned-1.jpg", "room-16-progressive.jpg", "room-16-cmyk.jpg", "room-16-grey.jpg", "apartment.jpg"] {
        let whole = bytes(name);
        assert!(measure(&whole).is_ok());
        for percent in [15, 30, 45, 60, 75, 90, 97] {
            let front = &whole[..whole.len() * percent / 100];
            let mut zeros = front.to_vec();
            zeros.resize(whole.len(), 0);
            let mut closed_zeros = zeros.clone();
            closed_zeros.extend([0xFF, 0xD9]);
            let mut closed = front.to_vec();
            closed.extend([0xFF, 0xD9]);
            for (how, cut) in
                [("cut", front.to_vec()), ("zeros", zeros), ("closed", closed), ("closed zeros", closed_zeros)]
            {
                let refusal = measure(&cut).map(|photo| photo.busyness).unwrap_err();
                assert_eq!(refusal.code(), "cut-off", "{name} {how} at {percent} %");
                assert_eq!(thumbnail(&cut, 128).unwrap_err().code(), "cut-off");
            }
        }
        assert_eq!(measure(&whole[..whole.len() - 2]).unwrap_err().code(), "cut-off", "{name} without its end mark");
    }
}

#[test]
fn other_cut_pictures_are_refused_or_say_so() {
    let files = ["room-16-small.png", "room-16.gif", "room-16.webp", "room-16-alpha.png"].map(bytes);
    for (name, whole) in files.into_iter().map(|file| ("file", file)).chain(seeds().into_iter().skip(1)) {
        for percent in [20, 50, 80, 95] {
            match measure(&whole[..whole.len() * percent / 100]) {
                Err(refusal) => assert!(matches!(refusal.code(), "cut-off" | "unreadable"), "{refusal}"),
                Ok(photo) => assert!(photo.has(Warning::CutOff), "{name} at {percent} %: {:?}", photo.warnings),
            }
        }
    }
}

#[test]
fn a_header_that_lies_about_its_size_costs_nothing() {
    // The size in the frame header of a JPEG set to 65,500 × 65,500.
    let mut forged = bytes("turned-1.jpg");
    let at = forged.windows(2).position(|pair| pair == [0xFF, 0xC0]).unwrap();
    forged[at + 5..at + 9].copy_from_slice(&[0xFF, 0xDC, 0xFF, 0xDC]);
    assert_eq!(measure(&forged).unwrap_err().code(), "too-large");
}

#[test]
fn a_picture_that_makes_its_decoder_panic_is_refused_with_a_hint() {
    // Found by fuzz/run: the second of three components has eight times the samples of the first.
    let refusal = measure(include_bytes!("../../../fuzz/seeds/photo/odd-sampling.jpg")).unwrap_err();
    assert!(refusal.to_string().contains("its colours have more samples than its brightness"), "{refusal}");
    // The same written into a whole picture: the second factor of the second component.
    let mut whole = bytes("turned-1.jpg");
    let at = whole.windows(2).position(|pair| pair == [0xFF, 0xC0]).unwrap() + 4 + 6;
    let first = whole[at + 1];
    assert!(measure(&whole).is_ok());
    whole[at + 4] = first + 1;
    assert!(measure(&whole).unwrap_err().to_string().contains("more samples than"));
    assert!(refusal.hint().starts_with("copy the photo again"), "{}", refusal.hint());
}

#[test]
fn a_moving_picture_is_measured_by_its_first_frame() {
    use image::codecs::gif::GifEncoder;
    use image::{Delay, Frame};
    let still = picture(97, 66);
    let mut out = Vec::new();
    let mut encoder = GifEncoder::new(&mut out);
    for brightness in [0, 60] {
        let mut frame = DynamicImage::ImageRgb8(still.clone()).into_rgba8();
        frame.pixels_mut().for_each(|pixel| pixel.0[0] = pixel.0[0].saturating_add(brightness));
        encoder.encode_frame(Frame::from_parts(frame, 0, 0, Delay::from_numer_denom_ms(100, 1))).unwrap();
    }
    drop(encoder);
    let moving = measure(&out).unwrap();
    assert!(moving.has(Warning::Animated));
    let alone = measure(&encoded(ImageFormat::Gif)).unwrap();
    assert!(!alone.has(Warning::Animated));
    // One palette each, so not the same to the last digit.
    assert!((moving.busyness - alone.busyness).abs() < 3.0);
}
