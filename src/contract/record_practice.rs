//! Records of practice beside the session itself: its details, the rule of mastery, observations, needs, the day.

use serde::{Deserialize, Serialize};

/// What else was noted about a session.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct DetailsBody {
    /// When it began, `HH:MM`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub time: Option<String>,
    /// The prompted answers by how much help they took.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub prompts: Option<PromptsBody>,
    /// The longest time at the task, seconds.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub attention_s: Option<u32>,
    /// Time until the answer began, seconds.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub latency_s: Option<u32>,
    /// Breaks the child asked for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub breaks: Option<u32>,
    /// What followed a right answer.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reinforcer: Option<String>,
    /// Who scored it as well.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub observer: Option<String>,
    /// The file and line it was read from: 16 hex digits of the file's SHA-256, a colon, the line.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub read_from: Option<String>,
}

impl DetailsBody {
    /// Whether nothing was noted.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}

/// Prompted answers by level, the least help first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct PromptsBody {
    /// Pointing.
    #[serde(default)]
    pub gesture: u32,
    /// Shown.
    #[serde(default)]
    pub model: u32,
    /// A light touch.
    #[serde(default)]
    pub partial: u32,
    /// The hand led.
    #[serde(default)]
    pub full: u32,
}

/// What was foretold of a rung before it was practised.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ForecastBody {
    /// The rung.
    pub rung: u32,
    /// The distractor that this rung raises; left out for the cleared room.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub distractor: Option<String>,
    /// The load of the rung on its plan.
    pub load: f64,
    /// Opportunities of the session that is foretold.
    pub opportunities: u32,
    /// Expected share of answers alone.
    pub mean: f64,
    /// A share below this has a chance of a tenth at most.
    pub low: f64,
    /// One above this likewise.
    pub high: f64,
    /// Chances of the shares 0 to 0.025, 0.025 to 0.05 and so on up to 1: forty of them.
    pub chances: Vec<f64>,
    /// Sessions it rests on.
    pub sessions: u32,
    /// Opportunities of the last of them: the guess "same as last time".
    pub last_opportunities: u32,
    /// Answers alone in the last of them.
    pub last_independent: u32,
    /// The task.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub task: Option<String>,
    /// The place.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place: Option<String>,
    /// The ladder record it belongs to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ladder: Option<String>,
}

/// What mastery of a rung is.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct CriterionBody {
    /// Percent of the opportunities answered alone; a multiple of ten.
    pub percent: u32,
    /// Sessions in a row.
    pub sessions: u32,
    /// Different days among them.
    pub days: u32,
    /// The clinician who set it.
    pub by: String,
    /// Why.
    pub why: String,
}

/// What was seen of the child at the task, sampled in intervals. It never enters a decision.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ObservationBody {
    /// `momentary`, `whole` or `partial`.
    pub method: String,
    /// What was looked for, in one observable sentence.
    pub what: String,
    /// Length of an interval, seconds.
    pub interval_s: u32,
    /// The marks in order: `y` seen, `n` not seen, `-` missed.
    pub marks: String,
    /// The task.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub task: Option<String>,
    /// The place.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place: Option<String>,
    /// The sheet and its row that it was read from: 16 hex digits that stand for the sheet, a colon, the row.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub read_from: Option<String>,
}

/// What self-stimulation may serve, and how the need is met. Words only: it is never counted and never brought down.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct NeedBody {
    /// What was seen, in words.
    pub seen: String,
    /// What was there before: noise, a long task, joy, being tired.
    pub before: String,
    /// The need it may serve.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub serves: Option<String>,
    /// What was offered for it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub offered: Option<String>,
    /// Where and when there is room for it outside learning time.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub room_for_it: Option<String>,
    /// How the child asks for a break.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub break_sign: Option<String>,
}

/// Learning times through the family's day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct DayPlanBody {
    /// In the order of the day.
    pub slots: Vec<SlotBody>,
    /// Days a week it is meant for.
    pub days_a_week: u32,
}

/// One time of the day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct SlotBody {
    /// When, in the family's words: `16:30`, `while cooking`.
    pub when: String,
    /// Opportunities; 0 for a time of the child's own.
    pub trials: u32,
    /// What happens then.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub what: Option<String>,
}
