//! The room itself: what was found, what to move first, what changed, what makes the load.

use maud::{Markup, html};

use super::chart::{Bar, Bars, Fill, Layout, figure};
use super::page::{missing, table};
use super::{CaseReport, say};
use crate::contract::{AuditDoc, CompareDoc, ShareDoc};
use crate::language::Speaker;
use crate::words::{Channel, Surface, printable};

/// Rows of the comparison shown: below that a change is smaller than the figures can tell.
const LEAST_CHANGE: f64 = 0.005;

/// What was found, in one sentence, with the load and its doubt.
pub(crate) fn found(report: &CaseReport<'_>, speaker: &Speaker) -> Markup {
    let audit = report.now.audit;
    let zones = zones(report);
    html! {
        div.finding {
            p.figure { span.number { (say::whole(audit.load)) } span.of { "of 100" } }
            p.lead { (sentence(report)) }
        }
        (figure("load", &html! { (format!("The bar is the load, the thin line below it its 90\u{a0}% interval: in nine of ten draws of \
            the doubt in scale and answers the load lies between {} and {}.", say::whole(audit.load_low), say::whole(audit.load_high))) },
            |id, layout| bars(speaker, "The load of the place", load_desc(audit), &zones, vec![load_bar(audit, "")], id, layout)))
        p.note { "The load is a convention of this tool, not a validated scale. It says how strongly a room draws \
            on attention, from 0 to 100, so that one room can be compared with itself. "
            "A room need not be bare: calm enough for this task is the aim." }
    }
}

fn sentence(report: &CaseReport<'_>) -> String {
    let audit = report.now.audit;
    let largest: Vec<String> =
        audit.shares.iter().filter(|share| share.share > 0.0).take(3).map(|share| report.name(&share.id)).collect();
    let together: f64 = audit.shares.iter().take(largest.len()).map(|share| share.share).sum();
    let source = if largest.is_empty() {
        "Nothing that was asked about or measured draws on attention.".to_owned()
    } else {
        format!("{} of it comes from {}.", say::percent(together), say::list(&largest))
    };
    format!(
        "On {} the load here was {}: {} on a line from 0 to 100, between {} and {}. {source}",
        say::day(&audit.date),
        printable(&audit.grade),
        say::whole(audit.load),
        say::whole(audit.load_low),
        say::whole(audit.load_high)
    )
}

fn load_desc(audit: &AuditDoc) -> String {
    format!(
        "Load {} of 100, in words {}, with a 90 % interval from {} to {}.",
        say::whole(audit.load),
        printable(&audit.grade),
        say::whole(audit.load_low),
        say::whole(audit.load_high)
    )
}

fn load_bar(audit: &AuditDoc, label: &str) -> Bar {
    Bar {
        label: label.to_owned(),
        value: audit.load,
        figure: format!("{} ({})", say::whole(audit.load), printable(&audit.grade)),
        interval: Some((audit.load_low, audit.load_high)),
        before: None,
        fill: Fill::Solid,
    }
}

fn zones(report: &CaseReport<'_>) -> [(f64, &'static str); 4] {
    let [still, gentle, lively] = report.grades;
    [(still, "still"), (gentle, "gentle"), (lively, "lively"), (100.0, "full")]
}

/// What stands in the drawing is said in the language before it is laid out, so that it fits.
fn bars(
    speaker: &Speaker,
    title: &str,
    desc: String,
    zones: &[(f64, &str)],
    mut rows: Vec<Bar>,
    id: &str,
    layout: Layout,
) -> Markup {
    for row in &mut rows {
        row.label = speaker.retell(&row.label);
        row.figure = speaker.retell(&row.figure);
    }
    let words: Vec<String> = zones.iter().map(|(_, word)| speaker.retell(word)).collect();
    let zones: Vec<(f64, &str)> = zones.iter().zip(&words).map(|((end, _), word)| (*end, word.as_str())).collect();
    Bars { title, desc, end: 100.0, axis: "load", zones: &zones, rows }.draw(id, layout)
}

