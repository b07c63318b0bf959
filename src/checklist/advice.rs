//! What makes a readable checklist a better one: advice beyond the faults that stop it from being read.

use super::model::{Answer, Checklist, Draw, Item, ItemId};
use crate::words::{Channel, Evidence, Surface};

/// The longest question, signs: what a parent takes in at one glance. A convention.
pub(super) const LONGEST_QUESTION: usize = 140;
/// The loudest level that is set up for practice, dB: the usual sound cap. A convention.
const LOUDEST_DB: f64 = 60.0;
/// The farthest that two neighbouring sound levels lie apart, dB. A convention.
const WIDEST_DB: f64 = 5.0;
/// The longest remedy, minutes, that still counts as a first move. A convention.
const LONGEST_MINUTES: f64 = 30.0;
/// Words of things that may be what a child needs to keep; English only, so this finds some slips, not all.
const KEPT: [&str; 9] = [
    "glasses",
    "hearing aid",
    "ear defender",
    "picture schedule",
    "picture card",
    "talker",
    "comforter",
    "chewing ring",
    "fidget",
];
/// Words of lights that are never set up; English only.
const FLASHING: [&str; 4] = ["flash", "strobe", "blink", "flicker"];

/// One piece of advice about a checklist.
#[derive(Clone, Debug, PartialEq)]
pub enum Advice {
    /// No question about a surface.
    SurfaceNotAsked(Surface),
    /// A question longer than 140 signs.
    LongQuestion {
        /// The item.
        item: ItemId,
        /// Its length, signs.
        signs: usize,
    },
    /// A question that does not end with a question mark.
    NoQuestion(ItemId),
    /// A remedy that is not one sentence with a full stop.
    RemedySentence(ItemId),
    /// A remedy that takes longer than half an hour.
    LongRemedy(ItemId),
    /// A remedy or a ladder level that takes away what a child may need.
    TakesAwayKept {
        /// The item.
        item: ItemId,
        /// The word found.
        word: &'static str,
    },
    /// Fewer than two exemplars.
    FewExemplars {
        /// The item.
        item: ItemId,
        /// How many there are.
        found: usize,
    },
    /// A steady sound that a recording hears, but the list does not say so.
    NotInRecording(ItemId),
    /// A level that draws less than the one before it.
    LevelFalls {
        /// The item.
        item: ItemId,
        /// The level, counted from 1.
        level: usize,
    },
    /// A level that draws more than the item itself can.
    LevelAboveItem {
        /// The item.
        item: ItemId,
        /// The level, counted from 1.
        level: usize,
    },
    /// A sound louder than the usual cap.
    LoudLevel {
        /// The item.
        item: ItemId,
        /// The level, counted from 1.
        level: usize,
    },
    /// Two neighbouring sound levels far apart.
    WideStep {
        /// The item.
        item: ItemId,
        /// The upper level, counted from 1.
        level: usize,
    },
    /// A level that names a light that flashes.
    FlashingLevel {
        /// The item.
        item: ItemId,
        /// The level, counted from 1.
        level: usize,
    },
    /// Shared work that no other item has.
    SharesAlone(ItemId),
    /// `standard` or `published` without a source.
    NoSource(ItemId),
    /// A prerequisite without any level that it could hold back.
    NeedsWithoutLevels(ItemId),
}

