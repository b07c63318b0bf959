//! Which part of the room do two photos share? Found by laying one over the other.
//!
//! Both lightness planes are shrunk to 64 and to 128 pixels and freed of their slow shading (less their Gaussian, σ = 4). At 64
//! pixels every shift of up to 30 % and five zooms are tried; the best few are refined at 128, with turns, by their
//! correlation. Correlation alone does not decide: the line between wall and floor fits almost anywhere. So the
//! photos are cut into tiles, only tiles with structure in both directions have a vote (the smaller eigenvalue of the
//! structure tensor), and a tile agrees when it correlates by itself. A match is given only when enough tiles agree and
//! no other place comes near it; otherwise there is no shared view. All thresholds: convention, tried on the reference
//! pictures (`tests/suite/photo/compare.rs`).

use super::cast::floor_count;
use super::plane::{Kernel, Plane};
use super::shrink::shrunk;

/// Where the photo taken after lies over the one taken before, in pixels of a level.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Pose {
    across: f32,
    down: f32,
    zoom: f32,
    turn: f32,
}

/// The common part, as left, top, width and height in fractions of each photo.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Overlap {
    pub(super) before: [f64; 4],
    pub(super) after: [f64; 4],
}

/// The vote of the tiles on one pose.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct Vote {
    /// Tiles with structure in either photo.
    asked: usize,
    /// Tiles that correlate by themselves.
    agreed: usize,
}

impl Vote {
    fn share(self) -> f64 {
        self.agreed as f64 / self.asked.max(1) as f64
    }
}

const COARSE: usize = 64;
const FINE: usize = 128;
const ZOOMS: [f32; 5] = [0.90, 0.95, 1.0, 1.05, 1.10];
/// Shifts are tried up to this share of the side.
const REACH: f32 = 0.30;
/// A retake by hand zooms and turns (radians) less than this.
const MOST_ZOOM: f32 = 0.15;
const MOST_TURN: f32 = 0.06;
/// Two candidates nearer than this (coarse pixels) are one.
const APART: f32 = 4.0;
/// Candidates refined.
const REFINED: usize = 8;
/// Side and step of the tiles, fine pixels.
const TILE: usize = 16;
const STEP: usize = 8;
/// Least smaller eigenvalue of a tile's structure tensor, (Lab units per pixel)².
const STRUCTURE: f32 = 1.0;
/// Least correlation of a tile that agrees.
const AGREES: f64 = 0.7;
/// A convincing match: so many tiles agree, that is this share of those asked …
const LEAST_TILES: usize = 8;
const LEAST_SHARE: f64 = 0.30;
/// … and elsewhere at most this part of that share.
const ELSEWHERE: f64 = 0.5;
/// Least share of each photo that must be common.
const COMMON: f64 = 0.5;

/// The common part of two photos given as lightness, if they convincingly share one.
/// `None` also for photos of different shape or with too few pixels.
pub(super) fn overlap(before: &Plane, after: &Plane) -> Option<Overlap> {
    if (before.width() > before.height()) != (after.width() > after.height()) {
        return None;
    }
    let mut candidates = candidates(&level(before, COARSE)?, &level(after, COARSE)?);
    candidates.sort_by(|one, other| other.0.total_cmp(&one.0));
    let (before, after) = (level(before, FINE)?, level(after, FINE)?);
    let apart =
        |one: &Pose, other: &Pose, least: f32| (one.across - other.across).hypot(one.down - other.down) >= least;
    let mut starts: Vec<Pose> = Vec::new();
    for (_, pose) in candidates {
        if starts.len() < REFINED && starts.iter().all(|start| apart(start, &pose, APART)) {
            starts.push(pose);
        }
    }
    let mut found: Vec<(Vote, Pose)> = starts
        .into_iter()
        .map(|start| refined(&before, &after, start))
        .map(|pose| (vote(&before, &after, pose), pose))
        .collect();
    found.sort_by(|one, other| other.0.share().total_cmp(&one.0.share()));
    let &(best, pose) = found.first()?;
    let elsewhere =
        found.iter().find(|(_, other)| apart(other, &pose, 2.0 * APART)).map_or(0.0, |(vote, _)| vote.share());
    let parts = parts(&before, &after, pose)?;
    let common = |part: [f64; 4]| part[2] * part[3] >= COMMON;
    (best.agreed >= LEAST_TILES
        && best.share() >= LEAST_SHARE
        && elsewhere <= ELSEWHERE * best.share()
        && common(parts.0)
        && common(parts.1))
    .then_some(Overlap { before: parts.0, after: parts.1 })
}

