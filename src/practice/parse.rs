//! A session log from CSV text: every cell checked, every refusal naming line and column.
//!
//! Accepted: a byte order mark, any line ends, quoted commas, blank lines, columns in any order, rows in any order,
//! further columns. Refused: whatever could make a session say something other than what was written.

use csv::{ReaderBuilder, StringRecord};
use jiff::civil::Date;

use super::details::{DETAILS, Details, details};
use super::error::PracticeError;
use super::form::Form;
use super::session::{Log, Session};
use crate::words::nearest;

/// The columns that must be there, in the order in which they are written.
pub(super) const COLUMNS: [&str; 11] = [
    "date",
    "rung",
    "opportunities",
    "independent",
    "prompted",
    "errors",
    "distress",
    "assent",
    "distractor_on",
    "minutes",
    "note",
];
/// The columns that are read when there, in the order in which they are written.
pub(super) const OPTIONAL: [&str; 5] = ["task", "place", "by", "exemplar", "after"];

/// Highest rung taken: far above any ladder, so that a slip (a year in the wrong column) is caught. Convention.
const MOST_RUNG: u32 = 999;
/// Highest count taken. Convention, for the same reason.
const MOST_COUNT: u32 = 100_000;
/// Most sessions in one log. Convention: ten a day for more than five years.
const MOST_SESSIONS: usize = 20_000;

/// A log from CSV text; `file` is the name that refusals give.
pub fn parse(text: &str, file: &str) -> Result<Log, PracticeError> {
    let found = parse_lines(text, file, &Form::OURS)?;
    Ok(Log::with_further(found.sessions.into_iter().map(|(_, session)| session).collect(), found.further))
}

/// The sessions of a file in its own order, each with the line on which it begins.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Lines {
    /// Line and session.
    pub sessions: Vec<(usize, Session)>,
    /// The names of columns beyond those that are read.
    pub further: Vec<String>,
    /// What was read otherwise than it stands there, one sentence each.
    pub notices: Vec<String>,
}

/// Sessions from CSV text of that form, with their lines.
pub fn parse_lines(text: &str, file: &str, form: &Form) -> Result<Lines, PracticeError> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let separator = u8::try_from(form.separator).unwrap_or(b',');
    let mut reader =
        ReaderBuilder::new().has_headers(false).flexible(true).delimiter(separator).from_reader(text.as_bytes());
    let mut lines = LineCount { text: text.as_bytes(), at: 0, line: 1 };
    let mut header: Option<Header> = None;
    let mut found = Lines::default();
    for record in reader.records() {
        let record = record.map_err(|error| PracticeError::Line {
            file: file.to_owned(),
            line: error.position().map_or(1, |position| lines.of(position.byte())),
            what: "the line cannot be read as CSV".to_owned(),
        })?;
        let line = record.position().map_or(1, |position| lines.of(position.byte()));
        if record.iter().all(|cell| cell.trim().is_empty()) {
            continue;
        }
        let place = Place { file, line, form };
        match &header {
            None => header = Some(Header::read(&record, &place)?),
            Some(header) => {
                if found.sessions.len() == MOST_SESSIONS {
                    return Err(PracticeError::TooMany { file: file.to_owned(), line, most: MOST_SESSIONS });
                }
                let session = header.session(&record, &place, &mut found.notices)?;
                found.sessions.push((line, session));
            }
        }
    }
    let header = header.ok_or_else(|| PracticeError::Empty { file: file.to_owned() })?;
    // The reader lets a quotation mark run to the end of the file; sessions lost in a note must not go unnoticed.
    if let Some((line, cell)) = open_quote(text, form.separator) {
        return Err(PracticeError::OpenQuote { file: file.to_owned(), line, column: header.name(cell) });
    }
    found.further = header.further.iter().map(|&at| header.names[at].clone()).collect();
    Ok(found)
}

/// Where a record stands.
pub(super) struct Place<'a> {
    pub(super) file: &'a str,
    pub(super) line: usize,
    pub(super) form: &'a Form,
}

/// Line numbers of rising byte positions; the reader's own count stops at the blank lines before a record.
struct LineCount<'a> {
    text: &'a [u8],
    at: usize,
    line: usize,
}

impl LineCount<'_> {
    fn of(&mut self, byte: u64) -> usize {
        let target = usize::try_from(byte).unwrap_or(usize::MAX).min(self.text.len());
        while self.at < target || matches!(self.text.get(self.at), Some(b'\n' | b'\r')) {
            let ends = match self.text[self.at] {
                b'\n' => true,
                b'\r' => self.text.get(self.at + 1) != Some(&b'\n'),
                _ => false,
            };
            self.line += usize::from(ends);
            self.at += 1;
        }
        self.line
    }
}

/// Which cell of a record is which column.
struct Header {
    names: Vec<String>,
    required: [usize; COLUMNS.len()],
    optional: [Option<usize>; OPTIONAL.len()],
    details: [Option<usize>; DETAILS.len()],
    further: Vec<usize>,
}

