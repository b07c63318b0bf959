//! Seeded draws: a named stream of normal and uniform numbers that is the same on every machine.
//!
//! A stream is named by the scale's seed, a purpose and a name (`item`, `loose-things-on-table`), never by a place in
//! a list, so that the same distractor draws the same numbers in both audits of a comparison and in whatever order
//! the lists stand. Key of the stream: SHA-256 of `stillroom.doubt/1`, seed, purpose and names, one a line, each
//! name preceded by its length; generator: ChaCha with 8 rounds, 64 bits a draw.
//!
//! Uniform: the upper 52 bits `k` give `(k + ½)·2⁻⁵²`, strictly between 0 and 1 and exact in an f64.
//! Normal: the inverse of the normal distribution function at that uniform number, algorithm AS 241 (PPND16),
//! Wichura 1988 `[AS241]`: rational functions in `½ − p` within 0.425 of the middle, in `√(−ln p)` outside.
//! Domain 0 < p < 1; relative error about 1e-16 by the paper; checked against quantiles computed with 50 digits
//! (`tests/oracle/load/normal.csv`). Only +, ·, / and √ of IEEE 754 and `libm::log` are used, so the bits are the
//! same everywhere.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use sha2::{Digest, Sha256};

/// Half-width of the central region, AS 241. [AS241]
const CENTRE: f64 = 0.425;
/// `CENTRE²`, so that the rational function is one in `CENTRE² − q²`. [AS241]
const CENTRE_SQUARED: f64 = 0.180_625;
/// Where the near tail ends, in `√(−ln p)`. [AS241]
const FAR: f64 = 5.0;
/// Where the near tail's rational function is centred. [AS241]
const NEAR_SHIFT: f64 = 1.6;

/// Numerator of the centre, constant term first. [AS241]
const A: [f64; 8] = [
    3.387_132_872_796_366_5,
    1.331_416_678_917_843_8e2,
    1.971_590_950_306_551_3e3,
    1.373_169_376_550_946e4,
    4.592_195_393_154_987e4,
    6.726_577_092_700_87e4,
    3.343_057_558_358_813e4,
    2.509_080_928_730_122_7e3,
];
/// Denominator of the centre. [AS241]
const B: [f64; 8] = [
    1.0,
    4.231_333_070_160_091e1,
    6.871_870_074_920_579e2,
    5.394_196_021_424_751e3,
    2.121_379_430_158_659_7e4,
    3.930_789_580_009_271e4,
    2.872_908_573_572_194_3e4,
    5.226_495_278_852_854e3,
];
/// Numerator of the near tail. [AS241]
const C: [f64; 8] = [
    1.423_437_110_749_683_5,
    4.630_337_846_156_546,
    5.769_497_221_460_691,
    3.647_848_324_763_204_5,
    1.270_458_252_452_368_4,
    2.417_807_251_774_506e-1,
    2.272_384_498_926_918_4e-2,
    7.745_450_142_783_414e-4,
];
/// Denominator of the near tail. [AS241]
const D: [f64; 8] = [
    1.0,
    2.053_191_626_637_759,
    1.676_384_830_183_803_8,
    6.897_673_349_851e-1,
    1.481_039_764_274_800_8e-1,
    1.519_866_656_361_645_7e-2,
    5.475_938_084_995_345e-4,
    1.050_750_071_644_416_9e-9,
];
/// Numerator of the far tail. [AS241]
const E: [f64; 8] = [
    6.657_904_643_501_103,
    5.463_784_911_164_114,
    1.784_826_539_917_291_3,
    2.965_605_718_285_048_7e-1,
    2.653_218_952_657_612_4e-2,
    1.242_660_947_388_078_4e-3,
    2.711_555_568_743_487_6e-5,
    2.010_334_399_292_288_1e-7,
];
/// Denominator of the far tail. [AS241]
const F: [f64; 8] = [
    1.0,
    5.998_322_065_558_88e-1,
    1.369_298_809_227_358e-1,
    1.487_536_129_085_061_5e-2,
    7.868_691_311_456_133e-4,
    1.846_318_317_510_054_8e-5,
    1.421_511_758_316_446e-7,
    2.044_263_103_389_939_8e-15,
];

/// A stream of draws with a name.
pub(super) struct Stream(ChaCha8Rng);

