//! What every task answers when it cannot go on: a code, what is wrong, where, and what to do.

use std::fmt;

use crate::case::CaseFault;
use crate::contract::RefusalDoc;

/// Why a task could not be done.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refusal {
    /// The kind, fixed for ever.
    pub code: String,
    /// What is wrong; may have several lines.
    pub message: String,
    /// The file, line or item it is about.
    pub place: Option<String>,
    /// What to do.
    pub hint: Option<String>,
}

impl Refusal {
    /// A refusal of that code and message.
    pub fn new(code: impl Into<String>, message: impl Into<String>) -> Self {
        Self { code: code.into(), message: message.into(), place: None, hint: None }
    }

    /// The same, about that place.
    #[must_use]
    pub fn at(mut self, place: impl Into<String>) -> Self {
        self.place = Some(place.into());
        self
    }

    /// The same, with what to do.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = Some(hint.into());
        self
    }

    /// As programs read it.
    pub fn document(&self) -> RefusalDoc {
        RefusalDoc {
            code: self.code.clone(),
            message: self.message.clone(),
            place: self.place.clone(),
            hint: self.hint.clone(),
        }
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.message)
    }
}

impl std::error::Error for Refusal {}

impl From<CaseFault> for Refusal {
    fn from(fault: CaseFault) -> Self {
        let (code, hint) = match &fault {
            CaseFault::Missing(_) => ("case-missing", "make it with `stillroom case new DIR --alias NAME`"),
            CaseFault::NotAFolder(_) => ("case-not-a-folder", "name the folder that holds the records"),
            CaseFault::NotACase(_) => (
                "not-a-case",
                "name a folder made by `stillroom case new`, or make one: `stillroom case new DIR --alias NAME`",
            ),
            CaseFault::NotEmpty(_) => ("case-not-empty", "name a folder that is not there yet"),
            CaseFault::Io { .. } => ("case-io", "check the disk and the rights of the folder; nothing was lost"),
            CaseFault::Changed { .. } => {
                ("record-changed", "fetch this file again from where it was written; the other records are sound")
            }
            CaseFault::Unreadable { .. } => {
                ("record-unreadable", "the file was left as it is; `stillroom case list DIR` names what is sound")
            }
            CaseFault::NoRecord { .. } => ("no-record", "`stillroom case list DIR` names the records there are"),
            CaseFault::Stray { .. } => ("stray-file", "move this file out of the case folder"),
            CaseFault::OtherChild { .. } => (
                "other-child",
                "check that you named the right two folders; if it is one child under two aliases, add --same-child",
            ),
            CaseFault::TooLarge { .. } => ("record-too-large", "move this file out of the case folder"),
        };
        Self::new(code, fault.to_string()).hint(hint)
    }
}
