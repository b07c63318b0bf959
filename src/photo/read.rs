//! Bytes to a picture in linear light, as large as asked for and the right way up.

use std::io::Cursor;
use std::panic::{AssertUnwindSafe, catch_unwind};

use image::{ColorType, DynamicImage, ImageDecoder, ImageError, ImageFormat, ImageReader, Limits};

use super::both::both;
use super::colour::Linear;
use super::container::{self, Wrapping};
use super::exif::{self, Exif};
use super::jpeg::{self, Ending};
use super::plane::Plane;
use super::profile::Tone;
use super::quality::Warning;
use super::refusal::Refusal;
use super::shrink::{shrunk, working_size};

/// Pixels read at most (convention).
const MOST_MEGAPIXELS: u32 = 120;
/// Pixels that any file may claim, and pixels a byte beyond them. The emptiest photo of a room has about 35 pixels a byte, a
/// drawn test picture 180; a damaged header can claim a hundred million on a few bytes (convention).
const FREE_PIXELS: u64 = 16_000_000;
const PIXELS_A_BYTE: u64 = 500;
/// The shortest side measured (convention).
const LEAST_SIDE: u32 = 64;
/// Below this long side a photo is small (the working picture is then smaller too).
const SMALL: u32 = 512;
/// What a decoder may hold: 120 million pixels of four 16-bit channels, and a little more.
const MOST_BYTES: u64 = 1 << 30;

/// A picture that was read.
pub(super) struct Read {
    /// Its size the right way up, before the shrink.
    pub(super) size: (u32, u32),
    pub(super) picture: Linear,
    pub(super) focal_mm: Option<u16>,
    pub(super) warnings: Vec<Warning>,
}

/// Reads a picture and shrinks it to `long_side`. Its wrapping is walked beside the decoding.
pub(super) fn read(bytes: &[u8], long_side: u32) -> Result<Read, Refusal> {
    let format = container::format(bytes)?;
    if format == ImageFormat::Jpeg && jpeg::finer_than_first(bytes) {
        return Err(unreadable(format, "its colours have more samples than its brightness"));
    }
    let mut decoder = guarded(format, || header(bytes, format))?;
    let stored = decoder.dimensions();
    let grey = matches!(decoder.color_type(), ColorType::L8 | ColorType::La8 | ColorType::L16 | ColorType::La16);
    let inks = format == ImageFormat::Jpeg && jpeg::components(bytes) == Some(4);
    let (profile, exif) = guarded(format, || Ok((decoder.icc_profile().ok(), decoder.exif_metadata().ok())))?;
    let profile = profile.flatten();
    let exif = exif.flatten().map_or(Exif::default(), |block| exif::read(&block));

    let decoded = || guarded(format, || Ok(DynamicImage::from_decoder(decoder)));
    let (wrapping, image) = both(|| container::wrapping(bytes, format), decoded);
    let image = whole(image?, wrapping, format)?;

    let (tone, ignored) = match profile {
        _ if inks => (Tone::srgb(), true),
        None => (Tone::srgb(), false),
        Some(_) if grey => (Tone::srgb(), true),
        Some(bytes) => {
            guarded(format, || Ok(Tone::of_profile(&bytes)))?.map_or((Tone::srgb(), true), |tone| (tone, false))
        }
    };
    let working = working_size(stored.0, stored.1, long_side);
    let samples = linear(&image, working, &tone).ok_or_else(|| unreadable(format, "its samples are of an odd kind"))?;
    drop(image);
    let turn = exif.orientation.unwrap_or(1);
    let picture = turned(&into_srgb(working.0, &samples, &tone), turn);
    let size = if turn >= 5 { (stored.1, stored.0) } else { stored };

    let mut warnings = Vec::new();
    for (warning, given) in [
        (Warning::Small, size.0.max(size.1) < SMALL),
        (Warning::Animated, wrapping.animated),
        (Warning::CutOff, matches!(wrapping.ending, Ending::Missing(_))),
        (Warning::ProfileIgnored, ignored),
    ] {
        if given {
            warnings.push(warning);
        }
    }
    Ok(Read { size, picture, focal_mm: exif.focal_mm, warnings })
}

/// Runs a step of a decoder of others; a panic inside it is a damaged picture, not the end of the program.
fn guarded<T>(format: ImageFormat, step: impl FnOnce() -> Result<T, Refusal>) -> Result<T, Refusal> {
    catch_unwind(AssertUnwindSafe(step)).unwrap_or_else(|_| Err(unreadable(format, "the decoder gave up on it")))
}

