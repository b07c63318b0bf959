//! Filled sheets as they were read from photos.

use serde::{Deserialize, Serialize};

use super::Document;

/// Filled sheets that were read (`stillroom.paper/1`).
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PaperDoc {
    /// One entry a photo.
    pub sheets: Vec<SheetReadDoc>,
    /// The ids of the records that were stored; none until everything is sure and confirmed.
    pub stored: Vec<String>,
}

impl Document for PaperDoc {
    const SCHEMA: &'static str = "stillroom.paper/1";
}

/// One sheet.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SheetReadDoc {
    /// The photo's name.
    pub file: String,
    /// Its number with check digits.
    pub number: String,
    /// The form's name.
    pub kind: String,
    /// Its language.
    pub language: String,
    /// Which page, from 1.
    pub page: u32,
    /// The Monday of its week.
    pub week: Option<String>,
    /// The rung.
    pub rung: Option<u32>,
    /// Whether the case holds it already; then nothing of it is stored again.
    pub already: bool,
    /// What it says, a sentence a line.
    pub says: Vec<String>,
    /// The circles that are filled.
    pub filled: Vec<String>,
    /// What has to be asked.
    pub doubtful: Vec<DoubtDoc>,
}

/// A circle that has to be asked about.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct DoubtDoc {
    /// Its name, for `--mark NAME=yes`.
    pub name: String,
    /// In words.
    pub text: String,
    /// How much of it is covered, 0 to 1.
    pub ink: f64,
    /// How sure the reading is, 0 to 1.
    pub confidence: f64,
}
