//! Reading and adding records. A record is written to a temporary file, synced, renamed, and its folder synced, so
//! that it is there whole or not at all; an existing record is never touched.

use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use crate::contract::{ChildBody, RECORD_FORMAT, RecordBody, RecordDoc};
use crate::words::printable;

use super::name::{RecordName, name_of};

/// What can go wrong with a case folder.
#[derive(Debug, thiserror::Error)]
pub enum CaseFault {
    /// The folder is not there.
    #[error("there is no folder {}", .0.display())]
    Missing(PathBuf),
    /// A file stands where the folder should be.
    #[error("{} is a file, not a case folder", .0.display())]
    NotAFolder(PathBuf),
    /// The folder holds no child record.
    #[error("{} is not a case: it holds no child record", .0.display())]
    NotACase(PathBuf),
    /// `case new` where something is.
    #[error("{} is not empty", .0.display())]
    NotEmpty(PathBuf),
    /// The system said no.
    #[error("{}: {source}", .path.display())]
    Io {
        /// The file or folder.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// A record's bytes are not those that its name promises.
    #[error("{name} was changed after it was written: its hash does not match its name")]
    Changed {
        /// The file's name.
        name: String,
    },
    /// A record that does not read.
    #[error("{name} does not read as a record: {why}")]
    Unreadable {
        /// The file's name.
        name: String,
        /// What the reader said.
        why: String,
    },
    /// No record of that id.
    #[error("no {kind} record `{id}` in {}", .path.display())]
    NoRecord {
        /// What was asked for.
        kind: String,
        /// The id or date asked for.
        id: String,
        /// The case.
        path: PathBuf,
    },
    /// A record too large to be one.
    #[error("{name} is larger than any record ({bytes} bytes)")]
    TooLarge {
        /// The file's name.
        name: String,
        /// Its size.
        bytes: u64,
    },
}

impl CaseFault {
    /// The file or folder it is about.
    pub fn file_name(&self) -> String {
        match self {
            Self::Changed { name } | Self::Unreadable { name, .. } | Self::TooLarge { name, .. } => name.clone(),
            Self::Missing(path) | Self::NotAFolder(path) | Self::NotACase(path) | Self::NotEmpty(path) => {
                printable(&path.to_string_lossy())
            }
            Self::Io { path, .. } | Self::NoRecord { path, .. } => printable(&path.to_string_lossy()),
        }
    }
}

/// No record comes near this: an audit with its three texts is about 60 kB.
const LARGEST_RECORD: u64 = 16 << 20;

/// A case folder, opened.
#[derive(Clone, Debug)]
pub struct Case {
    folder: PathBuf,
}

/// A record with its name.
#[derive(Clone, Debug)]
pub struct Stored {
    /// The file's name.
    pub name: RecordName,
    /// What it holds.
    pub record: RecordDoc,
}

/// What a folder holds: sound records in date order, and files that are none.
#[derive(Debug, Default)]
pub struct Found {
    /// Sound records, by date, then by the moment they were written.
    pub records: Vec<Stored>,
    /// Everything else, each with why it was left out.
    pub left_out: Vec<CaseFault>,
}

impl Case {
    /// Makes a new case in a folder that is not there yet, or is empty.
    pub fn create(folder: &Path, child: &RecordDoc) -> Result<(Self, RecordName), CaseFault> {
        let fault = |source| CaseFault::Io { path: folder.to_owned(), source };
        match fs::metadata(folder) {
            Ok(meta) if !meta.is_dir() => return Err(CaseFault::NotAFolder(folder.to_owned())),
            Ok(_) => {
                if fs::read_dir(folder).map_err(fault)?.next().is_some() {
                    return Err(CaseFault::NotEmpty(folder.to_owned()));
                }
            }
            Err(error) if error.kind() == io::ErrorKind::NotFound => fs::create_dir_all(folder).map_err(fault)?,
            Err(error) => return Err(fault(error)),
        }
        let case = Self { folder: folder.to_owned() };
        let name = case.add(child)?;
        Ok((case, name))
    }

    /// Opens a folder that holds at least one child record.
    pub fn open(folder: &Path) -> Result<Self, CaseFault> {
        match fs::metadata(folder) {
            Ok(meta) if meta.is_dir() => {}
            Ok(_) => return Err(CaseFault::NotAFolder(folder.to_owned())),
            Err(error) if error.kind() == io::ErrorKind::NotFound => return Err(CaseFault::Missing(folder.to_owned())),
            Err(source) => return Err(CaseFault::Io { path: folder.to_owned(), source }),
        }
        let case = Self { folder: folder.to_owned() };
        if case.names()?.0.iter().any(|name| name.kind == "child") {
            Ok(case)
        } else {
            Err(CaseFault::NotACase(folder.to_owned()))
        }
    }