impl Advice {
    /// The code of this advice.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::SurfaceNotAsked(_) => "surface-not-asked",
            Self::LongQuestion { .. } => "long-question",
            Self::NoQuestion(_) => "no-question",
            Self::RemedySentence(_) => "remedy-sentence",
            Self::LongRemedy(_) => "long-remedy",
            Self::TakesAwayKept { .. } => "takes-away-kept",
            Self::FewExemplars { .. } => "few-exemplars",
            Self::NotInRecording(_) => "not-in-recording",
            Self::LevelFalls { .. } => "level-falls",
            Self::LevelAboveItem { .. } => "level-above-item",
            Self::LoudLevel { .. } => "loud-level",
            Self::WideStep { .. } => "wide-step",
            Self::FlashingLevel { .. } => "flashing-level",
            Self::SharesAlone(_) => "shares-alone",
            Self::NoSource(_) => "no-source",
            Self::NeedsWithoutLevels(_) => "needs-without-levels",
        }
    }

    /// The item concerned; `None` when it is the whole list.
    pub const fn item(&self) -> Option<&ItemId> {
        match self {
            Self::SurfaceNotAsked(_) => None,
            Self::NoQuestion(item)
            | Self::RemedySentence(item)
            | Self::LongRemedy(item)
            | Self::NotInRecording(item)
            | Self::SharesAlone(item)
            | Self::NoSource(item)
            | Self::NeedsWithoutLevels(item)
            | Self::LongQuestion { item, .. }
            | Self::TakesAwayKept { item, .. }
            | Self::FewExemplars { item, .. }
            | Self::LevelFalls { item, .. }
            | Self::LevelAboveItem { item, .. }
            | Self::LoudLevel { item, .. }
            | Self::WideStep { item, .. }
            | Self::FlashingLevel { item, .. } => Some(item),
        }
    }

    /// What could be better, and what to do.
    pub fn text(&self) -> String {
        let what = match self {
            Self::SurfaceNotAsked(surface) => {
                format!("nothing is asked about {surface}; add an item, or keep in mind that the load leaves it out")
            }
            Self::LongQuestion { signs, .. } => {
                format!("the question has {signs} signs; shorten it to {LONGEST_QUESTION} and put the rest into `help`")
            }
            Self::NoQuestion(_) => "`ask` does not end with a question mark; write it as a question".to_owned(),
            Self::RemedySentence(_) => "the remedy is not one sentence; write one sentence with a full stop".to_owned(),
            Self::LongRemedy(_) => {
                format!("the remedy takes more than {LONGEST_MINUTES:.0} minutes; few families get to it, so offer a smaller one")
            }
            Self::TakesAwayKept { word, .. } => {
                format!("`{word}` may be something the child must keep; never take it away for a task")
            }
            Self::FewExemplars { found, .. } => {
                format!("{found} of at least 2 exemplars; name things to rotate, so that practice does not hang on one")
            }
            Self::NotInRecording(_) => {
                "its levels are steady sounds, but `in_recording` is not set; set it, or take the levels out if it is sudden"
                    .to_owned()
            }
            Self::LevelFalls { level, .. } => {
                format!("level {level} draws no more than the level before; put the levels in rising order")
            }
            Self::LevelAboveItem { level, .. } => {
                format!("level {level} draws more than the item itself ever can; lower it or raise the item's `alone`")
            }
            Self::LoudLevel { level, .. } => {
                format!("level {level} is louder than {LOUDEST_DB:.0} dB at the child's ear; the usual sound cap leaves it out")
            }
            Self::WideStep { level, .. } => {
                format!("level {level} is more than {WIDEST_DB:.0} dB above the level before; put one in between")
            }
            Self::FlashingLevel { level, .. } => {
                format!("level {level} names a light that flashes; such lights are never set up, take the level out")
            }
            Self::SharesAlone(_) => {
                "no other item shares its work; give another item the same word, or take `shares` out".to_owned()
            }
            Self::NoSource(_) => "the evidence tag needs a source; add `source`, or call it a convention".to_owned(),
            Self::NeedsWithoutLevels(_) => "`needs` holds back no level; add levels or take it out".to_owned(),
        };
        match self.item() {
            Some(item) => format!("item `{item}`: {what}"),
            None => what,
        }
    }
}

