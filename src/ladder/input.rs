//! What a ladder is planned from: distractors with levels, the background, the sound cap, the child's sensitivities.

use std::fmt;

use super::words::{ANIMALS, DEVICES, speaks_of};
use crate::load::HeardTable;
use crate::quantity::{Decibels, Pull};
use crate::words::Channel;

/// Everything the search needs; nothing is assumed behind its back.
#[derive(Clone, Debug, PartialEq)]
pub struct LadderInput {
    /// Which channel is added back first, second, third.
    pub order: [Channel; 3],
    /// Rating level of the room without any sound distractor.
    pub background: Decibels,
    /// The level that the sounds and the background together may never pass at the child's ear.
    pub sound_cap: Decibels,
    /// Doubt (one standard deviation) of the device that checks a level at the child's chair, dB; 0 when it is not known.
    /// The cap is met only by the reading plus twice its doubt, so that the plan stays that much below it.
    pub reading_sd_db: f64,
    /// How new a hidden sound still is, 0 to 1.
    pub novelty: f64,
    /// Steps above this pull are split where they can be.
    pub max_step: Option<Pull>,
    /// The child's sensitivities.
    pub sensitivity: Sensitivity,
    /// Rating level to pull.
    pub heard: HeardTable,
    /// What can be added back, in the order of the file; ties go to the first.
    pub distractors: Vec<Distractor>,
    /// What must stay in reach; never part of a ladder.
    pub keep: Vec<String>,
    /// Size and decay of the room, when they are known: then a distance can be told.
    pub acoustics: Option<Acoustics>,
    /// Rungs in the order of the list instead of by their steps: a first level of each thing, then the second levels, and so
    /// on. For a child for whom the load foretells nothing. Phases, prerequisites and the cap hold as ever.
    pub by_list: bool,
}

impl LadderInput {
    /// What the plan may reach, so that a reading plus twice its doubt is not above the cap.
    pub fn planned_cap(&self) -> Decibels {
        self.sound_cap.raised_by(-2.0 * self.reading_sd_db)
    }

    /// How many rungs lead from start to goal.
    pub fn rungs(&self) -> usize {
        self.distractors.iter().fold(0, |sum: usize, one| sum.saturating_add(one.goal.saturating_sub(one.start)))
    }
}

/// The child's sensitivity on each channel, 1 unless the clinician sets it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sensitivity {
    /// For things seen.
    pub seen: f64,
    /// For things heard.
    pub heard: f64,
    /// For people and animals.
    pub company: f64,
}

impl Sensitivity {
    /// Nothing set by a clinician.
    pub const PLAIN: Self = Self { seen: 1.0, heard: 1.0, company: 1.0 };

    /// The factor of a channel.
    pub const fn of(&self, channel: Channel) -> f64 {
        match channel {
            Channel::Seen => self.seen,
            Channel::Heard => self.heard,
            Channel::Company => self.company,
        }
    }
}

/// What is known of how sound spreads in the room.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Acoustics {
    /// Volume, cubic metres.
    pub volume_m3: f64,
    /// Reverberation time, seconds.
    pub decay_s: f64,
}

/// One thing that draws attention, with levels from absent (0) up.
#[derive(Clone, Debug, PartialEq)]
pub struct Distractor {
    /// Its short name, unique in the input.
    pub id: String,
    /// Its name for people, when it has one besides the short one.
    pub name: Option<String>,
    /// The way in.
    pub channel: Channel,
    /// The level in the start room.
    pub start: usize,
    /// The level in the room to cope with.
    pub goal: usize,
    /// May be above absent only while another one is there.
    pub needs: Option<Need>,
    /// Levels 1, 2, …; level 0 is absent and not listed.
    pub levels: Vec<Level>,
    /// Things to rotate.
    pub exemplars: Vec<String>,
    /// How it is set up, in a sentence.
    pub set_up: Option<String>,
    /// Minutes it takes to set up.
    pub set_up_minutes: Option<f64>,
    /// People needed besides the one who teaches.
    pub people: Option<u32>,
    /// Minutes of one sitting.
    pub minutes: Option<f64>,
    /// Opportunities of one sitting.
    pub trials: Option<u32>,
    /// How many times as strongly it draws this child as its levels say; 1 unless it was learned. It changes pulls and loads,
    /// never a level at the child's ear.
    pub draws: f64,
    /// The same of a scale that was learned from cases; 1 in the shipped one.
    pub weighs: f64,
}

/// Another distractor that must be there at a level or higher.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Need {
    /// The other one.
    pub id: String,
    /// Its least level.
    pub level: usize,
}

/// One level of a distractor.
#[derive(Clone, Debug, PartialEq)]
pub struct Level {
    /// Its number, or its name when it was inserted between two numbers.
    pub label: LevelLabel,
    /// What stands there, in a few words.
    pub name: String,
    /// How strongly it draws.
    pub draw: LevelDraw,
}

/// How a level is called: `2`, or `1a` between 1 and 2. Absent is `0`.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LevelLabel {
    /// A level of the input.
    Plain(u32),
    /// A level that the ladder put in.
    Inserted(String),
}

impl LevelLabel {
    /// Absent.
    pub const ABSENT: Self = Self::Plain(0);
}

impl fmt::Display for LevelLabel {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Plain(number) => write!(out, "{number}"),
            Self::Inserted(name) => out.write_str(name),
        }
    }
}

/// How strongly a level draws.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LevelDraw {
    /// Something seen, or company.
    Pull {
        /// Its pull.
        pull: Pull,
        /// How many things it is; makes it splittable.
        count: Option<u32>,
    },
    /// A sound at the child's ear.
    Sound {
        /// LAeq at the child's ear without the background.
        level: Decibels,
        /// Whether it is speech-like.
        speech: bool,
    },
}

impl Distractor {
    /// People needed besides the one who teaches: as written, else one for company (none for an animal, a telephone or
    /// a screen) and none for what is seen or heard.
    pub fn people_needed(&self) -> u32 {
        let company = self.channel == Channel::Company && !speaks_of(self, ANIMALS) && !speaks_of(self, DEVICES);
        self.people.unwrap_or(u32::from(company))
    }

    /// Its name for people.
    pub fn shown(&self) -> &str {
        self.name.as_deref().unwrap_or(&self.id)
    }

    /// The level of that number; `None` for absent (0) and beyond the last.
    pub fn level(&self, number: usize) -> Option<&Level> {
        number.checked_sub(1).and_then(|index| self.levels.get(index))
    }

    /// How a level is called.
    pub fn label(&self, number: usize) -> LevelLabel {
        self.level(number).map_or(LevelLabel::ABSENT, |level| level.label.clone())
    }
}
