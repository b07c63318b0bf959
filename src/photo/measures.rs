//! From a working picture to its figures.
//!
//! `score(x, k) = 100·(1 − e^(−x/k))`; `clutter` is the mean of the scores of edge share, variability and regions, `colour` the score of
//! the chroma share, `busyness = 0.75·clutter + 0.25·colour`. The k spread rendered and a few real rooms over 0–100 and
//! nothing more (convention). Ideas: edge density (Mack & Oliva 2004, named in [ROSENHOLTZ2007]), [BRAVO2008],
//! colourfulness M³ [HASLER2003] (shown, not scored).

use super::both::both;
use super::colour::{Linear, Normal, encoded, lab, normal};
use super::places::{BusyPlace, busy_places};
use super::plane::{Kernel, Plane, gradient_length};
use super::quality::{Warning, judged};
use super::regions::regions;
use super::variability::variability;

/// What a photo shows, each figure by itself.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measures {
    /// Share of pixels at an edge, 0–1.
    pub edge_share: f64,
    /// Mean local variability of lightness and colour, Lab units.
    pub variability: f64,
    /// Connected regions of one colour.
    pub components: usize,
    /// Share of pixels of strong colour, 0–1.
    pub chroma_share: f64,
    /// Colourfulness M³; shown, not scored.
    pub colourfulness: f64,
    /// Clutter, 0–100: what tidying changes.
    pub clutter: f64,
    /// Colour, 0–100: what covering changes.
    pub colour: f64,
}

impl Measures {
    /// `0.75·clutter + 0.25·colour`, 0–100.
    pub fn busyness(&self) -> f64 {
        CLUTTER_WEIGHT * self.clutter + (1.0 - CLUTTER_WEIGHT) * self.colour
    }
}

const CLUTTER_WEIGHT: f64 = 0.75;
/// The gradient of the smoothed Lab that makes an edge.
const EDGE: f32 = 3.0;
/// The chroma that makes a strong colour.
const STRONG_CHROMA: f32 = 40.0;
const EDGE_SCALE: f64 = 0.24;
const VARIABILITY_SCALE: f64 = 16.0;
const COMPONENTS_SCALE: f64 = 170.0;
const CHROMA_SCALE: f64 = 0.12;

/// `100·(1 − e^(−x/k))`.
fn score(x: f64, k: f64) -> f64 {
    -100.0 * libm::expm1(-x / k)
}

/// Everything that the working picture itself tells.
pub(super) struct Analysis {
    pub(super) measures: Measures,
    pub(super) busy_places: Vec<BusyPlace>,
    pub(super) warnings: Vec<Warning>,
    pub(super) normal: Normal,
}

/// Measures a working picture; the variability, the larger half of the work, beside the rest.
pub(super) fn analysed(picture: &Linear) -> Analysis {
    let normal = normal(picture);
    let lab = lab(picture, normal.factors);
    let (variability, rest) = both(|| variability(&lab), || rest(picture, &normal, &lab));
    let clutter = (score(rest.edge_share, EDGE_SCALE)
        + score(variability, VARIABILITY_SCALE)
        + score(rest.components as f64, COMPONENTS_SCALE))
        / 3.0;
    let measures = Measures {
        edge_share: rest.edge_share,
        variability,
        components: rest.components,
        chroma_share: rest.chroma_share,
        colourfulness: rest.colourfulness,
        clutter,
        colour: score(rest.chroma_share, CHROMA_SCALE),
    };
    Analysis { measures, busy_places: rest.busy_places, warnings: rest.warnings, normal }
}

struct Rest {
    edge_share: f64,
    components: usize,
    chroma_share: f64,
    colourfulness: f64,
    busy_places: Vec<BusyPlace>,
    warnings: Vec<Warning>,
}

fn rest(picture: &Linear, normal: &Normal, lab: &[Plane; 3]) -> Rest {
    let kernel = Kernel::gaussian(1);
    let smooth = lab.each_ref().map(|plane| plane.blurred(&kernel));
    let gradient = gradient_length(&smooth.each_ref());
    let pixels = gradient.samples().len().max(1) as f64;
    let [_, green_red, blue_yellow] = lab;
    let chroma: Vec<f32> =
        green_red.samples().iter().zip(blue_yellow.samples()).map(|(&a, &b)| (a * a + b * b).sqrt()).collect();
    Rest {
        edge_share: gradient.samples().iter().filter(|&&g| g >= EDGE).count() as f64 / pixels,
        components: regions(&smooth),
        chroma_share: chroma.iter().filter(|&&c| c >= STRONG_CHROMA).count() as f64 / pixels,
        colourfulness: colourfulness(picture),
        busy_places: busy_places(&gradient),
        warnings: judged(picture, normal, &smooth[0], &chroma),
    }
}

/// M³ of [HASLER2003] on encoded sRGB × 255, before any balance: `rg = R − G`, `yb = (R + G)/2 − B`,
/// `√(σ²rg + σ²yb) + 0.3·√(μ²rg + μ²yb)`, population σ.
fn colourfulness(picture: &Linear) -> f64 {
    let mut sums = [0.0f64; 4];
    let mut count = 0.0f64;
    for pixel in picture.pixels() {
        let [red, green, blue] = pixel.map(|v| f64::from(255.0 * encoded(v)));
        let (rg, yb) = (red - green, 0.5 * (red + green) - blue);
        sums[0] += rg;
        sums[1] += rg * rg;
        sums[2] += yb;
        sums[3] += yb * yb;
        count += 1.0;
    }
    let [rg, rg2, yb, yb2] = sums.map(|sum| sum / count.max(1.0));
    let variance = (rg2 - rg * rg).max(0.0) + (yb2 - yb * yb).max(0.0);
    variance.sqrt() + 0.3 * (rg * rg + yb * yb).sqrt()
}