impl Header {
    fn read(record: &StringRecord, place: &Place<'_>) -> Result<Self, PracticeError> {
        let mut names: Vec<String> = record.iter().map(|cell| cell.trim().to_owned()).collect();
        // Tables saved by a spreadsheet often end in empty columns.
        while names.last().is_some_and(String::is_empty) {
            names.pop();
        }
        for (at, name) in names.iter_mut().enumerate() {
            let lower = name.to_lowercase();
            if known(&lower) {
                *name = lower;
            } else if name.is_empty() {
                *name = format!("column {}", at + 1);
            }
        }
        for (at, name) in names.iter().enumerate() {
            if names[..at].contains(name) {
                let (file, column) = (place.file.to_owned(), name.clone());
                return Err(PracticeError::TwiceColumn { file, line: place.line, column });
            }
        }
        let find = |column: &str| names.iter().position(|name| name == column);
        let mut required = [0; COLUMNS.len()];
        for (slot, column) in required.iter_mut().zip(COLUMNS) {
            *slot = find(column).ok_or_else(|| PracticeError::MissingColumn {
                file: place.file.to_owned(),
                line: place.line,
                column,
                meant: meant(column, &names),
            })?;
        }
        let (optional, details) = (OPTIONAL.map(find), DETAILS.map(find));
        let further = (0..names.len())
            .filter(|at| !required.contains(at) && !optional.contains(&Some(*at)) && !details.contains(&Some(*at)))
            .collect();
        Ok(Self { names, required, optional, details, further })
    }

    fn name(&self, at: usize) -> String {
        self.names.get(at).or(self.names.last()).cloned().unwrap_or_default()
    }

    fn session(
        &self,
        record: &StringRecord,
        place: &Place<'_>,
        notices: &mut Vec<String>,
    ) -> Result<Session, PracticeError> {
        let expected = self.names.len();
        let found =
            record.iter().enumerate().filter(|(_, cell)| !cell.trim().is_empty()).last().map_or(0, |(at, _)| at + 1);
        if record.len() < expected || found > expected {
            let found = if record.len() < expected { record.len() } else { found };
            let (file, column) = (place.file.to_owned(), self.name(found));
            return Err(PracticeError::Cells { file, line: place.line, column, found, expected });
        }
        if let Some(at) = record.iter().position(|cell| swallows_a_row(cell, place.form)) {
            let (file, column) = (place.file.to_owned(), self.name(at));
            return Err(PracticeError::OpenQuote { file, line: place.line, column });
        }
        let [date, rung, opportunities, independent, prompted, errors, distress, assent, distractor_on, minutes, note] =
            self.required.map(|at| record.get(at).unwrap_or_default().trim());
        let [task, place_name, by, exemplar, after] = self.optional.map(|at| {
            at.and_then(|at| record.get(at)).map(str::trim).filter(|cell| !cell.is_empty()).map(str::to_owned)
        });
        let count = |column, cell| number(cell, column, MOST_COUNT, place);
        let session = Session {
            date: day(date, place)?,
            rung: number(rung, "rung", MOST_RUNG, place)?,
            opportunities: count("opportunities", opportunities)?,
            independent: count("independent", independent)?,
            prompted: count("prompted", prompted)?,
            errors: count("errors", errors)?,
            distress: yes_no(distress, "distress", place)?,
            assent: yes_no(assent, "assent", place)?,
            distractor_on: yes_no(distractor_on, "distractor_on", place)?,
            minutes: minutes_of(minutes, place, notices)?,
            note: note.to_owned(),
            task,
            place: place_name,
            by,
            exemplar,
            after: after.map_or(Ok(false), |cell| yes_no(&cell, "after", place))?,
            further: self.further.iter().map(|&at| record.get(at).unwrap_or_default().trim().to_owned()).collect(),
            details: self.details(record, place)?,
        };
        if !session.adds_up() {
            return Err(PracticeError::Sum {
                file: place.file.to_owned(),
                line: place.line,
                opportunities: session.opportunities,
                independent: session.independent,
                prompted: session.prompted,
                errors: session.errors,
            });
        }
        if let Some(prompts) = session.details.prompts.filter(|prompts| prompts.sum() != u64::from(session.prompted)) {
            return Err(PracticeError::Prompts {
                file: place.file.to_owned(),
                line: place.line,
                by_level: prompts.sum(),
                prompted: session.prompted,
            });
        }
        Ok(session)
    }

    fn details(&self, record: &StringRecord, place: &Place<'_>) -> Result<Details, PracticeError> {
        let cells = self.details.map(|at| at.and_then(|at| record.get(at)).unwrap_or_default().trim());
        details(cells, place, |column, cell| number(cell, column, MOST_COUNT, place))
    }
}

