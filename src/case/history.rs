//! Corrections: which records stand, which were replaced, and where two corrections of one record compete.
//!
//! A record names the one it replaces, so corrections form trees. What stands is a leaf. When two leaves of one tree
//! stand, two people corrected the same record apart: both are kept and shown, and figures use the one written last
//! (by its moment of writing, then by its id), which is the same on every machine and in every order of merging.

use std::collections::{BTreeMap, BTreeSet};

use super::store::Stored;

/// The kind that takes a record back without another in its place.
pub const CORRECTION: &str = "correction";

/// Who replaces whom.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct History {
    replaced_by: BTreeMap<String, Vec<String>>,
    standing: BTreeSet<String>,
    conflicts: Vec<Vec<String>>,
}

impl History {
    /// The history that these records tell.
    pub fn of(records: &[Stored]) -> Self {
        let mut replaced_by: BTreeMap<String, Vec<String>> = BTreeMap::new();
        let mut parent: BTreeMap<&str, &str> = BTreeMap::new();
        for stored in records {
            if let Some(old) = stored.record.replaces.as_deref() {
                replaced_by.entry(old.to_owned()).or_default().push(stored.name.id.clone());
                parent.insert(&stored.name.id, old);
            }
        }
        for ids in replaced_by.values_mut() {
            ids.sort();
            ids.dedup();
        }
        let mut leaves: BTreeMap<&str, Vec<&Stored>> = BTreeMap::new();
        let is_leaf = |stored: &&Stored| stored.name.kind != CORRECTION && !replaced_by.contains_key(&stored.name.id);
        for stored in records.iter().filter(is_leaf) {
            leaves.entry(root(&stored.name.id, &parent)).or_default().push(stored);
        }
        let mut standing = BTreeSet::new();
        let mut conflicts = Vec::new();
        for mut group in leaves.into_values() {
            group.sort_by(|a, b| (&a.record.written, &a.name.id).cmp(&(&b.record.written, &b.name.id)));
            group.dedup_by(|a, b| a.name.id == b.name.id);
            standing.extend(group.last().map(|last| last.name.id.clone()));
            if group.len() > 1 {
                conflicts.push(group.iter().map(|stored| stored.name.id.clone()).collect());
            }
        }
        conflicts.sort();
        Self { replaced_by, standing, conflicts }
    }

    /// The records that replace this one.
    pub fn replaced_by(&self, id: &str) -> &[String] {
        self.replaced_by.get(id).map_or(&[], Vec::as_slice)
    }

    /// Whether figures use this record.
    pub fn stands(&self, id: &str) -> bool {
        self.standing.contains(id)
    }

    /// Competing corrections, each group by the moment of writing: figures use its last.
    pub fn conflicts(&self) -> &[Vec<String>] {
        &self.conflicts
    }
}

/// The first record of the tree that a record belongs to. A record names an older one by its hash, so no honest chain
/// is circular; the count ends a forged one.
fn root<'a>(id: &'a str, parent: &BTreeMap<&'a str, &'a str>) -> &'a str {
    let mut at = id;
    for _ in 0..=parent.len() {
        match parent.get(at) {
            Some(older) => at = older,
            None => break,
        }
    }
    at
}