/// A decoder whose header has been read and found reasonable; no pixel is held yet.
fn header(bytes: &[u8], format: ImageFormat) -> Result<impl ImageDecoder, Refusal> {
    let mut limits = Limits::no_limits();
    limits.max_alloc = Some(MOST_BYTES);
    let mut reader = ImageReader::with_format(Cursor::new(bytes), format);
    reader.limits(limits);
    let decoder = reader.into_decoder().map_err(|error| refused(&error, format, container::wrapping(bytes, format)))?;
    let (width, height) = decoder.dimensions();
    if width == 0 || height == 0 {
        return Err(unreadable(format, "it has no pixels"));
    }
    if u64::from(width) * u64::from(height) > u64::from(MOST_MEGAPIXELS) * 1_000_000 {
        return Err(Refusal::TooLarge { width, height, most: MOST_MEGAPIXELS });
    }
    let bytes_there = bytes.len() as u64;
    if u64::from(width) * u64::from(height) > FREE_PIXELS + PIXELS_A_BYTE.saturating_mul(bytes_there) {
        return Err(match container::wrapping(bytes, format).ending {
            Ending::Missing(missing) => Refusal::CutOff { format: container::name(format), missing },
            _ => Refusal::Hollow { width, height, bytes: bytes.len() },
        });
    }
    if width.min(height) < LEAST_SIDE {
        return Err(Refusal::TooSmall { width, height, least: LEAST_SIDE });
    }
    Ok(decoder)
}

/// A decoded picture, unless a part of it is missing. A cut JPEG decodes without a word, its rest filled with grey.
fn whole(
    image: Result<DynamicImage, ImageError>,
    wrapping: Wrapping,
    format: ImageFormat,
) -> Result<DynamicImage, Refusal> {
    match (image, wrapping.ending) {
        (Ok(_), Ending::Missing(missing)) if format == ImageFormat::Jpeg => {
            Err(Refusal::CutOff { format: container::name(format), missing })
        }
        (Ok(image), _) => Ok(image),
        (Err(error), _) => Err(refused(&error, format, wrapping)),
    }
}

fn refused(error: &ImageError, format: ImageFormat, wrapping: Wrapping) -> Refusal {
    match (error, wrapping.ending) {
        (_, Ending::Missing(missing)) => Refusal::CutOff { format: container::name(format), missing },
        (ImageError::Limits(_), _) => unreadable(format, "it asks for more memory than a photo needs"),
        _ => unreadable(format, &error.to_string()),
    }
}

fn unreadable(format: ImageFormat, cause: &str) -> Refusal {
    Refusal::Unreadable { format: container::name(format), cause: crate::words::printable(cause) }
}

/// Last index of a table of 8-bit and of 16-bit samples.
const EIGHT: u16 = 255;
const SIXTEEN: u16 = 65_535;

/// The picture shrunk in linear light of its own primaries: red, green, blue, red …
fn linear(image: &DynamicImage, to: (usize, usize), tone: &Tone) -> Option<Vec<f32>> {
    let from = (usize::try_from(image.width()).ok()?, usize::try_from(image.height()).ok()?);
    let table = |last: u16| tone.tables(last);
    Some(match image {
        DynamicImage::ImageRgb8(pixels) => {
            let tables = table(EIGHT).map(|table| table.try_into().unwrap_or([0.0f32; 256]));
            let [red, green, blue] = &tables;
            shrunk(from, to, &|y, row| {
                let pixels = &pixels.as_raw()[y * from.0 * 3..][..from.0 * 3];
                for (pixel, out) in pixels.chunks_exact(3).zip(row.chunks_exact_mut(3)) {
                    out[0] = red[usize::from(pixel[0])];
                    out[1] = green[usize::from(pixel[1])];
                    out[2] = blue[usize::from(pixel[2])];
                }
            })
        }
        DynamicImage::ImageLuma8(pixels) => {
            spread(from, to, pixels.as_raw(), &table(EIGHT), |&[v]: &[u8; 1]| [usize::from(v); 3])
        }
        DynamicImage::ImageLuma16(pixels) => {
            spread(from, to, pixels.as_raw(), &table(SIXTEEN), |&[v]: &[u16; 1]| [usize::from(v); 3])
        }
        DynamicImage::ImageRgb16(pixels) => {
            spread(from, to, pixels.as_raw(), &table(SIXTEEN), |rgb: &[u16; 3]| rgb.map(usize::from))
        }
        DynamicImage::ImageLumaA8(pixels) => {
            spread(from, to, pixels.as_raw(), &table(SIXTEEN), |&[v, a]: &[u8; 2]| [over_white_8(v, a); 3])
        }
        DynamicImage::ImageRgba8(pixels) => {
            spread(from, to, pixels.as_raw(), &table(SIXTEEN), |&[r, g, b, a]: &[u8; 4]| {
                [r, g, b].map(|v| over_white_8(v, a))
            })
        }
        DynamicImage::ImageLumaA16(pixels) => {
            spread(from, to, pixels.as_raw(), &table(SIXTEEN), |&[v, a]: &[u16; 2]| [over_white_16(v, a); 3])
        }
        DynamicImage::ImageRgba16(pixels) => {
            spread(from, to, pixels.as_raw(), &table(SIXTEEN), |&[r, g, b, a]: &[u16; 4]| {
                [r, g, b].map(|v| over_white_16(v, a))
            })
        }
        _ => return None,
    })
}

