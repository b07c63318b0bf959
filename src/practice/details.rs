//! What else may be noted about a session: when, with which help, how long, what for. None of it enters a score; the
//! decision table never sees it.

use super::error::PracticeError;
use super::parse::Place;
use super::session::Session;

/// The columns that are read when there, after the ones of the log itself, in the order in which they are written.
pub(super) const DETAILS: [&str; 10] = [
    "time",
    "prompt_gesture",
    "prompt_model",
    "prompt_partial",
    "prompt_full",
    "attention_s",
    "latency_s",
    "breaks",
    "reinforcer",
    "observer",
];

/// What else was noted.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Details {
    /// When it began, `HH:MM`.
    pub time: Option<String>,
    /// The prompted answers by how much help they took.
    pub prompts: Option<Prompts>,
    /// The longest time at the task, seconds.
    pub attention_s: Option<u32>,
    /// Time until the answer began, seconds.
    pub latency_s: Option<u32>,
    /// Breaks the child asked for.
    pub breaks: Option<u32>,
    /// What followed a right answer.
    pub reinforcer: Option<String>,
    /// Who scored it as well.
    pub observer: Option<String>,
    /// A clinician has lifted the pause since it was written down: it counts no longer for safety.
    pub lifted: bool,
    /// When it was written down, where it is kept in a case.
    pub written: Option<jiff::Timestamp>,
}

/// Prompted answers by how much help they took, the least first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Prompts {
    /// Pointing, a look at the place.
    pub gesture: u32,
    /// Shown.
    pub model: u32,
    /// A light touch at the arm.
    pub partial: u32,
    /// The hand led, with the child's leave.
    pub full: u32,
}

impl Prompts {
    /// The levels' words, the least help first.
    pub const WORDS: [&str; 4] = ["gesture", "model", "partial", "full"];

    /// The counts, the least help first.
    pub const fn counts(self) -> [u32; 4] {
        [self.gesture, self.model, self.partial, self.full]
    }

    /// All prompted answers.
    pub fn sum(self) -> u64 {
        self.counts().into_iter().map(u64::from).sum()
    }

    /// From the counts, the least help first.
    pub const fn of([gesture, model, partial, full]: [u32; 4]) -> Self {
        Self { gesture, model, partial, full }
    }
}

/// The details of a line; `count` reads a whole number of a column.
pub(super) fn details(
    cells: [&str; DETAILS.len()],
    place: &Place<'_>,
    count: impl Fn(&'static str, &str) -> Result<u32, PracticeError>,
) -> Result<Details, PracticeError> {
    let [time, gesture, model, partial, full, attention, latency, breaks, reinforcer, observer] = cells;
    let maybe = |column, cell: &str| if cell.is_empty() { Ok(None) } else { count(column, cell).map(Some) };
    let words = |cell: &str| (!cell.is_empty()).then(|| cell.to_owned());
    let levels =
        [maybe(DETAILS[1], gesture)?, maybe(DETAILS[2], model)?, maybe(DETAILS[3], partial)?, maybe(DETAILS[4], full)?];
    let told = levels.iter().any(Option::is_some);
    if !time.is_empty() && !is_time(time) {
        return Err(PracticeError::Time { file: place.file.to_owned(), line: place.line, found: time.to_owned() });
    }
    Ok(Details {
        time: words(time),
        prompts: told.then(|| Prompts::of(levels.map(Option::unwrap_or_default))),
        attention_s: maybe(DETAILS[5], attention)?,
        latency_s: maybe(DETAILS[6], latency)?,
        breaks: maybe(DETAILS[7], breaks)?,
        reinforcer: words(reinforcer),
        observer: words(observer),
        lifted: false,
        written: None,
    })
}

/// Whether a text is a time of a day, `HH:MM`.
pub fn is_time(text: &str) -> bool {
    let Some((hours, minutes)) = text.split_once(':') else { return false };
    let within = |part: &str, most: u8| {
        part.len() == 2 && part.bytes().all(|digit| digit.is_ascii_digit()) && part.parse().is_ok_and(|n: u8| n < most)
    };
    within(hours, 24) && within(minutes, 60)
}

/// The cell of a column of details.
pub(super) fn cell(session: &Session, column: &str) -> String {
    let details = &session.details;
    let number = |number: Option<u32>| number.map(|number| number.to_string());
    let level = |at: usize| details.prompts.map(|prompts| prompts.counts()[at].to_string());
    let text = match column {
        "time" => details.time.clone(),
        "prompt_gesture" => level(0),
        "prompt_model" => level(1),
        "prompt_partial" => level(2),
        "prompt_full" => level(3),
        "attention_s" => number(details.attention_s),
        "latency_s" => number(details.latency_s),
        "breaks" => number(details.breaks),
        "reinforcer" => details.reinforcer.clone(),
        _ => details.observer.clone(),
    };
    text.unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::is_time;

    #[test]
    fn a_time_is_hours_and_minutes_of_one_day() {
        assert!(is_time("00:00") && is_time("23:59"));
        for text in ["24:00", "9:00", "09:60", "09", "+9:00", "09:00:00", ""] {
            assert!(!is_time(text), "{text}");
        }
    }
}
