//! The number of regions: connected areas of one colour cell.
//!
//! Cells of Lab: `⌊L/20⌋` held in 0…4, `⌊(a+10)/20⌋`, `⌊(b+10)/20⌋`, so that neutral lies in the middle of a cell (convention).
//! 4-connected; a region counts when `area·5000 ≥ pixels`, compared in whole numbers. The idea that the number of regions
//! measures clutter: [BRAVO2008]. Checked against a flood fill.

use super::cast::floor_cell;
use super::plane::Plane;

/// A region must cover this part of the picture: one in 5000 (convention).
const SMALLEST: usize = 5000;

/// The regions of a picture given as L, a, b.
pub(super) fn regions(lab: &[Plane; 3]) -> usize {
    let [lightness, green_red, blue_yellow] = lab;
    let (width, height) = (lightness.width(), lightness.height());
    let mut forest = Forest::default();
    let mut above: Vec<Run> = Vec::new();
    for y in 0..height {
        let cells =
            lightness.row(y).iter().zip(green_red.row(y)).zip(blue_yellow.row(y)).map(|((&l, &a), &b)| cell(l, a, b));
        let mut row: Vec<Run> = Vec::new();
        for (x, cell) in cells.enumerate() {
            match row.last_mut() {
                Some(run) if run.cell == cell => run.end = x + 1,
                _ => row.push(Run { cell, start: x, end: x + 1, tree: 0 }),
            }
        }
        let mut next = 0;
        for run in &mut row {
            run.tree = forest.plant(run.end - run.start);
            while next < above.len() && above[next].end <= run.start {
                next += 1;
            }
            for touching in above[next..].iter().take_while(|other| other.start < run.end) {
                if touching.cell == run.cell {
                    forest.join(touching.tree, run.tree);
                }
            }
        }
        above = row;
    }
    forest.count(|area| area.saturating_mul(SMALLEST) >= width * height)
}

/// A stretch of one cell in one row.
struct Run {
    cell: [i32; 3],
    start: usize,
    end: usize,
    tree: usize,
}

fn cell(lightness: f32, a: f32, b: f32) -> [i32; 3] {
    [floor_cell(lightness / 20.0).clamp(0, 4), floor_cell((a + 10.0) / 20.0), floor_cell((b + 10.0) / 20.0)]
}

/// Disjoint sets, each with its area at the root.
#[derive(Default)]
struct Forest {
    parent: Vec<usize>,
    area: Vec<usize>,
}

impl Forest {
    fn plant(&mut self, area: usize) -> usize {
        self.parent.push(self.parent.len());
        self.area.push(area);
        self.parent.len() - 1
    }

    fn root(&mut self, mut tree: usize) -> usize {
        while self.parent[tree] != tree {
            self.parent[tree] = self.parent[self.parent[tree]];
            tree = self.parent[tree];
        }
        tree
    }

    fn join(&mut self, one: usize, other: usize) {
        let (one, other) = (self.root(one), self.root(other));
        if one == other {
            return;
        }
        let (small, large) = if self.area[one] < self.area[other] { (one, other) } else { (other, one) };
        self.parent[small] = large;
        self.area[large] += self.area[small];
    }

    fn count(&self, counts: impl Fn(usize) -> bool) -> usize {
        self.parent.iter().enumerate().filter(|&(tree, &parent)| tree == parent && counts(self.area[tree])).count()
    }
}

#[cfg(test)]
mod tests {
    use super::regions;
    use crate::photo::plane::Plane;

    #[track_caller]
    fn check(width: usize, lightness: &[f32], expected: usize) {
        let flat = Plane::new(width, vec![0.0; lightness.len()]);
        let lab = [Plane::new(width, lightness.to_vec()), flat.clone(), flat];
        assert_eq!(regions(&lab), expected);
    }

    #[test]
    fn corners_do_not_connect_and_sides_do() {
        check(2, &[10.0, 90.0, 90.0, 10.0], 4);
        check(2, &[10.0, 90.0, 10.0, 10.0], 2);
    }

    #[test]
    fn a_horseshoe_is_one_region() {
        check(3, &[10.0, 90.0, 10.0, 10.0, 90.0, 10.0, 10.0, 10.0, 10.0], 2);
    }

    #[test]
    fn the_lightest_cell_takes_in_white() {
        check(3, &[85.0, 100.0, 99.0], 1);
    }
}
