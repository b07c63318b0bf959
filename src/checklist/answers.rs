//! Answers files: read strictly against their checklist, and a blank one to fill in.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use jiff::civil::Date;
use toml::Spanned;
use toml::de::DeValue;

use super::fault::{Faults, MOST_COUNT, Wrong};
use super::model::{Answer, Answers, Checklist, Item, ItemId, Unit};
use super::read::{format_line, whole};
use super::reader::{Node, Reader, describe, document};
use crate::words::{did_you_mean, printable};

/// The value of `format` in an answers file.
pub const ANSWERS_FORMAT: &str = "stillroom.answers/1";
/// The answer for what could not be seen.
pub(super) const NOT_SEEN: &str = "not seen";

const TOP_KEYS: [&str; 8] = ["format", "checklist", "place", "date", "by", "keep", "answers", "reasons"];

/// Reads an answers file against its checklist; `file` is how messages call it.
pub fn parse_answers(text: &str, file: &str, list: &Checklist) -> Result<Answers, Faults> {
    document(text, file, |reader, top| {
        format_line(reader, top, ANSWERS_FORMAT);
        top.only(reader, &TOP_KEYS);
        let checklist = top.name(reader, "checklist", &format!("checklist = \"{}\"", list.id));
        let place = top.text(reader, "place", "place = \"window table\"");
        let date = date(reader, top);
        let by = top.text(reader, "by", "by = \"visitor\"");
        let keep = top.texts(reader, "keep");
        let (answers, reasons) = match checklist {
            // Answers for another list would only raise an alarm at every line.
            Some(found) if found != list.id => {
                let hint = did_you_mean(&found, [list.id.as_str()]);
                let at = top.get("checklist").map_or(0, |value| value.span().start);
                top.fault(reader, at, Wrong::OtherChecklist { wanted: list.id.clone(), found, hint });
                (None, None)
            }
            _ => {
                let answers = read_answers(reader, top, list);
                let reasons = read_reasons(reader, top, list, answers.as_ref());
                (answers, reasons)
            }
        };
        let checklist = list.id.clone();
        Some(Answers {
            checklist,
            place: place?,
            date: date?,
            by: by?,
            keep: keep?,
            answers: answers?,
            reasons: reasons?,
        })
    })
}

/// Reads the table `[answers]`.
fn read_answers(reader: &mut Reader<'_>, top: &Node<'_>, list: &Checklist) -> Option<BTreeMap<ItemId, Answer>> {
    let value = top.required(reader, "answers", "[answers] and a line for every item")?;
    let Some(table) = value.get_ref().as_table() else {
        top.type_fault(reader, "answers", "a table that begins with [answers]", value);
        return None;
    };
    let node = top.inner(table, &value.span(), "in [answers]");
    let mut answers = BTreeMap::new();
    for (key, at, value) in node.entries() {
        // Every answer that is not a fault answers one of the list's items, so this bounds the work.
        if reader.full() {
            reader.stop();
            return None;
        }
        let id = ItemId::new(key);
        match list.item(&id) {
            None => {
                let hint = did_you_mean(key, list.items.iter().map(|item| item.id.as_str()));
                reader.fault(at, Some(key), Wrong::UnknownItem { checklist: list.id.clone(), hint });
            }
            Some(item) => match read_answer(item, value) {
                Ok(answer) => {
                    answers.insert(id, answer);
                }
                Err(what) => reader.fault(value.span().start, Some(key), what),
            },
        }
    }
    Some(answers)
}

/// Reads the table `[reasons]`, which may be left out: why an item was not seen.
fn read_reasons(
    reader: &mut Reader<'_>,
    top: &Node<'_>,
    list: &Checklist,
    answers: Option<&BTreeMap<ItemId, Answer>>,
) -> Option<BTreeMap<ItemId, String>> {
    let mut reasons = BTreeMap::new();
    let Some(value) = top.get("reasons") else { return Some(reasons) };
    let Some(table) = value.get_ref().as_table() else {
        top.type_fault(reader, "reasons", "a table that begins with [reasons]", value);
        return None;
    };
    let node = top.inner(table, &value.span(), "in [reasons]");
    for (key, at, value) in node.entries() {
        if reader.full() {
            reader.stop();
            return None;
        }
        let id = ItemId::new(key);
        if list.item(&id).is_none() {
            let hint = did_you_mean(key, list.items.iter().map(|item| item.id.as_str()));
            reader.fault(at, Some(key), Wrong::UnknownItem { checklist: list.id.clone(), hint });
            continue;
        }
        if answers.is_some_and(|answers| answers.get(&id).is_some_and(|answer| *answer != Answer::NotSeen)) {
            reader.fault(at, Some(key), Wrong::ReasonForAnswer);
            continue;
        }
        if let Some(reason) = node.text_of(reader, key, value) {
            reasons.insert(id, reason);
        }
    }
    Some(reasons)
}

/// Reads one answer by the unit of its item.
fn read_answer(item: &Item, value: &Spanned<DeValue<'_>>) -> Result<Answer, Wrong> {
    let value = value.get_ref();
    if value.as_str() == Some(NOT_SEEN) {
        return Ok(Answer::NotSeen);
    }
    let wrong = |wanted: String| Wrong::Answer { wanted, found: describe(value) };
    match &item.unit {
        Unit::Count { .. } => {
            whole(value).map(Answer::Count).ok_or_else(|| wrong(format!("a whole number from 0 to {MOST_COUNT}")))
        }
        Unit::Yes { .. } => value.as_bool().map(Answer::Yes).ok_or_else(|| wrong("true, false".to_owned())),
        Unit::Choice(options) => {
            let keys = options.iter().map(|option| option.key.as_str());
            match value.as_str() {
                Some(key) if keys.clone().any(|right| right == key) => Ok(Answer::Option(key.to_owned())),
                Some(key) => Err(Wrong::UnknownOption {
                    found: printable(key),
                    right: commas(keys.clone()),
                    hint: did_you_mean(key, keys.chain([NOT_SEEN])),
                }),
                None => Err(wrong(commas(keys))),
            }
        }
    }
}

