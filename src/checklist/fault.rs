//! What can be wrong with a checklist or an answers file: where it stands, and what to do about it.

use std::fmt;

use crate::words::printable;

/// The largest file that is read, bytes.
pub(super) const MOST_BYTES: usize = 1024 * 1024;
/// The most items a checklist may hold.
pub(super) const MOST_ITEMS: usize = 500;
/// The most options or ladder levels an item may have: a longer row is a slip, and the ladder's lattice grows with each.
pub(super) const MOST_ROWS: usize = 20;
/// The longest text of one key, signs.
pub(super) const MOST_SIGNS: usize = 2_000;
/// The largest count that is believed.
pub(super) const MOST_COUNT: u32 = 10_000;
/// The most faults that are shown: whoever has mended these reads the file again.
pub(super) const MOST_FAULTS: usize = 100;
/// The most entries of `exemplars` or `keep`.
pub(super) const MOST_ENTRIES: usize = 50;

/// One fault of a file.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub struct Fault {
    /// The file as the caller named it.
    pub file: String,
    /// Line, counted from 1.
    pub line: usize,
    /// The item concerned.
    pub item: Option<String>,
    /// What is wrong.
    pub what: Wrong,
}

impl fmt::Display for Fault {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{}: line {}: ", printable(&self.file), self.line)?;
        if let Some(item) = &self.item {
            write!(out, "item `{}`: ", printable(item))?;
        }
        write!(out, "{}", self.what)
    }
}

/// All faults of a file (the first hundred found), in the order of its lines; never empty.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub struct Faults {
    shown: Vec<Fault>,
    more: bool,
}

impl Faults {
    /// The faults in the order of their lines; `more` when reading stopped before all were found.
    pub(super) fn new(mut shown: Vec<Fault>, more: bool) -> Self {
        shown.sort_by_key(|fault| fault.line);
        Self { shown, more }
    }

    /// The faults.
    pub fn iter(&self) -> impl Iterator<Item = &Fault> {
        self.shown.iter()
    }

    /// How many are shown.
    pub fn count(&self) -> usize {
        self.shown.len()
    }
}

impl fmt::Display for Faults {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (number, fault) in self.shown.iter().enumerate() {
            if number > 0 {
                out.write_str("\n")?;
            }
            write!(out, "{fault}")?;
        }
        if self.more {
            out.write_str("\nthere are more faults; mend these and read the file again")?;
        }
        Ok(())
    }
}

