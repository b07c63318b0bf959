//! Colour against published pairs and another library.

use palette::color_difference::Ciede2000;
use palette::white_point::D65;
use palette::{FromColor, Lab, LinSrgb, Srgb};

use super::vectors::bytes;

/// The table prints four decimals.
const PRINTED: f64 = 0.000_05 + 1e-9;

/// Sharma, Wu & Dalal 2005, Table 1; the library is what the comparison of lights rests on.
#[test]
fn the_34_published_pairs_differ_as_printed() {
    let table = String::from_utf8(bytes("ciede2000_pairs.tsv")).unwrap();
    let rows: Vec<Vec<f64>> = table
        .lines()
        .filter(|line| !line.starts_with('#') && !line.starts_with('L'))
        .map(|line| line.split('\t').map(|cell| cell.parse().unwrap()).collect())
        .collect();
    assert_eq!(rows.len(), 34);
    for row in rows {
        let one = Lab::<D65, f64>::new(row[0], row[1], row[2]);
        let other = Lab::<D65, f64>::new(row[3], row[4], row[5]);
        let (there, back) = (one.difference(other), other.difference(one));
        assert!((there - row[6]).abs() <= PRINTED && (back - row[6]).abs() <= PRINTED, "{row:?}: {there}");
    }
}

/// Chroma of the two patches of `chroma-30.png` and `chroma-50.png` before anything is normalised, by the library: says
/// that the drawn reference pictures are what their names claim.
#[test]
fn the_drawn_patches_have_the_chroma_of_their_names() {
    /// The patches are drawn in 8 bits, half a level of which is up to 0.4 of chroma here.
    const EIGHT_BITS: f64 = 0.6;
    for (name, wanted) in [("chroma-30.png", 30.0), ("chroma-50.png", 50.0)] {
        let picture = image::load_from_memory(&bytes(name)).unwrap().into_rgb8();
        let mut colours: Vec<[u8; 3]> = picture.pixels().map(|pixel| pixel.0).collect();
        colours.sort_unstable();
        colours.dedup();
        assert_eq!(colours.len(), 7);
        for colour in colours {
            let linear: LinSrgb<f64> = Srgb::from(colour).into_linear();
            let lab = Lab::<D65, f64>::from_color(linear);
            let chroma = lab.a.hypot(lab.b);
            let is_ground = chroma < 1.0 && (lab.l - 76.0).abs() < 0.5;
            assert!(is_ground || ((chroma - wanted).abs() < EIGHT_BITS && (lab.l - 62.0).abs() < 0.5), "{lab:?}");
        }
    }
}
