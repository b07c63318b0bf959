//! What is refused, where it stands, and what to do about it.

use crate::words::printable;

/// Why a log or a pair of them could not be used.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PracticeError {
    /// Nothing in it.
    #[error("{file}: no header line; the first line must name the columns")]
    Empty {
        /// The file's name as it was given.
        file: String,
    },
    /// A column that must be there is not.
    #[error("{file}: line {line} has no column `{column}`{meant}")]
    MissingColumn {
        /// The file's name as it was given.
        file: String,
        /// The header's line.
        line: usize,
        /// The column.
        column: &'static str,
        /// A column there that may be meant, as the end of the sentence.
        meant: String,
    },
    /// A column that stands twice.
    #[error("{file}: line {line} names the column `{}` twice", printable(column))]
    TwiceColumn {
        /// The file's name as it was given.
        file: String,
        /// The header's line.
        line: usize,
        /// The column.
        column: String,
    },
    /// More or fewer cells than the header names.
    #[error(
        "{file}: line {line}, column `{}`: the line has {found} cells, the header names {expected}",
        printable(column)
    )]
    Cells {
        /// The file's name as it was given.
        file: String,
        /// The line, counted from 1.
        line: usize,
        /// The first column without a cell, or the last one.
        column: String,
        /// Cells on the line.
        found: usize,
        /// Columns in the header.
        expected: usize,
    },
    /// A quotation mark that is never closed, so that later lines would vanish into a note.
    #[error(
        "{file}: line {line}, column `{}`: a quotation mark opens here and is not closed on its line",
        printable(column)
    )]
    OpenQuote {
        /// The file's name as it was given.
        file: String,
        /// The line on which it opens.
        line: usize,
        /// The column in which it opens.
        column: String,
    },
    /// A date that is not written YYYY-MM-DD or does not exist.
    #[error("{file}: line {line}, column `date`: `{}` is not a date like 2026-10-20", printable(found))]
    Date {
        /// The file's name as it was given.
        file: String,
        /// The line, counted from 1.
        line: usize,
        /// What stands there.
        found: String,
    },
    /// A number that is not whole, negative, too large or none.
    #[error("{file}: line {line}, column `{column}`: `{}` is not a whole number from 0 to {most}", printable(found))]
    Number {
        /// The file's name as it was given.
        file: String,
        /// The line, counted from 1.
        line: usize,
        /// The column.
        column: &'static str,
        /// What stands there.
        found: String,
        /// The largest allowed.
        most: u32,
    },
    /// Neither yes nor no.
    #[error("{file}: line {line}, column `{column}`: `{}` is neither yes nor no (1 or 0)", printable(found))]
    YesNo {
        /// The file's name as it was given.
        file: String,
        /// The line, counted from 1.
        line: usize,
        /// The column.
        column: &'static str,
        /// What stands there.
        found: String,
    },
    /// More answers than opportunities.
    #[error(
        "{file}: line {line}, column `opportunities`: {independent} independent, {prompted} prompted and {errors} errors are more than {opportunities} opportunities"
    )]
    Sum {
        /// The file's name as it was given.
        file: String,
        /// The line, counted from 1.
        line: usize,
        /// Opportunities given.
        opportunities: u32,
        /// Answered alone.
        independent: u32,
        /// Answered with a prompt.
        prompted: u32,
        /// Answered wrongly.
        errors: u32,
    },
    /// Prompts told by level that do not add up to the prompted answers.
    #[error(
        "{file}: line {line}, column `prompted`: the prompts by level add up to {by_level}, but {prompted} answers were prompted"
    )]
    Prompts {
        /// The file's name as it was given.
        file: String,
        /// The line, counted from 1.
        line: usize,
        /// The sum of the levels.
        by_level: u64,
        /// Answered with a prompt.
        prompted: u32,
    },
    /// A time that is no time of a day.
    #[error("{file}: line {line}, column `time`: `{}` is not a time like 16:30", printable(found))]
    Time {
        /// The file's name as it was given.
        file: String,
        /// The line, counted from 1.
        line: usize,
        /// What stands there.
        found: String,
    },
    /// A line that is no CSV.
    #[error("{file}: line {line}: {what}")]
    Line {
        /// The file's name as it was given.
        file: String,
        /// The line, counted from 1.
        line: usize,
        /// What the reader of CSV says.
        what: String,
    },
    /// More sessions than one log may hold.
    #[error("{file}: line {line}: more than {most} sessions")]
    TooMany {
        /// The file's name as it was given.
        file: String,
        /// The first line beyond.
        line: usize,
        /// The most allowed.
        most: usize,
    },
    /// Two logs without a session in common.
    #[error("the two logs share no session: none has the same date and rung in both, with opportunities in both")]
    NoSharedSession,
    /// Two answers files without an item in common.
    #[error("the two answers files share no item that both answered")]
    NoSharedItem,
    /// Two answers files about different checklists.
    #[error("one file answers the checklist `{}`, the other `{}`", printable(first), printable(second))]
    DifferentChecklists {
        /// The first file's checklist.
        first: String,
        /// The second file's checklist.
        second: String,
    },
}

