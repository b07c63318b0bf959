//! Strict reading of a scale's TOML: every key asked for by name, everything wrong noted with its line.

use std::ops::RangeInclusive;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::load::scale::{KEYS, PULL, ScaleTable};
use crate::load::{ScaleFault, ScaleProblem};
use crate::words::{Evidence, did_you_mean, printable};

/// A scale file larger than this is another file.
const LARGEST: usize = 1 << 20;
/// The most rows a table may have.
const MOST_ROWS: usize = 1000;
/// Keys every table may carry beside its own.
const TAGS: [&str; 2] = ["evidence", "source"];

/// A scale's TOML, and what was found wrong so far.
pub(super) struct Reader<'t> {
    text: &'t str,
    root: DeTable<'t>,
    faults: Vec<ScaleFault>,
}

impl<'t> Reader<'t> {
    /// Reads the text and checks that it has exactly the tables and keys of a scale.
    pub(super) fn new(text: &'t str, format: &'static str) -> Result<Self, ScaleFault> {
        let whole = |line, problem| ScaleFault { line, place: String::new(), problem };
        if text.len() > LARGEST {
            return Err(whole(None, ScaleProblem::TooLarge { bytes: text.len() }));
        }
        let root = DeTable::parse(text).map_err(|error| {
            let line = error.span().map(|span| line_of(text, span.start));
            whole(line, ScaleProblem::NotToml { why: printable(error.message()) })
        })?;
        let root = root.into_inner();
        if let Some(DeValue::String(found)) = root.get("format").map(Spanned::get_ref)
            && found != format
        {
            let line = root.get("format").map(|value| line_of(text, value.span().start));
            return Err(whole(line, ScaleProblem::Format { found: printable(found), expected: format }));
        }
        let mut reader = Self { text, root, faults: Vec::new() };
        reader.check_format();
        reader.check_keys();
        Ok(reader)
    }

    /// A number within a range; anything else is noted and read as the range's lower end.
    pub(super) fn number(&mut self, table: &str, key: &str, range: RangeInclusive<f64>) -> f64 {
        let found = self.value(table, key).map(|value| number_of(value.get_ref()).ok_or_else(|| kind(value.get_ref())));
        let problem = match found {
            None => ScaleProblem::Missing,
            Some(Err(found)) => ScaleProblem::Kind { expected: "a number", found },
            Some(Ok(number)) if !range.contains(&number) => ScaleProblem::Value { allowed: between(&range) },
            Some(Ok(number)) => return number,
        };
        self.fault(table, key, problem);
        *range.start()
    }

    /// A whole number within a range; anything else is noted and read as 0.
    pub(super) fn whole(&mut self, table: &str, key: &str, range: RangeInclusive<f64>) -> u64 {
        let problem = match self.value(table, key).map(Spanned::get_ref) {
            None => ScaleProblem::Missing,
            Some(DeValue::Integer(digits)) => match u64::from_str_radix(digits.as_str(), digits.radix()) {
                Ok(number) if range.contains(&(number as f64)) => return number,
                _ => ScaleProblem::Value { allowed: between(&range) },
            },
            Some(other) => ScaleProblem::Kind { expected: "a whole number", found: kind(other) },
        };
        self.fault(table, key, problem);
        0
    }

    /// A list of numbers, each within a range; anything else is noted.
    pub(super) fn numbers(&mut self, table: &str, key: &str, range: RangeInclusive<f64>) -> Option<Vec<f64>> {
        let problem = match self.value(table, key).map(Spanned::get_ref) {
            None => ScaleProblem::Missing,
            Some(DeValue::Array(list)) if list.len() > MOST_ROWS => {
                ScaleProblem::Value { allowed: format!("a list of at most {MOST_ROWS} numbers") }
            }
            Some(DeValue::Array(list)) => {
                let numbers: Vec<Option<f64>> = list.iter().map(|value| number_of(value.get_ref())).collect();
                match numbers.iter().position(|number| !number.is_some_and(|number| range.contains(&number))) {
                    None => return Some(numbers.into_iter().flatten().collect()),
                    Some(row) => ScaleProblem::Value {
                        allowed: format!("a list of numbers {}, also in row {}", between(&range), row + 1),
                    },
                }
            }
            Some(other) => ScaleProblem::Kind { expected: "a list of numbers", found: kind(other) },
        };
        self.fault(table, key, problem);
        None
    }

