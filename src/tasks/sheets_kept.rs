//! Filled sheets into a case: what their circles mean becomes the same records that the screens make, and a record of the sheet
//! beside them. Nothing is stored while anything is doubtful, and everything is checked before the first record.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use jiff::civil::Date;
use jiff::{Timestamp, ToSpan};

use crate::case::Case;
use crate::checklist::{Answer, Answers, Unit, written_answers};
use crate::contract::{ObservationBody, RecordBody, SheetBody};
use crate::paper::{Field, Filled, Kind};
use crate::practice::{DateForm, Details, Session};

use super::audits::{self, AuditRequest};
use super::cases::record;
use super::files::Named;
use super::papers::monday_of;
use super::refusal::Refusal;
use super::samples::{self, AT_THE_TASK, Sampled};
use super::screens::{self, Entry};
use super::sessions::{self, Likely, Taking};
use super::sheet_words::{day, diary_row, minutes, moments, tries};
use super::sheets::{ReadSheet, digits};
use super::sheets_before::{read_before, records, source};

/// Minutes for rearranging of an audit, as everywhere.
const MINUTES: f64 = 15.0;
/// Seconds between the moments of the printed sheet.
const INTERVAL: u32 = 15;

/// How sheets are stored.
#[derive(Clone, Debug)]
pub struct Keeping<'a> {
    /// The case.
    pub case: &'a Path,
    /// A day of the week of sheets that say none.
    pub week: Option<Date>,
    /// The rung of sheets that say none, or of sittings on another one.
    pub rung: Option<u32>,
    /// The place of a checklist.
    pub place: Option<String>,
    /// Who filled them in.
    pub by: Option<String>,
    /// Today, where the user is.
    pub today: Date,
    /// Now.
    pub now: Timestamp,
}

/// What a sheet becomes.
enum Made {
    Sittings(Vec<(usize, Session)>),
    Series(Vec<(usize, Date, ObservationBody)>),
    Minutes(Vec<(usize, Entry)>),
    Audit(Box<audits::AuditResult>),
    /// A later page of a checklist whose first page holds the audit.
    Page,
}

/// Stores what was read and is sure; gives the ids. A sheet that the case holds already is left out.
pub fn store(sheets: &[ReadSheet], keeping: &Keeping<'_>) -> Result<Vec<String>, Refusal> {
    let mut once = BTreeSet::new();
    let new: Vec<&ReadSheet> =
        sheets.iter().filter(|sheet| !sheet.already && once.insert(digits(sheet.sheet.label.number))).collect();
    if let Some(sheet) = new.iter().find(|sheet| sheet.doubtful().next().is_some()) {
        return Err(Refusal::new(
            "doubtful",
            format!("sheet {}: {} circles are not sure", sheet.number(), sheet.doubtful().count()),
        )
        .at(sheet.file.clone())
        .hint("look at their pictures and say yes or no: --mark NAME=yes, or read the sheet at a terminal or in the local page; nothing was stored"));
    }
    let likely = sessions::likely(keeping.case, keeping.today)?;
    let all: Vec<&ReadSheet> = sheets.iter().collect();
    let made = new.iter().map(|sheet| made(sheet, &all, &likely, keeping)).collect::<Result<Vec<_>, _>>()?;
    let mut stored = Vec::new();
    for (sheet, made) in new.iter().zip(made) {
        let records = kept(sheet, made, keeping)?;
        let body = body(sheet, records.clone());
        let new = record(RecordBody::Sheet(body), &keeping.today.to_string(), keeping.by.as_deref(), keeping.now);
        stored.extend(records);
        stored.push(Case::open(keeping.case)?.add(&new)?.id);
    }
    Ok(stored)
}

