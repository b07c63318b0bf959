//! Printable sheets: which there are, and one of them.

use serde::{Deserialize, Serialize};

use super::Document;

/// The sheets there are (`stillroom.forms/1`).
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct FormsDoc {
    /// One entry a sheet.
    pub forms: Vec<FormEntryDoc>,
}

impl Document for FormsDoc {
    const SCHEMA: &'static str = "stillroom.forms/1";
}

/// One sheet of the list.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct FormEntryDoc {
    /// The name it is asked for by.
    pub name: String,
    /// Its title.
    pub title: String,
    /// What it is for.
    pub tells: String,
}

/// One sheet (`stillroom.form/1`).
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct FormDoc {
    /// Its name.
    pub name: String,
    /// Its title.
    pub title: String,
    /// The language's tag.
    pub language: String,
    /// The sheet as one HTML page.
    pub html: String,
}

impl Document for FormDoc {
    const SCHEMA: &'static str = "stillroom.form/1";
}