impl PracticeError {
    /// A short fixed word for programs.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Empty { .. } => "log-empty",
            Self::MissingColumn { .. } => "log-column-missing",
            Self::TwiceColumn { .. } => "log-column-twice",
            Self::Cells { .. } => "log-cells",
            Self::OpenQuote { .. } => "log-quote",
            Self::Date { .. } => "log-date",
            Self::Number { .. } => "log-number",
            Self::YesNo { .. } => "log-yes-no",
            Self::Sum { .. } => "log-sum",
            Self::Prompts { .. } => "log-prompts",
            Self::Time { .. } => "log-time",
            Self::Line { .. } => "log-line",
            Self::TooMany { .. } => "log-too-long",
            Self::NoSharedSession => "no-shared-session",
            Self::NoSharedItem => "no-shared-item",
            Self::DifferentChecklists { .. } => "different-checklists",
        }
    }

    /// What to do about it.
    pub const fn hint(&self) -> &'static str {
        match self {
            Self::Empty { .. } | Self::MissingColumn { .. } => {
                "begin the file with date,rung,opportunities,independent,prompted,errors,distress,assent,distractor_on,minutes,note, separated by commas"
            }
            Self::TwiceColumn { .. } => "rename or take out one of the two columns",
            Self::Cells { .. } => "give every column a cell, and put a note with commas in quotation marks",
            Self::OpenQuote { .. } => "close the note with a second quotation mark at its end",
            Self::Date { .. } => "write year, month and day with hyphens, such as 2026-10-20",
            Self::Number { .. } => "write the number that was counted, without a sign or decimals; write 0 for none",
            Self::YesNo { .. } => "write yes or no, or 1 or 0",
            Self::Sum { .. } => "count again: every opportunity has one answer at most",
            Self::Prompts { .. } => "count the help again, or leave the columns by level empty",
            Self::Time { .. } => "write hours and minutes, such as 09:05",
            Self::Line { .. } => "save the table again as CSV in UTF-8",
            Self::TooMany { .. } => "split the log by year",
            Self::NoSharedSession => "give two logs of the same sessions, kept by two observers",
            Self::NoSharedItem => "give two answers files about the same checklist, filled by two people",
            Self::DifferentChecklists { .. } => "let both people answer the same checklist",
        }
    }

    /// Where it stands: the line counted from 1, where there is one.
    pub const fn line(&self) -> Option<usize> {
        match self {
            Self::MissingColumn { line, .. }
            | Self::TwiceColumn { line, .. }
            | Self::Cells { line, .. }
            | Self::OpenQuote { line, .. }
            | Self::Date { line, .. }
            | Self::Number { line, .. }
            | Self::YesNo { line, .. }
            | Self::Sum { line, .. }
            | Self::Prompts { line, .. }
            | Self::Time { line, .. }
            | Self::Line { line, .. }
            | Self::TooMany { line, .. } => Some(*line),
            Self::Empty { .. } | Self::NoSharedSession | Self::NoSharedItem | Self::DifferentChecklists { .. } => None,
        }
    }

    /// Where it stands: the column, where there is one.
    pub fn column(&self) -> Option<&str> {
        match self {
            Self::MissingColumn { column, .. } | Self::Number { column, .. } | Self::YesNo { column, .. } => {
                Some(column)
            }
            Self::TwiceColumn { column, .. } | Self::Cells { column, .. } | Self::OpenQuote { column, .. } => {
                Some(column)
            }
            Self::Date { .. } => Some("date"),
            Self::Sum { .. } => Some("opportunities"),
            _ => None,
        }
    }
}
