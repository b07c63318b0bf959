//! `stillroom.record/1`: one immutable record of a case, stored as TOML and named by its own hash.

use serde::{Deserialize, Serialize};

use super::{AuditDoc, Document, LadderDoc, PhotoDoc, SoundDoc};

/// The format line of every record.
pub const RECORD_FORMAT: &str = "stillroom.record/1";

/// One record.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct RecordDoc {
    /// Always [`RECORD_FORMAT`].
    pub format: String,
    /// The day it is about, `YYYY-MM-DD`.
    pub date: String,
    /// The moment it was written, in UTC.
    pub written: String,
    /// Who wrote it: an alias or a role.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub by: Option<String>,
    /// The record that this one corrects.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub replaces: Option<String>,
    /// What it says; its key is the record's kind.
    #[serde(flatten)]
    pub body: RecordBody,
}

/// What a record says.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum RecordBody {
    /// Who the case is about, under an alias.
    Child(ChildBody),
    /// A task that is practised.
    Task(TaskBody),
    /// One audit with all it rests on.
    Audit(Box<AuditBody>),
    /// A plan.
    Ladder(Box<LadderBody>),
    /// One sitting.
    Session(SessionBody),
}

impl RecordBody {
    /// The kind, as it stands in the file's name.
    pub const fn kind(&self) -> &'static str {
        match self {
            Self::Child(_) => "child",
            Self::Task(_) => "task",
            Self::Audit(_) => "audit",
            Self::Ladder(_) => "ladder",
            Self::Session(_) => "session",
        }
    }
}

/// Who the case is about.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ChildBody {
    /// Never a real name.
    pub alias: String,
    /// `YYYY-MM` at most, never a day.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub born: Option<String>,
    /// What must stay in reach.
    #[serde(default)]
    pub keep: Vec<String>,
    /// Does any sound make the child cover the ears, cry, freeze or leave: `yes`, `no` or `not asked`.
    pub sound_sensitive: String,
    /// Has hearing been checked: `yes`, `no` or `not asked`.
    pub hearing_checked: String,
}

/// A task that is practised.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TaskBody {
    /// Its name.
    pub name: String,
    /// What counts as right, in one observable sentence.
    pub correct: String,
    /// What is needed.
    #[serde(default)]
    pub materials: Vec<String>,
}

/// One audit with all it rests on: the texts of the checklist, the answers and the scale as they were read, the
/// readings, and the figures. So it can be computed again for ever.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AuditBody {
    /// The figures; `id` is left out, since it is the hash of this very text.
    pub figures: AuditDoc,
    /// The recording's reading.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sound: Option<SoundDoc>,
    /// The child's own sounds are in the recording, so it gives no pull.
    #[serde(default)]
    pub child_audible: bool,
    /// The photos' readings.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub photos: Vec<PhotoDoc>,
    /// The checklist, as read.
    pub checklist_text: String,
    /// The answers, as read.
    pub answers_text: String,
    /// The scale, as read.
    pub scale_text: String,
}

/// A plan.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LadderBody {
    /// The task it belongs to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub task: Option<String>,
    /// The place.
    pub place: String,
    /// The clinician who answers for it; without one it is a draft.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub signed_by: Option<String>,
    /// The audit whose room is the goal.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub goal_audit: Option<String>,
    /// The plan.
    pub plan: LadderDoc,
}

/// One sitting, as a line of the session log.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SessionBody {
    /// 0 is the cleared room.
    pub rung: u32,
    /// Chances to answer.
    pub opportunities: u32,
    /// Right without help.
    pub independent: u32,
    /// Right with help.
    pub prompted: u32,
    /// Wrong.
    pub errors: u32,
    /// Whether the child was distressed.
    pub distress: bool,
    /// Whether the child came and stayed willingly.
    pub assent: bool,
    /// Whether the distractor was really on.
    pub distractor_on: bool,
    /// Length.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub minutes: Option<u32>,
    /// Its first word may mark a kind (baseline, probe, maintenance, unwell, harm).
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
    /// The task.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub task: Option<String>,
    /// The place.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place: Option<String>,
    /// What was used as the distractor.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub exemplar: Option<String>,
    /// Unsettled afterwards or a bad night.
    #[serde(default)]
    pub after: bool,
}

/// The records of a case, in date order (`stillroom.records/1`).
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct RecordsDoc {
    /// The child's alias.
    pub alias: String,
    /// One entry a record.
    pub records: Vec<RecordEntryDoc>,
    /// Files that could not be read as records, each with why.
    pub unreadable: Vec<UnreadableDoc>,
}

impl Document for RecordsDoc {
    const SCHEMA: &'static str = "stillroom.records/1";
}

/// One record of the list.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct RecordEntryDoc {
    /// First 16 hex digits of its SHA-256.
    pub id: String,
    /// Its kind.
    pub kind: String,
    /// The day it is about.
    pub date: String,
    /// The record it corrects.
    pub replaces: Option<String>,
}

/// A file that could not be read.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct UnreadableDoc {
    /// The file's name.
    pub name: String,
    /// Why.
    pub text: String,
}
