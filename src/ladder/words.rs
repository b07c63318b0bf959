//! What a rung says: what to set up, how to check it, what to rotate, when to go up, when to go back.

use super::input::{Distractor, LevelDraw, LevelLabel};
use super::room::Room;
use crate::words::Channel;

/// Opportunities of a sitting unless the input says otherwise: at home ten or more. Convention.
pub(crate) const TRIALS: u32 = 10;
/// Minutes of a sitting unless the input says otherwise. Convention.
pub(crate) const MINUTES: f64 = 10.0;
/// A sound that rises by more than this at once is told, and never rises by more within one sitting, dB. Convention.
pub(crate) const LOUD_STEP_DB: f64 = 10.0;
/// Things staged on purpose at a time: this one and two more.
const STAGED: usize = 3;
/// A source is thought of between so near and so far, m.
const NEAR_M: f64 = 1.0;
const FAR_M: f64 = 4.0;
/// Names told in one sentence.
const NAMES: usize = 6;

/// Names in a sentence: a, b and c; after six, how many more.
pub(crate) fn listed(names: impl Iterator<Item = String>) -> String {
    let mut names: Vec<String> = names.collect();
    let more = names.len().saturating_sub(NAMES);
    if more > 0 {
        names.truncate(NAMES);
        names.push(format!("{more} more"));
    }
    match names.split_last() {
        None => "nothing".to_owned(),
        Some((last, [])) => last.clone(),
        Some((last, others)) => format!("{} and {last}", others.join(", ")),
    }
}

/// One rung as it is told: the distractor raised, the state after it, and who was raised so far, the newest last.
pub(crate) struct Telling<'a> {
    /// The room.
    pub(crate) room: &'a Room<'a>,
    /// The distractor raised.
    pub(crate) index: usize,
    /// The state after it.
    pub(crate) levels: &'a [usize],
    /// The order of rungs up to this one.
    pub(crate) order: &'a [usize],
}

