//! The practice sheet: a week of sittings, three circles a try, and behind them when to stop.

use maud::{Markup, html};

use super::{Paper, PaperFacts, marked};
use crate::language::Speaker;
use crate::paper::Kind;

pub(super) fn body(facts: &PaperFacts<'_>, speaker: &Speaker) -> Markup {
    html! {
        (marked::body(Paper::SessionSheet, Kind::Sittings, facts, speaker))
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
