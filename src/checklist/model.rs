//! What a checklist and its answers are.

use std::collections::BTreeMap;
use std::fmt;

use jiff::civil::Date;

use crate::quantity::Pull;
use crate::words::{Channel, Evidence, Surface};

/// The name of an item inside its checklist, such as `loose-things-on-table`.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ItemId(String);

impl ItemId {
    /// An item of that name.
    pub fn new(name: impl Into<String>) -> Self {
        Self(name.into())
    }

    /// The name.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for ItemId {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.0)
    }
}

/// A list of questions about a kind of room.
#[derive(Clone, Debug, PartialEq)]
pub struct Checklist {
    /// Its name, such as `home-corner`.
    pub id: String,
    /// Its title for people.
    pub title: String,
    /// The questions, in the order asked.
    pub items: Vec<Item>,
}

/// One question, what it weighs, and what helps.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// Its name.
    pub id: ItemId,
    /// Where it looks.
    pub surface: Surface,
    /// By which way the distraction comes in.
    pub channel: Channel,
    /// The question, for a parent.
    pub ask: String,
    /// A line of help on how to count or choose, if the question needs one.
    pub help: Option<String>,
    /// What an answer is and what it weighs.
    pub unit: Unit,
    /// Whether a photo sees it too.
    pub in_photo: bool,
    /// Whether a recording hears it too.
    pub in_recording: bool,
    /// What the weight rests on.
    pub evidence: Evidence,
    /// Where the weight comes from, when it is published.
    pub source: Option<String>,
    /// What takes it out of the room.
    pub remedy: String,
    /// Minutes that takes.
    pub minutes: f64,
    /// Work that its remedy has in common with those of other items.
    pub shares: Option<SharedWork>,
    /// Things to rotate when it is added back.
    pub exemplars: Vec<String>,
    /// Ladder levels 1, 2, … (0 is absent).
    pub levels: Vec<ItemLevel>,
    /// An item that must be there at a level or higher before this one can be above absent.
    pub needs: Option<(ItemId, u32)>,
}

/// Work that the remedies of several items have in common, such as fetching one box: done once, it serves them all.
#[derive(Clone, Debug, PartialEq)]
pub struct SharedWork {
    /// Its name; items with the same one share it.
    pub work: String,
    /// The minutes of this item's remedy that stay its own; the rest is the common work.
    pub own: f64,
}

/// What an answer is. `alone` is the percentage of attention it would take alone, 0 ≤ alone < 100.
#[derive(Clone, Debug, PartialEq)]
pub enum Unit {
    /// A number of things: `p(n) = alone/100 · (1 − 2^(−n/half))`.
    Count {
        /// Percent, with very many.
        alone: f64,
        /// The number that takes half of `alone`.
        half: f64,
    },
    /// One of several options.
    Choice(Vec<Choice>),
    /// There or not.
    Yes {
        /// Percent.
        alone: f64,
    },
}

/// One option of a choice.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// Its name in answers files.
    pub key: String,
    /// Its text for people.
    pub text: String,
    /// Percent.
    pub alone: f64,
}

/// One ladder level of an item.
#[derive(Clone, Debug, PartialEq)]
pub struct ItemLevel {
    /// What is set up, in a few words.
    pub name: String,
    /// How strongly it draws.
    pub draw: Draw,
}

/// How a ladder level gets its pull.
#[derive(Clone, Debug, PartialEq)]
pub enum Draw {
    /// That many things, by the item's own count law.
    Count(u32),
    /// That option of the choice.
    Option(String),
    /// A percentage of attention, alone.
    Alone(f64),
    /// A sound at the child's ear.
    Sound {
        /// LAeq at the child's ear, dB.
        db: f64,
        /// Whether it is speech-like.
        speech: bool,
    },
}

/// An answer to an item.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Answer {
    /// A count.
    Count(u32),
    /// The key of an option.
    Option(String),
    /// There or not.
    Yes(bool),
    /// Could not be seen or was not asked: never a zero.
    NotSeen,
}

impl fmt::Display for Answer {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Count(count) => write!(out, "{count}"),
            Self::Option(key) => out.write_str(key),
            Self::Yes(true) => out.write_str("yes"),
            Self::Yes(false) => out.write_str("no"),
            Self::NotSeen => out.write_str("not seen"),
        }
    }
}

/// One person's answers about one place on one day, checked against their checklist.
#[derive(Clone, Debug, PartialEq)]
pub struct Answers {
    /// The checklist's id.
    pub checklist: String,
    /// The place.
    pub place: String,
    /// The day.
    pub date: Date,
    /// Who looked (an alias or a role).
    pub by: String,
    /// What must stay in reach: never counted, never a remedy.
    pub keep: Vec<String>,
    /// The answers; an item without one counts as not seen.
    pub answers: BTreeMap<ItemId, Answer>,
    /// Why an item was not seen, where that was said.
    pub reasons: BTreeMap<ItemId, String>,
}

impl Answers {
    /// The answer to an item; one that is missing was not seen.
    pub fn to(&self, item: &ItemId) -> &Answer {
        self.answers.get(item).unwrap_or(&Answer::NotSeen)
    }

    /// Whether this item is what must stay: then it is never counted and never a remedy.
    pub fn kept(&self, item: &ItemId) -> bool {
        self.keep.iter().any(|entry| entry == item.as_str())
    }
}

impl Checklist {
    /// The item of that name.
    pub fn item(&self, id: &ItemId) -> Option<&Item> {
        self.items.iter().find(|item| item.id == *id)
    }
}

impl Item {
    /// The share of attention (0 to below 1) an answer takes alone, by the law of its unit; `None` for `NotSeen` and
    /// for an answer of another kind.
    pub fn alone_share(&self, answer: &Answer) -> Option<f64> {
        match (&self.unit, answer) {
            (Unit::Count { alone, half }, Answer::Count(count)) => {
                Some(alone / 100.0 * (1.0 - libm::exp2(-f64::from(*count) / half)))
            }
            (Unit::Choice(options), Answer::Option(key)) => {
                options.iter().find(|option| option.key == *key).map(|option| option.alone / 100.0)
            }
            (Unit::Yes { alone }, Answer::Yes(there)) => Some(if *there { alone / 100.0 } else { 0.0 }),
            _ => None,
        }
    }

    /// The pull of an answer; `None` for `NotSeen` and for an answer of another kind.
    pub fn pull(&self, answer: &Answer) -> Option<Pull> {
        self.alone_share(answer).and_then(Pull::of_share)
    }

    /// The largest percentage of attention it can take alone.
    pub fn alone(&self) -> f64 {
        match &self.unit {
            Unit::Count { alone, .. } | Unit::Yes { alone } => *alone,
            Unit::Choice(options) => options.iter().map(|option| option.alone).fold(0.0, f64::max),
        }
    }

    /// Its full pull, `−ln(1 − alone/100)` (a choice: its largest option).
    pub fn full_pull(&self) -> Pull {
        Pull::of_share(self.alone() / 100.0).unwrap_or_default()
    }
}
