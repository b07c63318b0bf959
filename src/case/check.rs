//! Checking a case: every hash, every reference, every file that is no record. Mending moves files aside into a folder
//! beside the case; nothing is deleted, and no sound file is touched.

use std::collections::{BTreeMap, BTreeSet};
use std::ffi::{OsStr, OsString};
use std::path::{Path, PathBuf};

use jiff::{SignedDuration, Timestamp};

use crate::files;
use crate::words::printable;

use super::disk::{Disk, RealDisk, above, make_folder};
use super::fault::CaseFault;
use super::history::{CORRECTION, History};
use super::listing::once_was;
use super::name::{RecordName, id_of, name_of};
use super::sense::impossible;
use super::store::{Case, Stored, read_limited};

/// A temporary file older than this belongs to no writer that is still at work.
const LEFTOVER: SignedDuration = SignedDuration::from_hours(1);

/// Something about one file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Finding {
    /// The file's name.
    pub name: String,
    /// What it is, fixed for ever.
    pub code: &'static str,
    /// What is wrong and what to do.
    pub text: String,
    /// What mending does with it.
    mend: Mend,
}

/// What mending does with a file.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Mend {
    /// Nothing: it is not ours, or moving it helps nobody.
    Leave,
    /// Moves it aside.
    Aside(OsString),
    /// Stores its bytes under the name they have earned, then moves it aside.
    Restore(OsString, RecordName),
}

/// What a check found.
#[derive(Clone, Debug, Default)]
pub struct Checked {
    /// Sound records.
    pub records: usize,
    /// Sound kept photos.
    pub photos: usize,
    /// What is wrong.
    pub findings: Vec<Finding>,
    /// What is good to know, and no fault.
    pub notices: Vec<Finding>,
}

/// What mending did.
#[derive(Clone, Debug, Default)]
pub struct Mended {
    /// Files that were moved aside.
    pub moved: Vec<String>,
    /// Records that got their right name back.
    pub restored: Vec<String>,
    /// Where they were moved.
    pub aside: PathBuf,
}

/// Checks a case. Temporary files of killed writers are named, and removed once they are older than an hour.
pub fn check(case: &Case, now: Timestamp) -> Result<Checked, CaseFault> {
    let listing = case.listing()?;
    let mut checked = Checked::default();
    let mut sound: BTreeMap<String, RecordName> = BTreeMap::new();
    let mut records = Vec::new();
    for name in listing.named {
        if name.is_photo() {
            match case.sound_bytes(&name) {
                Ok(_) => {
                    checked.photos += 1;
                    sound.insert(name.id.clone(), name);
                }
                Err(fault) => checked.findings.push(damage(&name, &fault)),
            }
            continue;
        }
        match case.read_one(name.clone()) {
            Ok(stored) => {
                checked.records += 1;
                for why in impossible(&stored.record) {
                    let text = format!(
                        "It is as it was written, but {why}. Correct it: `stillroom case add DIR FILE --replaces {}`.",
                        name.id
                    );
                    checked.findings.push(left(name.to_string(), "impossible", text));
                }
                sound.insert(name.id.clone(), name);
                records.push(stored);
            }
            Err(fault) => checked.findings.push(damage(&name, &fault)),
        }
    }
    for file in &listing.others {
        checked.findings.push(other(case, file, &sound));
    }
    for folder in &listing.foreign {
        let text = "It is a folder, a link or a device, and no part of the case. Move it elsewhere.".to_owned();
        checked.findings.push(left(shown(folder), "foreign", text));
    }
    references(&records, &sound, &mut checked);
    if !sound.values().any(|name| name.kind == "child") {
        let text = "No sound child record is left, so nobody can say whose case this is. Fetch it from a pack, a backup or \
                    the other home: `stillroom case merge DIR FROM`.";
        checked.findings.push(left("child".to_owned(), "no-child", text.to_owned()));
    }
    for file in &listing.temporary {
        checked.notices.push(leftover(case.folder(), file, now));
    }
    checked.findings.sort_by(|a, b| (&a.name, a.code, &a.text).cmp(&(&b.name, b.code, &b.text)));
    Ok(checked)
}

fn left(name: String, code: &'static str, text: String) -> Finding {
    Finding { name, code, text, mend: Mend::Leave }
}

