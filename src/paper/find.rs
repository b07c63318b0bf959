//! Corner marks in a photo: dark pieces that are a disc in the middle of a ring.
//!
//! The photo is made smaller, the light evened, and what is much darker than the paper is gathered into connected pieces
//! (by runs, 8-connected, union and find). A disc and a ring around it keep the ratios of their sizes and areas and their
//! common middle under any tilt, and hardly anything else in a room looks like that.

use super::light::Plane;
use super::sheet::{DISC, RING};

/// Long side in which marks are looked for, samples (convention: a ring's line is then two samples at arm's length).
const LOOKED_AT: usize = 1200;
/// Half the window of the paper behind, samples.
const REACH: usize = 20;
/// Darker than this share of the paper is a mark; in a second look, at a softened picture, in case noise broke the marks.
const DARK: f32 = 0.70;
const DARK_SOFTENED: f32 = 0.78;
/// Most pieces that are looked at, and most marks that come of them: a photo of gravel must not cost minutes.
const MOST_PIECES: usize = 40_000;
const MOST_MARKS: usize = 16;

/// A corner mark in the photo.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Corner {
    /// The middle of its disc, in samples of the photo.
    pub(super) x: f64,
    pub(super) y: f64,
    /// Diameter of its ring there.
    pub(super) size: f64,
}

/// A connected dark piece.
#[derive(Clone, Copy, Debug)]
struct Piece {
    left: usize,
    right: usize,
    top: usize,
    bottom: usize,
    area: usize,
    sum_x: usize,
    sum_y: usize,
}

impl Piece {
    fn join(&mut self, other: &Self) {
        self.left = self.left.min(other.left);
        self.right = self.right.max(other.right);
        self.top = self.top.min(other.top);
        self.bottom = self.bottom.max(other.bottom);
        self.area += other.area;
        self.sum_x += other.sum_x;
        self.sum_y += other.sum_y;
    }

    fn width(&self) -> f64 {
        (self.right - self.left + 1) as f64
    }

    fn height(&self) -> f64 {
        (self.bottom - self.top + 1) as f64
    }

    fn middle(&self) -> (f64, f64) {
        (self.sum_x as f64 / self.area as f64, self.sum_y as f64 / self.area as f64)
    }
}

/// All corner marks, the surest first.
pub(super) fn corners(photo: &Plane) -> Vec<Corner> {
    let by = photo.width.max(photo.height).div_ceil(LOOKED_AT).max(1);
    let small = photo.shrunk(by);
    if small.width < 8 || small.height < 8 {
        return Vec::new();
    }
    let soft = small.softened();
    let paper = soft.paper(REACH);
    let first = looked(&small, &paper, DARK, by);
    if first.len() >= 4 {
        return first;
    }
    let second = looked(&soft, &paper, DARK_SOFTENED, by);
    if second.len() > first.len() { second } else { first }
}

/// The marks among what is darker than that share of the paper.
fn looked(small: &Plane, paper: &Plane, share: f32, by: usize) -> Vec<Corner> {
    let dark: Vec<bool> = small.levels.iter().zip(&paper.levels).map(|(level, paper)| *level < share * paper).collect();
    let pieces = pieces(&dark, small.width);
    let mut discs: Vec<&Piece> = pieces.iter().filter(|piece| is_disc(piece)).collect();
    discs.sort_by_key(|piece| std::cmp::Reverse(piece.area));
    discs.truncate(MOST_PIECES / 20);
    let rings: Vec<&Piece> = pieces.iter().filter(|piece| may_be_ring(piece)).collect();
    let scale = by as f64;
    let mut found: Vec<(f64, Corner)> = discs
        .iter()
        .filter_map(|disc| {
            let best = rings
                .iter()
                .filter_map(|ring| oddness(disc, ring).map(|odd| (odd, ring)))
                .min_by(|a, b| a.0.total_cmp(&b.0))?;
            let (x, y) = disc.middle();
            let place = |v: f64| (v + 0.5) * scale - 0.5;
            let size = f64::midpoint(best.1.width(), best.1.height()) * scale;
            Some((best.0, Corner { x: place(x), y: place(y), size }))
        })
        .collect();
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    found.truncate(MOST_MARKS);
    found.into_iter().map(|(_, corner)| corner).collect()
}

fn is_disc(piece: &Piece) -> bool {
    let (width, height) = (piece.width(), piece.height());
    let full = piece.area as f64 / (width * height);
    piece.area >= 5
        && width.max(height) <= 90.0
        && width / height < 2.4
        && height / width < 2.4
        && (0.55..=1.0).contains(&full)
}

