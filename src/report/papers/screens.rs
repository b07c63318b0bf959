//! The screen diary, with what is recommended beside it: information, never a demand. [WHO2019] [AAP2016] [AAP2026]

use maud::{Markup, html};

use super::PaperFacts;
use super::frame::{WEEK, field, head};
use crate::language::Speaker;

/// Lines for a day.
const LINES: usize = 3;

pub(super) fn body(facts: &PaperFacts<'_>, speaker: &Speaker) -> Markup {
    html! {
        (head(&[
            field(speaker, "field-for", facts.alias.as_deref(), false),
            field(speaker, "field-week", None, false),
            field(speaker, "field-by", None, false),
        ]))
        p { (speaker.say("screens-how")) }
        table.screens {
            thead { tr {
                th scope="col" { (speaker.say("field-day")) }
                th scope="col" { (speaker.say("screens-what")) }
                th scope="col" { (speaker.say("screens-minutes")) }
                th scope="col" { (speaker.say("screens-with")) }
                th scope="col" { (speaker.say("screens-again")) }
                th scope="col" { (speaker.say("screens-sum")) }
            } }
            tbody {
                @for day in WEEK {
                    @for line in 0..LINES {
                        tr {
                            @if line == 0 { th scope="rowgroup" rowspan=(LINES) { (speaker.weekday(day)) } }
                            td {} td {} td {} td {}
                            @if line == 0 { td rowspan=(LINES) {} }
                        }
                    }
                }
            }
        }
        p { (speaker.say("screens-tip")) }
        section {
            h2 { (speaker.say("screens-guidance-title")) }
            ul { li { (speaker.say("screens-who")) } li { (speaker.say("screens-aap")) } }
        }
    }
}
