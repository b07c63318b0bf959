//! Bytes that survive a blot: a checksum, and a Reed–Solomon code.
//!
//! - CRC-16/CCITT-FALSE: polynomial 0x1021, start 0xFFFF (ITU-T V.41; check value 0x29B1 for "123456789"). [CRC16]
//! - Reed–Solomon [REED1960] over GF(2⁸) with 0x11D and generator 2, [`PARITY`] bytes, roots 2⁰ … 2⁵: mends any three wrong
//!   bytes. Decoded by syndromes, Berlekamp–Massey, Chien's search and Forney's formula. Beyond three it mends nothing or
//!   something else, which the checksum inside then finds.

/// Bytes of correction.
pub(super) const PARITY: usize = 6;

/// Powers of 2 in GF(2⁸), twice over so that sums of logarithms need no remainder, and the logarithms.
const FIELD: ([u8; 510], [u8; 256]) = field();

const fn field() -> ([u8; 510], [u8; 256]) {
    let (mut powers, mut logs) = ([0; 510], [0; 256]);
    let (mut at, mut value) = (0u8, 1u8);
    while at < 255 {
        powers[at as usize] = value;
        powers[at as usize + 255] = value;
        logs[value as usize] = at;
        let high = value & 0x80 != 0;
        value <<= 1;
        if high {
            value ^= 0x1D;
        }
        at += 1;
    }
    (powers, logs)
}

fn times(a: u8, b: u8) -> u8 {
    if a == 0 || b == 0 {
        return 0;
    }
    FIELD.0[usize::from(FIELD.1[usize::from(a)]) + usize::from(FIELD.1[usize::from(b)])]
}

fn over(a: u8, b: u8) -> u8 {
    if a == 0 {
        return 0;
    }
    FIELD.0[usize::from(FIELD.1[usize::from(a)]) + 255 - usize::from(FIELD.1[usize::from(b)])]
}

fn power(of_two: usize) -> u8 {
    FIELD.0[of_two % 255]
}

/// The value at `x` of a polynomial, its constant first.
fn value(polynomial: &[u8], x: u8) -> u8 {
    polynomial.iter().rev().fold(0, |sum, &c| times(sum, x) ^ c)
}

/// CRC-16/CCITT-FALSE.
pub(super) fn checksum(bytes: &[u8]) -> u16 {
    bytes.iter().fold(0xFFFF, |sum, &byte| {
        (0..8)
            .fold(sum ^ (u16::from(byte) << 8), |sum, _| if sum & 0x8000 != 0 { (sum << 1) ^ 0x1021 } else { sum << 1 })
    })
}

/// The bytes with their correction behind them.
pub(super) fn protected(bytes: &[u8]) -> Vec<u8> {
    // The generator, its highest power first and left out.
    let mut generator = vec![1u8];
    for root in 0..PARITY {
        generator.push(0);
        for at in (1..generator.len()).rev() {
            generator[at] ^= times(generator[at - 1], power(root));
        }
    }
    let mut rest = [0u8; PARITY];
    for &byte in bytes {
        let lead = byte ^ rest[0];
        rest.rotate_left(1);
        rest[PARITY - 1] = 0;
        for (at, place) in rest.iter_mut().enumerate() {
            *place ^= times(lead, generator[at + 1]);
        }
    }
    [bytes, &rest].concat()
}

/// The bytes without their correction, mended; `None` where too much is wrong to be mended.
pub(super) fn mended(read: &[u8]) -> Option<Vec<u8>> {
    let mut bytes = read.to_vec();
    let syndromes = syndromes(&bytes);
    if syndromes.iter().any(|&s| s != 0) {
        let locator = locator(&syndromes)?;
        let wrong = locator.len() - 1;
        // Omega = S·Λ mod x^PARITY.
        let mut omega = [0u8; PARITY];
        for (i, &s) in syndromes.iter().enumerate() {
            for (j, &l) in locator.iter().enumerate().filter(|(j, _)| i + j < PARITY) {
                omega[i + j] ^= times(s, l);
            }
        }
        let mut found = 0;
        for at in 0..bytes.len() {
            let place = bytes.len() - 1 - at;
            let inverse = power(255 - place % 255);
            if value(&locator, inverse) != 0 {
                continue;
            }
            found += 1;
            // Λ'(x): the odd powers only, in a field of characteristic 2.
            let slope = locator
                .iter()
                .enumerate()
                .skip(1)
                .step_by(2)
                .fold(0, |sum, (power_of, &l)| sum ^ (0..power_of - 1).fold(l, |term, _| times(term, inverse)));
            if slope == 0 {
                return None;
            }
            bytes[at] ^= times(power(place), over(value(&omega, inverse), slope));
        }
        if found != wrong || self::syndromes(&bytes).iter().any(|&s| s != 0) {
            return None;
        }
    }
    bytes.truncate(bytes.len() - PARITY);
    Some(bytes)
}

fn syndromes(bytes: &[u8]) -> [u8; PARITY] {
    let mut found = [0; PARITY];
    for (root, place) in found.iter_mut().enumerate() {
        *place = bytes.iter().fold(0, |sum, &byte| times(sum, power(root)) ^ byte);
    }
    found
}

/// Berlekamp–Massey: the shortest polynomial whose roots are at the wrong places; `None` for more than can be mended.
fn locator(syndromes: &[u8; PARITY]) -> Option<Vec<u8>> {
    let (mut current, mut before) = (vec![1u8], vec![1u8]);
    let (mut length, mut gap, mut last) = (0usize, 1usize, 1u8);
    for n in 0..PARITY {
        let off = (0..=length.min(current.len() - 1)).fold(0, |sum, i| sum ^ times(current[i], syndromes[n - i]));
        if off == 0 {
            gap += 1;
            continue;
        }
        let kept = current.clone();
        let factor = over(off, last);
        current.resize(current.len().max(before.len() + gap), 0);
        for (i, &c) in before.iter().enumerate() {
            current[i + gap] ^= times(factor, c);
        }
        if 2 * length <= n {
            length = n + 1 - length;
            (before, last, gap) = (kept, off, 1);
        } else {
            gap += 1;
        }
    }
    while current.last() == Some(&0) {
        current.pop();
    }
    (current.len() == length + 1 && length <= PARITY / 2).then_some(current)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::{any, proptest};
    use proptest::{prop_assert, prop_assert_eq};

    use super::{checksum, mended, protected};

    #[test]
    fn the_published_check_value_comes_out() {
        assert_eq!(checksum(b"123456789"), 0x29B1);
    }

    proptest! {
        #[test]
        fn three_wrong_bytes_are_mended(
            bytes in proptest::collection::vec(any::<u8>(), 13),
            blots in proptest::collection::vec((0usize..19, any::<u8>()), 0..=3),
        ) {
            let mut read = protected(&bytes);
            prop_assert_eq!(mended(&read), Some(bytes.clone()));
            for (at, blot) in blots { read[at] ^= blot; }
            prop_assert_eq!(mended(&read), Some(bytes));
        }

        #[test]
        fn nothing_makes_it_stumble(read in proptest::collection::vec(any::<u8>(), 19)) {
            if let Some(bytes) = mended(&read) {
                let again = protected(&bytes);
                prop_assert!(again.iter().zip(&read).filter(|(a, b)| a != b).count() <= 3);
            }
        }
    }
}
