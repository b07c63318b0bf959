//! Reading TOML tables key by key: every value keeps its line, every fault is collected, nothing is guessed.

use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::fault::{Fault, Faults, MOST_BYTES, MOST_ENTRIES, MOST_FAULTS, MOST_SIGNS, Wrong};
use crate::words::{did_you_mean, printable};

/// A file being read, and the faults found so far.
pub(super) struct Reader<'t> {
    file: &'t str,
    /// The offset at which each line begins.
    lines: Vec<usize>,
    faults: Vec<Fault>,
    more: bool,
}

/// One table of the file.
pub(super) struct Node<'t> {
    table: &'t DeTable<'t>,
    at: usize,
    item: Option<String>,
    /// How messages call it, such as `in an item`.
    place: &'static str,
}

/// The text of a file's bytes, without a byte order mark.
pub fn decode<'t>(bytes: &'t [u8], file: &str) -> Result<&'t str, Faults> {
    let one = |line, what| Faults::new(vec![Fault { file: file.to_owned(), line, item: None, what }], false);
    if bytes.len() > MOST_BYTES {
        return Err(one(1, Wrong::TooLarge { bytes: bytes.len() }));
    }
    match std::str::from_utf8(bytes) {
        Ok(text) => Ok(text.strip_prefix('\u{feff}').unwrap_or(text)),
        Err(error) => {
            let before = &bytes[..error.valid_up_to()];
            Err(one(1 + before.iter().filter(|&&byte| byte == b'\n').count(), Wrong::NotText))
        }
    }
}

/// Reads a whole document and hands its top table to `read`; all faults come back together.
pub(super) fn document<T>(
    text: &str,
    file: &str,
    read: impl FnOnce(&mut Reader<'_>, &Node<'_>) -> Option<T>,
) -> Result<T, Faults> {
    let text = decode(text.as_bytes(), file)?;
    let lines = std::iter::once(0).chain(text.match_indices('\n').map(|(at, _)| at + 1)).collect();
    let mut reader = Reader { file, lines, faults: Vec::new(), more: false };
    let (top, errors) = DeTable::parse_recoverable(text);
    for error in &errors {
        if reader.full() {
            reader.stop();
            break;
        }
        let at = error.span().map_or(0, |span| span.start);
        let line = reader.line(at);
        // One slip often breaks its whole line several times over: the first message says it.
        if !reader.faults.iter().any(|fault| fault.line == line) {
            reader.fault(at, None, Wrong::Toml(printable(error.message())));
        }
    }
    if !errors.is_empty() {
        return Err(Faults::new(reader.faults, reader.more));
    }
    let node = Node { table: top.get_ref(), at: 0, item: None, place: "at the top of the file" };
    let read = read(&mut reader, &node);
    match read {
        Some(read) if reader.faults.is_empty() => Ok(read),
        _ => Err(Faults::new(reader.faults, reader.more)),
    }
}

impl Reader<'_> {
    /// The line of an offset, counted from 1.
    pub(super) fn line(&self, at: usize) -> usize {
        self.lines.partition_point(|&start| start <= at).max(1)
    }

    /// Whether as many faults are noted as are shown.
    pub(super) fn full(&self) -> bool {
        self.faults.len() >= MOST_FAULTS
    }

    /// Notes that reading stopped before the end.
    pub(super) fn stop(&mut self) {
        self.more = true;
    }

    /// Notes a fault.
    pub(super) fn fault(&mut self, at: usize, item: Option<&str>, what: Wrong) {
        if self.full() {
            self.stop();
            return;
        }
        let line = self.line(at);
        self.faults.push(Fault { file: self.file.to_owned(), line, item: item.map(str::to_owned), what });
    }
}

impl<'t> Node<'t> {
    /// A table that stands inside this one.
    pub(super) fn inner(&self, table: &'t DeTable<'t>, span: &Range<usize>, place: &'static str) -> Self {
        Self { table, at: span.start, item: self.item.clone(), place }
    }

    /// The same table, now that it is known which item it belongs to.
    pub(super) fn named(mut self, item: Option<String>) -> Self {
        self.item = item;
        self
    }

    /// Where it begins.
    pub(super) const fn at(&self) -> usize {
        self.at
    }

    /// Notes a fault of this table.
    pub(super) fn fault(&self, reader: &mut Reader<'_>, at: usize, what: Wrong) {
        reader.fault(at, self.item.as_deref(), what);
    }

