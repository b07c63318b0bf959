//! A review for people: the decision, why, what to do next, what the figures are; and what to look at when stuck.

use crate::contract::{ReviewDoc, SmallerDoc, StatisticsDoc, ToleranceDoc, TroubleshootDoc};
use crate::tasks::forecasts::{in_words, next_in_words};
use crate::tasks::reviews::what_where;
use crate::words::{counted, printable};

use super::paint::{bold, wrapped};
use super::show_session::rule;

/// The decisions, each with its graph.
pub(super) fn review(doc: &ReviewDoc, graphs: &[String]) -> String {
    let several = !doc.others.is_empty();
    let mut out = String::new();
    for (at, one) in std::iter::once(doc).chain(&doc.others).enumerate() {
        if several {
            let name = what_where(one.task.as_deref(), one.place.as_deref());
            out.push_str(&format!("{}{}\n", if at > 0 { "\n" } else { "" }, bold(&name)));
        }
        out.push_str(&answer(one, graphs.get(at).map_or("", String::as_str)));
    }
    out.push('\n');
    out.push_str(&wrapped(
        "",
        "This is a recommendation by rule. The clinician decides (`stillroom decide`); distress or a child who wants to \
         stop comes before any score.",
    ));
    out
}

fn answer(doc: &ReviewDoc, graph: &str) -> String {
    let mut out = format!("Rung {}: {}\n\n", doc.rung, bold(&doc.decision));
    for reason in &doc.reasons {
        out.push_str(&wrapped("  - ", &format!("{} ({})", reason.text, reason.code)));
    }
    if let Some(decided) = &doc.decided {
        let by = decided.by.as_ref().map_or_else(|| "nobody: a proposal".to_owned(), |by| printable(by));
        let why = decided.why.as_ref().map_or_else(String::new, |why| format!(": {}", printable(why)));
        out.push('\n');
        out.push_str(&wrapped("", &format!("Decided on {} by {by}: {}{why}", decided.date, decided.decision)));
    }
    list(&mut out, "What to do next", &doc.tomorrow);
    smaller(&mut out, &doc.smaller);
    if !graph.is_empty() {
        out.push_str(&format!("\n{}\n{graph}", bold("Right without help, session by session")));
    }
    out.push('\n');
    if let Some(set) = &doc.criterion {
        out.push_str(&wrapped("", &format!("Mastery: {}.", rule(set))));
    }
    figures(&mut out, &doc.statistics);
    match &doc.tolerance {
        Some(tolerance) => out.push_str(&copes(tolerance)),
        None => out.push_str("How far the child copes: not measured, no session can be used for it.\n"),
    }
    for channel in doc.tolerance_by_channel.iter().filter(|one| one.enough) {
        out.push_str(&copes(channel));
    }
    if let Some(advice) = replan(doc) {
        out.push_str(&wrapped("", &advice));
    }
    if let Some(forecasts) = &doc.forecasts {
        if forecasts.record.forecasts > 0 {
            out.push_str(&wrapped("", &in_words(&forecasts.record)));
        }
        if let Some(open) = &forecasts.open {
            out.push_str(&wrapped("", &next_in_words(open)));
        }
    }
    chances(&mut out, doc);
    out
}

fn list(out: &mut String, heading: &str, lines: &[String]) {
    if lines.is_empty() {
        return;
    }
    out.push_str(&format!("\n{}\n", bold(heading)));
    for line in lines {
        out.push_str(&wrapped("  - ", line));
    }
}

fn smaller(out: &mut String, steps: &[SmallerDoc]) {
    let lines: Vec<String> = steps.iter().map(|one| one.text.clone()).collect();
    list(out, "Smaller steps", &lines);
}

