//! One table of a ladder input with the lines of its keys: values come out checked, or a fault goes in.

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::fault::{Fault, Wrong};
use crate::words::printable;

/// The text of a file and where its lines begin.
pub(crate) struct Source<'a> {
    text: &'a str,
    starts: Vec<usize>,
}

impl<'a> Source<'a> {
    /// The lines of a text.
    pub(crate) fn new(text: &'a str) -> Self {
        let ends = text.bytes().enumerate().filter(|(_, byte)| *byte == b'\n').map(|(at, _)| at + 1);
        Self { text, starts: std::iter::once(0).chain(ends).collect() }
    }

    /// The line, from 1, of a place in the text.
    pub(crate) fn line(&self, at: usize) -> usize {
        self.starts.partition_point(|&start| start <= at.min(self.text.len())).max(1)
    }
}

/// A table of the file.
pub(crate) struct Fields<'a> {
    table: &'a DeTable<'a>,
    lines: Vec<(&'a str, usize)>,
    line: usize,
    item: Option<String>,
}

impl<'a> Fields<'a> {
    /// A table that begins on a line and belongs to an item.
    pub(crate) fn new(table: &'a DeTable<'a>, source: &Source<'_>, line: usize, item: Option<String>) -> Self {
        let lines = table.keys().map(|key| (key.get_ref().as_ref(), source.line(key.span().start))).collect();
        Self { table, lines, line, item }
    }

    /// The table of a numbered thing, called by its `id` where that can be read.
    pub(crate) fn named(self, what: &str, index: usize) -> Self {
        let id = self.table.get("id").and_then(|id| id.get_ref().as_str());
        let item = id.map_or_else(|| format!("{what} {}", index + 1), printable);
        Self { item: Some(item), ..self }
    }

    /// The table of a level of something.
    pub(crate) fn inside(self, outer: &Self, level: usize) -> Self {
        let item = outer.item.as_ref().map(|item| format!("{item}, level {level}"));
        Self { item, ..self }
    }

    /// The line where it begins.
    pub(crate) const fn line(&self) -> usize {
        self.line
    }

    /// The line of a key that is there.
    pub(crate) fn line_of(&self, key: &str) -> Option<usize> {
        self.lines.iter().find(|(name, _)| *name == key).map(|(_, line)| *line)
    }

    /// A fault at a key, or at the table when the key is not there.
    pub(crate) fn fault(&self, key: &str, wrong: Wrong) -> Fault {
        Fault { line: self.line_of(key).unwrap_or(self.line), item: self.item.clone(), wrong }
    }

