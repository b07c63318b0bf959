//! Practice: the decision so far with its reasons, what to do tomorrow, the graph, and the ways on from here.

use maud::{Markup, html};

use super::answer::Answer;
use super::decide;
use super::desk::Desk;
use super::form::Refused;
use super::papers::{no_case, refuse};
use super::{frame, home};
use crate::contract::ReviewDoc;
use crate::language::{Said, Speaker};
use crate::report::chart;
use crate::tasks::forecasts::{in_words, next_in_words};
use crate::tasks::reviews;
use crate::tasks::sittings::Keeper;

/// The practice so far.
pub(super) fn show(desk: &Desk, refused: Option<Refused<'_>>) -> Answer {
    let speaker = desk.speaker();
    let Some(case) = desk.case() else { return no_case(desk) };
    let review = match reviews::from_case(&case, &reviews::Asked::default(), desk.today()) {
        Ok(review) => Some(review),
        Err(refusal) if refusal.code == "no-such-practice" || refusal.code == "no-session" => None,
        Err(refusal) => return refuse(desk, &refusal),
    };
    let going_on = Keeper::new(desk.state.as_deref(), &case).found();
    let told = desk.told();
    let body = html! {
        @if !told.is_empty() { div.note role="status" { @for one in &told { p { (one) } } } }
        p.send {
            a.button href="/practice/sitting" { (speaker.say(if going_on.is_some() { "practice-go-on" } else { "practice-log" })) }
            a.button.second href="/ladder" { (speaker.say("practice-to-ladder")) }
        }
        @if let Some(review) = &review {
            (decision(&speaker, &review.doc))
            @for other in &review.doc.others { (decision(&speaker, other)) }
            @if let Some(graph) = review.graphs.first().filter(|graph| !graph.points.is_empty()) {
                section {
                    h2 { (speaker.say("practice-graph")) }
                    figure.chart.scroll tabindex="0" role="group" aria-label=(speaker.say("practice-graph")) { (frame::drawn(&chart::sessions_svg(&graph.points, graph.criterion))) }
                }
            }
        } @else { p { (speaker.say("home-no-session")) } }
        p.note { (speaker.say("sessions-right")) }
        h2 { (speaker.say("practice-more")) }
        ul.list {
            li { a href="/practice/stuck" { (speaker.say("stuck-title")) } p { (speaker.say("stuck-help")) } }
            li { a href="/practice/sample" { (speaker.say("sample-title")) } p { (speaker.say("sample-help")) } }
            li { a href="/meter" { (speaker.say("meter-title")) } p { (speaker.say("meter-help")) } }
            li { a href="/papers/session-sheet" { (speaker.say("paper-session-sheet")) } p { (speaker.say("practice-paper-help")) } }
        }
        @if let Some(review) = &review { (decide::form(&speaker, &review.doc, refused)) }
    };
    let page = frame::page(&speaker, "/practice", &speaker.say("way-practice"), &body);
    if refused.is_some() { Answer::refusal(422, page) } else { Answer::page(page) }
}

fn decision(speaker: &Speaker, review: &ReviewDoc) -> Markup {
    html! {
        section.card {
            h2 { (speaker.say_with("rung-number", &[("number", review.rung.to_string().into())])) ": " (speaker.say(&format!("decision-{}", review.decision))) }
            @if review.task.is_some() || review.place.is_some() {
                p.quiet { (reviews::what_where(review.task.as_deref(), review.place.as_deref())) }
            }
            ul { @for reason in &review.reasons { li { (reason.text) } } }
            @if let Some(rule) = &review.criterion {
                p.small { (speaker.say_with("practice-rule", &[
                    ("percent", rule.percent.to_string().into()), ("sessions", rule.sessions.to_string().into()), ("days", rule.days.to_string().into())])) }
            }
            @if let Some(decided) = &review.decided {
                p { strong { (speaker.say_with("practice-decided", &[
                    ("by", Said::Words(decided.by.clone().unwrap_or_default())), ("day", Said::Words(home::day(speaker, &decided.date)))])) }
                    " " (speaker.say(&format!("decision-{}", decided.decision)))
                    @if let Some(why) = &decided.why { ". " (why) } }
            }
            @if !review.tomorrow.is_empty() {
                h3 { (speaker.say("practice-tomorrow")) }
                ul { @for one in &review.tomorrow { li { (one) } } }
            }
            @if !review.smaller.is_empty() {
                h3 { (speaker.say("practice-smaller")) }
                ul { @for one in &review.smaller { li { (one.text) } } }
            }
            @if let Some(forecasts) = &review.forecasts {
                @if forecasts.record.forecasts > 0 { p.small { (in_words(&forecasts.record)) } }
                @if let Some(open) = &forecasts.open { p.small { (next_in_words(open)) } }
            }
            @if !review.cautions.is_empty() {
                details { summary { (speaker.say("visitor-mind")) } ul { @for one in &review.cautions { li { (one.text) } } } }
            }
        }
    }
}
