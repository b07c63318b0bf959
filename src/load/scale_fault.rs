//! What can be wrong with a scale file, said with file, line, key and the nearest right spelling.

use std::fmt;

use crate::load::TableFault;
use crate::words::printable;

/// Everything wrong with a scale file.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub struct ScaleFaults {
    /// The file, as it was named.
    pub file: String,
    /// At least one fault, in the order of the file.
    pub faults: Vec<ScaleFault>,
}

impl fmt::Display for ScaleFaults {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let file = printable(&self.file);
        for (at, fault) in self.faults.iter().enumerate() {
            let between = if at == 0 { "" } else { "\n" };
            write!(out, "{between}{file}: {fault}")?;
        }
        Ok(())
    }
}

/// One thing wrong with a scale file.
#[derive(Clone, Debug, PartialEq)]
pub struct ScaleFault {
    /// The line, counted from 1, where there is one.
    pub line: Option<usize>,
    /// The key, such as `heard.db`; empty for the file as a whole.
    pub place: String,
    /// What is wrong.
    pub problem: ScaleProblem,
}

impl fmt::Display for ScaleFault {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(line) = self.line {
            write!(out, "line {line}: ")?;
        }
        if !self.place.is_empty() {
            write!(out, "`{}`: ", printable(&self.place))?;
        }
        write!(out, "{}", self.problem)
    }
}

/// What is wrong with a key of a scale file.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ScaleProblem {
    /// The text is no TOML.
    #[error("not readable as TOML: {why}")]
    NotToml {
        /// What the reader says.
        why: String,
    },
    /// The file is far larger than a scale can be.
    #[error("a scale of {bytes} bytes; a scale has a few thousand, so this is another file")]
    TooLarge {
        /// Its size.
        bytes: usize,
    },
    /// Another kind of file.
    #[error("says `{found}`, but a scale begins with `format = \"{expected}\"`")]
    Format {
        /// What it says.
        found: String,
        /// What it should say.
        expected: &'static str,
    },
    /// A key that a scale does not have.
    #[error("a scale has no such key{hint}")]
    Unknown {
        /// The nearest right spelling as the end of a sentence, or nothing.
        hint: String,
    },
    /// A key that is not there.
    #[error("is missing; every key must be there, so that no number is hidden (copy it from the shipped scale)")]
    Missing,
    /// A value of another kind.
    #[error("must be {expected}, not {found}")]
    Kind {
        /// What it should be.
        expected: &'static str,
        /// What it is.
        found: &'static str,
    },
    /// A value that makes no sense.
    #[error("must be {allowed}")]
    Value {
        /// What is allowed, as the end of a sentence.
        allowed: String,
    },
    /// A table of levels and pulls that breaks its rules.
    #[error(transparent)]
    Table(#[from] TableFault),
}
