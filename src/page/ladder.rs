//! The ladder: the staircase, today's rung first, every rung as a card, what is a draft said plainly; planning and signing.

use maud::{Markup, html};

use super::answer::Answer;
use super::asked::Asked;
use super::desk::Desk;
use super::frame;
use super::papers::{no_case, refuse};
use crate::case::Case;
use crate::contract::{LadderBody, RungDoc};
use crate::language::{Said, Speaker};
use crate::report::chart;
use crate::tasks::course::Course;
use crate::tasks::{LadderRequest, Refusal, ladders, sessions};

/// The ladders of a case: each place's plan in force.
pub(super) fn show(desk: &Desk, typed: Option<(&Asked, &Refusal)>) -> Answer {
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
        @if let Some((_, refusal)) = typed { (frame::refused(&speaker, refusal)) }
        @match shown {
            Some((id, ladder)) => {
                (plan(&speaker, ladder, likely.rung))
                @if ladder.signed_by.is_none() { (sign(&speaker, id, &ladder.place, typed.map(|(asked, _)| asked))) }
                @if let Some((id, draft)) = draft_beside(&course.ladders, id) {
                    section.card { h2 { (speaker.say("ladder-draft-beside")) } ul { @for change in &draft.changed { li { (change) } } } (sign(&speaker, id, &draft.place, typed.map(|(asked, _)| asked))) }
                }
            }
            None => p { (speaker.say("home-no-ladder")) },
        }
        details open[shown.is_none()] {
            summary { (speaker.say("ladder-plan")) }
            p { (speaker.say("ladder-plan-help")) }
            form method="post" action="/ladder/plan" {
                (frame::text(&speaker, "place", "field-place", typed.and_then(|(asked, _)| asked.field("place")).or(likely.place.as_deref()).unwrap_or_default(), None))
                (frame::text(&speaker, "task", "field-task", typed.and_then(|(asked, _)| asked.field("task")).or(likely.task.as_deref()).unwrap_or_default(), None))
                (frame::send(&speaker, "ladder-plan-it"))
            }
        }
    };
    let page = frame::page(&speaker, "/practice", &speaker.say("ladder-title"), &body);
    if typed.is_some() { Answer::refusal(422, page) } else { Answer::page(page) }
}

/// Plans a draft from the audits of the case.
pub(super) fn make(asked: &Asked, desk: &Desk) -> Answer {
    done(asked, desk, |request| ladders::from_case(request, desk.now()))
}

/// Signs a draft.
pub(super) fn signed(asked: &Asked, desk: &Desk) -> Answer {
    let draft = asked.field("draft").unwrap_or_default();
    done(asked, desk, |request| ladders::sign(request, draft, desk.now()))
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
        Err(refusal) => show(desk, Some((asked, &refusal))),
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
            ul { @for one in &doc.obstacles { li { (one.id.replace('-', " ")) ": " (one.probe) } } }
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
        .map_or_else(|| rung.distractor.replace('-', " "), |card| format!("{}: {}", card.name, card.level_name))
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

fn sign(speaker: &Speaker, id: &str, place: &str, typed: Option<&Asked>) -> Markup {
    let by = typed.and_then(|asked| asked.field("by")).unwrap_or_default();
    html! {
        form method="post" action="/ladder/sign" {
            input type="hidden" name="draft" value=(id);
            input type="hidden" name="place" value=(place);
            div.field {
                label for={ "by-" (id) } { (speaker.say("ladder-signs")) }
                p.help id={ "help-" (id) } { (speaker.say("decide-by-help")) }
                input type="text" id={ "by-" (id) } name="by" value=(by) aria-describedby={ "help-" (id) } autocomplete="off";
            }
            (frame::send(speaker, "ladder-sign-it"))
        }
    }
}
