//! The practice sheet: one line a sitting, one circle a try.

use maud::{Markup, html};

use super::PaperFacts;
use super::frame::{field, head, rung};
use crate::language::Speaker;

/// Sittings on a sheet: two weeks of practice on most days.
const SITTINGS: usize = 14;
/// Circles of a sitting; more tries than these go on the next line.
const CIRCLES: usize = 10;

pub(super) fn body(facts: &PaperFacts<'_>, speaker: &Speaker) -> Markup {
    let now = facts.rung.as_ref().map(|words| rung(speaker, words));
    html! {
        (head(&[
            field(speaker, "field-for", facts.alias.as_deref(), false),
            field(speaker, "field-place", facts.place.as_deref(), false),
            field(speaker, "field-week", None, false),
            field(speaker, "field-task", facts.task.as_deref(), false),
            field(speaker, "field-rung", now.as_deref(), true),
            field(speaker, "field-counts", facts.correct.as_deref(), true),
        ]))
        p { (speaker.say("sessions-how")) " " (speaker.say("sessions-right")) }
        p.key {
            span.pick { span.circle.full {} (speaker.say("sessions-alone")) }
            span.pick { span.circle.half {} (speaker.say("sessions-helped")) }
            span.pick { span.circle.struck {} (speaker.say("sessions-wrong")) }
        }
        table.sittings {
            thead { tr {
                th scope="col" { (speaker.say("field-day")) }
                th scope="col" { (speaker.say("field-rung")) }
                th scope="col" { (speaker.say("sessions-tries")) }
                th scope="col" { (speaker.say("sessions-on")) }
                th scope="col" { (speaker.say("sessions-upset")) }
                th scope="col" { (speaker.say("sessions-came")) }
                th scope="col" { (speaker.say("field-minutes")) }
                th scope="col" { (speaker.say("field-by")) }
                th scope="col" { (speaker.say("field-note")) }
            } }
            tbody {
                @for _ in 0..SITTINGS {
                    tr { td {} td {} td.tries { @for _ in 0..CIRCLES { span.circle {} } } (yes_no(speaker)) (yes_no(speaker)) (yes_no(speaker)) td {} td {} td {} }
                }
            }
        }
        div.two {
            section {
                h2 { (speaker.say("sessions-stop-title")) }
                ul {
                    li { (speaker.say("sessions-stop-upset")) }
                    li { (speaker.say("sessions-stop-errors")) }
                    li { (speaker.say("sessions-stop-enough")) }
                }
            }
            section {
                h2 { (speaker.say("sessions-mark-title")) }
                p { (speaker.say("sessions-mark-words")) }
            }
        }
    }
}

fn yes_no(speaker: &Speaker) -> Markup {
    html! { td.yes-no { (speaker.say("word-yes")) " · " (speaker.say("word-no")) } }
}
