//! `stillroom.score/1`: what a checklist's answers score, nothing pooled.

use serde::{Deserialize, Serialize};

use super::Document;

/// The scores of one set of answers.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ScoreDoc {
    /// The checklist's id.
    pub checklist: String,
    /// Surface by surface.
    pub surfaces: Vec<SurfaceDoc>,
    /// Of all items, sensitivities 1.
    pub pull: f64,
    /// Its load.
    pub load: f64,
    /// Items without an answer: never a zero.
    pub unanswered: Vec<String>,
}

impl Document for ScoreDoc {
    const SCHEMA: &'static str = "stillroom.score/1";
}

/// The score of one surface.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SurfaceDoc {
    /// `table`, `floor`, `wall`, `air` or `company`.
    pub surface: String,
    /// The load of its items alone.
    pub load: f64,
    /// Their pull.
    pub pull: f64,
    /// Item by item.
    pub items: Vec<ScoreItemDoc>,
}

/// The score of one item.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ScoreItemDoc {
    /// The item's id.
    pub id: String,
    /// The answer as in the answers file.
    pub answer: serde_json::Value,
    /// Percent of attention that this answer would take alone.
    pub alone: f64,
    /// Its pull.
    pub pull: f64,
    /// Its share of the whole pull, 0 to 1.
    pub share: f64,
}
