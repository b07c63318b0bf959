//! Laws: what must not change busyness, and what must keep its bounds.

use std::io::Cursor;

use image::{DynamicImage, ImageFormat, RgbImage};
use proptest::prelude::{ProptestConfig, any, prop_assert, proptest};
use stillroom::photo::{Measured, measure, pull, together};

use super::vectors::bytes;

fn photo(picture: &DynamicImage) -> Measured {
    let mut out = Cursor::new(Vec::new());
    picture.write_to(&mut out, ImageFormat::Png).unwrap();
    measure(&out.into_inner()).unwrap()
}

/// Rectangles thrown on a wall.
fn room(things: &[(u8, u8, u8, u8, u8)]) -> RgbImage {
    let mut room = RgbImage::from_fn(160, 120, |_, y| image::Rgb([170 + (y / 8) as u8, 165 + (y / 8) as u8, 160]));
    for &(x, y, size, hue, tone) in things {
        for dy in 0..u32::from(size % 30) + 4 {
            for dx in 0..u32::from(size / 8) + 4 {
                let (x, y) = (u32::from(x % 150) + dx, u32::from(y % 110) + dy);
                if x < 160 && y < 120 {
                    room.put_pixel(x, y, image::Rgb([tone, hue, tone ^ hue]));
                }
            }
        }
    }
    room
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    /// Sums run in another order, and smooth shading may cross a cell border.
    #[test]
    fn turning_or_mirroring_the_picture_leaves_its_busyness(things in proptest::collection::vec(any::<(u8, u8, u8, u8, u8)>(), 0..12)) {
        const TURN: f64 = 0.6;
        let upright = DynamicImage::ImageRgb8(room(&things));
        let before = photo(&upright);
        for turned in [upright.rotate90(), upright.rotate180(), upright.fliph()] {
            let after = photo(&turned);
            prop_assert!((after.busyness - before.busyness).abs() < TURN, "{} {}", before.busyness, after.busyness);
        }
    }

    #[test]
    fn the_figures_keep_their_bounds(things in proptest::collection::vec(any::<(u8, u8, u8, u8, u8)>(), 0..20)) {
        let photo = photo(&DynamicImage::ImageRgb8(room(&things)));
        let m = photo.measures;
        for share in [m.edge_share, m.chroma_share] {
            prop_assert!((0.0..=1.0).contains(&share));
        }
        for points in [m.clutter, m.colour, photo.busyness] {
            prop_assert!((0.0..=100.0).contains(&points));
        }
        prop_assert!(photo.busy_places.iter().all(|p| p.x >= 0.0 && p.x + p.width <= 1.0 + 1e-12));
        prop_assert!(photo.busy_places.iter().map(|p| p.share).sum::<f64>() <= 1.0 + 1e-9);
    }

    #[test]
    fn several_photos_lie_between_their_calmest_and_busiest(busyness in proptest::collection::vec(0.0..=100.0f64, 1..8)) {
        let all = together(&busyness, 30.0).unwrap();
        let lowest = busyness.iter().copied().fold(f64::MAX, f64::min);
        let highest = busyness.iter().copied().fold(f64::MIN, f64::max);
        prop_assert!(all.busyness >= lowest && all.busyness <= highest);
        let back = pull(all.busyness, 30.0).unwrap().u();
        prop_assert!((back - all.pull.u()).abs() < 1e-9);
    }
}

/// Light of 0.7 and 1.4 times as much moved the reference rooms by 0.7 at most; twice that here, on 8-bit rounding of a real photo.
#[test]
fn more_or_less_exposure_nearly_leaves_busyness() {
    const EXPOSURE: f64 = 1.5;
    let lobby = image::load_from_memory(&bytes("lobby.jpg")).unwrap().into_rgb8();
    let before = photo(&DynamicImage::ImageRgb8(lobby.clone())).busyness;
    for factor in [0.7f64, 0.85] {
        let mut darker = lobby.clone();
        for sample in darker.iter_mut() {
            // In linear light, as a lens would.
            let encoded = f64::from(*sample) / 255.0;
            let linear = if encoded <= 0.04045 { encoded / 12.92 } else { ((encoded + 0.055) / 1.055).powf(2.4) };
            let less = factor * linear;
            let encoded = if less <= 0.003_130_8 { 12.92 * less } else { 1.055 * less.powf(1.0 / 2.4) - 0.055 };
            *sample = (encoded * 255.0).round() as u8;
        }
        let after = photo(&DynamicImage::ImageRgb8(darker)).busyness;
        assert!((after - before).abs() < EXPOSURE, "{before} {after}");
    }
}

/// Two threads, but no sum whose order they decide.
#[test]
fn measuring_twice_gives_the_same_bits() {
    let one = measure(&bytes("room-16.jpg")).unwrap();
    let two = measure(&bytes("room-16.jpg")).unwrap();
    assert_eq!(one.busyness.to_bits(), two.busyness.to_bits());
    assert_eq!(one.busy_places, two.busy_places);
}
