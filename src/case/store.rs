//! Reading and adding records. A record is there whole or not at all; an existing record is never touched.

use std::collections::BTreeMap;
use std::fmt::Display;
use std::io::{self, Read};
use std::path::{Path, PathBuf};

use jiff::civil::Date;
use sha2::{Digest, Sha256};

use crate::contract::{ChildBody, RecordBody, RecordDoc, read_record};
use crate::files::{self, File};
use crate::words::printable;

use super::disk::{RealDisk, make_folder, write_new};
use super::fault::CaseFault;
use super::history::{CORRECTION, History};
use super::listing::{self, Listing, once_was};
use super::memory;
use super::name::{PHOTO, RecordName, id_of, name_of};

/// No record comes near this: an audit with its three texts is about 60 kB.
pub(super) const LARGEST_RECORD: u64 = 16 << 20;

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

/// How many files of each kind a folder holds, told by their names.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Kinds {
    counts: BTreeMap<String, usize>,
}

impl Kinds {
    /// How many of that kind.
    pub fn count(&self, kind: &str) -> usize {
        self.counts.get(kind).copied().unwrap_or(0)
    }
}

impl Case {
    /// Makes a new case in a folder that is not there yet, or is empty.
    pub fn create(folder: &Path, child: &RecordDoc) -> Result<(Self, RecordName), CaseFault> {
        make_empty(folder)?;
        let case = Self { folder: folder.to_owned() };
        let name = case.add(child)?;
        Ok((case, name))
    }

    /// Opens a folder that holds at least one child record.
    pub fn open(folder: &Path) -> Result<Self, CaseFault> {
        let case = Self::open_damaged(folder)?;
        if case.listing()?.named.iter().any(|name| name.kind == "child") {
            Ok(case)
        } else {
            Err(CaseFault::NotACase(folder.to_owned()))
        }
    }

    /// Opens a folder whatever it holds: to check it, to mend it.
    pub fn open_damaged(folder: &Path) -> Result<Self, CaseFault> {
        match files::metadata(folder) {
            Ok(meta) if meta.is_dir() => Ok(Self { folder: folder.to_owned() }),
            Ok(_) => Err(CaseFault::NotAFolder(folder.to_owned())),
            Err(error) if error.kind() == io::ErrorKind::NotFound => Err(CaseFault::Missing(folder.to_owned())),
            Err(source) => Err(CaseFault::Io { path: folder.to_owned(), source }),
        }
    }

    /// The folder.
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// Adds a record and gives its name once it is safely there.
    pub fn add(&self, record: &RecordDoc) -> Result<RecordName, CaseFault> {
        let (name, text) = render(record)?;
        self.add_bytes(&name, text.as_bytes())?;
        Ok(name)
    }

    /// Adds a picture that is kept, and gives its name.
    pub fn add_photo(&self, date: Date, jpeg: &[u8]) -> Result<RecordName, CaseFault> {
        let name = name_of(jpeg, date, PHOTO);
        self.add_bytes(&name, jpeg)?;
        Ok(name)
    }

    /// Adds a file whose name its bytes have earned.
    pub(super) fn add_bytes(&self, name: &RecordName, bytes: &[u8]) -> Result<(), CaseFault> {
        let file_name = name.to_string();
        write_new(&RealDisk, &self.folder, &file_name, bytes).map_err(|source| match source.kind() {
            // Under this name only these bytes can be sound, so what is there is not.
            io::ErrorKind::AlreadyExists => CaseFault::Changed { name: file_name },
            _ => CaseFault::Io { path: self.folder.join(&file_name), source },
        })
    }

    /// The name a record would get, without adding it.
    pub fn name_for(record: &RecordDoc) -> Result<RecordName, CaseFault> {
        render(record).map(|(name, _)| name)
    }

    /// All sound records, replaced ones too, and what was left out.
    pub fn read(&self) -> Result<Found, CaseFault> {
        self.read_kinds(|_| true)
    }

    /// The sound records of the wanted kinds, replaced ones too, and what was left out.
    pub fn read_kinds(&self, wanted: impl Fn(&str) -> bool) -> Result<Found, CaseFault> {
        Ok(self.read_listed(self.listing()?, wanted))
    }

