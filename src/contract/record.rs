//! `stillroom.record/1`: one immutable record of a case, stored as TOML and named by its own hash.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::calm::{DaySoundBody, PossibleBody};
use super::record_kinds::{
    AnswersBody, CorrectionBody, DecisionBody, NoteBody, PlaceBody, PreferenceBody, ReadingBody, ScreenTimeBody,
    SheetBody,
};
use super::record_practice::{CriterionBody, DayPlanBody, DetailsBody, ForecastBody, NeedBody, ObservationBody};
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
    /// A place that is audited.
    Place(PlaceBody),
    /// What was decided, and by whom.
    Decision(DecisionBody),
    /// What the child likes best.
    Preference(PreferenceBody),
    /// Minutes before a screen.
    ScreenTime(ScreenTimeBody),
    /// Free words.
    Note(NoteBody),
    /// Answers without an audit.
    Answers(AnswersBody),
    /// Readings without an audit.
    Reading(Box<ReadingBody>),
    /// What was seen of the child at the task, sampled in intervals.
    Observation(ObservationBody),
    /// What self-stimulation may serve, and how that need is met.
    Need(NeedBody),
    /// Learning times through the family's day.
    DayPlan(DayPlanBody),
    /// What was foretold of a rung before it was practised.
    Forecast(ForecastBody),
    /// What a place sounded like through a day.
    DaySound(Box<DaySoundBody>),
    /// What the family said is possible.
    Possible(PossibleBody),
    /// A filled sheet that was read from a photo.
    Sheet(SheetBody),
    /// Takes a record back without another in its place.
    Correction(CorrectionBody),
}

/// Every kind of record, as it stands in a file's name.
pub const RECORD_KINDS: [&str; 20] = [
    "child",
    "task",
    "place",
    "audit",
    "answers",
    "reading",
    "ladder",
    "session",
    "decision",
    "preference",
    "screen-time",
    "note",
    "observation",
    "need",
    "day-plan",
    "forecast",
    "day-sound",
    "possible",
    "sheet",
    "correction",
];

impl RecordBody {
    /// The kind, as it stands in the file's name.
    pub const fn kind(&self) -> &'static str {
        match self {
            Self::Child(_) => "child",
            Self::Task(_) => "task",
            Self::Audit(_) => "audit",
            Self::Ladder(_) => "ladder",
            Self::Session(_) => "session",
            Self::Place(_) => "place",
            Self::Decision(_) => "decision",
            Self::Preference(_) => "preference",
            Self::ScreenTime(_) => "screen-time",
            Self::Note(_) => "note",
            Self::Answers(_) => "answers",
            Self::Reading(_) => "reading",
            Self::Observation(_) => "observation",
            Self::Need(_) => "need",
            Self::DayPlan(_) => "day-plan",
            Self::Forecast(_) => "forecast",
            Self::DaySound(_) => "day-sound",
            Self::Possible(_) => "possible",
            Self::Sheet(_) => "sheet",
            Self::Correction(_) => "correction",
        }
    }
}

impl RecordBody {
    /// The place it is about; `None` where it is about the child, a task, or no place was named.
    pub fn place(&self) -> Option<&str> {
        match self {
            Self::Child(_)
            | Self::Task(_)
            | Self::Correction(_)
            | Self::Need(_)
            | Self::DayPlan(_)
            | Self::Possible(_)
            | Self::Sheet(_) => None,
            Self::DaySound(body) => Some(&body.place),
            Self::Observation(body) => body.place.as_deref(),
            Self::Forecast(body) => body.place.as_deref(),
            Self::Place(body) => Some(&body.name),
            Self::Audit(body) => Some(&body.figures.place),
            Self::Ladder(body) => Some(&body.place),
            Self::Session(body) => body.place.as_deref(),
            Self::Decision(body) => body.place.as_deref(),
            Self::Preference(body) => body.place.as_deref(),
            Self::ScreenTime(body) => body.place.as_deref(),
            Self::Note(body) => body.place.as_deref(),
            Self::Answers(body) => Some(&body.place),
            Self::Reading(body) => Some(&body.place),
        }
    }

