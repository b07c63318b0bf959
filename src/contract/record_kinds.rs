//! The smaller kinds of records: what a place is, what was decided, what the child likes, notes, corrections.
//!
//! A field may be added, with a default; none is ever taken away or given another meaning. Unknown fields are passed
//! over, so that a record of a newer version still says what an older one understands.

use serde::{Deserialize, Serialize};

use super::{NoteDoc, PhotoDoc, SoundDoc};

/// A place that is audited.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct PlaceBody {
    /// Its name, as audits and sessions give it.
    pub name: String,
    /// Whose home or which room it is in, in words only the people of the case know.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub home: Option<String>,
    /// Where the child sits, so that readings are taken at one spot.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub seat: Option<String>,
    /// When it is practised there.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub learning_time: Option<String>,
}

/// What was decided after the sessions so far.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct DecisionBody {
    /// The rung it is about.
    pub rung: u32,
    /// `advance`, `hold`, `step-back`, `break-down` or `pause`.
    pub decision: String,
    /// The day of the newest session that it rests on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sessions_to: Option<String>,
    /// Why.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub reasons: Vec<NoteDoc>,
    /// The task.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub task: Option<String>,
    /// The place.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place: Option<String>,
    /// The ladder record it belongs to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ladder: Option<String>,
    /// The clinician who answers for it; without one it is a proposal.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub signed_by: Option<String>,
    /// What the rules proposed, where the clinician decided.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub recommended: Option<String>,
    /// The clinician's own reason.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub why: Option<String>,
    /// A pause ends with this decision; counts only when signed.
    #[serde(default)]
    pub lifts_pause: bool,
}

/// What the child likes best, found by letting it choose.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct PreferenceBody {
    /// How it was found: `free choice`, `one after the other`, `pairs`, `asked`.
    pub method: String,
    /// What was on offer.
    pub items: Vec<PreferenceItemBody>,
    /// The place.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place: Option<String>,
}

/// One thing on offer.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct PreferenceItemBody {
    /// What it is.
    pub name: String,
    /// How often it was offered.
    pub offered: u32,
    /// How often it was chosen.
    pub chosen: u32,
}

/// Minutes before a screen on one day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ScreenTimeBody {
    /// Minutes.
    pub minutes: u32,
    /// What ran.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub what: Option<String>,
    /// Whether an adult watched too.
    #[serde(default)]
    pub together: bool,
    /// With whom, in a word.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub with: Option<String>,
    /// The same again, as seen before.
    #[serde(default)]
    pub repeat: bool,
    /// The place.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place: Option<String>,
    /// The sheet and its row that it was read from: 16 hex digits that stand for the sheet, a colon, the row.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub read_from: Option<String>,
}

/// Free words.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct NoteBody {
    /// The words.
    pub text: String,
    /// The place.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place: Option<String>,
    /// The record it is about.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub about: Option<String>,
}

/// Answers stored without an audit.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct AnswersBody {
    /// The place.
    pub place: String,
    /// The checklist, as read.
    pub checklist_text: String,
    /// The answers, as read.
    pub answers_text: String,
}

/// Readings stored without an audit.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ReadingBody {
    /// The place.
    pub place: String,
    /// The recording's reading.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sound: Option<SoundDoc>,
    /// The photos' readings.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub photos: Vec<PhotoDoc>,
}

/// Takes back the record that `replaces` names, without another in its place.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct CorrectionBody {
    /// Why.
    pub why: String,
}

/// A filled sheet that was read from a photo: what was filled, and what a person decided. The sittings, observations, minutes
/// or audit that came of it are records of their own.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct SheetBody {
    /// Its number with check digits, digits alone.
    pub number: String,
    /// The form's name.
    pub kind: String,
    /// Its language.
    pub language: String,
    /// The version of its layout.
    pub layout: u32,
    /// Which page of several, from 1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub page: Option<u32>,
    /// The circles that are filled, by their names.
    pub filled: Vec<String>,
    /// Those that were asked about, with what was said: `2.try-3.0 = yes`.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub asked: Vec<String>,
    /// Those that were read surely and corrected all the same.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub corrected: Vec<String>,
    /// The records that came of it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub records: Vec<String>,
}