fn shown(name: &OsStr) -> String {
    printable(&name.to_string_lossy())
}

/// A file with a record's name that is no sound record.
fn damage(name: &RecordName, fault: &CaseFault) -> Finding {
    let file = name.to_string();
    let aside = Mend::Aside(OsString::from(&file));
    match fault {
        CaseFault::Changed { .. } => {
            let text = "It was changed after it was written: its hash does not match its name. Fetch it again from where it was \
                        written; `--repair` moves this one aside.";
            Finding { name: file, code: "changed", text: text.to_owned(), mend: aside }
        }
        CaseFault::TooLarge { bytes, .. } => {
            let text = format!("It has {bytes} bytes, more than any record; `--repair` moves it aside.");
            Finding { name: file, code: "too-large", text, mend: aside }
        }
        // Its hash is right, so it is as somebody wrote it: perhaps a newer version of this program.
        CaseFault::Unreadable { why, .. } => {
            left(file, "unreadable", format!("Its hash is right, but {why}. It was left where it is."))
        }
        other => left(file, "cannot-read", format!("{other}. Check the rights of the file and the disk.")),
    }
}

/// A file that has no record's name: a copy, a record under another name, or a stranger.
fn other(case: &Case, file: &OsString, sound: &BTreeMap<String, RecordName>) -> Finding {
    let name = shown(file);
    let bytes = match read_limited(&case.folder().join(file), &name) {
        Ok(bytes) => bytes,
        Err(fault) => {
            return left(name, "stray", format!("It is no record of this case ({fault}). Move it elsewhere."));
        }
    };
    let id = id_of(&bytes);
    if let Some(original) = sound.get(&id) {
        let text = format!(
            "It holds the same bytes as {original}: a copy that a file-sync service, a browser or a person made. Nothing is \
             lost without it; `--repair` moves it aside."
        );
        return Finding { name, code: "copy", text, mend: Mend::Aside(file.clone()) };
    }
    if let Some(right) = record_in(&bytes) {
        let text = format!("It is the sound record {right} under another name; `--repair` gives it its name back.");
        return Finding { name, code: "renamed", text, mend: Mend::Restore(file.clone(), right) };
    }
    if let Some(hash) = once_was(&name) {
        let text = match sound.get(&hash) {
            Some(original) => format!(
                "It looks like a copy of {original}, but other bytes: somebody edited it, or it was cut. The record itself is \
                 sound; `--repair` moves this one aside."
            ),
            None => "It was a record once, but its bytes were changed and the record itself is not here. Fetch it again from \
                     where it was written; `--repair` moves this one aside."
                .to_owned(),
        };
        return Finding { name, code: "changed-copy", text, mend: Mend::Aside(file.clone()) };
    }
    left(name, "stray", "It is no record of this case. Move it elsewhere; `--repair` leaves it where it is.".to_owned())
}

/// The name that these bytes have earned, if they are a record.
pub(super) fn record_in(bytes: &[u8]) -> Option<RecordName> {
    let record = crate::contract::read_record(std::str::from_utf8(bytes).ok()?).ok()?;
    Some(name_of(bytes, record.date.parse().ok()?, record.body.kind()))
}

