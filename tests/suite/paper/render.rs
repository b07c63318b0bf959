//! Rendered photos of filled sheets, with what was really filled: a sheet's own drawing, a pen, a bent and creased paper, a
//! camera, a lamp and shadows, blur, noise, JPEG. Everything follows from a seed.

use std::collections::BTreeMap;
use std::sync::{Mutex, OnceLock};

use image::codecs::jpeg::JpegEncoder;
use image::{ExtendedColorType, ImageEncoder};
use resvg::{tiny_skia, usvg};
use stillroom::paper::{HEIGHT, Kind, LAYOUT, Label, Sheet, WIDTH, alias_code, svg};

use super::pens::fill;
use super::rays::Rays;

/// Samples a millimetre of the paper.
const FINE: f64 = 8.0;
/// A4, and where the frame begins on it, mm.
pub(crate) const PAGE: (f64, f64) = (210.0, 297.0);
pub(crate) const AT: (f64, f64) = (21.0, 26.0);

/// splitmix64 [STEELE2014]: one stream a seed, the same on every machine.
pub(crate) struct Chance(u64);

impl Chance {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0x5EED)
    }

    pub(crate) fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// 0 to below 1.
    pub(crate) fn share(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }

    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }

    pub(crate) fn chance(&mut self, share: f64) -> bool {
        self.share() < share
    }

    pub(crate) fn below(&mut self, n: usize) -> usize {
        usize::try_from(self.next() % n as u64).unwrap()
    }

    /// Normal, mean 0 and deviation 1 (twelve uniform ones less six).
    pub(crate) fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.share()).sum::<f64>() - 6.0
    }
}

/// What was done to a sheet and to its photo.
#[derive(Clone, Debug)]
pub(crate) struct Shot {
    pub(crate) kind: Kind,
    /// Scale of the printer.
    pub(crate) scale: f64,
    /// Tilt in degrees, towards a direction in degrees, turned by degrees.
    pub(crate) tilt: f64,
    pub(crate) towards: f64,
    pub(crate) turn: f64,
    /// How far the middle of a curled sheet stands off the table, mm, and along which side it is curled.
    pub(crate) curl: f64,
    pub(crate) curled_across: bool,
    /// Height of a crease, mm, and where it runs (share of the page), across or down.
    pub(crate) crease: f64,
    pub(crate) crease_at: f64,
    /// Light: exposure 0…1, noise (deviation at white), blur (samples of the photo).
    pub(crate) exposure: f64,
    pub(crate) noise: f64,
    pub(crate) blur: f64,
    /// Edges of shadows: point and direction on the page (mm, degrees), how dark, how soft (mm).
    pub(crate) shadows: Vec<[f64; 5]>,
    pub(crate) quality: u8,
    /// Long side of the photo.
    pub(crate) long: usize,
    pub(crate) mirrored: bool,
    /// How far away the camera is: 1 fills the picture.
    pub(crate) far: f64,
    /// Moves the sheet out of the middle, mm.
    pub(crate) aside: (f64, f64),
    pub(crate) pen: Pen,
    /// Shares of crosses that miss, and of groups with something rubbed out.
    pub(crate) misses: f64,
    pub(crate) rubbed: f64,
}

/// What it is filled with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Pen {
    Ballpoint,
    Felt,
    Pencil,
}

/// A rendered photo with the truth.
pub(crate) struct Rendered {
    pub(crate) jpeg: Vec<u8>,
    pub(crate) sheet: Sheet,
    pub(crate) filled: Vec<bool>,
}

/// A sheet of a kind without questions.
pub(crate) fn sheet(kind: Kind, number: u32) -> Sheet {
    let label = Label {
        layout: LAYOUT,
        kind,
        language: *b"en",
        page: 0,
        alias: alias_code("clover"),
        week: Some(150),
        about: Some(3),
        number,
    };
    Sheet::plain(label).unwrap()
}