/// The words in quotes, with commas; the sentence goes on with `or "not seen"`.
fn commas<'a>(words: impl Iterator<Item = &'a str>) -> String {
    words.map(|word| format!("\"{}\"", printable(word))).collect::<Vec<_>>().join(", ")
}

/// Reads the day, written `"2026-10-05"` or as TOML's own date.
fn date(reader: &mut Reader<'_>, top: &Node<'_>) -> Option<Date> {
    let value = top.required(reader, "date", "date = \"2026-10-05\"")?;
    let date = match value.get_ref() {
        DeValue::String(text) => iso_day(text),
        DeValue::Datetime(time) => iso_day(&time.to_string()),
        _ => None,
    };
    if date.is_none() {
        top.fault(reader, value.span().start, Wrong::Date { found: describe(value.get_ref()) });
    }
    date
}

/// The day `YYYY-MM-DD`; other writings of ISO 8601 are refused, so that files can be sorted by eye.
fn iso_day(text: &str) -> Option<Date> {
    let shape = text.len() == 10
        && text
            .bytes()
            .enumerate()
            .all(|(at, byte)| if matches!(at, 4 | 7) { byte == b'-' } else { byte.is_ascii_digit() });
    if !shape {
        return None;
    }
    text.parse().ok()
}

/// An answers file to fill in with an editor: each question as a comment, each answer `"not seen"`.
/// Place, date and name are blank, and a file in which they stay blank is refused.
pub fn blank_answers(list: &Checklist) -> String {
    let mut out = String::new();
    let title = one_line(&list.title);
    // Writing into a String cannot fail.
    let _ = write!(
        out,
        "# {title}\n# Sit where the child sits. Fill in what you see and hear; leave \"not seen\" where you cannot tell.\n\
         format = {}\nchecklist = {}\nplace = \"\"   # such as \"window table\"\n\
         date = \"\"    # such as \"2026-10-05\"\nby = \"\"      # an alias or a role, never a full name\n\
         # What must stay in reach: the child's way of talking, picture schedule, comfort things, glasses, ear defenders.\n\
         keep = []    # such as [\"picture schedule\", \"chewing ring\"]\n\n[answers]\n",
        quoted(ANSWERS_FORMAT),
        quoted(&list.id),
    );
    for item in &list.items {
        let _ = writeln!(out, "# {}", one_line(&item.ask));
        if let Some(help) = &item.help {
            let _ = writeln!(out, "# {}", one_line(help));
        }
        match &item.unit {
            Unit::Count { .. } => out.push_str("# a whole number\n"),
            Unit::Yes { .. } => out.push_str("# true or false\n"),
            Unit::Choice(options) => {
                for option in options {
                    let _ = writeln!(out, "# {} = {}", quoted(&option.key), one_line(&option.text));
                }
            }
        }
        let _ = write!(out, "{} = \"{NOT_SEEN}\"\n\n", bare_or_quoted(item.id.as_str()));
    }
    out
}

/// An answers file with these answers, in the order of the list; what is not answered is left out of it.
pub fn written_answers(list: &Checklist, given: &Answers) -> String {
    let keep = toml::Value::Array(given.keep.iter().map(|entry| toml::Value::from(entry.as_str())).collect());
    let mut out = format!(
        "format = {}\nchecklist = {}\nplace = {}\ndate = {}\nby = {}\nkeep = {keep}\n\n[answers]\n",
        quoted(ANSWERS_FORMAT),
        quoted(&list.id),
        quoted(&given.place),
        quoted(&given.date.to_string()),
        quoted(&given.by),
    );
    for item in &list.items {
        let Some(answer) = given.answers.get(&item.id) else { continue };
        let value = match answer {
            Answer::Count(count) => count.to_string(),
            Answer::Yes(there) => there.to_string(),
            Answer::Option(key) => quoted(key),
            Answer::NotSeen => quoted(NOT_SEEN),
        };
        // Writing into a String cannot fail.
        let _ = writeln!(out, "{} = {value}", bare_or_quoted(item.id.as_str()));
    }
    let mut reasons = list.items.iter().filter_map(|item| Some((item, given.reasons.get(&item.id)?))).peekable();
    if reasons.peek().is_some() {
        out.push_str("\n[reasons]\n");
    }
    for (item, reason) in reasons {
        let _ = writeln!(out, "{} = {}", bare_or_quoted(item.id.as_str()), quoted(reason));
    }
    out
}

/// A text without line breaks and control characters, fit for a comment.
fn one_line(text: &str) -> String {
    text.chars().map(|sign| if sign.is_control() { ' ' } else { sign }).collect()
}

/// A TOML string.
fn quoted(text: &str) -> String {
    toml::Value::from(text).to_string()
}

/// A TOML key; bare where TOML allows it.
fn bare_or_quoted(key: &str) -> String {
    let bare = !key.is_empty() && key.chars().all(|sign| sign.is_ascii_alphanumeric() || matches!(sign, '-' | '_'));
    if bare { key.to_owned() } else { quoted(key) }
}
