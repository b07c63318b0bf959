//! A photo to a sheet, and its circles to marks.
//!
//! Each circle is measured by the ink inside it (how much darker than the paper behind, mean over a disc of 1.45 mm) and by
//! the ink just outside it, where a cross that missed would lie. The paper's own unevenness, the lower quartile over
//! all circles of the sheet, is taken off: fewer than half of a sheet's circles are ever filled.

use std::collections::BTreeSet;

use super::cast::{byte, place, single};
use super::fault::Fault;
use super::find::corners;
use super::light::Plane;
use super::reading::{Filled, Mark, Reading};
use super::sheet::{Circle, Field, HEIGHT, NOTE, Sheet, WIDTH};
use super::straighten::{Found, straighten};
use crate::photo::{Grey, Pixels, grey};

/// Long side that a photo is shrunk to, samples: 7 a millimetre of a sheet that fills it.
const LONG_SIDE: u32 = 2400;
/// Samples a millimetre of the straightened sheet, and millimetres between the places that are worked out exactly.
const FINE: f64 = 5.0;
const NODE: f64 = 2.0;
/// Half the window of the paper behind, mm: ink up to 7 mm wide.
const PAPER: f64 = 3.5;
/// Radius of the inside of a circle, and of the ring outside it, mm.
const INSIDE: f64 = 1.45;
const OUTSIDE: (f64, f64) = (2.15, 2.6);
/// Parts of that ring, of which the darkest counts: a stroke crosses only one or two. The one to the right is left out, since the
/// words of a circle stand there.
const PARTS: usize = 8;
const WORDS: usize = 4;
/// Ink below this is an empty circle, above this a filled one (convention, from the rendered sheets of the tests).
const EMPTY: f64 = 0.05;
const FULL: f64 = 0.11;
/// What was rubbed out is this much paler, in its darkest tenth, than the strokes of the same sheet; where there are too few
/// clear marks to tell, than a pale pencil.
const RUBBED: f64 = 0.42;
const PALE: f64 = 0.45;
/// Clear marks that show how dark the pen is.
const CLEAR: usize = 5;
/// Ink outside an empty circle, above which it may be a cross that missed.
const BESIDE: f64 = 0.06;

/// A sheet that was found in a photo and straightened.
#[derive(Clone, Debug)]
pub struct Seen {
    found: Found,
    photo: Plane,
    flat: Plane,
    ink: Plane,
    drawn: bool,
}

/// Finds the sheet in a photo.
pub fn seen(bytes: &[u8]) -> Result<Seen, Fault> {
    let Grey { width, height, levels, drawn } = grey(bytes, LONG_SIDE)?;
    let photo = Plane::new(width, height, levels);
    let found = straighten(&photo, &corners(&photo)).map_err(|fault| match fault {
        Fault::NoSheet if drawn => Fault::Screenshot,
        fault => fault,
    })?;
    let flat = straightened(&photo, &found);
    let ink = flat.ink(place(PAPER * FINE));
    Ok(Seen { found, photo, flat, ink, drawn })
}

/// The sheet as if photographed from straight above, [`FINE`] samples a millimetre.
fn straightened(photo: &Plane, found: &Found) -> Plane {
    let (width, height) = (place(WIDTH * FINE) + 1, place(HEIGHT * FINE) + 1);
    let step = place(NODE * FINE);
    let columns = width.div_ceil(step) + 1;
    let share = |at: usize| single(at as f64 / step as f64);
    let nodes = |row: usize| -> Vec<(f32, f32)> {
        (0..columns)
            .map(|column| {
                let (x, y) = found.warp.apply((column as f64 * NODE, row as f64 * NODE));
                (single(x), single(y))
            })
            .collect()
    };
    let mut levels = Vec::with_capacity(width * height);
    let (mut above, mut below) = (nodes(0), nodes(1));
    for y in 0..height {
        if y > 0 && y % step == 0 {
            above = std::mem::replace(&mut below, nodes(y / step + 1));
        }
        let down = share(y % step);
        let mix = |at: usize| {
            let (a, b) = (above[at], below[at]);
            (a.0 + (b.0 - a.0) * down, a.1 + (b.1 - a.1) * down)
        };
        for cell in 0..columns - 1 {
            let (a, b) = (mix(cell), mix(cell + 1));
            for part in 0..step.min(width.saturating_sub(cell * step)) {
                let across = share(part);
                levels.push(photo.at(a.0 + (b.0 - a.0) * across, a.1 + (b.1 - a.1) * across));
            }
        }
    }
    Plane::new(width, height, levels)
}

