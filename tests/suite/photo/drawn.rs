//! The map and the small copy.

use stillroom::photo::{map, measure, thumbnail};

use super::vectors::{bytes, measured};

#[test]
fn a_map_shows_every_busy_place_without_colour() {
    let photo = measured("room-16.jpg");
    assert!(!photo.busy_places.is_empty());
    let map = image::load_from_memory(&map(&photo, &[2]).unwrap()).unwrap().into_rgb8();
    // The picture, and under it a white strip with words in black.
    let (across, down) = map.dimensions();
    assert!(across == 512 && (430..560).contains(&down), "{across} x {down}");
    let strip: Vec<[u8; 3]> = map.pixels().skip(512 * 385).map(|pixel| pixel.0).collect();
    let black = strip.iter().filter(|pixel| **pixel == [0; 3]).count();
    assert!(strip.iter().all(|pixel| *pixel == [0; 3] || *pixel == [255; 3]) && black > 1500);
    for place in &photo.busy_places {
        let (x, y) = ((place.x * 512.0).round() as u32, (place.y * 384.0).round() as u32);
        // Black, white, white, black from the corner inwards: read along the middle of the left edge.
        let middle = y + (place.height * 192.0) as u32;
        let across: Vec<[u8; 3]> = (0..4).map(|inset| map.get_pixel(x + inset, middle).0).collect();
        assert_eq!(across, [[0; 3], [255; 3], [255; 3], [0; 3]]);
        // The number's plate: white just inside its black edge.
        assert_eq!(map.get_pixel(x + 5, y + 5).0, [255; 3]);
    }
    // Outside the places the photo is paled, so black and white belong to the outlines alone.
    let clean = photo.pixels();
    let outside = |x: u32, y: u32| {
        let (x, y) = (f64::from(x) / 512.0, f64::from(y) / 384.0);
        photo.busy_places.iter().all(|p| x < p.x || y < p.y || x >= p.x + p.width || y >= p.y + p.height)
    };
    let mut seen = 0;
    for (x, y, pixel) in map.enumerate_pixels().filter(|(_, y, _)| *y < 384) {
        if outside(x, y) {
            seen += 1;
            let was = &clean.rgb[(3 * (y * 512 + x)) as usize..][..3];
            assert!(pixel.0.iter().zip(was).all(|(&now, &was)| now == ((380 + u16::from(was)) / 3) as u8));
        }
    }
    assert!(seen > 50_000);
}

#[test]
fn a_map_of_a_bare_picture_is_only_paled() {
    let map = image::load_from_memory(&map(&measured("flat-grey.png"), &[]).unwrap()).unwrap().into_rgb8();
    let first = map.get_pixel(0, 0).0;
    // All but the strip of the legend, which says that there is none.
    assert!(map.pixels().take(512 * 384).all(|pixel| pixel.0 == first));
    assert!(map.pixels().skip(512 * 384).any(|pixel| pixel.0 == [0; 3]));
}

#[test]
fn a_small_copy_is_upright_and_carries_nothing_but_the_picture() {
    for turn in 1..=8 {
        let copy = thumbnail(&bytes(&format!("turned-{turn}.jpg")), 320).unwrap();
        let decoded = image::load_from_memory(&copy).unwrap();
        assert_eq!((decoded.width(), decoded.height()), (320, 240));
        // No segment for an application (Exif, profiles, comments) but the plain JFIF one.
        let mut at = 2;
        while copy[at + 1] != 0xDA {
            assert!(!matches!(copy[at + 1], 0xE1..=0xEF | 0xFE), "marker {:x}", copy[at + 1]);
            at += 2 + usize::from(copy[at + 2]) * 256 + usize::from(copy[at + 3]);
        }
        let again = measure(&copy).unwrap();
        assert_eq!((again.width, again.height, again.focal_mm), (320, 240, None));
    }
}

#[test]
fn a_small_copy_is_never_larger_than_the_photo() {
    let copy = image::load_from_memory(&thumbnail(&bytes("room-16-small.png"), 4000).unwrap()).unwrap();
    assert_eq!((copy.width(), copy.height()), (320, 240));
}

#[test]
fn a_strong_colour_profile_is_gone_into_the_colours_of_the_copy() {
    let vivid = measure(&thumbnail(&bytes("room-16-p3.jpg"), 640).unwrap()).unwrap();
    let plain = measured("room-16-p3.jpg");
    // Another JPEG generation costs about a point.
    assert!((vivid.busyness - plain.busyness).abs() < 2.0);
    assert!((vivid.measures.colourfulness - plain.measures.colourfulness).abs() < 1.0);
}
