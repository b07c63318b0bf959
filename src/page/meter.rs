//! The live meter: a water line with its pebble in words and shape, and the panel that records beside a file field.

use maud::{Markup, html};

use super::answer::Answer;
use super::asked::Asked;
use super::desk::Desk;
use super::form::{Beside, Form, Wrong};
use super::frame;
use super::listening::{Shown, Target};
use super::sound::number;
use crate::language::{Said, Speaker};
use crate::quantity::Decibels;
use crate::sound::{BandLevel, Calibration, LiveFigures, label};
use crate::tasks::aim::{Aim, Danger, Stand};
use crate::tasks::course::Course;
use crate::tasks::{Refusal, sessions, sounds};

/// Decibels from the water line to the edge of the picture.
const REACH_DB: f64 = 15.0;
/// Decibels from the lowest to the highest bar.
const BARS_DB: f64 = 40.0;

/// The page of the meter.
pub(super) fn show(asked: &Asked, desk: &Desk) -> Answer {
    let speaker = desk.speaker();
    let form = Form::new(&speaker, None, "/meter");
    let target = asked.field("rung").and_then(|rung| target_of(rung.parse().ok()?, desk));
    let body = html! {
        p { (speaker.say("meter-how")) }
        p.note { (speaker.say("meter-safe")) }
        noscript { p.note { (speaker.say("meter-needs-script")) } p { a href="/sound" { (speaker.say("way-sound")) } } }
        div #meter hidden {
            (form.text("offset", "sound-offset", "", Some("sound-offset-help")))
            (form.text("target", "meter-target", &target.map_or_else(String::new, |db| format!("{db:.0}")), Some("meter-target-help")))
            label.pick { input #against-voice type="checkbox" checked[desk.listeners.knows_voice()]; span { (speaker.say("meter-against-voice")) } }
            p.send {
                button #listen type="button" { (speaker.say("meter-listen")) }
                button.second #voice type="button" { (speaker.say("meter-voice")) }
                button.second #quit type="button" hidden { (speaker.say("meter-stop")) }
            }
            (altered(&speaker))
            p.lead #words role="status" data-voice=(speaker.say("meter-voice-now")) data-kept=(speaker.say("meter-voice-kept")) { }
            div #picture { }
        }
        p.quiet { (speaker.say("sound-kept")) }
    };
    Answer::page(frame::scripted(&speaker, "/sound", &speaker.say("meter-title"), &body, &["/listen.js"]))
}

/// The panel that records into the file field of that name; it stays hidden without script.
pub(super) fn recorder(speaker: &Speaker, field: &str, seconds: u32) -> Markup {
    html! {
        div.recorder hidden data-into=(field) data-seconds=(seconds) data-left=(speaker.say("meter-left")) data-taken=(speaker.say("meter-taken")) {
            p.send {
                button.second.record type="button" { (speaker.say_with("meter-record", &[("seconds", seconds.to_string().into())])) }
                button.second.enough type="button" hidden { (speaker.say("meter-enough")) }
            }
            (altered(speaker))
            p.words role="status" { }
            div.picture { }
        }
    }
}

/// What is said when the browser changes the sound.
fn altered(speaker: &Speaker) -> Markup {
    html! {
        div.note.altered hidden {
            p { (speaker.say("meter-altered")) }
            ul {
                li data-if="echoCancellation" hidden { (speaker.say("meter-echo")) }
                li data-if="noiseSuppression" hidden { (speaker.say("meter-noise")) }
                li data-if="autoGainControl" hidden { (speaker.say("meter-gain")) }
            }
        }
        p.note.denied hidden { (speaker.say("meter-denied")) }
    }
}

/// The level that a rung's card asks for.
fn target_of(rung: u32, desk: &Desk) -> Option<f64> {
    let folder = desk.case()?;
    let likely = sessions::likely(&folder, desk.today()).ok()?;
    let course = Course::read(crate::case::Case::open(&folder).ok()?).ok()?;
    let (_, ladder) = course.ladder(likely.task.as_deref(), likely.place.as_deref())?;
    ladder.plan.rungs.iter().find(|one| one.number == rung)?.card.as_ref()?.target.level_db
}

/// Starts a meter and gives its number.
pub(super) fn start(asked: &Asked, desk: &Desk) -> Answer {
    let begun = || -> Result<u64, Wrong> {
        let rate = asked.field("rate").and_then(|rate| rate.parse().ok()).unwrap_or_default();
        let calibration = match asked.field("offset") {
            Some(typed) => number(typed, "offset").and_then(sounds::offset).beside("offset")?,
            None => Calibration::NONE,
        };
        let target = match asked.field("target") {
            None => Target::None,
            Some("voice") => Target::Voice,
            Some(typed) => Target::Level(number(typed, "target").beside("target")?),
        };
        let begun = desk.listeners.start(rate, &calibration, target, desk.now());
        begun.map_err(|refusal| match refusal.code.as_str() {
            code if code.starts_with("target") => Wrong::about("target", refusal),
            _ => refusal.into(),
        })
    };
    match begun() {
        Ok(id) => Answer::file("text/plain; charset=utf-8", id.to_string().into_bytes()),
        // The script puts it beside its field.
        Err(wrong) => {
            Answer::refusal(422, html! { div.wrong data-beside=[&wrong.field] { (frame::wrong(&wrong.refusal)) } })
        }
    }
}

