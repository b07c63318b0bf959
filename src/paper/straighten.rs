//! Which four corner marks are a sheet, which way up it lies, and how it is bent.

use super::code::{COLUMNS, Label, ROWS, cells};
use super::fault::Fault;
use super::find::Corner;
use super::light::Plane;
use super::sheet::{HEIGHT, RING, TICKS, WIDTH};
use super::warp::{Bend, Homography, Point, Warp};

/// Share of the edge dots that must be found.
const FOUND: f64 = 0.6;
/// How far an edge dot is looked for around where its neighbour says it is, mm.
const AROUND: f64 = 3.2;
/// Step of that search, mm.
const STEP: f64 = 0.25;
/// How much darker than around it an edge dot must be.
const DARKER: f32 = 0.16;
/// Dots with less contrast than this between the lightest and the darkest say nothing.
const CONTRAST: f32 = 0.12;

/// A sheet found in a photo.
#[derive(Clone, Debug)]
pub(super) struct Found {
    pub(super) label: Label,
    pub(super) warp: Warp,
}

/// The sheet of these corner marks.
pub(super) fn straighten(photo: &Plane, corners: &[Corner]) -> Result<Found, Fault> {
    match corners.len() {
        0 | 1 => return Err(Fault::NoSheet),
        2 => return Err(Fault::Half),
        3 => return Err(Fault::Corner),
        _ => {}
    }
    let mut edges_fit = false;
    let mut mirrored = false;
    let mut found: Option<(Found, [usize; 4])> = None;
    for four in fours(corners) {
        for (turn, mirror) in (0..4).flat_map(|turn| [(turn, false), (turn, true)]) {
            let Some(flat) = laid(corners, four, turn, mirror) else { continue };
            let Some(bend) = bend(photo, &flat) else { continue };
            edges_fit = true;
            let warp = Warp { flat, bend };
            let Some(label) = label(photo, &warp) else { continue };
            if mirror {
                mirrored = true;
                continue;
            }
            match &found {
                Some((_, before)) if before.iter().all(|at| !four.contains(at)) => return Err(Fault::Several),
                Some(_) => {}
                None => found = Some((Found { label, warp }, four)),
            }
        }
        // What is left over of another sheet.
        if let Some((_, four)) = &found {
            let size = |at: usize| corners[at].size;
            let least = four.iter().map(|&at| size(at)).fold(f64::INFINITY, f64::min);
            let others = (0..corners.len()).filter(|at| !four.contains(at) && size(*at) > 0.6 * least).count();
            if others >= 2 {
                return Err(Fault::Several);
            }
            break;
        }
    }
    match found {
        Some((found, _)) => Ok(found),
        None if mirrored => Err(Fault::Mirrored),
        None if edges_fit => Err(Fault::Dots),
        None if corners.len() >= 6 => Err(Fault::Several),
        None => Err(Fault::Bent),
    }
}

/// Every four corner marks that may belong together, in the order of their angle around their middle.
fn fours(corners: &[Corner]) -> Vec<[usize; 4]> {
    let n = corners.len();
    let mut found = Vec::new();
    for a in 0..n {
        for b in a + 1..n {
            for c in b + 1..n {
                for d in c + 1..n {
                    let mut four = [a, b, c, d];
                    if let Some(odd) = odd(corners, &mut four) {
                        found.push((odd, four));
                    }
                }
            }
        }
    }
    found.sort_by(|one, other| one.0.total_cmp(&other.0));
    found.truncate(60);
    found.into_iter().map(|(_, four)| four).collect()
}

/// How unlike a sheet these four are; `None` if they cannot be one. Sorts them clockwise.
fn odd(corners: &[Corner], four: &mut [usize; 4]) -> Option<f64> {
    let middle = four.iter().fold((0.0, 0.0), |sum, &at| (sum.0 + corners[at].x / 4.0, sum.1 + corners[at].y / 4.0));
    four.sort_by(|&a, &b| {
        let angle = |at: usize| libm::atan2(corners[at].y - middle.1, corners[at].x - middle.0);
        angle(a).total_cmp(&angle(b))
    });
    let point = |at: usize| (corners[four[at % 4]].x, corners[four[at % 4]].y);
    let side = |at: usize| {
        let (a, b) = (point(at), point(at + 1));
        (a.0 - b.0).hypot(a.1 - b.1)
    };
    // Convex: every turn to the same side.
    let turns = (0..4).all(|at| {
        let (a, b, c) = (point(at), point(at + 1), point(at + 2));
        (b.0 - a.0) * (c.1 - b.1) - (b.1 - a.1) * (c.0 - b.0) > 0.0
    });
    let sizes = four.map(|at| corners[at].size);
    let mean = sizes.iter().sum::<f64>() / 4.0;
    let spread = sizes.iter().map(|size| libm::log(size / mean).abs()).fold(0.0, f64::max);
    let short = libm::log(side(0).min(side(1)) / side(2).max(side(3)).max(1.0)).abs();
    // Both pairs of sides against the size of the rings: 168 and 232 mm to 9.
    let sides = [f64::midpoint(side(0), side(2)), f64::midpoint(side(1), side(3))];
    let near = |length: f64, mm: f64| libm::log(length / mean * 2.0 * RING.0 / mm).abs();
    let upright = near(sides[0], WIDTH).max(near(sides[1], HEIGHT));
    let across = near(sides[0], HEIGHT).max(near(sides[1], WIDTH));
    let fits = upright.min(across);
    (turns && spread < 0.6 && fits < 0.5 && short.is_finite()).then_some(fits + spread)
}