impl Seen {
    /// What the sheet says of itself.
    pub fn label(&self) -> super::Label {
        self.found.label
    }

    /// Reads the circles of the sheet that the label names.
    pub fn read(&self, sheet: &Sheet) -> Result<Reading, Fault> {
        let measured: Vec<Measured> = sheet.circles.iter().map(|circle| self.measured(circle)).collect();
        let ground = lower_quarter(measured.iter().map(|one| one.inside));
        let around = lower_quarter(measured.iter().map(|one| one.beside));
        let pen = pen(&measured, ground);
        let mut marks: Vec<Mark> = sheet
            .circles
            .iter()
            .zip(&measured)
            .map(|(circle, one)| {
                let ink = (one.inside - ground).max(0.0);
                let (filled, confidence) = judged(ink, (one.stroke - ground) / pen, one.beside - around);
                Mark { circle: *circle, ink, filled, confidence }
            })
            .collect();
        let inside: Vec<bool> = marks.iter().map(|mark| mark.ink >= EMPTY).collect();
        beside_another(&mut marks, &inside);
        only_one(&mut marks);
        if self.drawn && marks.iter().all(|mark| mark.filled == Filled::No) {
            return Err(Fault::Screenshot);
        }
        Ok(Reading { label: sheet.label, marks })
    }

    fn measured(&self, circle: &Circle) -> Measured {
        let reach = OUTSIDE.1;
        let (left, top) = (place((circle.x - reach) * FINE), place((circle.y - reach) * FINE));
        let side = place(2.0 * reach * FINE) + 2;
        let (mut inside, mut beside) = (Vec::new(), [(0.0f64, 0.0f64); PARTS]);
        for y in top..(top + side).min(self.ink.height) {
            for x in left..(left + side).min(self.ink.width) {
                let (dx, dy) = (x as f64 / FINE - circle.x, y as f64 / FINE - circle.y);
                let away = dx.hypot(dy);
                let ink = f64::from(self.ink.levels[y * self.ink.width + x]);
                if away <= INSIDE {
                    inside.push(ink);
                } else if away >= OUTSIDE.0 && away <= OUTSIDE.1 {
                    let turn = libm::atan2(dy, dx) / std::f64::consts::TAU + 0.5;
                    let part = &mut beside[place(turn * PARTS as f64 + 0.5) % PARTS];
                    *part = (part.0 + ink, part.1 + 1.0);
                }
            }
        }
        let mean = inside.iter().sum::<f64>() / (inside.len().max(1)) as f64;
        inside.sort_by(f64::total_cmp);
        let darkest = &inside[inside.len() - inside.len() / 10..];
        let stroke = darkest.iter().sum::<f64>() / (darkest.len().max(1)) as f64;
        beside[WORDS] = (0.0, 0.0);
        let beside = beside.iter().map(|(sum, count)| sum / count.max(1.0)).fold(0.0, f64::max);
        Measured { inside: mean, stroke, beside }
    }

    /// A part of the sheet, straight and in grey: left, top, width, height in millimetres.
    pub fn part(&self, [x, y, width, height]: [f64; 4], samples_a_mm: f64) -> Pixels {
        let (columns, rows) = (place(width * samples_a_mm).max(1), place(height * samples_a_mm).max(1));
        let mut rgb = Vec::with_capacity(columns * rows * 3);
        for row in 0..rows {
            for column in 0..columns {
                let mm = (x + column as f64 / samples_a_mm, y + row as f64 / samples_a_mm);
                let (u, v) = self.found.warp.apply(mm);
                let level = byte(self.photo.at(single(u), single(v)));
                rgb.extend([level; 3]);
            }
        }
        let side = |n: usize| u32::try_from(n).unwrap_or(1);
        Pixels { width: side(columns), height: side(rows), rgb }
    }

