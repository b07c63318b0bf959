//! Is all of a JPEG there? Decoders fill the rest of a cut photo with grey and say nothing; this walks its codes to the end.
//!
//! ITU-T T.81 [T81]: markers of annex B, Huffman codes of annexes C and F, progressive scans of annex G. No sample is computed:
//! the codes are only counted, so that the walk costs a quarter of a decoding and runs beside it. Baseline, extended and
//! progressive Huffman pictures of 8 bits; anything else is left to the decoder. Checked by cutting, zero-filling and
//! closing photos early at many places (`tests/suite/photo/cut.rs`).

mod bits;
mod scan;

use bits::{Bits, Table};
use scan::{Component, Scan, walk};

/// What the walk found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Ending {
    /// Every block of every component, and the end mark.
    Whole,
    /// Something is missing or damaged.
    Missing(&'static str),
    /// A kind of JPEG that the walk does not know.
    Unknown,
}

/// More scans than any encoder writes; beyond it the walk stops judging.
const MOST_SCANS: usize = 100;

/// Bytes that may be left over behind the last block, besides a hundredth of the scan: some cameras pad.
const MOST_OVER: usize = 64;

/// How many components a JPEG's header names: one for grey, three for colours, four for inks.
pub(super) fn components(bytes: &[u8]) -> Option<usize> {
    frame(bytes)?.get(5).map(|&count| usize::from(count))
}

/// Whether a component has more samples than the first, across or down. The standard allows it, no camera writes it, and the
/// decoder runs out of its own rows over it (found by fuzzing).
pub(super) fn finer_than_first(bytes: &[u8]) -> bool {
    let components = frame(bytes).and_then(|body| body.get(6..)).unwrap_or_default();
    let mut factors = components.chunks_exact(3).map(|one| (one[1] >> 4, one[1] & 15));
    let (across, down) = factors.next().unwrap_or((15, 15));
    factors.any(|(h, v)| h > across || v > down)
}

/// The body of the frame header.
fn frame(bytes: &[u8]) -> Option<&[u8]> {
    let mut at = 2;
    loop {
        let (marker, body) = segment(bytes, &mut at)?;
        if is_frame(marker) {
            return Some(body);
        }
        if matches!(marker, 0xD9 | 0xDA) {
            return None;
        }
    }
}

/// Walks a JPEG to its end.
pub(super) fn ending(bytes: &[u8]) -> Ending {
    match Walk::default().run(bytes) {
        Ok(()) => Ending::Whole,
        Err(ending) => ending,
    }
}

const NO_END: Ending = Ending::Missing("its end mark is missing");
const NO_BLOCKS: Ending = Ending::Missing("a part of the picture is missing");
const DAMAGED: Ending = Ending::Missing("its data cannot be followed to the end");

#[derive(Default)]
struct Walk {
    progressive: bool,
    components: Vec<Component>,
    /// The largest sampling factors, and the size in pixels.
    factors: (usize, usize),
    size: (usize, usize),
    dc: [Option<Table>; 4],
    ac: [Option<Table>; 4],
    restart: usize,
}

impl Walk {
    fn run(mut self, bytes: &[u8]) -> Result<(), Ending> {
        if !bytes.starts_with(&[0xFF, 0xD8]) {
            return Err(Ending::Unknown);
        }
        let (mut at, mut scans) = (2, 0);
        loop {
            let (marker, body) = segment(bytes, &mut at).ok_or(NO_END)?;
            match marker {
                0xC0..=0xC2 => self.frame(marker, body)?,
                0xC4 => self.tables(body)?,
                0xDD => {
                    let pair: [u8; 2] = body.get(..2).and_then(|b| b.try_into().ok()).ok_or(DAMAGED)?;
                    self.restart = usize::from(u16::from_be_bytes(pair));
                }
                0xDA => {
                    scans += 1;
                    if scans > MOST_SCANS {
                        return Err(Ending::Unknown);
                    }
                    at += self.scan(body, bytes.get(at..).unwrap_or_default())?;
                }
                0xD9 => {
                    let all = !self.components.is_empty() && self.components.iter().all(|component| component.seen);
                    return if all { Ok(()) } else { Err(NO_BLOCKS) };
                }
                _ if is_frame(marker) => return Err(Ending::Unknown),
                _ => {}
            }
        }
    }

    fn frame(&mut self, marker: u8, body: &[u8]) -> Result<(), Ending> {
        let &[8, h1, h0, w1, w0, count, ref rest @ ..] = body else {
            return Err(Ending::Unknown);
        };
        self.size = (usize::from(u16::from_be_bytes([w1, w0])), usize::from(u16::from_be_bytes([h1, h0])));
        if self.size.0 == 0 || self.size.1 == 0 || !self.components.is_empty() {
            return Err(Ending::Unknown);
        }
        self.progressive = marker == 0xC2;
        for three in rest.chunks_exact(3).take(usize::from(count)) {
            let (across, down) = (usize::from(three[1] >> 4), usize::from(three[1] & 15));
            if !(1..=4).contains(&across) || !(1..=4).contains(&down) {
                return Err(Ending::Unknown);
            }
            self.factors = (self.factors.0.max(across), self.factors.1.max(down));
            self.components.push(Component::new(three[0], across, down));
        }
        if self.components.len() != usize::from(count) || !(1..=4).contains(&count) {
            return Err(Ending::Unknown);
        }
        for component in &mut self.components {
            component.measure(self.size, self.factors, self.progressive);
        }
        Ok(())
    }