/// Whether a column is one that is read.
fn known(column: &str) -> bool {
    COLUMNS.contains(&column) || OPTIONAL.contains(&column) || DETAILS.contains(&column)
}

/// Minutes; in a spreadsheet's form half a minute too, which is stored whole and said.
fn minutes_of(cell: &str, place: &Place<'_>, notices: &mut Vec<String>) -> Result<Option<u32>, PracticeError> {
    if cell.is_empty() {
        return Ok(None);
    }
    let parted = cell.split_once([',', '.']).filter(|_| place.form.decimals);
    let Some((whole, tenths)) = parted.filter(|(_, part)| part.bytes().any(|digit| digit != b'0')) else {
        return number(cell, "minutes", MOST_COUNT, place).map(Some);
    };
    if !tenths.bytes().all(|digit| digit.is_ascii_digit()) {
        return number(cell, "minutes", MOST_COUNT, place).map(Some);
    }
    let up = tenths.as_bytes()[0] >= b'5';
    let minutes = number(whole, "minutes", MOST_COUNT, place)? + u32::from(up);
    notices.push(format!("line {}: {cell} minutes were read as {minutes}; whole minutes are kept", place.line));
    Ok(Some(minutes))
}

/// The end of the sentence on a missing column: what may be meant by it, or that the columns are not separated.
fn meant(column: &str, names: &[String]) -> String {
    if names.len() == 1 && names[0].contains([';', '\t']) {
        return " (the columns must be separated by commas)".to_owned();
    }
    let unknown = names.iter().map(String::as_str).filter(|name| !known(name));
    nearest(column, unknown)
        .map_or_else(String::new, |name| format!(" (is `{}` meant?)", crate::words::printable(name)))
}

/// A date written YYYY-MM-DD and nothing else.
pub(super) fn iso_date(cell: &str) -> Option<Date> {
    let bytes = cell.as_bytes();
    let shaped = bytes.len() == 10
        && bytes
            .iter()
            .enumerate()
            .all(|(at, sign)| if at == 4 || at == 7 { *sign == b'-' } else { sign.is_ascii_digit() });
    if !shaped {
        return None;
    }
    Date::new(cell[..4].parse().ok()?, cell[5..7].parse().ok()?, cell[8..].parse().ok()?).ok()
}

fn day(cell: &str, place: &Place<'_>) -> Result<Date, PracticeError> {
    place.form.date(cell).ok_or_else(|| PracticeError::Date {
        file: place.file.to_owned(),
        line: place.line,
        found: cell.to_owned(),
    })
}

fn number(cell: &str, column: &'static str, most: u32, place: &Place<'_>) -> Result<u32, PracticeError> {
    let cell = place.form.whole(cell);
    let digits = cell.bytes().all(|sign| sign.is_ascii_digit());
    digits.then(|| cell.parse().ok()).flatten().filter(|number| *number <= most).ok_or_else(|| PracticeError::Number {
        file: place.file.to_owned(),
        line: place.line,
        column,
        found: cell.to_owned(),
        most,
    })
}

fn yes_no(cell: &str, column: &'static str, place: &Place<'_>) -> Result<bool, PracticeError> {
    match cell.to_ascii_lowercase().as_str() {
        "yes" | "1" => Ok(true),
        "no" | "0" => Ok(false),
        _ => {
            Err(PracticeError::YesNo { file: place.file.to_owned(), line: place.line, column, found: cell.to_owned() })
        }
    }
}

/// A cell over several lines of which a later one begins like a session.
fn swallows_a_row(cell: &str, form: &Form) -> bool {
    let begins = |first: &str| form.date(first.trim().trim_matches('"')).is_some();
    cell.split(['\n', '\r']).skip(1).any(|line| line.split_once(form.separator).is_some_and(|(first, _)| begins(first)))
}

/// The line and cell (from 0) in which a quotation mark opens that the text never closes.
fn open_quote(text: &str, separator: char) -> Option<(usize, usize)> {
    enum At {
        Start,
        Plain,
        Quoted,
        MaybeClosed,
    }
    let (mut at, mut line, mut cell, mut opened) = (At::Start, 1, 0, (1, 0));
    let mut before = '\n';
    for sign in text.chars() {
        let line_end = sign == '\n' || sign == '\r';
        if line_end && !(sign == '\n' && before == '\r') {
            line += 1;
        }
        before = sign;
        at = match (at, sign) {
            (At::Start, '"') => {
                opened = (line, cell);
                At::Quoted
            }
            (At::Quoted, '"') => At::MaybeClosed,
            (At::MaybeClosed, '"') | (At::Quoted, _) => At::Quoted,
            (_, sign) if sign == separator => {
                cell += 1;
                At::Start
            }
            _ if line_end => {
                cell = 0;
                At::Start
            }
            _ => At::Plain,
        };
    }
    matches!(at, At::Quoted).then_some(opened)
}