    fn read_listed(&self, listing: Listing, wanted: impl Fn(&str) -> bool) -> Found {
        let left_out = strays(&listing);
        memory::keep_only(&self.folder, &listing.named);
        let mut found = Found { records: Vec::new(), left_out };
        let remembers = memory::remembers(&self.folder);
        for name in listing.named.into_iter().filter(|name| !name.is_photo() && wanted(&name.kind)) {
            match if remembers { self.read_one(name) } else { self.read_anew(name) } {
                Ok(stored) => found.records.push(stored),
                Err(fault) => found.left_out.push(fault),
            }
        }
        found.records.sort_by(|a, b| {
            (a.name.date, &a.record.written, &a.name.id).cmp(&(b.name.date, &b.record.written, &b.name.id))
        });
        found
    }

    /// The records of the wanted kinds that stand: neither replaced nor taken back. Of two competing corrections the
    /// one written last. This is what figures are made of.
    pub fn standing(&self, wanted: impl Fn(&str) -> bool) -> Result<Found, CaseFault> {
        Ok(self.standing_of(self.listing()?, wanted))
    }

    fn standing_of(&self, listing: Listing, wanted: impl Fn(&str) -> bool) -> Found {
        let mut found = self.read_listed(listing, |kind| kind == CORRECTION || wanted(kind));
        let history = History::of(&found.records);
        found.records.retain(|stored| history.stands(&stored.name.id) && wanted(&stored.name.kind));
        found
    }

    /// The same, with how many files of each kind the folder holds: what is not wanted is counted by name and not read.
    pub fn overview(&self, wanted: impl Fn(&str) -> bool) -> Result<(Kinds, Found), CaseFault> {
        let listing = self.listing()?;
        let mut kinds = Kinds::default();
        for name in &listing.named {
            *kinds.counts.entry(name.kind.clone()).or_default() += 1;
        }
        Ok((kinds, self.standing_of(listing, wanted)))
    }

    /// The newest child record that stands.
    pub fn child(&self) -> Result<ChildBody, CaseFault> {
        let found = self.standing(|kind| kind == "child")?;
        let newest = found.records.into_iter().rev().find_map(|stored| match stored.record.body {
            RecordBody::Child(child) => Some(child),
            _ => None,
        });
        let damaged = |fault: &CaseFault| !matches!(fault, CaseFault::Stray { .. });
        match (newest, found.left_out.into_iter().find(damaged)) {
            (Some(child), _) => Ok(child),
            (None, Some(fault)) => Err(fault),
            (None, None) => Err(CaseFault::NotACase(self.folder.clone())),
        }
    }

    /// A kept photo, by its id; `None` where it is not there or not sound.
    pub fn photo(&self, id: &str) -> Option<Vec<u8>> {
        let name = self.listing().ok()?.named.into_iter().find(|name| name.is_photo() && name.id == id)?;
        self.sound_bytes(&name).ok()
    }

    /// The names of all records and kept photos, by date; nothing is opened.
    pub fn names(&self) -> Result<Vec<RecordName>, CaseFault> {
        Ok(self.listing()?.named)
    }

    /// What lies in the folder, by name.
    pub(super) fn listing(&self) -> Result<Listing, CaseFault> {
        listing::list(&self.folder)
    }

    /// The bytes of a file whose name they must have earned.
    pub(super) fn sound_bytes(&self, name: &RecordName) -> Result<Vec<u8>, CaseFault> {
        let bytes = read_limited(&self.folder.join(name.to_string()), name)?;
        if id_of(&bytes) == name.id { Ok(bytes) } else { Err(CaseFault::Changed { name: name.to_string() }) }
    }

    /// One record.
    pub(super) fn read_one(&self, name: RecordName) -> Result<Stored, CaseFault> {
        // The stamp is taken first: a file that changes while it is read has another one by the next time.
        let path = self.folder.join(name.to_string());
        let remembers = memory::remembers(&self.folder);
        let stamp = if remembers { files::stamp(&path).map_err(CaseFault::io(&path))? } else { None };
        let Some(stamp) = stamp else { return self.read_anew(name) };
        if let Some(known) = memory::recalled(&self.folder, &name, stamp) {
            return Ok(Stored { name, record: (*known).clone() });
        }
        let stored = self.read_anew(name)?;
        memory::keep(&self.folder, &stored.name, stamp, &stored.record);
        Ok(stored)
    }