/// What is wrong. Names taken from the file are shown with control characters escaped.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Wrong {
    /// The file is larger than what is read.
    #[error("the file has {bytes} bytes; at most {MOST_BYTES} are read")]
    TooLarge {
        /// Its size.
        bytes: usize,
    },
    /// Bytes that are not UTF-8.
    #[error("this is not UTF-8 text; save the file as plain text in UTF-8")]
    NotText,
    /// Not TOML.
    #[error("this is not TOML: {0}")]
    Toml(String),
    /// The format line names something else.
    #[error("`format` must be \"{wanted}\", found {found}")]
    Format {
        /// The right value.
        wanted: &'static str,
        /// What stands there.
        found: String,
    },
    /// A required key is not there.
    #[error("`{key}` is missing{hint}")]
    Missing {
        /// The key.
        key: &'static str,
        /// How to write it.
        hint: String,
    },
    /// A key nobody reads.
    #[error("there is no key `{key}` {place}{hint}")]
    UnknownKey {
        /// The key.
        key: String,
        /// In which table.
        place: &'static str,
        /// The nearest right one.
        hint: String,
    },
    /// A value of another type.
    #[error("`{key}` must be {wanted}, found {found}")]
    Type {
        /// The key.
        key: String,
        /// What it must be.
        wanted: &'static str,
        /// What stands there.
        found: String,
    },
    /// A word outside a closed list.
    #[error("`{key}` must be {right}, found \"{found}\"{hint}")]
    Word {
        /// The key.
        key: &'static str,
        /// The right words, in one phrase.
        right: String,
        /// The word that stands there.
        found: String,
        /// The nearest right one.
        hint: String,
    },
    /// A text without any sign.
    #[error("`{key}` is empty; write what it is")]
    Empty {
        /// The key.
        key: String,
    },
    /// A text with signs that move the cursor or turn the line.
    #[error("`{key}` holds a control character; take it out")]
    Control {
        /// The key.
        key: String,
    },
    /// A text longer than a text may be.
    #[error("`{key}` is longer than {MOST_SIGNS} signs; make it shorter")]
    Long {
        /// The key.
        key: String,
    },
    /// A name with signs that are no letters, digits or hyphens.
    #[error("`{key}` = \"{found}\" is no name; use 1 to 80 letters, digits, `-`, `_` or `.`, without spaces")]
    Name {
        /// The key.
        key: &'static str,
        /// What stands there.
        found: String,
    },
    /// Too many of something.
    #[error("more than {most} {things}; split the list or leave some out")]
    TooMany {
        /// The most there may be.
        most: usize,
        /// Of what.
        things: &'static str,
    },
    /// No item at all.
    #[error("the checklist asks nothing; add an [[item]]")]
    NoItems,
    /// The same id twice.
    #[error("the id stands already at line {first}; every item needs its own")]
    DuplicateItem {
        /// The line of the first.
        first: usize,
    },
    /// The same option twice.
    #[error("the option `{option}` stands twice; every option needs its own key")]
    DuplicateOption {
        /// Its key.
        option: String,
    },
    /// An option with a reserved name.
    #[error("an option cannot be called \"not seen\": that is the answer for what could not be seen")]
    ReservedOption,
    /// A percentage outside 0 to below 100.
    #[error("`{key}` must be a percentage from 0 to below 100, found {found}")]
    Percent {
        /// The key.
        key: &'static str,
        /// What stands there.
        found: String,
    },
    /// A half that is not above 0.
    #[error("`half` must be above 0, found {found}")]
    Half {
        /// What stands there.
        found: String,
    },
    /// Minutes below 0, or no number.
    #[error("`minutes` must be 0 or more, found {found}")]
    Minutes {
        /// What stands there.
        found: String,
    },
    /// A sound level that no room has.
    #[error("`db` must be a level at the child's ear from 0 to 100, found {found}")]
    Sound {
        /// What stands there.
        found: String,
    },
    /// `in_photo` on an item that is not seen, or `in_recording` on one that is not heard.
    #[error("`{flag}` is only for items of channel \"{needed}\", this one is \"{channel}\"; take the line out")]
    Pooled {
        /// `in_photo` or `in_recording`.
        flag: &'static str,
        /// The channel that it belongs to.
        needed: &'static str,
        /// The channel of the item.
        channel: &'static str,
    },
    /// A level without exactly one way to get its pull.
    #[error("level {level} needs exactly one of `count`, `option`, `alone`, `db`, found {found}")]
    Draw {
        /// Counted from 1.
        level: usize,
        /// What stands there.
        found: String,
    },
    /// A level whose way to get a pull does not fit its item.
    #[error("level {level}: {problem}")]
    Level {
        /// Counted from 1.
        level: usize,
        /// What does not fit and what to do.
        problem: String,
    },
    /// A prerequisite that does not exist or cannot be met.
    #[error("`needs` {problem}")]
    Needs {
        /// What does not fit and what to do.
        problem: String,
    },
    /// Shared work that does not fit its item.
    #[error("`shares` {problem}")]
    Shares {
        /// What does not fit and what to do.
        problem: String,
    },
    /// Answers that belong to another checklist.
    #[error(
        "these answers are for the checklist `{found}`, not for `{wanted}`; answer that list, or name the right one{hint}"
    )]
    OtherChecklist {
        /// The checklist at hand.
        wanted: String,
        /// The one the answers name.
        found: String,
        /// A slip of the finger, perhaps.
        hint: String,
    },
    /// A day that is not written as YYYY-MM-DD or does not exist.
    #[error("`date` must be a day written like 2026-10-05, found {found}")]
    Date {
        /// What stands there.
        found: String,
    },
    /// An answer to a question that the list does not ask.
    #[error("the checklist `{checklist}` has no item of that name{hint}")]
    UnknownItem {
        /// The list.
        checklist: String,
        /// The nearest right one.
        hint: String,
    },
    /// An answer of the wrong kind.
    #[error("the answer must be {wanted} or \"not seen\", found {found}")]
    Answer {
        /// What it must be.
        wanted: String,
        /// What stands there.
        found: String,
    },
    /// A reason for not seeing what was answered.
    #[error("[reasons] says why it was not seen, but it has an answer; take one of the two out")]
    ReasonForAnswer,
    /// An option that the item does not have.
    #[error("there is no option \"{found}\"; choose {right} or \"not seen\"{hint}")]
    UnknownOption {
        /// What stands there.
        found: String,
        /// The options, in one phrase.
        right: String,
        /// The nearest right one.
        hint: String,
    },
}
