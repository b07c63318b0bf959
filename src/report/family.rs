//! The family's page: one sheet, one thing to do now, the room before and now, the next step in practice. Plain words,
//! no load, no grade.

use maud::{Markup, html};

use super::icons::Icon;
use super::papers::frame::sheet;
use super::{CaseReport, say, sketch};
use crate::contract::WayDoc;
use crate::language::{Said, Speaker};
use crate::words::{Channel, printable};

const STYLE: &str = include_str!("family.css");

/// What the page says first.
enum Now<'a> {
    /// A pause: nothing else matters.
    Pause,
    /// Another place or time is the cheaper move.
    Elsewhere(&'a WayDoc),
    /// The best thing to move: its drawing, its remedy, its minutes.
    Move(Icon, &'a str, Option<f64>),
    /// The rung has to be broken down.
    Smaller,
    /// Nothing needs moving.
    Nothing,
}

/// The page.
pub(crate) fn page(report: &CaseReport<'_>, speaker: &Speaker) -> String {
    let now = now(report);
    let pause = matches!(now, Now::Pause);
    let made_on = report.made_on.parse().map_or_else(|_| printable(report.made_on), |date| speaker.day(date));
    let body = html! {
        p.place { (speaker.own_words(&say::capital(&printable(report.place)))) }
        section.now {
            h2 { (speaker.say("family-one")) }
            @match now {
                Now::Pause => (sentence(Icon::Telephone, &speaker.say("family-pause"))),
                Now::Elsewhere(way) => {
                    (sentence(Icon::Seat, &elsewhere(way, speaker)))
                    @if let Some(minutes) = whole(way.minutes) {
                        p.aside { (speaker.say_with("family-move-minutes", &[("minutes", minutes.into())])) }
                    }
                }
                Now::Move(icon, remedy, minutes) => {
                    (sentence(icon, &speaker.say_with("family-move", &[("remedy", Said::Words(speaker.own_words(remedy)))])))
                    @if let Some(minutes) = minutes.and_then(whole) {
                        p.aside { (speaker.say_with("family-move-minutes", &[("minutes", minutes.into())])) }
                    }
                }
                Now::Smaller => (sentence(Icon::Stairs, &speaker.say("family-break"))),
                Now::Nothing => (sentence(Icon::Seat, &speaker.say("family-move-none"))),
            }
        }
        section {
            h2 { (speaker.say(if report.compare.is_some() { "family-room" } else { "family-room-now" })) }
            (sketch::before_and_now(report, speaker))
            p.verdict { (verdict(report, speaker)) }
        }
        @if !pause {
            section {
                h2 { (speaker.say("family-next")) }
                (sentence(Icon::Stairs, &next(report, speaker)))
                (sentence(Icon::Talk, &speaker.say("family-ask")))
                (sentence(Icon::Defenders, &stays(report, speaker)))
                (sentence(Icon::Sun, &speaker.say("family-praise")))
                (sentence(Icon::Waves, &speaker.say("family-right")))
                (sentence(Icon::Easy, &speaker.say("family-errors")))
                (sentence(Icon::Hand, &speaker.say("family-stop")))
            }
        }
        p.aim { (speaker.say("family-aim")) }
        @if let Some(alias) = report.alias {
            p.aside { (speaker.say_with("family-who", &[("day", made_on.into()), ("alias", Said::Words(printable(alias)))])) }
        }
    };
    sheet(&speaker.say("family-title"), "family", STYLE, report.version, speaker, &body)
}

fn sentence(icon: Icon, words: &str) -> Markup {
    html! { div.said { (icon.draw()) p { (words) } } }
}

fn now<'a>(report: &'a CaseReport<'_>) -> Now<'a> {
    let decision = report.review.map(|review| review.decision.as_str());
    if decision == Some("pause") {
        return Now::Pause;
    }
    if let Some(way) = report.better_elsewhere() {
        return Now::Elsewhere(way);
    }
    let audit = report.now.audit;
    let first = audit.first_moves.ids.iter().find_map(|id| audit.shares.iter().find(|share| share.id == *id));
    match first.and_then(|share| share.remedy.as_deref().map(|remedy| (share, remedy))) {
        Some((share, remedy)) => Now::Move(drawing(&share.channel), remedy, share.minutes),
        None if decision == Some("break-down") => Now::Smaller,
        None => Now::Nothing,
    }
}

/// Something seen goes into a box; a sound is turned down; people are asked.
fn drawing(channel: &str) -> Icon {
    match Channel::from_word(channel) {
        Some(Channel::Heard) => Icon::Loudspeaker,
        Some(Channel::Company) => Icon::Talk,
        _ => Icon::Box,
    }
}

fn elsewhere(way: &WayDoc, speaker: &Speaker) -> String {
    let words = |text: &str| Said::Words(speaker.own_words(&printable(text)));
    match (&way.place, &way.from) {
        (Some(place), Some(from)) => {
            speaker.say_with("family-elsewhere-both", &[("place", words(place)), ("time", Said::Words(from.clone()))])
        }
        (Some(place), None) => speaker.say_with("family-elsewhere-place", &[("place", words(place))]),
        (None, from) => {
            speaker.say_with("family-elsewhere-time", &[("time", Said::Words(from.clone().unwrap_or_default()))])
        }
    }
}

fn verdict(report: &CaseReport<'_>, speaker: &Speaker) -> String {
    speaker.say(match report.compare.map(|compare| compare.verdict.as_str()) {
        Some("calmer") => "family-calmer",
        Some("busier") => "family-busier",
        Some(_) => "family-same",
        None => "family-only",
    })
}

/// The rung to practise next, from the decision; the clinician's ladder says what is set up.
fn next(report: &CaseReport<'_>, speaker: &Speaker) -> String {
    let Some(ladder) = report.ladder else { return speaker.say("family-no-plan") };
    let on = report.current_rung().unwrap_or(0);
    let (wanted, message) = match report.review.map(|review| review.decision.as_str()) {
        Some("advance") => (on + 1, "family-rung"),
        Some("step-back") => (on.saturating_sub(1), "family-rung"),
        _ => (on, "family-rung-again"),
    };
    if wanted == 0 {
        return speaker.say("family-cleared");
    }
    match ladder.rungs.iter().find(|rung| rung.number == wanted) {
        Some(rung) => speaker.say_with(message, &[("set-up", Said::Words(speaker.own_words(&rung.set_up)))]),
        None => speaker.say("family-done"),
    }
}

fn stays(report: &CaseReport<'_>, speaker: &Speaker) -> String {
    let things: Vec<String> = report.now.audit.keep.iter().map(|thing| printable(thing)).collect();
    if things.is_empty() {
        return speaker.say("family-stays-unknown");
    }
    speaker.say_with("family-stays", &[("things", Said::Words(things.join(", ")))])
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "held between 1 and a day")]
fn whole(minutes: f64) -> Option<u32> {
    minutes.is_finite().then(|| minutes.clamp(1.0, 1440.0).round() as u32)
}
