//! The ladder: the staircase, every rung in a table, and cards for the rungs that come next.

use maud::{Markup, html};

use super::chart::{Stair, Tread, figure};
use super::page::{missing, table};
use super::{CaseReport, say};
use crate::contract::{LadderDoc, RungDoc};
use crate::language::Speaker;
use crate::words::printable;

/// Cards shown: what a family can prepare for.
const CARDS: usize = 3;

/// The section.
pub(crate) fn section(report: &CaseReport<'_>, speaker: &Speaker) -> Markup {
    let Some(ladder) = report.ladder else {
        return missing("Not planned yet: there is no ladder in this case.");
    };
    html! {
        (signed(report))
        p { (format!("The ladder leads from the cleared room (load {}) to the room to cope with (load {}). Each rung adds \
            exactly one thing by one level. Its step is measured in pull; the largest is {}.",
            say::whole(ladder.start_load), say::whole(ladder.goal_load), say::fixed(ladder.largest_step, 2))) " " (best(ladder)) }
        @if ladder.rungs.is_empty() {
            p { "There is nothing to add: the cleared room is already the room to cope with." }
        } @else {
            (figure("ladder-chart", &html! { "Pale: the load that was there before. Filled: what the rung adds \
                (solid: seen; slanted lines: heard; dots: company). The small figures are the steps in pull. \
                Dashed lines mark where a channel begins." },
                |id, layout| {
                    let treads = treads(report, ladder, speaker);
                    Stair { start: ladder.start_load, treads: &treads, here: report.current_rung(), paper: false }.draw(id, layout)
                }))
            (cards(report, ladder))
            h3 { "Every rung" }
            (rungs(report, ladder))
            p.quiet { (format!("Sum of the loads over the rungs: {}.", say::whole(ladder.sum_of_loads))) }
        }
        @if !ladder.obstacles.is_empty() {
            h3 { "Steps that stay larger than wished" }
            ul {
                @for obstacle in &ladder.obstacles {
                    li {
                        strong { (say::capital(&report.name(&obstacle.id))) }
                        @if let Some(level) = &obstacle.level_name { ", " (printable(level)) }
                        (format!(", step {}:", say::fixed(obstacle.step, 2))) " " (obstacle.probe)
                    }
                }
            }
        }
        p.note { "Ear defenders are always allowed. Brothers, sisters and adults are asked each time, and a no \
            skips the rung, without blame. The child may leave at any time." }
    }
}

fn signed(report: &CaseReport<'_>) -> Markup {
    html! {
        @match report.ladder_signed_by {
            Some(who) => p { (format!("Signed by {}.", printable(who))) },
            None => div.unsigned {
                p { strong { "Not signed yet." } " This is a draft until the clinician who answers for it has \
                    signed." }
                p.sign { span { "Clinician" } span { "Date" } }
            },
        }
    }
}

fn best(ladder: &LadderDoc) -> String {
    if ladder.optimal {
        "No order of the same things has a smaller largest step, and among those none keeps the room calmer for \
            longer: this is proven."
            .to_owned()
    } else {
        format!(
            "The search had to be bounded, so the plan is not proven to be the best: neither its largest step nor \
                its sum of loads can be bettered by more than {}.",
            say::percent(ladder.gap)
        )
    }
}

fn treads(report: &CaseReport<'_>, ladder: &LadderDoc, speaker: &Speaker) -> Vec<Tread> {
    ladder
        .rungs
        .iter()
        .map(|rung| Tread {
            number: rung.number,
            name: speaker.retell(&added(report, rung)),
            channel: report.channels.get(&rung.distractor).copied(),
            load: rung.load,
            step: rung.step,
        })
        .collect()
}

/// What a rung adds: the thing and its level.
fn added(report: &CaseReport<'_>, rung: &RungDoc) -> String {
    format!("{}: {}", say::capital(&report.name(&rung.distractor)), report.level(&rung.distractor, &rung.level))
}

