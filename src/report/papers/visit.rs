//! The doorstep sheet: read before ringing the bell.

use maud::{Markup, html};

use super::PaperFacts;
use super::frame::{field, head, lines, rung, ticks};
use crate::language::Speaker;

pub(super) fn body(facts: &PaperFacts<'_>, speaker: &Speaker) -> Markup {
    let now = facts.rung.as_ref().map(|words| rung(speaker, words));
    // With a case, what is missing on record is said; without one there is a line to write on.
    let nothing = facts.alias.is_some().then(|| speaker.say("doorstep-nothing"));
    let known = |words: &Option<String>| words.clone().or_else(|| nothing.clone());
    html! {
        (head(&[
            field(speaker, "field-for", facts.alias.as_deref(), false),
            field(speaker, "field-place", facts.place.as_deref(), false),
            field(speaker, "field-day", None, false),
            field(speaker, "field-task", facts.task.as_deref(), true),
            field(speaker, "doorstep-now", known(&now).as_deref(), true),
            field(speaker, "doorstep-last", known(&facts.decision).as_deref(), true),
        ]))
        section {
            h2 { (speaker.say("doorstep-due")) }
            @if facts.due.is_empty() { (lines(2)) } @else {
                ul.ticks { @for due in &facts.due { li { span.box {} span { (speaker.own_words(due)) } } } }
            }
        }
        p.stop { (speaker.say("doorstep-ask")) }
        div.two {
            section {
                h2 { (speaker.say("doorstep-look")) }
                (ticks(speaker, &["doorstep-look-1", "doorstep-look-2", "doorstep-look-3", "doorstep-look-4", "doorstep-look-5"]))
            }
            section {
                h2 { (speaker.say("doorstep-measure")) }
                (ticks(speaker, &["doorstep-measure-1", "doorstep-measure-2", "doorstep-measure-3"]))
                h2 { (speaker.say("doorstep-leave")) }
                (ticks(speaker, &["doorstep-leave-1", "doorstep-leave-2", "doorstep-leave-3"]))
            }
        }
        section {
            h2 { (speaker.say("field-keep")) }
            @if facts.keep.is_empty() { (lines(1)) } @else {
                ul.known { @for thing in &facts.keep { li { (speaker.own_words(thing)) } } }
            }
        }
        section { h2 { (speaker.say("field-note")) } (lines(5)) }
    }
}
