//! A photo in grey, for what reads marks on paper: no colour, no exposure, only how light each place is.

use super::plane::Plane;
use super::read::read;
use super::{Refusal, quality};

/// A photo in grey, the right way up.
#[derive(Clone, Debug, PartialEq)]
pub struct Grey {
    /// Columns.
    pub width: usize,
    /// Rows.
    pub height: usize,
    /// The square root of each place's light, 0…1, row after row: near to how light it looks, and a shadow still only multiplies it.
    pub levels: Vec<f32>,
    /// Whether neighbouring pixels are equal as no camera makes them: a screenshot, or drawn.
    pub drawn: bool,
}

/// Reads a photo, shrunk to at most `long_side`.
pub fn grey(bytes: &[u8], long_side: u32) -> Result<Grey, Refusal> {
    let picture = read(bytes, long_side.max(1))?.picture;
    let (width, height) = (picture.width(), picture.height());
    let levels = Plane::new(width, picture.luminance()).map(f32::sqrt);
    Ok(Grey { width, height, drawn: quality::is_drawn(&picture), levels: levels.samples().to_vec() })
}
