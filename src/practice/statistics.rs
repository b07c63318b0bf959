//! The figures beside a decision: shares, their trend, and the comparison with a baseline.

use jiff::civil::Date;

use super::findings::Findings;
use super::overlap::{corrected_tau, nap, tau, tau_u};
use super::pool::Row;
use super::ratio::{change, mean};
use super::session::{Kind, days_between};
use super::tolerance::Tolerance;
use super::trend::{MOST_POINTS, SLOPE_95, Slope, theil_sen};

/// Fewer counted sessions have no slope. Convention.
const SLOPE_FROM: usize = 3;
/// Fewer baseline sessions carry figures but no claim. Convention after [KRATOCHWILL2013].
const CLAIM_FROM: usize = 3;

/// The figures of a log at its rung.
#[derive(Clone, Debug, PartialEq)]
pub struct Statistics {
    /// Sessions in the log.
    pub sessions: usize,
    /// Sessions that count for the rung.
    pub counted: usize,
    /// Passes in a row up to now.
    pub streak: usize,
    /// Mean share answered alone over the counted sessions.
    pub share_mean: Option<f64>,
    /// Trend of that share a day; `None` under three counted sessions or on one date.
    pub slope: Option<Slope>,
    /// Comparison with the baseline of the rung; `None` without one, or without a counted session.
    pub baseline: Option<Baseline>,
}

/// The comparison of baseline sessions (A) with counted ones (B).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Baseline {
    /// Baseline sessions.
    pub n: usize,
    /// Nonoverlap of all pairs.
    pub nap: f64,
    /// Its lower 95 % end.
    pub nap_low: f64,
    /// Its upper 95 % end.
    pub nap_high: f64,
    /// Tau, S_AB/(mn).
    pub tau: f64,
    /// Tau-U, (S_AB − S_A)/(mn).
    pub tau_u: f64,
    /// Baseline-corrected tau.
    pub tau_bc: f64,
    /// Kendall's p of the baseline over time.
    pub trend_p: f64,
    /// Whether a trend of the baseline was taken off.
    pub corrected: bool,
    /// Mean of B minus mean of A.
    pub mean_difference: f64,
    /// Log response ratio; `None` where a mean is 0.
    pub log_response_ratio: Option<f64>,
    /// Its standard error.
    pub lrr_se: Option<f64>,
}

/// What the figures do not say.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Caution {
    /// Intervals are too narrow.
    SessionsNotIndependent,
    /// Too few baseline sessions to claim anything.
    FewBaselineSessions {
        /// How many there are.
        n: usize,
    },
    /// Tolerance rests on too little.
    ToleranceNotEnough {
        /// Opportunities used.
        trials: u64,
    },
    /// Tolerance is a convention.
    ToleranceConvention,
}

impl Caution {
    /// The code for programs.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::SessionsNotIndependent => "sessions-not-independent",
            Self::FewBaselineSessions { .. } => "few-baseline-sessions",
            Self::ToleranceNotEnough { .. } => "tolerance-not-enough-data",
            Self::ToleranceConvention => "tolerance-convention",
        }
    }

    /// What it means and what to do.
    pub fn text(&self) -> String {
        match self {
            Self::SessionsNotIndependent => {
                "Sessions of one child depend on each other, so the true intervals are wider than those given; read \
                 them as a lower bound of the doubt."
                    .to_owned()
            }
            Self::FewBaselineSessions { n } => format!(
                "Only {n} baseline {}: the comparison is given as figures, without a claim. Measure at least 3 before \
                 teaching a rung.",
                if *n == 1 { "session" } else { "sessions" }
            ),
            Self::ToleranceNotEnough { trials } => format!(
                "Not enough data for a tolerance yet: it takes 30 opportunities or more, and rungs that are easy as well \
                 as one that is hard ({trials} opportunities so far). Go on recording; the decision does not rest on it."
            ),
            Self::ToleranceConvention => {
                "Tolerance is a convention of this tool, not a validated scale. Use it to plan, and let the sessions \
                 decide."
                    .to_owned()
            }
        }
    }
}

/// The figures of rows whose findings are given; `sessions` is the number in the log before sittings were added up.
pub(super) fn statistics(sessions: usize, rows: &[Row], found: &Findings<'_>) -> Statistics {
    let counted = &found.counted;
    let start = rows.first().map(|row| row.date);
    let b = dated(counted.iter().copied(), start);
    let is_baseline = |row: &&Row| row.kind == Kind::Baseline && row.rung == found.rung && !row.void;
    let a = dated(rows.iter().filter(is_baseline), start);
    let shares: Vec<f64> = b.iter().map(|point| point.1).collect();
    Statistics {
        sessions,
        counted: counted.len(),
        streak: found.streak.len(),
        share_mean: mean(&shares),
        slope: if counted.len() < SLOPE_FROM { None } else { theil_sen(&b, SLOPE_95) },
        baseline: compare(&a, &b),
    }
}

/// Days since the start of the log, and shares.
fn dated<'a>(rows: impl Iterator<Item = &'a Row>, start: Option<Date>) -> Vec<(f64, f64)> {
    rows.filter_map(|row| Some((days_between(start?, row.date) as f64, row.share()?))).collect()
}

fn compare(a: &[(f64, f64)], b: &[(f64, f64)]) -> Option<Baseline> {
    let (a, b) = (newest(a), newest(b));
    let values = |points: &[(f64, f64)]| points.iter().map(|point| point.1).collect::<Vec<f64>>();
    let (of_a, of_b) = (values(a), values(b));
    let overlap = nap(&of_a, &of_b)?;
    let corrected = corrected_tau(a, b)?;
    let change = change(&of_a, &of_b)?;
    Some(Baseline {
        n: a.len(),
        nap: overlap.nap,
        nap_low: overlap.low,
        nap_high: overlap.high,
        tau: tau(&of_a, &of_b)?,
        tau_u: tau_u(&of_a, &of_b)?,
        tau_bc: corrected.tau,
        trend_p: corrected.trend_p,
        corrected: corrected.corrected,
        mean_difference: change.mean_difference,
        log_response_ratio: change.ratio.map(|ratio| ratio.log_response_ratio),
        lrr_se: change.ratio.map(|ratio| ratio.se),
    })
}

/// The newest points: pairs grow with the square of their number.
fn newest(points: &[(f64, f64)]) -> &[(f64, f64)] {
    &points[points.len().saturating_sub(MOST_POINTS)..]
}

/// What has to be said beside the figures.
pub(super) fn cautions(statistics: &Statistics, tolerance: Option<&Tolerance>) -> Vec<Caution> {
    let mut cautions = Vec::new();
    if statistics.slope.is_some() || statistics.baseline.is_some() {
        cautions.push(Caution::SessionsNotIndependent);
    }
    if let Some(baseline) = statistics.baseline.filter(|baseline| baseline.n < CLAIM_FROM) {
        cautions.push(Caution::FewBaselineSessions { n: baseline.n });
    }
    if let Some(tolerance) = tolerance {
        if !tolerance.enough {
            cautions.push(Caution::ToleranceNotEnough { trials: tolerance.trials });
        }
        cautions.push(Caution::ToleranceConvention);
    }
    cautions
}
