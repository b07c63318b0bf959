//! The first page: the case at a glance and what comes next; or a case to open.

use std::path::PathBuf;

use maud::{Markup, html};

use super::answer::Answer;
use super::asked::Asked;
use super::carried::case_of;
use super::desk::Desk;
use super::form::{Beside, Form, Refused, Wrong};
use super::frame;
use crate::contract::CaseDoc;
use crate::language::{Language, Said, Speaker};
use crate::tasks::sittings::Keeper;
use crate::tasks::{NewCase, case_view, cases};

/// The first page.
pub(super) fn show(desk: &Desk, refused: Option<Refused<'_>>) -> Answer {
    let speaker = desk.speaker();
    let (title, body) = match desk.case().map(|folder| case_view::view(&folder, desk.now())) {
        Some(Ok(case)) => (case.alias.clone(), glance(&speaker, &case, desk, refused)),
        Some(Err(failed)) => {
            (speaker.say("home-title"), html! { (frame::refused(&speaker, &failed)) (choose(&speaker, desk, refused)) })
        }
        None if desk.root().is_some() => (speaker.say("home-new"), choose(&speaker, desk, refused)),
        None => (
            speaker.say("home-title"),
            html! { p.lead { (speaker.say("home-what")) } (choose(&speaker, desk, refused)) },
        ),
    };
    let page = frame::page(&speaker, "/", &title, &body);
    if refused.is_some() { Answer::refusal(422, page) } else { Answer::page(page) }
}

/// Opens a case folder.
pub(super) fn open(asked: &Asked, desk: &Desk) -> Answer {
    let folder = PathBuf::from(asked.field("folder").unwrap_or_default());
    match case_view::view(&folder, desk.now()).beside("folder") {
        Ok(_) => {
            desk.open(folder);
            Answer::go("/")
        }
        Err(wrong) => show(desk, Some((asked, &[wrong]))),
    }
}

/// Makes a case folder.
pub(super) fn make(asked: &Asked, desk: &Desk) -> Answer {
    let alias = asked.field("alias").unwrap_or_default();
    let typed = || asked.field("new-folder").map_or_else(|| folder_of(alias), PathBuf::from);
    let folder = desk.root().map_or_else(typed, case_of);
    let told = NewCase {
        alias: alias.to_owned(),
        born: asked.field("born").map(ToOwned::to_owned),
        keep: lines(asked, "keep"),
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
        Err(refusal) => {
            let field = match refusal.code.as_str() {
                "alias" => "alias",
                "birth-month" => "born",
                _ => "new-folder",
            };
            show(desk, Some((asked, &[Wrong::about(field, refusal)])))
        }
    }
}

/// The folder of a case that was given none: named after its alias, where the page was started.
fn folder_of(alias: &str) -> PathBuf {
    let name: String =
        alias.to_lowercase().chars().map(|sign| if sign.is_alphanumeric() { sign } else { '-' }).collect();
    PathBuf::from(name)
}

/// The lines of a field, one thing a line.
pub(super) fn lines(asked: &Asked, name: &str) -> Vec<String> {
    let lines = asked.all(name).into_iter().flat_map(str::lines).map(|line| line.trim().to_owned());
    lines.filter(|line| !line.is_empty()).collect()
}

fn glance(speaker: &Speaker, case: &CaseDoc, desk: &Desk, refused: Option<Refused<'_>>) -> Markup {
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
                @let going_on = desk.case().is_some_and(|case| Keeper::new(desk.state.as_deref(), &case).found().is_some());
                p.send {
                    a.button href="/practice/sitting" { (speaker.say(if going_on { "practice-go-on" } else { "practice-log" })) }
                    a.button.second href="/practice" { (speaker.say("home-to-practice")) }
                }
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
        } @else {
            details open[refused.is_some()] { summary { (speaker.say("home-another")) } (choose(speaker, desk, refused)) }
        }
    }
}

/// On a carried page there is one case, and it has its place.
fn choose(speaker: &Speaker, desk: &Desk, refused: Option<Refused<'_>>) -> Markup {
    let open = Form::new(speaker, refused, "/case/open");
    let new = Form::new(speaker, refused, "/case/new");
    let answers =
        || ["yes", "no", "not asked"].map(|word| (word, speaker.say(&format!("word-{}", word.replace(' ', "-")))));
    let carried = desk.root().is_some();
    let here = if carried { Vec::new() } else { cases::beside(desk.case().as_deref()) };
    html! {
        @if carried { p.note { (speaker.say("carry-first")) } (other_language(speaker)) }
        div.cards {
            @if !carried { section.card {
                h2 { (speaker.say("home-open")) }
                (open.top())
                @if !here.is_empty() {
                    form.list method="post" action="/case/open" {
                        @for folder in &here {
                            @let name = folder.file_name().map_or_else(|| folder.display().to_string(), |name| name.to_string_lossy().into_owned());
                            button.second type="submit" name="folder" value=(folder.display()) { (name) }
                        }
                    }
                }
                form method="post" action="/case/open" {
                    (open.text("folder", "home-folder", "", Some("home-folder-help")))
                    (frame::send(speaker, "home-open-it"))
                }
                p { a href="/caseload" { (speaker.say("caseload-title")) } }
            } }
            section.card {
                @if !carried { h2 { (speaker.say("home-new")) } }
                form method="post" action="/case/new" {
                    (new.top())
                    (new.text("alias", "home-alias", "", Some("home-alias-help")))
                    @if new.any_wrong(&["alias"]) { (new.tick("sure", "home-sure")) }
                    (new.text("born", "home-born", "", Some("home-born-help")))
                    (new.lines("keep", "checklist-keep", "", &speaker.say("home-keep-help")))
                    (new.choice("sound-sensitive", "home-sound-sensitive", "not asked", false, &answers()))
                    (new.choice("hearing-checked", "home-hearing-checked", "not asked", false, &answers()))
                    @if !carried { (new.text("new-folder", "home-new-folder", "", Some("home-new-folder-help"))) }
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

/// A stored day in words.
pub(super) fn day(speaker: &Speaker, text: &str) -> String {
    text.parse().map_or_else(|_| text.to_owned(), |date| speaker.day(date))
}
