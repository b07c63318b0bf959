//! Preference assessments: what the child chooses when it may choose.
//!
//! Pairs [FISHER1992]: every two things once, side by side; a thing's score is how often it was chosen of how often it
//! was offered. One after the other (multiple stimuli without replacement, [DELEON1996]): all lie there, the chosen one
//! goes away, until nothing is chosen; again chosen over offered, over all rounds. Scores order the things of one
//! assessment; they are no measure across assessments. A full one falls due 28 days after the last, or after 14 when the
//! quick check has shown another favourite (every two to four weeks: common practice, no source).

use std::cmp::Ordering;
use std::collections::BTreeSet;

use jiff::civil::Date;

/// How things were offered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Method {
    /// Two at a time.
    Pairs,
    /// All at once, the chosen one taken away.
    OneAfterTheOther,
}

/// One offer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Choice {
    /// What lay there.
    pub offered: Vec<String>,
    /// What was chosen; `None` if nothing was.
    pub chosen: Option<String>,
}

/// A thing's score.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Scored {
    /// What it is.
    pub name: String,
    /// How often it was offered.
    pub offered: u32,
    /// How often it was chosen.
    pub chosen: u32,
}

impl Scored {
    /// Chosen of offered, percent.
    pub fn percent(&self) -> f64 {
        if self.offered == 0 { 0.0 } else { 100.0 * f64::from(self.chosen) / f64::from(self.offered) }
    }
}

/// Why choices cannot be scored.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ChoiceFault {
    /// Fewer than two things.
    #[error("there must be at least two things to choose from")]
    TooFew,
    /// Something offered beside itself.
    #[error("offer {number}: `{name}` lies there twice")]
    Twice {
        /// The offer, from 1.
        number: usize,
        /// The thing.
        name: String,
    },
    /// Something chosen that was not there.
    #[error("offer {number}: `{name}` was chosen but not offered")]
    NotOffered {
        /// The offer, from 1.
        number: usize,
        /// The thing.
        name: String,
    },
    /// Not two things.
    #[error("offer {number} holds {found} things, a pair has two")]
    NotAPair {
        /// The offer, from 1.
        number: usize,
        /// Things in it.
        found: usize,
    },
    /// A pair a second time.
    #[error("offer {number}: `{left}` and `{right}` were offered together before; every pair is offered once")]
    PairAgain {
        /// The offer, from 1.
        number: usize,
        /// One thing.
        left: String,
        /// The other.
        right: String,
    },
    /// Pairs that were never offered.
    #[error("{missing} pairs were not offered, among them `{left}` and `{right}`; every pair is offered once")]
    Missing {
        /// How many.
        missing: usize,
        /// One thing of the first.
        left: String,
        /// The other.
        right: String,
    },
}

/// Every pair once, in an order in which a thing rests where it can, the sides changing.
pub fn pairs(things: &[String]) -> Vec<(String, String)> {
    // The circle method of a round robin: one stays, the others turn; an odd number has one that rests.
    let mut ring: Vec<Option<&String>> = things.iter().map(Some).collect();
    if ring.len() % 2 == 1 {
        ring.push(None);
    }
    let n = ring.len();
    let mut found: Vec<(String, String)> = Vec::new();
    for round in 0..n.saturating_sub(1) {
        for at in 0..n / 2 {
            if let (Some(left), Some(right)) = (ring[at], ring[n - 1 - at]) {
                let lefts = |thing: &String| found.iter().filter(|(on_left, _)| on_left == thing).count();
                // Whichever lay on the left less often lies there now.
                let turned = match lefts(left).cmp(&lefts(right)) {
                    Ordering::Greater => true,
                    Ordering::Equal => (round + at) % 2 == 1,
                    Ordering::Less => false,
                };
                let (left, right) = if turned { (right, left) } else { (left, right) };
                found.push((left.clone(), right.clone()));
            }
        }
        ring[1..].rotate_right(1);
    }
    found
}

/// The scores of all choices of one assessment, best first; ties keep the order in which things were first offered.
pub fn score(method: Method, choices: &[Choice]) -> Result<Vec<Scored>, ChoiceFault> {
    let mut scored: Vec<Scored> = Vec::new();
    let mut offered_pairs: BTreeSet<(&String, &String)> = BTreeSet::new();
    for (choice, number) in choices.iter().zip(1..) {
        for (at, name) in choice.offered.iter().enumerate() {
            if choice.offered[..at].contains(name) {
                return Err(ChoiceFault::Twice { number, name: name.clone() });
            }
        }
        if let Some(name) = choice.chosen.as_ref().filter(|name| !choice.offered.contains(name)) {
            return Err(ChoiceFault::NotOffered { number, name: name.clone() });
        }
        if method == Method::Pairs {
            let [left, right] = choice.offered.as_slice() else {
                return Err(ChoiceFault::NotAPair { number, found: choice.offered.len() });
            };
            if !offered_pairs.insert((left.min(right), left.max(right))) {
                return Err(ChoiceFault::PairAgain { number, left: left.clone(), right: right.clone() });
            }
        }
        for name in &choice.offered {
            let chosen = u32::from(choice.chosen.as_ref() == Some(name));
            match scored.iter_mut().find(|one| one.name == *name) {
                Some(one) => {
                    one.offered += 1;
                    one.chosen += chosen;
                }
                None => scored.push(Scored { name: name.clone(), offered: 1, chosen }),
            }
        }
    }
    if scored.len() < 2 {
        return Err(ChoiceFault::TooFew);
    }
    if method == Method::Pairs {
        let names: Vec<&String> = scored.iter().map(|one| &one.name).collect();
        let all = names.iter().enumerate().flat_map(|(at, one)| names[at + 1..].iter().map(move |other| (one, other)));
        let missing: Vec<_> =
            all.filter(|(one, other)| !offered_pairs.contains(&(**one.min(other), **one.max(other)))).collect();
        if let Some((left, right)) = missing.first() {
            let (left, right) = ((**left).clone(), (**right).clone());
            return Err(ChoiceFault::Missing { missing: missing.len(), left, right });
        }
    }
    // Chosen over offered, compared as integers.
    let product = |one: &Scored, other: &Scored| u64::from(one.chosen) * u64::from(other.offered);
    scored.sort_by(|a, b| product(b, a).cmp(&product(a, b)));
    Ok(scored)
}

