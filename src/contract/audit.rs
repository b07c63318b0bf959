//! `stillroom.audit/1` and `stillroom.compare/1`: the load of a place, and what changed between two audits.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::{Document, NoteDoc, SurfaceDoc};

/// One audit's figures.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct AuditDoc {
    /// First 16 hex digits of the record's SHA-256; empty, and left out, inside the record itself.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub id: String,
    /// The place.
    pub place: String,
    /// The day.
    pub date: String,
    /// Who looked.
    pub by: String,
    /// The checklist's id.
    pub checklist: String,
    /// SHA-256 of the scale's text.
    pub scale_hash: String,
    /// Pull by channel, without sensitivities.
    pub channels: ChannelsDoc,
    /// `U`, with sensitivities.
    pub pull: f64,
    /// What must stay in reach.
    pub keep: Vec<String>,
    /// 0 to 100.
    pub load: f64,
    /// 5th percentile.
    pub load_low: f64,
    /// 95th percentile.
    pub load_high: f64,
    /// `still`, `gentle`, `lively` or `full`.
    pub grade: String,
    /// Who carries how much, the largest first.
    pub shares: Vec<ShareDoc>,
    /// The best use of the next minutes.
    pub first_moves: MovesDoc,
    /// Checklist against photo or recording.
    pub disagreements: Vec<DisagreementDoc>,
    /// What to mind.
    pub cautions: Vec<NoteDoc>,
    /// Items without an answer.
    pub unanswered: Vec<String>,
    /// The checklist's own scores, surface by surface (nothing pooled, sensitivities 1).
    pub surfaces: Vec<SurfaceDoc>,
    /// Why an item was not seen, where that was said.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub reasons: BTreeMap<String, String>,
    /// Sensitivities that the clinician set.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sensitivity: Option<SensitivityDoc>,
    /// Only some items were asked, the others carried over.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub recheck: Option<RecheckDoc>,
    /// The whole calculation, line by line, where it was asked for; never stored.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub calculation: Vec<String>,
}

impl Document for AuditDoc {
    const SCHEMA: &'static str = "stillroom.audit/1";
}

/// How strongly each channel works on this child, and why it was set so.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SensitivityDoc {
    /// 0.5 to 2.
    pub seen: f64,
    /// 0.5 to 2.
    pub heard: f64,
    /// 0.5 to 2.
    pub company: f64,
    /// The clinician's reason.
    pub note: String,
}

/// A recheck: what was asked again and what was taken from earlier audits.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct RecheckDoc {
    /// The audit that was rechecked.
    pub of: String,
    /// The items asked.
    pub asked: Vec<String>,
    /// The items carried over, each with the audit in which it was asked last.
    pub carried: BTreeMap<String, String>,
}

/// The three channels.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ChannelsDoc {
    /// Things seen.
    pub seen: ChannelDoc,
    /// Things heard.
    pub heard: ChannelDoc,
    /// Other people and animals.
    pub company: ChannelDoc,
}

/// The pull of one channel, without the child's sensitivity.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct ChannelDoc {
    /// Pooled.
    pub pull: f64,
    /// Of the checklist's items alone.
    pub pull_checklist: f64,
    /// Of the photos or the recording alone; null when there is none.
    pub pull_measured: Option<f64>,
}

/// What one distractor carries.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ShareDoc {
    /// The item's id, `photo` or `recording`.
    pub id: String,
    /// Its channel.
    pub channel: String,
    /// Its share of the load, 0 to 1.
    pub share: f64,
    /// The chance that it is the largest, 0 to 1.
    pub chance_largest: f64,
    /// What takes it away, if anything is known to.
    pub remedy: Option<String>,
    /// Minutes that takes.
    pub minutes: Option<f64>,
}

/// The best use of the next minutes.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct MovesDoc {
    /// Minutes there are.
    pub minutes: f64,
    /// What to move, the largest first.
    pub ids: Vec<String>,
    /// The load afterwards, until measured again.
    pub load_after: f64,
    /// Minutes that they take together; a work that several share is done once.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub takes_minutes: Option<f64>,
}

/// Two estimates of one thing that differ too much.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct DisagreementDoc {
    /// `seen` or `heard`.
    pub channel: String,
    /// The checklist's pull.
    pub checklist: f64,
    /// The photo's or recording's pull.
    pub measured: f64,
    /// What to do.
    pub text: String,
}

/// What changed between two audits.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CompareDoc {
    /// Load of the first.
    pub load_before: f64,
    /// Load of the second.
    pub load_after: f64,
    /// Second minus first.
    pub difference: f64,
    /// Lower end of its 95 % interval.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// `calmer`, `busier` or `no clear change`.
    pub verdict: String,
    /// Pull of each distractor before and after, the largest change first.
    pub items: Vec<CompareItemDoc>,
    /// What to mind.
    pub cautions: Vec<NoteDoc>,
    /// Sensitivities that the clinician set; both audits are taken with the later ones.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sensitivity: Option<SensitivityDoc>,
}

impl Document for CompareDoc {
    const SCHEMA: &'static str = "stillroom.compare/1";
}

/// One distractor before and after.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CompareItemDoc {
    /// The item's id, `photo` or `recording`.
    pub id: String,
    /// Its pull before.
    pub before: f64,
    /// And after.
    pub after: f64,
}
