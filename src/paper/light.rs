//! Even light: what the paper would show without ink, and how much darker each place is.
//!
//! The paper behind is the grey closing of the picture (largest in a window, then smallest of those): it takes away what is
//! darker than its surroundings and narrower than the window, and leaves the straight edge of a shadow where it is, so that
//! neither side of a shadow looks inked. Windows by van Herk's two running extremes, three comparisons a sample whatever the
//! window [VANHERK1992]; checked against the plain window in the tests.

/// A grey picture: `width` columns of levels 0…1, row after row.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Plane {
    pub(super) width: usize,
    pub(super) height: usize,
    pub(super) levels: Vec<f32>,
}

impl Plane {
    /// A plane of those levels.
    pub(super) fn new(width: usize, height: usize, levels: Vec<f32>) -> Self {
        Self { width, height, levels }
    }

    /// The level between four samples; the nearest edge outside.
    pub(super) fn at(&self, x: f32, y: f32) -> f32 {
        let (right, low) =
            (super::cast::single((self.width - 1) as f64), super::cast::single((self.height - 1) as f64));
        let (x, y) = (x.clamp(0.0, right), y.clamp(0.0, low));
        let (column, row) = (super::cast::place(f64::from(x)), super::cast::place(f64::from(y)));
        let (next, below) = ((column + 1).min(self.width - 1), (row + 1).min(self.height - 1));
        let (u, v) = (x.fract(), y.fract());
        let line = |row: usize| {
            let row = &self.levels[row * self.width..][..self.width];
            row[column] + (row[next] - row[column]) * u
        };
        let (upper, lower) = (line(row), line(below));
        upper + (lower - upper) * v
    }

    /// The mean of squares of `by` × `by` samples each.
    pub(super) fn shrunk(&self, by: usize) -> Self {
        let by = by.max(1);
        let (width, height) = (self.width / by, self.height / by);
        let mut levels = vec![0.0; width * height];
        let share = 1.0 / super::cast::single((by * by) as f64);
        for (y, out) in levels.chunks_exact_mut(width.max(1)).enumerate() {
            for row in self.levels[y * by * self.width..].chunks_exact(self.width).take(by) {
                for (sum, square) in out.iter_mut().zip(row.chunks_exact(by)) {
                    *sum += square.iter().sum::<f32>() * share;
                }
            }
        }
        Self { width, height, levels }
    }

    /// The mean of each sample and its eight neighbours.
    pub(super) fn softened(&self) -> Self {
        let mut across = self.levels.clone();
        for (out, row) in across.chunks_exact_mut(self.width).zip(self.levels.chunks_exact(self.width)) {
            for (place, three) in out.iter_mut().skip(1).zip(row.windows(3)) {
                *place = (three[0] + three[1] + three[2]) / 3.0;
            }
        }
        let mut levels = across.clone();
        for (y, out) in levels.chunks_exact_mut(self.width).enumerate().skip(1).take(self.height.saturating_sub(2)) {
            let rows = [y - 1, y, y + 1].map(|row| &across[row * self.width..][..self.width]);
            for (at, place) in out.iter_mut().enumerate() {
                *place = (rows[0][at] + rows[1][at] + rows[2][at]) / 3.0;
            }
        }
        Self { levels, ..*self }
    }

    /// The paper behind the ink, for ink narrower than `2 · reach` samples.
    pub(super) fn paper(&self, reach: usize) -> Self {
        let mut levels = self.levels.clone();
        for larger in [true, false] {
            rows(&mut levels, self.width, reach, larger);
            columns(&mut levels, self.width, reach, larger);
        }
        Self { levels, ..*self }
    }

    /// How much darker than the paper each sample is, 0…1. Noise is softened first, and once more for the paper, since a closing
    /// goes along the lightest of it.
    pub(super) fn ink(&self, reach: usize) -> Self {
        let soft = self.softened();
        let mut paper = soft.softened().paper(reach);
        for (place, &level) in paper.levels.iter_mut().zip(&soft.levels) {
            *place = (1.0 - level / place.max(0.01)).clamp(-0.2, 1.0);
        }
        paper
    }
}

fn extreme(a: f32, b: f32, larger: bool) -> f32 {
    if (a > b) == larger { a } else { b }
}

fn rows(levels: &mut [f32], width: usize, reach: usize, larger: bool) {
    let window = 2 * reach + 1;
    let (mut to, mut from) = (vec![0.0; width], vec![0.0; width]);
    for row in levels.chunks_exact_mut(width) {
        for (at, &level) in row.iter().enumerate() {
            to[at] = if at % window == 0 { level } else { extreme(to[at - 1], level, larger) };
        }
        for at in (0..width).rev() {
            let last = at + 1 == width || (at + 1) % window == 0;
            from[at] = if last { row[at] } else { extreme(from[at + 1], row[at], larger) };
        }
        for (at, place) in row.iter_mut().enumerate() {
            *place = both(&to, &from, at, width, reach, window, larger, |line, at| line[at]);
        }
    }
}

