//! Preference assessments on paper: two at a time (Fisher et al. 1992) and all at once without replacement (DeLeon and
//! Iwata 1996). [FISHER1992] [DELEON1996]

use maud::{Markup, html};

use super::PaperFacts;
use super::frame::{field, head, line};
use crate::language::Speaker;

/// Things offered in pairs; each meets every other once.
const PAIRED: usize = 6;
/// Things offered all at once.
const TOGETHER: usize = 5;
/// Rounds with all of them.
const ROUNDS: u32 = 3;

pub(super) fn pairs(facts: &PaperFacts<'_>, speaker: &Speaker) -> Markup {
    let offers = offers();
    let letter = |thing: usize| char::from(b'A' + u8::try_from(thing).unwrap_or(0));
    let times = u32::try_from(PAIRED - 1).unwrap_or(0);
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
                tbody { @for thing in 0..PAIRED {
                    tr { th scope="row" { (letter(thing)) (line()) } td { (line()) (speaker.say_with("pairs-of", &[("count", times.into())])) } td {} }
                } }
            }
            table.offers {
                thead { tr { th scope="col" colspan="6" { (speaker.say("pairs-offer")) } } }
                tbody { @for row in offers.chunks(offers.len().div_ceil(2).div_ceil(2)) {
                    tr { @for &(left, right) in row { td { (letter(left)) " – " (letter(right)) } } }
                } }
            }
        }
        p { (speaker.say("pairs-result")) }
        (closing(speaker))
    }
}

/// Every pair once, each thing as often left as right where it can be, and no pair straight after one with the same
/// thing where that can be had.
fn offers() -> Vec<(usize, usize)> {
    // The rounds of a tournament: one thing stays, the others turn; neighbours of a round share nothing.
    let mut order: Vec<usize> = (0..PAIRED).collect();
    let mut all = Vec::new();
    for round in 0..PAIRED - 1 {
        for place in 0..PAIRED / 2 {
            let (left, right) = (order[place], order[PAIRED - 1 - place]);
            all.push(if (round + place) % 2 == 0 { (left, right) } else { (right, left) });
        }
        order[1..].rotate_right(1);
    }
    all
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

#[cfg(test)]
mod tests {
    use super::{PAIRED, offers};

    #[test]
    fn every_pair_is_offered_once_and_no_side_is_favoured() {
        let all = offers();
        assert_eq!(all.len(), PAIRED * (PAIRED - 1) / 2);
        let mut pairs: Vec<(usize, usize)> = all.iter().map(|&(a, b)| (a.min(b), a.max(b))).collect();
        pairs.sort_unstable();
        pairs.dedup();
        assert_eq!(pairs.len(), all.len());
        for thing in 0..PAIRED {
            let left = all.iter().filter(|pair| pair.0 == thing).count();
            assert!((2..=3).contains(&left), "{thing} is left {left} times of five");
        }
    }
}