fn may_be_ring(piece: &Piece) -> bool {
    let (width, height) = (piece.width(), piece.height());
    let full = piece.area as f64 / (width * height);
    width.min(height) >= 7.0 && width / height < 2.4 && height / width < 2.4 && (0.15..=0.72).contains(&full)
}

/// How far a disc in a ring is from what is printed; `None` for something else.
fn oddness(disc: &Piece, ring: &Piece) -> Option<f64> {
    if disc.left <= ring.left || disc.right >= ring.right || disc.top <= ring.top || disc.bottom >= ring.bottom {
        return None;
    }
    let (x, y) = disc.middle();
    let (ring_x, ring_y) = ring.middle();
    let box_middle = |low: usize, high: usize| (low + high) as f64 / 2.0;
    let off = |a: f64, b: f64, of: f64| (a - b).abs() / of;
    let off_centre = off(x, ring_x, ring.width())
        .max(off(y, ring_y, ring.height()))
        .max(off(x, box_middle(ring.left, ring.right), ring.width()))
        .max(off(y, box_middle(ring.top, ring.bottom), ring.height()));
    let wider = [ring.width() / disc.width(), ring.height() / disc.height()];
    let nominal = RING.0 / DISC;
    let uneven = wider.map(|ratio| libm::log(ratio / nominal).abs());
    let areas = (RING.0 * RING.0 - RING.1 * RING.1) / (DISC * DISC);
    let area = libm::log(ring.area as f64 / disc.area as f64 / areas).abs();
    let fits = off_centre < 0.12 && uneven[0].max(uneven[1]) < 0.5 && area < 0.75;
    fits.then_some(4.0 * off_centre + uneven[0] + uneven[1] + area)
}

/// The connected pieces of what is dark.
fn pieces(dark: &[bool], width: usize) -> Vec<Piece> {
    let mut found: Vec<Piece> = Vec::new();
    let mut parents: Vec<usize> = Vec::new();
    let (mut above, mut here) = (Vec::<(usize, usize, usize)>::new(), Vec::new());
    for (y, row) in dark.chunks_exact(width).enumerate() {
        here.clear();
        let mut first = 0;
        let mut x = 0;
        while x < width {
            if !row[x] {
                x += 1;
                continue;
            }
            let begins = x;
            while x < width && row[x] {
                x += 1;
            }
            let (left, right) = (begins, x - 1);
            let length = right - left + 1;
            let piece = Piece {
                left,
                right,
                top: y,
                bottom: y,
                area: length,
                sum_x: (left + right) * length / 2,
                sum_y: y * length,
            };
            let mut mine = None;
            while first < above.len() && above[first].1 + 1 < left {
                first += 1;
            }
            for &(from, _, of) in above[first..].iter().take_while(|(from, _, _)| *from <= right + 1) {
                debug_assert!(from <= right + 1);
                let root = root(&mut parents, of);
                match mine {
                    None => {
                        found[root].join(&piece);
                        mine = Some(root);
                    }
                    Some(other) if other != root => {
                        let joined = found[root];
                        found[other].join(&joined);
                        found[root].area = 0;
                        parents[root] = other;
                    }
                    Some(_) => {}
                }
            }
            let of = mine.unwrap_or_else(|| {
                found.push(piece);
                parents.push(parents.len());
                parents.len() - 1
            });
            here.push((left, right, of));
        }
        std::mem::swap(&mut above, &mut here);
    }
    found.retain(|piece| piece.area > 0);
    if found.len() > MOST_PIECES {
        found.sort_by_key(|piece| std::cmp::Reverse(piece.area));
        found.truncate(MOST_PIECES);
    }
    found
}

fn root(parents: &mut [usize], mut of: usize) -> usize {
    while parents[of] != of {
        parents[of] = parents[parents[of]];
        of = parents[of];
    }
    of
}

#[cfg(test)]
mod tests {
    use super::pieces;

    #[test]
    fn pieces_that_touch_by_a_corner_are_one() {
        let picture = ["#..#.#", "#..#.#", ".##..#", "......", "##.###"];
        let dark: Vec<bool> = picture.concat().chars().map(|sign| sign == '#').collect();
        let mut areas: Vec<usize> = pieces(&dark, 6).iter().map(|piece| piece.area).collect();
        areas.sort_unstable();
        assert_eq!(areas, [2, 3, 3, 6]);
        let mut v: Vec<(usize, usize)> = pieces(&dark, 6).iter().map(|piece| (piece.left, piece.right)).collect();
        v.sort_unstable();
        assert_eq!(v, [(0, 1), (0, 3), (3, 5), (5, 5)]);
    }
}
