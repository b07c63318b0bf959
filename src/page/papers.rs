//! Papers and reports, to look at and to print.

use std::io::empty;

use maud::html;

use super::answer::Answer;
use super::asked::Asked;
use super::desk::Desk;
use super::frame;
use crate::checklist::shipped;
use crate::tasks::papers::Printing;
use crate::tasks::reports::Reader;
use crate::tasks::{Refusal, checklists, papers, reports};
use crate::words::id_in_words;

/// What can be printed.
pub(super) fn list(desk: &Desk) -> Answer {
    let speaker = desk.speaker();
    let case = desk.case().is_some();
    let body = html! {
        @if case {
            h2 { (speaker.say("papers-reports")) }
            ul.list {
                li { a href="/report/family" { (speaker.say("papers-family")) } p { (speaker.say("papers-family-help")) } }
                li { a href="/report/visitor" { (speaker.say("visitor-title")) } p { (speaker.say("papers-visitor-help")) } }
                li { a href="/report/clinician" { (speaker.say("papers-clinician")) } p { (speaker.say("papers-clinician-help")) } }
            }
        }
        h2 { (speaker.say("sheets-title")) }
        p { (speaker.say("sheets-how")) }
        p { a.button href="/sheets" { (speaker.say("sheets-go")) } }
        h2 { (speaker.say("papers-sheets")) }
        p { (speaker.say(if case { "papers-filled" } else { "papers-blank" })) }
        ul.list {
            @for form in papers::list(desk.language).forms {
                li { a href={ "/papers/" (form.name) } { (form.title) } p { (form.tells) } }
                @if form.name == "checklist" {
                    @for (id, _) in shipped().iter().skip(1) {
                        li { a href={ "/papers/checklist?list=" (id) } { (form.title) ": " (speaker.find(&format!("{id}.title"), &[]).unwrap_or_else(|| id_in_words(id))) } }
                    }
                }
            }
        }
    };
    Answer::page(frame::page(&speaker, "/papers", &speaker.say("way-papers"), &body))
}

/// One sheet.
pub(super) fn paper(name: &str, asked: &Asked, desk: &Desk) -> Answer {
    let made = checklists::find(asked.field("list").filter(|list| known(list)).unwrap_or("home-corner"), &mut empty())
        .and_then(|list| {
            papers::form(
                name,
                desk.case().as_deref(),
                &list.list,
                desk.language,
                Printing { now: desk.now(), day: desk.today() },
            )
        });
    match made {
        Ok(form) => Answer::sheet(form.html),
        Err(refusal) => refuse(desk, &refusal),
    }
}

/// Whether a list's name is one of the shipped; a path from an address is never opened.
pub(super) fn known(list: &str) -> bool {
    shipped().iter().any(|(id, _)| *id == list)
}

/// A report.
pub(super) fn report(reader: &str, desk: &Desk) -> Answer {
    let reader = match reader {
        "family" => Reader::Family,
        "visitor" => Reader::Visitor,
        "clinician" => Reader::Clinician,
        _ => return refuse(desk, &Refusal::new("no-such-page", "there is no such report")),
    };
    let Some(case) = desk.case() else { return no_case(desk) };
    match reports::case_report(&case, None, reader, desk.language, desk.now()) {
        Ok(html) => Answer::sheet(html),
        Err(refusal) => refuse(desk, &refusal),
    }
}

/// A page that says what was refused.
pub(super) fn refuse(desk: &Desk, refusal: &Refusal) -> Answer {
    let speaker = desk.speaker();
    let body = frame::refused(&speaker, refusal);
    Answer::refusal(422, frame::page(&speaker, "", &speaker.say("page-could-not"), &body))
}

/// A page that asks for a case first.
pub(super) fn no_case(desk: &Desk) -> Answer {
    let speaker = desk.speaker();
    let body = html! { p { (speaker.say("page-no-case")) } p { a.button href="/" { (speaker.say("way-home")) } } };
    Answer::page(frame::page(&speaker, "", &speaker.say("page-no-case-title"), &body))
}
