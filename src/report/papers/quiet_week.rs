//! A week by the hour: when was it quiet? For a family without recordings, and beside them.

use maud::{Markup, html};

use super::PaperFacts;
use super::frame::{WEEK, field, head, lines};
use crate::language::Speaker;

/// The hours of a child's day.
const HOURS: std::ops::Range<u32> = 7..20;

pub(super) fn body(facts: &PaperFacts<'_>, speaker: &Speaker) -> Markup {
    html! {
        (head(&[
            field(speaker, "field-for", facts.alias.as_deref(), false),
            field(speaker, "field-place", facts.place.as_deref(), false),
            field(speaker, "field-week", None, false),
            field(speaker, "field-by", None, false),
        ]))
        p { (speaker.say("quiet-how")) }
        table.quiet {
            thead { tr {
                th scope="col" { (speaker.say("quiet-hour")) }
                @for day in WEEK { th scope="col" { (speaker.weekday(day)) } }
            } }
            tbody {
                @for hour in HOURS {
                    tr {
                        th scope="row" { (format!("{hour}:00")) }
                        @for _ in WEEK { td {} }
                    }
                }
            }
        }
        section {
            h2 { (speaker.say("quiet-possible")) }
            p { (speaker.say("quiet-possible-how")) }
            (lines(3))
        }
        p.tip { (speaker.say("quiet-then")) }
    }
}