/// The day on which the next full assessment falls due.
pub fn next_full(last: Date, other_favourite_since: bool) -> Option<Date> {
    let days = if other_favourite_since { 14 } else { 28 };
    last.checked_add(jiff::Span::new().try_days(days).ok()?).ok()
}

#[cfg(test)]
mod tests {
    use super::{Choice, ChoiceFault, Method, pairs, score};

    fn choice(offered: &[&str], chosen: &str) -> Choice {
        let chosen = (!chosen.is_empty()).then(|| chosen.to_owned());
        Choice { offered: offered.iter().map(ToString::to_string).collect(), chosen }
    }

    #[test]
    fn every_pair_comes_once_and_each_thing_lies_on_both_sides() {
        for n in 2..=9_usize {
            let things: Vec<String> = (0..n).map(|at| format!("thing {at}")).collect();
            let found = pairs(&things);
            assert_eq!(found.len(), n * (n - 1) / 2);
            let mut seen: Vec<_> = found.iter().map(|(a, b)| (a.min(b), a.max(b))).collect();
            seen.sort();
            seen.dedup();
            assert_eq!(seen.len(), found.len());
            if n > 3 {
                for thing in &things {
                    assert!(found.iter().any(|(left, _)| left == thing), "{thing} is never on the left of {n}");
                    assert!(found.iter().any(|(_, right)| right == thing), "{thing} is never on the right of {n}");
                }
            }
        }
    }

    #[test]
    fn the_pairs_of_four_things_stand_in_this_order() {
        let things = ["a", "b", "c", "d"].map(str::to_owned);
        let found: Vec<String> = pairs(&things).iter().map(|(left, right)| format!("{left}{right}")).collect();
        assert_eq!(found, ["ad", "cb", "ca", "db", "ba", "dc"]);
    }

    #[test]
    fn pairs_are_scored_as_chosen_of_offered() {
        let choices = [
            choice(&["train", "top"], "train"),
            choice(&["bubbles", "train"], "bubbles"),
            choice(&["top", "bubbles"], ""),
        ];
        let found = score(Method::Pairs, &choices).unwrap();
        let told: Vec<_> = found.iter().map(|one| (one.name.as_str(), one.percent())).collect();
        assert_eq!(told, [("train", 50.0), ("bubbles", 50.0), ("top", 0.0)]);
        assert!(matches!(score(Method::Pairs, &choices[..2]), Err(ChoiceFault::Missing { missing: 1, .. })));
        let again = [choices[0].clone(), choice(&["top", "train"], "top")];
        assert!(matches!(score(Method::Pairs, &again), Err(ChoiceFault::PairAgain { number: 2, .. })));
    }

    #[test]
    fn one_after_the_other_counts_every_offer_a_thing_lay_in() {
        // Two rounds of three: chosen first is 1 of 1, second 1 of 2, third 1 of 3; the second round ends early.
        let choices = [
            choice(&["train", "top", "bubbles"], "bubbles"),
            choice(&["train", "top"], "train"),
            choice(&["top"], "top"),
            choice(&["train", "top", "bubbles"], "bubbles"),
            choice(&["train", "top"], ""),
        ];
        let found = score(Method::OneAfterTheOther, &choices).unwrap();
        let told: Vec<_> = found.iter().map(|one| (one.name.as_str(), one.chosen, one.offered)).collect();
        assert_eq!(told, [("bubbles", 2, 2), ("train", 1, 4), ("top", 1, 5)]);
    }

    #[test]
    fn the_best_is_chosen_most_of_what_it_was_offered_not_most_often_more() {
        // x 8 of 10, y 1 of 2: x is chosen more of its offers and left lying more often too.
        let mut choices = vec![choice(&["x", "z"], "x"); 8];
        choices.extend([choice(&["x", "z"], "z"), choice(&["x", "z"], "z")]);
        choices.extend([choice(&["y", "z"], "y"), choice(&["y", "z"], "z")]);
        let found = score(Method::OneAfterTheOther, &choices).unwrap();
        let told: Vec<_> = found.iter().map(|one| (one.name.as_str(), one.chosen, one.offered)).collect();
        assert_eq!(told, [("x", 8, 10), ("y", 1, 2), ("z", 3, 12)]);
    }

    #[test]
    fn what_cannot_have_been_is_refused() {
        let chosen = score(Method::OneAfterTheOther, &[choice(&["train", "top"], "ball")]);
        assert_eq!(chosen, Err(ChoiceFault::NotOffered { number: 1, name: "ball".to_owned() }));
        assert!(matches!(score(Method::Pairs, &[choice(&["a", "a"], "a")]), Err(ChoiceFault::Twice { .. })));
        assert!(matches!(score(Method::Pairs, &[choice(&["a", "b", "c"], "a")]), Err(ChoiceFault::NotAPair { .. })));
        assert_eq!(score(Method::Pairs, &[]), Err(ChoiceFault::TooFew));
    }
}