/// Every reference leads somewhere; competing corrections and photos that no audit names are worth a word.
fn references(records: &[Stored], sound: &BTreeMap<String, RecordName>, checked: &mut Checked) {
    let mut named_photos = BTreeSet::new();
    for stored in records {
        let (name, record) = (&stored.name, &stored.record);
        let mut missing = |what: &str, id: &str| {
            let text = format!(
                "It names {what} `{}`, which is not here or not sound. Fetch it from where it was written, a pack or a backup.",
                printable(id)
            );
            checked.findings.push(left(name.to_string(), "missing-reference", text));
        };
        for id in record.body.references() {
            if sound.get(id).is_none_or(|other| other.is_photo()) {
                missing("the record", id);
            }
        }
        for id in record.body.photos() {
            named_photos.insert(id.as_str());
            if !sound.get(id).is_some_and(RecordName::is_photo) {
                missing("the kept photo", id);
            }
        }
        if let Some(id) = record.replaces.as_deref() {
            match sound.get(id) {
                None => missing("as replaced the record", id),
                Some(old) if old.kind != name.kind && name.kind != CORRECTION => {
                    let text = format!("It says that it replaces {old}, a record of another kind; both are shown.");
                    checked.findings.push(left(name.to_string(), "replaces-another-kind", text));
                }
                Some(_) => {}
            }
        }
    }
    for photo in sound.values().filter(|name| name.is_photo() && !named_photos.contains(name.id.as_str())) {
        let text = "No audit names this photo: an audit that was broken off may have left it.".to_owned();
        checked.notices.push(left(photo.to_string(), "photo-without-audit", text));
    }
    for group in History::of(records).conflicts() {
        let Some(last) = group.last().and_then(|id| sound.get(id)) else { continue };
        let text = format!(
            "{} corrections of one record compete: {}. All are kept; figures use this one, written last. Settle it with a \
             correction: `stillroom case withdraw DIR ID --why …`.",
            group.len(),
            group.join(", ")
        );
        checked.notices.push(left(last.to_string(), "competing-corrections", text));
    }
}

/// A temporary file: named, and removed once it is old.
fn leftover(folder: &Path, file: &OsString, now: Timestamp) -> Finding {
    let path = folder.join(file);
    let written =
        files::metadata(&path).and_then(|meta| meta.modified()).ok().and_then(|at| Timestamp::try_from(at).ok());
    let old = written.is_some_and(|written| now.duration_since(written) > LEFTOVER);
    let removed = old && RealDisk.remove(&path).is_ok();
    let text = if removed {
        "A writer that was stopped left this temporary file; it never was a record. It was removed."
    } else {
        "A writer that is at work or was stopped left this temporary file; it is no record. A check removes it after an hour."
    };
    left(shown(file), if removed { "leftover-removed" } else { "leftover" }, text.to_owned())
}

/// Where files of a case are moved aside: a folder beside it.
pub fn aside_of(folder: &Path) -> PathBuf {
    let folder = files::canonicalize(folder).unwrap_or_else(|_| folder.to_owned());
    let name = folder.file_name().unwrap_or_else(|| OsStr::new("case")).to_string_lossy().into_owned();
    above(&folder).join(format!("{name}-set-aside"))
}

/// Moves damaged files and copies aside and gives renamed records their name back.
pub fn mend(case: &Case, checked: &Checked) -> Result<Mended, CaseFault> {
    let mut mended = Mended { aside: aside_of(case.folder()), ..Mended::default() };
    for finding in &checked.findings {
        let file = match &finding.mend {
            Mend::Leave => continue,
            Mend::Aside(file) => file,
            Mend::Restore(file, right) => {
                let bytes = read_limited(&case.folder().join(file), &finding.name)?;
                // Between check and mending the file may have changed; only bytes that earn the name get it.
                if id_of(&bytes) != right.id {
                    continue;
                }
                case.add_bytes(right, &bytes)?;
                mended.restored.push(right.to_string());
                file
            }
        };
        if !files::is_folder(&mended.aside) {
            make_folder(&RealDisk, &mended.aside).map_err(CaseFault::io(&mended.aside))?;
        }
        move_aside(&case.folder().join(file), &mended.aside, file)?;
        mended.moved.push(finding.name.clone());
    }
    if !mended.moved.is_empty() {
        for folder in [mended.aside.as_path(), case.folder()] {
            RealDisk.sync_folder(folder).map_err(CaseFault::io(folder))?;
        }
    }
    Ok(mended)
}

/// Moves a file, under its own name or that name with a number where it is taken.
fn move_aside(from: &Path, aside: &Path, file: &OsString) -> Result<(), CaseFault> {
    for number in 1..=u32::MAX {
        let mut name = file.clone();
        if number > 1 {
            name.push(format!(".{number}"));
        }
        match move_new(from, &aside.join(&name)) {
            Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists => {}
            other => return other.map_err(CaseFault::io(from)),
        }
    }
    Ok(())
}

/// Moves without replacing, and without ever removing the file where that fails.
fn move_new(from: &Path, to: &Path) -> std::io::Result<()> {
    if files::symlink_metadata(to).is_ok() {
        return Err(std::io::ErrorKind::AlreadyExists.into());
    }
    files::rename(from, to)
}
