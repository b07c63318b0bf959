//! `stillroom.evidence/1`: what a child's sessions say of the scale, and how good its forecasts were.

use serde::{Deserialize, Serialize};

use super::{Document, NoteDoc, UnreadableDoc};

/// What the sessions of one task and place say.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct EvidenceDoc {
    /// The place.
    pub place: String,
    /// The task, where one is named.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub task: Option<String>,
    /// Sessions used.
    pub sessions: usize,
    /// Opportunities in them.
    pub opportunities: u64,
    /// How much the answers of one session hang together: a correlation, 0.02 to 0.5.
    pub together: f64,
    /// What was learned of each distractor, those that differ from the scale first.
    pub distractors: Vec<LearnedDoc>,
    /// A forecast for the first session of each rung, from what was known before it, and what came.
    pub forecasts: Vec<ForecastDoc>,
    /// All forecasts together.
    pub record: ForecastRecordDoc,
    /// The forecasts that were stored before their rungs; those above are worked out again.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stored: Option<ForecastsDoc>,
    /// The rung that would be practised next, foretold.
    pub next: Option<NextDoc>,
    /// The rung up to the next one whose session would teach most about the distractors.
    pub probe: Option<ProbeDoc>,
    /// What to mind.
    pub cautions: Vec<NoteDoc>,
}

impl Document for EvidenceDoc {
    const SCHEMA: &'static str = "stillroom.evidence/1";
}

/// How strongly a distractor draws this child.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct LearnedDoc {
    /// The distractor.
    pub id: String,
    /// `seen`, `heard` or `company`.
    pub channel: String,
    /// Opportunities with it in the room.
    pub opportunities: u64,
    /// Whether that is enough to speak of; else the three figures are null.
    pub enough: bool,
    /// How many times as strong as the scale says, the middle of what is believed.
    pub factor: Option<f64>,
    /// Its 5th percentile.
    pub low: Option<f64>,
    /// Its 95th percentile.
    pub high: Option<f64>,
    /// Whether the interval leaves out the scale's own value.
    pub differs: bool,
}

/// What was foretold for a rung, and what came.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ForecastDoc {
    /// The rung.
    pub rung: u32,
    /// The day of its first session.
    pub date: String,
    /// Expected share of answers alone.
    pub mean: f64,
    /// A share of answers alone below this had a chance of a tenth at most.
    pub low: f64,
    /// One above this likewise.
    pub high: f64,
    /// Opportunities of the session.
    pub opportunities: u32,
    /// Answers alone.
    pub independent: u32,
    /// Logarithm of the chance that the forecast gave to what came.
    pub score: f64,
    /// The same of "same as last time".
    pub guess_score: f64,
    /// Whether the share came within a tenth of the expected one.
    pub hit: bool,
    /// The same of "same as last time".
    pub guess_hit: bool,
}

/// All forecasts of a case together.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ForecastRecordDoc {
    /// How many.
    pub forecasts: usize,
    /// Sum of their scores.
    pub score: f64,
    /// Sum of the guess's scores.
    pub guess_score: f64,
    /// Forecasts that came true within a tenth.
    pub hits: usize,
    /// The same of the guess.
    pub guess_hits: usize,
    /// Over eight or more forecasts no better than the guess; null below eight.
    pub no_better: Option<bool>,
}

/// The stored forecasts of a task and place: those that were scored since, and the one that waits for its session.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ForecastsDoc {
    /// All that were scored.
    pub record: ForecastRecordDoc,
    /// What is foretold and was not practised yet.
    pub open: Option<NextDoc>,
}

/// A rung that is still to come.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct NextDoc {
    /// The rung.
    pub rung: u32,
    /// Opportunities of the session that is foretold.
    pub opportunities: u32,
    /// Expected share of answers alone.
    pub mean: f64,
    /// A share below this has a chance of a tenth at most.
    pub low: f64,
    /// One above this likewise.
    pub high: f64,
}

/// The session that would teach most.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ProbeDoc {
    /// The rung.
    pub rung: u32,
    /// The distractor that this rung raised.
    pub distractor: String,
    /// Expected information about the distractors, in nats.
    pub teaches: f64,
}

/// A scale learned from a clinic's cases (`stillroom.learned-scale/1`).
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct LearnedScaleDoc {
    /// The file.
    pub file: String,
    /// Children with enough sessions to learn from.
    pub children: usize,
    /// What was learned, of things that stood in the room of enough children.
    pub pulls: Vec<PooledPullDoc>,
    /// Folders that could not be read as cases.
    pub unreadable: Vec<UnreadableDoc>,
}

impl Document for LearnedScaleDoc {
    const SCHEMA: &'static str = "stillroom.learned-scale/1";
}

/// How strongly a thing draws on average over children.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PooledPullDoc {
    /// The thing.
    pub id: String,
    /// How many times as strong as the scale says, shrunk towards 1.
    pub factor: f64,
    /// The 5th percentile of what is believed of it.
    pub low: f64,
    /// The 95th percentile.
    pub high: f64,
    /// Children it rests on.
    pub children: usize,
    /// Standard deviation of its logarithm between children.
    pub spread: f64,
}