    /// One record, whether or not it was read before.
    fn read_anew(&self, name: RecordName) -> Result<Stored, CaseFault> {
        let record = parse(self.sound_bytes(&name)?, &name)?;
        Ok(Stored { name, record })
    }
}

/// A number that nobody can tell who does not hold the case: the end of the SHA-256 of its oldest child record, whose
/// beginning alone stands in its name.
pub fn secret_of(case: &Case) -> Result<u64, CaseFault> {
    let oldest = case.names()?.into_iter().find(|name| name.kind == "child");
    let name = oldest.ok_or_else(|| CaseFault::NotACase(case.folder.clone()))?;
    let hash: [u8; 32] = Sha256::digest(case.sound_bytes(&name)?).into();
    Ok(hash[24..].iter().fold(0, |number, byte| number << 8 | u64::from(*byte)))
}

/// Nearly every record is smaller than this.
const SMALL: usize = 4096;

/// Reads a file that may be a record, and no more of it than a record can have.
pub(super) fn read_limited(path: &Path, name: &dyn Display) -> Result<Vec<u8>, CaseFault> {
    let fault = CaseFault::io(path);
    let mut file = File::open(path).map_err(&fault)?;
    // A small file is read without asking for its size first: a caseload reads a hundred thousand of them.
    let (mut small, mut filled) = ([0; SMALL], 0);
    while filled < SMALL {
        match file.read(&mut small[filled..]) {
            Ok(0) => return Ok(small[..filled].to_vec()),
            Ok(read) => filled += read,
            Err(error) if error.kind() == io::ErrorKind::Interrupted => {}
            Err(error) => return Err(fault(error)),
        }
    }
    let size = file.metadata().map_err(&fault)?.len();
    let mut bytes = Vec::with_capacity(usize::try_from(size.min(LARGEST_RECORD)).unwrap_or(0) + 1);
    bytes.extend_from_slice(&small);
    file.take(LARGEST_RECORD + 1 - SMALL as u64).read_to_end(&mut bytes).map_err(&fault)?;
    if bytes.len() as u64 > LARGEST_RECORD {
        return Err(CaseFault::TooLarge { name: name.to_string(), bytes: size });
    }
    Ok(bytes)
}

/// A record from bytes that have the hash of its name.
pub(super) fn parse(bytes: Vec<u8>, name: &RecordName) -> Result<RecordDoc, CaseFault> {
    let unreadable = |why: String| CaseFault::Unreadable { name: name.to_string(), why };
    let text = String::from_utf8(bytes).map_err(|_| unreadable("it is not UTF-8 text".to_owned()))?;
    let record = read_record(&text).map_err(|fault| unreadable(fault.to_string()))?;
    if record.body.kind() != name.kind || record.date != name.date.to_string() {
        return Err(unreadable("its name and its content say different kinds or dates".to_owned()));
    }
    Ok(record)
}

/// A fault for every file of a folder that is no record by its name.
fn strays(listing: &Listing) -> Vec<CaseFault> {
    let stray = |name: &std::ffi::OsString, why: &str| CaseFault::Stray {
        name: printable(&name.to_string_lossy()),
        why: why.to_owned(),
    };
    let others = listing.others.iter().map(|name| {
        let copy = once_was(&name.to_string_lossy()).is_some();
        stray(name, if copy { COPY } else { "its name is not DATE-KIND-HASH.toml" })
    });
    others.collect()
}

/// What is said of a renamed record where nothing is opened to see more.
const COPY: &str = "it looks like a copy that a file-sync service made; `stillroom case check DIR` says what it holds";

/// Makes a folder, or takes one that is there and empty, for its owner alone.
pub(super) fn make_empty(folder: &Path) -> Result<(), CaseFault> {
    let fault = CaseFault::io(folder);
    match files::metadata(folder) {
        Ok(meta) if !meta.is_dir() => Err(CaseFault::NotAFolder(folder.to_owned())),
        Ok(_) => {
            if files::read_dir(folder).map_err(&fault)?.next().is_some() {
                return Err(CaseFault::NotEmpty(folder.to_owned()));
            }
            files::owner_only(folder).map_err(&fault)
        }
        Err(error) if error.kind() == io::ErrorKind::NotFound => make_folder(&RealDisk, folder).map_err(&fault),
        Err(error) => Err(fault(error)),
    }
}