impl Shot {
    /// What may happen to a sheet at home, from a seed.
    pub(crate) fn of_seed(seed: u64) -> Self {
        let chance = &mut Chance::new(seed);
        let kind = [Kind::Sittings, Kind::Sampling, Kind::Screens][chance.below(3)];
        let low_light = chance.chance(0.2);
        let shadows = (0..chance.below(3))
            .map(|_| {
                let soft = if chance.chance(0.5) { chance.between(0.2, 1.5) } else { chance.between(2.0, 25.0) };
                let (x, y) = (chance.between(20.0, 190.0), chance.between(30.0, 270.0));
                [x, y, chance.between(0.0, 360.0), chance.between(0.4, 0.85), soft]
            })
            .collect();
        Self {
            kind,
            scale: if chance.chance(0.5) { 1.0 } else { 0.93 },
            tilt: chance.between(0.0, 30.0),
            towards: chance.between(0.0, 360.0),
            turn: 90.0 * chance.below(4) as f64 + chance.between(-12.0, 12.0),
            curl: if chance.chance(0.4) { chance.between(-9.0, 9.0) } else { 0.0 },
            curled_across: chance.chance(0.5),
            crease: if chance.chance(0.35) { chance.between(-3.0, 3.0) } else { 0.0 },
            crease_at: chance.between(0.25, 0.75),
            exposure: if low_light { chance.between(0.12, 0.3) } else { chance.between(0.5, 0.95) },
            noise: if low_light { chance.between(0.02, 0.045) } else { chance.between(0.004, 0.02) },
            blur: chance.between(0.4, 1.7),
            shadows,
            quality: [70, 80, 88, 93][chance.below(4)],
            long: [1600, 2000][chance.below(2)],
            mirrored: false,
            far: chance.between(1.0, 1.25),
            aside: (0.0, 0.0),
            pen: [Pen::Ballpoint, Pen::Felt, Pen::Pencil][chance.below(3)],
            misses: 0.04,
            rubbed: 0.04,
        }
    }

    /// Nothing that makes it hard.
    pub(crate) fn plain(kind: Kind) -> Self {
        Self {
            kind,
            scale: 1.0,
            tilt: 0.0,
            towards: 0.0,
            turn: 0.0,
            curl: 0.0,
            curled_across: false,
            crease: 0.0,
            crease_at: 0.5,
            exposure: 0.8,
            noise: 0.006,
            blur: 0.6,
            shadows: Vec::new(),
            quality: 90,
            long: 1600,
            mirrored: false,
            far: 1.05,
            aside: (0.0, 0.0),
            pen: Pen::Ballpoint,
            misses: 0.0,
            rubbed: 0.0,
        }
    }

    /// The photo, and what was filled.
    pub(crate) fn rendered(&self, seed: u64) -> Rendered {
        let chance = &mut Chance::new(seed ^ 0xF111);
        let number = u32::try_from(chance.below(1_000_000)).unwrap();
        let sheet = sheet(self.kind, number);
        let mut page = printed(&sheet);
        let filled = fill(&mut page, &sheet, self, chance);
        let jpeg = self.photographed(&[(&page, self.aside)], chance);
        Rendered { jpeg, sheet, filled }
    }

    /// The photo of pages that lie on a table.
    pub(crate) fn photographed(&self, pages: &[(&Page, (f64, f64))], chance: &mut Chance) -> Vec<u8> {
        let upright = (self.turn / 90.0).round().rem_euclid(2.0) < 0.5;
        let short = self.long * 3 / 4;
        let (width, height) = if upright { (short, self.long) } else { (self.long, short) };
        let rays = Rays::new(self, width, height);
        let wood = [chance.between(0.1, 0.6), chance.between(2.0, 9.0), chance.between(0.0, 6.0)];
        let mut light = vec![0.0f32; width * height];
        for (at, place) in light.iter_mut().enumerate() {
            let x = if self.mirrored { width - 1 - at % width } else { at % width };
            let (px, py, shade) = rays.hit(x as f64, (at / width) as f64);
            let on_page = pages
                .iter()
                .find_map(|(page, aside)| page.at((px - aside.0) / self.scale, (py - aside.1) / self.scale));
            let surface = on_page
                .unwrap_or_else(|| single(wood[0] * (1.0 + 0.15 * (px / wood[1] + (py / 31.0 + wood[2]).sin()).sin())));
            *place = surface * single(shade * self.lit(px, py));
        }
        blurred(&mut light, width, self.blur);
        let tint = [1.0, chance.between(0.86, 1.0), chance.between(0.62, 1.0)];
        let mut rgb = Vec::with_capacity(width * height * 3);
        for level in light {
            let v = f64::from(level) * self.exposure;
            for part in tint {
                let noisy = v * part + chance.normal() * self.noise * (0.25 + 0.75 * v).sqrt();
                rgb.push(encoded(noisy));
            }
        }
        let mut jpeg = Vec::new();
        let size = |n: usize| u32::try_from(n).unwrap();
        JpegEncoder::new_with_quality(&mut jpeg, self.quality)
            .write_image(&rgb, size(width), size(height), ExtendedColorType::Rgb8)
            .unwrap();
        jpeg
    }

