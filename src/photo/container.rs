//! What the wrapping of a picture tells without decoding it: its format, whether it moves, whether its end is there.
//!
//! PNG 3rd edition, section 5 [PNG3]; GIF89a [GIF89A]; WebP container [RFC9649]; ISO base media `ftyp` [ISO14496-12].

use image::ImageFormat;

use super::jpeg::{self, Ending};
use super::refusal::Refusal;

/// What the wrapping tells.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Wrapping {
    /// More than one picture.
    pub(super) animated: bool,
    /// Whether everything up to the end mark is there.
    pub(super) ending: Ending,
}

/// The format by content, never by name.
pub(super) fn format(bytes: &[u8]) -> Result<ImageFormat, Refusal> {
    if bytes.is_empty() {
        return Err(Refusal::Empty);
    }
    if is_heic(bytes) {
        return Err(Refusal::Heic);
    }
    match image::guess_format(bytes) {
        Ok(
            format @ (ImageFormat::Jpeg | ImageFormat::Png | ImageFormat::WebP | ImageFormat::Gif | ImageFormat::Bmp),
        ) => Ok(format),
        _ => Err(Refusal::UnknownFormat),
    }
}

/// The format's usual name.
pub(super) const fn name(format: ImageFormat) -> &'static str {
    match format {
        ImageFormat::Jpeg => "JPEG",
        ImageFormat::Png => "PNG",
        ImageFormat::WebP => "WebP",
        ImageFormat::Gif => "GIF",
        _ => "BMP",
    }
}

/// Looks through the wrapping.
pub(super) fn wrapping(bytes: &[u8], format: ImageFormat) -> Wrapping {
    match format {
        ImageFormat::Jpeg => Wrapping { animated: false, ending: jpeg::ending(bytes) },
        ImageFormat::Png => png(bytes),
        ImageFormat::Gif => gif(bytes),
        ImageFormat::WebP => webp(bytes),
        _ => Wrapping { animated: false, ending: Ending::Unknown },
    }
}

const NO_END: Ending = Ending::Missing("its end mark is missing");

/// Brands of the HEIF family, as the first brand or among the compatible ones.
fn is_heic(bytes: &[u8]) -> bool {
    const BRANDS: [&[u8]; 10] =
        [b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1", b"avif", b"avis"];
    if bytes.get(4..8) != Some(b"ftyp") {
        return false;
    }
    let length = bytes.get(..4).and_then(|b| b.try_into().ok()).map_or(0, u32::from_be_bytes);
    let box_end = usize::try_from(length).unwrap_or(usize::MAX).clamp(12, 256).min(bytes.len());
    bytes.get(8..box_end).unwrap_or_default().chunks(4).any(|brand| BRANDS.contains(&brand))
}

fn png(bytes: &[u8]) -> Wrapping {
    let (mut at, mut animated) = (8usize, false);
    loop {
        let Some(head) = bytes.get(at..).and_then(|rest| rest.get(..8)) else {
            return Wrapping { animated, ending: NO_END };
        };
        let length = u32::from_be_bytes([head[0], head[1], head[2], head[3]]);
        let body = bytes.get(at + 8..).unwrap_or_default();
        match &head[4..] {
            b"acTL" => animated = body.get(..4).is_some_and(|frames| frames > [0, 0, 0, 1].as_slice()),
            b"IEND" => return Wrapping { animated, ending: Ending::Whole },
            _ => {}
        }
        at = at.saturating_add(12).saturating_add(usize::try_from(length).unwrap_or(usize::MAX));
    }
}

fn gif(bytes: &[u8]) -> Wrapping {
    let mut pictures = 0;
    let walked = walk_gif(bytes, &mut pictures);
    let ending = if walked.is_some() { Ending::Whole } else { NO_END };
    Wrapping { animated: pictures > 1, ending }
}

/// Walks the blocks to the trailer; `None` when the bytes end before it.
fn walk_gif(bytes: &[u8], pictures: &mut usize) -> Option<()> {
    let colours = |flags: u8| if flags & 0x80 == 0 { 0 } else { 3usize << ((flags & 7) + 1) };
    let mut at = 13 + colours(*bytes.get(10)?);
    loop {
        match *bytes.get(at)? {
            0x2C => {
                *pictures += 1;
                at += 11 + colours(*bytes.get(at + 9)?);
            }
            0x21 => at += 2,
            0x3B => return Some(()),
            _ => return None,
        }
        loop {
            let length = usize::from(*bytes.get(at)?);
            at += 1 + length;
            if length == 0 {
                break;
            }
        }
    }
}

fn webp(bytes: &[u8]) -> Wrapping {
    let riff = bytes.get(4..8).and_then(|b| b.try_into().ok()).map_or(0, u32::from_le_bytes);
    let end = usize::try_from(riff).unwrap_or(usize::MAX).saturating_add(8);
    let ending = if bytes.len() < end { NO_END } else { Ending::Whole };
    let (mut at, mut frames) = (12usize, 0);
    while let Some(head) = bytes.get(at..).and_then(|rest| rest.get(..8)) {
        frames += usize::from(&head[..4] == b"ANMF");
        let length = u32::from_le_bytes([head[4], head[5], head[6], head[7]]);
        let length = usize::try_from(length).unwrap_or(usize::MAX);
        at = at.saturating_add(8).saturating_add(length).saturating_add(length & 1);
    }
    Wrapping { animated: frames > 1, ending }
}

#[cfg(test)]
mod tests {
    use super::{format, wrapping};
    use crate::photo::jpeg::Ending;
    use crate::photo::refusal::Refusal;
    use image::codecs::gif::GifEncoder;
    use image::{Delay, Frame, ImageFormat, RgbaImage};

    fn gif(frames: u8) -> Vec<u8> {
        let mut out = Vec::new();
        let mut encoder = GifEncoder::new(&mut out);
        for i in 0..frames {
            let picture = RgbaImage::from_pixel(70, 70, image::Rgba([i * 50, 100, 100, 255]));
            encoder.encode_frame(Frame::from_parts(picture, 0, 0, Delay::from_numer_denom_ms(100, 1))).unwrap();
        }
        drop(encoder);
        out
    }

    #[test]
    fn a_gif_of_two_pictures_moves_and_one_of_one_does_not() {
        let (one, two) = (wrapping(&gif(1), ImageFormat::Gif), wrapping(&gif(2), ImageFormat::Gif));
        assert!(!one.animated && two.animated);
        assert_eq!((one.ending, two.ending), (Ending::Whole, Ending::Whole));
    }

    #[test]
    fn the_content_decides_and_not_a_name() {
        assert_eq!(format(&gif(1)), Ok(ImageFormat::Gif));
        assert_eq!(format(b""), Err(Refusal::Empty));
        assert_eq!(format(b"\0\0\0\x18ftypheic\0\0\0\0"), Err(Refusal::Heic));
        assert_eq!(format(b"\0\0\0\x1cftypisom\0\0\0\0mp41avif"), Err(Refusal::Heic));
        assert_eq!(format(b"\0\0\0\x18ftypmp42\0\0\0\0isommp42"), Err(Refusal::UnknownFormat));
        assert_eq!(format(b"II\x2a\0 a raw file"), Err(Refusal::UnknownFormat));
    }
}
