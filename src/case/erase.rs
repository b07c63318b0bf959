//! Erasing: only what is a case. A file that is no part of it stays, and so does the folder around it.

use std::path::{Path, PathBuf};

use crate::files;
use crate::words::printable;

use super::check::{aside_of, record_in};
use super::disk::{Disk, RealDisk};
use super::fault::CaseFault;
use super::listing::{list, once_was};
use super::name::RecordName;
use super::store::{Case, read_limited};

/// What was, or would be, erased.
#[derive(Clone, Debug, Default)]
pub struct Erased {
    /// Files of the case, and those that a check had moved aside.
    pub files: usize,
    /// What is no part of the case and stays.
    pub stays: Vec<String>,
    /// Whether the folder itself is gone.
    pub folder_gone: bool,
}

/// Erases a case, or with `really` false only says what it would erase.
pub fn erase(case: &Case, really: bool) -> Result<Erased, CaseFault> {
    let mut erased = Erased::default();
    // Found before the folder is gone, since its name is the folder's.
    let aside = aside_of(case.folder());
    if files::is_folder(&aside) {
        let (files, _) = parts(&aside)?;
        erased.files += files.len();
        if really {
            remove(&files)?;
            // A folder that holds anything else stays; that is no failure.
            let _kept = files::remove_dir(&aside);
        }
    }
    let (mut files, stays) = parts(case.folder())?;
    erased.files += files.len();
    erased.stays = stays;
    if really {
        // Child records last: a case that is only half erased still opens, and can be erased again.
        files.sort_by_key(|path| is_child(path));
        remove(&files)?;
        erased.folder_gone = erased.stays.is_empty() && files::remove_dir(case.folder()).is_ok();
    }
    Ok(erased)
}

fn is_child(path: &Path) -> bool {
    let name = path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    RecordName::parse(&name).is_some_and(|name| name.kind == "child")
}

/// The files of a folder that belong to a case, and the names of what does not.
fn parts(folder: &Path) -> Result<(Vec<PathBuf>, Vec<String>), CaseFault> {
    let listing = list(folder)?;
    let mut files: Vec<PathBuf> = listing.named.iter().map(|name| folder.join(name.to_string())).collect();
    files.extend(listing.temporary.iter().map(|name| folder.join(name)));
    let mut stays: Vec<String> = listing.foreign.iter().map(|name| printable(&name.to_string_lossy())).collect();
    for name in listing.others {
        let (path, shown) = (folder.join(&name), printable(&name.to_string_lossy()));
        let holds_record = || read_limited(&path, &shown).is_ok_and(|bytes| record_in(&bytes).is_some());
        if once_was(&shown).is_some() || holds_record() {
            files.push(path);
        } else {
            stays.push(shown);
        }
    }
    Ok((files, stays))
}

fn remove(files: &[PathBuf]) -> Result<(), CaseFault> {
    for path in files {
        RealDisk.remove(path).map_err(CaseFault::io(path))?;
    }
    Ok(())
}