impl Telling<'_> {
    fn distractor(&self, index: usize) -> &Distractor {
        &self.room.input.distractors[index]
    }

    fn at(&self, index: usize, level: usize) -> String {
        let distractor = self.distractor(index);
        distractor.level(level).map_or_else(|| "absent".to_owned(), |level| level.name.clone())
    }

    /// The raised one's level in words.
    pub(crate) fn level_name(&self) -> String {
        self.at(self.index, self.levels[self.index])
    }

    /// What was there before, in quotes unless it was nothing.
    fn before(&self, level: usize) -> String {
        let name = self.at(self.index, level);
        if level == 0 { name } else { format!("\"{name}\"") }
    }

    /// The level of the input that an inserted one leads to.
    fn towards(&self) -> Option<&str> {
        let (distractor, level) = (self.distractor(self.index), self.levels[self.index]);
        let plain = |number: &usize| matches!(distractor.label(*number), LevelLabel::Plain(_));
        let next = (level..=distractor.levels.len()).find(plain).filter(|next| *next > level)?;
        distractor.level(next).map(|level| level.name.as_str())
    }

    pub(crate) fn with_level(&self, index: usize) -> String {
        format!("{} ({})", self.distractor(index).shown(), self.at(index, self.levels[index]))
    }

    /// What to set up, and what else is there.
    pub(crate) fn set_up(&self) -> String {
        self.new_thing() + &self.others()
    }

    /// What is new, and how it is set up.
    pub(crate) fn new_thing(&self) -> String {
        let (raised, level) = (self.distractor(self.index), self.levels[self.index]);
        let mut told = format!(
            "New: {}, now \"{}\" (before: {}).",
            raised.shown(),
            self.at(self.index, level),
            self.before(level - 1)
        );
        if let Some(towards) = self.towards() {
            told += &format!(" This is on the way to \"{towards}\".");
        }
        if let Some(text) = &raised.set_up {
            told += " ";
            told += text.trim_end();
        }
        if let Some(minutes) = raised.set_up_minutes.filter(|minutes| *minutes > 0.0) {
            told += &format!(" About {minutes:.0} min to set up.");
        }
        told += &match raised.people_needed() {
            0 => " Nobody else is needed.".to_owned(),
            1 => " One more person is needed: ask before you begin.".to_owned(),
            people => format!(" {people} more people are needed: ask before you begin."),
        };
        if raised.channel == Channel::Heard {
            told +=
                " Fade it in over at least a second; a loudspeaker, no headphones. Ear defenders are always allowed.";
            if let Some((from, to)) = self.sound_step().filter(|(from, to)| to - from > LOUD_STEP_DB) {
                told += &format!(
                    " It is {:.0} dB louder than before: begin at {from:.0} dB and raise it by at most {LOUD_STEP_DB:.0} dB in one sitting, so that {to:.0} dB takes {:.0} sittings.",
                    to - from,
                    ((to - from) / LOUD_STEP_DB).ceil()
                );
            }
        }
        told
    }

    /// From what to what the raised sound itself rises, dB; from the background where it was absent or below it.
    pub(crate) fn sound_step(&self) -> Option<(f64, f64)> {
        let (distractor, level) = (self.distractor(self.index), self.levels[self.index]);
        let sound = |number: usize| match distractor.level(number)?.draw {
            LevelDraw::Sound { level, .. } => Some(level.db()),
            LevelDraw::Pull { .. } => None,
        };
        let background = self.room.input.background.db();
        Some((level.checked_sub(1).and_then(sound).map_or(background, |below| below.max(background)), sound(level)?))
    }

    /// What is there besides, and what stays in reach.
    fn others(&self) -> String {
        let mut told = String::new();
        let mut newest: Vec<usize> = Vec::new();
        for &index in self.order.iter().rev().filter(|&&index| index != self.index) {
            if newest.len() + 1 < STAGED && !newest.contains(&index) {
                newest.push(index);
            }
        }
        if !newest.is_empty() {
            told += &format!(" Still staged: {}.", listed(newest.iter().map(|&index| self.with_level(index))));
        }
        let rest: Vec<usize> = (0..self.levels.len())
            .filter(|index| self.levels[*index] > 0 && *index != self.index && !newest.contains(index))
            .collect();
        if !rest.is_empty() {
            let rest = listed(rest.into_iter().map(|index| self.with_level(index)));
            told += &format!(" Not staged, only noted when it is there: {rest}.");
        }
        if !self.room.input.keep.is_empty() {
            told += &format!(" Stays in reach: {}.", listed(self.room.input.keep.iter().cloned()));
        }
        told
    }

    /// How to check it at the child's chair.
    pub(crate) fn check(&self) -> String {
        let name = self.at(self.index, self.levels[self.index]);
        match self.distractor(self.index).level(self.levels[self.index]).map(|level| level.draw) {
            Some(LevelDraw::Sound { level, .. }) => {
                let reading = self.room.plain_level(self.levels).db();
                let cap = self.room.input.sound_cap.db();
                let mut told = format!(
                    "At the child's chair, over one minute with everything on: about {reading:.0} dB LAeq by a calibrated device, of which this sound alone {:.0} dB; reading plus twice its doubt at most {cap:.0} dB. The live line of `stillroom sound --record 60 --profile NAME --target {reading:.0}` shows it. Without calibration: no louder than the adult's ordinary voice (`--voice FILE --target voice`).",
                    level.db()
                );
                told += &self.distance(level.db());
                told
            }
            Some(LevelDraw::Pull { count: Some(count), .. }) => {
                format!("Count from the child's chair at eye level: {count} in view ({name}), no more.")
            }
            _ if self.distractor(self.index).channel == Channel::Company => {
                format!("Before you begin: {name}; everybody who takes part was asked and said yes.")
            }
            _ => format!("Look from the child's chair at eye level: {name}, and no more of it."),
        }
    }

    /// The level of this sound at its goal, dB.
    fn loudest_db(&self, db: f64) -> f64 {
        let distractor = self.distractor(self.index);
        match distractor.level(distractor.goal).map(|level| level.draw) {
            Some(LevelDraw::Sound { level, .. }) => level.db(),
            _ => db,
        }
    }

    /// How far away the source stands, where the room is known and distance alone can set the level.
    pub(crate) fn far_m(&self, db: f64) -> Option<f64> {
        let acoustics = self.room.input.acoustics?;
        let far = acoustics.distance_for_drop_m(1.0, NEAR_M, self.loudest_db(db) - db)?;
        (far > NEAR_M && far <= FAR_M).then_some(far)
    }

    /// Whether distance can set this sound's level, where the room is known.
    fn distance(&self, db: f64) -> String {
        let Some(acoustics) = self.room.input.acoustics else { return String::new() };
        let (loudest, change) = (self.loudest_db(db), acoustics.change_db(1.0, NEAR_M, FAR_M));
        match self.far_m(db) {
            Some(far) => format!(
                " With the volume that gives {loudest:.0} dB at {NEAR_M:.0} m, the source stands {far:.1} m away."
            ),
            None => format!(
                " In this room moving a source from {NEAR_M:.0} m to {FAR_M:.0} m changes it by {change:.1} dB: set the volume, not the distance."
            ),
        }
    }

    /// At least two things to rotate.
    pub(crate) fn exemplars(&self) -> Vec<String> {
        let distractor = self.distractor(self.index);
        let generic = match distractor.channel {
            Channel::Seen => ["one of this kind that you have at home", "another one that looks different"],
            Channel::Heard => ["one sound of this kind", "another sound of the same kind at the same level"],
            Channel::Company => {
                ["one person who likes to take part", "another person, or the same one doing something else"]
            }
        };
        let mut told = distractor.exemplars.clone();
        told.extend(generic.into_iter().skip(told.len().min(2)).map(str::to_owned));
        told
    }

    /// When to go up.
    pub(crate) fn mastery() -> String {
        "9 of 10 right without help, no distress and the child willing, in two sessions running on two days.".to_owned()
    }

    /// When to go back, and when to stop for the day.
    pub(crate) fn step_back(number: u32) -> String {
        let below = if number > 1 { format!("rung {}", number - 1) } else { "the start room".to_owned() };
        format!(
            "Two sessions running with at most half right without help: back to {below}. Three errors in a row: end on something easy and stop for the day. Distress, or the child wants to leave: stop at once; twice within five sessions: pause and call the clinician."
        )
    }

    /// What to try before a step that could not be split counts as a rung.
    pub(crate) fn probe(&self) -> String {
        let (name, shown) = (self.at(self.index, self.levels[self.index]), self.distractor(self.index).shown());
        match self.distractor(self.index).channel {
            Channel::Seen => format!(
                "Probe: 3 to 5 opportunities with {shown} ({name}) at the far side of the room or half covered, then closer; not taught, noted as a probe."
            ),
            Channel::Heard => format!(
                "Probe: 3 to 5 opportunities with {shown} ({name}) for a few seconds at a time, from the next room if that is quieter; stop at any distress, noted as a probe."
            ),
            Channel::Company => format!(
                "Probe: 3 to 5 opportunities with {shown} ({name}) for one minute, as far away as the room allows and facing elsewhere; noted as a probe."
            ),
        }
    }
}

