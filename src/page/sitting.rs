//! Logging a sitting: it begins, every try becomes a bead, and it ends with the questions that are never taken for granted.

use maud::{Markup, html};

use super::answer::Answer;
use super::asked::Asked;
use super::beads;
use super::desk::Desk;
use super::frame;
use super::papers::{no_case, refuse};
use crate::language::{Said, Speaker};
use crate::practice::{DateForm, Details, Session};
use crate::tasks::Refusal;
use crate::tasks::sessions::{self, Likely, Taking};
use crate::tasks::sittings::{Keeper, Sitting, Try};

/// The most tries that can be meant.
const MOST: u32 = 100;

/// The sitting that is going on, or the page that begins one.
pub(super) fn show(desk: &Desk, typed: Option<(&Asked, &Refusal)>, last: Option<&str>) -> Answer {
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
    let value = |name: &str, ready: u32| {
        typed.and_then(|(asked, _)| asked.field(name)).map_or_else(|| ready.to_string(), ToOwned::to_owned)
    };
    let body = html! {
        @if let Some((_, refusal)) = typed { (frame::refused(&speaker, refusal)) }
        p { (speaker.say("sitting-how")) }
        p.note { (speaker.say("sessions-right")) }
        form method="post" action="/practice/sitting/begin" {
            (number(&speaker, "rung", "field-rung", &value("rung", likely.rung), Some("sitting-rung-help")))
            (number(&speaker, "of", "sessions-tries", &value("of", likely.opportunities), None))
            p.send { a.button.second href="/practice" { (speaker.say("room-back")) } button type="submit" { (speaker.say("sitting-begin")) } }
        }
    };
    let page = frame::page(&speaker, "/practice", &speaker.say("sitting-title"), &body);
    if typed.is_some() { Answer::refusal(422, page) } else { Answer::page(page) }
}