/// What to move first, how long it takes, and what must stay.
pub(crate) fn first(report: &CaseReport<'_>) -> Markup {
    let audit = report.now.audit;
    let moves = &audit.first_moves;
    let share = |id: &str| audit.shares.iter().find(|share| share.id == id);
    html! {
        @if let Some(way) = report.better_elsewhere() { p.lead { (super::where_when::before_tidying(way)) } }
        @if moves.ids.is_empty() {
            p { (format!("Nothing can be moved within {} that would lower the load.", say::minutes(moves.minutes))) }
        } @else {
            p { (format!("The best use of the next {}, in this order:", say::minutes(moves.minutes))) }
            ol.moves {
                @for id in &moves.ids {
                    li {
                        strong { (say::capital(&report.name(id))) }
                        @if let Some(minutes) = share(id).and_then(|share| share.minutes) { " " span.minutes { (say::minutes(minutes)) } }
                        @if let Some(remedy) = share(id).and_then(|share| share.remedy.as_deref()) { br; (remedy) }
                    }
                }
            }
            p { (format!("The load would then be about {} instead of {}, an expectation until the room is audited again.",
                say::whole(moves.load_after), say::whole(audit.load))) }
        }
        @if audit.keep.is_empty() {
            p.note { "What must stay in reach was not noted. A way of talking, a picture schedule, comfort or \
                fidget things, glasses, hearing aids and ear defenders always stay." }
        } @else {
            @let keep: Vec<String> = audit.keep.iter().map(|keep| printable(keep)).collect();
            p.keep { (format!("What stays in reach: {}. It is not counted and never put away for a task.", say::list(&keep))) }
        }
    }
}

/// Two audits of the place, side by side.
pub(crate) fn change(report: &CaseReport<'_>, speaker: &Speaker) -> Markup {
    let now = report.now.audit;
    let zones = zones(report);
    html! {
        @if let Some(before) = report.before.as_ref().map(|view| view.audit) {
            @let caption = html! { (format!("Outline: {}. Solid: {}. Thin lines: 90\u{a0}% intervals.", say::day(&before.date), say::day(&now.date))) };
            (figure("change", &caption, |id, layout| {
                let first = Bar { fill: Fill::Hollow, ..load_bar(before, &format!("Before, {}", say::day(&before.date))) };
                let rows = vec![first, load_bar(now, &format!("Now, {}", say::day(&now.date)))];
                let desc = format!("Before: {} Now: {}", load_desc(before), load_desc(now));
                bars(speaker, "The load before and now", desc, &zones, rows, id, layout)
            }))
        }
        @match report.compare {
            Some(compare) => (compared(report, compare)),
            None => (missing("Whether the difference is larger than the doubt was not worked out.")),
        }
    }
}

fn compared(report: &CaseReport<'_>, compare: &CompareDoc) -> Markup {
    let mut items: Vec<_> =
        compare.items.iter().filter(|item| (item.after - item.before).abs() >= LEAST_CHANGE).collect();
    items.sort_by(|a, b| (b.after - b.before).abs().total_cmp(&(a.after - a.before).abs()));
    let rows: Vec<Vec<Markup>> = items
        .iter()
        .map(|item| {
            vec![
                html! { (say::capital(&report.name(&item.id))) },
                html! { (say::fixed(item.before, 2)) },
                html! { (say::fixed(item.after, 2)) },
                html! { (say::signed(item.after - item.before, 2)) },
            ]
        })
        .collect();
    let verdict = match compare.verdict.as_str() {
        "calmer" => "The room is calmer",
        "busier" => "The room is busier",
        "no clear change" => "No clear change",
        other => other,
    };
    html! {
        p { strong { (printable(verdict)) } ". "
            (format!("The load went from {} to {}, a difference of {} (95\u{a0}% interval {} to {}).",
                say::whole(compare.load_before), say::whole(compare.load_after), say::signed(compare.difference, 0),
                say::signed(compare.low, 0), say::signed(compare.high, 0))) " "
            @if compare.verdict == "no clear change" { "The interval includes 0, so the two audits cannot be told \
                apart." }
            @else { "The interval does not include 0. This is a change of the room; what it means for the child \
                only practice can show." } }
        @if rows.is_empty() {
            p { "No single distractor changed by more than the figures can tell." }
        } @else {
            (table("What changed, in pull, the largest change \
                first", &["Distractor", "Before", "Now", "Change"], &rows))
        }
    }
}

/// Where the load comes from: by channel, by surface, by distractor.
pub(crate) fn load(report: &CaseReport<'_>, speaker: &Speaker) -> Markup {
    let audit = report.now.audit;
    let before = report.before.as_ref().map(|view| view.audit);
    let outline = if before.is_some() { " The outline below a bar is the audit before." } else { "" };
    html! {
        h3 { "By channel" }
        (figure("channels", &html! { "The load each channel would make alone, without the child's sensitivities. \
            Solid: seen; slanted lines: heard; dots: company."
            (outline) (format!(" Loads do not add, pulls do: {}.", pulls(audit))) },
            |id, layout| bars(speaker, "Load by channel", channel_desc(audit), &[], channel_rows(audit, before), id, layout)))
        h3 { "By surface" }
        @if audit.surfaces.is_empty() {
            (missing("Not measured: no surface was scored."))
        } @else {
            (figure("surfaces", &html! { "The load that the checklist's answers on each surface would make \
                alone." (outline) },
                |id, layout| bars(speaker, "Load by surface", surface_desc(audit), &[], surface_rows(audit, before), id, layout)))
        }
        h3 { "Who carries the load" }
        @if audit.shares.is_empty() {
            (missing("Not measured: no distractor has a share."))
        } @else {
            (shares(report, audit))
            p.note { "The shares are exact, because pulls add. The chance says how often a distractor came out as \
                the largest when the doubt in scale and answers was drawn anew." }
        }
    }
}

