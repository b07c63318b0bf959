//! Before against after: two audits of a place compared.

use maud::{Markup, html};

use super::answer::Answer;
use super::asked::Asked;
use super::desk::Desk;
use super::papers::{no_case, refuse};
use super::{frame, home};
use crate::case::{Case, Stored};
use crate::contract::{AuditBody, CompareDoc};
use crate::language::{Said, Speaker};
use crate::tasks::{Refusal, audits};
use crate::words::id_in_words;

/// Items shown as having changed most.
const MOST: usize = 10;
/// A pull that is not worth telling.
const NOTHING: f64 = 0.005;

/// The choice of two audits, and what lies between them.
pub(super) fn show(asked: &Asked, desk: &Desk) -> Answer {
    let speaker = desk.speaker();
    let Some(folder) = desk.case() else { return no_case(desk) };
    let all = match Case::open(&folder).map_err(Refusal::from).and_then(|case| audits::every_audit(&case)) {
        Ok(all) => all,
        Err(refusal) => return refuse(desk, &refusal),
    };
    let wanted: Vec<String> =
        ["before", "after"].iter().filter_map(|name| asked.field(name)).map(ToOwned::to_owned).collect();
    let found = match (&wanted[..], all.len()) {
        ([], 0 | 1) => None,
        _ => Some(audits::compare_in_case(&folder, &wanted, None)),
    };
    let body = html! {
        @match &found {
            None => p { (speaker.say("change-too-few")) },
            Some(Ok(doc)) => (told(&speaker, doc)),
            Some(Err(refusal)) => (frame::refused(&speaker, refusal)),
        }
        @if all.len() > 1 {
            form method="get" action="/room/change" {
                (choice(&speaker, "before", "change-before", &all, wanted.first()))
                (choice(&speaker, "after", "change-after", &all, wanted.get(1)))
                (frame::send(&speaker, "change-it"))
            }
        } @else { p { a.button href="/room" { (speaker.say("home-look")) } } }
    };
    let page = frame::page(&speaker, "/room", &speaker.say("change-title"), &body);
    if matches!(found, Some(Err(_))) { Answer::refusal(422, page) } else { Answer::page(page) }
}

fn choice(speaker: &Speaker, name: &str, label: &str, all: &[(Stored, AuditBody)], chosen: Option<&String>) -> Markup {
    // Without a choice the last two stand ready, as the terminal takes them.
    let ready = if name == "before" { all.len().checked_sub(2) } else { all.len().checked_sub(1) };
    html! {
        fieldset {
            legend { (speaker.say(label)) }
            @for (at, (_, audit)) in all.iter().enumerate() {
                @let figures = &audit.figures;
                label.pick.tall {
                    input type="radio" name=(name) value=(figures.id) checked[chosen.map_or(ready == Some(at), |id| *id == figures.id)];
                    span { (figures.place) ", " (home::day(speaker, &figures.date)) ", " (speaker.say_with("change-load", &[("load", Said::Words(speaker.number(figures.load, 0)))])) }
                }
            }
        }
    }
}

fn told(speaker: &Speaker, doc: &CompareDoc) -> Markup {
    let number = |value: f64| Said::Words(speaker.number(value, 0));
    let verdict = match doc.verdict.as_str() {
        "calmer" => "family-calmer",
        "busier" => "family-busier",
        _ => "family-same",
    };
    let top = doc.items.iter().map(|item| item.before.max(item.after)).fold(NOTHING, f64::max);
    let bar = |pull: f64, class: &str| {
        html! { svg.share viewBox="0 0 100 8" preserveAspectRatio="none" aria-hidden="true" { rect width="100" height="8" {} rect class=(class) width=(pull / top * 100.0) height="8" {} } }
    };
    html! {
        p.lead { strong { (speaker.say(verdict)) } " "
            (speaker.say_with("found-change", &[("before", number(doc.load_before)), ("after", number(doc.load_after)), ("low", number(doc.low)), ("high", number(doc.high))])) }
        p.small { (speaker.say("page-convention")) }
        h2 { (speaker.say("change-items")) }
        ul.pairs { @for item in doc.items.iter().filter(|item| (item.before - item.after).abs() >= NOTHING).take(MOST) {
            li {
                span { (id_in_words(&item.id)) }
                span.quiet { (speaker.say("change-before")) " " (speaker.number(item.before, 2)) } (bar(item.before, "was"))
                span.quiet { (speaker.say("change-after")) " " (speaker.number(item.after, 2)) } (bar(item.after, "part"))
            }
        } }
        @if !doc.cautions.is_empty() { h2 { (speaker.say("visitor-mind")) } ul { @for one in &doc.cautions { li { (one.text) } } } }
    }
}
