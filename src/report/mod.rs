//! The report: data in, one self-contained HTML page out. No file, no clock, no script, no outside address.
//!
//! The caller builds a [`CaseReport`] from stored documents; [`case_report`] and [`audit_report`] turn it into text.
//! Every sentence here is about a room. What was not measured is said to be not measured.

pub mod chart;
pub mod papers;
pub mod sheets;

mod basis;
mod cards;
mod doorstep;
mod embed;
mod family;
mod frame;
mod heard;
mod icons;
mod page;
mod plan;
mod practised;
mod room;
mod say;
mod seen;
mod sketch;
mod visitor;
mod where_when;

pub use cards::{Cards, cards};
pub use embed::base64;
pub use where_when::where_svg;

pub use doorstep::{Doorstep, doorsteps};

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::contract::{AuditDoc, BandDoc, CompareDoc, LadderDoc, PhotoDoc, ReviewDoc, SoundDoc, WayDoc, WhereDoc};
use crate::language::Speaker;
use crate::words::{Channel, Evidence, id_in_words};

/// Everything a report tells, and nothing that it has to look up.
#[derive(Clone, Debug)]
pub struct CaseReport<'a> {
    /// The child's alias; `None` for an audit that belongs to no case.
    pub alias: Option<&'a str>,
    /// Age in words, such as `4 years 3 months`; never a birth date.
    pub age: Option<String>,
    /// The task that is practised.
    pub task: Option<&'a str>,
    /// The place.
    pub place: &'a str,
    /// The day the report was made, `2025-03-02`.
    pub made_on: &'a str,
    /// The version of this program.
    pub version: &'a str,
    /// An earlier audit of the same place.
    pub before: Option<AuditView<'a>>,
    /// The audit that the report is about.
    pub now: AuditView<'a>,
    /// The two compared.
    pub compare: Option<&'a CompareDoc>,
    /// The graded plan.
    pub ladder: Option<&'a LadderDoc>,
    /// The clinician who signed the plan, by role or initials.
    pub ladder_signed_by: Option<&'a str>,
    /// Short plain names of items and distractors, by id.
    pub names: BTreeMap<String, String>,
    /// The channel of every distractor of the plan, by id.
    pub channels: BTreeMap<String, Channel>,
    /// Names of the levels of every distractor: id, then level as written (`1`, `1a`).
    pub level_names: BTreeMap<String, BTreeMap<String, String>>,
    /// The sessions so far, in the order in which they are judged.
    pub sessions: Vec<SessionPoint>,
    /// The decision after them.
    pub review: Option<&'a ReviewDoc>,
    /// The share of independent answers that passes a session, 0 to 1.
    pub criterion: f64,
    /// Upper bounds of still, gentle and lively, in load.
    pub grades: [f64; 3],
    /// The numbers the figures rest on.
    pub constants: Vec<Constant>,
    /// How the load was worked out, line by line.
    pub calculation: Vec<String>,
    /// Other corners and times of day, where there are any.
    pub elsewhere: Option<&'a WhereDoc>,
}

/// One audit with what was measured in it.
#[derive(Clone, Debug)]
pub struct AuditView<'a> {
    /// The audit.
    pub audit: &'a AuditDoc,
    /// Its recording.
    pub sound: Option<&'a SoundDoc>,
    /// Its photos.
    pub photos: Vec<PhotoView<'a>>,
    /// The noise criterion curve the recording touches: its number and octave levels. Only when calibrated.
    pub nc_curve: Option<(f64, Vec<BandDoc>)>,
    /// The questions, by item id.
    pub asks: BTreeMap<String, String>,
    /// The answers in words, by item id.
    pub answers: BTreeMap<String, String>,
}

/// A photo and the picture itself, oriented and without metadata.
#[derive(Clone, Debug)]
pub struct PhotoView<'a> {
    /// Its measures.
    pub doc: &'a PhotoDoc,
    /// The picture as JPEG; empty when it was not kept.
    pub jpeg: Vec<u8>,
}

