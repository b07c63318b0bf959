//! Photos: read, shown with their busy places, forgotten.

use maud::{Markup, html};

use super::answer::Answer;
use super::asked::Asked;
use super::desk::Desk;
use super::form::{self, Beside, Form, Refused, Wrong};
use super::frame;
use crate::language::{Said, Speaker};
use crate::tasks::photos::{self, MeasuredPhoto};
use crate::tasks::{Named, Refusal};

/// The page that asks for photos.
pub(super) fn ask(desk: &Desk, refused: Option<Refused<'_>>) -> Answer {
    let speaker = desk.speaker();
    let form = Form::new(&speaker, refused, "/photo");
    let body = html! {
        (form.top())
        form method="post" action="/photo" enctype="multipart/form-data" {
            (form.held())
            (form.file("photo", "photo-choose", "image/*", true, Some("room-photos-help")))
            (frame::send(&speaker, "photo-read"))
        }
        p.quiet { (speaker.say("photo-private")) }
        h2 { (speaker.say("paper-photo-guide")) }
        ol { @for step in 1..=4 { li { (speaker.say(&format!("photo-step-{step}"))) } } }
        p { (speaker.say("photo-after")) }
    };
    let page = frame::page(&speaker, "/photo", &speaker.say("way-photo"), &body);
    if refused.is_some() { Answer::refusal(422, page) } else { Answer::page(page) }
}

/// The photos of a form, measured.
pub(super) fn of_form(asked: &Asked) -> Result<Vec<MeasuredPhoto>, Wrong> {
    let sent = asked.files.iter().filter(|file| file.field == "photo");
    sent.map(|upload| {
        let named = Named { name: upload.name.clone(), content: (*upload.bytes).clone() };
        photos::photo(&named).beside("photo").map_err(|wrong| wrong.of_file(&upload.name))
    })
    .collect()
}

/// What the photos show.
pub(super) fn seen(asked: &Asked, desk: &Desk) -> Answer {
    let speaker = desk.speaker();
    let asked = desk.with_held(asked);
    let measured = of_form(&asked).and_then(|all| {
        let none = || Wrong::about("photo", Refusal::new("no-file", speaker.say("page-no-file")));
        if all.is_empty() { Err(none()) } else { Ok(all) }
    });
    let measured = match measured {
        Ok(measured) => measured,
        Err(wrong) => {
            let wrong = [wrong];
            return ask(desk, Some((&form::hold(asked, &wrong, desk), &wrong)));
        }
    };
    let together = (measured.len() > 1).then(|| photos::together(&measured));
    let body = html! {
        @if let Some(all) = &together {
            p.lead { (speaker.say_with("photo-together", &[
                ("busyness", Said::Words(speaker.number(all.busyness, 0))), ("spread", Said::Words(speaker.number(all.spread, 0))),
            ])) }
        }
        @for photo in &measured { (one(&speaker, photo)) }
        p { a.button href="/photo" { (speaker.say("photo-again")) } }
        p.quiet { (speaker.say("photo-private")) }
    };
    Answer::page(frame::page(&speaker, "/photo", &speaker.say("photo-title"), &body))
}

fn one(speaker: &Speaker, photo: &MeasuredPhoto) -> Markup {
    let doc = &photo.doc;
    let picture = photos::reduced(photo).map(|jpeg| crate::report::data_address(&jpeg)).ok();
    html! {
        section.card {
            h2 { (doc.photo.name) }
            p { (speaker.say_with("visitor-busyness", &[
                ("busyness", Said::Words(speaker.number(doc.busyness, 0))), ("sd", Said::Words(speaker.number(doc.busyness_sd, 0))),
            ])) }
            @if let Some(picture) = picture {
                div.places {
                    img src=(picture) alt=(speaker.say("photo-alt"));
                    svg viewBox="0 0 100 100" preserveAspectRatio="none" aria-hidden="true" {
                        @for place in &doc.busy_places {
                            rect x=(place.x * 100.0) y=(place.y * 100.0) width=(place.width * 100.0) height=(place.height * 100.0) {}
                        }
                    }
                }
            }
            @if !doc.busy_places.is_empty() {
                p { (speaker.say("photo-places")) }
                ol { @for place in &doc.busy_places { li { (speaker.say_with("photo-place", &[("share", Said::Words(speaker.number(place.share * 100.0, 0)))])) } } }
            }
            @for warning in &doc.quality.warnings { p.note { (warning.text) } }
        }
    }
}
