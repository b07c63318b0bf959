//! Logging a sitting: it begins, every try becomes a bead, and it ends with the questions that are never taken for granted.

use maud::{Markup, html};

use super::answer::Answer;
use super::asked::Asked;
use super::beads;
use super::desk::Desk;
use super::form::{Beside, Form, Refused, Wrong};
use super::frame;
use super::papers::{no_case, refuse};
use crate::language::Speaker;
use crate::practice::{DateForm, Details, Session};
use crate::tasks::Refusal;
use crate::tasks::sessions::{self, Likely, Taking};
use crate::tasks::sittings::{Keeper, Sitting, Try};
use crate::words::printable;

/// The most tries that can be meant.
const MOST: u32 = 100;

/// The sitting that is going on, or the page that begins one.
pub(super) fn show(desk: &Desk, refused: Option<Refused<'_>>, last: Option<&str>) -> Answer {
    let speaker = desk.speaker();
    let Some(case) = desk.case() else { return no_case(desk) };
    if let Some(sitting) = Keeper::new(desk.state.as_deref(), &case).found() {
        let title = speaker.say_with("rung-number", &[("number", sitting.rung.to_string().into())]);
        return Answer::page(frame::page(&speaker, "/practice", &title, &going(&speaker, &sitting, last)));
    }
    let likely = match sessions::likely(&case, desk.today()) {
        Ok(likely) => likely,
        Err(refusal) => return refuse(desk, &refusal),
    };
    let form = Form::new(&speaker, refused, "/practice/sitting/begin");
    let body = html! {
        (form.top())
        p { (speaker.say("sitting-how")) }
        p.note { (speaker.say("sessions-right")) }
        form method="post" action="/practice/sitting/begin" {
            (form.number("rung", "field-rung", &likely.rung.to_string(), Some("sitting-rung-help")))
            (form.number("of", "sessions-tries", &likely.opportunities.to_string(), None))
            p.send { a.button.second href="/practice" { (speaker.say("room-back")) } button type="submit" { (speaker.say("sitting-begin")) } }
        }
    };
    let page = frame::page(&speaker, "/practice", &speaker.say("sitting-title"), &body);
    if refused.is_some() { Answer::refusal(422, page) } else { Answer::page(page) }
}

/// Begins a sitting.
pub(super) fn begin(asked: &Asked, desk: &Desk) -> Answer {
    let Some(case) = desk.case() else { return no_case(desk) };
    let begun = || -> Result<(), Wrong> {
        let likely = sessions::likely(&case, desk.today())?;
        let rung = whole(asked, "rung", 0, likely.top.unwrap_or(999))?;
        let of = whole(asked, "of", 1, MOST)?;
        let _alone = desk.sitting();
        let keeper = Keeper::new(desk.state.as_deref(), &case);
        if keeper.found().is_none() {
            keeper.keep(&Sitting { date: desk.today(), began: desk.now(), rung, of, tries: Vec::new() })?;
        }
        Ok(())
    };
    match begun() {
        Ok(()) => Answer::go("/practice/sitting"),
        Err(wrong) => show(desk, Some((asked, &[wrong])), None),
    }
}

/// A try, or the last one taken back. A press that was meant for an older page changes nothing.
pub(super) fn mark(asked: &Asked, desk: &Desk) -> Answer {
    let Some(case) = desk.case() else { return no_case(desk) };
    let _alone = desk.sitting();
    let keeper = Keeper::new(desk.state.as_deref(), &case);
    let Some(mut sitting) = keeper.found() else { return Answer::go("/practice/sitting") };
    let word = asked.field("bead").unwrap_or_default();
    let meant_here = asked.field("so-far") == Some(sitting.given().to_string().as_str());
    if meant_here {
        match Try::from_word(word) {
            Some(how) if !sitting.is_full() => sitting.tries.push(how),
            None if word == "undo" => drop(sitting.tries.pop()),
            _ => {}
        }
        if let Err(refusal) = keeper.keep(&sitting) {
            return refuse(desk, &refusal);
        }
    }
    if sitting.is_full() && word != "undo" {
        return Answer::go("/practice/sitting/end");
    }
    Answer::go(format!("/practice/sitting?last={}", Try::from_word(word).map_or("undo", Try::word)))
}

