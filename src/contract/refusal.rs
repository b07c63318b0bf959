//! `stillroom.refusal/1`: what went wrong, where, and what to do; one document on standard error.

use serde::{Deserialize, Serialize};

use super::Document;

/// A refusal as a program reads it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct RefusalDoc {
    /// The kind of refusal, fixed for ever.
    pub code: String,
    /// What is wrong.
    pub message: String,
    /// The file, line or item it is about.
    pub place: Option<String>,
    /// What to do.
    pub hint: Option<String>,
}

impl Document for RefusalDoc {
    const SCHEMA: &'static str = "stillroom.refusal/1";
}
