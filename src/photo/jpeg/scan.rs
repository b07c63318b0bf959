//! One scan of a JPEG, block by block, counting codes only. ITU-T T.81, F.2.2 (sequential) and G.1.2 (progressive).

use super::bits::{Bits, Table};

/// A component of the picture.
#[derive(Default)]
pub(super) struct Component {
    pub(super) id: u8,
    /// Sampling factors.
    pub(super) across: usize,
    pub(super) down: usize,
    /// Its own blocks, and the blocks of whole units.
    blocks: (usize, usize),
    stride: usize,
    /// For each block the coefficients that are not zero, one bit each (progressive only).
    known: Vec<u64>,
    /// Whether a scan has brought its mean values.
    pub(super) seen: bool,
}

impl Component {
    pub(super) fn new(id: u8, across: usize, down: usize) -> Self {
        Self { id, across, down, ..Self::default() }
    }

    pub(super) fn measure(&mut self, size: (usize, usize), largest: (usize, usize), progressive: bool) {
        let own = |pixels: usize, factor: usize, most: usize| (pixels * factor).div_ceil(most).div_ceil(8);
        self.blocks = (own(size.0, self.across, largest.0), own(size.1, self.down, largest.1));
        self.stride = size.0.div_ceil(8 * largest.0) * self.across;
        if progressive {
            self.known = vec![0; self.stride * size.1.div_ceil(8 * largest.1) * self.down];
        }
    }
}

/// What a scan's header says.
pub(super) struct Scan {
    /// Index of the component, its tables for the mean and for the rest.
    pub(super) members: Vec<(usize, usize, usize)>,
    pub(super) progressive: bool,
    /// First and last coefficient.
    pub(super) band: (u8, u8),
    /// The first of the scans over these coefficients (later ones refine).
    pub(super) first: bool,
    /// Units between restart markers, 0 for none.
    pub(super) restart: usize,
}

type Tables<'a> = (&'a [Option<Table>; 4], &'a [Option<Table>; 4]);

/// Walks a scan of `units` (across, down) interleaved units; `None` when it does not go through.
pub(super) fn walk(
    scan: &Scan,
    components: &mut [Component],
    units: (usize, usize),
    tables: Tables<'_>,
    bits: &mut Bits<'_>,
) -> Option<()> {
    let alone = scan.members.len() == 1;
    let (across, down) = match scan.members.first() {
        Some(&(only, ..)) if alone => components.get(only)?.blocks,
        Some(_) => units,
        None => return None,
    };
    let mut run = 0u32;
    let mut until_restart = scan.restart;
    for y in 0..down {
        for x in 0..across {
            if scan.restart > 0 {
                if until_restart == 0 {
                    bits.restart()?;
                    (run, until_restart) = (0, scan.restart);
                }
                until_restart -= 1;
            }
            for &(index, dc, ac) in &scan.members {
                let component = components.get_mut(index)?;
                let (wide, high) = if alone { (1, 1) } else { (component.across, component.down) };
                let (dc, ac) = (tables.0.get(dc)?.as_ref(), tables.1.get(ac)?.as_ref());
                for block in 0..wide * high {
                    if scan.progressive {
                        let place = (y * high + block / wide) * component.stride + x * wide + block % wide;
                        progressive(scan, component.known.get_mut(place)?, (dc, ac), &mut run, bits)?;
                    } else {
                        sequential(dc?, ac?, bits)?;
                    }
                }
            }
        }
    }
    for &(index, ..) in &scan.members {
        components.get_mut(index)?.seen |= !scan.progressive || scan.band.0 == 0;
    }
    Some(())
}

/// F.2.2.1 and F.2.2.2.
#[inline]
fn sequential(dc: &Table, ac: &Table, bits: &mut Bits<'_>) -> Option<()> {
    let size = bits.symbol(dc)?;
    bits.skip(u32::from(size & 15))?;
    let mut k = 1;
    while k < 64 {
        let symbol = bits.symbol(ac)?;
        match (symbol >> 4, symbol & 15) {
            (15, 0) => k += 16,
            (_, 0) => break,
            (zeros, size) => {
                bits.skip(u32::from(size))?;
                k += u32::from(zeros) + 1;
            }
        }
    }
    Some(())
}

/// One block of one progressive scan. `run` counts the blocks that an end-of-band code still covers.
fn progressive(
    scan: &Scan,
    known: &mut u64,
    tables: (Option<&Table>, Option<&Table>),
    run: &mut u32,
    bits: &mut Bits<'_>,
) -> Option<()> {
    match (scan.band.0, scan.first) {
        (0, true) => {
            let size = bits.symbol(tables.0?)?;
            bits.skip(u32::from(size & 15))
        }
        (0, false) => bits.skip(1),
        (_, true) => first_band(scan.band, known, tables.1?, run, bits),
        (_, false) => refined_band(scan.band, known, tables.1?, run, bits),
    }
}

/// The blocks that an end-of-band code of class `class` covers, this one included. G.1.2.2.
fn band_run(class: u8, bits: &mut Bits<'_>) -> Option<u32> {
    Some((1 << class) + bits.take(u32::from(class))?)
}

/// G.1.2.2.
fn first_band(band: (u8, u8), known: &mut u64, ac: &Table, run: &mut u32, bits: &mut Bits<'_>) -> Option<()> {
    if *run > 0 {
        *run -= 1;
        return Some(());
    }
    let mut k = band.0;
    while k <= band.1 {
        let symbol = bits.symbol(ac)?;
        match (symbol >> 4, symbol & 15) {
            (15, 0) => k += 16,
            (class, 0) => {
                *run = band_run(class, bits)? - 1;
                break;
            }
            (zeros, size) => {
                k += zeros;
                bits.skip(u32::from(size))?;
                *known |= 1u64.checked_shl(u32::from(k)).unwrap_or(0);
                k += 1;
            }
        }
    }
    Some(())
}

/// G.1.2.3: every coefficient known from before gets one more bit when it is passed.
fn refined_band(band: (u8, u8), known: &mut u64, ac: &Table, run: &mut u32, bits: &mut Bits<'_>) -> Option<()> {
    let before = *known;
    let is_known = |k: u8| before >> k & 1 == 1;
    let mut k = band.0;
    if *run == 0 {
        while k <= band.1 {
            let symbol = bits.symbol(ac)?;
            let (mut zeros, size) = (symbol >> 4, symbol & 15);
            if size == 0 && zeros < 15 {
                *run = band_run(zeros, bits)?;
                break;
            }
            if size > 0 {
                bits.skip(1)?;
            }
            while k <= band.1 {
                if is_known(k) {
                    bits.skip(1)?;
                } else if zeros == 0 {
                    break;
                } else {
                    zeros -= 1;
                }
                k += 1;
            }
            if size > 0 && k <= band.1 {
                *known |= 1 << k;
            }
            k += 1;
        }
    }
    if *run > 0 {
        for k in k..=band.1 {
            if is_known(k) {
                bits.skip(1)?;
            }
        }
        *run -= 1;
    }
    Some(())
}