    fn tables(&mut self, mut body: &[u8]) -> Result<(), Ending> {
        while let Some((&head, rest)) = body.split_first() {
            let (table, used) = Table::read(rest).ok_or(DAMAGED)?;
            let tables = if head >> 4 == 0 { &mut self.dc } else { &mut self.ac };
            *tables.get_mut(usize::from(head & 15)).ok_or(DAMAGED)? = Some(table);
            body = rest.get(used..).ok_or(DAMAGED)?;
        }
        Ok(())
    }

    /// Walks one scan; returns the bytes it took.
    fn scan(&mut self, body: &[u8], data: &[u8]) -> Result<usize, Ending> {
        let (&count, rest) = body.split_first().ok_or(DAMAGED)?;
        let selectors = rest.get(..2 * usize::from(count)).ok_or(DAMAGED)?;
        let &[from, to, steps] = rest.get(2 * usize::from(count)..).unwrap_or_default() else {
            return Err(DAMAGED);
        };
        let mut scan = Scan {
            members: Vec::new(),
            progressive: self.progressive,
            band: (from.min(63), to.min(63)),
            first: steps >> 4 == 0,
            restart: self.restart,
        };
        for pair in selectors.chunks_exact(2) {
            let index = self.components.iter().position(|c| c.id == pair[0]).ok_or(DAMAGED)?;
            scan.members.push((index, usize::from(pair[1] >> 4), usize::from(pair[1] & 15)));
        }
        let mut bits = Bits::new(data);
        let units = ((self.size.0).div_ceil(8 * self.factors.0), (self.size.1).div_ceil(8 * self.factors.1));
        let walked = walk(&scan, &mut self.components, units, (&self.dc, &self.ac), &mut bits);
        match walked {
            Some(()) => {
                // A copy that was cut and filled with zeros reads as blocks of nothing, and then there is data left over.
                let end = bits.end();
                let over = end - bits.used();
                if over > MOST_OVER + end / 100 { Err(NO_BLOCKS) } else { Ok(end) }
            }
            // Which of the two it is only changes the wording: both leave blocks without data.
            None if bits.ran_out() => Err(NO_BLOCKS),
            None => Err(DAMAGED),
        }
    }
}

/// The marker at `at` with its body, stepping over fill bytes and stray bytes between segments.
fn segment<'a>(bytes: &'a [u8], at: &mut usize) -> Option<(u8, &'a [u8])> {
    loop {
        while *bytes.get(*at)? != 0xFF {
            *at += 1;
        }
        while *bytes.get(*at)? == 0xFF {
            *at += 1;
        }
        let marker = bytes[*at];
        *at += 1;
        match marker {
            0x00 | 0x01 | 0xD0..=0xD8 => {}
            0xD9 => return Some((marker, &[])),
            _ => {
                let length = usize::from(u16::from_be_bytes([*bytes.get(*at)?, *bytes.get(*at + 1)?]));
                let body = bytes.get(*at + 2..*at + length.max(2))?;
                *at += length.max(2);
                return Some((marker, body));
            }
        }
    }
}

/// Start of frame, of any kind.
const fn is_frame(marker: u8) -> bool {
    matches!(marker, 0xC0..=0xCF) && !matches!(marker, 0xC4 | 0xC8 | 0xCC)
}

#[cfg(test)]
mod tests {
    use super::{Ending, components, ending};
    use image::codecs::jpeg::JpegEncoder;

    fn photo() -> Vec<u8> {
        let picture =
            image::RgbImage::from_fn(97, 66, |x, y| image::Rgb([x * 2, y * 3, x * y].map(|v| v.to_le_bytes()[0])));
        let mut out = Vec::new();
        JpegEncoder::new_with_quality(&mut out, 90).encode_image(&picture).unwrap();
        out
    }

    #[test]
    fn a_whole_photo_is_whole_even_with_something_behind_it() {
        let mut photo = photo();
        assert_eq!(ending(&photo), Ending::Whole);
        assert_eq!(components(&photo), Some(3));
        photo.extend_from_slice(b"a maker's own data");
        assert_eq!(ending(&photo), Ending::Whole);
    }

    #[test]
    fn a_photo_cut_anywhere_is_not_whole() {
        let photo = photo();
        for length in (2..photo.len()).step_by(11) {
            assert!(matches!(ending(&photo[..length]), Ending::Missing(_)), "{length}");
        }
    }

    #[test]
    fn an_end_mark_set_too_early_does_not_hide_the_cut() {
        let photo = photo();
        for tenths in 3..10 {
            let mut cut = photo[..photo.len() * tenths / 10].to_vec();
            cut.extend([0xFF, 0xD9]);
            assert!(matches!(ending(&cut), Ending::Missing(_)), "{tenths}");
        }
    }
}