    /// How much light falls on a place of the page.
    fn lit(&self, x: f64, y: f64) -> f64 {
        let gradient = 1.0 - 0.25 * (x / 210.0 - 0.5) * (self.towards.to_radians()).cos() - 0.2 * (y / 297.0 - 0.5);
        self.shadows.iter().fold(gradient, |light, &[px, py, angle, dark, soft]| {
            let (sin, cos) = angle.to_radians().sin_cos();
            let away = (x - px) * cos + (y - py) * sin;
            let inside = (away / soft + 0.5).clamp(0.0, 1.0);
            light * (1.0 - (1.0 - dark) * inside * inside * (3.0 - 2.0 * inside))
        })
    }
}

/// The reflectance of a page, row after row.
#[derive(Clone)]
pub(crate) struct Page {
    width: usize,
    pub(crate) levels: Vec<f32>,
}

impl Page {
    /// A page of other marks.
    pub(crate) fn blank() -> Self {
        let (width, height) = (place(PAGE.0 * FINE), place(PAGE.1 * FINE));
        Self { width, levels: vec![0.86; width * height] }
    }

    fn at(&self, x: f64, y: f64) -> Option<f32> {
        let (u, v) = (x * FINE, y * FINE);
        let (column, row) = (place(u), place(v));
        let height = self.levels.len() / self.width;
        if u < 0.0 || v < 0.0 || column + 1 >= self.width || row + 1 >= height {
            return None;
        }
        let (a, b) = (single(u.fract()), single(v.fract()));
        let line = |row: usize| {
            let row = &self.levels[row * self.width + column..];
            row[0] + (row[1] - row[0]) * a
        };
        Some(line(row) + (line(row + 1) - line(row)) * b)
    }

    /// Bare paper along a line, mm.
    pub(crate) fn whiten(&mut self, x: f64, y: f64, width: f64) {
        let (row, from, to) = (place(y * FINE), place(x * FINE), place((x + width) * FINE));
        let line = row * self.width;
        if let Some(levels) = self.levels.get_mut(line + from..line + to.min(self.width)) {
            levels.fill(0.86);
        }
    }

    /// A ring of that radius and width of line, mm.
    pub(crate) fn ring(&mut self, (x, y): (f64, f64), radius: f64, line: f64, reflects: f64) {
        let points = 48;
        let at = |step: usize| {
            let (sin, cos) = (std::f64::consts::TAU * step as f64 / points as f64).sin_cos();
            (x + (radius - line / 2.0) * cos, y + (radius - line / 2.0) * sin)
        };
        for step in 0..points {
            self.stroke(at(step), at(step + 1), line, reflects);
        }
    }

    /// A stroke of a pen between two places, mm.
    pub(crate) fn stroke(&mut self, from: (f64, f64), to: (f64, f64), width: f64, reflects: f64) {
        let reach = width / 2.0 + 0.2;
        let height = self.levels.len() / self.width;
        let rows = place((from.1.min(to.1) - reach) * FINE)..place((from.1.max(to.1) + reach) * FINE + 1.0).min(height);
        let columns =
            place((from.0.min(to.0) - reach) * FINE)..place((from.0.max(to.0) + reach) * FINE + 1.0).min(self.width);
        let (dx, dy) = (to.0 - from.0, to.1 - from.1);
        let square = (dx * dx + dy * dy).max(1e-9);
        for row in rows {
            for column in columns.clone() {
                let (x, y) = (column as f64 / FINE - from.0, row as f64 / FINE - from.1);
                let along = ((x * dx + y * dy) / square).clamp(0.0, 1.0);
                let away = (x - along * dx).hypot(y - along * dy);
                let cover = ((width / 2.0 - away) * FINE + 0.5).clamp(0.0, 1.0);
                let level = &mut self.levels[row * self.width + column];
                *level = level.min(0.86 * single(1.0 - (1.0 - reflects) * cover));
            }
        }
    }
}

