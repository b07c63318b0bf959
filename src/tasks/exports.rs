//! A case as tables for a clinic's own statistics: CSV and JSON of the same figures.
//!
//! Anonymous tables keep what a statistic needs (days apart, rungs, counts, loads) and nothing that says who or where:
//! dates are moved by a number of days that is the same within a case and cannot be told from the tables, places and
//! tasks are numbered, and everything somebody typed is left out.

use std::collections::BTreeMap;
use std::path::Path;

use jiff::ToSpan;
use jiff::civil::Date;
use serde_json::{Map, Value};

use crate::case::{Case, Stored, secret_of};
use crate::contract::{ExportDoc, ExportedDoc, RecordBody, RecordDoc, json};

use super::files::{self, shown};
use super::refusal::Refusal;

/// The dates of an anonymous export lie 1 to this many days earlier: four years, so that neither season nor year is kept.
const MOST_DAYS: u64 = 1461;

/// One table.
struct Table {
    name: &'static str,
    columns: Vec<&'static str>,
    rows: Vec<Vec<Value>>,
}

/// What makes an export anonymous.
struct Mask {
    /// Days that dates are moved into the past; `None` for a plain export.
    days: Option<i64>,
    places: BTreeMap<String, usize>,
    tasks: BTreeMap<String, usize>,
    people: BTreeMap<String, usize>,
}

/// Columns that hold what somebody typed; an anonymous table does not have them.
const TYPED: [&str; 6] = ["id", "note", "exemplar", "what", "method", "liked"];

/// Writes the tables of a case into a new folder.
pub fn export(folder: &Path, out: &Path, anonymous: bool) -> Result<ExportedDoc, Refusal> {
    let case = Case::open(folder)?;
    let records = case.standing(|_| true)?.records;
    let alias = case.child()?.alias;
    let mut mask = Mask {
        days: anonymous.then(|| offset(&case)).transpose()?,
        places: BTreeMap::new(),
        tasks: BTreeMap::new(),
        people: BTreeMap::new(),
    };
    let tables = tables(&records, &mut mask)?;
    files::fresh_folder(out)?;
    let mut names = Vec::new();
    let mut all = Map::new();
    for table in &tables {
        let name = format!("{}.csv", table.name);
        files::write(&out.join(&name), &csv(table)?)?;
        names.push(name);
        all.insert(table.name.replace('-', "_"), rows(table));
    }
    let doc = ExportDoc { alias: (!anonymous).then_some(alias), anonymous, tables: all };
    files::write(&out.join("case.json"), json(&doc).as_bytes())?;
    names.push("case.json".to_owned());
    Ok(ExportedDoc { folder: shown(out), files: names, anonymous })
}

/// How many days the dates of this case are moved. The same for every export of a case, so that a clinic can put two
/// together; it comes from bytes that no table holds.
fn offset(case: &Case) -> Result<i64, Refusal> {
    let secret = secret_of(case)?;
    Ok(i64::try_from(secret % MOST_DAYS).unwrap_or(0) + 1)
}

impl Mask {
    fn date(&self, date: Date) -> Result<Value, Refusal> {
        let moved = match self.days {
            Some(days) => date.checked_sub(days.days()).map_err(|error| Refusal::new("date", error.to_string()))?,
            None => date,
        };
        Ok(Value::from(moved.to_string()))
    }

    fn name(days: Option<i64>, known: &mut BTreeMap<String, usize>, word: &str, name: Option<&str>) -> Value {
        let Some(name) = name else { return Value::Null };
        if days.is_none() {
            return Value::from(name);
        }
        let next = known.len() + 1;
        Value::from(format!("{word}-{}", known.entry(name.to_owned()).or_insert(next)))
    }

    fn place(&mut self, name: Option<&str>) -> Value {
        Self::name(self.days, &mut self.places, "place", name)
    }

    fn task(&mut self, name: Option<&str>) -> Value {
        Self::name(self.days, &mut self.tasks, "task", name)
    }

    fn person(&mut self, name: Option<&str>) -> Value {
        Self::name(self.days, &mut self.people, "person", name)
    }
}