/// [`shrunk`] for pixels of `N` samples, each pixel three places in the tables.
fn spread<S: Sync, const N: usize>(
    from: (usize, usize),
    to: (usize, usize),
    samples: &[S],
    tables: &[Vec<f32>; 3],
    places: impl Fn(&[S; N]) -> [usize; 3] + Sync,
) -> Vec<f32> {
    shrunk(from, to, &|y, row| {
        let (pixels, _) = samples[y * from.0 * N..][..from.0 * N].as_chunks::<N>();
        for (pixel, out) in pixels.iter().zip(row.chunks_exact_mut(3)) {
            for ((out, table), place) in out.iter_mut().zip(tables).zip(places(pixel)) {
                *out = table[place];
            }
        }
    })
}

/// An encoded 8-bit sample over white, `v·α + (1 − α)`, as the nearest of 65,536 levels (a 500th of an 8-bit level).
fn over_white_8(v: u8, alpha: u8) -> usize {
    let (v, alpha) = (usize::from(v), usize::from(alpha));
    ((v * alpha + 255 * (255 - alpha)) * 65_535 + 32_512) / 65_025
}

/// The same of 16-bit samples.
fn over_white_16(v: u16, alpha: u16) -> usize {
    let (v, alpha) = (u64::from(v), u64::from(alpha));
    usize::try_from((v * alpha + 65_535 * (65_535 - alpha) + 32_767) / 65_535).unwrap_or(65_535)
}

/// To sRGB primaries, held in 0…1.
fn into_srgb(width: usize, samples: &[f32], tone: &Tone) -> Linear {
    let Some(matrix) = tone.matrix() else {
        let held: Vec<f32> = samples.iter().map(|v| v.clamp(0.0, 1.0)).collect();
        return Linear::interleaved(width, &held);
    };
    let held: Vec<f32> = samples
        .chunks_exact(3)
        .flat_map(|p| matrix.map(|row| (row[0] * p[0] + row[1] * p[1] + row[2] * p[2]).clamp(0.0, 1.0)))
        .collect();
    Linear::interleaved(width, &held)
}

/// The picture the right way up. Exif 2.32, tag 0x0112: row 0 and column 0 of the stored picture are its top and left (1), top and
/// right (2), bottom and right (3), bottom and left (4), left and top (5), right and top (6), right and bottom (7), left and bottom (8).
fn turned(picture: &Linear, orientation: u8) -> Linear {
    if orientation == 1 {
        return picture.clone();
    }
    let channels = picture.channels.each_ref().map(|plane| {
        let (width, height) = (plane.width(), plane.height());
        let across = orientation >= 5;
        let (out_width, out_height) = if across { (height, width) } else { (width, height) };
        let mut samples = Vec::with_capacity(width * height);
        for y in 0..out_height {
            for x in 0..out_width {
                let (u, v) = (out_width - 1 - x, out_height - 1 - y);
                let (column, row) = match orientation {
                    2 => (u, y),
                    3 => (u, v),
                    4 => (x, v),
                    5 => (y, x),
                    6 => (y, u),
                    7 => (v, u),
                    8 => (v, x),
                    _ => (x, y),
                };
                samples.push(plane.row(row)[column]);
            }
        }
        Plane::new(out_width, samples)
    });
    Linear { channels }
}

#[cfg(test)]
mod tests {
    use image::ImageFormat;

    use super::{Linear, guarded, over_white_8, over_white_16, turned};

    #[test]
    fn a_panic_of_a_decoder_is_a_refusal() {
        let panics = guarded(ImageFormat::Gif, || Ok(std::hint::black_box(None::<u8>).unwrap()));
        assert_eq!(panics.unwrap_err().code(), "unreadable");
        assert_eq!(guarded(ImageFormat::Gif, || Ok(7)), Ok(7));
    }

    #[test]
    fn nothing_shows_white_and_everything_shows_itself() {
        for v in 0..=255u8 {
            assert_eq!(over_white_8(v, 0), 65_535);
            assert_eq!(over_white_8(v, 255), usize::from(v) * 257);
        }
        assert_eq!(over_white_16(1234, 0), 65_535);
        assert_eq!(over_white_16(1234, 65_535), 1234);
    }

    #[test]
    fn each_of_the_eight_turns_puts_the_corner_where_it_belongs() {
        // 3 × 2; the stored upper left corner is 1.
        let mut samples = vec![0.0f32; 18];
        samples[0] = 1.0;
        let stored = Linear::interleaved(3, &samples);
        for (turn, width, x, y) in [
            (1, 3, 0, 0),
            (2, 3, 2, 0),
            (3, 3, 2, 1),
            (4, 3, 0, 1),
            (5, 2, 0, 0),
            (6, 2, 1, 0),
            (7, 2, 1, 2),
            (8, 2, 0, 2),
        ] {
            let upright = turned(&stored, turn);
            assert_eq!(upright.width(), width);
            assert!((upright.channels[0].row(y)[x] - 1.0).abs() < 1e-9, "turn {turn}");
        }
    }
}
