//! The first page: the case at a glance and what comes next; or a case to open.

use std::path::PathBuf;

use maud::{Markup, html};

use super::answer::Answer;
use super::asked::Asked;
use super::carried::case_of;
use super::desk::Desk;
use super::frame;
use crate::contract::CaseDoc;
use crate::language::{Language, Said, Speaker};
use crate::tasks::{NewCase, Refusal, case_view, cases};

/// The first page.
pub(super) fn show(desk: &Desk, refusal: Option<&Refusal>) -> Answer {
    let speaker = desk.speaker();
    let (title, body) = match desk.case().map(|folder| case_view::view(&folder, desk.now())) {
        Some(Ok(case)) => (case.alias.clone(), glance(&speaker, &case, desk)),
        Some(Err(failed)) => {
            (speaker.say("home-title"), html! { (frame::refused(&speaker, &failed)) (choose(&speaker, desk)) })
        }
        None if desk.root().is_some() => (speaker.say("home-new"), choose(&speaker, desk)),
        None => (speaker.say("home-title"), choose(&speaker, desk)),
    };
    let body = html! { @if let Some(refusal) = refusal { (frame::refused(&speaker, refusal)) } (body) };
    let page = frame::page(&speaker, "/", &title, &body);
    if refusal.is_some() { Answer::refusal(422, page) } else { Answer::page(page) }
}

/// Opens a case folder.
pub(super) fn open(asked: &Asked, desk: &Desk) -> Answer {
    let folder = PathBuf::from(asked.field("folder").unwrap_or_default());
    match case_view::view(&folder, desk.now()) {
        Ok(_) => {
            desk.open(folder);
            Answer::go("/")
        }
        Err(refusal) => show(desk, Some(&refusal)),
    }
}

/// Makes a case folder.
pub(super) fn make(asked: &Asked, desk: &Desk) -> Answer {
    let typed = || PathBuf::from(asked.field("new-folder").unwrap_or_default());
    let folder = desk.root().map_or_else(typed, case_of);
    let told = NewCase {
        alias: asked.field("alias").unwrap_or_default().to_owned(),
        born: asked.field("born").map(ToOwned::to_owned),
        keep: asked
            .all("keep")
            .into_iter()
            .flat_map(str::lines)
            .map(|line| line.trim().to_owned())
            .filter(|line| !line.is_empty())
            .collect(),
        sound_sensitive: asked.field("sound-sensitive").unwrap_or("not asked").to_owned(),
        hearing_checked: asked.field("hearing-checked").unwrap_or("not asked").to_owned(),
        excluded_sounds: Vec::new(),
        sure: asked.field("sure").is_some(),
    };
    match cases::new(&folder, told, desk.now()) {
        Ok(_) => {
            desk.open(folder);
            Answer::go("/")
        }
        Err(refusal) => show(desk, Some(&refusal)),
    }
}