fn tables(records: &[Stored], mask: &mut Mask) -> Result<Vec<Table>, Refusal> {
    let mut tables = vec![
        Table {
            name: "sessions",
            columns: vec![
                "id",
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
                "after",
                "task",
                "place",
                "by",
                "exemplar",
                "note",
            ],
            rows: Vec::new(),
        },
        Table {
            name: "audits",
            columns: vec![
                "id",
                "date",
                "place",
                "by",
                "checklist",
                "pull",
                "pull_seen",
                "pull_heard",
                "pull_company",
                "load",
                "load_low",
                "load_high",
                "grade",
            ],
            rows: Vec::new(),
        },
        Table { name: "shares", columns: vec!["id", "date", "place", "item", "channel", "share"], rows: Vec::new() },
        Table {
            name: "decisions",
            columns: vec!["id", "date", "rung", "decision", "signed", "lifts_pause", "task", "place", "by"],
            rows: Vec::new(),
        },
        Table {
            name: "ladders",
            columns: vec!["id", "date", "place", "task", "signed", "rung", "distractor", "level", "load", "step"],
            rows: Vec::new(),
        },
        Table {
            name: "screen-time",
            columns: vec!["id", "date", "minutes", "together", "place", "by", "what"],
            rows: Vec::new(),
        },
        Table {
            name: "preferences",
            columns: vec!["id", "date", "method", "rank", "liked", "offered", "chosen"],
            rows: Vec::new(),
        },
        Table {
            name: "forecasts",
            columns: vec![
                "id",
                "date",
                "rung",
                "opportunities",
                "mean",
                "low",
                "high",
                "sessions",
                "last_opportunities",
                "last_independent",
                "task",
                "place",
            ],
            rows: Vec::new(),
        },
        Table { name: "notes", columns: vec!["id", "date", "place", "by", "note"], rows: Vec::new() },
        Table {
            name: "observations",
            columns: vec![
                "id",
                "date",
                "task",
                "place",
                "by",
                "sampling",
                "interval_s",
                "intervals",
                "seen",
                "missed",
                "what",
            ],
            rows: Vec::new(),
        },
    ];
    for stored in records {
        for (table, row) in rows_of(stored, mask)? {
            tables[table].rows.push(row);
        }
    }
    if mask.days.is_some() {
        tables.retain(|table| table.name != "notes");
        for table in &mut tables {
            drop_typed(table);
        }
    }
    Ok(tables)
}

/// Takes the columns out that hold what somebody typed.
fn drop_typed(table: &mut Table) {
    let keep: Vec<bool> = table.columns.iter().map(|column| !TYPED.contains(column)).collect();
    for row in &mut table.rows {
        let mut at = keep.iter();
        row.retain(|_| at.next().copied().unwrap_or(false));
    }
    table.columns.retain(|column| !TYPED.contains(column));
}

