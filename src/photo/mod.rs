//! The photo room: how busy a room looks. Bytes of a picture in, measures and cautions out.
//!
//! A photo is decoded, shrunk to at most 512 pixels in linear light, brought to neutral light and middle exposure, and measured:
//! edges, local variability, regions and strong colour give `busyness`, 0 to 100 ([`measure`]). Two photos are compared
//! ([`compare`]), several are taken together ([`together`]), and [`map`] shows where a picture is busiest.
//! The figures are conventions of this tool, not a validated scale, and nothing here predicts where anybody looks.

mod both;
mod cast;
mod colour;
mod compare;
mod container;
mod draw;
mod exif;
mod font;
mod grey;
mod jpeg;
mod light;
mod measures;
mod order;
mod overlap;
mod places;
mod plane;
mod profile;
mod pull;
mod quality;
mod read;
mod refusal;
mod regions;
mod shrink;
#[cfg(test)]
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "naive twins count in whole numbers")]
mod twins;
mod variability;

pub use compare::{Caution, Comparison, SharedView, Verdict, compare};
pub use draw::{Pixels, map, thumbnail};
pub use grey::{Grey, grey};
pub use measures::Measures;
pub use places::BusyPlace;
pub use pull::{Together, pull, together};
pub use quality::Warning;
pub use refusal::Refusal;

use colour::Linear;
use measures::analysed;

/// Long side of the working picture, pixels.
const WORKING_SIDE: u32 = 512;
/// Standard deviation of the busyness of one view retaken by hand: pooled 0.99 over five rendered rooms, ten retakes each.
const RETAKE_SD: f64 = 1.0;

/// A measured photo.
#[derive(Clone, Debug)]
pub struct Measured {
    /// Columns, the right way up.
    pub width: u32,
    /// Rows, the right way up.
    pub height: u32,
    /// The single figures.
    pub measures: Measures,
    /// How busy it looks, 0–100.
    pub busyness: f64,
    /// How far a retake of the same view scatters.
    pub busyness_sd: f64,
    /// Where it is busiest, the busiest first; at most five.
    pub busy_places: Vec<BusyPlace>,
    /// What is wrong with it.
    pub warnings: Vec<Warning>,
    /// Focal length in millimetres as on 35 mm film, where the photo tells it.
    pub focal_mm: Option<u16>,
    /// The light's colour as estimated, and what was done about it.
    light: [f64; 3],
    factors: [f32; 3],
    working: Linear,
}

impl Measured {
    /// Whether a warning was given.
    pub fn has(&self, warning: Warning) -> bool {
        self.warnings.contains(&warning)
    }

    /// The working picture, at most 512 pixels on its long side: enough for a report without decoding again.
    pub fn pixels(&self) -> Pixels {
        Pixels::of(&self.working)
    }
}

/// Measures a photo.
pub fn measure(bytes: &[u8]) -> Result<Measured, Refusal> {
    let read = read::read(bytes, WORKING_SIDE)?;
    let analysis = analysed(&read.picture);
    let mut warnings = analysis.warnings;
    warnings.extend(read.warnings);
    warnings.sort_unstable();
    let doubt = if warnings.iter().any(Warning::widens_doubt) { 2.0 } else { 1.0 };
    Ok(Measured {
        width: read.size.0,
        height: read.size.1,
        measures: analysis.measures,
        busyness: analysis.measures.busyness(),
        busyness_sd: RETAKE_SD * doubt,
        busy_places: analysis.busy_places,
        warnings,
        focal_mm: read.focal_mm,
        light: analysis.normal.light,
        factors: analysis.normal.factors,
        working: read.picture,
    })
}
