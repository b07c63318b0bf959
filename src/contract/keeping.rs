//! What the commands that keep, merge and hand over cases print: `stillroom.case-check/1` and its neighbours.

use serde::{Deserialize, Serialize};

use super::{Document, UnreadableDoc};

/// What a check of a case found (`stillroom.case-check/1`).
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct CaseCheckDoc {
    /// Whether nothing is wrong.
    pub sound: bool,
    /// Sound records.
    pub records: usize,
    /// Sound kept photos.
    pub photos: usize,
    /// What is wrong, file by file.
    pub findings: Vec<FindingDoc>,
    /// What is good to know and no fault.
    pub notices: Vec<FindingDoc>,
    /// Files that `--repair` moved aside.
    pub moved: Vec<String>,
    /// Records that `--repair` gave their name back.
    pub restored: Vec<String>,
    /// Where the moved files are; null when none was moved.
    pub set_aside: Option<String>,
}

impl Document for CaseCheckDoc {
    const SCHEMA: &'static str = "stillroom.case-check/1";
}

/// Something about one file.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct FindingDoc {
    /// The file's name.
    pub name: String,
    /// What it is, fixed for ever.
    pub code: String,
    /// What is wrong and what to do.
    pub text: String,
}

/// What a merge did (`stillroom.merge/1`).
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct MergeDoc {
    /// Files that were added.
    pub added: Vec<String>,
    /// How many files both had.
    pub already: usize,
    /// Files that were not taken, each with why.
    pub left_out: Vec<UnreadableDoc>,
    /// Competing corrections: ids by the moment of writing; figures use the last.
    pub conflicts: Vec<Vec<String>>,
}

impl Document for MergeDoc {
    const SCHEMA: &'static str = "stillroom.merge/1";
}

/// A record that was added (`stillroom.added/1`).
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct AddedDoc {
    /// Its id.
    pub id: String,
    /// Its kind.
    pub kind: String,
    /// Its file's name.
    pub name: String,
    /// The record that it replaces.
    pub replaces: Option<String>,
}

impl Document for AddedDoc {
    const SCHEMA: &'static str = "stillroom.added/1";
}

/// What was erased (`stillroom.erased/1`).
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ErasedDoc {
    /// Files of the case that are gone.
    pub files: usize,
    /// Whether the folder is gone too.
    pub folder_gone: bool,
    /// What was no part of the case and stays.
    pub stays: Vec<String>,
    /// What no command can reach.
    pub out_of_reach: Vec<String>,
}

impl Document for ErasedDoc {
    const SCHEMA: &'static str = "stillroom.erased/1";
}