/// A sheet as a printer puts it on paper. Its dots and words change by the sheet, its circles by its kind.
pub(crate) fn printed(sheet: &Sheet) -> Page {
    static KEPT: OnceLock<Mutex<BTreeMap<u32, Page>>> = OnceLock::new();
    let key = sheet.label.number ^ (sheet.label.kind as u32) << 28;
    let kept = KEPT.get_or_init(Mutex::default);
    if let Some(page) = kept.lock().unwrap().get(&key) {
        return page.clone();
    }
    let text = svg(sheet).into_string();
    let tree = usvg::Tree::from_str(&text, &usvg::Options::default()).unwrap();
    let mut page = Page::blank();
    let (wide, high) = (WIDTH + 12.0, HEIGHT + 12.0);
    let (width, height) = (place(wide * FINE), place(high * FINE));
    let mut canvas = tiny_skia::Pixmap::new(u32::try_from(width).unwrap(), u32::try_from(height).unwrap()).unwrap();
    canvas.fill(tiny_skia::Color::WHITE);
    let scale = width as f32 / tree.size().width();
    resvg::render(&tree, tiny_skia::Transform::from_scale(scale, scale), &mut canvas.as_mut());
    let (left, top) = (place((AT.0 - 6.0) * FINE), place((AT.1 - 6.0) * FINE));
    for (row, line) in canvas.data().chunks_exact(width * 4).enumerate() {
        for (column, pixel) in line.chunks_exact(4).enumerate() {
            // Draft black reflects 9 % more than none.
            let level = 0.05 + 0.81 * (f32::from(pixel[0]) / 255.0).powf(2.2);
            page.levels[(top + row) * page.width + left + column] = level;
        }
    }
    let mut kept = kept.lock().unwrap();
    if kept.len() < 4 {
        kept.insert(key, page.clone());
    }
    page
}

fn blurred(levels: &mut [f32], width: usize, sigma: f64) {
    let radius = place(3.0 * sigma) + 1;
    let raw: Vec<f64> = (0..=2 * radius).map(|k| (-0.5 * ((k as f64 - radius as f64) / sigma).powi(2)).exp()).collect();
    let sum: f64 = raw.iter().sum();
    let kernel: Vec<f32> = raw.iter().map(|w| single(w / sum)).collect();
    let height = levels.len() / width;
    let mut across = vec![0.0f32; levels.len()];
    for (out, row) in across.chunks_exact_mut(width).zip(levels.chunks_exact(width)) {
        for (x, place) in out.iter_mut().enumerate() {
            *place =
                kernel.iter().enumerate().map(|(k, w)| w * row[(x + k).saturating_sub(radius).min(width - 1)]).sum();
        }
    }
    for (y, out) in levels.chunks_exact_mut(width).enumerate() {
        out.fill(0.0);
        for (k, w) in kernel.iter().enumerate() {
            let row = (y + k).saturating_sub(radius).min(height - 1);
            for (place, level) in out.iter_mut().zip(&across[row * width..][..width]) {
                *place += w * level;
            }
        }
    }
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "held in 0…255")]
fn encoded(linear: f64) -> u8 {
    let v = linear.clamp(0.0, 1.0);
    let v = if v <= 0.003_130_8 { 12.92 * v } else { 1.055 * v.powf(1.0 / 2.4) - 0.055 };
    (v * 255.0 + 0.5) as u8
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "held at 0")]
pub(crate) fn place(v: f64) -> usize {
    v.max(0.0) as usize
}

#[expect(clippy::cast_possible_truncation, reason = "a level")]
fn single(v: f64) -> f32 {
    v as f32
}
