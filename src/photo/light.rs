//! How far the light of two photos differs: CIEDE2000 [SHARMA2005], by the library `palette`.
//!
//! The balance takes the light out before anything is measured, as far as its gains reach (1.6); a caution says when the
//! light of two photos differs so much that a colour may be left over.

use palette::color_difference::Ciede2000;
use palette::white_point::D65;
use palette::{FromColor, Lab, LinSrgb};

/// The colour that white has in a light whose estimate is `light` (linear red, green, blue, the largest 1).
pub(super) fn white_in(light: [f64; 3]) -> Lab<D65, f64> {
    let [red, green, blue] = light;
    Lab::from_color(LinSrgb::new(red, green, blue))
}

/// ΔE₀₀ between white in one light and white in another.
pub(super) fn difference(one: [f64; 3], other: [f64; 3]) -> f64 {
    white_in(one).difference(white_in(other))
}

#[cfg(test)]
mod tests {
    use super::difference;

    #[test]
    fn the_same_light_does_not_differ_and_lamp_light_does() {
        assert!(difference([1.0; 3], [1.0; 3]) < 1e-9);
        assert!(difference([1.0; 3], [1.0, 0.75, 0.45]) > 10.0);
    }
}
