//! The two things that are ever read from a photo's metadata: how it is turned, and how far it was zoomed.
//!
//! Exif 2.32 (CIPA DC-008), TIFF 6.0 directories: tag 0x0112 (orientation) of the first directory and tag 0xA405
//! (focal length as on 35 mm film) of the Exif directory behind tag 0x8769. Place, time and maker are not read.

/// What was read; both may be missing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Exif {
    /// Stored orientation, 1 to 8.
    pub(super) orientation: Option<u8>,
    /// Focal length in millimetres as on 35 mm film; 0 ("unknown") is left out.
    pub(super) focal_mm: Option<u16>,
}

const ORIENTATION: u16 = 0x0112;
const EXIF_DIRECTORY: u16 = 0x8769;
const FOCAL_35_MM: u16 = 0xA405;

/// Reads a block of metadata; anything odd reads as "not there".
pub(super) fn read(block: &[u8]) -> Exif {
    let block = block.strip_prefix(b"Exif\0\0").unwrap_or(block);
    let Some(tiff) = Tiff::new(block) else {
        return Exif::default();
    };
    let Some(first) = tiff.long(4) else {
        return Exif::default();
    };
    let orientation = tiff
        .number(first, ORIENTATION)
        .and_then(|value| u8::try_from(value).ok())
        .filter(|value| (1..=8).contains(value));
    let focal_mm = tiff
        .number(first, EXIF_DIRECTORY)
        .and_then(|directory| tiff.number(directory, FOCAL_35_MM))
        .and_then(|value| u16::try_from(value).ok())
        .filter(|&value| value > 0);
    Exif { orientation, focal_mm }
}

struct Tiff<'a> {
    block: &'a [u8],
    little: bool,
}

impl<'a> Tiff<'a> {
    fn new(block: &'a [u8]) -> Option<Self> {
        let little = match block.get(..4)? {
            b"II\x2a\0" => true,
            b"MM\0\x2a" => false,
            _ => return None,
        };
        Some(Self { block, little })
    }

    fn short(&self, at: usize) -> Option<u16> {
        let pair: [u8; 2] = self.block.get(at..at.checked_add(2)?)?.try_into().ok()?;
        Some(if self.little { u16::from_le_bytes(pair) } else { u16::from_be_bytes(pair) })
    }

    fn long(&self, at: usize) -> Option<u32> {
        let four: [u8; 4] = self.block.get(at..at.checked_add(4)?)?.try_into().ok()?;
        Some(if self.little { u32::from_le_bytes(four) } else { u32::from_be_bytes(four) })
    }

    /// The single SHORT or LONG under `tag` in the directory at `start`.
    fn number(&self, start: u32, tag: u16) -> Option<u32> {
        let start = usize::try_from(start).ok()?;
        let entries = usize::from(self.short(start)?);
        for entry in 0..entries {
            let at = start.checked_add(2 + 12 * entry)?;
            if self.short(at)? == tag {
                return match (self.short(at + 2)?, self.long(at + 4)?) {
                    (3, 1) => self.short(at + 8).map(u32::from),
                    (4, 1) => self.long(at + 8),
                    _ => None,
                };
            }
        }
        None
    }
}

#[cfg(test)]
mod tests {
    use super::{Exif, read};

    /// A block of two directories, in either byte order.
    fn block(little: bool, orientation: u16, focal: u16) -> Vec<u8> {
        let short = |v: u16| if little { v.to_le_bytes() } else { v.to_be_bytes() };
        let long = |v: u32| if little { v.to_le_bytes() } else { v.to_be_bytes() };
        let mut out = if little { b"II\x2a\0".to_vec() } else { b"MM\0\x2a".to_vec() };
        out.extend(long(8));
        out.extend(short(2));
        for (tag, kind, value) in [(0x0112, 3, u32::from(orientation)), (0x8769, 4, 38)] {
            out.extend(short(tag));
            out.extend(short(kind));
            out.extend(long(1));
            if kind == 3 {
                out.extend(short(orientation));
                out.extend([0, 0]);
            } else {
                out.extend(long(value));
            }
        }
        out.extend(long(0));
        assert_eq!(out.len(), 38);
        out.extend(short(1));
        out.extend(short(0xA405));
        out.extend(short(3));
        out.extend(long(1));
        out.extend(short(focal));
        out.extend([0, 0]);
        out
    }

    #[test]
    fn both_byte_orders_read_alike() {
        for little in [true, false] {
            let exif = read(&block(little, 6, 26));
            assert_eq!(exif, Exif { orientation: Some(6), focal_mm: Some(26) });
        }
    }

    #[test]
    fn a_turn_that_does_not_exist_and_a_length_of_zero_are_left_out() {
        assert_eq!(read(&block(true, 9, 0)), Exif::default());
    }

    #[test]
    fn a_cut_block_reads_as_far_as_it_goes_and_never_fails() {
        let whole = block(false, 3, 28);
        for length in 0..whole.len() {
            let exif = read(&whole[..length]);
            assert!(exif.orientation.is_none_or(|turn| turn == 3));
        }
    }
}
