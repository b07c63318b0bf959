//! What can be wrong in a ladder input: where, what, and what to do.

use std::fmt;

use crate::load::TableFault;
use crate::words::{Channel, did_you_mean, printable};

/// All faults of one file.
#[derive(Clone, Debug, PartialEq)]
pub struct Faults {
    /// The file's name.
    pub file: String,
    /// In the order of its lines; never empty.
    pub faults: Vec<Fault>,
}

impl fmt::Display for Faults {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (number, fault) in self.faults.iter().enumerate() {
            if number > 0 {
                out.write_str("\n")?;
            }
            write!(out, "{}: {fault}", printable(&self.file))?;
        }
        Ok(())
    }
}

impl std::error::Error for Faults {}

/// One fault.
#[derive(Clone, Debug, PartialEq)]
pub struct Fault {
    /// The line, from 1.
    pub line: usize,
    /// The distractor or table, when it is inside one.
    pub item: Option<String>,
    /// What is wrong.
    pub wrong: Wrong,
}

impl fmt::Display for Fault {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "line {}: ", self.line)?;
        if let Some(item) = &self.item {
            write!(out, "{item}: ")?;
        }
        write!(out, "{}", self.wrong)
    }
}

/// What is wrong.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Wrong {
    /// Not TOML.
    #[error("this is not TOML: {0}")]
    Toml(String),
    /// Another format.
    #[error("`format` is \"{}\"; this reads \"{wanted}\"", printable(.found))]
    Format {
        /// What stands there.
        found: String,
        /// What should.
        wanted: &'static str,
    },
    /// A key that is not known.
    #[error("`{key}` is no key here{hint}")]
    UnknownKey {
        /// The key.
        key: String,
        /// The nearest right one.
        hint: String,
    },
    /// A key that is not there.
    #[error("`{key}` is missing; nothing is assumed in its place")]
    Missing {
        /// The key.
        key: &'static str,
    },
    /// A value of another kind.
    #[error("`{key}` must be {wanted}, but is {found}")]
    Kind {
        /// The key.
        key: &'static str,
        /// What it must be.
        wanted: &'static str,
        /// What it is.
        found: &'static str,
    },
    /// Not a number, or without end.
    #[error("`{key}` must be a finite number")]
    NotFinite {
        /// The key.
        key: &'static str,
    },
    /// Too small.
    #[error("`{key}` must be {least} or more")]
    Below {
        /// The key.
        key: &'static str,
        /// The least it may be.
        least: &'static str,
    },
    /// Not above 0.
    #[error("`{key}` must be above 0; leave it out to split nothing")]
    NotAbove {
        /// The key.
        key: &'static str,
    },
    /// Out of range.
    #[error("`{key}` is {value}, and must be from {least} to {most}")]
    Range {
        /// The key.
        key: &'static str,
        /// What it is.
        value: f64,
        /// The least it may be.
        least: f64,
        /// The most it may be.
        most: f64,
    },
    /// The cap of sound is set too high.
    #[error("`sound_cap_db` is {value}, and no rung is planned above {most} dB at the child's ear")]
    CapTooHigh {
        /// What it is.
        value: f64,
        /// The most it may be.
        most: f64,
    },
    /// No channel.
    #[error("`{word}` is no channel: seen, heard or company{hint}")]
    Channel {
        /// The word.
        word: String,
        /// The nearest right one.
        hint: String,
    },
    /// Not each channel once.
    #[error("`order` must name seen, heard and company once each")]
    Order,
    /// The heard table.
    #[error("the heard table: {0}")]
    Table(TableFault),
    /// A key of the other kind of level.
    #[error("`{key}` does not belong to a {channel} level: seen and company carry `pull`, heard carries `db`")]
    Misplaced {
        /// The key.
        key: &'static str,
        /// The channel.
        channel: Channel,
    },
    /// A name that cannot be used.
    #[error("`{key}` must be a name of 1 to {most} signs without control characters")]
    Name {
        /// The key.
        key: &'static str,
        /// The longest.
        most: usize,
    },
    /// Two of the same name.
    #[error("`{id}` is there twice")]
    Double {
        /// The name.
        id: String,
    },
    /// A level beyond the last.
    #[error("`{key}` is {value}, but the highest level is {levels}")]
    BeyondLevels {
        /// The key.
        key: &'static str,
        /// What it is.
        value: usize,
        /// The highest level.
        levels: usize,
    },
    /// Start above goal.
    #[error("`start` is {start} and above `goal`, {goal}; a ladder only goes up")]
    StartAboveGoal {
        /// The start.
        start: usize,
        /// The goal.
        goal: usize,
    },
    /// No level at all.
    #[error("there is no level; write at least one [[distractor.level]]")]
    NoLevel,
    /// Something unknown is needed.
    #[error("`needs` names `{id}`, which is no distractor here{hint}")]
    UnknownNeed {
        /// The name.
        id: String,
        /// The nearest right one.
        hint: String,
    },
    /// A level of the other one that does not exist.
    #[error("`needs` asks for level {level} of `{id}`, which has levels 1 to {levels}")]
    NeedLevel {
        /// The other one.
        id: String,
        /// The level.
        level: usize,
        /// Its highest.
        levels: usize,
    },
    /// Things that need each other.
    #[error("`needs` goes in a circle: {}", ids.join(" needs "))]
    Circle {
        /// The circle, its first name again at the end.
        ids: Vec<String>,
    },
    /// Something that must stay is in the ladder.
    #[error("`{id}` is in `keep`: what must stay in reach is never part of a ladder; take it out of one of the two")]
    Kept {
        /// The name.
        id: String,
    },
    /// Too many.
    #[error("there are {count} {what}; at most {most} can be planned")]
    TooMany {
        /// How many.
        count: usize,
        /// Of what.
        what: &'static str,
        /// The most.
        most: usize,
    },
}

impl Wrong {
    /// A key that is not known.
    pub(crate) fn unknown_key(key: &str, known: &[&'static str]) -> Self {
        Self::UnknownKey { key: printable(key), hint: did_you_mean(key, known.iter().copied()) }
    }

    /// A word that is no channel.
    pub(crate) fn channel(word: &str) -> Self {
        Self::Channel { word: printable(word), hint: did_you_mean(word, Channel::ALL.map(Channel::word)) }
    }
}
