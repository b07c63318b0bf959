//! Filled sheets: read from photos, their doubtful circles shown enlarged, stored once somebody has said what they are.
//! The photos are forgotten with the answer; what was read goes along in the form.

use std::path::Path;

use maud::{Markup, html};

use super::answer::Answer;
use super::asked::Asked;
use super::desk::Desk;
use super::form::{self, Beside, Form, Refused, Wrong};
use super::frame;
use super::papers::no_case;
use crate::language::{Said, Speaker};
use crate::paper::Kind;
use crate::report::data_address;
use crate::tasks::sheets::{Against, ReadSheet, read};
use crate::tasks::sheets_kept::{Keeping, store};
use crate::tasks::{Named, Refusal, reviews};

/// The page that asks for photos of sheets.
pub(super) fn ask(desk: &Desk, refused: Option<Refused<'_>>) -> Answer {
    let speaker = desk.speaker();
    let form = Form::new(&speaker, refused, "/sheets");
    let body = html! {
        (form.top())
        p { (speaker.say("sheets-how")) }
        form method="post" action="/sheets" enctype="multipart/form-data" {
            (form.held())
            (form.file("sheet-photo", "sheets-choose", "image/*", true, Some("sheets-choose-help")))
            (frame::send(&speaker, "sheets-read"))
        }
        p.quiet { (speaker.say("sheets-private")) }
        p { a href="/papers" { (speaker.say("sheets-to-print")) } }
    };
    let page = frame::page(&speaker, "/papers", &speaker.say("sheets-title"), &body);
    if refused.is_some() { Answer::refusal(422, page) } else { Answer::page(page) }
}

fn against<'a>(case: Option<&'a Path>, desk: &Desk) -> Against<'a> {
    Against { case, language: desk.language, list: None, rung: None }
}

/// Reads the photos and shows what they say.
pub(super) fn seen(asked: &Asked, desk: &Desk) -> Answer {
    let speaker = desk.speaker();
    let asked = desk.with_held(asked);
    let case = desk.case();
    let against = against(case.as_deref(), desk);
    let photos: Vec<_> = asked.files.iter().filter(|file| file.field == "sheet-photo").collect();
    let one = |upload: &&super::asked::Upload| {
        let named = Named { name: upload.name.clone(), content: (*upload.bytes).clone() };
        read(&named, &against).beside("sheet-photo").map_err(|wrong| wrong.of_file(&upload.name))
    };
    let found = if photos.is_empty() {
        Err(Wrong::about("sheet-photo", Refusal::new("no-file", speaker.say("page-no-file"))))
    } else {
        photos.iter().map(one).collect::<Result<Vec<ReadSheet>, Wrong>>()
    };
    match found {
        Ok(sheets) => confirm(&sheets, desk, None),
        Err(wrong) => {
            let wrong = [wrong];
            ask(desk, Some((&form::hold(asked, &wrong, desk), &wrong)))
        }
    }
}

/// What was read, with what has to be said of it.
fn confirm(sheets: &[ReadSheet], desk: &Desk, refused: Option<Refused<'_>>) -> Answer {
    let speaker = desk.speaker();
    let form = Form::new(&speaker, refused, "/sheets/store");
    let new = sheets.iter().any(|sheet| !sheet.already);
    let dated = sheets.iter().all(|sheet| sheet.kind() == Kind::Checklist || sheet.monday().is_some());
    let sittings = |sheet: &&ReadSheet| sheet.kind() == Kind::Sittings;
    let rungs = sheets.iter().filter(sittings).all(|sheet| sheet.sheet.label.about.is_some());
    let body = html! {
        (form.top())
        form method="post" action="/sheets/store" {
            @for (at, sheet) in sheets.iter().enumerate() { (one(&speaker, at, sheet, &form)) }
            @if sheets.iter().any(|sheet| sheet.kind() == Kind::Sittings) { p.note { (speaker.say("sheets-by-hand")) } }
            @if desk.case().is_none() {
                p.note { (speaker.say("page-no-case")) }
            } @else if new {
                @if !dated { (form.text("week", "sheets-week", "", Some("sheets-week-help"))) }
                @if !rungs { (form.number("rung", "field-rung", "", None)) }
                @if sheets.iter().any(|sheet| sheet.kind() == Kind::Checklist) { (form.text("place", "field-place", "", None)) }
                (form.text("by", "sitting-by", "", Some("room-by-help")))
                p.send { a.button.second href="/sheets" { (speaker.say("sheets-again")) } button type="submit" { (speaker.say("sheets-store")) } }
            } @else {
                p { a.button href="/sheets" { (speaker.say("sheets-again")) } }
            }
        }
        p.quiet { (speaker.say("sheets-private")) }
    };
    let page = frame::page(&speaker, "/papers", &speaker.say("sheets-found"), &body);
    if refused.is_some() { Answer::refusal(422, page) } else { Answer::page(page) }
}