fn rungs(report: &CaseReport<'_>, ladder: &LadderDoc) -> Markup {
    let here = report.current_rung();
    let rows: Vec<Vec<Markup>> = ladder
        .rungs
        .iter()
        .map(|rung| {
            vec![
                html! { (rung.number) ". " (added(report, rung)) @if here == Some(rung.number) { " (now)" } },
                html! { (report.channels.get(&rung.distractor).map_or("–", |channel| channel.word())) },
                html! { (say::fixed(rung.load, 1)) },
                html! { (say::signed(rung.rise, 1)) },
                html! { (say::fixed(rung.step, 2)) },
            ]
        })
        .collect();
    table(
        "The rungs from the cleared room up",
        &["Rung and what it adds", "Channel", "Load", "Rise", "Step (pull)"],
        &rows,
    )
}

/// The rungs that come next, by the review's decision.
fn next_rungs<'l>(report: &CaseReport<'_>, ladder: &'l LadderDoc) -> &'l [RungDoc] {
    let first = match (report.current_rung(), report.review.map(|review| review.decision.as_str())) {
        (None, _) => 1,
        (Some(rung), Some("advance")) => rung.saturating_add(1),
        (Some(rung), Some("step-back")) => rung.saturating_sub(1).max(1),
        (Some(rung), _) => rung.max(1),
    };
    let start = ladder.rungs.iter().position(|rung| rung.number >= first).unwrap_or(ladder.rungs.len());
    let end = (start + CARDS).min(ladder.rungs.len());
    &ladder.rungs[start..end]
}

fn cards(report: &CaseReport<'_>, ladder: &LadderDoc) -> Markup {
    let next = next_rungs(report, ladder);
    let paused = report.review.is_some_and(|review| review.decision == "pause");
    html! {
        @if paused {
            p { "Practice is paused, so no card is shown: the clinician decides what comes next." }
        } @else if next.is_empty() {
            p { "The last rung is passed. What remains is to keep it: try it in other places and with other \
                people, and probe it after one, two, four and eight weeks." }
        } @else {
            h3 { (["", "The next rung", "The next two rungs", "The next three rungs"].get(next.len()).copied().unwrap_or("")) }
            @if report.current_rung().is_none() {
                p { "First the task is mastered in the cleared room, rung 0. Then:" }
            }
            @for rung in next { (card(report, ladder, rung)) }
        }
    }
}

fn card(report: &CaseReport<'_>, ladder: &LadderDoc, rung: &RungDoc) -> Markup {
    let on = already_on(report, ladder, rung);
    html! {
        article.card aria-labelledby={ "rung-" (rung.number) } {
            h4 id={ "rung-" (rung.number) } { (format!("Rung {}: {}", rung.number, added(report, rung))) }
            p.quiet { (format!("Load {}, step {} in pull. {}, {}.", say::whole(rung.load), say::fixed(rung.step, 2),
                say::minutes(rung.minutes), say::count(rung.trials as usize, "opportunity", "opportunities"))) }
            dl {
                @if !on.is_empty() { dt { "Already there" } dd { (say::list(&on)) } }
                dt { "Set up" } dd { (rung.set_up) }
                dt { "Check" } dd { (rung.check) }
                @if !rung.exemplars.is_empty() {
                    dt { "Take turns with" }
                    dd { (say::list(&rung.exemplars.iter().map(|one| printable(one)).collect::<Vec<_>>())) }
                }
                dt { "Go up" } dd { (rung.mastery) }
                dt { "Step back" } dd { (rung.step_back) }
                dt { "Stop for the day" } dd { "At any distress, and when the child wants to leave. After three \
                    errors in a row end on something easy that goes well, then stop." }
            }
        }
    }
}

/// What the rung below already has, without the thing that is raised.
fn already_on(report: &CaseReport<'_>, ladder: &LadderDoc, rung: &RungDoc) -> Vec<String> {
    let below = ladder.rungs.iter().rev().find(|other| other.number < rung.number);
    let state = below.map_or(&rung.state, |below| &below.state);
    state
        .iter()
        .filter(|(id, level)| **id != rung.distractor && level.as_u64() != Some(0))
        .map(|(id, level)| format!("{} ({})", report.name(id), report.level(id, level)))
        .collect()
}
