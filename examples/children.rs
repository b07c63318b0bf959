//! How many children does a test of the load against time on task take? Prints the table of docs/VALIDATION.md.
//!
//! `cargo run --example children`
//!
//! Each child is seen in m sittings in rooms of differing load; r is the correlation of load and time on task within a child. Fisher's
//! z of a child's correlation has the variance
//!
//! ```text
//! v = 1/(m′ − 3) + τ²        m′ = m·(1 − ρ²)/(1 + ρ²)
//! ```
//!
//! where τ is how far children differ in z, and ρ how far one sitting resembles the one before it, in both figures (Bartlett 1935, for two
//! series with the same ρ). The mean z of n children is then told from none, two-sided at α with the chance 1 − β, by
//!
//! ```text
//! n = (z(1 − α/2) + z(1 − β))² · v / artanh(r)²
//! ```
//!
//! Sources: R. A. Fisher (1921), Metron 1, 3–32, for z and its variance; M. S. Bartlett (1935), Journal of the Royal Statistical
//! Society 98(3), 536–543, for m′; the formula of n is that of a mean with known variance, as in any handbook. From memory.

use std::fmt::Write as _;

use stillroom::load::normal_quantile;

/// How unlike children are, in z. Convention: nobody has measured it.
const TAU: f64 = 0.2;
/// How far a sitting resembles the one before. Convention: nobody has measured it.
const RHO: f64 = 0.3;
/// Of the children who begin, the share who stay to the end. Convention.
const STAY: f64 = 0.8;

/// With fewer the mean of z is not near enough to normal for its formula. Common practice, no source.
const LEAST: f64 = 12.0;

/// Children who must stay to the end, for a correlation `r` within a child and `sittings` of each; two-sided 5 %, power 80 %.
pub(crate) fn children(r: f64, sittings: f64) -> f64 {
    let worth = sittings * (1.0 - RHO * RHO) / (1.0 + RHO * RHO);
    let variance = 1.0 / (worth - 3.0) + TAU * TAU;
    told(r, variance).ceil().max(LEAST)
}

/// How many figures with that variance tell a mean of artanh(r) from none.
pub(crate) fn told(r: f64, variance: f64) -> f64 {
    let (size, power) = (normal_quantile(0.975), normal_quantile(0.8));
    (size + power).powi(2) * variance / r.atanh().powi(2)
}

/// The table in Markdown.
pub(crate) fn table() -> String {
    let mut out = "| correlation within a child | 10 sittings each | 20 | 40 |\n|---|---|---|---|\n".to_owned();
    for r in [0.15, 0.2, 0.3, 0.4, 0.5] {
        let _never = write!(out, "| \u{2212}{r:.2} |");
        for sittings in [10.0, 20.0, 40.0] {
            let stay = children(r, sittings);
            let _never = write!(out, " {stay:.0} ({:.0}) |", (stay / STAY).ceil());
        }
        out.push('\n');
    }
    out
}

fn main() {
    #[expect(clippy::print_stdout, reason = "an example prints what it made")]
    {
        print!("{}", table());
    }
}
