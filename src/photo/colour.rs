//! Colour: the sRGB curve, Lab, the white balance and the exposure.
//!
//! - sRGB ↔ linear: IEC 61966-2-1 [IEC61966]. Domain 0…1.
//! - Lab: CIE 15, ISO/CIE 11664-4 [CIE15], with the four-decimal matrix of IEC 61966-2-1 and its row sums as white, so that
//!   neutral has a = b = 0. Domain linear 0…1; error of the single-precision path below 2·10⁻⁴ of a unit, checked
//!   against the same formula in double precision and against the library `palette`.
//! - White balance: shades of grey, p = 6 [FINLAYSON2004], gains held in 1/1.6…1.6 (convention).
//! - Exposure: the 90th percentile of Y to 0.50, gain held in ¼…4 (convention).

use std::sync::LazyLock;

use super::cast::{single, table_place};
use super::order::percentile;
use super::plane::Plane;

/// Linear sRGB → XYZ. IEC 61966-2-1, rounded to four decimals as there.
pub(super) const TO_XYZ: [[f64; 3]; 3] = [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]];

/// The white of [`TO_XYZ`]: its row sums.
pub(super) const WHITE: [f64; 3] = [0.9505, 1.0, 1.089];

/// Largest gain of the white balance (convention).
const BALANCE_LIMIT: f64 = 1.6;
/// Where the exposure puts the 90th percentile of Y (convention).
const EXPOSED: f64 = 0.50;
/// Largest gain of the exposure (convention).
const EXPOSURE_LIMIT: f64 = 4.0;

/// An encoded sRGB sample to linear light. IEC 61966-2-1.
pub(super) fn srgb_to_linear(encoded: f64) -> f64 {
    if encoded <= 0.04045 { encoded / 12.92 } else { libm::pow((encoded + 0.055) / 1.055, 2.4) }
}

/// A linear sample to encoded sRGB. IEC 61966-2-1.
pub(super) fn linear_to_srgb(linear: f64) -> f64 {
    if linear <= 0.003_130_8 { 12.92 * linear } else { 1.055 * libm::pow(linear, 1.0 / 2.4) - 0.055 }
}

/// Last entry of the encoding table.
const ENCODE_LAST: u16 = 4096;

static ENCODE: LazyLock<Vec<f32>> = LazyLock::new(|| {
    (0..=ENCODE_LAST).map(|i| single(linear_to_srgb(f64::from(i) / f64::from(ENCODE_LAST)))).collect()
});

/// [`linear_to_srgb`] by a table, linear in between: within 2·10⁻⁵ (a two-hundredth of an 8-bit level).
pub(super) fn encoded(linear: f32) -> f32 {
    let (index, rest) = table_place(linear, ENCODE_LAST);
    let (low, high) = (ENCODE[index], ENCODE[index + 1]);
    low + (high - low) * rest
}

/// A picture in linear light, sRGB primaries, 0…1.
#[derive(Clone, Debug)]
pub(super) struct Linear {
    /// Red, green, blue.
    pub(super) channels: [Plane; 3],
}

impl Linear {
    /// Of samples red, green, blue, red … and a number of columns.
    pub(super) fn interleaved(width: usize, samples: &[f32]) -> Self {
        let channels =
            [0, 1, 2].map(|channel| Plane::new(width, samples.chunks_exact(3).map(|pixel| pixel[channel]).collect()));
        Self { channels }
    }

    pub(super) fn width(&self) -> usize {
        self.channels[0].width()
    }

    pub(super) fn height(&self) -> usize {
        self.channels[0].height()
    }

    /// Pixel after pixel.
    pub(super) fn pixels(&self) -> impl Iterator<Item = [f32; 3]> {
        let [red, green, blue] = &self.channels;
        red.samples().iter().zip(green.samples()).zip(blue.samples()).map(|((&r, &g), &b)| [r, g, b])
    }

    /// The part with the upper left corner (`x`, `y`).
    pub(super) fn cropped(&self, x: usize, y: usize, width: usize, height: usize) -> Self {
        Self { channels: [0, 1, 2].map(|channel| self.channels[channel].cropped(x, y, width, height)) }
    }

    /// Relative luminance Y.
    pub(super) fn luminance(&self) -> Vec<f32> {
        let [r, g, b] = TO_XYZ[1].map(single);
        self.pixels().map(|[red, green, blue]| r * red + g * green + b * blue).collect()
    }
}

/// How a picture is brought to neutral light and middle exposure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Normal {
    /// The factor of each channel, balance and exposure together.
    pub(super) factors: [f32; 3],
    /// The light's colour as estimated: power means of the channels, the largest 1.
    pub(super) light: [f64; 3],
    /// The 90th percentile of Y after the balance, before the exposure.
    pub(super) p90: f64,
}