/// Begins a sitting.
pub(super) fn begin(asked: &Asked, desk: &Desk) -> Answer {
    let Some(case) = desk.case() else { return no_case(desk) };
    let begun = || -> Result<(), Refusal> {
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
        Err(refusal) => show(desk, Some((asked, &refusal)), None),
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
pub(super) fn end(desk: &Desk, typed: Option<(&Asked, &Refusal)>) -> Answer {
    let speaker = desk.speaker();
    let Some(case) = desk.case() else { return no_case(desk) };
    let Some(sitting) = Keeper::new(desk.state.as_deref(), &case).found() else {
        return Answer::go("/practice/sitting");
    };
    let likely = match sessions::likely(&case, desk.today()) {
        Ok(likely) => likely,
        Err(refusal) => return refuse(desk, &refusal),
    };
    let body = html! {
        @if let Some((_, refusal)) = typed { (frame::refused(&speaker, refusal)) }
        (beads::thread(&speaker, &sitting))
        p { (told(&speaker, &sitting)) }
        form method="post" action="/practice/sitting/end" { (questions(&speaker, &sitting, &likely, desk, typed.map(|(asked, _)| asked))) }
        details { summary { (speaker.say("sitting-forget")) }
            form method="post" action="/practice/sitting/forget" { p { (speaker.say("sitting-forget-help")) } p.send { button.second type="submit" { (speaker.say("sitting-forget-it")) } } } }
    };
    let page = frame::page(&speaker, "/practice", &speaker.say("sitting-end-title"), &body);
    if typed.is_some() { Answer::refusal(422, page) } else { Answer::page(page) }
}

/// Stores the sitting as a session.
pub(super) fn store(asked: &Asked, desk: &Desk) -> Answer {
    let Some(case) = desk.case() else { return no_case(desk) };
    let _alone = desk.sitting();
    let keeper = Keeper::new(desk.state.as_deref(), &case);
    let Some(sitting) = keeper.found() else { return Answer::go("/practice/sitting") };
    let stored = session(asked, &sitting, desk).and_then(|session| {
        let taking = Taking { dates: DateForm::Iso, dry_run: false, today: desk.today(), now: desk.now() };
        let doc = sessions::add(&case, session, &taking)?;
        keeper.forget()?;
        Ok(doc)
    });
    match stored {
        Ok(doc) => {
            let speaker = desk.speaker();
            desk.tell(std::iter::once(speaker.say("sitting-stored")).chain(doc.notices).collect());
            Answer::go("/practice")
        }
        Err(refusal) => end(desk, Some((asked, &refusal))),
    }
}

fn session(asked: &Asked, sitting: &Sitting, desk: &Desk) -> Result<Session, Refusal> {
    let speaker = desk.speaker();
    let said = |name: &str| match asked.field(name) {
        Some("yes") => Some(true),
        Some("no") => Some(false),
        _ => None,
    };
    let (distress, assent) = (said("distress"), said("assent"));
    let distractor_on = if sitting.rung == 0 { Some(false) } else { said("distractor-on") };
    let missing: Vec<String> = [
        (distractor_on.is_none(), "sessions-on"),
        (distress.is_none(), "sitting-distress"),
        (assent.is_none(), "sessions-came"),
    ]
    .into_iter()
    .filter(|(missing, _)| *missing)
    .map(|(_, name)| speaker.say(name))
    .collect();
    let (Some(distress), Some(assent), Some(distractor_on)) = (distress, assent, distractor_on) else {
        let told = speaker.say_with("sitting-missing", &[("questions", Said::Words(missing.join(" ")))]);
        return Err(Refusal::new("not-said", told).hint(speaker.say("sitting-never-assumed")));
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
        minutes: asked.field("minutes").map(|_| whole(asked, "minutes", 0, 1440)).transpose()?,
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

fn questions(speaker: &Speaker, sitting: &Sitting, likely: &Likely, desk: &Desk, typed: Option<&Asked>) -> Markup {
    let value = |name: &str, ready: Option<&str>| -> String {
        let given = typed.map(|asked| asked.field(name));
        given.unwrap_or(ready).unwrap_or_default().to_owned()
    };
    let gone = desk.now().duration_since(sitting.began).as_mins().clamp(1, 120).to_string();
    let yes_no = |name: &str, question: &str| {
        html! {
            fieldset {
                legend { (speaker.say(question)) }
                @for (value, label) in [("yes", "word-yes"), ("no", "word-no")] {
                    label.pick { input type="radio" name=(name) value=(value) checked[typed.and_then(|asked| asked.field(name)) == Some(value)]; span { (speaker.say(label)) } }
                }
            }
        }
    };
    html! {
        @if sitting.rung > 0 { (yes_no("distractor-on", "sessions-on")) }
        (yes_no("distress", "sitting-distress"))
        (yes_no("assent", "sessions-came"))
        (number(speaker, "minutes", "field-minutes", &value("minutes", Some(&gone)), None))
        @if sitting.rung == likely.rung && !likely.exemplars.is_empty() && sitting.rung > 0 {
            fieldset {
                legend { (speaker.say("sitting-which")) }
                @for thing in &likely.exemplars {
                    label.pick { input type="radio" name="exemplar" value=(thing) checked[value("exemplar", None) == *thing]; span { (thing) } }
                }
            }
        }
        (frame::text(speaker, "note", "field-note", &value("note", None), Some("sessions-mark-words")))
        details {
            summary { (speaker.say("sitting-more")) }
            (frame::text(speaker, "task", "field-task", &value("task", likely.task.as_deref()), None))
            (frame::text(speaker, "place", "field-place", &value("place", likely.place.as_deref()), None))
            (frame::text(speaker, "by", "sitting-by", &value("by", likely.by.as_deref()), Some("room-by-help")))
            (frame::text(speaker, "reinforcer", "sitting-reinforcer", &value("reinforcer", likely.reinforcer.as_deref()), None))
        }
        p.send {
            a.button.second href="/practice/sitting" { (speaker.say("sitting-back")) }
            button type="submit" { (speaker.say("sitting-store")) }
        }
    }
}

/// A whole number to type.
pub(super) fn number(speaker: &Speaker, name: &str, label: &str, value: &str, help: Option<&str>) -> Markup {
    let helped = help.map(|_| format!("{name}-help"));
    html! {
        div.field {
            label for=(name) { (speaker.say(label)) }
            @if let (Some(help), Some(id)) = (help, &helped) { p.help id=(id) { (speaker.say(help)) } }
            input type="text" inputmode="numeric" size="6" id=(name) name=(name) value=(value) aria-describedby=[helped.as_deref()] autocomplete="off";
        }
    }
}

/// A whole number as it was typed.
pub(super) fn whole(asked: &Asked, name: &str, least: u32, most: u32) -> Result<u32, Refusal> {
    let typed = asked.field(name).unwrap_or_default();
    typed.parse().ok().filter(|number| (least..=most).contains(number)).ok_or_else(|| {
        Refusal::new("number", format!("{name}: `{}` is no number that fits", crate::words::printable(typed)))
            .hint(format!("a whole number from {least} to {most}"))
    })
}