fn glance(speaker: &Speaker, case: &CaseDoc, desk: &Desk) -> Markup {
    html! {
        @if !case.keep.is_empty() {
            p.keep { strong { (speaker.say("field-keep")) ": " } (case.keep.join(", ")) }
        }
        div.cards {
            section.card {
                h2 { (speaker.say("home-room")) }
                @for place in &case.places {
                    p { strong { (place.place) } ": " (speaker.say_with("home-load", &[
                        ("load", Said::Words(speaker.number(place.load, 0))),
                        ("grade", Said::Words(speaker.say(&format!("grade-{}", place.grade)))),
                        ("day", Said::Words(day(speaker, &place.date))),
                    ])) }
                }
                @if case.places.is_empty() { p { (speaker.say("home-no-audit")) } } @else { p.small { (speaker.say("page-convention")) } }
                p { a.button href="/room" { (speaker.say("home-look")) } }
            }
            section.card {
                h2 { (speaker.say("home-practice")) }
                @match (case.rung, &case.decision) {
                    (Some(rung), Some(decision)) => {
                        p { (speaker.say_with("rung-number", &[("number", Said::Words(rung.to_string()))])) ": "
                            strong { (speaker.say(&format!("decision-{decision}"))) } }
                        @if let Some(reason) = &case.reason { p { (reason) } }
                    }
                    _ => p { (speaker.say("home-no-session")) },
                }
                @match (case.ladder_rungs, &case.ladder_signed_by) {
                    (Some(rungs), Some(by)) => p.small { (speaker.say_with("home-ladder", &[("rungs", Said::Words(rungs.to_string())), ("by", by.as_str().into())])) },
                    (Some(rungs), None) => p.small { (speaker.say_with("home-ladder-draft", &[("rungs", Said::Words(rungs.to_string()))])) },
                    (None, _) => p.small { (speaker.say("home-no-ladder")) },
                }
                p { a.button href="/practice" { (speaker.say("home-to-practice")) } }
            }
            section.card {
                h2 { (speaker.say("home-papers")) }
                p { (speaker.say("home-papers-help")) }
                p { a.button href="/papers" { (speaker.say("way-papers")) } }
            }
        }
        @if !case.left_out.is_empty() {
            div.refusal role="note" { p { (speaker.say("home-left-out")) } ul { @for one in &case.left_out { li { (one) } } } }
        }
        @if desk.root().is_some() {
            section.card {
                h2 { (speaker.say("hand-over-title")) }
                p { (speaker.say("hand-over-help")) }
                p { a.button href="/hand-over" { (speaker.say("hand-over-title")) } }
            }
            (other_language(speaker))
        } @else { details { summary { (speaker.say("home-another")) } (choose(speaker, desk)) } }
    }
}

/// On a carried page there is one case, and it has its place.
fn choose(speaker: &Speaker, desk: &Desk) -> Markup {
    let carried = desk.root().is_some();
    html! {
        @if carried { p.note { (speaker.say("carry-first")) } (other_language(speaker)) }
        @else { p { a href="/caseload" { (speaker.say("caseload-title")) } } }
        div.cards {
            @if !carried { section.card {
                h2 { (speaker.say("home-open")) }
                form method="post" action="/case/open" {
                    (frame::text(speaker, "folder", "home-folder", "", Some("home-folder-help")))
                    (frame::send(speaker, "home-open-it"))
                }
            } }
            section.card {
                @if !carried { h2 { (speaker.say("home-new")) } }
                form method="post" action="/case/new" {
                    @if !carried { (frame::text(speaker, "new-folder", "home-new-folder", "", Some("home-new-folder-help"))) }
                    (frame::text(speaker, "alias", "home-alias", "", Some("home-alias-help")))
                    (frame::text(speaker, "born", "home-born", "", Some("home-born-help")))
                    div.field {
                        label for="keep" { (speaker.say("checklist-keep")) }
                        p.help id="keep-help" { (speaker.say("home-keep-help")) }
                        textarea id="keep" name="keep" rows="3" aria-describedby="keep-help" {}
                    }
                    (asked_or_not(speaker, "sound-sensitive", "home-sound-sensitive"))
                    (asked_or_not(speaker, "hearing-checked", "home-hearing-checked"))
                    (frame::send(speaker, "home-make-it"))
                }
            }
        }
    }
}

/// The way to the other language of a carried page.
fn other_language(speaker: &Speaker) -> Markup {
    let other = Language::SPOKEN.into_iter().find(|other| *other != speaker.language()).unwrap_or(Language::English);
    html! {
        form method="post" action="/language" {
            input type="hidden" name="to" value=(other.tag());
            p { button.second type="submit" lang=(other.tag()) { (other.name()) } }
        }
    }
}

fn asked_or_not(speaker: &Speaker, name: &str, question: &str) -> Markup {
    html! {
        fieldset {
            legend { (speaker.say(question)) }
            @for (value, label) in [("yes", "word-yes"), ("no", "word-no"), ("not asked", "word-not-asked")] {
                label.pick { input type="radio" name=(name) value=(value) checked[value == "not asked"]; span { (speaker.say(label)) } }
            }
        }
    }
}

/// A stored day in words.
pub(super) fn day(speaker: &Speaker, text: &str) -> String {
    text.parse().map_or_else(|_| text.to_owned(), |date| speaker.day(date))
}
