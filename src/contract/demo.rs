//! `stillroom.demo/1`: what the demo found and where it wrote it.

use serde::{Deserialize, Serialize};

use super::{AuditDoc, CompareDoc, Document, LadderDoc, ReviewDoc};

/// What the demo found.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct DemoDoc {
    /// The folder written.
    pub folder: String,
    /// The report to open.
    pub report: String,
    /// The case folder.
    pub case: String,
    /// The child's alias.
    pub alias: String,
    /// The first audit.
    pub before: AuditDoc,
    /// The audit after rearranging.
    pub now: AuditDoc,
    /// What changed.
    pub compare: CompareDoc,
    /// The plan.
    pub ladder: LadderDoc,
    /// The decision after the sessions so far.
    pub review: ReviewDoc,
}

impl Document for DemoDoc {
    const SCHEMA: &'static str = "stillroom.demo/1";
}