/// The rows that a record gives, each with its table.
fn rows_of(stored: &Stored, mask: &mut Mask) -> Result<Vec<(usize, Vec<Value>)>, Refusal> {
    let RecordDoc { body, by, .. } = &stored.record;
    let id = Value::from(stored.name.id.clone());
    let date = mask.date(stored.name.date)?;
    let by = mask.person(by.as_deref());
    let place = mask.place(body.place());
    let rows = match body {
        RecordBody::Session(body) => vec![(
            0,
            vec![
                id,
                date,
                body.rung.into(),
                body.opportunities.into(),
                body.independent.into(),
                body.prompted.into(),
                body.errors.into(),
                body.distress.into(),
                body.assent.into(),
                body.distractor_on.into(),
                body.minutes.into(),
                body.after.into(),
                mask.task(body.task.as_deref()),
                place,
                by,
                body.exemplar.clone().into(),
                body.note.clone().into(),
            ],
        )],
        RecordBody::Audit(body) => {
            let figures = &body.figures;
            // A checklist of one's own may be named after a child or a home.
            let shipped = crate::checklist::shipped().iter().any(|(id, _)| *id == figures.checklist);
            let checklist = if mask.days.is_some() && !shipped { "own" } else { figures.checklist.as_str() };
            let mut rows = vec![(
                1,
                vec![
                    id.clone(),
                    date.clone(),
                    place.clone(),
                    by,
                    checklist.into(),
                    figures.pull.into(),
                    figures.channels.seen.pull.into(),
                    figures.channels.heard.pull.into(),
                    figures.channels.company.pull.into(),
                    figures.load.into(),
                    figures.load_low.into(),
                    figures.load_high.into(),
                    figures.grade.clone().into(),
                ],
            )];
            for share in &figures.shares {
                let item = if mask.days.is_some() && !shipped { Value::Null } else { share.id.clone().into() };
                let row = vec![
                    id.clone(),
                    date.clone(),
                    place.clone(),
                    item,
                    share.channel.clone().into(),
                    share.share.into(),
                ];
                rows.push((2, row));
            }
            rows
        }
        RecordBody::Decision(body) => {
            let task = mask.task(body.task.as_deref());
            let signed = body.signed_by.is_some();
            let word = body.decision.clone();
            vec![(
                3,
                vec![id, date, body.rung.into(), word.into(), signed.into(), body.lifts_pause.into(), task, place, by],
            )]
        }
        RecordBody::Ladder(body) => {
            let task = mask.task(body.task.as_deref());
            let signed = body.signed_by.is_some();
            let anonymous = mask.days.is_some();
            let row = |rung: &crate::contract::RungDoc| {
                let distractor = if anonymous { Value::Null } else { rung.distractor.clone().into() };
                let level = rung.level.clone();
                let numbers = [rung.number.into(), distractor, level, rung.load.into(), rung.step.into()];
                let mut row = vec![id.clone(), date.clone(), place.clone(), task.clone(), signed.into()];
                row.extend(numbers);
                (4, row)
            };
            body.plan.rungs.iter().map(row).collect()
        }
        RecordBody::ScreenTime(body) => {
            vec![(5, vec![id, date, body.minutes.into(), body.together.into(), place, by, body.what.clone().into()])]
        }
        RecordBody::Preference(body) => {
            let mut items: Vec<_> = body.items.iter().collect();
            items.sort_by_key(|item| std::cmp::Reverse(item.chosen));
            let ranked = items.into_iter().zip(1u32..);
            ranked
                .map(|(item, rank)| {
                    let method = body.method.clone().into();
                    let liked = item.name.clone().into();
                    let counts = [rank.into(), liked, item.offered.into(), item.chosen.into()];
                    let mut row = vec![id.clone(), date.clone(), method];
                    row.extend(counts);
                    (6, row)
                })
                .collect()
        }
        RecordBody::Forecast(body) => vec![(
            7,
            vec![
                id,
                date,
                body.rung.into(),
                body.opportunities.into(),
                body.mean.into(),
                body.low.into(),
                body.high.into(),
                body.sessions.into(),
                body.last_opportunities.into(),
                body.last_independent.into(),
                mask.task(body.task.as_deref()),
                place,
            ],
        )],
        RecordBody::Note(body) => vec![(8, vec![id, date, place, by, body.text.clone().into()])],
        RecordBody::Observation(body) => {
            let marked = |mark| Value::from(body.marks.chars().filter(|one| *one == mark).count());
            let mut row = vec![id, date, mask.task(body.task.as_deref()), place, by, body.method.clone().into()];
            let intervals = Value::from(body.marks.chars().count());
            row.extend([body.interval_s.into(), intervals, marked('y'), marked('-'), body.what.clone().into()]);
            vec![(9, row)]
        }
        _ => Vec::new(),
    };
    Ok(rows)
}

/// A table's rows as objects.
fn rows(table: &Table) -> Value {
    let object = |row: &Vec<Value>| {
        let cells = table.columns.iter().zip(row).map(|(column, value)| ((*column).to_owned(), value.clone()));
        Value::Object(cells.collect())
    };
    table.rows.iter().map(object).collect()
}

/// A table as CSV. A cell that a spreadsheet would take for a formula gets an apostrophe before it.
fn csv(table: &Table) -> Result<Vec<u8>, Refusal> {
    let fault = |error: csv::Error| Refusal::new("cannot-write", error.to_string());
    let mut out = csv::Writer::from_writer(Vec::new());
    out.write_record(&table.columns).map_err(fault)?;
    for row in &table.rows {
        out.write_record(row.iter().map(cell)).map_err(fault)?;
    }
    out.into_inner().map_err(|error| Refusal::new("cannot-write", error.to_string()))
}

fn cell(value: &Value) -> String {
    match value {
        Value::Null => String::new(),
        Value::String(text) if text.starts_with(['=', '+', '-', '@', '\t', '\r']) => format!("'{text}"),
        Value::String(text) => text.clone(),
        other => other.to_string(),
    }
}