    /// What was learned of single things, `[[pull]]` with `id` and `factor`; anything that is not so is noted. How many children
    /// and how far apart stands beside it for people.
    pub(super) fn pulls(&mut self, range: RangeInclusive<f64>) -> Vec<(String, f64)> {
        const BESIDE: [&str; 4] = ["low", "high", "children", "spread"];
        let (mut found, mut faults): (Vec<(String, f64)>, Vec<ScaleFault>) = (Vec::new(), Vec::new());
        let Some(list) = self.root.get(PULL) else { return found };
        let line = |span: std::ops::Range<usize>| Some(line_of(self.text, span.start));
        let mut note = |line, place: String, problem| faults.push(ScaleFault { line, place, problem });
        let whole = line(list.span());
        let tables: Vec<_> = match list.get_ref() {
            DeValue::Array(list) if list.len() <= MOST_ROWS => list.iter().collect(),
            other => {
                note(whole, PULL.to_owned(), ScaleProblem::Kind { expected: "a list of tables", found: kind(other) });
                Vec::new()
            }
        };
        for one in tables {
            let at = line(one.span());
            let DeValue::Table(entries) = one.get_ref() else {
                note(at, PULL.to_owned(), ScaleProblem::Kind { expected: "a table", found: kind(one.get_ref()) });
                continue;
            };
            for (key, value) in entries {
                let inner: &str = key.get_ref();
                let place = format!("{PULL}.{inner}");
                if BESIDE.contains(&inner) {
                    if number_of(value.get_ref()).is_none() {
                        let problem = ScaleProblem::Kind { expected: "a number", found: kind(value.get_ref()) };
                        note(line(value.span()), place, problem);
                    }
                } else if !["id", "factor"].contains(&inner) && !TAGS.contains(&inner) {
                    let hint = did_you_mean(inner, BESIDE.into_iter().chain(["id", "factor"]).chain(TAGS));
                    note(line(key.span()), place, ScaleProblem::Unknown { hint });
                }
            }
            let id = match entries.get("id").map(Spanned::get_ref) {
                Some(DeValue::String(id)) => Some(id.to_string()),
                Some(other) => {
                    note(at, format!("{PULL}.id"), ScaleProblem::Kind { expected: "a text", found: kind(other) });
                    None
                }
                None => {
                    note(at, format!("{PULL}.id"), ScaleProblem::Missing);
                    None
                }
            };
            let factor = match entries.get("factor").map(Spanned::get_ref) {
                None => Err(ScaleProblem::Missing),
                Some(value) => match number_of(value) {
                    None => Err(ScaleProblem::Kind { expected: "a number", found: kind(value) }),
                    Some(number) if range.contains(&number) => Ok(number),
                    Some(_) => Err(ScaleProblem::Value { allowed: between(&range) }),
                },
            };
            let twice = id.as_ref().is_some_and(|id| found.iter().any(|(known, _)| known == id));
            if twice {
                let allowed = "a thing that no other [[pull]] names".to_owned();
                note(at, format!("{PULL}.id"), ScaleProblem::Value { allowed });
            }
            match (id, factor) {
                (Some(id), Ok(factor)) => found.push((id, factor)),
                (_, Err(problem)) => note(at, format!("{PULL}.factor"), problem),
                (None, Ok(_)) => {}
            }
        }
        self.faults.append(&mut faults);
        found
    }

    /// The tables as they stand, each with evidence and source; a tag of another kind is noted.
    pub(super) fn tables(&mut self) -> Vec<ScaleTable> {
        KEYS.into_iter()
            .map(|(name, keys)| {
                let evidence = self.tag(name, "evidence").and_then(|word| {
                    let evidence = Evidence::from_word(&word);
                    if evidence.is_none() {
                        let words = Evidence::ALL.map(Evidence::word);
                        let allowed = format!("one of {}{}", words.join(", "), did_you_mean(&word, words));
                        self.fault(name, "evidence", ScaleProblem::Value { allowed });
                    }
                    evidence
                });
                let source = self.tag(name, "source");
                let entries = keys
                    .iter()
                    .filter_map(|key| Some(((*key).to_owned(), shown(self.value(name, key)?.get_ref()))))
                    .collect();
                ScaleTable { name, evidence, source, entries }
            })
            .collect()
    }

    /// Notes that something is wrong with a key.
    pub(super) fn fault(&mut self, table: &str, key: &str, problem: ScaleProblem) {
        if problem == ScaleProblem::Missing && !table.is_empty() {
            match self.root.get(table).map(|value| value.get_ref().is_table()) {
                Some(true) => {}
                Some(false) => return, // noted as no table
                None => return self.no_table(table),
            }
        }
        let place = if table.is_empty() { key.to_owned() } else { format!("{table}.{key}") };
        let line = match (self.value(table, key), self.header(table)) {
            (Some(value), _) => Some(line_of(self.text, value.span().start)),
            (None, header) => header,
        };
        self.faults.push(ScaleFault { line, place, problem });
    }

