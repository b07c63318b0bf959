//! Pictures to keep or to show: the map of busy places, and a small copy without anything but the picture.
//!
//! The map must be legible printed in grey: the photo is paled, the busy places keep their strength inside an outline of
//! black, white and black, and their numbers are black on white. No colour scale: it would claim more than is known.

use image::codecs::jpeg::JpegEncoder;
use image::codecs::png::PngEncoder;
use image::{ExtendedColorType, ImageEncoder, ImageError};

use super::cast::{level, side};
use super::colour::{Linear, encoded};
use super::overlap::pixels;
use super::read::read;
use super::{Measured, Refusal};

/// A picture as 8-bit sRGB, red, green, blue, red …, the right way up.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pixels {
    /// Columns.
    pub width: u32,
    /// Rows.
    pub height: u32,
    /// Three bytes a pixel.
    pub rgb: Vec<u8>,
}

/// Quality of the copies, of 100.
const QUALITY: u8 = 85;

impl Pixels {
    pub(super) fn of(picture: &Linear) -> Self {
        let rgb = picture.pixels().flat_map(|pixel| pixel.map(|v| level(encoded(v)))).collect();
        Self { width: side(picture.width()), height: side(picture.height()), rgb }
    }

    /// As a JPEG without any metadata.
    pub fn jpeg(&self) -> Result<Vec<u8>, Refusal> {
        let mut out = Vec::new();
        self.written(JpegEncoder::new_with_quality(&mut out, QUALITY))?;
        Ok(out)
    }

    /// As a PNG without any metadata.
    pub fn png(&self) -> Result<Vec<u8>, Refusal> {
        let mut out = Vec::new();
        self.written(PngEncoder::new(&mut out))?;
        Ok(out)
    }

    fn written(&self, encoder: impl ImageEncoder) -> Result<(), Refusal> {
        encoder
            .write_image(&self.rgb, self.width, self.height, ExtendedColorType::Rgb8)
            .map_err(|error: ImageError| Refusal::NotWritten { cause: error.to_string() })
    }
}

/// A small copy of a photo: upright, sRGB, at most `long_side` pixels on its long side, a JPEG without any metadata.
pub fn thumbnail(bytes: &[u8], long_side: u32) -> Result<Vec<u8>, Refusal> {
    Pixels::of(&read(bytes, long_side.max(1))?.picture).jpeg()
}

/// A measured photo, paled, with its busy places outlined and numbered from the busiest on. A PNG.
pub fn map(photo: &Measured) -> Result<Vec<u8>, Refusal> {
    let mut canvas = Canvas::new(photo.pixels());
    let (width, height) = (photo.working.width(), photo.working.height());
    let boxes: Vec<[usize; 4]> =
        photo.busy_places.iter().map(|p| pixels([p.x, p.y, p.width, p.height], width, height)).collect();
    canvas.pale_outside(&boxes);
    for place in &boxes {
        canvas.outline(*place);
    }
    for (place, digit) in boxes.iter().zip(&DIGITS) {
        canvas.number(*place, digit);
    }
    canvas.pixels.png()
}

/// 1 to 5, five dots wide and seven high, a row a byte.
const DIGITS: [[u8; 7]; 5] = [
    [0b00100, 0b01100, 0b00100, 0b00100, 0b00100, 0b00100, 0b01110],
    [0b01110, 0b10001, 0b00001, 0b00110, 0b01000, 0b10000, 0b11111],
    [0b11110, 0b00001, 0b00001, 0b01110, 0b00001, 0b00001, 0b11110],
    [0b00010, 0b00110, 0b01010, 0b10010, 0b11111, 0b00010, 0b00010],
    [0b11111, 0b10000, 0b11110, 0b00001, 0b00001, 0b10001, 0b01110],
];
const DIGIT_WIDTH: usize = 5;
const DIGIT_HEIGHT: usize = 7;
/// Pixels a dot.
const DOT: usize = 2;
/// White around a digit, dots.
const MARGIN: usize = 2;
/// Half-way to this grey: pale enough for the outlines, dark enough for white ones.
const PALE: u16 = 190;
const BLACK: [u8; 3] = [0; 3];
const WHITE: [u8; 3] = [255; 3];

struct Canvas {
    pixels: Pixels,
    width: usize,
    height: usize,
}

impl Canvas {
    fn new(pixels: Pixels) -> Self {
        let width = usize::try_from(pixels.width).unwrap_or(0);
        let height = pixels.rgb.len().checked_div(3 * width).unwrap_or(0);
        Self { pixels, width, height }
    }

    fn set(&mut self, x: usize, y: usize, colour: [u8; 3]) {
        if x < self.width && y < self.height {
            self.pixels.rgb[3 * (y * self.width + x)..][..3].copy_from_slice(&colour);
        }
    }

    fn pale_outside(&mut self, boxes: &[[usize; 4]]) {
        let inside = |x: usize, y: usize| {
            boxes.iter().any(|[left, top, width, height]| {
                (*left..left + width).contains(&x) && (*top..top + height).contains(&y)
            })
        };
        for (index, pixel) in self.pixels.rgb.chunks_exact_mut(3).enumerate() {
            if !inside(index % self.width, index / self.width) {
                for sample in pixel {
                    *sample = u8::try_from((2 * PALE + u16::from(*sample)) / 3).unwrap_or(u8::MAX);
                }
            }
        }
    }

    /// Three lines: black, two of white, black.
    fn outline(&mut self, [left, top, width, height]: [usize; 4]) {
        for (inset, colour) in [(0, BLACK), (1, WHITE), (2, WHITE), (3, BLACK)] {
            if width <= 2 * inset || height <= 2 * inset {
                return;
            }
            let (right, bottom) = (left + width - 1 - inset, top + height - 1 - inset);
            for x in left + inset..=right {
                self.set(x, top + inset, colour);
                self.set(x, bottom, colour);
            }
            for y in top + inset..=bottom {
                self.set(left + inset, y, colour);
                self.set(right, y, colour);
            }
        }
    }

    fn number(&mut self, [left, top, ..]: [usize; 4], digit: &[u8; DIGIT_HEIGHT]) {
        let (across, down) = (DIGIT_WIDTH + 2 * MARGIN, DIGIT_HEIGHT + 2 * MARGIN);
        for y in 0..down * DOT {
            for x in 0..across * DOT {
                let (column, row) = ((x / DOT).wrapping_sub(MARGIN), (y / DOT).wrapping_sub(MARGIN));
                let dot = column < DIGIT_WIDTH
                    && digit.get(row).is_some_and(|bits| bits >> (DIGIT_WIDTH - 1 - column) & 1 == 1);
                let edge = x == 0 || y == 0 || x == across * DOT - 1 || y == down * DOT - 1;
                self.set(left + 4 + x, top + 4 + y, if dot || edge { BLACK } else { WHITE });
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::DIGITS;

    #[test]
    fn the_five_digits_differ() {
        for (i, digit) in DIGITS.iter().enumerate() {
            assert!(DIGITS[..i].iter().all(|other| other != digit));
            assert!(digit.iter().all(|row| *row < 32));
        }
    }
}
