//! Notes on what self-stimulation may serve. Words only: it is never counted, never an aim, and enters no decision.

use std::path::Path;

use jiff::Timestamp;
use jiff::civil::Date;

use crate::case::Case;
use crate::contract::{NeedBody, NeedDoc, NoteDoc, RecordBody};

use super::cases::record;
use super::refusal::Refusal;

/// Words by which a number becomes a count of it.
const COUNTING: [&str; 12] =
    ["times", "time", "x", "per", "minute", "minutes", "min", "hour", "hours", "seconds", "%", "percent"];

/// Stores a note.
pub fn store(folder: &Path, body: NeedBody, by: Option<&str>, today: Date, now: Timestamp) -> Result<NeedDoc, Refusal> {
    check(&body)?;
    let case = Case::open(folder)?;
    let name = case.add(&record(RecordBody::Need(body), &today.to_string(), by, now))?;
    told(&case, Some(name.id))
}

/// Refuses a note that says nothing, or that counts.
pub(super) fn check(body: &NeedBody) -> Result<(), Refusal> {
    if body.seen.trim().is_empty() || body.before.trim().is_empty() {
        return Err(Refusal::new("need", "a note says what was seen and what was there before it")
            .hint("give --seen \"…\" and --before \"…\""));
    }
    if counts(&body.seen) {
        return Err(Refusal::new("need-count", "self-stimulation is not counted or timed here").hint(
            "say in words what was seen, and what was there before it: it regulates and speaks, and is never an aim",
        ));
    }
    Ok(())
}

/// The notes of a case.
pub fn show(folder: &Path) -> Result<NeedDoc, Refusal> {
    told(&Case::open(folder)?, None)
}

/// Whether a text counts or times what it tells.
fn counts(text: &str) -> bool {
    let lower = text.to_lowercase();
    let words: Vec<&str> = lower.split(|sign: char| !(sign.is_alphanumeric() || sign == '%')).collect();
    let number = |word: &str| word.starts_with(|sign: char| sign.is_ascii_digit());
    words.windows(2).any(|pair| number(pair[0]) && COUNTING.contains(&pair[1]))
        || words.iter().any(|word| number(word) && COUNTING.iter().any(|unit| word.ends_with(unit)))
}

fn told(case: &Case, id: Option<String>) -> Result<NeedDoc, Refusal> {
    let found = case.standing(|kind| kind == "need")?;
    let mut notes = Vec::new();
    for stored in found.records.into_iter().rev() {
        let (date, RecordBody::Need(body)) = (stored.name.date, stored.record.body) else { continue };
        let more = [
            ("may serve", body.serves),
            ("offered", body.offered),
            ("room for it", body.room_for_it),
            ("asks for a break by", body.break_sign),
        ];
        let more: String = more.into_iter().filter_map(|(word, text)| Some(format!("; {word}: {}", text?))).collect();
        notes.push(NoteDoc::new(date.to_string(), format!("{}; before it: {}{more}", body.seen, body.before)));
    }
    Ok(NeedDoc { notes, advice: ADVICE.iter().map(ToString::to_string).collect(), id })
}

const ADVICE: [&str; 5] = [
    "It regulates and speaks. Look for what was there before it: noise, a long task, being tired, waiting, joy.",
    "Meet the need itself: quieter, shorter, a rest, movement, deep pressure if the child likes it.",
    "Give it room outside learning time, freely: a place and a time that are the child's own, never earned, never traded.",
    "Give the child a way to ask for a break (a card, a sign, a button), and honour it at once.",
    "A right answer given while rocking, flapping, humming or looking away is a right answer.",
];

#[cfg(test)]
mod tests {
    use super::counts;

    #[test]
    fn a_count_or_a_time_of_it_is_recognised_and_words_are_not() {
        for text in ["flapped 12 times", "rocking 3x", "hummed for 5 minutes", "20% of the sitting", "4 per hour"] {
            assert!(counts(text), "{text}");
        }
        for text in ["flapping when the 2 dogs came in", "hums while matching", "rocks at level 3 of the ladder", ""] {
            assert!(!counts(text), "{text}");
        }
    }
}
