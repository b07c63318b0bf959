//! `stillroom.review/1`: the decision after the sessions so far, with its reasons.

use serde::{Deserialize, Serialize};

use super::{CriterionDoc, DecidedDoc, Document, ForecastsDoc, NoteDoc, SmallerDoc};

/// The decision.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct ReviewDoc {
    /// The rung it is about.
    pub rung: u32,
    /// `advance`, `hold`, `step-back`, `break-down` or `pause`.
    pub decision: String,
    /// The deciding reason first.
    pub reasons: Vec<NoteDoc>,
    /// Figures.
    pub statistics: StatisticsDoc,
    /// How far the child copes now; null without a usable session.
    pub tolerance: Option<ToleranceDoc>,
    /// The task, where one is named.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub task: Option<String>,
    /// The place, where one is named.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place: Option<String>,
    /// What mastery is here.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub criterion: Option<CriterionDoc>,
    /// What a person decided after the newest session, if anybody has.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub decided: Option<DecidedDoc>,
    /// What to do at the next sitting.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub tomorrow: Vec<String>,
    /// Smaller steps, where the rung is stuck.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub smaller: Vec<SmallerDoc>,
    /// How far the child copes now along each channel, where the ladder is known.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub tolerance_by_channel: Vec<ToleranceDoc>,
    /// The largest step a new plan should take, where less than half would be right one rung on; in pull.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub replan_max_step: Option<f64>,
    /// What the figures do not say.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cautions: Vec<NoteDoc>,
    /// How often the rule would move a child of a fixed share (`--explain`).
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub chances: Vec<ChancesDoc>,
    /// The forecasts that were stored before the rungs, and how good they were.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub forecasts: Option<ForecastsDoc>,
    /// The answers for other tasks and places.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub others: Vec<Self>,
}

impl Document for ReviewDoc {
    const SCHEMA: &'static str = "stillroom.review/1";
}

/// Figures of a log.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct StatisticsDoc {
    /// Rows of the log.
    pub sessions: usize,
    /// Sessions that count for the decision.
    pub counted: usize,
    /// Passes in a row.
    pub streak: usize,
    /// Mean share of independent answers over the counted.
    pub share_mean: Option<f64>,
    /// Theil–Sen slope.
    pub slope: Option<SlopeDoc>,
    /// Against the baseline of this rung.
    pub baseline: Option<BaselineDoc>,
}

/// A slope with its 95 % interval.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct SlopeDoc {
    /// Share a day.
    pub per_day: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// Counted sessions against the baseline.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct BaselineDoc {
    /// Baseline sessions.
    pub n: usize,
    /// Nonoverlap of all pairs.
    pub nap: Option<f64>,
    /// Lower end of its 95 % interval.
    pub nap_low: Option<f64>,
    /// Upper end.
    pub nap_high: Option<f64>,
    /// 2·NAP − 1.
    pub tau: Option<f64>,
    /// (S_AB − S_A)/(mn).
    pub tau_u: Option<f64>,
    /// Baseline-corrected tau.
    pub tau_bc: Option<f64>,
    /// Two-sided p of a trend in the baseline.
    pub trend_p: Option<f64>,
    /// Whether the baseline's trend was taken off.
    pub corrected: Option<bool>,
    /// Mean of the counted minus mean of the baseline.
    pub mean_difference: Option<f64>,
    /// Log response ratio.
    pub log_response_ratio: Option<f64>,
    /// Its standard error.
    pub lrr_se: Option<f64>,
}

/// How far the child copes now; advisory.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ToleranceDoc {
    /// `rung`, or a channel.
    pub axis: String,
    /// Opportunities it rests on.
    pub trials: u64,
    /// Where half the answers would be independent.
    pub half: f64,
    /// Its standard deviation.
    pub sd: f64,
    /// 5th percentile.
    pub low: f64,
    /// 95th percentile.
    pub high: f64,
    /// Expected share one rung on.
    pub next_share: f64,
    /// Whether there are enough data to say so.
    pub enough: bool,
}

/// What a rule does to a child whose answers are right and alone with one fixed chance.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct ChancesDoc {
    /// The chance of a right answer alone.
    pub share: f64,
    /// Sessions looked at.
    pub sessions: u32,
    /// Opportunities of each.
    pub opportunities: u32,
    /// Moved up.
    pub up: f64,
    /// Moved back.
    pub back: f64,
    /// Neither.
    pub stays: f64,
}
