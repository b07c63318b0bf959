//! An observation in intervals: a timer with a gentle cue where there is script, the marks of a paper sheet where not.

use maud::{Markup, html};

use super::answer::Answer;
use super::asked::Asked;
use super::desk::Desk;
use super::frame;
use super::sitting::{number, whole};
use crate::contract::{ObservationBody, SampleDoc};
use crate::language::{Said, Speaker};
use crate::tasks::Refusal;
use crate::tasks::samples::{self, AT_THE_TASK, Sampled};

/// The most marks of one observation: an hour at two seconds.
const MOST_MARKS: usize = 1800;
/// The ways, and their messages.
const WAYS: [(Sampled, &str); 3] =
    [(Sampled::Momentary, "sample-momentary"), (Sampled::Whole, "sample-whole"), (Sampled::Partial, "sample-partial")];

/// The timer.
pub(super) fn ask(desk: &Desk, typed: Option<(&Asked, &Refusal)>) -> Answer {
    let speaker = desk.speaker();
    let value = |name: &str, ready: &str| typed.and_then(|(asked, _)| asked.field(name)).unwrap_or(ready).to_owned();
    let way = value("method", Sampled::Momentary.word());
    let body = html! {
        @if let Some((_, refusal)) = typed { (frame::refused(&speaker, refusal)) }
        p { (speaker.say("sample-how")) }
        p.note { (speaker.say("sample-right")) }
        form #sampling method="post" action="/practice/sample" {
            (frame::text(&speaker, "what", "sample-what", &value("what", AT_THE_TASK), Some("sample-what-help")))
            fieldset { legend { (speaker.say("sample-method")) }
                @for (how, name) in WAYS {
                    label.pick { input type="radio" name="method" value=(how.word()) checked[way == how.word()] data-question=(speaker.say(&format!("{name}-ask"))); span { (speaker.say(name)) } }
                }
            }
            div.row {
                (number(&speaker, "interval", "sample-interval", &value("interval", "15"), None))
                (number(&speaker, "length", "sample-length", &value("length", "5"), None))
            }
            (timer(&speaker))
            div #typed-marks { (frame::text(&speaker, "marks", "sample-marks", &value("marks", ""), Some("sample-marks-help"))) }
            (frame::text(&speaker, "by", "sitting-by", &value("by", ""), Some("room-by-help")))
            p.send { a.button.second href="/practice" { (speaker.say("room-back")) } button type="submit" { (speaker.say("sample-store")) } }
        }
    };
    let page = frame::scripted(&speaker, "/practice", &speaker.say("sample-title"), &body, &["/timer.js"]);
    if typed.is_some() { Answer::refusal(422, page) } else { Answer::page(page) }
}

/// Stays hidden without script.
fn timer(speaker: &Speaker) -> Markup {
    html! {
        div.card.timer #timer hidden data-of=(speaker.say("sample-of")) data-done=(speaker.say("sample-done")) {
            label.pick { input #chime type="checkbox"; span { (speaker.say("sample-chime")) } }
            svg.clock viewBox="0 0 120 120" aria-hidden="true" { circle.track cx="60" cy="60" r="52" {} circle #ring cx="60" cy="60" r="52" pathLength="100" {} }
            p.lead #cue role="status" { }
            p.quiet #place { }
            p.send {
                button #start type="button" { (speaker.say("sample-start")) }
                button #yes type="button" hidden { (speaker.say("word-yes")) }
                button.second #no type="button" hidden { (speaker.say("word-no")) }
                button.second #stop type="button" hidden { (speaker.say("sample-stop")) }
            }
        }
    }
}

/// Takes the marks.
pub(super) fn store(asked: &Asked, desk: &Desk) -> Answer {
    match taken(asked, desk) {
        Ok(doc) => {
            let speaker = desk.speaker();
            let body = html! {
                p.lead { (doc.what) }
                @match doc.share {
                    Some(share) => p { (speaker.say_with("sample-share", &[
                        ("percent", Said::Words(speaker.number(100.0 * share, 0))),
                        ("marked", (doc.intervals - doc.missed).to_string().into()),
                        ("missed", doc.missed.to_string().into())])) },
                    None => p { (speaker.say("sample-none")) },
                }
                p.small { (doc.bias) }
                p.quiet { (speaker.say(if doc.id.is_some() { "sample-stored" } else { "sample-not-stored" })) }
                p { a.button href="/practice" { (speaker.say("way-practice")) } }
            };
            Answer::page(frame::page(&speaker, "/practice", &speaker.say("sample-title"), &body))
        }
        Err(refusal) => ask(desk, Some((asked, &refusal))),
    }
}

fn taken(asked: &Asked, desk: &Desk) -> Result<SampleDoc, Refusal> {
    let what = asked.field("what").unwrap_or_default();
    samples::may_look_for(what)?;
    let how = WAYS.into_iter().map(|(how, _)| how).find(|how| Some(how.word()) == asked.field("method"));
    let how = how.unwrap_or(Sampled::Momentary);
    let body = ObservationBody {
        method: how.word().to_owned(),
        what: what.to_owned(),
        interval_s: whole(asked, "interval", 2, 600)?,
        marks: marks(asked.field("marks").unwrap_or_default())?,
        task: None,
        place: None,
    };
    samples::finish(desk.case().as_deref(), body, how, asked.field("by"), desk.today(), desk.now())
}

/// Marks as they were made or typed.
fn marks(typed: &str) -> Result<String, Refusal> {
    let marks: String = typed.chars().filter(|sign| !sign.is_whitespace()).flat_map(char::to_lowercase).collect();
    if marks.is_empty() || marks.len() > MOST_MARKS || !marks.chars().all(|mark| matches!(mark, 'y' | 'n' | '-')) {
        return Err(Refusal::new("marks", format!("`{}` are no marks", crate::words::printable(typed)))
            .hint("one sign an interval: y seen, n not seen, - not looked"));
    }
    Ok(marks)
}