/// Throws the sitting away.
pub(super) fn forget(desk: &Desk) -> Answer {
    let Some(case) = desk.case() else { return no_case(desk) };
    let _alone = desk.sitting();
    match Keeper::new(desk.state.as_deref(), &case).forget() {
        Ok(()) => Answer::go("/practice"),
        Err(refusal) => refuse(desk, &refusal),
    }
}

/// The questions at the end.
pub(super) fn end(desk: &Desk, refused: Option<Refused<'_>>) -> Answer {
    let speaker = desk.speaker();
    let Some(case) = desk.case() else { return no_case(desk) };
    let Some(sitting) = Keeper::new(desk.state.as_deref(), &case).found() else {
        return Answer::go("/practice/sitting");
    };
    let likely = match sessions::likely(&case, desk.today()) {
        Ok(likely) => likely,
        Err(refusal) => return refuse(desk, &refusal),
    };
    let form = Form::new(&speaker, refused, "/practice/sitting/end");
    let body = html! {
        (form.top())
        (beads::thread(&speaker, &sitting))
        p { (told(&speaker, &sitting)) }
        form method="post" action="/practice/sitting/end" { (questions(&speaker, &sitting, &likely, desk, &form)) }
        details { summary { (speaker.say("sitting-forget")) }
            form method="post" action="/practice/sitting/forget" { p { (speaker.say("sitting-forget-help")) } p.send { button.second type="submit" { (speaker.say("sitting-forget-it")) } } } }
    };
    let page = frame::page(&speaker, "/practice", &speaker.say("sitting-end-title"), &body);
    if refused.is_some() { Answer::refusal(422, page) } else { Answer::page(page) }
}

/// Stores the sitting as a session.
pub(super) fn store(asked: &Asked, desk: &Desk) -> Answer {
    let Some(case) = desk.case() else { return no_case(desk) };
    let _alone = desk.sitting();
    let keeper = Keeper::new(desk.state.as_deref(), &case);
    let Some(sitting) = keeper.found() else { return Answer::go("/practice/sitting") };
    let stored = session(asked, &sitting, desk).and_then(|session| {
        let taking = Taking { dates: DateForm::Iso, dry_run: false, today: desk.today(), now: desk.now() };
        let doc = sessions::add(&case, session, &taking).map_err(|refusal| vec![Wrong::from(refusal)])?;
        keeper.forget().map_err(|refusal| vec![Wrong::from(refusal)])?;
        Ok(doc)
    });
    match stored {
        Ok(doc) => {
            let speaker = desk.speaker();
            desk.tell(std::iter::once(speaker.say("sitting-stored")).chain(doc.notices).collect());
            Answer::go("/practice")
        }
        Err(wrong) => end(desk, Some((asked, &wrong))),
    }
}

fn session(asked: &Asked, sitting: &Sitting, desk: &Desk) -> Result<Session, Vec<Wrong>> {
    let speaker = desk.speaker();
    let said = |name: &str| match asked.field(name) {
        Some("yes") => Some(true),
        Some("no") => Some(false),
        _ => None,
    };
    let (distress, assent) = (said("distress"), said("assent"));
    let distractor_on = if sitting.rung == 0 { Some(false) } else { said("distractor-on") };
    let minutes = asked.field("minutes").map(|_| whole(asked, "minutes", 0, 1440)).transpose();
    let missing = [(distractor_on, "distractor-on"), (distress, "distress"), (assent, "assent")];
    let mut wrong = Vec::new();
    for (_, name) in missing.iter().filter(|(said, _)| said.is_none()) {
        let refusal = Refusal::new("not-said", speaker.say("sitting-missing"));
        // Why it is asked is said once.
        let why = wrong.is_empty().then(|| speaker.say("sitting-never-assumed"));
        wrong.push(Wrong::about(name, Refusal { hint: why, ..refusal }));
    }
    wrong.extend(minutes.clone().err());
    let (Some(distress), Some(assent), Some(distractor_on), Ok(minutes)) = (distress, assent, distractor_on, minutes)
    else {
        return Err(wrong);
    };
    let words = |name: &str| asked.field(name).map(ToOwned::to_owned);
    Ok(Session {
        date: sitting.date,
        rung: sitting.rung,
        opportunities: sitting.given(),
        independent: sitting.count(Try::Alone),
        prompted: sitting.count(Try::Helped),
        errors: sitting.count(Try::Wrong),
        distress,
        assent,
        distractor_on,
        minutes,
        note: words("note").unwrap_or_default(),
        task: words("task"),
        place: words("place"),
        by: words("by"),
        exemplar: words("exemplar"),
        after: false,
        further: Vec::new(),
        details: Details {
            time: Some(desk.clock_time(sitting.began)),
            reinforcer: words("reinforcer"),
            ..Details::default()
        },
    })
}

