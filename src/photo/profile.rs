//! The colour profile of a photo: three tone curves and one matrix to linear sRGB.
//!
//! `lin = S⁻¹ · P · TRC(v)`: P has the columns rXYZ, gXYZ, bXYZ (connection space, D50); S is linear sRGB → XYZ D50,
//! Bradford(white of [`WHITE`] → D50) · [`TO_XYZ`]. Curves: `curv` with 0, 1 or n entries, `para` 0 to 4
//! (ICC.1:2022, 10.6 and 10.18) [ICC1]. Profiles with tables instead of a matrix, grey ones and broken ones are ignored.
//! Checked: the sRGB primaries give the identity; a Display P3 photo in the vectors.

use moxcms::{ColorProfile, DataColorSpace, ToneReprCurve};

use super::cast::single;
use super::colour::{TO_XYZ, WHITE, srgb_to_linear};

type Matrix = [[f64; 3]; 3];

/// The Bradford cone response, rows. [LAM1985], as printed in ICC.1 annex E.
const BRADFORD: Matrix = [[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]];
/// The white of the profile connection space. ICC.1, 7.2.16.
const D50: [f64; 3] = [0.9642, 1.0, 0.8249];

/// How encoded samples become linear sRGB.
#[derive(Clone, Debug)]
pub(super) struct Tone {
    curves: Option<[ToneReprCurve; 3]>,
    matrix: Option<Matrix>,
}

impl Tone {
    /// No profile: sRGB.
    pub(super) const fn srgb() -> Self {
        Self { curves: None, matrix: None }
    }

    /// The matrix profile in `bytes`, `None` when it cannot be used.
    pub(super) fn of_profile(bytes: &[u8]) -> Option<Self> {
        let profile = ColorProfile::new_from_slice(bytes).ok()?;
        if profile.color_space != DataColorSpace::Rgb || profile.pcs != DataColorSpace::Xyz {
            return None;
        }
        let primaries = [profile.red_colorant, profile.green_colorant, profile.blue_colorant];
        let columns = primaries.map(|xyz| [xyz.x, xyz.y, xyz.z]);
        if columns.iter().flatten().any(|v| !v.is_finite()) || determinant(&columns).abs() < 1e-9 {
            return None;
        }
        let curves = [profile.red_trc?, profile.green_trc?, profile.blue_trc?];
        let usable = curves.iter().all(|curve| match curve {
            ToneReprCurve::Lut(_) => true,
            ToneReprCurve::Parametric(parameters) => matches!(parameters.len(), 1 | 3 | 4 | 5 | 7),
        });
        let matrix = product(&inverse(&srgb_to_d50())?, &transposed(&columns));
        usable.then_some(Self { curves: Some(curves), matrix: Some(matrix) })
    }

    /// Linear values of `last + 1` evenly spaced encoded ones, for red, green and blue.
    pub(super) fn tables(&self, last: u16) -> [Vec<f32>; 3] {
        let table = |curve: &dyn Fn(f64) -> f64| -> Vec<f32> {
            (0..=last).map(|i| single(curve(f64::from(i) / f64::from(last)))).collect()
        };
        match &self.curves {
            None => {
                let srgb = table(&srgb_to_linear);
                [srgb.clone(), srgb.clone(), srgb]
            }
            Some(curves) => curves.each_ref().map(|curve| table(&|v| evaluated(curve, v))),
        }
    }

    /// The matrix from the profile's linear light to linear sRGB; it may follow the shrink, being linear itself.
    pub(super) fn matrix(&self) -> Option<[[f32; 3]; 3]> {
        self.matrix.map(|rows| rows.map(|row| row.map(single)))
    }
}

/// A tone curve at `v`, held in 0…1.
fn evaluated(curve: &ToneReprCurve, v: f64) -> f64 {
    let value = match curve {
        ToneReprCurve::Lut(entries) => match entries.as_slice() {
            [] => v,
            // One entry is a gamma with eight bits behind the point.
            [gamma] => libm::pow(v, f64::from(*gamma) / 256.0),
            entries => {
                let place = v * (entries.len() - 1) as f64;
                let index = super::cast::floor_count(place).min(entries.len() - 2);
                let (low, high) = (f64::from(entries[index]), f64::from(entries[index + 1]));
                (low + (high - low) * (place - index as f64)) / 65_535.0
            }
        },
        ToneReprCurve::Parametric(parameters) => parametric(parameters, v),
    };
    if value.is_finite() { value.clamp(0.0, 1.0) } else { 0.0 }
}

/// Function types 0 to 4 of `para`, told apart by the number of their parameters.
fn parametric(parameters: &[f32], v: f64) -> f64 {
    let all: Vec<f64> = parameters.iter().map(|&p| f64::from(p)).collect();
    let power = |g: f64, a: f64, b: f64| libm::pow((a * v + b).max(0.0), g);
    match *all.as_slice() {
        [g] => power(g, 1.0, 0.0),
        [g, a, b] => {
            if a * v + b >= 0.0 {
                power(g, a, b)
            } else {
                0.0
            }
        }
        [g, a, b, c] => {
            if a * v + b >= 0.0 {
                power(g, a, b) + c
            } else {
                c
            }
        }
        [g, a, b, c, d] => {
            if v >= d {
                power(g, a, b)
            } else {
                c * v
            }
        }
        [g, a, b, c, d, e, f] => {
            if v >= d {
                power(g, a, b) + e
            } else {
                c * v + f
            }
        }
        _ => v,
    }
}

