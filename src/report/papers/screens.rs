//! The screen diary, with what is recommended behind it: information, never a demand. [WHO2019] [AAP2016] [AAP2026]

use maud::{Markup, html};

use super::{Paper, PaperFacts, marked};
use crate::language::Speaker;
use crate::paper::Kind;

pub(super) fn body(facts: &PaperFacts<'_>, speaker: &Speaker) -> Markup {
    html! {
        (marked::body(Paper::ScreenDiary, Kind::Screens, facts, speaker))
        p { (speaker.say("screens-tip")) }
        section {
            h2 { (speaker.say("screens-guidance-title")) }
            ul { li { (speaker.say("screens-who")) } li { (speaker.say("screens-aap")) } }
        }
    }
}