fn columns(levels: &mut [f32], width: usize, reach: usize, larger: bool) {
    let height = levels.len() / width.max(1);
    let window = 2 * reach + 1;
    let (mut to, mut from) = (levels.to_vec(), levels.to_vec());
    for y in (0..height).filter(|y| y % window != 0) {
        let (above, here) = to.split_at_mut(y * width);
        for (place, &before) in here[..width].iter_mut().zip(&above[(y - 1) * width..]) {
            *place = extreme(*place, before, larger);
        }
    }
    for y in (0..height.saturating_sub(1)).rev().filter(|y| (y + 1) % window != 0) {
        let (here, below) = from.split_at_mut((y + 1) * width);
        for (place, &after) in here[y * width..].iter_mut().zip(&below[..width]) {
            *place = extreme(*place, after, larger);
        }
    }
    for (y, out) in levels.chunks_exact_mut(width.max(1)).enumerate() {
        let (low, high) = (y.saturating_sub(reach), (y + reach).min(height - 1));
        // A window that is cut by the border reaches over less than two blocks, of which one may be left out.
        let (begins, ends) = (&from[low * width..][..width], &to[high * width..][..width]);
        let same_block = low / window == high / window;
        for (at, place) in out.iter_mut().enumerate() {
            *place = match (same_block, low % window == 0) {
                (true, true) => ends[at],
                (true, false) => begins[at],
                (false, _) => extreme(begins[at], ends[at], larger),
            };
        }
    }
}

#[expect(clippy::too_many_arguments, reason = "one line of van Herk's filter, with what it needs")]
fn both(
    to: &[f32],
    from: &[f32],
    at: usize,
    length: usize,
    reach: usize,
    window: usize,
    larger: bool,
    of: impl Fn(&[f32], usize) -> f32,
) -> f32 {
    let (low, high) = (at.saturating_sub(reach), (at + reach).min(length - 1));
    match (low / window == high / window, low % window == 0) {
        (true, true) => of(to, high),
        (true, false) => of(from, low),
        (false, _) => extreme(of(from, low), of(to, high), larger),
    }
}

#[cfg(test)]
mod tests {
    use super::{Plane, extreme};

    fn plane(width: usize, height: usize) -> Plane {
        let mut state = 7u32;
        let levels = (0..width * height)
            .map(|_| {
                state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                f32::from(u8::try_from(state >> 24).unwrap()) / 255.0
            })
            .collect();
        Plane::new(width, height, levels)
    }

    /// The plain window.
    fn twin(from: &Plane, reach: usize, larger: bool) -> Plane {
        let mut out = from.clone();
        for y in 0..from.height {
            for x in 0..from.width {
                let rows = y.saturating_sub(reach)..(y + reach + 1).min(from.height);
                let mut best = from.levels[y * from.width + x];
                for row in rows {
                    for column in x.saturating_sub(reach)..(x + reach + 1).min(from.width) {
                        best = extreme(best, from.levels[row * from.width + column], larger);
                    }
                }
                out.levels[y * from.width + x] = best;
            }
        }
        out
    }

    #[test]
    fn the_quick_closing_is_the_plain_one() {
        for (width, height, reach) in [(40, 30, 3), (7, 9, 5), (1, 1, 2), (25, 4, 1), (13, 26, 6), (64, 20, 30)] {
            let from = plane(width, height);
            assert_eq!(from.paper(reach), twin(&twin(&from, reach, true), reach, false), "{width} {height} {reach}");
        }
    }

    #[test]
    fn a_shadow_is_not_ink_and_a_stroke_is() {
        let mut from = Plane::new(60, 60, vec![0.9; 3600]);
        for y in 0..60 {
            for x in 0..60 {
                let shadow = if x + y < 60 { 1.0 } else { 0.4 };
                let stroke = if (20..24).contains(&x) && (10..50).contains(&y) { 0.3 } else { 1.0 };
                from.levels[y * 60 + x] = 0.9 * shadow * stroke;
            }
        }
        let ink = from.ink(6);
        for y in 8..52usize {
            for x in 8..52usize {
                // The edge itself is softened over one sample.
                let edge = (x + y).abs_diff(59) < 4;
                let inked = (20..24).contains(&x) && (10..50).contains(&y);
                let near = (18..26).contains(&x) && (8..52).contains(&y);
                let found = ink.levels[y * 60 + x];
                assert!(edge || inked && found > 0.6 || near || !inked && found.abs() < 0.02, "{x} {y} {found}");
            }
        }
    }
}
