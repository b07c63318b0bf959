//! Momentary time sampling on paper.

use maud::{Markup, html};

use super::PaperFacts;
use super::frame::{field, head, line, rung};
use crate::language::Speaker;

/// Seconds between signals, 10 to 15 in common practice.
const SECONDS: u32 = 15;
/// Moments of a series: five minutes.
const MOMENTS: usize = 20;
/// Series on a sheet.
const SERIES: usize = 8;

pub(super) fn body(facts: &PaperFacts<'_>, speaker: &Speaker) -> Markup {
    let now = facts.rung.as_ref().map(|words| rung(speaker, words));
    html! {
        (head(&[
            field(speaker, "field-for", facts.alias.as_deref(), false),
            field(speaker, "field-place", facts.place.as_deref(), false),
            field(speaker, "field-by", None, false),
            field(speaker, "field-task", facts.task.as_deref(), false),
            field(speaker, "field-rung", now.as_deref(), true),
            field(speaker, "sampling-on-task", facts.correct.as_deref(), true),
        ]))
        p { (speaker.say_with("sampling-how", &[("seconds", SECONDS.into())])) }
        table.moments {
            thead { tr {
                th scope="col" { (speaker.say("field-day")) }
                th scope="colgroup" colspan=(MOMENTS) { (speaker.say("sampling-series")) }
                th scope="col" { (speaker.say("sampling-marked")) }
            } }
            tbody {
                @for _ in 0..SERIES {
                    tr {
                        td.day {}
                        @for moment in 1..=MOMENTS { td.moment { span.faint { (moment) } } }
                        td.sum { (line()) span { (speaker.say("sampling-of")) " " (MOMENTS) } }
                    }
                }
            }
        }
        p { strong { (speaker.say("sampling-share")) } }
        p { (speaker.say("sampling-not")) }
        section {
            h2 { (speaker.say("sampling-bias-title")) }
            p { (speaker.say("sampling-bias")) }
        }
    }
}
