//! Recordings: a file dropped, its reading shown.

use maud::{Markup, html};

use super::answer::Answer;
use super::asked::{Asked, Upload};
use super::desk::Desk;
use super::form::{self, Beside, Form, Refused, Wrong};
use super::{frame, meter};
use crate::contract::SoundDoc;
use crate::language::{Said, Speaker};
use crate::sound::Settings;
use crate::tasks::{Refusal, reports, sounds};

/// Seconds of a recording of the room, and of a voice. Common practice, no source.
pub(super) const ROOM_SECONDS: u32 = 60;
pub(super) const VOICE_SECONDS: u32 = 20;

/// The page that asks for a recording.
pub(super) fn ask(desk: &Desk, refused: Option<Refused<'_>>) -> Answer {
    let speaker = desk.speaker();
    let form = Form::new(&speaker, refused, "/sound");
    let body = html! {
        (form.top())
        p { (speaker.say("sound-how")) }
        form method="post" action="/sound" enctype="multipart/form-data" {
            (form.held())
            (fields(&speaker, &form, "sound-file"))
            (frame::send(&speaker, "sound-read"))
        }
        p.quiet { (speaker.say("sound-kept")) }
        p { a href="/meter" { (speaker.say("meter-title")) } ": " (speaker.say("meter-help")) }
    };
    let page = frame::scripted(&speaker, "/sound", &speaker.say("way-sound"), &body, &["/listen.js"]);
    if refused.is_some() { Answer::refusal(422, page) } else { Answer::page(page) }
}

/// The fields of a recording: the room, a voice, and what only some people have.
pub(super) fn fields(speaker: &Speaker, form: &Form<'_>, label: &str) -> Markup {
    html! {
        (form.file("sound", label, "audio/*", false, Some("room-sound-help")))
        (meter::recorder(speaker, "sound", ROOM_SECONDS))
        (form.tick("child-audible", "sound-child-audible"))
        (form.file("voice", "room-voice", "audio/*", false, Some("room-voice-help")))
        (meter::recorder(speaker, "voice", VOICE_SECONDS))
        details open[!form.value("offset", "").is_empty()] {
            summary { (speaker.say("sound-calibrated")) }
            (form.text("offset", "sound-offset", "", Some("sound-offset-help")))
        }
    }
}

/// The reading of a recording.
pub(super) fn heard(asked: &Asked, desk: &Desk) -> Answer {
    let speaker = desk.speaker();
    let asked = desk.with_held(asked);
    let none = || Wrong::about("sound", Refusal::new("no-file", speaker.say("page-no-file")));
    match of_form(&asked, &speaker).and_then(|read| read.ok_or_else(none)) {
        Ok(doc) => {
            let body =
                html! { (reading(&speaker, &doc)) p { a.button href="/sound" { (speaker.say("sound-again")) } } };
            Answer::page(frame::page(&speaker, "/sound", &speaker.say("sound-title"), &body))
        }
        Err(wrong) => {
            let wrong = [wrong];
            ask(desk, Some((&form::hold(asked, &wrong, desk), &wrong)))
        }
    }
}

/// The recording of a form, read; `None` when there is none.
pub(super) fn of_form(asked: &Asked, speaker: &Speaker) -> Result<Option<SoundDoc>, Wrong> {
    let calibration = match asked.field("offset") {
        Some(typed) => number(typed, "offset").and_then(sounds::offset).beside("offset")?,
        None => crate::sound::Calibration::NONE,
    };
    let (room, voice) = match (asked.file("sound"), asked.file("voice")) {
        (Some(room), voice) => (room, voice),
        (None, None) => return Ok(None),
        // A voice alone says nothing: it is compared with a room.
        (None, Some(_)) => {
            return Err(Wrong::about("sound", Refusal::new("no-room", speaker.say("sound-voice-alone"))));
        }
    };
    let child_audible = asked.field("child-audible").is_some();
    let opened = |upload: &Upload| sounds::from_bytes(&upload.name, (*upload.bytes).clone());
    let settings = Settings { calibration, ..Settings::default() };
    sounds::from_opened(opened(room), voice.map(opened), settings, child_audible, &mut |_| ()).map(Some).map_err(
        |refusal| match voice.filter(|voice| voice.name != room.name && refusal.place.as_ref() == Some(&voice.name)) {
            Some(voice) => Wrong::about("voice", refusal).of_file(&voice.name),
            None => Wrong::about("sound", refusal).of_file(&room.name),
        },
    )
}

/// A number as people type it, with a point or a comma.
pub(super) fn number(typed: &str, what: &str) -> Result<f64, Refusal> {
    typed.replace(',', ".").parse().ok().filter(|number: &f64| number.is_finite()).ok_or_else(|| {
        Refusal::new("number", format!("{what}: `{}` is no number", crate::words::printable(typed)))
            .hint("type a number such as 15 or 96.5")
    })
}

fn reading(speaker: &Speaker, doc: &SoundDoc) -> Markup {
    let unit = doc.level_unit.as_str();
    let level =
        |value: Option<f64>| value.map_or_else(|| "–".to_owned(), |db| format!("{} {unit}", speaker.number(db, 1)));
    let levels = [
        ("LAeq", doc.levels.laeq_db),
        ("LCeq", doc.levels.lceq_db),
        ("LAFmax", doc.levels.lafmax_db),
        ("LA10", doc.levels.la10_db),
        ("LA50", doc.levels.la50_db),
        ("LA90", doc.levels.la90_db),
    ];
    html! {
        p.quiet { (doc.source.name) ", " (speaker.number(doc.source.seconds, 1)) " s, " (doc.source.sample_rate_hz) " Hz" }
        @if doc.quality.silent { p.refusal { (speaker.say("sound-silent")) } } @else {
            @if unit != "dB" { p.note { (speaker.say("visitor-uncalibrated")) } }
            dl.figures { @for (name, value) in levels { div { dt { (name) } dd { (level(value)) } } } }
            @if let Some(margin) = &doc.margin {
                p { (speaker.say_with("visitor-margin", &[("margin", Said::Words(speaker.number(margin.margin_db, 1)))])) }
            }
            figure.chart { (frame::drawn(&reports::sound_chart(doc))) }
            p.small { (speaker.say("sound-orientation")) }
        }
        @if !doc.quality.warnings.is_empty() {
            h2 { (speaker.say("visitor-mind")) }
            ul { @for warning in &doc.quality.warnings { li { (warning.text) } } }
        }
    }
}
