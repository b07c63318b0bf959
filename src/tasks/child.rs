//! The child's record written anew: a newer record that names the one it replaces; the older one stays readable.

use std::path::Path;

use jiff::Timestamp;

use crate::case::{Case, check_alias, check_birth_month};
use crate::contract::{ChildBody, RecordBody};

use super::cases::{day, record};
use super::refusal::Refusal;

/// What is told anew; what is left out stays as it is.
#[derive(Clone, Debug, Default)]
pub struct ChildChange {
    /// Never a real name.
    pub alias: Option<String>,
    /// `YYYY-MM`.
    pub born: Option<String>,
    /// Must stay in reach too.
    pub keep: Vec<String>,
    /// Need no longer stay in reach.
    pub not_keep: Vec<String>,
    /// `yes`, `no` or `not asked`.
    pub sound_sensitive: Option<String>,
    /// `yes`, `no` or `not asked`.
    pub hearing_checked: Option<String>,
    /// Sounds that are never used.
    pub excluded_sounds: Vec<String>,
    /// Sounds that may be used again.
    pub allowed_sounds: Vec<String>,
    /// Who says so.
    pub by: Option<String>,
}

/// Writes a newer child record, and says what became of it.
pub fn change(folder: &Path, told: &ChildChange, now: Timestamp) -> Result<String, Refusal> {
    if let Some(alias) = &told.alias {
        check_alias(alias).map_err(|fault| {
            Refusal::new("alias", fault.to_string())
                .hint("choose a plant or an animal: a name that only the people of the case know")
        })?;
    }
    if let Some(month) = &told.born {
        check_birth_month(month)
            .map_err(|fault| Refusal::new("birth-month", fault.to_string()).hint("give year and month only"))?;
    }
    let case = Case::open(folder)?;
    let newest = case.read_kinds(|kind| kind == "child")?.records.pop().map(|stored| stored.name.id);
    let old = case.child()?;
    let new = changed(&old, told)?;
    if new == old {
        return Ok("Nothing changed: the newest child record says so already.".to_owned());
    }
    let mut record = record(RecordBody::Child(new), &day(now), told.by.as_deref(), now);
    record.replaces = newest;
    let name = case.add(&record)?;
    Ok(match record.replaces {
        Some(old) => format!("Stored as {}; it replaces {old}, which stays readable.", name.id),
        None => format!("Stored as {}.", name.id),
    })
}

fn changed(old: &ChildBody, told: &ChildChange) -> Result<ChildBody, Refusal> {
    let mut new = old.clone();
    if let Some(alias) = &told.alias {
        new.alias.clone_from(alias);
    }
    if told.born.is_some() {
        new.born.clone_from(&told.born);
    }
    for (answer, said) in
        [(&mut new.sound_sensitive, &told.sound_sensitive), (&mut new.hearing_checked, &told.hearing_checked)]
    {
        if let Some(said) = said {
            answer.clone_from(said);
        }
    }
    edit(&mut new.keep, &told.keep, &told.not_keep)?;
    edit(&mut new.excluded_sounds, &told.excluded_sounds, &told.allowed_sounds)?;
    Ok(new)
}

/// Adds names to a list and takes others out; the same name in other capitals is the same.
fn edit(list: &mut Vec<String>, more: &[String], less: &[String]) -> Result<(), Refusal> {
    let same = |a: &str, b: &str| a.trim().to_lowercase() == b.trim().to_lowercase();
    for name in less {
        let before = list.len();
        list.retain(|one| !same(one, name));
        if list.len() == before {
            let nearest = crate::words::did_you_mean(name, list.iter().map(String::as_str));
            return Err(Refusal::new(
                "not-in-list",
                format!("`{}` is not in the list{nearest}", crate::words::printable(name)),
            )
            .hint("`stillroom case show DIR` shows what the record says"));
        }
    }
    for name in more {
        if name.trim().is_empty() {
            return Err(Refusal::new("no-name", "a name is empty")
                .hint("name the thing in a few words, such as \"vacuum cleaner\""));
        }
        if !list.iter().any(|one| same(one, name)) {
            list.push(name.trim().to_owned());
        }
    }
    Ok(())
}
