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

/// The format line of the list inside a pack.
pub const PACK_FORMAT: &str = "stillroom.pack/1";

/// The list inside a pack (`stillroom.pack/1`): what it holds.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct PackListDoc {
    /// Always [`PACK_FORMAT`].
    pub format: String,
    /// The child's alias.
    pub alias: String,
    /// When it was made, in UTC.
    pub made: String,
    /// The one place it is about; left out for a whole case.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place: Option<String>,
    /// Every file, in the order of the archive.
    #[serde(default)]
    pub files: Vec<PackFileDoc>,
}

/// One file of a pack.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct PackFileDoc {
    /// Its name.
    pub name: String,
    /// Its size.
    pub bytes: u64,
}

/// A sealed pack (`stillroom.packed/1`).
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct PackedDoc {
    /// The pack.
    pub file: String,
    /// Its size.
    pub bytes: u64,
    /// The child's alias.
    pub alias: String,
    /// The one place it is about; null for a whole case.
    pub place: Option<String>,
    /// What it holds, by kind.
    pub holds: Vec<KindCountDoc>,
    /// What stays behind, by kind.
    pub left_out: Vec<KindCountDoc>,
}

impl Document for PackedDoc {
    const SCHEMA: &'static str = "stillroom.packed/1";
}

/// A file for a phone (`stillroom.carried/1`).
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct CarriedDoc {
    /// The file.
    pub file: String,
    /// Its size.
    pub bytes: u64,
    /// The child's alias; null where it carries no records.
    pub alias: Option<String>,
    /// What it carries, by kind.
    pub holds: Vec<KindCountDoc>,
    /// What stays behind, by kind.
    pub left_out: Vec<KindCountDoc>,
}

impl Document for CarriedDoc {
    const SCHEMA: &'static str = "stillroom.carried/1";
}

/// How many files of a kind, and why, where they stay behind.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct KindCountDoc {
    /// The kind, `photo` for kept photos.
    pub kind: String,
    /// How many.
    pub count: usize,
    /// Why they stay behind.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub why: Option<String>,
}

/// An opened pack (`stillroom.unpacked/1`).
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct UnpackedDoc {
    /// The folder that is now a case.
    pub folder: String,
    /// The child's alias.
    pub alias: String,
    /// Records in it.
    pub records: usize,
    /// Kept photos in it.
    pub photos: usize,
}

impl Document for UnpackedDoc {
    const SCHEMA: &'static str = "stillroom.unpacked/1";
}

/// A clinic's incoming packs (`stillroom.collect/1`).
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct CollectDoc {
    /// Packs that were opened and merged.
    pub packs: Vec<CollectedDoc>,
    /// Packs that failed, each with why; nothing of them was kept.
    pub failed: Vec<UnreadableDoc>,
}

impl Document for CollectDoc {
    const SCHEMA: &'static str = "stillroom.collect/1";
}

/// One incoming pack.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct CollectedDoc {
    /// The pack's file name.
    pub pack: String,
    /// The case folder that it went into.
    pub case: String,
    /// The child's alias.
    pub alias: String,
    /// Whether the case is new here.
    pub new: bool,
    /// Files that were added.
    pub added: usize,
    /// Files that were there already.
    pub already: usize,
}

/// Tables for a clinic's own statistics were written (`stillroom.exported/1`).
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ExportedDoc {
    /// The folder.
    pub folder: String,
    /// Its files.
    pub files: Vec<String>,
    /// Whether names, notes and true dates were taken out.
    pub anonymous: bool,
}

impl Document for ExportedDoc {
    const SCHEMA: &'static str = "stillroom.exported/1";
}

/// The tables of a case (`stillroom.export/1`), each a list of rows.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ExportDoc {
    /// The child's alias; null in an anonymous export.
    pub alias: Option<String>,
    /// Whether names, notes and true dates were taken out.
    pub anonymous: bool,
    /// The tables.
    #[serde(flatten)]
    pub tables: serde_json::Map<String, serde_json::Value>,
}

impl Document for ExportDoc {
    const SCHEMA: &'static str = "stillroom.export/1";
}

/// All cases of a clinician at a glance (`stillroom.caseload/1`).
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CaseloadDoc {
    /// One entry a case; who needs a person today comes first.
    pub cases: Vec<CaseloadEntryDoc>,
    /// Folders that could not be read as cases, and files that were left out of one.
    pub unreadable: Vec<UnreadableDoc>,
    /// How good the stored forecasts of all cases were, where any was scored.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub forecasts: Option<super::ForecastRecordDoc>,
}

impl Document for CaseloadDoc {
    const SCHEMA: &'static str = "stillroom.caseload/1";
}

/// One case of a caseload.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CaseloadEntryDoc {
    /// The child's alias.
    pub alias: String,
    /// The rung practised; null before the first session.
    pub rung: Option<u32>,
    /// The day of the last session.
    pub last_session: Option<String>,
    /// What the sessions so far say: `advance`, `hold`, `step-back`, `break-down`, `pause`; null before the first session.
    pub decision: Option<String>,
    /// `today`, `this week` or `fine`.
    pub due: String,
    /// Why it is due, the most pressing first.
    pub why: Vec<super::NoteDoc>,
    /// What is missing.
    pub missing: Vec<super::NoteDoc>,
    /// Days since the last session.
    pub days_since: Option<i64>,
    /// The last decision that somebody recorded, with its day.
    pub last_decision: Option<LastDecisionDoc>,
    /// The case's folder.
    pub folder: String,
    /// How good the stored forecasts of this case were, where any was scored.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub forecasts: Option<super::ForecastRecordDoc>,
}

/// A decision that somebody recorded.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct LastDecisionDoc {
    /// What was decided.
    pub decision: String,
    /// The rung.
    pub rung: u32,
    /// The day.
    pub date: String,
    /// Who signed it; null for a proposal.
    pub signed_by: Option<String>,
}
