//! Keeping a case: adding and taking back records, checking, mending, merging, erasing.

use std::path::Path;

use jiff::Timestamp;

use crate::case::{self, CORRECTION, Case, CaseFault, Finding, History, RecordName, check_correct, impossible};
use crate::contract::{
    AddedDoc, CaseCheckDoc, CorrectionBody, ErasedDoc, FindingDoc, MergeDoc, RecordBody, RecordDoc, UnreadableDoc,
};
use crate::words::printable;

use super::cases::record;
use super::files::{Named, shown};
use super::handovers;
use super::refusal::Refusal;

/// What reading commands leave out of a case: damaged records, copies, strangers; one sentence each.
pub fn left_out(folder: &Path) -> Vec<String> {
    let read = Case::open(folder).and_then(|case| case.read());
    read.map(|found| found.left_out.iter().map(ToString::to_string).collect()).unwrap_or_default()
}

/// Checks a case, and with `repair` moves damaged files aside first.
pub fn check(folder: &Path, repair: bool, now: Timestamp) -> Result<CaseCheckDoc, Refusal> {
    let case = Case::open_damaged(folder)?;
    let first = case::check(&case, now)?;
    if first.records == 0
        && first.photos == 0
        && first.findings.iter().all(|one| matches!(one.code, "stray" | "foreign" | "no-child"))
    {
        return Err(CaseFault::NotACase(folder.to_owned()).into());
    }
    let mended = if repair { case::mend(&case, &first)? } else { case::Mended::default() };
    let mut checked = if mended.moved.is_empty() { first } else { case::check(&case, now)? };
    checked.notices.sort_by(|a, b| (&a.name, a.code).cmp(&(&b.name, b.code)));
    Ok(CaseCheckDoc {
        sound: checked.findings.is_empty(),
        records: checked.records,
        photos: checked.photos,
        findings: checked.findings.iter().map(finding).collect(),
        notices: checked.notices.iter().map(finding).collect(),
        set_aside: (!mended.moved.is_empty()).then(|| shown(&mended.aside)),
        moved: mended.moved,
        restored: mended.restored,
    })
}

fn finding(one: &Finding) -> FindingDoc {
    FindingDoc { name: one.name.clone(), code: one.code.to_owned(), text: one.text.clone() }
}

/// A fault with the file it is about.
pub(super) fn unreadable(fault: &CaseFault) -> UnreadableDoc {
    UnreadableDoc { name: fault.file_name(), text: fault.to_string() }
}

/// Adds to `into` every sound file of `from`.
pub fn merge(into: &Path, from: &Path, same_child: bool) -> Result<MergeDoc, Refusal> {
    merged(&Case::open(into)?, &Case::open(from)?, same_child)
}

/// Adds to `into` every file of a pack, sealed or not. A pack that fails changes nothing.
pub fn merge_pack(into: &Path, pack: &Path, passphrase: Option<&str>, same_child: bool) -> Result<MergeDoc, Refusal> {
    let into = Case::open(into)?;
    let opened = handovers::opened(pack, handovers::standing_above(into.folder()), passphrase)?;
    merged(&into, &opened.case()?, same_child)
}

fn merged(into: &Case, from: &Case, same_child: bool) -> Result<MergeDoc, Refusal> {
    let merged = case::merge(into, from, same_child)?;
    let history = History::of(&into.read()?.records);
    Ok(MergeDoc {
        added: merged.added.iter().map(ToString::to_string).collect(),
        already: merged.already,
        left_out: merged.left_out.iter().map(unreadable).collect(),
        conflicts: history.conflicts().to_vec(),
    })
}

/// What no command can reach once a case is erased.
const OUT_OF_REACH: [&str; 4] = [
    "backups of this computer, and what a file-sync service keeps of deleted files",
    "packs that were given to somebody, and cases they were merged into",
    "reports, exports and printed sheets",
    "what the disk itself still holds until it is overwritten",
];

