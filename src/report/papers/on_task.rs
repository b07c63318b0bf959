//! Momentary time sampling on paper: series of moments, two circles each, and behind them what they can show.

use maud::{Markup, html};

use super::{Paper, PaperFacts, marked};
use crate::language::Speaker;
use crate::paper::Kind;

/// Seconds between signals, 10 to 15 in common practice.
pub(super) const SECONDS: u32 = 15;

pub(super) fn body(facts: &PaperFacts<'_>, speaker: &Speaker) -> Markup {
    html! {
        (marked::body(Paper::SamplingSheet, Kind::Sampling, facts, speaker))
        p { strong { (speaker.say("sampling-share")) } }
        p { (speaker.say("sampling-not")) }
        section {
            h2 { (speaker.say("sampling-bias-title")) }
            p { (speaker.say("sampling-bias")) }
        }
    }
}