    /// The folder.
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// Adds a record and gives its name once it is safely there.
    pub fn add(&self, record: &RecordDoc) -> Result<RecordName, CaseFault> {
        let (name, text) = render(record)?;
        let path = self.folder.join(name.to_string());
        // The same bytes are the same record: adding it twice is adding it once.
        if !path.exists() {
            write_whole(&path, text.as_bytes()).map_err(|source| CaseFault::Io { path, source })?;
        }
        Ok(name)
    }

    /// The name a record would get, without adding it.
    pub fn name_for(record: &RecordDoc) -> Result<RecordName, CaseFault> {
        render(record).map(|(name, _)| name)
    }

    /// All sound records, and what was left out.
    pub fn read(&self) -> Result<Found, CaseFault> {
        self.read_kinds(|_| true)
    }

    /// The sound records of the wanted kinds, and what was left out.
    pub fn read_kinds(&self, wanted: impl Fn(&str) -> bool) -> Result<Found, CaseFault> {
        let (names, strays) = self.names()?;
        let mut found = Found { records: Vec::new(), left_out: strays };
        for name in names.into_iter().filter(|name| wanted(&name.kind)) {
            match self.read_one(name) {
                Ok(stored) => found.records.push(stored),
                Err(fault) => found.left_out.push(fault),
            }
        }
        found.records.sort_by(|a, b| {
            (a.name.date, &a.record.written, &a.name.id).cmp(&(b.name.date, &b.record.written, &b.name.id))
        });
        Ok(found)
    }

    /// The newest child record.
    pub fn child(&self) -> Result<ChildBody, CaseFault> {
        let found = self.read_kinds(|kind| kind == "child")?;
        let newest = found.records.into_iter().rev().find_map(|stored| match stored.record.body {
            RecordBody::Child(child) => Some(child),
            _ => None,
        });
        match (newest, found.left_out.into_iter().next()) {
            (Some(child), _) => Ok(child),
            (None, Some(fault)) => Err(fault),
            (None, None) => Err(CaseFault::NotACase(self.folder.clone())),
        }
    }

    fn read_one(&self, name: RecordName) -> Result<Stored, CaseFault> {
        let path = self.folder.join(name.to_string());
        let fault = |source| CaseFault::Io { path: path.clone(), source };
        let bytes = fs::metadata(&path).map_err(fault)?.len();
        if bytes > LARGEST_RECORD {
            return Err(CaseFault::TooLarge { name: name.to_string(), bytes });
        }
        let content = fs::read(&path).map_err(fault)?;
        let unreadable = |why: String| CaseFault::Unreadable { name: name.to_string(), why };
        if name_of(&content, name.date, &name.kind) != name {
            return Err(CaseFault::Changed { name: name.to_string() });
        }
        let text = String::from_utf8(content).map_err(|_| unreadable("it is not UTF-8 text".to_owned()))?;
        let record: RecordDoc = toml::from_str(&text).map_err(|error| unreadable(error.message().to_owned()))?;
        if record.format != RECORD_FORMAT {
            return Err(unreadable(format!(
                "its format is `{}`, this version reads `{RECORD_FORMAT}`",
                printable(&record.format)
            )));
        }
        if record.body.kind() != name.kind || record.date != name.date.to_string() {
            return Err(unreadable("its name and its content say different kinds or dates".to_owned()));
        }
        Ok(Stored { name, record })
    }