    /// What is wrong, in the order of the file.
    pub(super) fn finish(mut self) -> Vec<ScaleFault> {
        self.faults.sort_by_key(|fault| fault.line.unwrap_or(usize::MAX));
        self.faults
    }

    fn value(&self, table: &str, key: &str) -> Option<&Spanned<DeValue<'t>>> {
        if table.is_empty() { self.root.get(key) } else { self.root.get(table)?.get_ref().as_table()?.get(key) }
    }

    /// The line of a table's header.
    fn header(&self, table: &str) -> Option<usize> {
        let (key, _) = self.root.iter().find(|(key, _)| key.get_ref() == table)?;
        Some(line_of(self.text, key.span().start))
    }

    /// Notes once that a whole table is not there.
    fn no_table(&mut self, table: &str) {
        // Where it could be written: at the end.
        let line = Some(self.text.lines().count().max(1));
        let fault = ScaleFault { line, place: table.to_owned(), problem: ScaleProblem::Missing };
        if !self.faults.contains(&fault) {
            self.faults.push(fault);
        }
    }

    fn tag(&mut self, table: &str, key: &str) -> Option<String> {
        let found = match self.value(table, key)?.get_ref() {
            DeValue::String(text) => return Some(text.to_string()),
            other => kind(other),
        };
        self.fault(table, key, ScaleProblem::Kind { expected: "a text", found });
        None
    }

    fn check_format(&mut self) {
        let problem = match self.value("", "format").map(Spanned::get_ref) {
            Some(DeValue::String(_)) => return,
            Some(other) => ScaleProblem::Kind { expected: "a text", found: kind(other) },
            None => ScaleProblem::Missing,
        };
        self.fault("", "format", problem);
    }

    fn check_keys(&mut self) {
        let mut found = Vec::new();
        let top = KEYS.iter().map(|(name, _)| *name).chain(["format"]);
        for (key, value) in &self.root {
            let name: &str = key.get_ref();
            let line = Some(line_of(self.text, key.span().start));
            let mut note = |line, place: String, problem| found.push(ScaleFault { line, place, problem });
            let Some((_, keys)) = KEYS.iter().find(|(table, _)| *table == name) else {
                if name != "format" && name != PULL {
                    note(line, name.to_owned(), ScaleProblem::Unknown { hint: did_you_mean(name, top.clone()) });
                }
                continue;
            };
            let DeValue::Table(entries) = value.get_ref() else {
                let found = kind(value.get_ref());
                note(line, name.to_owned(), ScaleProblem::Kind { expected: "a table", found });
                continue;
            };
            for (key, _) in entries {
                let inner: &str = key.get_ref();
                if !keys.contains(&inner) && !TAGS.contains(&inner) {
                    let hint = did_you_mean(inner, keys.iter().copied().chain(TAGS));
                    let line = Some(line_of(self.text, key.span().start));
                    note(line, format!("{name}.{inner}"), ScaleProblem::Unknown { hint });
                }
            }
        }
        self.faults.append(&mut found);
    }
}

/// The line of a byte, counted from 1.
fn line_of(text: &str, byte: usize) -> usize {
    text.bytes().take(byte).filter(|sign| *sign == b'\n').count() + 1
}

/// A finite number, written with or without a decimal point.
fn number_of(value: &DeValue<'_>) -> Option<f64> {
    let number = match value {
        DeValue::Float(digits) => digits.as_str().parse().ok()?,
        DeValue::Integer(digits) => i64::from_str_radix(digits.as_str(), digits.radix()).ok()? as f64,
        _ => return None,
    };
    f64::is_finite(number).then_some(number)
}

fn between(range: &RangeInclusive<f64>) -> String {
    format!("between {} and {}", range.start(), range.end())
}

/// The kind of a value, as the end of a sentence.
fn kind(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "a text",
        DeValue::Integer(_) => "a whole number",
        DeValue::Float(_) if number_of(value).is_some() => "a number with a decimal point",
        DeValue::Float(_) => "a number that is not finite",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}

/// A number or a list of numbers, as written.
fn shown(value: &DeValue<'_>) -> String {
    match value {
        DeValue::Float(digits) => digits.as_str().to_owned(),
        DeValue::Integer(digits) => digits.to_string(),
        DeValue::Array(list) => {
            let parts: Vec<String> = list.iter().map(|part| shown(part.get_ref())).collect();
            parts.join(" ")
        }
        other => kind(other).to_owned(),
    }
}