/// Asks the tiles. A tile with structure in neither photo has nothing to say.
fn vote(before: &Plane, after: &Plane, pose: Pose) -> Vote {
    let (width, height) = (before.width(), before.height());
    let mut laid = Vec::with_capacity(width * height);
    for y in 0..height {
        for x in 0..width {
            let (u, v) = laid_over(before, after, pose, (x as f32, y as f32));
            laid.push(sample(after, u, v).unwrap_or(f32::NAN));
        }
    }
    let laid = Plane::new(width, laid);
    let mut vote = Vote::default();
    for top in (0..(height + 1).saturating_sub(TILE)).step_by(STEP) {
        for left in (0..(width + 1).saturating_sub(TILE)).step_by(STEP) {
            let (one, other) = (before.cropped(left, top, TILE, TILE), laid.cropped(left, top, TILE, TILE));
            if other.samples().iter().any(|v| v.is_nan()) || structure(&one).max(structure(&other)) < STRUCTURE {
                continue;
            }
            vote.asked += 1;
            let pairs = one.samples().iter().copied().zip(other.samples().iter().copied());
            vote.agreed += usize::from(Sums::of(pairs).correlation().is_some_and(|r| r >= AGREES));
        }
    }
    vote
}

/// The smaller eigenvalue of the mean structure tensor of a tile: 0 where all contrast runs one way.
fn structure(tile: &Plane) -> f32 {
    let (mut xx, mut yy, mut xy, mut count) = (0.0f32, 0.0f32, 0.0f32, 0.0f32);
    for y in 1..tile.height().saturating_sub(1) {
        for x in 1..tile.width().saturating_sub(1) {
            let across = 0.5 * (tile.row(y)[x + 1] - tile.row(y)[x - 1]);
            let down = 0.5 * (tile.row(y + 1)[x] - tile.row(y - 1)[x]);
            xx += across * across;
            yy += down * down;
            xy += across * down;
            count += 1.0;
        }
    }
    let spread = ((xx - yy) * (xx - yy) + 4.0 * xy * xy).sqrt();
    0.5 * (xx + yy - spread) / count.max(1.0)
}

/// A plane shrunk to `long_side` without its slow shading.
fn level(plane: &Plane, long_side: usize) -> Option<Plane> {
    let longest = plane.width().max(plane.height());
    if longest < 2 * long_side {
        return None;
    }
    let side = |pixels: usize| (pixels * long_side).div_ceil(longest).max(1);
    let to = (side(plane.width()), side(plane.height()));
    let small = shrunk((plane.width(), plane.height()), to, &|y, row| {
        for (&sample, out) in plane.row(y).iter().zip(row.chunks_exact_mut(3)) {
            out.fill(sample);
        }
    });
    let small = Plane::new(to.0, small.into_iter().step_by(3).collect());
    let slow = small.blurred(&Kernel::gaussian(4));
    let samples = small.samples().iter().zip(slow.samples()).map(|(&all, &slow)| all - slow).collect();
    Some(Plane::new(to.0, samples))
}

fn candidates(before: &Plane, after: &Plane) -> Vec<(f64, Pose)> {
    let reach = |side: usize| floor_count(f64::from(REACH) * side as f64);
    let (across, down) = (reach(before.width()), reach(before.height()));
    let shifts = |reach: usize| (0..=2 * reach).map(move |i| i as f32 - reach as f32);
    let mut found = Vec::new();
    for zoom in ZOOMS {
        for y in shifts(down).step_by(2) {
            for x in shifts(across).step_by(2) {
                let pose = Pose { across: x, down: y, zoom, turn: 0.0 };
                if let Some(correlation) = correlation(before, after, pose) {
                    found.push((correlation, pose));
                }
            }
        }
    }
    found
}

/// Climbs from a coarse pose to the best fine one near it, with ever smaller steps.
fn refined(before: &Plane, after: &Plane, coarse: Pose) -> Pose {
    let mut pose = Pose { across: 2.0 * coarse.across, down: 2.0 * coarse.down, ..coarse };
    let mut best = correlation(before, after, pose).unwrap_or(-1.0);
    let (mut shift, mut zoom, mut turn) = (2.0f32, 0.025f32, 0.012f32);
    for _ in 0..4 {
        let mut climbing = true;
        while climbing {
            climbing = false;
            for step in [
                Pose { across: pose.across - shift, ..pose },
                Pose { across: pose.across + shift, ..pose },
                Pose { down: pose.down - shift, ..pose },
                Pose { down: pose.down + shift, ..pose },
                Pose { zoom: pose.zoom - zoom, ..pose },
                Pose { zoom: pose.zoom + zoom, ..pose },
                Pose { turn: pose.turn - turn, ..pose },
                Pose { turn: pose.turn + turn, ..pose },
            ] {
                if (step.zoom - 1.0).abs() <= MOST_ZOOM
                    && step.turn.abs() <= MOST_TURN
                    && let Some(here) = correlation(before, after, step)
                    && here > best
                {
                    (best, pose, climbing) = (here, step, true);
                }
            }
        }
        (shift, zoom, turn) = (shift / 2.0, zoom / 2.0, turn / 2.0);
    }
    pose
}