    /// The record names in the folder, sorted, and a fault for every other file.
    fn names(&self) -> Result<(Vec<RecordName>, Vec<CaseFault>), CaseFault> {
        let fault = |source| CaseFault::Io { path: self.folder.clone(), source };
        let mut names = Vec::new();
        let mut strays = Vec::new();
        for entry in fs::read_dir(&self.folder).map_err(fault)? {
            let entry = entry.map_err(fault)?;
            let file_name = entry.file_name().to_string_lossy().into_owned();
            // A writer that was killed leaves its temporary file; it was never a record.
            if file_name.starts_with(".tmp-") || entry.path().is_dir() {
                continue;
            }
            match RecordName::parse(&file_name) {
                Some(name) => names.push(name),
                None => strays.push(CaseFault::Unreadable {
                    name: printable(&file_name),
                    why: "its name is not DATE-KIND-HASH.toml".to_owned(),
                }),
            }
        }
        names.sort();
        strays.sort_by_key(ToString::to_string);
        Ok((names, strays))
    }
}

/// A record's text and the name that its hash gives it.
fn render(record: &RecordDoc) -> Result<(RecordName, String), CaseFault> {
    let unreadable = |why: String| CaseFault::Unreadable { name: format!("new {} record", record.body.kind()), why };
    let date = record.date.parse().map_err(|_| unreadable(format!("`{}` is no date", printable(&record.date))))?;
    let text = toml::to_string(record).map_err(|error| unreadable(error.to_string()))?;
    Ok((name_of(text.as_bytes(), date, record.body.kind()), text))
}

/// Writes a file whole or not at all: beside it first, synced, then renamed, then the folder synced.
/// On Unix it is readable by its owner only until the rename, and stays so.
pub fn write_whole(path: &Path, content: &[u8]) -> io::Result<()> {
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let mut beside = tempfile::Builder::new().prefix(".tmp-").tempfile_in(folder)?;
    beside.write_all(content)?;
    beside.as_file().sync_all()?;
    beside.persist(path).map_err(|error| error.error)?;
    sync_folder(folder)
}

/// Makes a rename durable. Windows cannot open a folder as a file and does not need to.
fn sync_folder(folder: &Path) -> io::Result<()> {
    if cfg!(unix) { File::open(folder)?.sync_all() } else { Ok(()) }
}

#[cfg(test)]
mod tests {
    use super::{Case, CaseFault};
    use crate::contract::{ChildBody, RECORD_FORMAT, RecordBody, RecordDoc, TaskBody};
    use std::fs;

    fn child(alias: &str) -> RecordDoc {
        RecordDoc {
            format: RECORD_FORMAT.to_owned(),
            date: "2026-10-05".to_owned(),
            written: "2026-10-05T09:00:00Z".to_owned(),
            by: None,
            replaces: None,
            body: RecordBody::Child(ChildBody {
                alias: alias.to_owned(),
                born: Some("2022-07".to_owned()),
                keep: vec!["picture schedule".to_owned()],
                sound_sensitive: "no".to_owned(),
                hearing_checked: "yes".to_owned(),
            }),
        }
    }

    fn task(written: &str) -> RecordDoc {
        let body = RecordBody::Task(TaskBody {
            name: "matching".to_owned(),
            correct: "puts each leaf on its shape".to_owned(),
            materials: vec![],
        });
        RecordDoc { written: written.to_owned(), body, ..child("Fern") }
    }

    #[test]
    fn what_was_added_is_read_back() {
        let folder = tempfile::tempdir().unwrap();
        let (case, _) = Case::create(folder.path(), &child("Fern")).unwrap();
        let name = case.add(&task("2026-10-05T09:00:01Z")).unwrap();
        let found = Case::open(folder.path()).unwrap().read().unwrap();
        assert_eq!(found.records.len(), 2);
        assert!(found.left_out.is_empty());
        assert_eq!(found.records[1].name, name);
        assert_eq!(found.records[1].record, task("2026-10-05T09:00:01Z"));
        assert_eq!(case.child().unwrap().alias, "Fern");
    }

    #[test]
    fn the_same_record_twice_is_one_record() {
        let folder = tempfile::tempdir().unwrap();
        let (case, _) = Case::create(folder.path(), &child("Fern")).unwrap();
        let first = case.add(&task("2026-10-05T09:00:01Z")).unwrap();
        assert_eq!(case.add(&task("2026-10-05T09:00:01Z")).unwrap(), first);
        assert_eq!(case.read().unwrap().records.len(), 2);
    }

    #[test]
    fn one_changed_byte_is_found() {
        let folder = tempfile::tempdir().unwrap();
        let (case, _) = Case::create(folder.path(), &child("Fern")).unwrap();
        let name = case.add(&task("2026-10-05T09:00:01Z")).unwrap();
        let path = folder.path().join(name.to_string());
        let text = fs::read_to_string(&path).unwrap().replace("matching", "watching");
        fs::write(&path, text).unwrap();
        let found = case.read().unwrap();
        assert_eq!(found.records.len(), 1);
        assert!(matches!(&found.left_out[..], [CaseFault::Changed { name: changed }] if *changed == name.to_string()));
    }

    #[test]
    fn a_folder_with_things_in_it_does_not_become_a_case() {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("holiday.txt"), "sea").unwrap();
        assert!(matches!(Case::create(folder.path(), &child("Fern")), Err(CaseFault::NotEmpty(_))));
        assert!(matches!(Case::open(folder.path()), Err(CaseFault::NotACase(_))));
        assert!(matches!(Case::open(&folder.path().join("gone")), Err(CaseFault::Missing(_))));
        assert!(matches!(Case::open(&folder.path().join("holiday.txt")), Err(CaseFault::NotAFolder(_))));
    }
}
