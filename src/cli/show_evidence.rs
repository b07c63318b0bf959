//! What a child's sessions say of the scale, for people.

use crate::contract::{EvidenceDoc, ForecastDoc, LearnedDoc};
use crate::tasks::reviews::what_where;
use crate::words::printable;

use super::paint::{bold, wrapped};

/// Factors, forecasts, what comes next.
pub(super) fn evidence(doc: &EvidenceDoc) -> String {
    let mut out = format!("{}\n", bold(&what_where(doc.task.as_deref(), Some(&doc.place))));
    out.push_str(&format!("{} sessions, {} opportunities\n", doc.sessions, doc.opportunities));
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
    out.push_str(&wrapped("  ", &record(doc)));
    if let Some(next) = &doc.next {
        out.push('\n');
        let n = f64::from(next.opportunities);
        let text = format!(
            "Next, rung {}: about {:.0} of {} answered alone, between {:.0} and {:.0} four times in five.",
            next.rung,
            n * next.mean,
            next.opportunities,
            n * next.low,
            n * next.high
        );
        out.push_str(&wrapped("", &text));
    }
    if let Some(probe) = &doc.probe {
        let text = format!(
            "A session on rung {} ({}) would teach most about what draws this child. Only if the clinician and the family agree.",
            probe.rung,
            printable(&probe.distractor)
        );
        out.push_str(&wrapped("", &text));
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

fn record(doc: &EvidenceDoc) -> String {
    let record = &doc.record;
    if record.forecasts == 0 {
        return "None yet: a forecast needs a session before its rung.".to_owned();
    }
    let verdict = match record.no_better {
        None => "Fewer than eight forecasts say nothing of how good they are.",
        Some(true) => "The load foretells no better than that guess.",
        Some(false) => "The load foretells better than that guess.",
    };
    format!(
        "Of {} forecasts {} came true within one answer in ten, of \"same as last time\" {}. Log score {:.1} against {:.1}. {verdict}",
        record.forecasts, record.hits, record.guess_hits, record.score, record.guess_score
    )
}