fn channels(audit: &AuditDoc) -> [(Channel, f64); 3] {
    let channels = &audit.channels;
    [
        (Channel::Seen, channels.seen.pull),
        (Channel::Heard, channels.heard.pull),
        (Channel::Company, channels.company.pull),
    ]
}

fn pulls(audit: &AuditDoc) -> String {
    say::list(&channels(audit).map(|(channel, pull)| format!("{channel} {}", say::fixed(pull, 2))))
}

fn alone(pull: f64) -> f64 {
    -100.0 * libm::expm1(-pull)
}

fn channel_rows(audit: &AuditDoc, before: Option<&AuditDoc>) -> Vec<Bar> {
    channels(audit)
        .into_iter()
        .zip(before.map_or([None; 3], |before| channels(before).map(|(_, pull)| Some(alone(pull)))))
        .map(|((channel, pull), before)| row(say::capital(channel.word()), alone(pull), before, Fill::of(channel)))
        .collect()
}

fn row(label: String, value: f64, before: Option<f64>, fill: Fill) -> Bar {
    let figure = before
        .map_or_else(|| say::whole(value), |before| format!("{} (was {})", say::whole(value), say::whole(before)));
    Bar { label, value, figure, interval: None, before, fill }
}

fn surface_name(surface: &str) -> String {
    match Surface::from_word(surface) {
        Some(Surface::Table) => "Table".to_owned(),
        Some(Surface::Floor) => "Floor".to_owned(),
        Some(Surface::Wall) => "Walls, shelves, windows".to_owned(),
        Some(Surface::Air) => "In the air".to_owned(),
        Some(Surface::Company) => "Company".to_owned(),
        None => say::capital(&printable(surface)),
    }
}

fn surface_rows(audit: &AuditDoc, before: Option<&AuditDoc>) -> Vec<Bar> {
    let was = |name: &str| {
        before
            .and_then(|before| before.surfaces.iter().find(|surface| surface.surface == name))
            .map(|surface| surface.load)
    };
    audit
        .surfaces
        .iter()
        .map(|surface| row(surface_name(&surface.surface), surface.load, was(&surface.surface), Fill::Solid))
        .collect()
}

fn channel_desc(audit: &AuditDoc) -> String {
    let parts = channels(audit).map(|(channel, pull)| format!("{channel} {}", say::whole(alone(pull))));
    format!("Load of each channel alone: {}.", say::list(&parts))
}

fn surface_desc(audit: &AuditDoc) -> String {
    let parts: Vec<String> = audit
        .surfaces
        .iter()
        .map(|surface| format!("{} {}", surface_name(&surface.surface), say::whole(surface.load)))
        .collect();
    format!("Load of each surface alone: {}.", say::list(&parts))
}

fn shares(report: &CaseReport<'_>, audit: &AuditDoc) -> Markup {
    let (drawing, silent): (Vec<&ShareDoc>, Vec<&ShareDoc>) = audit.shares.iter().partition(|share| share.share > 0.0);
    let rows: Vec<Vec<Markup>> = drawing
        .iter()
        .map(|share| {
            vec![
                html! { (say::capital(&report.name(&share.id))) },
                html! { (printable(&share.channel)) },
                html! { (say::percent(share.share)) },
                html! { (say::percent(share.chance_largest)) },
                html! { (share.remedy.as_deref().unwrap_or("nothing is known to")) },
                html! { (share.minutes.map_or_else(|| "–".to_owned(), say::short)) },
            ]
        })
        .collect();
    let heads = [
        "Distractor",
        "Channel",
        "Share of the load",
        "Chance that it is the largest",
        "What takes it away",
        "Minutes",
    ];
    let silent: Vec<String> = silent.iter().map(|share| report.name(&share.id)).collect();
    html! {
        (table("Who carries how much of the load", &heads, &rows))
        @if !silent.is_empty() { p { (format!("Asked about, and drawing nothing: {}.", say::list(&silent))) } }
    }
}
