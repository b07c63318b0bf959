//! The ladder: the staircase, today's rung first, every rung as a card, what is a draft said plainly; planning and signing.

use maud::{Markup, html};

use super::answer::Answer;
use super::asked::Asked;
use super::desk::Desk;
use super::form::{Form, Refused, Wrong};
use super::frame;
use super::papers::{no_case, refuse};
use crate::case::Case;
use crate::contract::{LadderBody, RungDoc};
use crate::language::{Said, Speaker};
use crate::report::chart;
use crate::tasks::course::Course;
use crate::tasks::{LadderRequest, Refusal, ladders, sessions};
use crate::words::id_in_words;

/// The ladders of a case: each place's plan in force.
pub(super) fn show(desk: &Desk, refused: Option<Refused<'_>>) -> Answer {
    let speaker = desk.speaker();
    let Some(folder) = desk.case() else { return no_case(desk) };
    let read = Case::open(&folder).map_err(Refusal::from).and_then(Course::read);
    let (course, likely) = match read.and_then(|course| Ok((course, sessions::likely(&folder, desk.today())?))) {
        Ok(found) => found,
        Err(refusal) => return refuse(desk, &refusal),
    };
    let shown = in_force(&course.ladders, likely.place.as_deref());
    let told = desk.told();
    let body = html! {
        @if !told.is_empty() { div.note role="status" { @for one in &told { p { (one) } } } }
        @match shown {
            Some((id, ladder)) => {
                (plan(&speaker, ladder, likely.rung))
                @if ladder.signed_by.is_none() { (sign(&speaker, id, &ladder.place, refused)) }
                @if let Some((id, draft)) = draft_beside(&course.ladders, id) {
                    section.card { h2 { (speaker.say("ladder-draft-beside")) } ul { @for change in &draft.changed { li { (change) } } } (sign(&speaker, id, &draft.place, refused)) }
                }
            }
            None => p { (speaker.say("home-no-ladder")) },
        }
        @let form = Form::new(&speaker, refused, "/ladder/plan");
        details open[shown.is_none() || form.is_refused()] {
            summary { (speaker.say("ladder-plan")) }
            p { (speaker.say("ladder-plan-help")) }
            form method="post" action="/ladder/plan" {
                (form.top())
                (form.text("place", "field-place", likely.place.as_deref().unwrap_or_default(), None))
                (form.text("task", "field-task", likely.task.as_deref().unwrap_or_default(), None))
                (frame::send(&speaker, "ladder-plan-it"))
            }
        }
    };
    let page = frame::page(&speaker, "/practice", &speaker.say("ladder-title"), &body);
    if refused.is_some() { Answer::refusal(422, page) } else { Answer::page(page) }
}

/// Plans a draft from the audits of the case.
pub(super) fn make(asked: &Asked, desk: &Desk) -> Answer {
    done(asked, desk, |request| ladders::from_case(request, desk.now()))
}

/// Signs a draft.
pub(super) fn signed(asked: &Asked, desk: &Desk) -> Answer {
    let draft = asked.field("draft").unwrap_or_default();
    let signed = |request: &LadderRequest| {
        let planned = ladders::sign(request, draft, desk.now())?;
        // Names of records are the terminal's matter; whatever else is said stays.
        let said =
            planned.said.into_iter().filter(|line| !line.starts_with("Stored as") && !line.starts_with("changed:"));
        Ok(ladders::Planned {
            said: std::iter::once(desk.speaker().say("ladder-signed")).chain(said).collect(),
            ..planned
        })
    };
    done(asked, desk, signed)
}

fn done(asked: &Asked, desk: &Desk, work: impl FnOnce(&LadderRequest) -> Result<ladders::Planned, Refusal>) -> Answer {
    let Some(case) = desk.case() else { return no_case(desk) };
    let words = |name: &str| asked.field(name).map(ToOwned::to_owned);
    let request = LadderRequest {
        case,
        place: words("place"),
        task: words("task"),
        by: words("by"),
        store: true,
        ..LadderRequest::default()
    };
    match work(&request) {
        Ok(planned) => {
            desk.tell(planned.said);
            Answer::go("/ladder")
        }
        Err(refusal) => {
            let wrong = match (refusal.code.as_str(), asked.path.as_str()) {
                ("nobody-signs", _) => Wrong::about("by", refusal),
                (_, "/ladder/plan") => Wrong::about("place", refusal),
                _ => refusal.into(),
            };
            show(desk, Some((asked, &[wrong])))
        }
    }
}

/// The plan that holds: the newest signed one of the place that is practised, else the newest.
fn in_force<'a>(ladders: &'a [(String, LadderBody)], place: Option<&str>) -> Option<&'a (String, LadderBody)> {
    let there = |one: &&(String, LadderBody)| place.is_none_or(|place| one.1.place == place);
    let signed = |one: &&(String, LadderBody)| one.1.signed_by.is_some();
    ladders.iter().filter(there).rfind(signed).or_else(|| ladders.iter().rfind(there)).or(ladders.last())
}

