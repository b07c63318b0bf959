//! What was read of a sheet: every circle with how full it is, and whether that is sure.

use super::code::Label;
use super::sheet::Circle;

/// Whether a circle is filled.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Filled {
    /// Filled or crossed.
    Yes,
    /// Empty.
    No,
    /// To be asked.
    Doubtful,
}

/// A circle as it was read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mark {
    /// The circle.
    pub circle: Circle,
    /// The share of it that is covered, weighed by how dark: 0 to 1.
    pub ink: f64,
    /// What that means.
    pub filled: Filled,
    /// How sure that is, 0.5 to 1; doubtful ones are below 0.9.
    pub confidence: f64,
}

/// A sheet as it was read.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// What it says of itself.
    pub label: Label,
    /// Its circles in the order of the sheet.
    pub marks: Vec<Mark>,
}

impl Reading {
    /// The circles that must be asked about.
    pub fn doubtful(&self) -> impl Iterator<Item = &Mark> {
        self.marks.iter().filter(|mark| mark.filled == Filled::Doubtful)
    }
}
