//! All cases of a folder at a glance: what is due today, this week, or fine; each can be opened.

use std::path::PathBuf;

use maud::{Markup, html};

use super::answer::Answer;
use super::asked::Asked;
use super::desk::Desk;
use super::form::{Beside, Form, Refused};
use super::{frame, home};
use crate::contract::{CaseloadDoc, CaseloadEntryDoc};
use crate::language::Speaker;
use crate::tasks::forecasts::in_words;
use crate::tasks::{Refusal, caseload};

/// The cases beside the one that is open, or where the page was started; the question for another folder.
pub(super) fn ask(desk: &Desk) -> Answer {
    let beside = desk.case().and_then(|case| case.parent().map(|folder| folder.display().to_string()));
    let beside = beside.filter(|folder| !folder.is_empty()).unwrap_or_else(|| ".".to_owned());
    let speaker = desk.speaker();
    let shown = read(&beside, desk).ok().filter(|doc| !doc.cases.is_empty()).map(|doc| cases(&speaker, &doc));
    Answer::page(page(&speaker, &beside, None, &shown.unwrap_or_default()))
}

/// The cases of the folder.
pub(super) fn show(asked: &Asked, desk: &Desk) -> Answer {
    let speaker = desk.speaker();
    let typed = asked.field("folder").unwrap_or_default();
    match read(typed, desk).beside("folder") {
        Ok(doc) => Answer::page(page(&speaker, typed, None, &cases(&speaker, &doc))),
        Err(wrong) => Answer::refusal(422, page(&speaker, typed, Some((asked, &[wrong])), &html! {})),
    }
}

fn read(folder: &str, desk: &Desk) -> Result<CaseloadDoc, Refusal> {
    caseload::caseload(&PathBuf::from(folder), Some(&desk.today().to_string()), desk.now())
}

fn cases(speaker: &Speaker, doc: &CaseloadDoc) -> Markup {
    html! {
        @if doc.cases.is_empty() { p { (speaker.say("caseload-none")) } }
        @for one in &doc.cases { (entry(speaker, one)) }
        @if let Some(record) = &doc.forecasts { p.small { (in_words(record)) } }
        @if !doc.unreadable.is_empty() {
            details {
                summary { (speaker.say_with("caseload-left-out", &[("count", u32::try_from(doc.unreadable.len()).unwrap_or(u32::MAX).into())])) }
                ul { @for one in &doc.unreadable { li { (one.name) ": " (one.text) } } }
            }
        }
    }
}

fn page(speaker: &Speaker, folder: &str, refused: Option<Refused<'_>>, body: &Markup) -> Markup {
    let fields = Form::new(speaker, refused, "/caseload");
    let form = html! {
        (body)
        form method="post" action="/caseload" {
            (fields.text("folder", "caseload-folder", folder, Some("home-folder-help")))
            (frame::send(speaker, "caseload-show"))
        }
    };
    frame::page(speaker, "/", &speaker.say("caseload-title"), &form)
}

fn entry(speaker: &Speaker, one: &CaseloadEntryDoc) -> Markup {
    let due = match one.due.as_str() {
        "today" => "caseload-today",
        "this week" => "caseload-week",
        _ => "caseload-fine",
    };
    html! {
        section.card {
            h2 { (one.alias) " " span.state.due[one.due != "fine"] { (speaker.say(due)) } }
            @if let (Some(rung), Some(decision)) = (one.rung, &one.decision) {
                p { (speaker.say_with("rung-number", &[("number", rung.to_string().into())])) ": " (speaker.say(&format!("decision-{decision}")))
                    @if let Some(last) = &one.last_session { span.quiet { ", " (home::day(speaker, last)) } } }
            } @else { p { (speaker.say("home-no-session")) } }
            @if !one.why.is_empty() { ul { @for why in &one.why { li { (why.text) } } } }
            @let missing: Vec<&str> = one.missing.iter().filter(|note| !one.why.contains(note)).map(|note| note.text.as_str()).collect();
            @if !missing.is_empty() { p.quiet { (missing.join(" ")) } }
            form method="post" action="/case/open" {
                input type="hidden" name="folder" value=(one.folder);
                p.send { button.second type="submit" aria-label={ (speaker.say("home-open-it")) " " (one.alias) } { (speaker.say("home-open-it")) } }
            }
        }
    }
}
