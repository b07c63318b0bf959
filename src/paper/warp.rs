//! From millimetres on the sheet to samples of the photo: a homography by the four corners, and what the dots along the edges
//! say of a sheet that is not flat.
//!
//! - Homography: the eight numbers that take four points to four points, by elimination with pivots [HARTLEY2003].
//! - Bend: how far each edge dot lies from where the homography puts it, linear between dots, and inside the sheet blended
//!   from the four edges as Coons does it [COONS1967]. Exact for a sheet that is curled along either direction as far as a
//!   blend of its edges is; what is left is below 0.2 mm on the rendered sheets of the tests.

use super::sheet::{HEIGHT, TICKS, WIDTH};

/// A point of the sheet (mm) or of the photo (samples).
pub(super) type Point = (f64, f64);

/// Takes points to points, lines to lines.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Homography([f64; 9]);

impl Homography {
    /// The one that takes `from[i]` to `to[i]`, four corners in turn each; `None` where three of them lie on a line or the
    /// outline crosses or dents, as no flat sheet seen from before does.
    pub(super) fn new(from: [Point; 4], to: [Point; 4]) -> Option<Self> {
        if !bulges(from) || !bulges(to) {
            return None;
        }
        let mut rows = [[0.0f64; 9]; 8];
        for (at, ((x, y), (u, v))) in from.into_iter().zip(to).enumerate() {
            rows[2 * at] = [x, y, 1.0, 0.0, 0.0, 0.0, -u * x, -u * y, u];
            rows[2 * at + 1] = [0.0, 0.0, 0.0, x, y, 1.0, -v * x, -v * y, v];
        }
        for column in 0..8 {
            let best = (column..8).max_by(|&a, &b| rows[a][column].abs().total_cmp(&rows[b][column].abs()))?;
            rows.swap(column, best);
            let pivot = rows[column];
            if pivot[column].abs() < 1e-9 {
                return None;
            }
            for (_, row) in rows.iter_mut().enumerate().filter(|(at, _)| *at != column) {
                let factor = row[column] / pivot[column];
                for (place, p) in row.iter_mut().zip(pivot) {
                    *place -= factor * p;
                }
            }
        }
        let mut all = [1.0; 9];
        for at in 0..8 {
            all[at] = rows[at][8] / rows[at][at];
        }
        all.iter().all(|v| v.is_finite()).then_some(Self(all))
    }

    /// Where a point goes; far away if it goes nowhere.
    pub(super) fn apply(&self, (x, y): Point) -> Point {
        let h = &self.0;
        let w = h[6] * x + h[7] * y + h[8];
        if w <= 1e-9 {
            return (-1e9, -1e9);
        }
        ((h[0] * x + h[1] * y + h[2]) / w, (h[3] * x + h[4] * y + h[5]) / w)
    }
}

/// Whether the outline turns the same way at all four corners, and by more than rounding.
fn bulges(corners: [Point; 4]) -> bool {
    let turns: [f64; 4] = std::array::from_fn(|at| {
        let [(ax, ay), (bx, by), (cx, cy)] = [0, 1, 2].map(|step| corners[(at + step) % 4]);
        let ((ux, uy), (vx, vy)) = ((bx - ax, by - ay), (cx - bx, cy - by));
        (ux * vy - uy * vx) / (ux.hypot(uy) * vx.hypot(vy))
    });
    turns.iter().all(|turn| *turn > 1e-6) || turns.iter().all(|turn| *turn < -1e-6)
}

/// How far the edges lie off, samples of the photo: upper, lower (from left to right), left, right (from above down). The
/// corners stand at both ends and are 0.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Bend {
    pub(super) rows: [Vec<Point>; 2],
    pub(super) columns: [Vec<Point>; 2],
}

impl Bend {
    /// A flat sheet.
    pub(super) fn none() -> Self {
        let flat = |ticks: usize| [vec![(0.0, 0.0); ticks + 1], vec![(0.0, 0.0); ticks + 1]];
        Self { rows: flat(TICKS.0), columns: flat(TICKS.1) }
    }