fn figures(out: &mut String, figures: &StatisticsDoc) {
    out.push_str(&format!(
        "{}; counted here: {}; passed in a row: {}",
        counted(figures.sessions, "session", "sessions"),
        figures.counted,
        figures.streak
    ));
    if let Some(share) = figures.share_mean {
        out.push_str(&format!(", {:.0} % right without help", share * 100.0));
    }
    out.push('\n');
    if let Some(slope) = &figures.slope {
        out.push_str(&wrapped(
            "",
            &format!(
                "Change {:+.1} points a day (Theil–Sen; 95 % sure: {:+.1} to {:+.1}; sessions depend on each other, so it is surer than it should be)",
                slope.per_day * 100.0,
                slope.low * 100.0,
                slope.high * 100.0
            ),
        ));
    }
    if let Some(baseline) = &figures.baseline
        && let (Some(nap), Some(low), Some(high)) = (baseline.nap, baseline.nap_low, baseline.nap_high)
    {
        let tau = baseline.tau.map_or_else(String::new, |tau| format!(", Tau (2·NAP − 1) {tau:.2}"));
        let corrected = baseline.tau_bc.map_or_else(String::new, |tau| format!(", baseline-corrected Tau {tau:.2}"));
        out.push_str(&wrapped(
            "",
            &format!("Against {} baseline sessions: NAP {nap:.2} ({low:.2} to {high:.2}){tau}{corrected}", baseline.n),
        ));
        if baseline.n < 3 {
            out.push_str("Fewer than three baseline sessions: figures, no claim.\n");
        }
    }
}

fn copes(tolerance: &ToleranceDoc) -> String {
    if !tolerance.enough {
        return format!("How far the child copes: not enough data ({} opportunities).\n", tolerance.trials);
    }
    let axis = if tolerance.axis == "rung" { "rung".to_owned() } else { format!("step ({})", tolerance.axis) };
    format!(
        "Copes up to about {axis} {:.1} ({:.1} to {:.1}); expected one on: {:.0} % right. Advisory only.\n",
        tolerance.half,
        tolerance.low,
        tolerance.high,
        tolerance.next_share * 100.0
    )
}

/// What the tolerance says to the next plan.
fn replan(doc: &ReviewDoc) -> Option<String> {
    let (tolerance, step) = (doc.tolerance.as_ref()?, doc.replan_max_step?);
    Some(format!(
        "One rung on less than half would be right ({:.0} %), so it is too far: plan again with \
         `stillroom ladder --case DIR --max-step {step:.2}`, or have the clinician hold.",
        tolerance.next_share * 100.0
    ))
}

fn chances(out: &mut String, doc: &ReviewDoc) {
    let Some(first) = doc.chances.first() else { return };
    out.push_str(&format!(
        "\n{}\n  right alone   moved up   moved back   stays\n",
        bold(&format!(
            "What the rule does within {} sessions of {} opportunities",
            first.sessions, first.opportunities
        ))
    ));
    for one in &doc.chances {
        out.push_str(&format!(
            "  {:8.0} %   {:6.1} %   {:8.1} %  {:5.1} %\n",
            one.share * 100.0,
            one.up * 100.0,
            one.back * 100.0,
            one.stays * 100.0
        ));
    }
    out.push_str(&wrapped(
        "  ",
        "Exact binomial, one session a day, the share held constant, no distress, no gap. It compares rules; it foretells nothing about a child.",
    ));
}

/// What to look at when practice is stuck.
pub(super) fn troubles(doc: &TroubleshootDoc) -> String {
    let name = what_where(doc.task.as_deref(), doc.place.as_deref());
    let mut out = format!("{name}, rung {}: {}\n", doc.rung, bold(&doc.decision));
    for look in &doc.looks {
        let mark = match look.state.as_str() {
            "look" => "look ",
            "fine" => "fine ",
            _ => "ask  ",
        };
        out.push_str(&wrapped(&format!("{:2}. {mark}", look.number), &look.text));
        if let Some(seen) = &look.seen {
            out.push_str(&wrapped("         ", &format!("The case: {}", printable(seen))));
        }
    }
    list(&mut out, "This week", &doc.this_week);
    list(&mut out, "Call the clinician when", &doc.call);
    smaller(&mut out, &doc.smaller);
    out
}
