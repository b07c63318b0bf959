//! Small documents: the checklists there are, one checklist, the scale, what a check found, what was written.

use serde::{Deserialize, Serialize};

use super::{Document, NoteDoc};

/// The shipped checklists (`stillroom.checklists/1`).
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ChecklistsDoc {
    /// One entry a list.
    pub checklists: Vec<ChecklistEntryDoc>,
}

impl Document for ChecklistsDoc {
    const SCHEMA: &'static str = "stillroom.checklists/1";
}

/// One shipped checklist.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ChecklistEntryDoc {
    /// Its id.
    pub id: String,
    /// Its title.
    pub title: String,
    /// How many items it has.
    pub items: usize,
}

/// One checklist (`stillroom.checklist-view/1`).
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ChecklistDoc {
    /// Its id.
    pub id: String,
    /// Its title.
    pub title: String,
    /// Its items.
    pub items: Vec<ItemDoc>,
}

impl Document for ChecklistDoc {
    const SCHEMA: &'static str = "stillroom.checklist-view/1";
}

/// One item of a checklist.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ItemDoc {
    /// Its id.
    pub id: String,
    /// Its surface.
    pub surface: String,
    /// Its channel.
    pub channel: String,
    /// The question.
    pub ask: String,
    /// Help on answering.
    pub help: Option<String>,
    /// `count`, `choice` or `yes`.
    pub unit: String,
    /// Options of a choice: key and text.
    pub options: Vec<(String, String)>,
    /// The largest percentage of attention it can take alone.
    pub alone: f64,
    /// What the weight rests on.
    pub evidence: String,
    /// What takes it away.
    pub remedy: String,
    /// Minutes that takes.
    pub minutes: f64,
    /// Names of its ladder levels.
    pub levels: Vec<String>,
}

/// The scale (`stillroom.scale-view/1`).
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ScaleDoc {
    /// SHA-256 of its text.
    pub hash: String,
    /// Its tables.
    pub tables: Vec<ScaleTableDoc>,
    /// Its text.
    pub text: String,
}

impl Document for ScaleDoc {
    const SCHEMA: &'static str = "stillroom.scale-view/1";
}

/// One table of the scale.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ScaleTableDoc {
    /// Its name.
    pub name: String,
    /// What it rests on.
    pub evidence: Option<String>,
    /// Where it comes from.
    pub source: Option<String>,
    /// Its entries as text.
    pub entries: Vec<(String, String)>,
}

/// What a check of a checklist found (`stillroom.checklist-check/1`).
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ChecklistCheckDoc {
    /// Its id.
    pub id: String,
    /// How many items it has.
    pub items: usize,
    /// What could be better.
    pub advice: Vec<NoteDoc>,
}

impl Document for ChecklistCheckDoc {
    const SCHEMA: &'static str = "stillroom.checklist-check/1";
}

/// A file that was written (`stillroom.written/1`).
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct WrittenDoc {
    /// The file.
    pub file: String,
}

impl Document for WrittenDoc {
    const SCHEMA: &'static str = "stillroom.written/1";
}