    /// How far a place lies off. `u`, `v` are shares of width and height.
    pub(super) fn at(&self, u: f64, v: f64) -> Point {
        let across = [line(&self.rows[0], u), line(&self.rows[1], u)];
        let down = [line(&self.columns[0], v), line(&self.columns[1], v)];
        let blend = |part: fn(Point) -> f64| {
            part(across[0]) * (1.0 - v) + part(across[1]) * v + part(down[0]) * (1.0 - u) + part(down[1]) * u
        };
        (blend(|point| point.0), blend(|point| point.1))
    }
}

fn line(points: &[Point], share: f64) -> Point {
    let last = points.len() - 1;
    let at = (share * last as f64).clamp(0.0, last as f64);
    let low = super::cast::place(at).min(last - 1);
    let rest = at - low as f64;
    let (a, b) = (points[low], points[low + 1]);
    (a.0 + (b.0 - a.0) * rest, a.1 + (b.1 - a.1) * rest)
}

/// The whole way from sheet to photo.
#[derive(Clone, Debug)]
pub(super) struct Warp {
    pub(super) flat: Homography,
    pub(super) bend: Bend,
}

impl Warp {
    /// Where a place of the sheet lies in the photo.
    pub(super) fn apply(&self, (x, y): Point) -> Point {
        let (u, v) = self.flat.apply((x, y));
        let (du, dv) = self.bend.at((x / WIDTH).clamp(0.0, 1.0), (y / HEIGHT).clamp(0.0, 1.0));
        (u + du, v + dv)
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::proptest;
    use proptest::prop_assert;

    use super::{Bend, Homography};

    proptest! {
        #[test]
        fn four_points_go_where_they_belong(
            off in proptest::collection::vec(-30.0f64..30.0, 8),
        ) {
            let from = [(0.0, 0.0), (168.0, 0.0), (168.0, 232.0), (0.0, 232.0)];
            let base = [(100.0, 120.0), (900.0, 100.0), (950.0, 1200.0), (80.0, 1250.0)];
            let mut to = base;
            for (point, off) in to.iter_mut().zip(off.chunks_exact(2)) { *point = (point.0 + off[0], point.1 + off[1]); }
            let flat = Homography::new(from, to).unwrap();
            for (a, b) in from.into_iter().zip(to) {
                let found = flat.apply(a);
                prop_assert!((found.0 - b.0).hypot(found.1 - b.1) < 1e-6);
            }
            // A line stays a line.
            let on = [0.2, 0.5, 0.9].map(|s| flat.apply((168.0 * s, 232.0 * s)));
            let cross = (on[1].0 - on[0].0) * (on[2].1 - on[0].1) - (on[1].1 - on[0].1) * (on[2].0 - on[0].0);
            prop_assert!(cross.abs() < 1e-3);
        }
    }

    #[test]
    fn three_on_a_line_are_no_sheet() {
        let from = [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)];
        for to in [
            [(0.0, 0.0), (1.0, 1.0), (2.0, 2.0), (0.0, 5.0)],
            [(0.0, 0.0), (0.0, 0.0), (2.0, 2.0), (0.0, 5.0)], // two in one place
            [(0.0, 0.0), (1.0, 1.0), (1.0, 0.0), (0.0, 1.0)], // crossed
            [(0.0, 0.0), (9.0, 0.0), (2.0, 2.0), (0.0, 9.0)], // dented
        ] {
            assert_eq!(Homography::new(from, to), None, "{to:?}");
        }
        let seen = [(0.0, 0.0), (9.0, 1.0), (8.0, 9.0), (1.0, 8.0)];
        assert!(Homography::new(from, seen).is_some());
        assert!(
            Homography::new(from, [seen[0], seen[3], seen[2], seen[1]]).is_some(),
            "a mirrored sheet is told by its label"
        );
    }

    #[test]
    fn the_inside_follows_its_edges() {
        let mut bend = Bend::none();
        for edge in &mut bend.rows {
            for (at, point) in edge.iter_mut().enumerate() {
                let u = at as f64 / 8.0;
                *point = (0.0, 20.0 * u * (1.0 - u));
            }
        }
        let middle = bend.at(0.5, 0.5);
        assert!((middle.1 - 5.0).abs() < 1e-12 && middle.0.abs() < 1e-12);
        assert_eq!(bend.at(0.0, 0.3), (0.0, 0.0));
    }
}
