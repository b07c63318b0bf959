//! The page around the sections: head, style, title, contents, order.

use maud::{Markup, html};

use super::frame::document;
use super::{CaseReport, basis, heard, plan, practised, room, say, seen, where_when};
use crate::language::Speaker;
use crate::words::printable;

/// How much is told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Scope {
    /// Room, plan and practice.
    Case,
    /// The room alone.
    Audit,
}

const STYLE: &str = include_str!("style.css");

/// A section: its anchor, its heading and its body.
pub(crate) struct Section {
    pub(crate) id: &'static str,
    pub(crate) heading: &'static str,
    pub(crate) body: Markup,
}

/// The whole page.
pub(crate) fn render(report: &CaseReport<'_>, scope: Scope, speaker: &Speaker) -> String {
    let mut sections = vec![Section { id: "found", heading: "What we found", body: room::found(report, speaker) }];
    sections.push(Section { id: "first", heading: "What to move first", body: room::first(report) });
    if report.before.is_some() || report.compare.is_some() {
        sections.push(Section { id: "change", heading: "Before and after", body: room::change(report, speaker) });
    }
    sections.push(Section { id: "load", heading: "What makes the load", body: room::load(report, speaker) });
    sections.push(Section { id: "heard", heading: "What is heard", body: heard::section(report) });
    sections.push(Section { id: "seen", heading: "What the photos show", body: seen::section(report) });
    if let Some(doc) = report.elsewhere {
        sections.push(Section { id: "where", heading: "Where and when", body: where_when::chapter(doc) });
    }
    if scope == Scope::Case {
        sections.push(Section { id: "ladder", heading: "The ladder", body: plan::section(report, speaker) });
        sections.push(Section { id: "practice", heading: "Practice so far", body: practised::section(report) });
    }
    sections.push(Section { id: "mind", heading: "What to mind", body: basis::cautions(report, scope) });
    sections.push(Section { id: "missing", heading: "Not measured", body: basis::missing(report, scope) });
    sections.push(Section { id: "worked", heading: "How it was worked out", body: basis::worked_out(report) });
    sections.push(Section { id: "sources", heading: "Sources", body: basis::sources(report) });
    sections.push(Section { id: "privacy", heading: "Who may read this", body: basis::privacy(report) });
    let place = say::capital(&printable(report.place));
    let whose = report.alias.map_or_else(|| place.clone(), |alias| format!("{}, {place}", printable(alias)));
    let name = format!("Room report: {whose}, {}", say::day(&report.now.audit.date));
    let body = html! {
        body {
            main {
                (title(report, &place))
                (contents(&sections))
                @for section in &sections {
                    section id=(section.id) aria-labelledby={ (section.id) "-heading" } {
                        h2 id={ (section.id) "-heading" } { (section.heading) }
                        (section.body)
                    }
                }
            }
            footer {
                p { (format!("Made on {} with stillroom {}.", say::day(report.made_on), printable(report.version))) }
            }
        }
    };
    document(&name, &[STYLE], speaker, &body)
}

fn title(report: &CaseReport<'_>, place: &str) -> Markup {
    let audit = report.now.audit;
    html! {
        header {
            p.kicker { "Room report" }
            h1 { (place) }
            dl.facts {
                @if let Some(alias) = report.alias {
                    div { dt { "For" } dd { (printable(alias)) @if let Some(age) = &report.age { ", " (printable(age)) } } }
                }
                @if let Some(task) = report.task { div { dt { "Task" } dd { (printable(task)) } } }
                div { dt { "Audited" } dd { (say::day(&audit.date)) } }
                div { dt { "By" } dd { (printable(&audit.by)) } }
                div { dt { "Checklist" } dd { (printable(&audit.checklist)) } }
            }
            p.aim { "This measures the room, not the child." }
        }
    }
}

fn contents(sections: &[Section]) -> Markup {
    html! {
        nav aria-label="Contents" {
            ul { @for section in sections { li { a href={ "#" (section.id) } { (section.heading) } } } }
        }
    }
}

/// A figure that is not there.
pub(crate) fn missing(words: &str) -> Markup {
    html! { p.missing { (words) } }
}

/// Tables up to this length are kept on one sheet of paper.
const SHORT: usize = 16;

/// A table whose rows turn into small blocks on a telephone, each cell behind its heading's name. Roles are written
/// out, because a browser forgets that a table is one when it is laid out as blocks.
pub(crate) fn table(caption: &str, heads: &[&str], rows: &[Vec<Markup>]) -> Markup {
    let short = if rows.len() <= SHORT { "short " } else { "" };
    let kind = format!("{short}{}", if heads.len() == 2 { "pair" } else { "many" });
    html! {
        table role="table" class=(kind) {
            caption { (caption) }
            thead role="rowgroup" { tr role="row" { @for head in heads { th scope="col" role="columnheader" { (head) } } } }
            tbody role="rowgroup" {
                @for row in rows {
                    tr role="row" {
                        @for (k, (cell, head)) in row.iter().zip(heads).enumerate() {
                            @if k == 0 { th scope="row" role="rowheader" { (cell) } }
                            @else { td role="cell" class=[(cell.0 == "–").then_some("none")] data-head=(head) { (cell) } }
                        }
                    }
                }
            }
        }
    }
}