/// The four as corners of a sheet, the upper left one being number `turn`.
fn laid(corners: &[Corner], four: [usize; 4], turn: usize, mirror: bool) -> Option<Homography> {
    let at = |step: usize| {
        let corner = corners[four[(turn + if mirror { 4 - step } else { step }) % 4]];
        (corner.x, corner.y)
    };
    Homography::new([(0.0, 0.0), (WIDTH, 0.0), (WIDTH, HEIGHT), (0.0, HEIGHT)], [at(0), at(1), at(2), at(3)])
}

/// Where the dots along the edges lie; `None` where too few are found.
fn bend(photo: &Plane, flat: &Homography) -> Option<Bend> {
    let (across, down) = TICKS;
    let mut bend = Bend::none();
    let (mut found, mut asked) = (0usize, 0usize);
    let edges = [
        ((0.0, 0.0), (WIDTH, 0.0), across),
        ((0.0, HEIGHT), (WIDTH, HEIGHT), across),
        ((0.0, 0.0), (0.0, HEIGHT), down),
        ((WIDTH, 0.0), (WIDTH, HEIGHT), down),
    ];
    for (edge, (from, to, steps)) in edges.into_iter().enumerate() {
        let mut off: Vec<Option<Point>> = vec![None; steps + 1];
        off[0] = Some((0.0, 0.0));
        off[steps] = Some((0.0, 0.0));
        // From both ends to the middle, each dot looked for where the one before it says.
        for back in [false, true] {
            let mut known = (0.0, 0.0);
            for step in 1..=steps / 2 {
                let at = if back { steps - step } else { step };
                if off[at].is_some() {
                    continue;
                }
                let share = at as f64 / steps as f64;
                let mm = (from.0 + (to.0 - from.0) * share, from.1 + (to.1 - from.1) * share);
                asked += 1;
                if let Some(place) = dot(photo, flat, mm, known) {
                    found += 1;
                    known = place;
                    off[at] = Some(place);
                }
            }
        }
        let whole = filled(&off);
        match edge {
            0 | 1 => bend.rows[edge] = whole,
            _ => bend.columns[edge - 2] = whole,
        }
    }
    (found as f64 >= FOUND * asked as f64).then_some(bend)
}

/// What was not found lies between its neighbours.
fn filled(off: &[Option<Point>]) -> Vec<Point> {
    (0..off.len())
        .map(|at| {
            if let Some(known) = off[at] {
                return known;
            }
            let before = (0..at).rev().find_map(|at| off[at].map(|point| (at, point)));
            let after = (at..off.len()).find_map(|at| off[at].map(|point| (at, point)));
            let (Some((low, a)), Some((high, b))) = (before, after) else { return (0.0, 0.0) };
            let share = (at - low) as f64 / (high - low) as f64;
            (a.0 + (b.0 - a.0) * share, a.1 + (b.1 - a.1) * share)
        })
        .collect()
}

