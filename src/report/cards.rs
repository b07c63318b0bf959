//! A ladder as cards to print, two to an A4 page: first what to mind, then every rung, then what comes after the top.

use maud::{Markup, html};

use super::frame::document;
use super::say;
use crate::contract::{BeyondDoc, CardDoc, LadderDoc, RungDoc, RungTargetDoc};
use crate::language::Speaker;
use crate::words::{id_in_words, printable};

/// What the cards are printed from.
#[derive(Clone, Debug)]
pub struct Cards<'a> {
    /// The child's alias; `None` for a plan that belongs to no case.
    pub alias: Option<&'a str>,
    /// The place.
    pub place: Option<&'a str>,
    /// The task.
    pub task: Option<&'a str>,
    /// The day they were made, `2025-03-02`.
    pub made_on: &'a str,
    /// The clinician who signed the plan; without one it is a draft.
    pub signed_by: Option<&'a str>,
    /// The plan.
    pub ladder: &'a LadderDoc,
}

const STYLE: &str = include_str!("cards.css");
/// Names told on one line; what is more is counted.
const NAMES: usize = 9;

/// The cards as one HTML page without a script or an outside address.
pub fn cards(cards: &Cards<'_>, speaker: &Speaker) -> String {
    let ladder = cards.ladder;
    let rungs: Vec<Markup> = ladder.rungs.iter().map(|rung| card(cards, rung)).collect();
    let mut after: Vec<Markup> = ladder.beyond.iter().map(|one| beyond(cards, one)).collect();
    if !ladder.maintenance.is_empty() {
        after.push(maintenance(cards));
    }
    let all: Vec<Markup> = rungs.into_iter().chain(after).collect();
    let title =
        cards.place.map_or_else(|| "Rung cards".to_owned(), |place| format!("Rung cards: {}", printable(place)));
    let body = html! {
        body {
            main {
                (first(cards))
                @for pair in all.chunks(2) { div.sheet { @for card in pair { (card) } } }
            }
        }
    };
    document(&title, &[STYLE], speaker, &body)
}

/// Whether it may be used: signed, or a draft.
fn state(cards: &Cards<'_>) -> String {
    cards.signed_by.map_or_else(|| "draft, not signed".to_owned(), |who| format!("signed by {}", printable(who)))
}

fn whose(cards: &Cards<'_>) -> String {
    let parts = [cards.alias, cards.place, cards.task].into_iter().flatten().map(printable);
    parts.chain([say::day(cards.made_on), state(cards)]).collect::<Vec<_>>().join(" · ")
}

/// The first sheet: whose it is, what is never used, what to mind.
fn first(cards: &Cards<'_>) -> Markup {
    let ladder = cards.ladder;
    html! {
        div.sheet.first {
            h1 { "Rung cards" }
            p.whose { (whose(cards)) }
            @if cards.signed_by.is_none() {
                p.draft { strong { "Draft." } " Nobody has signed this plan: do not begin before the clinician who answers for it has read, changed and signed it." }
            }
            p { (format!("{}, from a load of {} to {}. Load is a convention of this tool, not a validated scale.",
                say::count(ladder.rungs.len(), "rung", "rungs"), say::whole(ladder.start_load), say::whole(ladder.goal_load))) }
            @if let Some(kept) = ladder.kept_to { p { (format!("Rungs 1 to {kept} were climbed on an earlier plan and are kept.")) } }
            @if !ladder.never.is_empty() { p.never { strong { "Never: " } (listed(&ladder.never)) "." } }
            h2 { "Mind on every rung" }
            ul { @for caution in ladder.cautions.iter().filter(|caution| caution.code != "load-is-convention") { li { (caution.text) } } }
            p.tools { "Two cards to a page; cut them apart. Tick a card when both passing sittings are done." }
        }
    }
}

