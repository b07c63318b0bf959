//! What a child's sessions say of the scale, for people.

use crate::contract::{EvidenceDoc, ForecastDoc, LearnedDoc};
use crate::tasks::evidence::probe_in_words;
use crate::tasks::forecasts::{in_words, next_in_words};
use crate::tasks::reviews::what_where;
use crate::words::printable;

use super::paint::{bold, wrapped};

/// Factors, forecasts, what comes next.
pub(super) fn evidence(doc: &EvidenceDoc) -> String {
    let mut out = format!("{}\n", bold(&what_where(doc.task.as_deref(), Some(&doc.place))));
    out.push_str(&format!("Sessions: {}; opportunities: {}\n", doc.sessions, doc.opportunities));
    out.push_str(&format!("\n{}\n", bold("How strongly each draws this child, against the scale")));
    for one in &doc.distractors {
        out.push_str(&wrapped("  ", &learned(one)));
    }
    if doc.distractors.is_empty() {
        out.push_str("  Nothing stood in the room yet in a session.\n");
    }
    out.push_str(&format!("\n{}\n", bold("Forecasts, each from what was known before the rung")));
    for one in &doc.forecasts {
        out.push_str(&forecast(one));
    }
    out.push_str(&wrapped("  ", &in_words(&doc.record)));
    if let Some(stored) = doc.stored.as_ref().filter(|stored| stored.record.forecasts > 0) {
        out.push_str(&wrapped("  ", &format!("Stored before the rungs: {}", in_words(&stored.record))));
    }
    if let Some(next) = &doc.next {
        out.push('\n');
        out.push_str(&wrapped("", &next_in_words(next)));
    }
    if let Some(probe) = &doc.probe {
        out.push_str(&wrapped("", &probe_in_words(probe)));
    }
    for caution in &doc.cautions {
        out.push('\n');
        out.push_str(&wrapped("", &caution.text));
    }
    out
}

fn learned(one: &LearnedDoc) -> String {
    let name = printable(&one.id);
    let (Some(factor), Some(low), Some(high)) = (one.factor, one.low, one.high) else {
        return format!("{name} ({}): not enough data ({} opportunities with it)", one.channel, one.opportunities);
    };
    let words = match (one.differs, factor > 1.0) {
        (false, _) => "no clear difference from the scale",
        (true, true) => "stronger than the scale says",
        (true, false) => "weaker than the scale says",
    };
    format!(
        "{name} ({}): {words}; {factor:.1} times (90 %: {low:.1} to {high:.1}), {} opportunities",
        one.channel, one.opportunities
    )
}

fn forecast(one: &ForecastDoc) -> String {
    let n = f64::from(one.opportunities);
    format!(
        "  rung {:>3}  {}  said {:>4.1} of {:<2} ({:.0} to {:.0})   came {:>2}  {}\n",
        one.rung,
        one.date,
        n * one.mean,
        one.opportunities,
        n * one.low,
        n * one.high,
        one.independent,
        if one.hit { "near" } else { "not near" }
    )
}
