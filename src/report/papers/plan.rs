//! The plan for the fridge.

use jiff::civil::Weekday;
use maud::{Markup, html};

use super::PaperFacts;
use super::frame::{field, head, lines, rung, ticks};
use crate::language::Speaker;

const WEEK: [Weekday; 7] = [
    Weekday::Monday,
    Weekday::Tuesday,
    Weekday::Wednesday,
    Weekday::Thursday,
    Weekday::Friday,
    Weekday::Saturday,
    Weekday::Sunday,
];

pub(super) fn body(facts: &PaperFacts<'_>, speaker: &Speaker) -> Markup {
    let now = facts.rung.as_ref().map(|words| rung(speaker, words));
    let tries = facts.tries.map(|tries| tries.to_string());
    let minutes = facts.minutes.map(|minutes| minutes.to_string());
    html! {
        (head(&[
            field(speaker, "field-for", facts.alias.as_deref(), false),
            field(speaker, "plan-where", facts.place.as_deref(), false),
            field(speaker, "field-minutes", minutes.as_deref(), false),
            field(speaker, "plan-how-many", tries.as_deref(), false),
            field(speaker, "field-task", facts.task.as_deref(), true),
            field(speaker, "field-counts", facts.correct.as_deref(), true),
            field(speaker, "plan-rung", now.as_deref(), true),
        ]))
        table.week {
            thead { tr {
                th scope="col" { (speaker.say("plan-day")) }
                th scope="col" { (speaker.say("plan-when")) }
                th scope="col" { (speaker.say("plan-natural")) }
                th scope="col" { (speaker.say("plan-done")) }
            } }
            tbody { @for day in WEEK { tr { th scope="row" { (speaker.weekday(day)) } td {} td {} td { span.box {} } } } }
        }
        p.small { (speaker.say("plan-natural-help")) }
        div.two {
            section {
                h2 { (speaker.say("plan-before")) }
                (ticks(speaker, &["plan-before-1", "plan-before-2", "plan-before-3", "plan-before-4"]))
            }
            section {
                h2 { (speaker.say("field-keep")) }
                @if facts.keep.is_empty() { (lines(3)) } @else {
                    ul.known { @for thing in &facts.keep { li { (speaker.own_words(thing)) } } }
                }
                h2 { (speaker.say("plan-after")) }
                p { (speaker.say("plan-after-1")) }
            }
        }
        p.stop { (speaker.say("plan-stop")) }
        (head(&[field(speaker, "plan-call", None, true)]))
        p.small { (speaker.say("plan-enough")) }
    }
}
