//! Making a case folder and looking into it.

use std::path::{Path, PathBuf};

use jiff::Timestamp;
use jiff::tz::TimeZone;

use crate::case::{Case, History, RecordName, check_alias, check_birth_month, doubt_alias, folders_in};
use crate::contract::{ChildBody, RECORD_FORMAT, RecordBody, RecordDoc, RecordEntryDoc, RecordsDoc, UnreadableDoc};

use super::gist::gist;
use super::refusal::Refusal;

/// Most cases that are offered by their folders, and most folders that are looked at for them.
const MOST_BESIDE: usize = 60;
const MOST_LOOKED_AT: usize = 200;

/// What a new case is told.
#[derive(Clone, Debug)]
pub struct NewCase {
    /// Never a real name.
    pub alias: String,
    /// `YYYY-MM`.
    pub born: Option<String>,
    /// What must stay in reach.
    pub keep: Vec<String>,
    /// `yes`, `no` or `not asked`.
    pub sound_sensitive: String,
    /// `yes`, `no` or `not asked`.
    pub hearing_checked: String,
    /// Sounds that are never used.
    pub excluded_sounds: Vec<String>,
    /// Somebody said that the alias is no name and no date of birth, although it looks like one.
    pub sure: bool,
}

/// What to ask about an alias before it is taken: that it looks like a full name or a date of birth.
pub fn alias_doubt(alias: &str) -> Option<String> {
    doubt_alias(alias).map(|doubt| doubt.to_string())
}

/// Makes a case folder with its child record.
pub fn new(folder: &Path, told: NewCase, now: Timestamp) -> Result<(Case, RecordName), Refusal> {
    check_alias(&told.alias).map_err(|fault| {
        Refusal::new("alias", fault.to_string())
            .hint("choose a plant or an animal: a name that only the people of the case know")
    })?;
    if let Some(doubt) = alias_doubt(&told.alias).filter(|_| !told.sure) {
        return Err(Refusal::new("alias", doubt)
            .hint("choose a plant or an animal; if it is nobody's name and no date, say so with --sure"));
    }
    if let Some(month) = &told.born {
        check_birth_month(month)
            .map_err(|fault| Refusal::new("birth-month", fault.to_string()).hint("give year and month only"))?;
    }
    let body = RecordBody::Child(ChildBody {
        alias: told.alias,
        born: told.born,
        keep: told.keep,
        sound_sensitive: told.sound_sensitive,
        hearing_checked: told.hearing_checked,
        excluded_sounds: told.excluded_sounds,
    });
    Ok(Case::create(folder, &record(body, &day(now), None, now))?)
}

/// Cases that lie beside that one, or where the program was started: their folders, by name, at most `MOST_BESIDE`.
pub fn beside(case: Option<&Path>) -> Vec<PathBuf> {
    let around = case.and_then(Path::parent).filter(|folder| !folder.as_os_str().is_empty());
    let found = folders_in(around.unwrap_or(Path::new("."))).unwrap_or_default();
    let others = found.into_iter().take(MOST_LOOKED_AT).filter(|folder| Case::open(folder).is_ok());
    others.map(|folder| folder.strip_prefix(".").map_or(folder.clone(), Path::to_owned)).take(MOST_BESIDE).collect()
}

/// A record of today's writing about `date`.
pub fn record(body: RecordBody, date: &str, by: Option<&str>, now: Timestamp) -> RecordDoc {
    RecordDoc {
        format: RECORD_FORMAT.to_owned(),
        date: date.to_owned(),
        written: now.to_string(),
        by: by.map(ToOwned::to_owned),
        replaces: None,
        body,
    }
}

/// The day of a moment, in UTC.
pub fn day(now: Timestamp) -> String {
    now.to_zoned_datetime(TimeZone::UTC).date().to_string()
}

/// The records of a case, oldest first.
pub fn list(folder: &Path) -> Result<RecordsDoc, Refusal> {
    let case = Case::open(folder)?;
    let found = case.read()?;
    let history = History::of(&found.records);
    Ok(RecordsDoc {
        alias: case.child()?.alias,
        records: found
            .records
            .iter()
            .map(|stored| RecordEntryDoc {
                id: stored.name.id.clone(),
                kind: stored.name.kind.clone(),
                date: stored.name.date.to_string(),
                replaces: stored.record.replaces.clone(),
                replaced_by: history.replaced_by(&stored.name.id).to_vec(),
                place: stored.record.body.place().map(ToOwned::to_owned),
                by: stored.record.by.clone(),
                says: gist(&stored.record.body),
            })
            .collect(),
        unreadable: found
            .left_out
            .iter()
            .map(|fault| UnreadableDoc { name: fault.file_name(), text: fault.to_string() })
            .collect(),
    })
}
