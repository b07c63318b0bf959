//! Papers that are mostly drawn: how to take the photo, and the boxes of a picture schedule.

use maud::{Markup, html};

use super::frame::circle;
use crate::language::Speaker;

pub(super) fn photo_guide(speaker: &Speaker) -> Markup {
    html! {
        (seat(speaker))
        ol.steps {
            @for step in 1..=4 { li { (speaker.say(&format!("photo-step-{step}"))) } }
        }
        p.stop { (speaker.say("photo-after")) }
        p.small { (speaker.say("photo-private")) }
    }
}

/// A chair, a table with one thing on it, a phone at the height of the eyes, the line of sight level.
fn seat(speaker: &Speaker) -> Markup {
    html! {
        figure {
            svg.drawing viewBox="0 0 640 300" role="img" aria-label=(speaker.say("photo-drawing")) {
                g fill="none" stroke="currentColor" stroke-width="3" stroke-linecap="round" stroke-linejoin="round" {
                    path d="M20 280H620" {}
                    // the chair
                    path d="M96 280L104 196H176L184 280M104 196L92 96M108 240H172" {}
                    // the table and what the task needs
                    path d="M300 280V176M560 280V176M280 176H580" {}
                    rect x="392" y="150" width="72" height="26" rx="3" {}
                    path d="M392 158H464" {}
                    // the phone, held by an adult's hand
                    rect x="176" y="64" width="14" height="62" rx="4" transform="rotate(0 183 95)" {}
                    path d="M176 116C160 120 150 132 148 150M176 104C166 104 160 108 158 114" {}
                }
                path d="M196 95H600" fill="none" stroke="currentColor" stroke-width="2" stroke-dasharray="2 9" stroke-linecap="round" {}
                path d="M40 95H84M40 280V95" fill="none" stroke="currentColor" stroke-width="1.5" {}
                path d="M34 105L40 95L46 105M34 270L40 280L46 270" fill="none" stroke="currentColor" stroke-width="1.5" {}
            }
            figcaption { "↕ " (speaker.say("photo-eye-height")) }
        }
    }
}

/// Steps of a schedule.
const BOXES: usize = 5;

pub(super) fn schedule(speaker: &Speaker) -> Markup {
    html! {
        p.small { (speaker.say("schedule-how")) }
        div.schedule {
            ol {
                @for number in 1..=BOXES {
                    li { span.name { @if number == 1 { (speaker.say("schedule-first")) } @else { (speaker.say("schedule-then")) } } span.picture {} }
                }
            }
            div.aside {
                div.pocket { span.name { (speaker.say("schedule-done")) } }
                div.pause { (circle("")) span.name { (speaker.say("schedule-break")) } span.picture {} }
            }
        }
    }
}
