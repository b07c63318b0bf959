//! Practice: session logs, what they show, and whether to go on, stay, step back or pause.
//!
//! Text and dates are handed in; the room knows no ladder, no file and no clock.

mod agreement;
mod chances;
mod choice;
mod details;
mod error;
mod findings;
mod form;
mod grid;
mod groups;
mod next;
mod observe;
mod overlap;
mod parse;
mod pool;
mod ratio;
mod reason;
mod review;
mod screens;
mod session;
mod smaller;
mod statistics;
mod stuck;
mod tolerance;
mod trend;
mod weighted;
mod write;

pub use agreement::{Agreement, Kappa, KappaReason, agree_answers, agree_logs, kappa, standard};
pub use chances::{Chances, chances};
pub use choice::{Choice, ChoiceFault, Method, Scored, next_full, pairs, score};
pub use details::{Details, Prompts, is_time};
pub use error::PracticeError;
pub use findings::Criterion;
pub use form::{DateForm, Form};
pub use groups::{Group, groups};
pub use next::{Stage, tomorrow};
pub use observe::{
    CountAgreement, IntervalAgreement, Percentile, Sampling, count_agreement, count_percent, interval_agreement,
    percentile, sampling,
};
pub use overlap::{CorrectedTau, Dated, Nap, corrected_tau, nap, nap_standard_error, tau, tau_b, tau_u};
pub use parse::{Lines, parse, parse_lines};
pub use ratio::{Change, LogRatio, change, mean};
pub use reason::{Pause, Reason, Score};
pub use review::{Decision, Options, Review, review, review_within, step_backs};
pub use screens::{Guidance, guidance};
pub use session::{Kind, Log, Session};
pub use smaller::{Rung, Smaller, Task, smaller};
pub use statistics::{Baseline, Caution, Statistics};
pub use stuck::{Look, stuck};
pub use tolerance::{Axis, Tolerance, Trials, estimate, tolerance, tolerance_by_channel};
pub use trend::{SLOPE_95, Slope, kendall_p, theil_sen};
pub use weighted::{AnswerPair, AnswerSd, ItemAgreement, Weights, agree_items, weighted_kappa};