fn card(cards: &Cards<'_>, rung: &RungDoc) -> Markup {
    let Some(told) = &rung.card else { return bare(cards, rung) };
    html! {
        article.card {
            header {
                h2 { (format!("Rung {}: {}", rung.number, say::capital(&printable(&told.name)))) }
                p.level { (printable(&told.level_name)) }
                p.figures { (format!("{} · load {} ({}) · step {}", told.channel, say::whole(rung.load), say::signed(rung.rise, 1), say::fixed(rung.step, 2))) }
            }
            dl {
                dt { "Already on" } dd { @if told.already_on.is_empty() { "Nothing." } @else { (listed(&told.already_on)) "." } }
                dt { "Set up" } dd { (told.set_up) }
                dt { "Time, people" } dd { (time_and_people(told)) }
                @if let Some(otherwise) = &told.otherwise { dt { "Else" } dd { (otherwise) } }
                dt { "Check" } dd { (check(rung, &told.target)) }
                dt { "Rotate" } dd { (listed(&rung.exemplars)) "." @if !cards.ladder.never.is_empty() { " Never: " (listed(&cards.ladder.never)) "." } }
                dt { "Practise" } dd { (format!("{}, {}.", say::minutes(rung.minutes), say::count(rung.trials as usize, "opportunity", "opportunities"))) }
                dt { "Present" } dd { (told.present) }
                dt { "Go up" } dd { (rung.mastery) }
                dt { "Step back" } dd { (rung.step_back) }
                dt { "Stop for today" } dd { (told.stop) }
            }
            (foot(cards))
        }
    }
}

/// A rung of a plan stored before cards were told.
fn bare(cards: &Cards<'_>, rung: &RungDoc) -> Markup {
    html! {
        article.card {
            header { h2 { (format!("Rung {}: {}", rung.number, say::capital(&printable(&id_in_words(&rung.distractor))))) } }
            dl {
                dt { "Set up" } dd { (rung.set_up) }
                dt { "Check" } dd { (rung.check) }
                dt { "Rotate" } dd { (listed(&rung.exemplars)) "." }
                dt { "Practise" } dd { (format!("{}, {}.", say::minutes(rung.minutes), say::count(rung.trials as usize, "opportunity", "opportunities"))) }
                dt { "Go up" } dd { (rung.mastery) }
                dt { "Step back" } dd { (rung.step_back) }
            }
            (foot(cards))
        }
    }
}

fn beyond(cards: &Cards<'_>, one: &BeyondDoc) -> Markup {
    html! {
        article.card {
            header {
                h2 { (format!("Rung {}: {}", one.number, say::capital(&one.what))) }
                p.level { "after the top" }
            }
            dl {
                dt { "Set up" } dd { (one.set_up) }
                dt { "Check" } dd { (one.check) }
                dt { "Go up" } dd { (one.mastery) }
                dt { "Step back" } dd { (one.step_back) }
            }
            (foot(cards))
        }
    }
}

fn maintenance(cards: &Cards<'_>) -> Markup {
    html! {
        article.card {
            header {
                h2 { "Does it last?" }
                p.level { "probes of the top rung" }
            }
            dl.probes {
                @for probe in &cards.ladder.maintenance {
                    dt { span.box {} (say::count(probe.weeks as usize, "week", "weeks")) }
                    dd { (probe.text) }
                }
            }
            (foot(cards))
        }
    }
}

fn foot(cards: &Cards<'_>) -> Markup {
    html! {
        footer {
            span { (whose(cards)) }
            span.ticks { "passed on " span.line {} " and " span.line {} }
        }
    }
}

fn time_and_people(card: &CardDoc) -> String {
    let minutes = card.set_up_minutes.filter(|minutes| *minutes > 0.0);
    let minutes =
        minutes.map_or_else(|| "No time to speak of".to_owned(), |minutes| format!("About {}", say::minutes(minutes)));
    match card.people {
        0 => format!("{minutes}; one adult is enough."),
        1 => format!("{minutes}; one more person, asked today."),
        people => format!("{minutes}; {people} more people, each asked today."),
    }
}

/// The figures first, then the sentence.
fn check(rung: &RungDoc, target: &RungTargetDoc) -> Markup {
    let mut figures = Vec::new();
    if let Some(level) = target.level_db {
        figures.push(format!("{} dB with everything on", say::whole(level)));
    }
    if let Some(alone) = target.alone_db {
        figures.push(format!("{} dB this alone", say::whole(alone)));
    }
    if let Some(count) = target.count {
        figures.push(format!("{count} in view"));
    }
    if let Some(metres) = target.distance_m {
        figures.push(format!("{} m away", say::fixed(metres, 1)));
    }
    html! { @if !figures.is_empty() { strong { (figures.join(", ")) ". " } } (rung.check) }
}

fn listed(names: &[String]) -> String {
    let mut shown: Vec<String> = names.iter().take(NAMES).map(|name| printable(name)).collect();
    if names.len() > NAMES {
        shown.push(format!("{} more", names.len() - NAMES));
    }
    shown.join("; ")
}