/// Erases a case; without `yes` only says what that would be.
pub fn erase(folder: &Path, yes: bool) -> Result<ErasedDoc, Refusal> {
    let case = Case::open(folder)?;
    if !yes {
        let would = case::erase(&case, false)?;
        return Err(Refusal::new(
            "erase-needs-yes",
            format!("{} files of this case would be erased, and nothing brings them back", would.files),
        )
        .at(shown(folder))
        .hint("add --yes to erase it; `stillroom case pack` makes a sealed copy first"));
    }
    let erased = case::erase(&case, true)?;
    Ok(ErasedDoc {
        files: erased.files,
        folder_gone: erased.folder_gone,
        stays: erased.stays,
        out_of_reach: OUT_OF_REACH.iter().map(ToString::to_string).collect(),
    })
}

/// Who and what a new record is about, beside its text.
#[derive(Clone, Debug, Default)]
pub struct Adding {
    /// The record that it replaces.
    pub replaces: Option<String>,
    /// Who wrote it.
    pub by: Option<String>,
    /// The day it is about; left out: the text's, or today.
    pub on: Option<String>,
}

/// Kinds that a person may write by hand; audits, ladders, answers and readings come from their own commands.
const BY_HAND: [&str; 11] = [
    "child",
    "task",
    "place",
    "session",
    "decision",
    "preference",
    "screen-time",
    "note",
    "need",
    "day-plan",
    "possible",
];

/// Adds a record that somebody wrote: a table such as `[note]` with `text`, and `date` and `by` above it if wanted.
pub fn add(folder: &Path, text: &Named<String>, adding: &Adding, now: Timestamp) -> Result<AddedDoc, Refusal> {
    let case = Case::open(folder)?;
    let present = names(&case)?;
    let mut new = draft(text, adding, now)?;
    if let Some(id) = &mut new.replaces {
        *id = find(&present, id)?.id.clone();
    }
    let faults = impossible(&new);
    if let Some(fault) = faults.first() {
        return Err(refused(text, fault));
    }
    if let RecordBody::Task(task) = &new.body {
        check_correct(&task.correct).map_err(|fault| {
            Refusal::new("task-correct", fault.to_string())
                .at(text.name.clone())
                .hint("say in one sentence what a person in the room can see, such as \"puts each leaf on its shape\"")
        })?;
    }
    if let RecordBody::Need(need) = &new.body {
        super::needs::check(need).map_err(|refusal| refusal.at(text.name.clone()))?;
    }
    if let Some(id) = new.body.references().into_iter().find(|id| !present.iter().any(|name| name.id == **id)) {
        return Err(no_record(id));
    }
    store(&case, &new, &present)
}

/// Takes a record back without another in its place. It stays readable.
pub fn withdraw(folder: &Path, id: &str, why: &str, by: Option<&str>, now: Timestamp) -> Result<AddedDoc, Refusal> {
    let case = Case::open(folder)?;
    if why.trim().is_empty() {
        return Err(
            Refusal::new("why", "taking a record back takes a reason").hint("add --why \"…\" with what was wrong")
        );
    }
    let present = names(&case)?;
    let old = find(&present, id)?;
    let body = RecordBody::Correction(CorrectionBody { why: why.to_owned() });
    let mut new = record(body, &super::cases::day(now), by, now);
    new.replaces = Some(old.id.clone());
    store(&case, &new, &present)
}

fn names(case: &Case) -> Result<Vec<RecordName>, Refusal> {
    Ok(case.read()?.records.into_iter().map(|stored| stored.name).collect())
}

fn store(case: &Case, new: &RecordDoc, present: &[RecordName]) -> Result<AddedDoc, Refusal> {
    let kind = new.body.kind();
    if let Some(id) = &new.replaces {
        let old = find(present, id)?;
        if old.kind == "child" && kind == CORRECTION {
            return Err(Refusal::new("child-stays", "a child record cannot be taken back, only corrected")
                .hint("write the right one and add it with --replaces"));
        }
        if kind != CORRECTION && old.kind != kind {
            return Err(Refusal::new("other-kind", format!("a {kind} cannot replace {old}"))
                .hint("take that record back with `stillroom case withdraw`, then add the new one"));
        }
    }
    let name = case.add(new)?;
    Ok(AddedDoc {
        id: name.id.clone(),
        kind: name.kind.clone(),
        name: name.to_string(),
        replaces: new.replaces.clone(),
    })
}