/// A block of samples; the picture after it.
pub(super) fn block(id: &str, asked: &Asked, desk: &Desk) -> Answer {
    let bytes = asked.file("body").map(|file| file.bytes.as_slice()).unwrap_or_default();
    let heard = meter_number(id).and_then(|id| desk.listeners.hear(id, bytes, desk.now()));
    answer(heard, desk)
}

/// The end of a meter.
pub(super) fn end(id: &str, as_voice: bool, desk: &Desk) -> Answer {
    answer(meter_number(id).and_then(|id| desk.listeners.end(id, as_voice)), desk)
}

fn meter_number(id: &str) -> Result<u64, Refusal> {
    id.parse().map_err(|_| Refusal::new("no-meter", "there is no such meter"))
}

fn answer(heard: Result<(LiveFigures, Shown), Refusal>, desk: &Desk) -> Answer {
    let speaker = desk.speaker();
    match heard {
        Ok((figures, shown)) => Answer::page(picture(&speaker, &figures, &shown)),
        Err(refusal) => Answer::refusal(422, frame::refused(&speaker, &refusal)),
    }
}

/// The picture: words, the water line with its pebble where there is a target, figures, bars.
fn picture(speaker: &Speaker, figures: &LiveFigures, shown: &Shown) -> Markup {
    let level = |level: Option<Decibels>| level.map(|level| level.db() + shown.shift_db);
    let (now, second, laeq) = (level(figures.now), level(figures.second), level(figures.laeq));
    let told =
        |db: Option<f64>| db.map_or_else(|| "–".to_owned(), |db| format!("{} {}", speaker.number(db, 1), shown.unit));
    html! {
        div.live data-seconds=(figures.seconds) data-now=[now] data-second=[second] data-laeq=[laeq] {
            @if let Some(aim) = &shown.aim {
                p.words { (words(speaker, second, aim)) }
                (water(second.map(|db| db - aim.target_db)))
            } @else if second.is_none() { p.words { (speaker.say("meter-no-sound")) } }
            dl.figures {
                div { dt { (speaker.say("meter-now")) } dd { (told(now)) } }
                div { dt { "LAeq" } dd { (told(laeq)) } }
            }
            (bars(speaker, &figures.octaves))
        }
    }
}

/// Where the level lies, in words that change only when the place does.
fn words(speaker: &Speaker, second: Option<f64>, aim: &Aim) -> String {
    let Some(db) = second else { return speaker.say("meter-no-sound") };
    let danger = match aim.danger(db) {
        Some(Danger::Stop) => Some("meter-danger-stop"),
        Some(Danger::Caution) => Some("meter-danger-caution"),
        None => None,
    };
    let stand = match (aim.voice, aim.stand(db)) {
        (false, Stand::Below) => "meter-below",
        (false, Stand::At) => "meter-at",
        (false, Stand::Over) => "meter-over",
        (true, Stand::Below) => "meter-voice-below",
        (true, Stand::At) => "meter-voice-at",
        (true, Stand::Over) => "meter-voice-over",
    };
    let target = Said::Words(speaker.number(aim.target_db, 0));
    let said = if aim.voice { speaker.say(stand) } else { speaker.say_with(stand, &[("target", target)]) };
    danger.map_or(said.clone(), |danger| format!("{} {said}", speaker.say(danger)))
}

/// The water line and the pebble below, at or over it.
fn water(difference_db: Option<f64>) -> Markup {
    let y = difference_db.map(|db| 70.0 - (db / REACH_DB).clamp(-1.0, 1.0) * 52.0);
    html! {
        svg.water viewBox="0 0 400 140" aria-hidden="true" {
            path.deep-water d="M0 70q25-7 50 0t50 0 50 0 50 0 50 0 50 0 50 0 50 0V140H0z" {}
            path.surface d="M0 70q25-7 50 0t50 0 50 0 50 0 50 0 50 0 50 0 50 0" {}
            @if let Some(y) = y { ellipse.pebble cx="200" cy=(format!("{y:.1}")) rx="17" ry="12" {} }
        }
    }
}

/// Octaves as bars, low to high, the strongest at the top.
fn bars(speaker: &Speaker, octaves: &[BandLevel]) -> Markup {
    let top = octaves.iter().map(|band| band.level.db()).fold(f64::NEG_INFINITY, f64::max);
    let height = |band: &BandLevel| (1.0 + (band.level.db() - top) / BARS_DB).clamp(0.02, 1.0) * 60.0;
    html! {
        @if !octaves.is_empty() {
            svg.bars viewBox="0 0 400 84" role="img" aria-label=(speaker.say("meter-bars")) {
                @for (at, band) in octaves.iter().enumerate() {
                    @let x = 6.0 + 50.0 * at as f64;
                    rect.part x=(x) y=(format!("{:.1}", 62.0 - height(band))) width="38" height=(format!("{:.1}", height(band))) {}
                    text x=(x + 19.0) y="79" text-anchor="middle" { (label(band.hz)) }
                }
            }
        }
    }
}