fn made(sheet: &ReadSheet, all: &[&ReadSheet], likely: &Likely, keeping: &Keeping<'_>) -> Result<Made, Refusal> {
    match sheet.kind() {
        Kind::Sittings => sittings(sheet, likely, keeping).map(Made::Sittings),
        Kind::Sampling => series(sheet, likely, keeping).map(Made::Series),
        Kind::Screens => diary(sheet, keeping).map(Made::Minutes),
        Kind::Checklist if sheet.sheet.label.page > 0 => {
            let first = first_number(sheet);
            let there = all.iter().any(|other| {
                other.kind() == Kind::Checklist && other.sheet.label.page == 0 && first_number(other) == first
            });
            // Its audit rests on all pages, so a first page that is in the case needs no other photo.
            let case = Case::open(keeping.case)?;
            if there || !read_before(&case, &digits(first), Kind::Checklist)?.is_empty() {
                Ok(Made::Page)
            } else {
                Err(page_missing(sheet, 1))
            }
        }
        Kind::Checklist => audit(sheet, all, likely, keeping).map(|result| Made::Audit(Box::new(result))),
    }
}

/// Stores what a sheet became.
fn kept(sheet: &ReadSheet, made: Made, keeping: &Keeping<'_>) -> Result<Vec<String>, Refusal> {
    let by = keeping.by.as_deref();
    let case = Case::open(keeping.case)?;
    let source = source(&sheet.sheet.label);
    // A run that was cut short stored some rows and not the sheet's own record.
    let there = records(&case, &sheet.sheet.label)?;
    let from = |row: usize| Some(format!("{source}:{row}"));
    let mut ids: Vec<String> =
        there.iter().filter(|(row, _)| !row_before(sheet, **row)).map(|(_, id)| id.clone()).collect();
    match made {
        Made::Sittings(mut rows) => {
            rows.retain(|(row, _)| !there.contains_key(row));
            let taking = Taking { dates: DateForm::Iso, dry_run: false, today: keeping.today, now: keeping.now };
            let done = sessions::of_sheet(keeping.case, &source, rows, &taking)?;
            ids.extend(done.sessions.into_iter().filter_map(|line| line.id));
        }
        Made::Series(series) => {
            for (row, date, body) in series.into_iter().filter(|(row, ..)| !there.contains_key(row)) {
                let body = ObservationBody { read_from: from(row), ..body };
                ids.extend(samples::finish(Some(keeping.case), body, Sampled::Momentary, by, date, keeping.now)?.id);
            }
        }
        Made::Minutes(entries) => {
            for (row, entry) in entries.into_iter().filter(|(row, _)| !there.contains_key(row)) {
                let entry = Entry { read_from: from(row), ..entry };
                ids.extend(screens::store(keeping.case, &entry, by, keeping.today, keeping.now)?.id);
            }
        }
        Made::Audit(mut result) if there.is_empty() => {
            result.body.read_from = from(1);
            ids.push(audits::store(&case, &result, keeping.now)?);
        }
        Made::Audit(_) | Made::Page => {}
    }
    Ok(ids)
}

/// Whether the sheet's own record holds that row, counted from 1, already.
fn row_before(sheet: &ReadSheet, row: usize) -> bool {
    sheet.before.iter().any(|before| usize::from(*before) + 1 == row)
}

/// The record of the sheet itself.
fn body(sheet: &ReadSheet, records: Vec<String>) -> SheetBody {
    let label = &sheet.sheet.label;
    SheetBody {
        number: digits(label.number),
        kind: label.kind.name().to_owned(),
        language: String::from_utf8_lossy(&label.language).into_owned(),
        layout: label.layout.into(),
        page: (label.kind == Kind::Checklist).then(|| u32::from(label.page) + 1),
        filled: sheet.spots.iter().filter(|spot| spot.filled == Filled::Yes).map(|spot| spot.circle.name()).collect(),
        asked: sheet.asked.clone(),
        corrected: sheet.corrected.clone(),
        records,
    }
}

/// The day of a row of the week; refused where it has not come yet.
fn date_of(sheet: &ReadSheet, weekday: usize, keeping: &Keeping<'_>) -> Result<Date, Refusal> {
    let monday = sheet.monday().or(keeping.week.map(monday_of)).ok_or_else(|| {
        Refusal::new("week-missing", format!("sheet {} does not say its week", sheet.number()))
            .at(sheet.file.clone())
            .hint("give a day of that week: --week 2026-11-24")
    })?;
    let date = monday.checked_add(i64::try_from(weekday).unwrap_or(0).days()).unwrap_or(monday);
    if date > keeping.today {
        return Err(Refusal::new(
            "date",
            format!("sheet {}: {} {date} has not come yet; today is {}", sheet.number(), day(weekday), keeping.today),
        )
        .at(sheet.file.clone())
        .hint("check which week the sheet was used in; nothing was stored"));
    }
    Ok(date)
}

