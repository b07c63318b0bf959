//! What lies in a case folder, told apart by name alone: nothing is opened.

use std::ffi::OsString;
use std::path::Path;

use crate::files;

use super::disk::TEMPORARY;
use super::fault::CaseFault;
use super::name::RecordName;

/// The entries of a folder.
#[derive(Debug, Default)]
pub(super) struct Listing {
    /// Files with a record's or a kept photo's name, sorted.
    pub(super) named: Vec<RecordName>,
    /// Temporary files of writers that are at work or were killed.
    pub(super) temporary: Vec<OsString>,
    /// Every other file.
    pub(super) others: Vec<OsString>,
    /// Folders, links, pipes: never part of a case.
    pub(super) foreign: Vec<OsString>,
}

/// Lists a folder.
pub(super) fn list(folder: &Path) -> Result<Listing, CaseFault> {
    let fault = CaseFault::io(folder);
    let mut found = Listing::default();
    for entry in files::read_dir(folder).map_err(&fault)? {
        let entry = entry.map_err(&fault)?;
        let name = entry.file_name();
        let is_file = entry.file_type().map_err(&fault)?.is_file();
        let text = name.to_str();
        if !is_file {
            found.foreign.push(name);
        } else if text.is_some_and(|text| text.starts_with(TEMPORARY)) {
            found.temporary.push(name);
        } else if let Some(record) = text.and_then(RecordName::parse) {
            found.named.push(record);
        } else {
            found.others.push(name);
        }
    }
    found.named.sort();
    found.temporary.sort();
    found.others.sort();
    found.foreign.sort();
    Ok(found)
}

/// Whether a file's name looks as if it had been a record's before a file-sync service, a browser or a person gave it
/// another: `DATE-KIND-HASH` with something added. Gives that hash.
pub(super) fn once_was(file_name: &str) -> Option<String> {
    let (date, rest) = file_name.split_at_checked(10)?;
    date.parse::<jiff::civil::Date>().ok()?;
    let at = rest
        .as_bytes()
        .windows(17)
        .position(|part| part[0] == b'-' && part[1..].iter().all(|digit| matches!(digit, b'0'..=b'9' | b'a'..=b'f')))?;
    Some(rest[at + 1..at + 17].to_owned())
}

#[cfg(test)]
mod tests {
    use super::once_was;

    #[test]
    fn a_copy_made_by_a_file_sync_service_shows_what_it_was() {
        for copy in [
            "2026-10-05-audit-e3b0c44298fc1c14 (1).toml",
            "2026-10-05-audit-e3b0c44298fc1c14.sync-conflict-20261006-101500-ABCDEFG.toml",
            "2026-10-05-audit-e3b0c44298fc1c14 (visitor's conflicted copy 2026-10-06).toml",
            "2026-10-05-audit-e3b0c44298fc1c14.toml.bak",
            "2026-10-05-screen-time-e3b0c44298fc1c14~",
        ] {
            assert_eq!(once_was(copy).as_deref(), Some("e3b0c44298fc1c14"), "{copy}");
        }
        for other in ["holiday.txt", "2026-10-05 holiday.toml", "", "é2026-10-05", "2026-10-05-audit-e3b0.toml"] {
            assert_eq!(once_was(other), None, "{other}");
        }
    }
}