/// A record's text and the name that its hash gives it.
fn render(record: &RecordDoc) -> Result<(RecordName, String), CaseFault> {
    let unreadable = |why: String| CaseFault::Unreadable { name: format!("new {} record", record.body.kind()), why };
    let date = record.date.parse().map_err(|_| unreadable(format!("`{}` is no date", printable(&record.date))))?;
    let text = toml::to_string(record).map_err(|error| unreadable(error.to_string()))?;
    Ok((name_of(text.as_bytes(), date, record.body.kind()), text))
}

#[cfg(test)]
mod tests {
    use super::{Case, CaseFault};
    use crate::contract::{ChildBody, CorrectionBody, NoteBody, RECORD_FORMAT, RecordBody, RecordDoc};
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
                excluded_sounds: vec![],
            }),
        }
    }

    fn note(second: u32, text: &str, replaces: Option<&str>) -> RecordDoc {
        let body = RecordBody::Note(NoteBody { text: text.to_owned(), place: None, about: None });
        let written = format!("2026-10-05T09:00:{second:02}Z");
        RecordDoc { written, body, replaces: replaces.map(ToOwned::to_owned), ..child("Fern") }
    }

    fn standing(case: &Case) -> Vec<String> {
        let found = case.standing(|kind| kind == "note").unwrap();
        found.records.iter().map(|stored| stored.name.id.clone()).collect()
    }

    #[test]
    fn what_was_added_is_read_back() {
        let folder = tempfile::tempdir().unwrap();
        let (case, _) = Case::create(folder.path(), &child("Fern")).unwrap();
        let name = case.add(&note(1, "rain", None)).unwrap();
        let found = Case::open(folder.path()).unwrap().read().unwrap();
        assert_eq!(found.records.len(), 2);
        assert!(found.left_out.is_empty());
        assert_eq!(found.records[1].name, name);
        assert_eq!(found.records[1].record, note(1, "rain", None));
        assert_eq!(case.child().unwrap().alias, "Fern");
    }

    #[test]
    fn the_same_record_twice_is_one_record() {
        let folder = tempfile::tempdir().unwrap();
        let (case, _) = Case::create(folder.path(), &child("Fern")).unwrap();
        let first = case.add(&note(1, "rain", None)).unwrap();
        assert_eq!(case.add(&note(1, "rain", None)).unwrap(), first);
        assert_eq!(case.read().unwrap().records.len(), 2);
    }

    #[test]
    fn one_changed_byte_is_found_and_never_written_over() {
        let folder = tempfile::tempdir().unwrap();
        let (case, _) = Case::create(folder.path(), &child("Fern")).unwrap();
        let name = case.add(&note(1, "rain", None)).unwrap();
        let path = folder.path().join(name.to_string());
        let text = fs::read_to_string(&path).unwrap().replace("rain", "pain");
        fs::write(&path, &text).unwrap();
        let found = case.read().unwrap();
        assert_eq!(found.records.len(), 1);
        assert!(matches!(&found.left_out[..], [CaseFault::Changed { name: changed }] if *changed == name.to_string()));
        assert!(matches!(case.add(&note(1, "rain", None)), Err(CaseFault::Changed { .. })));
        assert_eq!(fs::read_to_string(&path).unwrap(), text);
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

    #[test]
    fn a_correction_stands_in_place_of_what_it_corrects() {
        let folder = tempfile::tempdir().unwrap();
        let (case, _) = Case::create(folder.path(), &child("Fern")).unwrap();
        let first = case.add(&note(1, "rain", None)).unwrap();
        let second = case.add(&note(2, "snow", Some(&first.id))).unwrap();
        assert_eq!(standing(&case), std::slice::from_ref(&second.id));
        assert_eq!(case.read().unwrap().records.len(), 3, "history stays readable");
        // Two people correct the same record apart: both are kept, the one written last counts.
        let third = case.add(&note(3, "hail", Some(&first.id))).unwrap();
        assert_eq!(standing(&case), std::slice::from_ref(&third.id));
        // Taken back: nothing stands in its place but the other correction.
        let body = RecordBody::Correction(CorrectionBody { why: "wrong case".to_owned() });
        case.add(&RecordDoc { body, replaces: Some(third.id.clone()), ..note(4, "", None) }).unwrap();
        assert_eq!(standing(&case), [second.id]);
    }
}