    /// The value of a key.
    pub(super) fn get(&self, key: &str) -> Option<&'t Spanned<DeValue<'t>>> {
        self.table.get(key)
    }

    /// All keys and values, in the order of the file.
    pub(super) fn entries(&self) -> impl Iterator<Item = (&'t str, usize, &'t Spanned<DeValue<'t>>)> {
        self.table.iter().map(|(key, value)| (&**key.get_ref(), key.span().start, value))
    }

    /// Notes every key that is not one of `known`.
    pub(super) fn only(&self, reader: &mut Reader<'_>, known: &[&'static str]) {
        for (key, at, _) in self.entries() {
            if reader.full() {
                reader.stop();
                return;
            }
            if !known.contains(&key) {
                let hint = did_you_mean(key, known.iter().copied());
                self.fault(reader, at, Wrong::UnknownKey { key: printable(key), place: self.place, hint });
            }
        }
    }

    /// The value of a required key.
    pub(super) fn required(
        &self,
        reader: &mut Reader<'_>,
        key: &'static str,
        example: &str,
    ) -> Option<&'t Spanned<DeValue<'t>>> {
        let value = self.get(key);
        if value.is_none() {
            let hint = if example.is_empty() { String::new() } else { format!("; write {example}") };
            self.fault(reader, self.at, Wrong::Missing { key, hint });
        }
        value
    }

    /// A required text.
    pub(super) fn text(&self, reader: &mut Reader<'_>, key: &'static str, example: &str) -> Option<String> {
        let value = self.required(reader, key, example)?;
        self.text_of(reader, key, value)
    }

    /// A text that may be left out: `Err` when it is there and wrong.
    pub(super) fn optional_text(&self, reader: &mut Reader<'_>, key: &'static str) -> Result<Option<String>, ()> {
        match self.get(key) {
            None => Ok(None),
            Some(value) => self.text_of(reader, key, value).map(Some).ok_or(()),
        }
    }

    /// A text, its white space made single spaces.
    pub(super) fn text_of(&self, reader: &mut Reader<'_>, key: &str, value: &Spanned<DeValue<'_>>) -> Option<String> {
        let at = value.span().start;
        let Some(raw) = value.get_ref().as_str() else {
            self.type_fault(reader, key, "a text in quotes", value);
            return None;
        };
        let key = key.to_owned();
        let text = raw.split_whitespace().collect::<Vec<_>>().join(" ");
        let what = if text.is_empty() {
            Wrong::Empty { key }
        } else if text.chars().count() > MOST_SIGNS {
            Wrong::Long { key }
        } else if text.chars().any(unseen) {
            Wrong::Control { key }
        } else {
            return Some(text);
        };
        self.fault(reader, at, what);
        None
    }

    /// A name: an id or an option's key.
    pub(super) fn name(&self, reader: &mut Reader<'_>, key: &'static str, example: &str) -> Option<String> {
        let value = self.required(reader, key, example)?;
        let Some(raw) = value.get_ref().as_str() else {
            self.type_fault(reader, key, "a name in quotes", value);
            return None;
        };
        let short = (1..=80).contains(&raw.chars().count());
        if short && raw.chars().all(|sign| sign.is_alphanumeric() || matches!(sign, '-' | '_' | '.')) {
            return Some(raw.to_owned());
        }
        self.fault(reader, value.span().start, Wrong::Name { key, found: printable(raw) });
        None
    }

    /// A word out of a closed list.
    pub(super) fn word<T>(
        &self,
        reader: &mut Reader<'_>,
        key: &'static str,
        right: &[&'static str],
        from_word: impl Fn(&str) -> Option<T>,
    ) -> Option<T> {
        let value = self.required(reader, key, &one_of(right.iter().copied()))?;
        let Some(raw) = value.get_ref().as_str() else {
            self.type_fault(reader, key, "a word in quotes", value);
            return None;
        };
        let word = from_word(raw);
        if word.is_none() {
            let hint = did_you_mean(raw, right.iter().copied());
            let what = Wrong::Word { key, right: one_of(right.iter().copied()), found: printable(raw), hint };
            self.fault(reader, value.span().start, what);
        }
        word
    }

    /// A number inside a range; `wrong` makes the fault for one outside, NaN and infinity included.
    pub(super) fn number(
        &self,
        reader: &mut Reader<'_>,
        key: &'static str,
        fits: impl Fn(f64) -> bool,
        wrong: impl Fn(String) -> Wrong,
    ) -> Option<f64> {
        let value = self.required(reader, key, "a number")?;
        let Some(number) = number(value.get_ref()) else {
            self.type_fault(reader, key, "a number", value);
            return None;
        };
        if number.is_finite() && fits(number) {
            return Some(number);
        }
        self.fault(reader, value.span().start, wrong(describe(value.get_ref())));
        None
    }

    /// A true or false that may be left out (false).
    pub(super) fn flag(&self, reader: &mut Reader<'_>, key: &'static str) -> Option<bool> {
        let Some(value) = self.get(key) else { return Some(false) };
        let flag = value.get_ref().as_bool();
        if flag.is_none() {
            self.type_fault(reader, key, "true or false", value);
        }
        flag
    }

    /// A list of texts that may be left out; an entry that stands twice is kept once.
    pub(super) fn texts(&self, reader: &mut Reader<'_>, key: &'static str) -> Option<Vec<String>> {
        let Some(value) = self.get(key) else { return Some(Vec::new()) };
        let Some(entries) = value.get_ref().as_array() else {
            self.type_fault(reader, key, "a list of texts, like [\"one\", \"two\"]", value);
            return None;
        };
        if entries.len() > MOST_ENTRIES {
            self.fault(reader, value.span().start, Wrong::TooMany { most: MOST_ENTRIES, things: "entries in a list" });
            return None;
        }
        let mut texts: Vec<String> = Vec::new();
        let mut whole = true;
        for entry in entries {
            match self.text_of(reader, key, entry) {
                Some(text) if !texts.contains(&text) => texts.push(text),
                Some(_) => {}
                None => whole = false,
            }
        }
        whole.then_some(texts)
    }

    /// The tables of an array of tables that may be left out.
    pub(super) fn tables(
        &self,
        reader: &mut Reader<'_>,
        key: &'static str,
        place: &'static str,
        wanted: &'static str,
    ) -> Option<Vec<Self>> {
        let Some(value) = self.get(key) else { return Some(Vec::new()) };
        let Some(rows) = value.get_ref().as_array() else {
            self.type_fault(reader, key, wanted, value);
            return None;
        };
        let mut tables = Vec::new();
        let mut whole = true;
        for row in rows {
            match row.get_ref().as_table() {
                Some(table) => tables.push(self.inner(table, &row.span(), place)),
                None => {
                    self.type_fault(reader, key, wanted, row);
                    whole = false;
                }
            }
        }
        whole.then_some(tables)
    }

    /// Notes a value of the wrong type.
    pub(super) fn type_fault(
        &self,
        reader: &mut Reader<'_>,
        key: &str,
        wanted: &'static str,
        value: &Spanned<DeValue<'_>>,
    ) {
        let what = Wrong::Type { key: key.to_owned(), wanted, found: describe(value.get_ref()) };
        self.fault(reader, value.span().start, what);
    }
}