/// The record of that id, or of the only id that begins so.
fn find<'a>(present: &'a [RecordName], id: &str) -> Result<&'a RecordName, Refusal> {
    let mut found = present.iter().filter(|name| id.len() >= 4 && name.id.starts_with(id));
    match (found.next(), found.next()) {
        (Some(one), None) => Ok(one),
        (Some(_), Some(_)) => {
            Err(Refusal::new("ambiguous-id", format!("`{}` begins several ids", printable(id)))
                .hint("give more of the id"))
        }
        (None, _) => Err(no_record(id)),
    }
}

fn no_record(id: &str) -> Refusal {
    Refusal::new("no-record", format!("there is no record `{}` in this case", printable(id)))
        .hint("`stillroom case list DIR` shows the ids")
}

fn refused(text: &Named<String>, why: &str) -> Refusal {
    Refusal::new("record-faults", format!("{}: {why}", text.name))
        .at(text.name.clone())
        .hint("docs/FORMATS.md has an example of every kind; nothing was stored")
}

/// A record from a text without format and time of writing, with an error for every key that is not understood.
fn draft(text: &Named<String>, adding: &Adding, now: Timestamp) -> Result<RecordDoc, Refusal> {
    let mut table: toml::Table =
        toml::from_str(&text.content).map_err(|error| refused(text, error.to_string().trim_end()))?;
    let kinds: Vec<&str> = BY_HAND.into_iter().filter(|kind| table.contains_key(*kind)).collect();
    let [kind] = kinds[..] else {
        let wrong = table.keys().find(|key| !["date", "by", "format", "written"].contains(&key.as_str()));
        let meant = wrong.map(|key| crate::words::did_you_mean(key, BY_HAND)).unwrap_or_default();
        return Err(refused(text, &format!("it needs one table of these: [{}]{meant}", BY_HAND.join("], ["))));
    };
    let date = adding.on.clone().or_else(|| table.get("date").and_then(|date| date.as_str().map(ToOwned::to_owned)));
    let date = date.unwrap_or_else(|| super::cases::day(now));
    super::reviews::read_date(&date)?;
    let by = adding.by.clone().or_else(|| table.get("by").and_then(|by| by.as_str().map(ToOwned::to_owned)));
    table.insert("format".to_owned(), crate::contract::RECORD_FORMAT.into());
    table.insert("date".to_owned(), date.into());
    table.insert("written".to_owned(), now.to_string().into());
    let read: RecordDoc = table
        .clone()
        .try_into()
        .map_err(|error: toml::de::Error| refused(text, &format!("[{kind}]: {}", error.message())))?;
    let known = toml::Table::try_from(&read).unwrap_or_default();
    if let Some(key) = unknown(&table, &known) {
        return Err(refused(text, &format!("[{kind}] has no `{}`", printable(&key))));
    }
    Ok(RecordDoc { by, replaces: adding.replaces.clone(), ..read })
}

/// The first key of `given` that `known` does not have. What is left out of `known` because it is empty is no fault.
fn unknown(given: &toml::Table, known: &toml::Table) -> Option<String> {
    given.iter().find_map(|(key, value)| match (value, known.get(key)) {
        (toml::Value::Table(given), Some(toml::Value::Table(known))) => unknown(given, known),
        (toml::Value::Array(items), Some(toml::Value::Array(others))) => {
            items.iter().zip(others).find_map(|(item, other)| match (item, other) {
                (toml::Value::Table(given), toml::Value::Table(known)) => unknown(given, known),
                _ => None,
            })
        }
        (_, Some(_)) => None,
        (toml::Value::Array(items), None) if items.is_empty() => None,
        (toml::Value::String(text), None) if text.is_empty() => None,
        (_, None) => Some(key.clone()),
    })
}