/// One session as the graph draws it.
#[derive(Clone, Debug, PartialEq)]
pub struct SessionPoint {
    /// The day.
    pub date: Date,
    /// The rung practised; 0 is the cleared room.
    pub rung: u32,
    /// Share of independent answers, 0 to 1; `None` without an opportunity.
    pub share: Option<f64>,
    /// Opportunities.
    pub opportunities: u32,
    /// Whether there was distress.
    pub distress: bool,
    /// Whether the child came and stayed willingly.
    pub assent: bool,
    /// What kind of session it was.
    pub kind: SessionKind,
}

/// What kind of session it was.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum SessionKind {
    /// Taught on the rung; the decision rests on these.
    Ordinary,
    /// Taught, and somebody was hurt or the child ran off: a safety event.
    Harm,
    /// Measured, not taught.
    Baseline,
    /// A one-off try.
    Probe,
    /// A check of a rung passed earlier.
    Maintenance,
    /// On a day of illness or without sleep; counts for safety only.
    Unwell,
    /// The distractor was not on; counts for safety only.
    Void,
}

impl SessionKind {
    /// Whether it was taught on its rung.
    pub(crate) const fn is_taught(self) -> bool {
        matches!(self, Self::Ordinary | Self::Harm)
    }
}

/// A number that the figures rest on.
#[derive(Clone, Debug, PartialEq)]
pub struct Constant {
    /// What it is.
    pub name: String,
    /// Its value with its unit.
    pub value: String,
    /// What it rests on.
    pub evidence: Evidence,
    /// Where it comes from, written out.
    pub source: String,
}

/// A picture as an address that holds it, for a page that fetches nothing.
pub fn data_address(jpeg: &[u8]) -> String {
    embed::jpeg(jpeg)
}

/// The whole report of a case: the room, the plan, the practice and what they rest on.
pub fn case_report(report: &CaseReport<'_>, speaker: &Speaker) -> String {
    page::render(report, page::Scope::Case, speaker)
}

/// The family's page: one thing to do now, the room before and now, the next step. No load, no grade.
pub fn family_page(report: &CaseReport<'_>, speaker: &Speaker) -> String {
    family::page(report, speaker)
}

/// The visitor's page: what was measured, when, with what, and what was agreed.
pub fn visitor_page(report: &CaseReport<'_>, speaker: &Speaker) -> String {
    visitor::page(report, speaker)
}

/// The report of one audit (and the one before it, if given), without plan and practice.
pub fn audit_report(report: &CaseReport<'_>, speaker: &Speaker) -> String {
    page::render(report, page::Scope::Audit, speaker)
}

impl CaseReport<'_> {
    /// The plain name of an item or distractor; its id in words where none is given.
    fn name(&self, id: &str) -> String {
        let name = self.names.get(id).map(String::as_str).filter(|name| !name.trim().is_empty());
        crate::words::printable(
            name.map_or_else(
                || match id {
                    "photo" => "what the photo sees".to_owned(),
                    "recording" => "what the recording hears".to_owned(),
                    _ => id_in_words(id),
                },
                str::to_owned,
            )
            .as_str(),
        )
    }

    /// The name of a level, or `level 2` where none is given; `absent` for level 0.
    fn level(&self, id: &str, level: &serde_json::Value) -> String {
        let key = level.as_str().map_or_else(|| level.to_string(), str::to_owned);
        match self.level_names.get(id).and_then(|levels| levels.get(&key)) {
            Some(name) => crate::words::printable(name),
            None if key == "0" => "absent".to_owned(),
            None => format!("level {}", crate::words::printable(&key)),
        }
    }

    /// Another place or time that takes more of the load away than tidying does.
    fn better_elsewhere(&self) -> Option<&WayDoc> {
        let way = self.elsewhere?.ways.first()?;
        (way.place.is_some() || way.from.is_some()).then_some(way)
    }

    /// The rung the child is on: the review's, else that of the last session that was taught.
    fn current_rung(&self) -> Option<u32> {
        self.review
            .map(|review| review.rung)
            .or_else(|| self.sessions.iter().rev().find(|session| session.kind.is_taught()).map(|session| session.rung))
    }
}