/// White balance and exposure of a picture.
pub(super) fn normal(picture: &Linear) -> Normal {
    let sixth = |plane: &Plane| {
        let sum: f64 = plane
            .samples()
            .iter()
            .map(|&v| {
                let cube = f64::from(v * v * v);
                cube * cube
            })
            .sum();
        libm::pow(sum / plane.samples().len().max(1) as f64, 1.0 / 6.0)
    };
    let light = [0, 1, 2].map(|channel| sixth(&picture.channels[channel]));
    let mean = light.iter().sum::<f64>() / 3.0;
    let balance = if mean > 0.0 {
        light.map(|of_channel| (mean / of_channel).clamp(1.0 / BALANCE_LIMIT, BALANCE_LIMIT))
    } else {
        [1.0; 3]
    };
    let weights = [0, 1, 2].map(|channel| single(TO_XYZ[1][channel] * balance[channel]));
    let mut luminance: Vec<f32> =
        picture.pixels().map(|[r, g, b]| weights[0] * r + weights[1] * g + weights[2] * b).collect();
    let p90 = percentile(&mut luminance, 0.9);
    let gain = (EXPOSED / p90).clamp(1.0 / EXPOSURE_LIMIT, EXPOSURE_LIMIT);
    let brightest = light.iter().copied().fold(0.0, f64::max);
    let light = if brightest > 0.0 { light.map(|of_channel| of_channel / brightest) } else { [1.0; 3] };
    Normal { factors: balance.map(|of_channel| single(of_channel * gain)), light, p90 }
}

/// L, a, b of a picture after its channels are multiplied by `factors` and clipped to 0…1.
pub(super) fn lab(picture: &Linear, factors: [f32; 3]) -> [Plane; 3] {
    let rows = [0, 1, 2].map(|row: usize| TO_XYZ[row].map(|of_channel| single(of_channel / WHITE[row])));
    let count = picture.channels[0].samples().len();
    let mut planes = [Vec::with_capacity(count), Vec::with_capacity(count), Vec::with_capacity(count)];
    let [lightness, green_red, blue_yellow] = &mut planes;
    for [red, green, blue] in picture.pixels() {
        let red = (red * factors[0]).clamp(0.0, 1.0);
        let green = (green * factors[1]).clamp(0.0, 1.0);
        let blue = (blue * factors[2]).clamp(0.0, 1.0);
        let [x, y, z] = rows.map(|row| compressed(row[0] * red + row[1] * green + row[2] * blue));
        lightness.push(116.0 * y - 16.0);
        green_red.push(500.0 * (x - y));
        blue_yellow.push(200.0 * (y - z));
    }
    planes.map(|samples| Plane::new(picture.width(), samples))
}

/// `f(t)` of CIE Lab.
fn compressed(t: f32) -> f32 {
    /// (6/29)³, and the slope of the straight part, 1/(3·(6/29)²).
    const KNEE: f32 = 216.0 / 24_389.0;
    const SLOPE: f32 = 841.0 / 108.0;
    if t > KNEE { cube_root(t) } else { t * SLOPE + 4.0 / 29.0 }
}

/// The cube root of a normal positive number: a third of the exponent as a guess (within 4 %), then two steps of
/// Halley's method, which triples the digits each time. Relative error below 3·10⁻⁷, checked over 2⁻¹⁰…2.
fn cube_root(t: f32) -> f32 {
    let mut root = f32::from_bits(t.to_bits() / 3 + 0x2a51_0000);
    for _ in 0..2 {
        let cube = root * root * root;
        root *= (cube + 2.0 * t) / (2.0 * cube + t);
    }
    root
}

#[cfg(test)]
mod tests {
    use super::{Linear, TO_XYZ, WHITE};
    use super::{cube_root, encoded, lab, linear_to_srgb, normal, srgb_to_linear};

    #[test]
    fn the_curve_and_its_inverse_agree() {
        for i in 0..=1000 {
            let v = f64::from(i) / 1000.0;
            assert!((linear_to_srgb(srgb_to_linear(v)) - v).abs() < 1e-6);
        }
    }

    #[test]
    fn the_encoding_table_is_as_good_as_it_says() {
        for i in 0..=100_000u32 {
            let v = f64::from(i) / 100_000.0;
            assert!((f64::from(encoded(super::single(v))) - linear_to_srgb(v)).abs() < 2e-5, "{v}");
        }
    }

    #[test]
    fn the_cube_root_is_as_good_as_it_says() {
        for i in 1..=20_000u16 {
            let t = f32::from(i) / 10_000.0;
            let exact = libm::cbrt(f64::from(t));
            assert!((f64::from(cube_root(t)) / exact - 1.0).abs() < 3e-7, "{t}");
        }
    }

    #[test]
    fn the_white_is_the_sum_of_the_primaries() {
        for (row, white) in TO_XYZ.iter().zip(WHITE) {
            assert!((row.iter().sum::<f64>() - white).abs() < 1e-12);
        }
    }

    #[test]
    fn neutral_has_no_chroma() {
        let grey = Linear::interleaved(4, &[0.0, 0.0, 0.0, 0.2, 0.2, 0.2, 0.5, 0.5, 0.5, 1.0, 1.0, 1.0]);
        let [l, a, b] = lab(&grey, [1.0; 3]);
        assert!(a.samples().iter().chain(b.samples()).all(|v| v.abs() < 2e-4));
        assert!((l.samples()[3] - 100.0).abs() < 1e-4 && l.samples()[0].abs() < 1e-4);
    }

    #[test]
    fn black_is_left_as_it_is() {
        let black = Linear::interleaved(2, &[0.0; 12]);
        let normal = normal(&black);
        assert!(normal.factors.iter().all(|f| (f - 4.0).abs() < 1e-6));
    }
}