/// Signs that move a terminal's cursor or turn the direction of a line.
fn unseen(sign: char) -> bool {
    sign.is_control()
        || matches!(sign, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}')
}

/// The number a value stands for.
pub(super) fn number(value: &DeValue<'_>) -> Option<f64> {
    match value {
        DeValue::Integer(whole) => match i64::from_str_radix(whole.as_str(), whole.radix()) {
            Ok(whole) => Some(whole as f64),
            Err(_) => whole.as_str().parse().ok(),
        },
        DeValue::Float(float) => float.as_str().parse().ok(),
        _ => None,
    }
}

/// A value as messages show it.
pub(super) fn describe(value: &DeValue<'_>) -> String {
    match value {
        DeValue::String(text) => format!("\"{}\"", printable(text)),
        DeValue::Integer(whole) => printable(whole.as_str()),
        DeValue::Float(float) => printable(float.as_str()),
        DeValue::Boolean(flag) => flag.to_string(),
        DeValue::Datetime(time) => time.to_string(),
        DeValue::Array(_) => "a list".to_owned(),
        DeValue::Table(_) => "a table".to_owned(),
    }
}

/// `"a", "b" or "c"`.
pub(super) fn one_of<'a>(words: impl IntoIterator<Item = &'a str>) -> String {
    let words: Vec<String> = words.into_iter().map(|word| format!("\"{}\"", printable(word))).collect();
    match words.split_last() {
        None => String::new(),
        Some((only, [])) => only.clone(),
        Some((last, rest)) => format!("{} or {last}", rest.join(", ")),
    }
}