fn sittings(sheet: &ReadSheet, likely: &Likely, keeping: &Keeping<'_>) -> Result<Vec<(usize, Session)>, Refusal> {
    let rung = keeping.rung.or(sheet.sheet.label.about.map(u32::from)).ok_or_else(|| {
        Refusal::new("rung-missing", format!("sheet {} does not say its rung", sheet.number()))
            .at(sheet.file.clone())
            .hint("give it: --rung 2")
    })?;
    let filled = sheet.filled();
    let mut rows = Vec::new();
    for row in (0..7u8).filter(|row| !sheet.before.contains(row)) {
        let [independent, prompted, errors] = tries(sheet, row);
        let opportunities = independent + prompted + errors;
        if opportunities == 0 {
            continue;
        }
        let date = date_of(sheet, row.into(), keeping)?;
        let said = |field: Field| {
            let options = filled.get(&(row, field)).map(Vec::as_slice).unwrap_or_default();
            options.first().map(|option| *option == 0).or_else(|| {
                let of = sheet.spots.iter().find(|spot| (spot.circle.row, spot.circle.field) == (row, field));
                of.filter(|spot| sheet.said_no(&spot.circle)).map(|_| false)
            })
        };
        let need = |field: Field, what: &str| {
            said(field).ok_or_else(|| {
                Refusal::new(
                    "not-said",
                    format!("sheet {}: {}: {what} is not filled in", sheet.number(), day(row.into())),
                )
                .at(sheet.file.clone())
                .hint("how the child was is never assumed: say it with --mark, or at a terminal; nothing was stored")
            })
        };
        rows.push((
            usize::from(row) + 1,
            Session {
                date,
                rung,
                opportunities,
                independent,
                prompted,
                errors,
                distress: need(Field::Upset, "upset or not")?,
                assent: need(Field::Came, "willing or not")?,
                distractor_on: rung > 0 && need(Field::On, "whether the distraction was on")?,
                minutes: filled.get(&(row, Field::Minutes)).and_then(|options| options.first()).map(|m| u32::from(*m)),
                note: format!("from sheet {}", sheet.number()),
                task: likely.task.clone(),
                place: keeping.place.clone().or_else(|| likely.place.clone()),
                by: keeping.by.clone(),
                exemplar: None,
                after: false,
                further: Vec::new(),
                details: Details::default(),
            },
        ));
    }
    Ok(rows)
}

fn series(
    sheet: &ReadSheet,
    likely: &Likely,
    keeping: &Keeping<'_>,
) -> Result<Vec<(usize, Date, ObservationBody)>, Refusal> {
    let filled = sheet.filled();
    let mut found = Vec::new();
    for row in (0..8u8).filter(|row| !sheet.before.contains(row)) {
        let marks = moments(sheet, row);
        if marks.is_empty() {
            continue;
        }
        let weekday = filled.get(&(row, Field::Day)).and_then(|options| options.first()).ok_or_else(|| {
            Refusal::new("not-said", format!("sheet {}: series {} does not say its day", sheet.number(), row + 1))
                .at(sheet.file.clone())
                .hint("say it with --mark, or at a terminal; nothing was stored")
        })?;
        let body = ObservationBody {
            method: Sampled::Momentary.word().to_owned(),
            what: AT_THE_TASK.to_owned(),
            interval_s: INTERVAL,
            marks,
            task: likely.task.clone(),
            place: keeping.place.clone().or_else(|| likely.place.clone()),
            read_from: None,
        };
        found.push((usize::from(row) + 1, date_of(sheet, usize::from(*weekday), keeping)?, body));
    }
    Ok(found)
}

