//! What a sheet says of itself, and the dots that say it: 11 bytes, a checksum of 2, correction of 6, one dot a bit.

use sha2::{Digest, Sha256};

use super::bytes::{checksum, mended, protected};
use super::number::NUMBERS;
use super::sheet::{HEIGHT, Kind};

/// Columns and rows of dots.
pub(super) const COLUMNS: usize = 51;
pub(super) const ROWS: usize = 3;
/// Bytes of a label, with and without checksum and correction.
const PLAIN: usize = 11;
const WHOLE: usize = 19;
/// The first dot and the steps, mm.
const LEFT: f64 = 8.0;
const TOP: f64 = HEIGHT - 12.4;
const STEP: f64 = 2.2;
const DOWN: f64 = 2.4;
/// Radius of a dot, mm.
pub(super) const DOT: f64 = 0.8;
/// Bits of an alias's code.
const ALIAS_BITS: u32 = 20;

/// What a sheet says of itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Label {
    /// The version of its layout.
    pub layout: u8,
    /// Which form it is.
    pub kind: Kind,
    /// Its language, two letters (ISO 639-1).
    pub language: [u8; 2],
    /// Which page of several, from 0; at most 7.
    pub page: u8,
    /// The code of the case's alias; 0 for a sheet of no case.
    pub alias: u32,
    /// Monday of its week, in weeks since 1 January 2024, at most 4094; `None` for a sheet of any week.
    pub week: Option<u16>,
    /// The rung, or what the checklist's pages were made of; `None` if it says nothing.
    pub about: Option<u16>,
    /// Its number, without check digits.
    pub number: u32,
}

/// The code of an alias: the first 20 bits of its SHA-256, never 0. It tells cases apart and says nothing about them.
pub fn alias_code(alias: &str) -> u32 {
    let hash = Sha256::digest(format!("stillroom.paper alias {alias}"));
    let code = hash.iter().take(4).fold(0u32, |sum, &byte| (sum << 8) | u32::from(byte)) >> (32 - ALIAS_BITS);
    code.max(1)
}

const NO_WEEK: u16 = 4095;
const NOTHING: u16 = u16::MAX;

impl Label {
    /// The fields with their bits; 88 in all.
    fn fields(&self) -> [(u32, u32); 9] {
        let letter = |at: usize| u32::from(self.language[at].wrapping_sub(b'a') & 31);
        [
            (u32::from(self.layout & 15), 4),
            (self.kind.number(), 3),
            (letter(0), 5),
            (letter(1), 5),
            (u32::from(self.page & 7), 3),
            (self.alias & ((1 << ALIAS_BITS) - 1), ALIAS_BITS),
            (u32::from(self.week.unwrap_or(NO_WEEK).min(NO_WEEK)), 12),
            (u32::from(self.about.unwrap_or(NOTHING)), 16),
            (self.number % NUMBERS, 20),
        ]
    }

    /// The dots, row after row.
    pub(super) fn dots(&self) -> Vec<bool> {
        let all = self.fields().iter().fold(0u128, |sum, &(value, bits)| (sum << bits) | u128::from(value));
        let plain = &all.to_be_bytes()[16 - PLAIN..];
        let sum = checksum(plain).to_be_bytes();
        let bytes = protected(&[plain, &sum].concat());
        let mut dots: Vec<bool> =
            bytes.iter().flat_map(|byte| (0..8).map(move |bit| byte & (0x80 >> bit) != 0)).collect();
        // The last place is always a dot.
        dots.resize(COLUMNS * ROWS, true);
        dots
    }

    /// The label that dots say, if they say one.
    pub(super) fn of_dots(dots: &[bool]) -> Option<Self> {
        let bytes: Vec<u8> = dots
            .chunks_exact(8)
            .take(WHOLE)
            .map(|eight| eight.iter().fold(0, |sum, &dot| (sum << 1) | u8::from(dot)))
            .collect();
        if bytes.len() != WHOLE {
            return None;
        }
        let mended = mended(&bytes)?;
        let (plain, sum) = mended.split_at(PLAIN);
        if sum != checksum(plain).to_be_bytes() {
            return None;
        }
        let mut all = plain.iter().fold(0u128, |sum, &byte| (sum << 8) | u128::from(byte));
        let mut take = |bits: u32| {
            let value = u32::try_from(all & ((1 << bits) - 1)).unwrap_or(0);
            all >>= bits;
            value
        };
        let number = take(20);
        let about = u16::try_from(take(16)).ok()?;
        let week = u16::try_from(take(12)).ok()?;
        let alias = take(ALIAS_BITS);
        let page = u8::try_from(take(3)).ok()?;
        let mut letter = || u8::try_from(take(5)).ok().filter(|at| *at < 26).map(|at| at + b'a');
        let (second, first) = (letter()?, letter()?);
        let kind = Kind::of_number(take(3))?;
        let layout = u8::try_from(take(4)).ok()?;
        (number < NUMBERS).then_some(Self {
            layout,
            kind,
            language: [first, second],
            page,
            alias,
            week: (week != NO_WEEK).then_some(week),
            about: (about != NOTHING).then_some(about),
            number,
        })
    }
}

/// The places of the dots in millimetres, in their order.
pub fn cells() -> impl Iterator<Item = (f64, f64)> {
    (0..ROWS).flat_map(|row| (0..COLUMNS).map(move |column| (LEFT + STEP * column as f64, TOP + DOWN * row as f64)))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::{any, proptest};
    use proptest::prop_assert_eq;

    use super::{Kind, Label, alias_code};

    fn label(layout: u8, page: u8, alias: u32, week: u16, about: u16, number: u32) -> Label {
        Label {
            layout: layout & 15,
            kind: Kind::Screens,
            language: *b"es",
            page: page & 7,
            alias: alias & 0xF_FFFF,
            week: Some(week % 4095),
            about: (about != u16::MAX).then_some(about),
            number: number % 1_000_000,
        }
    }

    proptest! {
        #[test]
        fn a_label_comes_back_through_blots(
            (layout, page, alias) in any::<(u8, u8, u32)>(), (week, about, number) in any::<(u16, u16, u32)>(),
            blot in 0usize..140,
        ) {
            let label = label(layout, page, alias, week, about, number);
            let mut dots = label.dots();
            prop_assert_eq!(Label::of_dots(&dots), Some(label));
            for dot in &mut dots[blot..blot + 12] { *dot = !*dot; }
            prop_assert_eq!(Label::of_dots(&dots), Some(label));
        }
    }

    #[test]
    fn random_dots_say_nothing() {
        let mut state = 1u64;
        let said = (0..20_000).filter(|_| {
            let dots: Vec<bool> = (0..153)
                .map(|_| {
                    state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
                    state >> 63 == 1
                })
                .collect();
            Label::of_dots(&dots).is_some()
        });
        assert_eq!(said.count(), 0);
    }

    #[test]
    fn an_alias_has_a_code_that_is_never_that_of_none() {
        assert_ne!(alias_code("clover"), alias_code("poppy"));
        assert!((1..1 << 20).contains(&alias_code("clover")));
    }
}
