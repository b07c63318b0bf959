//! Bits of a JPEG scan and its Huffman codes. ITU-T T.81, annexes C, F.2.2.3 to F.2.2.5.

/// A reader of bits that steps over stuffed zeros and stops at a marker.
pub(super) struct Bits<'a> {
    data: &'a [u8],
    at: usize,
    /// Waiting bits, the first one at the top.
    waiting: u64,
    count: u32,
    /// A marker or the end of the data was reached.
    stopped: bool,
    ran_out: bool,
}

impl<'a> Bits<'a> {
    pub(super) fn new(data: &'a [u8]) -> Self {
        Self { data, at: 0, waiting: 0, count: 0, stopped: false, ran_out: false }
    }

    /// Whether more bits were asked for than there are.
    pub(super) fn ran_out(&self) -> bool {
        self.ran_out
    }

    fn fill(&mut self) {
        while self.count <= 56 && !self.stopped {
            let Some(&byte) = self.data.get(self.at) else {
                self.stopped = true;
                return;
            };
            if byte == 0xFF {
                match self.data.get(self.at + 1) {
                    Some(0x00) => self.at += 1,
                    _ => {
                        self.stopped = true;
                        return;
                    }
                }
            }
            self.at += 1;
            self.waiting |= u64::from(byte) << (56 - self.count);
            self.count += 8;
        }
    }

    /// Steps over `count` bits (at most 16).
    #[inline]
    pub(super) fn skip(&mut self, count: u32) -> Option<()> {
        if self.count < count {
            self.fill();
            if self.count < count {
                self.ran_out = true;
                return None;
            }
        }
        self.waiting <<= count;
        self.count -= count;
        Some(())
    }

    /// The number in the next `count` bits (at most 16).
    pub(super) fn take(&mut self, count: u32) -> Option<u32> {
        if count == 0 {
            return Some(0);
        }
        self.fill();
        let value = u32::try_from(self.waiting >> (64 - count)).ok()?;
        self.skip(count)?;
        Some(value)
    }

    /// The next Huffman symbol.
    #[inline]
    pub(super) fn symbol(&mut self, table: &Table) -> Option<u8> {
        if self.count < 32 {
            self.fill();
        }
        let top = usize::try_from(self.waiting >> (64 - QUICK)).ok()?;
        let (mut length, mut symbol) = table.quick[top];
        if length == 0 {
            (length, symbol) = table.slow(self.waiting)?;
        }
        self.skip(u32::from(length))?;
        Some(symbol)
    }

    /// Steps over the restart marker that is due here; a whole byte or more of data before it is damage.
    pub(super) fn restart(&mut self) -> Option<()> {
        self.align()?;
        while self.data.get(self.at) == Some(&0xFF) && self.data.get(self.at + 1) == Some(&0xFF) {
            self.at += 1;
        }
        let &[0xFF, 0xD0..=0xD7] = self.data.get(self.at..self.at + 2).unwrap_or_default() else {
            self.ran_out |= self.at >= self.data.len();
            return None;
        };
        self.at += 2;
        (self.waiting, self.count, self.stopped) = (0, 0, false);
        Some(())
    }

    /// Drops the padding of the last byte; `None` when whole bytes of data are left.
    fn align(&mut self) -> Option<()> {
        self.fill();
        (self.count < 8 && self.stopped).then_some(())
    }

    /// Bytes read so far, a few waiting ones included.
    pub(super) fn used(&self) -> usize {
        self.at
    }

    /// Where the scan's data end: the next marker, stray bytes stepped over.
    pub(super) fn end(&self) -> usize {
        let mut at = self.at;
        while at < self.data.len() {
            if self.data[at] == 0xFF && !matches!(self.data.get(at + 1), Some(0x00 | 0xD0..=0xD7)) {
                return at;
            }
            at += 1;
        }
        at
    }
}

/// Codes up to this length are looked up at once.
const QUICK: u32 = 10;

/// A Huffman table: a quick look-up for short codes and the canonical bounds for the rest.
pub(super) struct Table {
    quick: Vec<(u8, u8)>,
    /// For each length above [`QUICK`]: the first code behind its last one, set against the top of 16 bits, and what to add to a
    /// code to find its symbol.
    long: Vec<(u8, u32, i64)>,
    symbols: Vec<u8>,
}

impl Table {
    /// Reads one table (16 counts, then the symbols); also returns the bytes used.
    pub(super) fn read(bytes: &[u8]) -> Option<(Self, usize)> {
        let counts = bytes.get(..16)?;
        let total: usize = counts.iter().map(|&count| usize::from(count)).sum();
        let symbols = bytes.get(16..16 + total)?.to_vec();
        let mut table = Self { quick: vec![(0, 0); 1 << QUICK], long: Vec::new(), symbols };
        let (mut code, mut index) = (0u32, 0usize);
        for (length, &count) in (1u8..).zip(counts) {
            let bits = u32::from(length);
            if bits <= QUICK {
                for _ in 0..count {
                    let start = usize::try_from(code << (QUICK - bits)).ok()?;
                    let entry = (length, table.symbols[index]);
                    table.quick.get_mut(start..start + (1 << (QUICK - bits)))?.fill(entry);
                    code += 1;
                    index += 1;
                }
            } else {
                let shift = i64::try_from(index).ok()? - i64::from(code);
                code += u32::from(count);
                index += usize::from(count);
                table.long.push((length, code << (16 - bits), shift));
            }
            if code > 1 << bits {
                return None;
            }
            code <<= 1;
        }
        Some((table, 16 + total))
    }

    #[cold]
    fn slow(&self, waiting: u64) -> Option<(u8, u8)> {
        let top = u32::try_from(waiting >> 48).ok()?;
        let &(length, _, shift) = self.long.iter().find(|(_, behind, _)| top < *behind)?;
        let code = i64::from(top >> (16 - u32::from(length)));
        let symbol = self.symbols.get(usize::try_from(code + shift).ok()?)?;
        Some((length, *symbol))
    }
}

#[cfg(test)]
mod tests {
    use super::{Bits, Table};

    #[test]
    fn codes_come_out_in_canonical_order() {
        // Lengths 1, 2, 12: codes 0, 10, 110000000000.
        let mut bytes = [0u8; 19];
        (bytes[0], bytes[1], bytes[11]) = (1, 1, 1);
        bytes[16..].copy_from_slice(&[7, 8, 9]);
        let (table, used) = Table::read(&bytes).unwrap();
        assert_eq!(used, 19);
        let mut bits = Bits::new(&[0b0101_1000, 0b0000_0000]);
        let symbols: Vec<_> = std::iter::from_fn(|| bits.symbol(&table)).take(3).collect();
        assert_eq!(symbols, [7, 8, 9]);
    }

    #[test]
    fn a_marker_ends_the_bits_and_a_stuffed_zero_does_not() {
        let mut bits = Bits::new(&[0xFF, 0x00, 0x80, 0xFF, 0xD9]);
        assert_eq!(bits.take(9), Some(0x1FF));
        assert_eq!(bits.take(7), Some(0));
        assert_eq!(bits.take(1), None);
        assert!(bits.ran_out());
        assert_eq!(bits.end(), 3);
    }
}
