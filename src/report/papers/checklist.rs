//! The checklist on paper: every question with its circles, and what stays.

use maud::{Markup, html};

use super::frame::keep;
use super::{Paper, PaperFacts, marked};
use crate::checklist::{Checklist, Item, worded_as};
use crate::language::Speaker;
use crate::paper::Kind;
use crate::words::printable;

/// The marks, and behind them what stays and how the answers come in by hand.
pub(super) fn body(facts: &PaperFacts<'_>, speaker: &Speaker) -> Markup {
    let Some(list) = facts.checklist else {
        return html! {};
    };
    html! {
        (marked::body(Paper::Checklist, Kind::Checklist, facts, speaker))
        (keep(facts, speaker))
        p { (speaker.say("checklist-not-seen")) }
        p.small { (speaker.say("checklist-then")) " "
            code { "stillroom audit --checklist " (printable(&list.id)) } ". " (speaker.say("checklist-aim")) }
    }
}

/// The words of an item in the speaker's language; a list of one's own keeps the words it has.
pub(super) fn words(speaker: &Speaker, list: &Checklist, item: &Item, what: &str, own: &str) -> String {
    let own = printable(own);
    speaker.find(&format!("{}-{}.{what}", worded_as(&list.id), item.id), &[]).unwrap_or_else(|| speaker.own_words(&own))
}
