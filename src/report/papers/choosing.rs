//! Preference assessments on paper: two at a time (Fisher et al. 1992) and all at once without replacement (DeLeon and
//! Iwata 1996). [FISHER1992] [DELEON1996]

use maud::{Markup, html};

use super::PaperFacts;
use super::frame::{field, head, line};
use crate::language::Speaker;
use crate::practice;

/// Things offered in pairs; each meets every other once.
const LETTERS: [&str; 6] = ["A", "B", "C", "D", "E", "F"];
/// Pairs beside each other in the table.
const ACROSS: usize = 3;
/// Things offered all at once.
const TOGETHER: usize = 5;
/// Rounds with all of them.
const ROUNDS: u32 = 3;

pub(super) fn pairs(facts: &PaperFacts<'_>, speaker: &Speaker) -> Markup {
    // The same order as when the assessment is done at the terminal.
    let things = LETTERS.map(str::to_owned);
    let offers = practice::pairs(&things);
    let times = u32::try_from(LETTERS.len() - 1).unwrap_or(0);
    html! {
        (head(&[
            field(speaker, "field-for", facts.alias.as_deref(), false),
            field(speaker, "field-day", None, false),
            field(speaker, "field-by", None, false),
        ]))
        p { (speaker.say("pairs-how")) }
        div.two {
            table.things {
                thead { tr {
                    th scope="col" { (speaker.say("pairs-thing")) } th scope="col" { (speaker.say("pairs-chosen")) } th scope="col" { "%" }
                } }
                tbody { @for letter in LETTERS {
                    tr { th scope="row" { (letter) (line()) } td { (line()) (speaker.say_with("pairs-of", &[("count", times.into())])) } td {} }
                } }
            }
            table.offers {
                thead { tr { th scope="col" colspan=(ACROSS) { (speaker.say("pairs-offer")) } } }
                tbody { @for row in offers.chunks(ACROSS) {
                    tr { @for (left, right) in row { td { (left) " – " (right) } } }
                } }
            }
        }
        p { (speaker.say("pairs-result")) }
        (closing(speaker))
    }
}

pub(super) fn all(facts: &PaperFacts<'_>, speaker: &Speaker) -> Markup {
    html! {
        (head(&[
            field(speaker, "field-for", facts.alias.as_deref(), false),
            field(speaker, "field-day", None, false),
            field(speaker, "field-by", None, false),
        ]))
        p { (speaker.say("choices-how")) }
        table.things.rounds {
            thead { tr {
                th scope="col" { (speaker.say("pairs-thing")) }
                @for number in 1..=ROUNDS { th scope="col" { (speaker.say_with("choices-round", &[("number", number.into())])) } }
                th scope="col" { (speaker.say("choices-chosen")) }
                th scope="col" { (speaker.say("choices-offered")) }
                th scope="col" { "%" }
            } }
            tbody { @for number in 1..=TOGETHER {
                tr { th scope="row" { (number) (line()) } @for _ in 0..ROUNDS { td {} } td {} td {} td {} }
            } }
        }
        p { (speaker.say("choices-order")) " " (speaker.say("choices-result")) }
        (closing(speaker))
    }
}

fn closing(speaker: &Speaker) -> Markup {
    html! {
        p { (speaker.say("pairs-stop")) }
        p { (speaker.say("assessment-again")) " " strong { (speaker.say("assessment-never")) } }
    }
}