fn diary(sheet: &ReadSheet, keeping: &Keeping<'_>) -> Result<Vec<(usize, Entry)>, Refusal> {
    let filled = sheet.filled();
    let mut entries = Vec::new();
    for row in (0..21u8).filter(|row| !sheet.before.contains(row)) {
        let sum = minutes(sheet, row);
        if sum == 0 {
            continue;
        }
        let with = match filled.get(&(row, Field::Who)).and_then(|options| options.first()) {
            Some(1) => Some("adult".to_owned()),
            Some(2) => Some("child".to_owned()),
            _ => None,
        };
        let on = date_of(sheet, diary_row(row).0, keeping)?;
        let repeat = filled.contains_key(&(row, Field::Again));
        let entry = Entry { minutes: sum, what: None, with, repeat, on, read_from: None };
        entries.push((usize::from(row) + 1, entry));
    }
    Ok(entries)
}

/// The number of a checklist's first page.
fn first_number(sheet: &ReadSheet) -> u32 {
    (sheet.sheet.label.number + 1_000_000 - u32::from(sheet.sheet.label.page)) % 1_000_000
}

fn page_missing(sheet: &ReadSheet, page: u8) -> Refusal {
    Refusal::new("page-missing", format!("sheet {}: page {page} of this checklist is not here", sheet.number()))
        .at(sheet.file.clone())
        .hint("give the photos of all its pages together; nothing was stored")
}

/// The audit of a checklist's pages.
fn audit(
    first: &ReadSheet,
    all: &[&ReadSheet],
    likely: &Likely,
    keeping: &Keeping<'_>,
) -> Result<audits::AuditResult, Refusal> {
    let Some(list) = first.list.clone() else { return Err(page_missing(first, 1)) };
    let place = keeping.place.clone().or_else(|| likely.place.clone()).ok_or_else(|| {
        Refusal::new("place", format!("sheet {} does not say its place", first.number()))
            .at(first.file.clone())
            .hint("name it: --place \"window table\"")
    })?;
    let mut filled: BTreeMap<(u8, Field), Vec<u16>> = BTreeMap::new();
    let mut rows = BTreeSet::new();
    for sheet in
        all.iter().filter(|sheet| sheet.kind() == Kind::Checklist && first_number(sheet) == first_number(first))
    {
        rows.extend(sheet.sheet.circles.iter().map(|circle| circle.row));
        filled.extend(sheet.filled());
    }
    if let Some(row) = (0u8..).take(list.list.items.len()).find(|row| !rows.contains(row)) {
        let pages = all.iter().filter(|sheet| first_number(sheet) == first_number(first)).count();
        debug_assert!(row > 0);
        return Err(page_missing(first, u8::try_from(pages + 1).unwrap_or(u8::MAX)));
    }
    let keep = Case::open(keeping.case)?.child()?.keep;
    let mut answers = Answers {
        checklist: list.list.id.clone(),
        place: place.clone(),
        date: keeping.today,
        by: keeping.by.clone().unwrap_or_else(|| "parent".to_owned()),
        keep: keep.clone(),
        answers: BTreeMap::new(),
        reasons: BTreeMap::new(),
    };
    for (row, item) in (0u8..).zip(&list.list.items) {
        let one = |field: Field| filled.get(&(row, field)).and_then(|options| options.first()).copied();
        let answer = match (&item.unit, one(Field::Answer)) {
            (_, Some(Field::UNSEEN)) => Some(Answer::NotSeen),
            (Unit::Yes { .. }, Some(option)) => Some(Answer::Yes(option == 0)),
            (Unit::Choice(options), Some(option)) => {
                options.get(usize::from(option)).map(|option| Answer::Option(option.key.clone()))
            }
            (Unit::Count { .. }, _) => match (one(Field::Ones), one(Field::Tens)) {
                (None, None) => None,
                (ones, tens) => Some(Answer::Count(u32::from(ones.unwrap_or(0) + tens.unwrap_or(0)))),
            },
            _ => None,
        };
        if let Some(answer) = answer {
            answers.answers.insert(item.id.clone(), answer);
        }
    }
    let text = written_answers(&list.list, &answers);
    audits::audit(AuditRequest {
        place: Some(place),
        checklist: list,
        answers: Named { name: format!("sheet {}", first.number()), content: text },
        keep,
        sound: None,
        child_audible: false,
        photos: Vec::new(),
        kept_photos: Vec::new(),
        scale: None,
        minutes: MINUTES,
        sensitivity: None,
        recheck: None,
    })
}
