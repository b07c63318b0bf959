//! What the local page is started with; whoever serves it is handed in.

use std::path::PathBuf;

use jiff::tz::TimeZone;

use crate::language::Language;

use super::refusal::Refusal;

/// What the local page is started with.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Serving {
    /// The case that is open at the start.
    pub case: Option<PathBuf>,
    /// The port; 0 takes one that is free.
    pub port: u16,
    /// The language of the pages.
    pub language: Language,
    /// Where interrupted walks are kept.
    pub state: Option<PathBuf>,
    /// Where the user is, so that a day is the user's day.
    pub zone: TimeZone,
}

/// Serves the local page until it is stopped, saying its address first.
pub type Serve = fn(Serving, &mut dyn FnMut(&str)) -> Result<(), Refusal>;