    /// The strip with the note.
    pub fn note(&self) -> Pixels {
        let [x, y, width, height] = NOTE;
        self.part([x - 2.0, y - 1.0, width + 4.0, height + 2.0], 6.0)
    }

    /// The whole sheet, straightened.
    pub fn whole(&self) -> Pixels {
        let rgb = self.flat.levels.iter().flat_map(|level| [byte(*level); 3]).collect();
        let side = |n: usize| u32::try_from(n).unwrap_or(1);
        Pixels { width: side(self.flat.width), height: side(self.flat.height), rgb }
    }
}

struct Measured {
    inside: f64,
    stroke: f64,
    beside: f64,
}

/// What an empty circle shows: the lower quartile, within reason.
fn lower_quarter(inks: impl Iterator<Item = f64>) -> f64 {
    let mut inks: Vec<f64> = inks.collect();
    inks.sort_by(f64::total_cmp);
    inks.get(inks.len() / 4).copied().unwrap_or(0.0).clamp(0.0, 0.2)
}

/// How dark the strokes of this sheet are: the middle one of its clear marks.
fn pen(measured: &[Measured], ground: f64) -> f64 {
    let clear = measured.iter().filter(|one| one.inside - ground > FULL);
    let mut strokes: Vec<f64> = clear.map(|one| one.stroke - ground).collect();
    strokes.sort_by(f64::total_cmp);
    if strokes.len() < CLEAR { PALE } else { strokes[strokes.len() / 2].max(PALE / 2.0) }
}

/// What the ink of a circle means, and how sure that is. `stroke` is how dark its darkest tenth is, as a share of the pen.
fn judged(ink: f64, stroke: f64, beside: f64) -> (Filled, f64) {
    if (ink < EMPTY || ink < FULL && stroke < RUBBED) && beside < BESIDE {
        return (Filled::No, 1.0 - 0.1 * (ink / FULL).min(1.0));
    }
    if ink >= FULL && stroke >= RUBBED {
        return (Filled::Yes, 1.0 - 0.1 * libm::exp(-(ink - FULL) / 0.06));
    }
    (Filled::Doubtful, 0.5)
}

/// Ink outside an empty circle is no question where another circle of the same question is filled: it is that one's cross.
fn beside_another(marks: &mut [Mark], inside: &[bool]) {
    let filled: BTreeSet<(u8, Field)> = marks
        .iter()
        .filter(|mark| mark.filled == Filled::Yes && mark.circle.field.is_one_of())
        .map(|mark| (mark.circle.row, mark.circle.field))
        .collect();
    for (mark, inside) in marks.iter_mut().zip(inside) {
        if mark.filled == Filled::Doubtful && !inside && filled.contains(&(mark.circle.row, mark.circle.field)) {
            (mark.filled, mark.confidence) = (Filled::No, 0.9);
        }
    }
}

/// Two filled circles where one is meant are both asked about.
fn only_one(marks: &mut [Mark]) {
    let group = |mark: &Mark| (mark.circle.row, mark.circle.field);
    for at in 0..marks.len() {
        if marks[at].filled != Filled::Yes || !marks[at].circle.field.is_one_of() {
            continue;
        }
        let key = group(&marks[at]);
        let others: Vec<usize> = (0..marks.len())
            .filter(|&other| other != at && group(&marks[other]) == key && marks[other].filled != Filled::No)
            .collect();
        if others.iter().any(|&other| marks[other].filled == Filled::Yes) {
            for other in others.into_iter().chain([at]) {
                marks[other].filled = Filled::Doubtful;
                marks[other].confidence = 0.5;
            }
        }
    }
}