fn one(speaker: &Speaker, at: usize, sheet: &ReadSheet, form: &Form<'_>) -> Markup {
    let doc = sheet.document();
    let kind = speaker.say(&format!("paper-{}", doc.kind));
    html! {
        section.card {
            h2 { (kind) " " (sheet.number()) }
            input type="hidden" name="sheet" value=(sheet.written());
            @if let Some(monday) = sheet.monday() { p { (speaker.say("field-week")) " " (speaker.day(monday)) } }
            @if sheet.already { p.note { (speaker.say("sheets-already")) } }
            @if doc.says.is_empty() { p { (speaker.say("sheets-empty")) } }
            ul { @for line in &doc.says { li { (line) } } }
            @if !sheet.already && !doc.doubtful.is_empty() {
                p { strong { (speaker.say_with("sheets-doubtful", &[("count", Said::from(doc.doubtful.len().to_string().as_str()))])) } }
                @for (spot, doubt) in sheet.doubtful().zip(&doc.doubtful) {
                    @let name = format!("mark-{at}-{}", doubt.name);
                    fieldset {
                        legend { (doubt.text) }
                        @if let Some(jpeg) = sheet.enlarged(&spot.circle).and_then(|picture| picture.jpeg().ok()) {
                            p { img.doubt src=(data_address(&jpeg)) alt=(speaker.say("sheets-enlarged")) width="264" height="132"; }
                        }
                        @for (value, word) in [("yes", "sheets-filled"), ("no", "sheets-not-filled")] {
                            label.pick { input type="radio" name=(name) value=(value) checked[form.chosen(&name, value, false)]; span { (speaker.say(word)) } }
                        }
                    }
                }
            }
        }
    }
}

/// Stores what was confirmed.
pub(super) fn keep(asked: &Asked, desk: &Desk) -> Answer {
    let Some(case) = desk.case() else { return no_case(desk) };
    let speaker = desk.speaker();
    let against = against(Some(&case), desk);
    let held: Result<Vec<ReadSheet>, Refusal> =
        asked.all("sheet").iter().map(|line| ReadSheet::held(line, &against)).collect();
    let mut sheets = match held {
        Ok(sheets) if !sheets.is_empty() => sheets,
        Ok(_) => return ask(desk, None),
        Err(refusal) => return super::papers::refuse(desk, &refusal),
    };
    let as_read = sheets.clone();
    let stored = settled(&mut sheets, asked).and_then(|()| {
        let week = asked.field("week").map(reviews::read_date).transpose().beside("week")?;
        let rung = asked.field("rung").map(|_| super::sitting::whole(asked, "rung", 0, 999)).transpose()?;
        let keeping = Keeping {
            case: &case,
            week,
            rung,
            place: asked.field("place").map(ToOwned::to_owned),
            by: asked.field("by").map(ToOwned::to_owned),
            today: desk.today(),
            now: desk.now(),
        };
        let _alone = desk.sitting();
        Ok(store(&sheets, &keeping)?)
    });
    match stored {
        Ok(ids) => {
            let count = ids.len().to_string();
            let body = html! {
                p.lead { (speaker.say_with("sheets-stored", &[("count", count.into())])) }
                p { a.button href="/sheets" { (speaker.say("sheets-again")) } " " a.button.second href="/practice" { (speaker.say("way-practice")) } }
            };
            Answer::page(frame::page(&speaker, "/papers", &speaker.say("sheets-done"), &body))
        }
        Err(wrong) => confirm(&as_read, desk, Some((asked, &[wrong]))),
    }
}

/// Takes what was said of the doubtful circles: first what is filled, which settles the others of its question.
fn settled(sheets: &mut [ReadSheet], asked: &Asked) -> Result<(), Wrong> {
    for (at, sheet) in sheets.iter_mut().enumerate() {
        for wanted in ["yes", "no"] {
            let doubtful: Vec<String> = sheet.doubtful().map(|spot| spot.circle.name()).collect();
            for name in doubtful {
                let still = sheet.doubtful().any(|spot| spot.circle.name() == name);
                if still && asked.field(&format!("mark-{at}-{name}")) == Some(wanted) {
                    sheet.settle(&name, wanted == "yes")?;
                }
            }
        }
    }
    Ok(())
}
