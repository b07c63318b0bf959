//! Records that were read once, for a program that shows one case again and again. The file of a record is never
//! rewritten, so what was read stays true as long as the file is the same by length and times; one that was touched in
//! any way is read and judged anew, and one that is gone is forgotten.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use crate::contract::RecordDoc;
use crate::files::Stamp;

use super::name::RecordName;

/// The one case that is remembered. It holds nothing that is not in its files.
static MEMORY: Mutex<Option<Memory>> = Mutex::new(None);

struct Memory {
    folder: PathBuf,
    records: BTreeMap<RecordName, (Stamp, Arc<RecordDoc>)>,
}

/// Remembers the records of that folder from now on, and forgets those of another.
pub fn remember(folder: &Path) {
    let mut memory = memory();
    if memory.as_ref().is_none_or(|memory| memory.folder != folder) {
        *memory = Some(Memory { folder: folder.to_owned(), records: BTreeMap::new() });
    }
}

/// Whether records of that folder are remembered.
pub(super) fn remembers(folder: &Path) -> bool {
    memory().as_ref().is_some_and(|memory| memory.folder == folder)
}

/// A record that was read before, if its file is still the same.
pub(super) fn recalled(folder: &Path, name: &RecordName, stamp: Stamp) -> Option<Arc<RecordDoc>> {
    let memory = memory();
    let memory = memory.as_ref().filter(|memory| memory.folder == folder)?;
    memory.records.get(name).filter(|(known, _)| *known == stamp).map(|(_, record)| Arc::clone(record))
}

/// Keeps a record that was just read.
pub(super) fn keep(folder: &Path, name: &RecordName, stamp: Stamp, record: &RecordDoc) {
    if let Some(memory) = memory().as_mut().filter(|memory| memory.folder == folder) {
        memory.records.insert(name.clone(), (stamp, Arc::new(record.clone())));
    }
}

/// Forgets what is no longer among these names, which are sorted.
pub(super) fn keep_only(folder: &Path, there: &[RecordName]) {
    if let Some(memory) = memory().as_mut().filter(|memory| memory.folder == folder)
        && memory.records.len() > there.len()
    {
        memory.records.retain(|name, _| there.binary_search(name).is_ok());
    }
}

fn memory() -> MutexGuard<'static, Option<Memory>> {
    MEMORY.lock().unwrap_or_else(PoisonError::into_inner)
}