    /// The ids of the records it names, beside the one it replaces.
    pub fn references(&self) -> Vec<&str> {
        match self {
            Self::Ladder(body) => {
                let start = body.settings.as_ref().and_then(|settings| settings.start_audit.as_deref());
                body.goal_audit.as_deref().into_iter().chain(start).collect()
            }
            Self::Note(body) => body.about.as_deref().into_iter().collect(),
            Self::Decision(body) => body.ladder.as_deref().into_iter().collect(),
            Self::Forecast(body) => body.ladder.as_deref().into_iter().collect(),
            Self::Sheet(body) => body.records.iter().map(String::as_str).collect(),
            _ => Vec::new(),
        }
    }

    /// The ids of the photos it keeps.
    pub fn photos(&self) -> &[String] {
        if let Self::Audit(body) = self { &body.kept_photos } else { &[] }
    }
}

/// Who the case is about.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
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
    /// Sounds that are never used with this child, in a few words each.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub excluded_sounds: Vec<String>,
}

/// A task that is practised.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct TaskBody {
    /// Its name.
    pub name: String,
    /// What counts as right, in one observable sentence.
    pub correct: String,
    /// What is needed.
    #[serde(default)]
    pub materials: Vec<String>,
    /// The prompts, the least help first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub prompts: Vec<String>,
    /// What to do after an error.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub after_error: Option<String>,
}

/// One audit with all it rests on: the texts of the checklist, the answers and the scale as they were read, the
/// readings, and the figures. So it can be computed again for ever.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
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
    /// Photos kept on request, reduced and without metadata: the ids of their files.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub kept_photos: Vec<String>,
    /// The sheet of paper that it was read from, as in observations.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub read_from: Option<String>,
    /// The checklist, as read.
    pub checklist_text: String,
    /// The answers, as read.
    pub answers_text: String,
    /// The scale, as read.
    pub scale_text: String,
}

/// A plan.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
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
    /// Why it was planned again, in the words of who did it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub why: Option<String>,
    /// What changed against the plan that this record replaces.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub changed: Vec<String>,
    /// What was asked of it; a later plan goes on with it unless told otherwise.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub settings: Option<LadderSettings>,
    /// The plan.
    pub plan: LadderDoc,
    /// What mastery of a rung is, where the clinician has set it; left out: 9 of 10 twice on two days.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub criterion: Option<CriterionBody>,
}

/// What was asked of a plan.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LadderSettings {
    /// The audit of the start room; without one everything movable starts absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub start_audit: Option<String>,
    /// The audit whose room is the goal, when it was chosen; without one the fullest.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub goal_audit: Option<String>,
    /// The order of channels.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub order: Vec<String>,
    /// Never used with this child.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub never: Vec<String>,
    /// Stays as it is.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub fixed: Vec<String>,
    /// Only what one adult alone can stage.
    #[serde(default)]
    pub alone: bool,
    /// Split steps above this pull.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub max_step: Option<f64>,
    /// The sound cap at the child's ear, when the clinician set another one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sound_cap_db: Option<f64>,
    /// Volume of the room.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub volume_m3: Option<f64>,
    /// Decay time of the room.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub decay_s: Option<f64>,
    /// Sensitivities that the clinician set here: channel to factor; the others come from the scale.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub sensitivity: BTreeMap<String, f64>,
}

/// One sitting, as a line of the session log.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
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
    /// What else was noted; none of it enters a score.
    #[serde(default, skip_serializing_if = "DetailsBody::is_empty")]
    pub details: DetailsBody,
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
    /// The records that correct it; more than one is a conflict, and all are kept.
    pub replaced_by: Vec<String>,
    /// The place it is about.
    pub place: Option<String>,
    /// Who wrote it.
    pub by: Option<String>,
    /// What it says, in one line.
    pub says: String,
}

/// A file that could not be read.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct UnreadableDoc {
    /// The file's name.
    pub name: String,
    /// Why.
    pub text: String,
}
