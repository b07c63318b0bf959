//! Random numbers of the simulations and of the damage done to files: seeded, the same on every machine.
#![allow(dead_code, reason = "each program takes what it needs")]

/// SplitMix64 (Steele, Lea, Flood 2014).
pub(crate) struct Dice(pub(crate) u64);

impl Dice {
    /// 0 to below 1.
    pub(crate) fn share(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut word = self.0;
        word = (word ^ (word >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        word = (word ^ (word >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((word ^ (word >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }

    /// Of so many places one, from 0; 0 where there are none.
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a share of a count is a count")]
    pub(crate) fn below(&mut self, count: usize) -> usize {
        (self.share() * count as f64) as usize
    }

    /// Mean 0, deviation 1 (Box and Muller 1958).
    pub(crate) fn normal(&mut self) -> f64 {
        let radius = (-2.0 * (1.0 - self.share()).ln()).sqrt();
        radius * (std::f64::consts::TAU * self.share()).cos()
    }

    /// Scale 1 (Marsaglia and Tsang 2000).
    pub(crate) fn gamma(&mut self, shape: f64) -> f64 {
        if shape < 1.0 {
            return self.gamma(shape + 1.0) * self.share().max(1e-300).powf(1.0 / shape);
        }
        let d = shape - 1.0 / 3.0;
        loop {
            let x = self.normal();
            let v = (1.0 + x / (9.0 * d).sqrt()).powi(3);
            if v > 0.0 && self.share().max(1e-300).ln() < 0.5 * x * x + d - d * v + d * v.ln() {
                return d * v;
            }
        }
    }

    /// One to nine changes of bytes: one set, a piece cut out, zeroed, filled or repeated, the end cut off; half of them near the front.
    pub(crate) fn damaged(&mut self, seed: &[u8]) -> Vec<u8> {
        let mut bytes = seed.to_vec();
        let front = self.below(2) == 0;
        for _ in 0..=self.below(8) {
            if bytes.is_empty() {
                break;
            }
            let reach = if front { bytes.len().min(160) } else { bytes.len() };
            let at = self.below(reach);
            let end = (at + self.below(40)).min(bytes.len());
            match self.below(8) {
                0 => bytes.truncate(at.max(1)),
                1 => drop(bytes.drain(at..end)),
                2 => bytes[at..end].fill(0),
                3 => bytes[at..end].fill(0xff),
                4 => {
                    let piece = bytes[at..end].to_vec();
                    bytes.splice(at..at, piece);
                }
                5 => bytes[at] ^= 1 << self.below(8),
                _ => bytes[at] = self.below(256).to_le_bytes()[0],
            }
        }
        bytes
    }
}