fn srgb_to_d50() -> Matrix {
    let cone = |white: [f64; 3]| BRADFORD.map(|row| row[0] * white[0] + row[1] * white[1] + row[2] * white[2]);
    let (from, to) = (cone(WHITE), cone(D50));
    let mut scaled = BRADFORD;
    for ((row, from), to) in scaled.iter_mut().zip(from).zip(to) {
        for entry in row {
            *entry *= to / from;
        }
    }
    // The Bradford matrix has an inverse; the identity stands in only to avoid a panic.
    let back = inverse(&BRADFORD).unwrap_or([[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]]);
    product(&product(&back, &scaled), &TO_XYZ)
}

fn product(one: &Matrix, other: &Matrix) -> Matrix {
    let mut out = [[0.0; 3]; 3];
    for (row, out) in one.iter().zip(&mut out) {
        for (column, out) in out.iter_mut().enumerate() {
            *out = (0..3).map(|k| row[k] * other[k][column]).sum();
        }
    }
    out
}

fn transposed(m: &Matrix) -> Matrix {
    [0, 1, 2].map(|row: usize| [0, 1, 2].map(|column: usize| m[column][row]))
}

fn determinant(m: &Matrix) -> f64 {
    (0..3).map(|i| m[0][i] * (m[1][(i + 1) % 3] * m[2][(i + 2) % 3] - m[1][(i + 2) % 3] * m[2][(i + 1) % 3])).sum()
}

fn inverse(m: &Matrix) -> Option<Matrix> {
    let determinant = determinant(m);
    if determinant.abs() < 1e-12 {
        return None;
    }
    let minor = |row: usize, column: usize| {
        let (r1, r2, c1, c2) = ((row + 1) % 3, (row + 2) % 3, (column + 1) % 3, (column + 2) % 3);
        m[r1][c1] * m[r2][c2] - m[r1][c2] * m[r2][c1]
    };
    Some([0, 1, 2].map(|row: usize| [0, 1, 2].map(|column: usize| minor(column, row) / determinant)))
}

#[cfg(test)]
mod tests {
    use super::{Tone, evaluated, inverse, parametric, product, srgb_to_d50};
    use crate::photo::colour::srgb_to_linear;
    use moxcms::{ColorProfile, ToneReprCurve};

    /// The profile stores its numbers in sixteenths of a bit below 2⁻¹², and the library's sRGB primaries have more digits.
    const STORED: f64 = 1e-3;

    #[test]
    fn an_srgb_profile_is_nearly_no_profile() {
        let bytes = ColorProfile::new_srgb().encode().unwrap();
        let tone = Tone::of_profile(&bytes).unwrap();
        let matrix = tone.matrix().unwrap();
        for (i, row) in matrix.iter().enumerate() {
            for (j, entry) in row.iter().enumerate() {
                let identity = if i == j { 1.0 } else { 0.0 };
                assert!((f64::from(*entry) - identity).abs() < STORED, "{matrix:?}");
            }
        }
        let [red, ..] = tone.tables(255);
        for (i, value) in (0..=255u8).zip(red) {
            assert!((f64::from(value) - srgb_to_linear(f64::from(i) / 255.0)).abs() < STORED);
        }
    }

    #[test]
    fn white_stays_white_in_the_connection_space() {
        let s = srgb_to_d50();
        for (row, white) in s.iter().zip(super::D50) {
            assert!((row.iter().sum::<f64>() - white).abs() < 1e-9);
        }
    }

    #[test]
    fn an_inverse_undoes() {
        let s = srgb_to_d50();
        let one = product(&inverse(&s).unwrap(), &s);
        for (i, row) in one.iter().enumerate() {
            for (j, entry) in row.iter().enumerate() {
                assert!((entry - if i == j { 1.0 } else { 0.0 }).abs() < 1e-12);
            }
        }
        assert!(inverse(&[[0.0; 3]; 3]).is_none());
    }

    #[test]
    fn curves_of_all_kinds() {
        assert!((evaluated(&ToneReprCurve::Lut(vec![]), 0.3) - 0.3).abs() < 1e-12);
        assert!((evaluated(&ToneReprCurve::Lut(vec![512]), 0.5) - 0.25).abs() < 1e-12);
        assert!((evaluated(&ToneReprCurve::Lut(vec![0, 16_384, 65_535]), 0.25) - 8192.0 / 65_535.0).abs() < 1e-12);
        assert!((parametric(&[2.0], 0.5) - 0.25).abs() < 1e-12);
        assert!((parametric(&[2.0, 1.0, -0.5], 0.25)).abs() < 1e-12);
        assert!((parametric(&[2.0, 1.0, -0.5, 0.125], 0.25) - 0.125).abs() < 1e-12);
        assert!((parametric(&[2.0, 1.0, 0.0, 0.5, 0.5], 0.25) - 0.125).abs() < 1e-12);
        assert!((parametric(&[2.0, 1.0, 0.0, 0.5, 0.5, 0.125, 0.0625], 0.25) - 0.1875).abs() < 1e-12);
        assert!((parametric(&[2.0, 1.0, 0.0, 0.5, 0.5, 0.125, 0.0625], 0.5) - 0.375).abs() < 1e-12);
    }

    #[test]
    fn what_is_not_a_matrix_profile_is_not_used() {
        assert!(Tone::of_profile(b"not a profile").is_none());
        assert!(Tone::of_profile(&ColorProfile::new_gray_with_gamma(2.2).encode().unwrap()).is_none());
        let whole = ColorProfile::new_display_p3().encode().unwrap();
        assert!(Tone::of_profile(&whole).is_some());
        for length in (0..whole.len()).step_by(7) {
            drop(Tone::of_profile(&whole[..length]));
        }
    }
}
