//! `stillroom.walk/1`: a walk that was interrupted, kept outside the case until it is finished.

use serde::{Deserialize, Serialize};

/// The format line of a kept walk.
pub const WALK_FORMAT: &str = "stillroom.walk/1";

/// A walk that was interrupted.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WalkDoc {
    /// Always [`WALK_FORMAT`].
    pub format: String,
    /// The moment it was kept, in UTC.
    pub kept: String,
    /// SHA-256 of the checklist's text: with another list it cannot go on.
    pub checklist_hash: String,
    /// The place of the question that stands, from 0.
    pub at: usize,
    /// The answers so far, as an answers file.
    pub answers_text: String,
}
