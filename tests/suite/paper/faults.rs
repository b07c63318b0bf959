//! What is not whole is refused with a sentence and what to do; what is no sheet of ours is never read.

use image::{ExtendedColorType, ImageEncoder};
use proptest::prelude::{ProptestConfig, any, proptest};
use stillroom::paper::{Fault, HEIGHT, Kind, WIDTH, seen};

use super::others::other;
use super::render::{Chance, Page, Shot, place, printed, sheet};

fn page(number: u32) -> Page {
    printed(&sheet(Kind::Sampling, number))
}

#[track_caller]
fn refused(jpeg: &[u8], code: &str) {
    let fault = seen(jpeg).map(|found| found.label()).unwrap_err();
    assert_eq!(fault.code(), code, "{fault}");
    assert!(!fault.to_string().is_empty() && fault.hint().len() > 20);
}

fn photo(shot: &Shot, page: &Page) -> Vec<u8> {
    shot.photographed(&[(page, shot.aside)], &mut Chance::new(4))
}

/// White over a corner mark, as a fold shows the back of the paper.
fn folded(mut page: Page, corners: &[(f64, f64)]) -> Page {
    for &(x, y) in corners {
        let (left, top) = (21.0 + x - 8.0, 26.0 + y - 8.0);
        for row in 0..128 {
            page.whiten(left, top + f64::from(row) / 8.0, 16.0);
        }
    }
    page
}

#[test]
fn a_sheet_that_is_not_whole_is_refused_by_what_is_missing() {
    let plain = Shot::plain(Kind::Sampling);
    assert!(seen(&photo(&plain, &page(1))).is_ok());
    refused(&photo(&plain, &folded(page(1), &[(WIDTH, 0.0)])), "corner-hidden");
    refused(&photo(&plain, &folded(page(1), &[(0.0, HEIGHT), (WIDTH, HEIGHT)])), "half-a-sheet");
    // Half of it outside the picture.
    refused(&photo(&Shot { aside: (0.0, 190.0), ..plain.clone() }, &page(1)), "half-a-sheet");
    refused(&photo(&Shot { mirrored: true, ..plain.clone() }, &page(1)), "mirrored");
    refused(&photo(&Shot { mirrored: true, turn: 90.0, ..plain.clone() }, &page(1)), "mirrored");
    // The dots are covered by a thumb.
    let mut smeared = page(1);
    for row in 0..10 {
        let y = 26.0 + HEIGHT - 13.5 + f64::from(row) * 0.9;
        smeared.stroke((28.0, y), (140.0, y), 1.4, 0.02);
    }
    refused(&photo(&plain, &smeared), "dots-unreadable");
    let (one, two) = (page(1), page(2));
    let both = Shot { far: 1.9, long: 2000, ..plain };
    let jpeg = both.photographed(&[(&one, (-115.0, 0.0)), (&two, (115.0, 0.0))], &mut Chance::new(4));
    refused(&jpeg, "several-sheets");
}

#[test]
fn a_screenshot_is_told_from_a_photo() {
    // A blank sheet as a screen shows it: no noise, nothing filled.
    let sheet = sheet(Kind::Sittings, 5);
    let text = stillroom::paper::svg(&sheet).into_string();
    let tree = resvg::usvg::Tree::from_str(&text, &resvg::usvg::Options::default()).unwrap();
    let (width, height) = (1000u32, 1355u32);
    let mut canvas = resvg::tiny_skia::Pixmap::new(width, height).unwrap();
    canvas.fill(resvg::tiny_skia::Color::WHITE);
    let scale = 1000.0 / tree.size().width();
    resvg::render(&tree, resvg::tiny_skia::Transform::from_scale(scale, scale), &mut canvas.as_mut());
    let png = canvas.encode_png().unwrap();
    let fault = seen(&png).and_then(|found| found.read(&sheet)).unwrap_err();
    assert_eq!(fault, Fault::Screenshot);
    let mut empty = resvg::tiny_skia::Pixmap::new(width, height).unwrap();
    empty.fill(resvg::tiny_skia::Color::WHITE);
    assert_eq!(seen(&empty.encode_png().unwrap()).map(|_| ()).unwrap_err(), Fault::Screenshot);
}

/// Other pictures of the suite; the example takes 300.
const OTHERS: u64 = 36;

#[test]
fn no_other_picture_is_read() {
    for seed in 0..OTHERS {
        assert!(seen(&other(seed)).is_err(), "{seed}");
    }
    // Real photos and drawings of rooms.
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("demo");
    let mut open = vec![folder];
    let mut read = 0;
    while let Some(folder) = open.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            let name = path.to_string_lossy().to_lowercase();
            if path.is_dir() {
                open.push(path);
            } else if [".jpg", ".png"].iter().any(|ending| name.ends_with(ending)) {
                read += 1;
                assert!(seen(&std::fs::read(&path).unwrap()).is_err(), "{name}");
            }
        }
    }
    assert!(read > 0);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    #[test]
    fn no_picture_makes_it_stumble(
        width in 64u32..220, height in 64u32..220, seed in any::<u64>(), dark in 0.0f64..1.0, coarse in 1u32..24,
    ) {
        let mut levels = vec![255u8; (width * height) as usize];
        let chance = &mut Chance::new(seed);
        let blocks: Vec<bool> = (0..4096).map(|_| chance.chance(dark)).collect();
        for (at, level) in (0u32..).zip(&mut levels) {
            let (x, y) = (at % width / coarse, at / width / coarse);
            if blocks[place(f64::from((x * 31 + y * 97) % 4096))] { *level = 10; }
        }
        let mut png = Vec::new();
        image::codecs::png::PngEncoder::new(&mut png).write_image(&levels, width, height, ExtendedColorType::L8).unwrap();
        assert!(seen(&png).is_err());
    }

    #[test]
    fn no_bytes_make_it_stumble(bytes in proptest::collection::vec(any::<u8>(), 0..300)) {
        assert!(seen(&bytes).is_err());
    }
}
