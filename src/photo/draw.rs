//! Pictures to keep or to show: the map of busy places, and a small copy without anything but the picture.
//!
//! The map must be legible printed in grey: the photo is paled, the busy places keep their strength inside an outline of
//! black, white and black, their numbers are black on white, and a legend in words stands under the picture. No colour scale: it would claim more than is known.

use image::codecs::jpeg::JpegEncoder;
use image::codecs::png::PngEncoder;
use image::{ExtendedColorType, ImageEncoder, ImageError};

use super::cast::{level, side};
use super::colour::{Linear, encoded};
use super::font::{ADVANCE, HEIGHT, LINE, WIDTH, dots, is_black, lines};
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

/// A measured photo, paled, with its busy places outlined and numbered from the busiest on, and a legend in words under
/// it. `stays` are the numbers of the places that must stay. A PNG.
pub fn map(photo: &Measured, stays: &[usize]) -> Result<Vec<u8>, Refusal> {
    let mut canvas = Canvas::new(photo.pixels());
    let (width, height) = (photo.working.width(), photo.working.height());
    let boxes: Vec<[usize; 4]> =
        photo.busy_places.iter().map(|p| pixels([p.x, p.y, p.width, p.height], width, height)).collect();
    canvas.pale_outside(&boxes);
    for place in &boxes {
        canvas.outline(*place);
    }
    for (place, digit) in boxes.iter().zip('1'..='5') {
        canvas.number(*place, digit);
    }
    canvas.legend(&legend(photo, stays));
    canvas.pixels.png()
}

/// What the outlines mean: sentences, one a paragraph.
fn legend(photo: &Measured, stays: &[usize]) -> Vec<String> {
    if photo.busy_places.is_empty() {
        return vec!["No place is busier than the rest.".to_owned()];
    }
    let shares = photo.busy_places.iter().zip(1..).map(|(place, number): (_, usize)| {
        let stays = if stays.contains(&number) { ", stays" } else { "" };
        format!("{number}: {:.0} %{stays}.", place.share * 100.0)
    });
    vec![
        "Outlined: where the picture is busiest, 1 first.".to_owned(),
        format!("Share of all its edges: {}", shares.collect::<Vec<_>>().join(" ")),
        "It says nothing of where a child looks.".to_owned(),
    ]
}

/// Pixels a dot.
const DOT: usize = 2;
/// From this width on the words are as large as the numbers; a narrower picture has them half as large.
const WIDE: usize = 300;
/// Dots of white around the words and the numbers.
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

    fn number(&mut self, [left, top, ..]: [usize; 4], digit: char) {
        // A digit does not hang below the line.
        let (across, down) = (WIDTH + 2 * MARGIN, HEIGHT - 2 + 2 * MARGIN);
        for y in 0..down * DOT {
            for x in 0..across * DOT {
                let edge = x == 0 || y == 0 || x == across * DOT - 1 || y == down * DOT - 1;
                self.set(left + 4 + x, top + 4 + y, if edge { BLACK } else { WHITE });
            }
        }
        self.letter([left + 4 + MARGIN * DOT, top + 4 + MARGIN * DOT], digit, DOT);
    }

    fn letter(&mut self, [left, top]: [usize; 2], letter: char, dot: usize) {
        let rows = dots(letter);
        for y in 0..HEIGHT * dot {
            for x in 0..WIDTH * dot {
                if is_black(&rows, x / dot, y / dot) {
                    self.set(left + x, top + y, BLACK);
                }
            }
        }
    }

    /// A white strip under the picture with a black line over it and the sentences in it.
    fn legend(&mut self, sentences: &[String]) {
        let dot = if self.width >= WIDE { DOT } else { 1 };
        let margin = 2 * MARGIN * dot;
        let letters = self.width.saturating_sub(2 * margin) / (ADVANCE * dot);
        let lines: Vec<String> = sentences.iter().flat_map(|sentence| lines(sentence, letters)).collect();
        let top = self.height;
        self.height += lines.len() * LINE * dot + 2 * margin;
        self.pixels.rgb.resize(3 * self.width * self.height, u8::MAX);
        self.pixels.height = side(self.height);
        for x in 0..self.width {
            self.set(x, top, BLACK);
        }
        for (row, line) in lines.iter().enumerate() {
            for (column, letter) in line.chars().enumerate() {
                let place = [margin + column * ADVANCE * dot, top + margin + row * LINE * dot];
                self.letter(place, letter, dot);
            }
        }
    }
}
