//! `stillroom.agreement/1`: how far two people agree.

use serde::{Deserialize, Serialize};

use super::{Document, NoteDoc};

/// How far two people agree, in two answers files or two session logs.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct AgreementDoc {
    /// `answers` or `sessions`.
    pub kind: String,
    /// Pairs compared.
    pub n: usize,
    /// Pairs that agree, percent.
    pub agreement_percent: f64,
    /// Cohen's kappa: of answers on present or absent, of sessions on their class.
    pub kappa: Option<f64>,
    /// Why there is none.
    pub kappa_reason: Option<String>,
    /// Of sessions: the mean of the smaller independent count over the larger, percent.
    pub count_agreement_percent: Option<f64>,
    /// Of counts and choices: weighted kappa over five classes.
    pub kappa_weighted: Option<f64>,
    /// Why there is none.
    pub kappa_weighted_reason: Option<String>,
    /// Which weights, over what.
    pub kappa_weighted_variant: Option<String>,
    /// Counts and choices compared.
    pub kappa_weighted_n: usize,
    /// How unsure these two observers' answers are.
    pub answer_sd: Option<AnswerSdDoc>,
    /// Whether two observers should reach this: 80 % and a kappa of 0.60.
    pub reaches_standard: bool,
    /// Item by item, in the order of the checklist.
    pub items: Vec<AgreedItemDoc>,
    /// What to look at together before the next visit, the widest apart first.
    pub retrain: Vec<RetrainDoc>,
    /// What to mind.
    pub cautions: Vec<NoteDoc>,
}

impl Document for AgreementDoc {
    const SCHEMA: &'static str = "stillroom.agreement/1";
}

/// The standard deviation of ln(pull) of one answer, as these two people show it and as the scale assumes it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct AnswerSdDoc {
    /// Found.
    pub observed: f64,
    /// Lower end of its 95 % interval.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// Assumed by the scale for two people.
    pub assumed: f64,
    /// Items in which both saw something.
    pub n: usize,
}

/// One item answered by both.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct AgreedItemDoc {
    /// The item.
    pub id: String,
    /// The first person's answer.
    pub first: serde_json::Value,
    /// The second person's answer.
    pub second: serde_json::Value,
    /// Whether they agree: the same, counts within 1.
    pub agree: bool,
    /// The second answer's pull less the first's.
    pub pull_difference: f64,
}

/// An item to look at together.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct RetrainDoc {
    /// The item.
    pub id: String,
    /// What the two said, and what to do.
    pub text: String,
}