/// How far the dot at `mm` lies from where the corners put it, looked for around `known`.
fn dot(photo: &Plane, flat: &Homography, mm: Point, known: Point) -> Option<Point> {
    let (x, y) = flat.apply(mm);
    let per_mm = |dx: f64, dy: f64| {
        let (u, v) = flat.apply((mm.0 + dx, mm.1 + dy));
        (u - x, v - y)
    };
    let (right, low) = (per_mm(1.0, 0.0), per_mm(0.0, 1.0));
    let level = |dx: f64, dy: f64| {
        let u = x + known.0 + right.0 * dx + low.0 * dy;
        let v = y + known.1 + right.1 * dx + low.1 * dy;
        photo.at(super::cast::single(u), super::cast::single(v))
    };
    if !(x.is_finite() && y.is_finite() && x > -1e8) {
        return None;
    }
    let side = super::cast::place(2.0 * (AROUND + 2.2) / STEP) + 1;
    let from = -(AROUND + 2.2);
    let place = |at: usize| from + STEP * at as f64;
    let patch: Vec<f32> = (0..side * side).map(|at| level(place(at % side), place(at / side))).collect();
    let around = 9; // 2.2 mm in steps
    let get = |column: usize, row: usize| patch[row * side + column];
    let mut best: Option<(f32, usize, usize)> = None;
    for row in around..side - around {
        for column in around..side - around {
            let inside = [(0, 0), (2, 0), (0, 2), (-2, 0), (0, -2)];
            let outside = [(8, 0), (6, 6), (0, 8), (-6, 6), (-8, 0), (-6, -6), (0, -8), (6, -6)];
            let mean = |offsets: &[(isize, isize)]| {
                let sum: f32 = offsets
                    .iter()
                    .map(|&(dx, dy)| get(column.saturating_add_signed(dx), row.saturating_add_signed(dy)))
                    .sum();
                sum / super::cast::single(offsets.len() as f64)
            };
            // Against the darkest of four opposite pairs, so that the edge of a shadow is no dot.
            let (dark, light) = (mean(&inside), mean(&outside));
            let pairs = (0..4).map(|at| {
                let (a, b) = (outside[at], outside[at + 4]);
                mean(&[a, b])
            });
            let least = pairs.fold(light, f32::min);
            let score = (least - dark) / light.max(0.02);
            if best.is_none_or(|(before, _, _)| score > before) {
                best = Some((score, column, row));
            }
        }
    }
    let (score, column, row) = best?;
    if score < DARKER {
        return None;
    }
    // The middle of what is dark within 1.5 mm.
    let (mut sum, mut sum_x, mut sum_y) = (0.0f64, 0.0f64, 0.0f64);
    let white = {
        let ring = [(8isize, 0isize), (0, 8), (-8, 0), (0, -8)];
        ring.iter()
            .map(|&(dx, dy)| get(column.saturating_add_signed(dx), row.saturating_add_signed(dy)))
            .fold(0.0, f32::max)
    };
    for dy in -6isize..=6 {
        for dx in -6isize..=6 {
            if dx * dx + dy * dy > 36 {
                continue;
            }
            let level = get(column.saturating_add_signed(dx), row.saturating_add_signed(dy));
            let weight = f64::from((0.8 * white - level).max(0.0));
            sum += weight;
            sum_x += weight * dx as f64;
            sum_y += weight * dy as f64;
        }
    }
    if sum <= 0.0 {
        return None;
    }
    let (dx, dy) = (place(column) + STEP * sum_x / sum, place(row) + STEP * sum_y / sum);
    Some((known.0 + right.0 * dx + low.0 * dy, known.1 + right.1 * dx + low.1 * dy))
}

/// What the dots at the foot say.
fn label(photo: &Plane, warp: &Warp) -> Option<Label> {
    let level = |x: f64, y: f64| {
        let (u, v) = warp.apply((x, y));
        photo.at(super::cast::single(u), super::cast::single(v))
    };
    // Each place against the lightest of the four gaps around it.
    let darkness: Vec<f32> = cells()
        .map(|(x, y)| {
            let inside = [(0.0, 0.0), (0.35, 0.0), (-0.35, 0.0), (0.0, 0.35), (0.0, -0.35)];
            let dot = inside.iter().map(|(dx, dy)| level(x + dx, y + dy)).sum::<f32>() / 5.0;
            let gaps = [(1.1, 1.2), (-1.1, 1.2), (1.1, -1.2), (-1.1, -1.2)];
            let white = gaps.iter().map(|(dx, dy)| level(x + dx, y + dy)).fold(0.02, f32::max);
            1.0 - dot / white
        })
        .collect();
    debug_assert_eq!(darkness.len(), COLUMNS * ROWS);
    let mut sorted = darkness.clone();
    sorted.sort_by(f32::total_cmp);
    let (low, high) = (sorted[sorted.len() / 10], sorted[sorted.len() - 1 - sorted.len() / 10]);
    if high - low < CONTRAST {
        return None;
    }
    // The widest gap between the two kinds lies near the middle; two tries beside it mend a blurred picture.
    [0.5, 0.4, 0.6].into_iter().find_map(|share| {
        let between = low + (high - low) * share;
        Label::of_dots(&darkness.iter().map(|dark| *dark > between).collect::<Vec<bool>>())
    })
}
