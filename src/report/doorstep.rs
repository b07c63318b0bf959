//! The day's pile: one sheet a case for whoever stands at a door: last decision, what is due, what to look at.

use maud::{Markup, html};

use super::frame::document;
use super::say;
use crate::contract::CaseloadEntryDoc;
use crate::language::Speaker;
use crate::words::printable;

/// What a sheet tells.
#[derive(Clone, Debug)]
pub struct Doorstep<'a> {
    /// The case.
    pub entry: &'a CaseloadEntryDoc,
    /// What to look at, each with what the log says about it.
    pub looks: Vec<(&'a str, Option<&'a str>)>,
}

const STYLE: &str = include_str!("style.css");
/// A sheet of paper a case.
const SHEETS: &str = "article{break-after:page;break-inside:avoid;padding:1rem 0}article:last-of-type{break-after:auto}\
                      .line{border-bottom:1px solid currentColor;height:2.2rem}.day{float:right;font-weight:normal}\
                      @media print{main>h1,main>p{display:none}article{padding:0;font-size:.9em}.line{height:1.7rem}}";
/// What fits on one sheet beside the rest.
const LOOKS: usize = 6;

/// The pile, in the order of the cases, as one HTML file.
pub fn doorsteps(sheets: &[Doorstep<'_>], made_on: &str, speaker: &Speaker) -> String {
    let title = format!("The day's sheets, {}", say::day(made_on));
    let body = html! {
        body {
            main {
                h1 { "The day's sheets" }
                p { "Aliases only. What a sheet says is about rooms and practice, not about a child's worth or future." }
                @if sheets.is_empty() { p { "There is no case." } }
                @for sheet in sheets { (one(sheet, made_on)) }
            }
        }
    };
    document(&title, &[STYLE, SHEETS], speaker, &body)
}

fn one(sheet: &Doorstep<'_>, made_on: &str) -> Markup {
    let entry = sheet.entry;
    let missing: Vec<_> = entry.missing.iter().filter(|note| !entry.why.contains(note)).collect();
    // What the log says something about comes first; a sheet has room for a few.
    let mut looks: Vec<_> = sheet.looks.iter().collect();
    looks.sort_by_key(|(_, seen)| seen.is_none());
    looks.truncate(LOOKS);
    let last = match (&entry.last_session, entry.days_since) {
        (Some(day), Some(days)) if days >= 0 => {
            let ago = usize::try_from(days).unwrap_or(0);
            format!("{}, {} ago", say::day(day), say::count(ago, "day", "days"))
        }
        (Some(day), _) => say::day(day),
        (None, _) => "none yet".to_owned(),
    };
    let recorded = entry.last_decision.as_ref().map_or_else(
        || "none recorded".to_owned(),
        |decision| {
            let by = decision
                .signed_by
                .as_deref()
                .map_or("a proposal".to_owned(), |by| format!("signed by {}", printable(by)));
            format!(
                "{} at rung {}, {}, {by}",
                say::capital(&decision.decision),
                decision.rung,
                say::day(&decision.date)
            )
        },
    );
    html! {
        article {
            h2 { (printable(&entry.alias)) " " span class="day" { (say::day(made_on)) } }
            dl class="facts" {
                div { dt { "Due" } dd { (entry.due) } }
                div { dt { "Rung" } dd { (entry.rung.map_or_else(|| "not begun".to_owned(), |rung| rung.to_string())) } }
                div { dt { "Last session" } dd { (last) } }
                div { dt { "Last decision" } dd { (recorded) } }
                div { dt { "The sessions say" } dd { (entry.decision.as_deref().unwrap_or("nothing yet")) } }
            }
            @if !entry.why.is_empty() {
                h3 { "What is due" }
                ul { @for note in &entry.why { li { (printable_long(&note.text)) } } }
            }
            @if !missing.is_empty() {
                h3 { "What is missing" }
                ul { @for note in &missing { li { (note.text) } } }
            }
            @if !looks.is_empty() {
                h3 { "What to look at" }
                ol {
                    @for (text, seen) in looks {
                        li { (text) @if let Some(seen) = seen { " " em { (printable_long(seen)) } } }
                    }
                }
            }
            h3 { "Seen at the door" }
            @for _ in 0..3 { div class="line" {} }
        }
    }
}

/// Sentences of the program's own making, which may hold dates and numbers but no control signs.
fn printable_long(text: &str) -> String {
    text.chars().filter(|sign| !sign.is_control()).collect()
}
