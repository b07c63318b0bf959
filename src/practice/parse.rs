//! A session log from CSV text: every cell checked, every refusal naming line and column.
//!
//! Accepted: a byte order mark, any line ends, quoted commas, blank lines, columns in any order, rows in any order,
//! further columns. Refused: whatever could make a session say something other than what was written.

use csv::{ReaderBuilder, StringRecord};
use jiff::civil::Date;

use super::error::PracticeError;
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
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut reader = ReaderBuilder::new().has_headers(false).flexible(true).from_reader(text.as_bytes());
    let mut lines = Lines { text: text.as_bytes(), at: 0, line: 1 };
    let mut header: Option<Header> = None;
    let mut sessions = Vec::new();
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
        let place = Place { file, line };
        match &header {
            None => header = Some(Header::read(&record, &place)?),
            Some(header) => {
                if sessions.len() == MOST_SESSIONS {
                    return Err(PracticeError::TooMany { file: file.to_owned(), line, most: MOST_SESSIONS });
                }
                sessions.push(header.session(&record, &place)?);
            }
        }
    }
    let header = header.ok_or_else(|| PracticeError::Empty { file: file.to_owned() })?;
    // The reader lets a quotation mark run to the end of the file; sessions lost in a note must not go unnoticed.
    if let Some((line, cell)) = open_quote(text) {
        return Err(PracticeError::OpenQuote { file: file.to_owned(), line, column: header.name(cell) });
    }
    Ok(Log::with_further(sessions, header.further.iter().map(|&at| header.names[at].clone()).collect()))
}

/// Where a record stands.
struct Place<'a> {
    file: &'a str,
    line: usize,
}

/// Line numbers of rising byte positions; the reader's own count stops at the blank lines before a record.
struct Lines<'a> {
    text: &'a [u8],
    at: usize,
    line: usize,
}

impl Lines<'_> {
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
            if COLUMNS.contains(&lower.as_str()) || OPTIONAL.contains(&lower.as_str()) {
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
        let optional = OPTIONAL.map(find);
        let further = (0..names.len()).filter(|at| !required.contains(at) && !optional.contains(&Some(*at))).collect();
        Ok(Self { names, required, optional, further })
    }

    fn name(&self, at: usize) -> String {
        self.names.get(at).or(self.names.last()).cloned().unwrap_or_default()
    }

    fn session(&self, record: &StringRecord, place: &Place<'_>) -> Result<Session, PracticeError> {
        let expected = self.names.len();
        let found =
            record.iter().enumerate().filter(|(_, cell)| !cell.trim().is_empty()).last().map_or(0, |(at, _)| at + 1);
        if record.len() < expected || found > expected {
            let found = if record.len() < expected { record.len() } else { found };
            let (file, column) = (place.file.to_owned(), self.name(found));
            return Err(PracticeError::Cells { file, line: place.line, column, found, expected });
        }
        if let Some(at) = record.iter().position(swallows_a_row) {
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
            minutes: if minutes.is_empty() { None } else { Some(count("minutes", minutes)?) },
            note: note.to_owned(),
            task,
            place: place_name,
            by,
            exemplar,
            after: after.map_or(Ok(false), |cell| yes_no(&cell, "after", place))?,
            further: self.further.iter().map(|&at| record.get(at).unwrap_or_default().trim().to_owned()).collect(),
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
        Ok(session)
    }
}

/// The end of the sentence on a missing column: what may be meant by it, or that the columns are not separated.
fn meant(column: &str, names: &[String]) -> String {
    if names.len() == 1 && names[0].contains([';', '\t']) {
        return " (the columns must be separated by commas)".to_owned();
    }
    let unknown = names.iter().map(String::as_str).filter(|name| !COLUMNS.contains(name) && !OPTIONAL.contains(name));
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
    iso_date(cell).ok_or_else(|| PracticeError::Date {
        file: place.file.to_owned(),
        line: place.line,
        found: cell.to_owned(),
    })
}

fn number(cell: &str, column: &'static str, most: u32, place: &Place<'_>) -> Result<u32, PracticeError> {
    let digits = !cell.is_empty() && cell.bytes().all(|sign| sign.is_ascii_digit());
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
fn swallows_a_row(cell: &str) -> bool {
    cell.split(['\n', '\r'])
        .skip(1)
        .any(|line| line.split_once(',').is_some_and(|(first, _)| iso_date(first.trim().trim_matches('"')).is_some()))
}

/// The line and cell (from 0) in which a quotation mark opens that the text never closes.
fn open_quote(text: &str) -> Option<(usize, usize)> {
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
            (_, ',') => {
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