/// All advice about a list, in the order of its items.
pub fn advice(list: &Checklist) -> Vec<Advice> {
    let mut found: Vec<Advice> = Surface::ALL
        .into_iter()
        .filter(|surface| list.items.iter().all(|item| item.surface != *surface))
        .map(Advice::SurfaceNotAsked)
        .collect();
    for item in &list.items {
        wording(item, &mut found);
        levels(item, &mut found);
        let work = item.shares.as_ref().map(|shares| &shares.work);
        let sharers =
            list.items.iter().filter(|other| other.shares.as_ref().map(|shares| &shares.work) == work).count();
        if work.is_some() && sharers < 2 {
            found.push(Advice::SharesAlone(item.id.clone()));
        }
    }
    found
}

/// Advice about the texts of an item.
fn wording(item: &Item, found: &mut Vec<Advice>) {
    let id = || item.id.clone();
    let signs = item.ask.chars().count();
    if signs > LONGEST_QUESTION {
        found.push(Advice::LongQuestion { item: id(), signs });
    }
    if !item.ask.ends_with('?') && !item.ask.contains("? ") {
        found.push(Advice::NoQuestion(id()));
    }
    if !item.remedy.ends_with('.') || item.remedy.contains(". ") {
        found.push(Advice::RemedySentence(id()));
    }
    if item.minutes > LONGEST_MINUTES {
        found.push(Advice::LongRemedy(id()));
    }
    let taken = item.remedy.to_lowercase();
    if let Some(word) = KEPT.into_iter().find(|word| taken.contains(word)) {
        found.push(Advice::TakesAwayKept { item: id(), word });
    }
    if item.exemplars.len() < 2 {
        found.push(Advice::FewExemplars { item: id(), found: item.exemplars.len() });
    }
    if matches!(item.evidence, Evidence::Standard | Evidence::Published) && item.source.is_none() {
        found.push(Advice::NoSource(id()));
    }
}

/// Advice about the ladder levels of an item.
fn levels(item: &Item, found: &mut Vec<Advice>) {
    let id = || item.id.clone();
    if item.needs.is_some() && item.levels.is_empty() {
        found.push(Advice::NeedsWithoutLevels(id()));
    }
    if item.channel == Channel::Heard && !item.levels.is_empty() && !item.in_recording {
        found.push(Advice::NotInRecording(id()));
    }
    let mut before: Option<&Draw> = None;
    for (number, level) in (1..).zip(&item.levels) {
        if before.is_some_and(|before| falls(item, before, &level.draw)) {
            found.push(Advice::LevelFalls { item: id(), level: number });
        }
        match (&level.draw, before) {
            (Draw::Sound { db, .. }, _) if *db > LOUDEST_DB => {
                found.push(Advice::LoudLevel { item: id(), level: number });
            }
            (Draw::Sound { db, .. }, Some(Draw::Sound { db: lower, .. })) if db - lower > WIDEST_DB => {
                found.push(Advice::WideStep { item: id(), level: number });
            }
            (Draw::Alone(alone), _) if *alone > item.alone() => {
                found.push(Advice::LevelAboveItem { item: id(), level: number });
            }
            _ => {}
        }
        let name = level.name.to_lowercase();
        if FLASHING.into_iter().any(|word| name.contains(word)) {
            found.push(Advice::FlashingLevel { item: id(), level: number });
        }
        before = Some(&level.draw);
    }
}

/// Whether a level fails to draw more than the one before. Sounds of different kind cannot be compared without the
/// scale: one that becomes speech-like may be quieter and draw more, so it is never called falling.
fn falls(item: &Item, before: &Draw, after: &Draw) -> bool {
    match (before, after) {
        (Draw::Sound { db: lower, speech: was }, Draw::Sound { db: upper, speech: is }) => was >= is && upper <= lower,
        _ => percent(item, after) <= percent(item, before),
    }
}

/// The percentage a level that is seen or is company takes alone.
fn percent(item: &Item, draw: &Draw) -> f64 {
    let share = match draw {
        Draw::Alone(alone) => return *alone,
        Draw::Sound { .. } => return 0.0,
        Draw::Count(count) => item.alone_share(&Answer::Count(*count)),
        Draw::Option(key) => item.alone_share(&Answer::Option(key.clone())),
    };
    share.map_or(0.0, |share| 100.0 * share)
}
