//! Scores, audits and comparisons for people.

use crate::contract::{AuditDoc, CompareDoc, ScoreDoc, ShareDoc};
use crate::words::{id_in_words, printable};

use super::paint::{bar, bold, short, wrapped};
use super::show_sound::notes;

/// Said once on every screen that shows a load.
pub(super) const CONVENTION: &str = "Load is a convention of this tool, not a validated scale. It measures the room, not the child; calm enough for the task is the aim, not an empty room.";

/// Distractors listed before "and … more".
const LISTED: usize = 8;

/// The score of answers, surface by surface.
pub(super) fn score(doc: &ScoreDoc) -> String {
    let mut out = format!("{}: load {:.0} of 100 by the checklist alone\n", bold(&doc.checklist), doc.load);
    out.push_str(&wrapped("", CONVENTION));
    for surface in &doc.surfaces {
        out.push_str(&format!(
            "\n  {} {:>3.0}  {}\n",
            bold(&format!("{:<8}", surface.surface)),
            surface.load,
            bar(surface.load / 100.0, 30)
        ));
        for item in surface.items.iter().filter(|item| item.pull > 0.0) {
            let answer = item.answer.as_str().map_or_else(|| item.answer.to_string(), ToOwned::to_owned);
            out.push_str(&format!("    {:>3.0} %  {} ({answer})\n", item.share * 100.0, named(&item.id)));
        }
    }
    out.push_str(&not_seen(&doc.unanswered));
    out
}

/// One audit.
pub(super) fn audit(doc: &AuditDoc) -> String {
    let mut out = format!("{} · {} · {}\n\n", bold(&doc.place), doc.date, doc.checklist);
    out.push_str(&format!(
        "Distraction load {} of 100, {} (90 % sure: {:.0} to {:.0})\n",
        bold(&format!("{:.0}", doc.load)),
        bold(&doc.grade),
        doc.load_low,
        doc.load_high
    ));
    out.push_str(&wrapped("", CONVENTION));
    out.push('\n');
    for (name, channel) in
        [("seen", &doc.channels.seen), ("heard", &doc.channels.heard), ("company", &doc.channels.company)]
    {
        let measured = channel.pull_measured.map_or_else(
            || if name == "company" { String::new() } else { "not measured".to_owned() },
            |pull| format!("measured {pull:.2}"),
        );
        out.push_str(&format!(
            "  {name:<8} pull {:.2}  {:<20}  checklist {:.2}  {measured}\n",
            channel.pull,
            bar(channel.pull, 20),
            channel.pull_checklist
        ));
    }
    out.push_str(&format!("\n{}\n", bold("What carries the load")));
    for share in doc.shares.iter().take(LISTED) {
        out.push_str(&format!(
            "  {:>3.0} %  {}{}\n",
            share.share * 100.0,
            named(&share.id),
            if share.chance_largest >= 0.1 {
                format!("  (largest with chance {:.0} %)", share.chance_largest * 100.0)
            } else {
                String::new()
            }
        ));
    }
    if doc.shares.len() > LISTED {
        let rest: f64 = doc.shares[LISTED..].iter().map(|share| share.share).sum();
        out.push_str(&format!("  {:>3.0} %  {} more\n", rest * 100.0, doc.shares.len() - LISTED));
    }
    out.push_str(&moves(doc));
    if !doc.keep.is_empty() {
        out.push('\n');
        out.push_str(&wrapped("Stays in reach, always: ", &doc.keep.join(", ")));
    }
    if !doc.disagreements.is_empty() {
        out.push_str(&format!("\n{}\n", bold("Two estimates differ")));
    }
    for disagreement in &doc.disagreements {
        out.push_str(&wrapped("  - ", &disagreement.text));
    }
    out.push_str(&why_not_seen(doc));
    out.push_str(&carried(doc));
    out.push_str(&notes(&doc.cautions));
    out
}

/// What to move first.
pub(super) fn moves(doc: &AuditDoc) -> String {
    let moves = &doc.first_moves;
    if moves.ids.is_empty() {
        return format!("\nNothing that helps fits into {} minutes.\n", short(moves.minutes));
    }
    let mut out = format!("\n{}\n", bold(&format!("What to move first, in {} minutes", short(moves.minutes))));
    for (number, id) in moves.ids.iter().enumerate() {
        let share: Option<&ShareDoc> = doc.shares.iter().find(|share| share.id == *id);
        let remedy = share.and_then(|share| share.remedy.as_deref()).unwrap_or(id);
        let minutes = share
            .and_then(|share| share.minutes)
            .map_or_else(String::new, |minutes| format!(" ({} min)", short(minutes)));
        out.push_str(&wrapped(&format!("  {}. ", number + 1), &format!("{remedy}{minutes}")));
    }
    let alone: f64 = moves.ids.iter().filter_map(|id| doc.shares.iter().find(|share| share.id == *id)?.minutes).sum();
    if let Some(takes) = moves.takes_minutes.filter(|takes| alone - takes > 0.05) {
        out.push_str(&format!("  Together {} min: the work they share is done once.\n", short(takes)));
    }
    out.push_str(&format!("  Then the load would be about {:.0}; measure again to know.\n", moves.load_after));
    out
}

/// What changed between two audits.
pub(super) fn compared(doc: &CompareDoc) -> String {
    change(doc, true)
}

/// The same on a screen that has said already what a load is.
pub(super) fn change(doc: &CompareDoc, say_convention: bool) -> String {
    let mut out = format!(
        "{}: load {:.0} before, {:.0} after, {:+.0} (95 % sure: {:+.0} to {:+.0})\n",
        bold(&doc.verdict),
        doc.load_before,
        doc.load_after,
        doc.difference,
        doc.low,
        doc.high
    );
    if say_convention {
        out.push_str(&wrapped("", CONVENTION));
    }
    let changed: Vec<_> = doc.items.iter().filter(|item| (item.after - item.before).abs() > 1e-9).collect();
    if !changed.is_empty() {
        out.push_str(&format!("\n{}\n", bold("What carried the change (pull)")));
        for item in changed.iter().take(LISTED) {
            out.push_str(&format!("  {:.3} → {:.3}  {}\n", item.before, item.after, named(&item.id)));
        }
    }
    out.push_str(&notes(&doc.cautions));
    out
}

/// An item's id as words.
pub(super) fn named(id: &str) -> String {
    match id {
        "photo" => "what the photo sees".to_owned(),
        "recording" => "what the recording hears".to_owned(),
        _ => id_in_words(id),
    }
}

/// Why something was not seen, where that was said.
fn why_not_seen(doc: &AuditDoc) -> String {
    let reasons: Vec<String> =
        doc.reasons.iter().map(|(id, reason)| format!("{} ({})", named(id), printable(reason))).collect();
    if reasons.is_empty() { String::new() } else { format!("\n{}", wrapped("Not seen: ", &reasons.join(", "))) }
}

/// What a recheck took from earlier audits.
fn carried(doc: &AuditDoc) -> String {
    doc.recheck.as_ref().map_or_else(String::new, |recheck| {
        let text = format!(
            "{} items asked, {} carried over from earlier audits and not looked at again.",
            recheck.asked.len(),
            recheck.carried.len()
        );
        format!("\n{}", wrapped(&format!("A recheck of {}: ", recheck.of), &text))
    })
}

fn not_seen(unanswered: &[String]) -> String {
    if unanswered.is_empty() {
        return String::new();
    }
    let names: Vec<String> = unanswered.iter().map(|id| named(id)).collect();
    format!("\n{}", wrapped("Not seen, so not counted: ", &names.join(", ")))
}
