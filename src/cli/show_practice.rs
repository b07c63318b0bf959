//! A review for people: the decision, why, and what the figures are.

use crate::contract::ReviewDoc;

use super::paint::{bold, wrapped};

/// The decision.
pub(super) fn review(doc: &ReviewDoc) -> String {
    let mut out = format!("Rung {}: {}\n\n", doc.rung, bold(&doc.decision));
    for reason in &doc.reasons {
        out.push_str(&wrapped("  - ", &format!("{} ({})", reason.text, reason.code)));
    }
    let figures = &doc.statistics;
    out.push_str(&format!(
        "\n{} sessions, {} count here, {} in a row passed",
        figures.sessions, figures.counted, figures.streak
    ));
    if let Some(share) = figures.share_mean {
        out.push_str(&format!(", {:.0} % right without help", share * 100.0));
    }
    out.push('\n');
    if let Some(slope) = &figures.slope {
        out.push_str(&format!(
            "Change {:+.1} points a day (95 % sure: {:+.1} to {:+.1}; sessions depend on each other, so it is surer than it should be)\n",
            slope.per_day * 100.0,
            slope.low * 100.0,
            slope.high * 100.0
        ));
    }
    if let Some(baseline) = &figures.baseline
        && let (Some(nap), Some(low), Some(high)) = (baseline.nap, baseline.nap_low, baseline.nap_high)
    {
        out.push_str(&format!("Against {} baseline sessions: NAP {nap:.2} ({low:.2} to {high:.2})\n", baseline.n));
        if baseline.n < 3 {
            out.push_str("Fewer than three baseline sessions: figures, no claim.\n");
        }
    }
    match &doc.tolerance {
        Some(tolerance) if tolerance.enough => out.push_str(&format!(
            "Copes up to about {} {:.1} ({:.1} to {:.1}); expected one on: {:.0} % right. Advisory only.\n",
            tolerance.axis,
            tolerance.half,
            tolerance.low,
            tolerance.high,
            tolerance.next_share * 100.0
        )),
        Some(tolerance) => {
            out.push_str(&format!("How far the child copes: not enough data ({} opportunities).\n", tolerance.trials))
        }
        None => {}
    }
    out.push_str(&wrapped("", "\nThis is a recommendation by rule. The clinician decides; distress or a child who wants to stop comes before any score."));
    out
}
