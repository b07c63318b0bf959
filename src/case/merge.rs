//! Merging: the union of two folders. Since a file's name is the hash of its bytes, the union cannot lose anything, and
//! it comes out the same in whatever order and how often it is done.

use std::collections::BTreeSet;

use crate::words::printable;

use super::check::record_in;
use super::fault::CaseFault;
use super::name::RecordName;
use super::store::{Case, read_limited};

/// What a merge did.
#[derive(Debug, Default)]
pub struct Merged {
    /// Files that were added.
    pub added: Vec<RecordName>,
    /// Files that both had.
    pub already: usize,
    /// Files of the giving case that are not sound, each with why; and those that the taking case holds damaged.
    pub left_out: Vec<CaseFault>,
}

/// Adds to `into` every sound file of `from`. The two are about one child when they share a child record or an alias;
/// `same_child` says that they are although they do not.
pub fn merge(into: &Case, from: &Case, same_child: bool) -> Result<Merged, CaseFault> {
    if !same_child {
        about_one_child(into, from)?;
    }
    let mut merged = Merged::default();
    let mut present: BTreeSet<RecordName> = into.listing()?.named.into_iter().collect();
    let giving = from.listing()?;
    // Photos first, so that a merge that is broken off leaves no audit without its photos.
    let (photos, records): (Vec<_>, Vec<_>) = giving.named.into_iter().partition(RecordName::is_photo);
    for name in photos.into_iter().chain(records) {
        match from.sound_bytes(&name) {
            Ok(bytes) => take(into, name, &bytes, &mut present, &mut merged),
            Err(fault) => merged.left_out.push(fault),
        }
    }
    for file in giving.others {
        let shown = printable(&file.to_string_lossy());
        let found = read_limited(&from.folder().join(&file), &shown).ok();
        match found.and_then(|bytes| Some((record_in(&bytes)?, bytes))) {
            Some((name, bytes)) => take(into, name, &bytes, &mut present, &mut merged),
            None => {
                let why = "it holds no sound record".to_owned();
                merged.left_out.push(CaseFault::Stray { name: shown, why });
            }
        }
    }
    Ok(merged)
}

fn take(into: &Case, name: RecordName, bytes: &[u8], present: &mut BTreeSet<RecordName>, merged: &mut Merged) {
    let known = present.contains(&name);
    match into.add_bytes(&name, bytes) {
        Ok(()) if known => merged.already += 1,
        Ok(()) => {
            present.insert(name.clone());
            merged.added.push(name);
        }
        Err(fault) => merged.left_out.push(fault),
    }
}

/// Refuses to mix two children.
fn about_one_child(into: &Case, from: &Case) -> Result<(), CaseFault> {
    let children = |case: &Case| -> Result<BTreeSet<RecordName>, CaseFault> {
        Ok(case.listing()?.named.into_iter().filter(|name| name.kind == "child").collect())
    };
    if !children(into)?.is_disjoint(&children(from)?) {
        return Ok(());
    }
    let (into, from) = (into.child()?.alias, from.child()?.alias);
    if into == from { Ok(()) } else { Err(CaseFault::OtherChild { into: printable(&into), from: printable(&from) }) }
}