/// A draft of the same place that came after the plan that holds.
fn draft_beside<'a>(ladders: &'a [(String, LadderBody)], held: &str) -> Option<&'a (String, LadderBody)> {
    let at = ladders.iter().position(|(id, _)| id == held)?;
    let place = &ladders.get(at)?.1.place;
    ladders.get(at + 1..)?.iter().rfind(|(_, one)| one.signed_by.is_none() && one.place == *place)
}

fn plan(speaker: &Speaker, ladder: &LadderBody, here: u32) -> Markup {
    let doc = &ladder.plan;
    let today = doc.rungs.iter().find(|rung| rung.number == here);
    html! {
        p.quiet { (ladder.place) @if let Some(task) = &ladder.task { ", " (task) } }
        @match &ladder.signed_by {
            Some(by) => p { (speaker.say_with("home-ladder", &[("rungs", Said::Words(doc.rungs.len().to_string())), ("by", by.as_str().into())])) },
            None => p.note { strong { (speaker.say_with("home-ladder-draft", &[("rungs", Said::Words(doc.rungs.len().to_string()))])) } " " (speaker.say("ladder-draft-wait")) },
        }
        @if !doc.never.is_empty() { p.keep { strong { (speaker.say("ladder-never")) ": " } (doc.never.join(", ")) } }
        @match today {
            Some(rung) => { h2 { (speaker.say("ladder-today")) } (card(speaker, rung)) }
            None if here == 0 => section.card { h2 { (speaker.say("ladder-today")) } p { (speaker.say("ladder-cleared")) } },
            None => {}
        }
        h2 { (speaker.say("ladder-stair")) }
        figure.chart.scroll tabindex="0" role="group" aria-label=(speaker.say("ladder-stair")) { (frame::drawn(&chart::ladder_svg(doc, Some(here)))) }
        p.small { (speaker.say("page-convention")) }
        @if !doc.obstacles.is_empty() {
            h2 { (speaker.say("ladder-large")) }
            ul { @for one in &doc.obstacles { li { (id_in_words(&one.id)) ": " (one.probe) } } }
        }
        h2 { (speaker.say("ladder-all")) }
        @for rung in doc.rungs.iter().filter(|rung| rung.number != here) {
            details.rung { summary { (speaker.say_with("rung-number", &[("number", rung.number.to_string().into())])) ": " (name(rung)) } (card(speaker, rung)) }
        }
        @if !doc.cautions.is_empty() { h2 { (speaker.say("visitor-mind")) } ul { @for one in &doc.cautions { li { (one.text) } } } }
    }
}

/// What a rung raises, and to where.
fn name(rung: &RungDoc) -> String {
    rung.card
        .as_ref()
        .map_or_else(|| id_in_words(&rung.distractor), |card| format!("{}: {}", card.name, card.level_name))
}

fn card(speaker: &Speaker, rung: &RungDoc) -> Markup {
    let row = |label: &str, text: &str| html! { div { dt { (speaker.say(label)) } dd { (text) } } };
    let card = rung.card.as_ref();
    html! {
        article.card {
            h3 { (speaker.say_with("rung-number", &[("number", rung.number.to_string().into())])) ": " (name(rung)) }
            p.quiet { (speaker.say_with("ladder-load", &[
                ("load", Said::Words(speaker.number(rung.load, 0))), ("step", Said::Words(speaker.number(rung.step, 2)))])) }
            dl.rows {
                @if let Some(card) = card.filter(|card| !card.already_on.is_empty()) { (row("ladder-already", &card.already_on.join("; "))) }
                (row("ladder-set-up", card.map_or(&rung.set_up, |card| &card.set_up)))
                @if let Some(other) = card.and_then(|card| card.otherwise.as_ref()) { (row("ladder-else", other)) }
                (row("ladder-check", &rung.check))
                @if !rung.exemplars.is_empty() { (row("ladder-rotate", &rung.exemplars.join("; "))) }
                (row("ladder-practise", &speaker.say_with("ladder-minutes", &[("minutes", Said::Words(speaker.number(rung.minutes, 0))), ("tries", rung.trials.to_string().into())])))
                @if let Some(card) = card { (row("ladder-present", &card.present)) }
                (row("ladder-up", &rung.mastery))
                (row("ladder-back", &rung.step_back))
                @if let Some(card) = card { (row("ladder-stop", &card.stop)) }
            }
            @if card.is_some_and(|card| card.target.level_db.is_some()) {
                p { a.button.second href={ "/meter?rung=" (rung.number) } { (speaker.say("ladder-to-meter")) } }
            }
        }
    }
}

fn sign(speaker: &Speaker, id: &str, place: &str, refused: Option<Refused<'_>>) -> Markup {
    let form = Form::new(speaker, refused.filter(|(asked, _)| asked.field("draft") == Some(id)), "/ladder/sign");
    html! {
        form method="post" action="/ladder/sign" {
            input type="hidden" name="draft" value=(id);
            input type="hidden" name="place" value=(place);
            (form.top())
            (form.text("by", "ladder-signs", "", Some("decide-by-help")))
            (frame::send(speaker, "ladder-sign-it"))
        }
    }
}