impl Stream {
    /// The stream of that seed, purpose and names.
    pub(super) fn new(seed: u64, purpose: &str, names: &[&str]) -> Self {
        let mut key = Sha256::new();
        key.update(format!("stillroom.doubt/1\n{seed}\n{purpose}\n"));
        for name in names {
            key.update(format!("{} {name}\n", name.len()));
        }
        Self(ChaCha8Rng::from_seed(key.finalize().into()))
    }

    /// The next uniform number, strictly between 0 and 1.
    pub(super) fn uniform(&mut self) -> f64 {
        const STEP: f64 = 1.0 / (1u64 << 52) as f64;
        ((self.0.next_u64() >> 12) as f64 + 0.5) * STEP
    }

    /// The next standard normal number.
    pub(super) fn normal(&mut self) -> f64 {
        quantile(self.uniform())
    }
}

/// The number below which a standard normal number falls with probability `p`, 0 < p < 1 (AS 241).
pub fn quantile(p: f64) -> f64 {
    let q = p - 0.5;
    if q.abs() <= CENTRE {
        let r = CENTRE_SQUARED - q * q;
        return q * polynomial(&A, r) / polynomial(&B, r);
    }
    let tail = if q < 0.0 { p } else { 1.0 - p };
    let r = (-libm::log(tail)).sqrt();
    let size = if r <= FAR {
        polynomial(&C, r - NEAR_SHIFT) / polynomial(&D, r - NEAR_SHIFT)
    } else {
        polynomial(&E, r - FAR) / polynomial(&F, r - FAR)
    };
    if q < 0.0 { -size } else { size }
}

/// Horner's rule, constant term first.
fn polynomial(terms: &[f64; 8], x: f64) -> f64 {
    terms.iter().rev().fold(0.0, |sum, term| sum * x + term)
}

#[cfg(test)]
mod tests {
    use super::{Stream, quantile};

    /// Relative error allowed beside 1e-16 of the paper: rounding of a dozen operations, and of p itself in the table.
    const ROUNDING: f64 = 4e-15;

    #[test]
    fn quantiles_are_those_of_fifty_digits() {
        let table = include_str!("../../tests/oracle/load/normal.csv");
        let rows = table.lines().filter(|line| !line.starts_with(['#', 'p']));
        let mut seen = 0;
        for row in rows {
            let (p, x) = row.split_once(',').unwrap();
            let (p, x): (f64, f64) = (p.parse().unwrap(), x.parse().unwrap());
            assert!((quantile(p) - x).abs() <= ROUNDING * x.abs().max(1.0), "p {p}: {} not {x}", quantile(p));
            seen += 1;
        }
        assert!(seen > 60, "{seen} rows");
    }

    #[test]
    fn a_stream_has_the_moments_of_a_normal_distribution() {
        let mut stream = Stream::new(1, "item", &["a"]);
        let draws: Vec<f64> = (0..100_000).map(|_| stream.normal()).collect();
        let mean = |power: i32| draws.iter().map(|x| x.powi(power)).sum::<f64>() / draws.len() as f64;
        // Four standard errors: 1/√n, √2/√n, √15/√n, √96/√n.
        assert!(mean(1).abs() < 0.0127);
        assert!((mean(2) - 1.0).abs() < 0.0179);
        assert!(mean(3).abs() < 0.049);
        assert!((mean(4) - 3.0).abs() < 0.124);
    }

    #[test]
    fn streams_of_different_names_do_not_move_together() {
        let mut a = Stream::new(1, "item", &["a"]);
        for (purpose, names) in [("item", &["b"][..]), ("answer", &["a"]), ("item", &["a", ""])] {
            let mut b = Stream::new(1, purpose, names);
            let together = (0..10_000).map(|_| a.normal() * b.normal()).sum::<f64>() / 10_000.0;
            assert!(together.abs() < 0.04, "{together}");
        }
    }

    #[test]
    fn the_same_name_draws_the_same_bits() {
        let mut stream = Stream::new(1, "channel", &["seen"]);
        let drawn: Vec<u64> = (0..3).map(|_| stream.normal().to_bits()).collect();
        let mut again = Stream::new(1, "channel", &["seen"]);
        assert_eq!(drawn, (0..3).map(|_| again.normal().to_bits()).collect::<Vec<_>>());
        // Fixed, so that another machine or another version of a library that draws otherwise is noticed.
        assert_eq!(drawn, [4_606_871_307_127_004_179, 13_823_035_832_287_153_225, 4_611_193_692_191_061_839]);
    }
}
