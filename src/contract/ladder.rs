//! `stillroom.ladder/1`: the graded plan.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::{Document, NoteDoc};

/// The graded plan.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct LadderDoc {
    /// Load of the cleared room.
    pub start_load: f64,
    /// Load of the room to cope with.
    pub goal_load: f64,
    /// In pull.
    pub largest_step: f64,
    /// Over the rungs, the start left out.
    pub sum_of_loads: f64,
    /// Proven to be the best.
    pub optimal: bool,
    /// How far from the best it can be at most; 0 when proven.
    pub gap: f64,
    /// Steps that could not be made small enough.
    pub obstacles: Vec<ObstacleDoc>,
    /// The rungs from the first on.
    pub rungs: Vec<RungDoc>,
    /// What to mind.
    pub cautions: Vec<NoteDoc>,
}

impl Document for LadderDoc {
    const SCHEMA: &'static str = "stillroom.ladder/1";
}

/// A step that stays larger than wished.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ObstacleDoc {
    /// The distractor.
    pub id: String,
    /// Its step, in pull.
    pub step: f64,
    /// A probe to try.
    pub probe: String,
}

/// One rung: one distractor one level up.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct RungDoc {
    /// From 1.
    pub number: u32,
    /// The distractor raised.
    pub distractor: String,
    /// Its new level: a number, or a name such as `1a` for an inserted one.
    pub level: serde_json::Value,
    /// Load of the room on this rung.
    pub load: f64,
    /// Rise in load.
    pub rise: f64,
    /// Step in pull.
    pub step: f64,
    /// The level of every distractor on this rung.
    pub state: BTreeMap<String, serde_json::Value>,
    /// What to set up.
    pub set_up: String,
    /// How to check it at the child's chair.
    pub check: String,
    /// Things to rotate.
    pub exemplars: Vec<String>,
    /// Length of a session.
    pub minutes: f64,
    /// Opportunities in a session.
    pub trials: u32,
    /// When to go up.
    pub mastery: String,
    /// When to go back.
    pub step_back: String,
}