/// The correlation over the common part; `None` when less than half is common or one side is flat.
fn correlation(before: &Plane, after: &Plane, pose: Pose) -> Option<f64> {
    let pairs = (0..before.height()).flat_map(|y| {
        before.row(y).iter().enumerate().filter_map(move |(x, &one)| {
            let (u, v) = laid_over(before, after, pose, (x as f32, y as f32));
            sample(after, u, v).map(|other| (one, other))
        })
    });
    let sums = Sums::of(pairs);
    if sums.count * 2.0 < before.samples().len() as f64 { None } else { sums.correlation() }
}

/// Sums over pairs of samples.
#[derive(Default)]
struct Sums {
    count: f64,
    one: f64,
    other: f64,
    one_one: f64,
    other_other: f64,
    one_other: f64,
}

impl Sums {
    fn of(pairs: impl Iterator<Item = (f32, f32)>) -> Self {
        pairs.fold(Self::default(), |mut sums, (one, other)| {
            let (one, other) = (f64::from(one), f64::from(other));
            sums.count += 1.0;
            sums.one += one;
            sums.other += other;
            sums.one_one += one * one;
            sums.other_other += other * other;
            sums.one_other += one * other;
            sums
        })
    }

    fn correlation(&self) -> Option<f64> {
        let one = self.one_one - self.one * self.one / self.count;
        let other = self.other_other - self.other * self.other / self.count;
        (one > 0.0 && other > 0.0).then(|| (self.one_other - self.one * self.other / self.count) / (one * other).sqrt())
    }
}

/// Where a point of `before` lies in `after`.
fn laid_over(before: &Plane, after: &Plane, pose: Pose, (x, y): (f32, f32)) -> (f32, f32) {
    let middle = |side: usize| (side as f32 - 1.0) / 2.0;
    let (x, y) = (x - middle(before.width()), y - middle(before.height()));
    // Turns stay within a few hundredths of a radian, so the sine is the angle.
    let (u, v) = (pose.zoom * (x - pose.turn * y), pose.zoom * (y + pose.turn * x));
    (u + middle(after.width()) + pose.across, v + middle(after.height()) + pose.down)
}

/// The sample at (u, v), linear in between; `None` outside.
fn sample(plane: &Plane, u: f32, v: f32) -> Option<f32> {
    let within = |place: f32, side: usize| (place >= 0.0 && place <= side as f32 - 1.0).then_some(place);
    let (u, v) = (within(u, plane.width())?, within(v, plane.height())?);
    let (left, top) = (floor_count(f64::from(u)), floor_count(f64::from(v)));
    let (part_x, part_y) = (u - left as f32, v - top as f32);
    let (upper, lower) = (plane.row(top), plane.row((top + 1).min(plane.height() - 1)));
    let right = (left + 1).min(plane.width() - 1);
    let between = |row: &[f32]| row[left] + (row[right] - row[left]) * part_x;
    let (upper, lower) = (between(upper), between(lower));
    Some(upper + (lower - upper) * part_y)
}

/// The common rectangle in each photo, as fractions. The turn is left out: it is too small to matter for a rectangle.
fn parts(before: &Plane, after: &Plane, pose: Pose) -> Option<([f64; 4], [f64; 4])> {
    let axis = |from: usize, to: usize, shift: f32| {
        let (from, to) = (from as f32, to as f32);
        // Edges: position p of `before` lies at zoom·(p − from/2) + to/2 + shift of `after`.
        let there = |p: f32| pose.zoom * (p - from / 2.0) + to / 2.0 + shift;
        let back = |q: f32| (q - to / 2.0 - shift) / pose.zoom + from / 2.0;
        let (start, end) = (back(0.0).max(0.0), back(to).min(from));
        let (first, last) = (there(start).max(0.0), there(end).min(to));
        (end > start && last > first).then(|| {
            let share = |v: f32, side: f32| f64::from(v / side);
            (share(start, from), share(end - start, from), share(first, to), share(last - first, to))
        })
    };
    let across = axis(before.width(), after.width(), pose.across)?;
    let down = axis(before.height(), after.height(), pose.down)?;
    Some(([across.0, down.0, across.1, down.1], [across.2, down.2, across.3, down.3]))
}

/// A cut-out of a plane in fractions as whole pixels: left, top, width, height.
pub(super) fn pixels(part: [f64; 4], width: usize, height: usize) -> [usize; 4] {
    let edge = |share: f64, side: usize| floor_count(share * side as f64 + 0.5).min(side);
    let (left, top) = (edge(part[0], width), edge(part[1], height));
    let (right, bottom) = (edge(part[0] + part[2], width), edge(part[1] + part[3], height));
    [left, top, right.saturating_sub(left), bottom.saturating_sub(top)]
}
