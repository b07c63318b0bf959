//! A folder of cases, as a clinician keeps them, and a folder of packs, as they come in.

use std::path::{Path, PathBuf};

use crate::files;

use super::fault::CaseFault;

/// The folders in a folder, sorted by name; hidden ones left out.
pub fn folders_in(folder: &Path) -> Result<Vec<PathBuf>, CaseFault> {
    entries(folder, true)
}

/// The files in a folder, sorted by name; hidden ones left out.
pub fn files_in(folder: &Path) -> Result<Vec<PathBuf>, CaseFault> {
    entries(folder, false)
}

fn entries(folder: &Path, folders: bool) -> Result<Vec<PathBuf>, CaseFault> {
    let fault = CaseFault::io(folder);
    match files::metadata(folder) {
        Ok(meta) if !meta.is_dir() => return Err(CaseFault::NotAFolder(folder.to_owned())),
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => {
            return Err(CaseFault::Missing(folder.to_owned()));
        }
        _ => {}
    }
    let mut found = Vec::new();
    for entry in files::read_dir(folder).map_err(&fault)? {
        let entry = entry.map_err(&fault)?;
        let kind = entry.file_type().map_err(&fault)?;
        let wanted = if folders { kind.is_dir() } else { kind.is_file() };
        if wanted && !entry.file_name().to_string_lossy().starts_with('.') {
            found.push(entry.path());
        }
    }
    found.sort();
    Ok(found)
}
