//! Two photos: the reference pairs, and the view that two photos share.

use std::io::Cursor;

use image::{DynamicImage, GenericImageView, ImageFormat};
use stillroom::photo::{Caution, Measured, compare, measure};

use super::vectors::{bytes, expected, measured};

/// A part of a reference picture, in fractions, as a PNG.
fn part(name: &str, [x, y, size]: [f64; 3]) -> Measured {
    let whole = image::load_from_memory(&bytes(name)).unwrap();
    let (width, height) = whole.dimensions();
    let of = |share: f64, side: u32| (share * f64::from(side)) as u32;
    let part = whole.crop_imm(of(x, width), of(y, height), of(size, width), of(size, height));
    let mut out = Cursor::new(Vec::new());
    DynamicImage::ImageRgb8(part.into_rgb8()).write_to(&mut out, ImageFormat::Png).unwrap();
    measure(&out.into_inner()).unwrap()
}

#[test]
fn the_reference_pairs_come_out_as_expected() {
    for pair in expected()["pairs"].as_array().unwrap() {
        let (before, after) = (pair["before"].as_str().unwrap(), pair["after"].as_str().unwrap());
        let found = compare(&measured(before), &measured(after)).unwrap();
        assert_eq!(found.verdict.words(), pair["verdict"].as_str().unwrap());
        let near = |value: f64, wanted: &serde_json::Value| {
            assert!((value - wanted["value"].as_f64().unwrap()).abs() <= wanted["tol"].as_f64().unwrap(), "{found:?}");
        };
        near(found.difference, &pair["difference"]);
        near((found.high - found.low) / 2.0, &pair["half_width"]);
    }
}

#[test]
fn greyscale_against_colour_is_refused_both_ways() {
    for pair in expected()["refused_pairs"].as_array().unwrap() {
        let before = measured(pair["before"].as_str().unwrap());
        let after = measured(pair["after"].as_str().unwrap());
        assert_eq!(compare(&before, &after).unwrap_err().code(), "greyscale-against-colour");
        assert_eq!(compare(&after, &before).unwrap_err().code(), "greyscale-against-colour");
        let grey = compare(&before, &before).unwrap();
        assert!(grey.cautions.contains(&Caution::NoColour));
    }
}

#[test]
fn a_screenshot_is_not_compared() {
    assert_eq!(compare(&measured("chroma-30.png"), &measured("room-4.jpg")).unwrap_err().code(), "screenshot");
}

#[test]
fn other_shapes_and_sizes_are_compared_with_a_caution() {
    let found = compare(&measured("room-16.jpg"), &measured("apartment.jpg")).unwrap();
    assert!(found.cautions.contains(&Caution::Shape));
    assert!(found.shared_view.is_none());
    let found = compare(&measured("room-16.jpg"), &measured("room-16-progressive.jpg")).unwrap();
    assert!(found.cautions.contains(&Caution::Size));
}

/// Half of the points below which no change is called clear.
const SAME_VIEW: f64 = 2.5;

#[test]
fn two_aims_at_one_room_share_a_view_that_did_not_change() {
    for (name, one, other) in [
        ("room-16.jpg", [0.0, 0.0, 0.8], [0.2, 0.2, 0.8]),
        ("pair-before.jpg", [0.1, 0.1, 0.8], [0.12, 0.05, 0.85]),
        ("coffee.jpg", [0.05, 0.05, 0.9], [0.1, 0.1, 0.8]),
    ] {
        let shared = compare(&part(name, one), &part(name, other)).unwrap().shared_view.unwrap();
        assert!(shared.difference.abs() < SAME_VIEW, "{name}: {shared:?}");
        assert!(shared.share > 0.5 && shared.share <= 1.0);
    }
}

#[test]
fn a_cleared_room_is_still_known_again_in_another_aim() {
    let before = part("pair-before.jpg", [0.12, 0.05, 0.85]);
    let after = part("pair-after-14-gone.jpg", [0.1, 0.1, 0.8]);
    let shared = compare(&before, &after).unwrap().shared_view.unwrap();
    assert!(shared.difference < -20.0, "{shared:?}");
}

#[test]
fn different_rooms_share_nothing() {
    let rooms = ["room-16.jpg", "lobby.jpg", "corner-upper-right.jpg", "pair-before.jpg"].map(measured);
    for (i, one) in rooms.iter().enumerate() {
        for other in &rooms[i + 1..] {
            assert_eq!(compare(one, other).unwrap().shared_view, None);
        }
    }
}
