//! `stillroom.case/1`: a case at a glance.

use serde::{Deserialize, Serialize};

use super::{Document, SensitivityDoc};

/// A case at a glance: the newest of everything.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CaseDoc {
    /// The child's alias.
    pub alias: String,
    /// Age in words, from the month of birth.
    pub age: Option<String>,
    /// What must stay in reach.
    pub keep: Vec<String>,
    /// Each place with its newest audit.
    pub places: Vec<PlaceDoc>,
    /// Rungs of the newest plan; null without one.
    pub ladder_rungs: Option<usize>,
    /// Who signed it; null for a draft or without a plan.
    pub ladder_signed_by: Option<String>,
    /// How many sessions there are.
    pub sessions: usize,
    /// The rung the decision is about; null without a session.
    pub rung: Option<u32>,
    /// The decision; null without a session.
    pub decision: Option<String>,
    /// Its first reason.
    pub reason: Option<String>,
    /// Files left out, each with why.
    pub left_out: Vec<String>,
}

impl Document for CaseDoc {
    const SCHEMA: &'static str = "stillroom.case/1";
}

/// A place with its newest audit.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PlaceDoc {
    /// The place.
    pub place: String,
    /// How many audits there are.
    pub audits: usize,
    /// The day of the newest.
    pub date: String,
    /// Its load.
    pub load: f64,
    /// In a word.
    pub grade: String,
    /// Sensitivities that the clinician set and that its load counts with.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sensitivity: Option<SensitivityDoc>,
}