    /// Faults every key that does not belong.
    pub(crate) fn only(&self, known: &[&'static str], faults: &mut Vec<Fault>) {
        for (name, line) in &self.lines {
            if !known.contains(name) {
                let wrong = Wrong::unknown_key(name, known);
                faults.push(Fault { line: *line, item: self.item.clone(), wrong });
            }
        }
    }

    fn get(&self, key: &str) -> Option<&'a DeValue<'a>> {
        self.table.get(key).map(Spanned::get_ref)
    }

    /// A value that must be there.
    pub(crate) fn required(&self, key: &'static str, faults: &mut Vec<Fault>) -> Option<&'a DeValue<'a>> {
        let value = self.get(key);
        if value.is_none() {
            faults.push(self.fault(key, Wrong::Missing { key }));
        }
        value
    }

    fn wanted<T>(
        &self,
        key: &'static str,
        wanted: &'static str,
        value: Option<T>,
        found: &DeValue<'_>,
        faults: &mut Vec<Fault>,
    ) -> Option<T> {
        if value.is_none() {
            faults.push(self.fault(key, Wrong::Kind { key, wanted, found: kind(found) }));
        }
        value
    }

    /// A text that must be there.
    pub(crate) fn text(&self, key: &'static str, faults: &mut Vec<Fault>) -> Option<String> {
        self.required(key, faults)?;
        self.optional_text(key, faults)
    }

    /// A text, if it is there.
    pub(crate) fn optional_text(&self, key: &'static str, faults: &mut Vec<Fault>) -> Option<String> {
        let value = self.get(key)?;
        self.wanted(key, "a text", value.as_str().map(str::to_owned), value, faults)
    }

    /// True or false, if it is there.
    pub(crate) fn optional_flag(&self, key: &'static str, faults: &mut Vec<Fault>) -> Option<bool> {
        let value = self.get(key)?;
        self.wanted(key, "true or false", value.as_bool(), value, faults)
    }

    /// A finite number that must be there.
    pub(crate) fn number(&self, key: &'static str, faults: &mut Vec<Fault>) -> Option<f64> {
        self.required(key, faults)?;
        self.optional_number(key, faults)
    }

    /// A finite number, if it is there.
    pub(crate) fn optional_number(&self, key: &'static str, faults: &mut Vec<Fault>) -> Option<f64> {
        let value = self.get(key)?;
        let number = self.wanted(key, "a number", number(value), value, faults)?;
        if !number.is_finite() {
            faults.push(self.fault(key, Wrong::NotFinite { key }));
            return None;
        }
        Some(number)
    }

    /// A whole number from 0 up that must be there.
    pub(crate) fn whole(&self, key: &'static str, faults: &mut Vec<Fault>) -> Option<usize> {
        let value = self.required(key, faults)?;
        self.wanted(key, "a whole number, 0 or more", whole(value), value, faults)
            .map(|number| usize::try_from(number).unwrap_or(usize::MAX))
    }

    /// A whole number from 0 up, if it is there.
    pub(crate) fn optional_small(&self, key: &'static str, faults: &mut Vec<Fault>) -> Option<u32> {
        let value = self.get(key)?;
        self.wanted(key, "a whole number, 0 or more", whole(value), value, faults)
    }

    /// A list of finite numbers that must be there.
    pub(crate) fn numbers(&self, key: &'static str, faults: &mut Vec<Fault>) -> Option<Vec<f64>> {
        let value = self.required(key, faults)?;
        let list =
            value.as_array().and_then(|list| list.iter().map(|one| number(one.get_ref())).collect::<Option<Vec<_>>>());
        let list = self.wanted(key, "a list of numbers", list, value, faults)?;
        if list.iter().any(|number| !number.is_finite()) {
            faults.push(self.fault(key, Wrong::NotFinite { key }));
            return None;
        }
        Some(list)
    }

    /// A list of texts; empty when it is not there.
    pub(crate) fn texts(&self, key: &'static str, faults: &mut Vec<Fault>) -> Vec<String> {
        let Some(value) = self.get(key) else { return Vec::new() };
        let list = value.as_array().and_then(|list| {
            list.iter().map(|one| one.get_ref().as_str().map(str::to_owned)).collect::<Option<Vec<_>>>()
        });
        self.wanted(key, "a list of texts", list, value, faults).unwrap_or_default()
    }

    /// A table that must be there.
    pub(crate) fn table(&self, key: &'static str, source: &Source<'_>, faults: &mut Vec<Fault>) -> Option<Fields<'a>> {
        let value = self.required(key, faults)?;
        let table = self.wanted(key, "a table", value.as_table(), value, faults)?;
        let line = self.line_of(key).unwrap_or(self.line);
        let item = self.item.clone().map_or_else(|| key.to_owned(), |item| format!("{item}, {key}"));
        Some(Fields::new(table, source, line, Some(item)))
    }

    /// The tables of a repeated key; none when it is not there.
    pub(crate) fn tables(&self, key: &'static str, source: &Source<'_>, faults: &mut Vec<Fault>) -> Vec<Fields<'a>> {
        let Some(value) = self.get(key) else { return Vec::new() };
        let tables = value.as_array().and_then(|list| {
            list.iter()
                .map(|one| one.get_ref().as_table().map(|table| (table, one.span().start)))
                .collect::<Option<Vec<_>>>()
        });
        let tables = self.wanted(key, "a repeated table", tables, value, faults).unwrap_or_default();
        tables.into_iter().map(|(table, at)| Fields::new(table, source, source.line(at), self.item.clone())).collect()
    }
}

fn number(value: &DeValue<'_>) -> Option<f64> {
    match value {
        DeValue::Float(float) => float.as_str().parse().ok(),
        DeValue::Integer(integer) => {
            i64::from_str_radix(integer.as_str(), integer.radix()).ok().map(|whole| whole as f64)
        }
        _ => None,
    }
}

fn whole(value: &DeValue<'_>) -> Option<u32> {
    match value {
        DeValue::Integer(integer) => u32::from_str_radix(integer.as_str(), integer.radix()).ok(),
        _ => None,
    }
}

/// What a value is, for a message.
fn kind(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "a text",
        DeValue::Integer(_) => "a whole number",
        DeValue::Float(_) => "a number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}
