//! Where and when on the page: what is known of corners and times, recordings taken in, what is possible.

use maud::{Markup, html};

use super::answer::Answer;
use super::asked::Asked;
use super::desk::Desk;
use super::form::{self, Beside, Form, Refused, Wrong};
use super::papers::no_case;
use super::{frame, home, sound};
use crate::case::Case;
use crate::contract::WhereDoc;
use crate::language::Speaker;
use crate::tasks::possible::{self, Telling};
use crate::tasks::ribbons::{self, Given, Recordings};
use crate::tasks::{Calibration, Refusal, files, reports, where_when};

/// Minutes there are for rearranging, unless it is said otherwise.
const MINUTES: f64 = 15.0;
const HEARD: &str = "/where/heard";
const POSSIBLE: &str = "/where/possible";

/// The answer, and the forms by which it grows.
pub(super) fn show(desk: &Desk, refused: Option<Refused<'_>>) -> Answer {
    let speaker = desk.speaker();
    let Some(folder) = desk.case() else { return no_case(desk) };
    let found = where_when::answer(&folder, None, MINUTES);
    let body = html! {
        @for sentence in desk.told() { p.note { (sentence) } }
        @match &found {
            Ok(doc) => (told(&speaker, doc)),
            Err(_) => p { (speaker.say("calm-nothing")) },
        }
        p { (speaker.say("calm-corners-how")) " " a href="/room" { (speaker.say("home-look")) } }
        (forms(&speaker, found.as_ref().ok(), refused))
    };
    let page = frame::page(&speaker, "/room", &speaker.say("calm-title"), &body);
    if refused.is_some() { Answer::refusal(422, page) } else { Answer::page(page) }
}

fn told(speaker: &Speaker, doc: &WhereDoc) -> Markup {
    html! {
        @for (at, sentence) in doc.said.iter().enumerate() {
            @if at == 0 { p.lead { (sentence) } } @else { p { (sentence) } }
        }
        @if doc.corners.len() > 1 || doc.times.as_ref().is_some_and(|times| !times.ribbons.is_empty()) {
            figure.chart {
                div.for-desk { (frame::drawn(&reports::where_chart(doc))) }
                div.for-phone { (frame::drawn(&reports::where_chart_narrow(doc))) }
            }
        }
        @if !doc.notes.is_empty() { h2 { (speaker.say("visitor-mind")) } ul { @for note in &doc.notes { li { (note.text) } } } }
        p.small { (speaker.say("page-convention")) }
    }
}

fn forms(speaker: &Speaker, doc: Option<&WhereDoc>, refused: Option<Refused<'_>>) -> Markup {
    let heard = Form::new(speaker, refused, HEARD);
    let possible = Form::new(speaker, refused, POSSIBLE);
    let place = doc.and_then(|doc| doc.place.clone()).unwrap_or_default();
    let said = doc.map(|doc| doc.possible.clone()).unwrap_or_default();
    let taken: Vec<String> = said.taken.iter().map(|one| format!("{}-{}={}", one.from, one.to, one.why)).collect();
    let moving = said.places.iter().map(|one| {
        let minutes = one.minutes.map_or_else(|| "no".to_owned(), |minutes| format!("{minutes:.0}"));
        format!("{}={minutes}", one.name)
    });
    html! {
        div.cards {
            section.card {
                h2 { (speaker.say("calm-heard")) }
                (heard.top())
                p { (speaker.say("calm-heard-how")) }
                form method="post" action=(HEARD) enctype="multipart/form-data" {
                    (heard.held())
                    (heard.file("recordings", "calm-recordings", "audio/*", true, Some("calm-recordings-help")))
                    (heard.text("place", "field-place", &place, None))
                    (heard.text("device", "calm-device", "", Some("calm-device-help")))
                    (heard.text("at", "calm-at", "", Some("calm-at-help")))
                    (heard.text("offset", "sound-offset", "", Some("sound-offset-help")))
                    (frame::send(speaker, "calm-take-in"))
                }
                p.quiet { (speaker.say("calm-kept")) }
            }
            section.card {
                h2 { (speaker.say("calm-possible")) }
                (possible.top())
                form method="post" action=(POSSIBLE) {
                    (possible.lines("taken", "calm-taken", &taken.join("\n"), &speaker.say("calm-taken-help")))
                    (possible.lines("moving", "calm-moving", &moving.collect::<Vec<_>>().join("\n"), &speaker.say("calm-moving-help")))
                    (possible.text("learning", "calm-learning", said.learning_time.as_deref().unwrap_or_default(), None))
                    (frame::send(speaker, "calm-store"))
                }
            }
        }
        p { a href="/papers/quiet-week" { (speaker.say("paper-quiet-week")) } }
    }
}

/// Takes recordings in.
pub(super) fn heard(asked: &Asked, desk: &Desk) -> Answer {
    let asked = desk.with_held(asked);
    let Some(folder) = desk.case() else { return no_case(desk) };
    match take_in(&asked, &folder, desk) {
        Ok(()) => Answer::go("/where"),
        Err(wrong) => {
            let wrong = [wrong];
            show(desk, Some((&form::hold(asked, &wrong, desk), &wrong)))
        }
    }
}

fn take_in(asked: &Asked, folder: &std::path::Path, desk: &Desk) -> Result<(), Wrong> {
    let case = Case::open(folder).map_err(Refusal::from)?;
    let calibration = match asked.field("offset") {
        None => Calibration::None,
        Some(typed) => Calibration::Offset { offset_db: sound::number(typed, "offset").beside("offset")? },
    };
    let brought = asked.files.iter().filter(|file| file.field == "recordings");
    let given: Vec<Given> = brought
        .map(|file| Given::Bytes(files::Named { name: file.name.clone(), content: (*file.bytes).clone() }))
        .collect();
    if given.is_empty() {
        return Err(Wrong::about("recordings", Refusal::new("no-file", desk.speaker().say("page-no-file"))));
    }
    let recordings = Recordings {
        files: given,
        at: asked.field("at").map(ToOwned::to_owned),
        place: asked.field("place").unwrap_or_default().to_owned(),
        device: asked.field("device").map(ToOwned::to_owned),
        calibration,
        sd_db: None,
    };
    let taken = ribbons::take_in(&case, &recordings, desk.now(), &mut |_| ()).map_err(|refusal| {
        let field = match refusal.code.as_str() {
            "moment" | "one-recording" => "at",
            "place" => "place",
            _ => "recordings",
        };
        Wrong::about(field, refusal)
    })?;
    desk.tell(taken.notes.into_iter().map(|note| note.text).collect());
    Ok(())
}

/// Stores what the family said is possible.
pub(super) fn possible(asked: &Asked, desk: &Desk) -> Answer {
    let Some(folder) = desk.case() else { return no_case(desk) };
    let telling = Telling {
        taken: home::lines(asked, "taken"),
        moving: home::lines(asked, "moving"),
        learning_time: asked.field("learning").map(ToOwned::to_owned),
        time_minutes: None,
    };
    let stored = Case::open(&folder)
        .map_err(Refusal::from)
        .and_then(|case| possible::store(&case, &telling, None, desk.today(), desk.now()));
    match stored {
        Ok(_) => Answer::go("/where"),
        Err(refusal) => {
            let field = match refusal.code.as_str() {
                "taken" => "taken",
                "no-time" => "learning",
                _ => "moving",
            };
            show(desk, Some((asked, &[Wrong::about(field, refusal)])))
        }
    }
}
