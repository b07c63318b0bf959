//! An observation in intervals: a timer with a gentle cue where there is script, the marks of a paper sheet where not.

use maud::{Markup, html};

use super::answer::Answer;
use super::asked::Asked;
use super::desk::Desk;
use super::form::{Beside, Form, Refused, Wrong};
use super::frame;
use super::papers::refuse;
use super::sitting::whole;
use crate::contract::{ObservationBody, SampleDoc};
use crate::language::{Said, Speaker};
use crate::tasks::Refusal;
use crate::tasks::samples::{self, AT_THE_TASK, Sampled};
use crate::tasks::sampling::{Draft, Keeper, MOST_MARKS};

/// The ways, and their messages.
const WAYS: [(Sampled, &str); 3] =
    [(Sampled::Momentary, "sample-momentary"), (Sampled::Whole, "sample-whole"), (Sampled::Partial, "sample-partial")];

/// The timer.
pub(super) fn ask(desk: &Desk, refused: Option<Refused<'_>>) -> Answer {
    let speaker = desk.speaker();
    let form = Form::new(&speaker, refused, "/practice/sample");
    let kept = keeper(desk).found().filter(|draft| !draft.marks.is_empty());
    let ready = kept.clone().unwrap_or_else(|| Draft {
        what: AT_THE_TASK.to_owned(),
        method: Sampled::Momentary.word().to_owned(),
        interval: "15".to_owned(),
        length: "5".to_owned(),
        ..Draft::default()
    });
    let question = |name: &str| speaker.say(&format!("{name}-ask"));
    let body = html! {
        (form.top())
        @if let Some(draft) = kept.as_ref().filter(|_| !form.is_refused()) {
            div.note role="status" {
                p { (speaker.say_with("sample-kept", &[("count", u32::try_from(draft.marks.len()).unwrap_or(u32::MAX).into()), ("time", desk.clock_time(draft.kept).into())])) }
                form method="post" action="/practice/sample/forget" { p { button.second type="submit" { (speaker.say("sample-forget")) } } }
            }
        }
        p { (speaker.say("sample-how")) }
        p.note { (speaker.say("sample-right")) }
        form #sampling method="post" action="/practice/sample" {
            (form.text("what", "sample-what", &ready.what, Some("sample-what-help")))
            fieldset { legend { (speaker.say("sample-method")) }
                @for (how, name) in WAYS {
                    label.pick.tall { input type="radio" name="method" value=(how.word()) checked[form.chosen("method", how.word(), how.word() == ready.method)] data-question=(question(name)); span { (speaker.say(name)) } }
                }
            }
            div.row {
                (form.number("interval", "sample-interval", &ready.interval, None))
                (form.number("length", "sample-length", &ready.length, None))
            }
            (timer(&speaker))
            // With script the marks are made by the timer; those that are here already stay to be seen and mended.
            div #typed-marks data-stay[kept.is_some() || form.is_refused()] { (form.text("marks", "sample-marks", &ready.marks, Some("sample-marks-help"))) }
            (form.text("by", "sitting-by", &ready.by, Some("room-by-help")))
            p.send { a.button.second href="/practice" { (speaker.say("room-back")) } button type="submit" { (speaker.say("sample-store")) } }
        }
    };
    let page = frame::scripted(&speaker, "/practice", &speaker.say("sample-title"), &body, &["/timer.js"]);
    if refused.is_some() { Answer::refusal(422, page) } else { Answer::page(page) }
}

fn keeper(desk: &Desk) -> Keeper {
    Keeper::new(desk.state.as_deref(), desk.case().as_deref())
}

/// Keeps the marks so far, as the timer sends them after every one.
pub(super) fn keep(asked: &Asked, desk: &Desk) -> Answer {
    let words = |name: &str| asked.field(name).unwrap_or_default().to_owned();
    let draft = Draft {
        kept: desk.now(),
        what: words("what"),
        method: words("method"),
        interval: words("interval"),
        length: words("length"),
        marks: words("marks"),
        by: words("by"),
    };
    let _alone = desk.sitting();
    match keeper(desk).keep(&draft) {
        Ok(()) => Answer::file("text/plain; charset=utf-8", Vec::new()),
        Err(refusal) => Answer::refusal(422, frame::refused(&desk.speaker(), &refusal)),
    }
}

/// Throws the marks so far away.
pub(super) fn forget(desk: &Desk) -> Answer {
    let _alone = desk.sitting();
    match keeper(desk).forget() {
        Ok(()) => Answer::go("/practice/sample"),
        Err(refusal) => refuse(desk, &refusal),
    }
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
        Err(wrong) => ask(desk, Some((asked, &[wrong]))),
    }
}

fn taken(asked: &Asked, desk: &Desk) -> Result<SampleDoc, Wrong> {
    let what = asked.field("what").unwrap_or_default();
    samples::may_look_for(what).beside("what")?;
    let how = WAYS.into_iter().map(|(how, _)| how).find(|how| Some(how.word()) == asked.field("method"));
    let how = how.unwrap_or(Sampled::Momentary);
    let body = ObservationBody {
        method: how.word().to_owned(),
        what: what.to_owned(),
        interval_s: whole(asked, "interval", 2, 600)?,
        marks: marks(asked.field("marks").unwrap_or_default()).beside("marks")?,
        task: None,
        place: None,
        read_from: None,
    };
    let _alone = desk.sitting();
    let done = samples::finish(desk.case().as_deref(), body, how, asked.field("by"), desk.today(), desk.now())?;
    keeper(desk).forget()?;
    Ok(done)
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