/// Whether any of these words stands in the names of a distractor.
pub(crate) fn speaks_of(distractor: &Distractor, words: &[&str]) -> bool {
    let levels = distractor.levels.iter().map(|level| level.name.as_str());
    let texts = [distractor.id.as_str(), distractor.shown()].into_iter().chain(levels);
    texts.flat_map(|text| text.split(|sign: char| !sign.is_alphabetic())).any(|word| {
        let word = word.to_lowercase();
        words.iter().any(|known| word == *known || word.strip_suffix('s') == Some(known))
    })
}

/// Words that speak of an animal.
pub(crate) const ANIMALS: &[&str] = &["pet", "dog", "puppy", "cat", "kitten", "animal", "rabbit", "bird", "hamster"];

/// Words that speak of a thing that stands for company but needs nobody.
pub(crate) const DEVICES: &[&str] = &["phone", "telephone"];

/// Words that speak of food or of what is the child's own.
pub(crate) const OWN_OR_FOOD: &[&str] = &["favourite", "food", "snack", "drink", "sweet", "biscuit", "fruit"];

/// Words that speak of something that may flash.
pub(crate) const LIGHTS: &[&str] = &[
    "light",
    "lamp",
    "flash",
    "flashing",
    "blink",
    "blinking",
    "flicker",
    "screen",
    "television",
    "tv",
    "video",
    "tablet",
];
