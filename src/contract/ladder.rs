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
    /// Rungs up to here were kept from an earlier plan; what follows was planned anew.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub kept_to: Option<u32>,
    /// What is never used with this child.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub never: Vec<String>,
    /// After the top: another adult, another place, another task.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub beyond: Vec<BeyondDoc>,
    /// Probes that the top lasts.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub maintenance: Vec<MaintenanceDoc>,
    /// Things that the child's sessions showed to draw otherwise than the scale says, and by which this plan goes.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub learned: Vec<LearnedPullDoc>,
    /// Load of the start room as the scale has it, where the plan goes by what was learned.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub scale_start_load: Option<f64>,
}

impl Document for LadderDoc {
    const SCHEMA: &'static str = "stillroom.ladder/1";
}

/// How strongly a thing draws this child, against the scale.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct LearnedPullDoc {
    /// The distractor.
    pub id: String,
    /// How many times as strong as the scale says.
    pub factor: f64,
    /// The 5th percentile of what is believed.
    pub low: f64,
    /// The 95th percentile.
    pub high: f64,
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
    /// Its level.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub level: Option<serde_json::Value>,
    /// Its level in words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub level_name: Option<String>,
}

/// A rung after the top.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct BeyondDoc {
    /// Goes on counting after the top.
    pub number: u32,
    /// `another adult`, `another place` or `another task`.
    pub what: String,
    /// What to set up.
    pub set_up: String,
    /// How to check it.
    pub check: String,
    /// When it is passed.
    pub mastery: String,
    /// When to go back.
    pub step_back: String,
}

/// A probe that the top lasts.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct MaintenanceDoc {
    /// Weeks after the top was passed.
    pub weeks: u32,
    /// How it is done.
    pub text: String,
}

/// What a rung's card tells besides.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CardDoc {
    /// The name of what is raised.
    pub name: String,
    /// The name of its new level.
    pub level_name: String,
    /// `seen`, `heard` or `company`.
    pub channel: String,
    /// What is new and how it is set up, without what is there already.
    pub set_up: String,
    /// What is there already.
    pub already_on: Vec<String>,
    /// Minutes to set it up.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub set_up_minutes: Option<f64>,
    /// People needed besides the one who teaches.
    pub people: u32,
    /// The way on when they cannot be there.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub otherwise: Option<String>,
    /// When to stop for the day.
    pub stop: String,
    /// Who may be present.
    pub present: String,
    /// What to check against at the child's chair.
    pub target: RungTargetDoc,
    /// How the level draws.
    pub draw: DrawDoc,
}

/// What to check against at the child's chair; what does not apply is left out.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct RungTargetDoc {
    /// Everything that sounds, with the background.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub level_db: Option<f64>,
    /// The raised sound alone.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub alone_db: Option<f64>,
    /// What the reading plus twice its doubt may not pass.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cap_db: Option<f64>,
    /// Things in view.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub count: Option<u32>,
    /// How far away the source stands.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub distance_m: Option<f64>,
}

/// How a level draws: a pull and perhaps a count, or a sound.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct DrawDoc {
    /// Its pull, without sensitivity.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pull: Option<f64>,
    /// How many things it is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub count: Option<u32>,
    /// A sound at the child's ear.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub db: Option<f64>,
    /// Whether it is speech-like.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub speech: Option<bool>,
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
    /// Rise in load, in points.
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
    /// What its card tells besides.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub card: Option<CardDoc>,
    /// Load of the room on this rung as the scale has it, where the plan goes by what was learned.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub scale_load: Option<f64>,
}
