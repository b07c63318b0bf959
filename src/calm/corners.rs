//! Which of several corners is calmest, and which can be told from it.
//!
//! Every pair is compared as two audits of one place are (`load::compare`: in pairs of draws, only what both share, so that a
//! short list in one corner does not pass for a calm one). All pairs count as comparisons, since the calmest is picked from
//! the same figures: with `k` corners each interval is one of `k(k−1)/2`, made wider by Bonferroni's rule \[DUNN1961\].
//! The calmest is the corner whose largest difference to any other is least: it loses to none, or by least.

use crate::calm::shared::Shared;
use crate::load::{AuditInputs, Comparison, Verdict, assess, compare_among};
use crate::quantity::Load;

/// Corners that are compared at most. Convention: a visit has no time for more.
pub const MOST_CORNERS: usize = 6;

/// How the corners stand to each other.
#[derive(Clone, Debug, PartialEq)]
pub struct Corners {
    /// The place of the calmest.
    pub calmest: usize,
    /// Each other corner against the calmest, in their order: `difference` is the other's load less the calmest's.
    pub others: Vec<(usize, Comparison)>,
}

impl Corners {
    /// Whether the calmest is clearly calmer than every other.
    pub fn is_clear(&self) -> bool {
        !self.others.is_empty() && self.others.iter().all(|(_, found)| found.verdict == Verdict::Busier)
    }
}

/// The load of each corner by what all of them share, with the ends of its 90 % interval: figures that stand side by side. `None` where
/// they share nothing.
pub fn side_by_side(corners: &[AuditInputs<'_>]) -> Option<Vec<(Load, Load, Load)>> {
    let shared = Shared::of(corners)?;
    let one = |(at, inputs): (usize, &AuditInputs<'_>)| {
        let found = assess(&shared.cut(at, inputs), 0.0);
        (found.load, found.load_low, found.load_high)
    };
    Some(corners.iter().enumerate().map(one).collect())
}

/// Compares corners; `None` for fewer than two. No more than [`MOST_CORNERS`] are looked at.
pub fn compare_corners(corners: &[AuditInputs<'_>]) -> Option<Corners> {
    let corners = &corners[..corners.len().min(MOST_CORNERS)];
    let count = corners.len();
    if count < 2 {
        return None;
    }
    let pairs = count * (count - 1) / 2;
    let mut found: Vec<Vec<Option<Comparison>>> = vec![vec![None; count]; count];
    for one in 0..count {
        for other in 0..count {
            if one != other {
                found[one][other] = Some(compare_among(&corners[one], &corners[other], pairs));
            }
        }
    }
    // `found[one][other].difference` is other − one: the worst of a corner is the other that lies furthest below it.
    let worst = |one: usize| {
        let below = found[one].iter().flatten().map(|found| -found.difference);
        below.fold(f64::NEG_INFINITY, f64::max)
    };
    let calmest = (0..count).min_by(|&a, &b| worst(a).total_cmp(&worst(b)))?;
    let others = std::mem::take(&mut found[calmest]);
    let others = others.into_iter().enumerate().filter_map(|(place, found)| Some((place, found?))).collect();
    Some(Corners { calmest, others })
}