/// The thread with what can be pressed.
fn going(speaker: &Speaker, sitting: &Sitting, last: Option<&str>) -> Markup {
    html! {
        (beads::thread(speaker, sitting))
        p aria-live="polite" { (told(speaker, sitting)) }
        @if sitting.three_wrong() { p.note { (speaker.say("sitting-three-wrong")) } }
        form.beads method="post" action="/practice/sitting/mark" {
            input type="hidden" name="so-far" value=(sitting.given());
            @if !sitting.is_full() {
                div.presses {
                    @for how in Try::ALL {
                        button.press type="submit" name="bead" value=(how.word()) autofocus[last == Some(how.word())] {
                            (beads::bead(how)) span { (speaker.say(beads::name(how))) }
                        }
                    }
                }
            }
            p.send {
                a.button href="/practice/sitting/end" { (speaker.say(if sitting.is_full() { "sitting-to-end" } else { "sitting-stop" })) }
                @if !sitting.tries.is_empty() {
                    button.second type="submit" name="bead" value="undo" autofocus[last == Some("undo")] { (speaker.say("sitting-undo")) }
                }
            }
        }
        p.quiet { (speaker.say("sitting-kept")) " " (speaker.say("sessions-right")) }
        details { summary { (speaker.say("sessions-stop-title")) } ul {
            @for why in ["sessions-stop-errors", "sessions-stop-upset", "sessions-stop-enough"] { li { (speaker.say(why)) } }
        } }
    }
}

fn told(speaker: &Speaker, sitting: &Sitting) -> String {
    speaker.say_with(
        "sitting-so-far",
        &[
            ("given", sitting.given().to_string().into()),
            ("of", sitting.of.to_string().into()),
            ("alone", sitting.count(Try::Alone).to_string().into()),
            ("helped", sitting.count(Try::Helped).to_string().into()),
            ("wrong", sitting.count(Try::Wrong).to_string().into()),
        ],
    )
}

fn questions(speaker: &Speaker, sitting: &Sitting, likely: &Likely, desk: &Desk, form: &Form<'_>) -> Markup {
    let ready = |value: &Option<String>| value.clone().unwrap_or_default();
    let gone = desk.now().duration_since(sitting.began).as_mins().clamp(1, 120).to_string();
    let things: Vec<(&str, String)> = likely.exemplars.iter().map(|thing| (thing.as_str(), thing.clone())).collect();
    html! {
        @if sitting.rung > 0 { (form.yes_no("distractor-on", "sessions-on")) }
        (form.yes_no("distress", "sitting-distress"))
        (form.yes_no("assent", "sessions-came"))
        (form.number("minutes", "field-minutes", &gone, None))
        @if sitting.rung == likely.rung && !things.is_empty() && sitting.rung > 0 {
            (form.choice("exemplar", "sitting-which", "", false, &things))
        }
        (form.text("note", "field-note", "", Some("sessions-mark-words")))
        details {
            summary { (speaker.say("sitting-more")) }
            (form.text("task", "field-task", &ready(&likely.task), None))
            (form.text("place", "field-place", &ready(&likely.place), None))
            (form.text("by", "sitting-by", &ready(&likely.by), Some("room-by-help")))
            (form.text("reinforcer", "sitting-reinforcer", &ready(&likely.reinforcer), None))
        }
        p.send {
            a.button.second href="/practice/sitting" { (speaker.say("sitting-back")) }
            button type="submit" { (speaker.say("sitting-store")) }
        }
    }
}

/// A whole number as it was typed.
pub(super) fn whole(asked: &Asked, name: &str, least: u32, most: u32) -> Result<u32, Wrong> {
    let typed = asked.field(name).unwrap_or_default();
    let found = typed.parse().ok().filter(|number| (least..=most).contains(number));
    let refusal = || {
        Refusal::new("number", format!("{name}: `{}` is no number that fits", printable(typed)))
            .hint(format!("a whole number from {least} to {most}"))
    };
    found.ok_or_else(refusal).beside(name)
}
