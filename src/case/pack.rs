//! Packing: what goes in, then sealed into one file. And unpacking: all of it into a new folder, or nothing.

use std::collections::{BTreeMap, BTreeSet};
use std::io::{self, BufWriter, Read, Write};
use std::path::Path;
use std::time::Duration;

use jiff::Timestamp;

use crate::contract::{PACK_FORMAT, PackFileDoc, PackListDoc, RecordBody};
use crate::files::{self, Beside, File, Hidden};
use crate::words::printable;

use super::archive;
use super::disk::{Disk, RealDisk, TEMPORARY, above};
use super::fault::CaseFault;
use super::mentions::mentions;
use super::name::RecordName;
use super::pack_fault::PackFault;
use super::seal;
use super::store::{Case, make_empty, parse};

/// What a pack will hold, known before it is sealed.
#[derive(Clone, Debug)]
pub struct Plan {
    /// The list that goes into it.
    pub list: PackListDoc,
    /// What stays behind, each with why.
    pub left_out: Vec<(String, String, &'static str)>,
}

const ANOTHER_PLACE: &str = "of another place";
const NO_PLACE: &str = "says no place, and may be about another one";
const MENTIONS: &str = "mentions another place";
const FOLLOWS: &str = "belongs to a record that stays behind";
const DAMAGED: &str = "damaged; `stillroom case check` says how";

/// What a pack of a case will hold; with `place`, only what is about that one. No more than one record is in memory at a
/// time.
pub fn plan(case: &Case, place: Option<&str>, now: Timestamp) -> Result<Plan, PackFault> {
    let alias = case.child()?.alias;
    let listing = case.listing()?;
    let mut left_out = Vec::new();
    let mut damaged = |name: String, kind: String| left_out.push((name, kind, DAMAGED));
    let mut files: BTreeMap<RecordName, u64> = BTreeMap::new();
    let mut places = BTreeSet::new();
    for name in listing.named {
        match case.sound_bytes(&name) {
            Ok(bytes) => {
                let size = bytes.len() as u64;
                if place.is_some() && !name.is_photo() {
                    places.extend(parse(bytes, &name).ok().and_then(|record| record.body.place().map(str::to_owned)));
                }
                files.insert(name, size);
            }
            Err(CaseFault::Changed { .. } | CaseFault::TooLarge { .. }) => damaged(name.to_string(), name.kind.clone()),
            Err(fault) => return Err(fault.into()),
        }
    }
    for name in listing.others {
        let name = printable(&name.to_string_lossy());
        damaged(name, "stray".to_owned());
    }
    if let Some(place) = place {
        let (behind, shown) = stays_behind(case, files.keys(), &places, place)?;
        for (name, why) in behind {
            files.remove(&name);
            left_out.push((name.to_string(), name.kind.clone(), why));
        }
        let unseen: Vec<RecordName> =
            files.keys().filter(|name| name.is_photo() && !shown.contains(&name.id)).cloned().collect();
        for name in unseen {
            files.remove(&name);
            left_out.push((name.to_string(), name.kind.clone(), FOLLOWS));
        }
    }
    let files = files.into_iter().map(|(name, bytes)| PackFileDoc { name: name.to_string(), bytes }).collect();
    let list = PackListDoc {
        format: PACK_FORMAT.to_owned(),
        alias,
        made: now.to_string(),
        place: place.map(ToOwned::to_owned),
        files,
    };
    Ok(Plan { list, left_out })
}

/// What is kept of a record while it is decided whether it goes out.
struct Tie {
    name: RecordName,
    /// The records it names.
    names: Vec<String>,
    /// The photos it keeps.
    photos: Vec<String>,
}

/// Records that stay behind, each with why.
type Behind = BTreeMap<RecordName, &'static str>;

/// Which records stay behind when only one place goes out, and the photos of those that go. In doubt a record stays behind.
fn stays_behind<'a>(
    case: &Case,
    files: impl Iterator<Item = &'a RecordName>,
    places: &BTreeSet<String>,
    place: &str,
) -> Result<(Behind, BTreeSet<String>), PackFault> {
    if !places.contains(place) {
        let meant = crate::words::did_you_mean(place, places.iter().map(String::as_str));
        return Err(PackFault::NoSuchPlace(format!("{}{}", printable(place), meant.replace('`', "'"))));
    }
    let others: Vec<&str> = places.iter().map(String::as_str).filter(|other| *other != place).collect();
    let mut behind = Behind::new();
    let mut ties = Vec::new();
    for name in files.filter(|name| !name.is_photo()) {
        let Ok(record) = parse(case.sound_bytes(name)?, name) else {
            // A kind of a newer version: nobody here can say what it is about.
            behind.insert(name.clone(), NO_PLACE);
            continue;
        };
        let why = match (&record.body, record.body.place()) {
            (_, Some(other)) if other != place => Some(ANOTHER_PLACE),
            (RecordBody::Note(_) | RecordBody::ScreenTime(_), None) => Some(NO_PLACE),
            (RecordBody::Session(_) | RecordBody::Decision(_), None) if !others.is_empty() => Some(NO_PLACE),
            _ if mentions(&record, &others, place) => Some(MENTIONS),
            _ => None,
        };
        if let Some(why) = why {
            behind.insert(name.clone(), why);
        }
        let mut names: Vec<String> = record.body.references().into_iter().map(ToOwned::to_owned).collect();
        names.extend(record.replaces.clone());
        ties.push(Tie { name: name.clone(), names, photos: record.body.photos().to_vec() });
    }
    // Whoever names a record that stays behind stays behind too, or the pack would not be whole.
    loop {
        let gone: BTreeSet<&str> = behind.keys().map(|name| name.id.as_str()).collect();
        let follows: Vec<RecordName> = ties
            .iter()
            .filter(|tie| !behind.contains_key(&tie.name) && tie.names.iter().any(|id| gone.contains(id.as_str())))
            .map(|tie| tie.name.clone())
            .collect();
        if follows.is_empty() {
            break;
        }
        behind.extend(follows.into_iter().map(|name| (name, FOLLOWS)));
    }
    let shown = ties.into_iter().filter(|tie| !behind.contains_key(&tie.name)).flat_map(|tie| tie.photos).collect();
    Ok((behind, shown))
}

/// Whether a pack can get that name: nothing is there, and the folder around it is.
pub fn can_pack(out: &Path) -> Result<(), PackFault> {
    if files::symlink_metadata(out).is_ok() {
        return Err(PackFault::Exists(out.to_owned()));
    }
    files::metadata(above(out)).map(drop).map_err(PackFault::Writing)
}

/// Seals a planned pack into a file that is not there yet, and gives its size. The file is there whole or not at all. `work`
/// is [`super::WORK`] but where a test must not wait.
pub fn pack(case: &Case, plan: &Plan, out: &Path, passphrase: &str, work: u8) -> Result<u64, PackFault> {
    if passphrase.is_empty() {
        return Err(PackFault::EmptyPassphrase);
    }
    written(out, |beside| seal::seal(beside, passphrase, work, |content| fill(content, case, plan)))
}

/// The same without a seal: anybody who has the file can read it.
pub fn pack_plain(case: &Case, plan: &Plan, out: &Path) -> Result<u64, PackFault> {
    written(out, |mut beside| fill(&mut beside, case, plan).map(|()| beside))
}

/// The same, in memory.
pub fn packed_plain(case: &Case, plan: &Plan) -> Result<Vec<u8>, PackFault> {
    let mut bytes = Vec::new();
    fill(&mut bytes, case, plan).map(|()| bytes)
}

fn fill(content: &mut dyn Write, case: &Case, plan: &Plan) -> Result<(), PackFault> {
    archive::write(content, &plan.list, |file| {
        let name = RecordName::parse(&file.name)
            .ok_or_else(|| PackFault::Case(CaseFault::Changed { name: file.name.clone() }))?;
        Ok(case.sound_bytes(&name)?)
    })
}

type Writer = BufWriter<Beside>;

fn written(out: &Path, write: impl FnOnce(Writer) -> Result<Writer, PackFault>) -> Result<u64, PackFault> {
    can_pack(out)?;
    let folder = above(out);
    let beside = Beside::new(folder, TEMPORARY).map_err(PackFault::Writing)?;
    let file = write(BufWriter::new(beside))?.into_inner().map_err(|error| PackFault::Writing(error.into_error()))?;
    let bytes = file.bytes().map_err(PackFault::Writing)?;
    file.publish(out).map_err(|error| match error.kind() {
        io::ErrorKind::AlreadyExists => PackFault::Exists(out.to_owned()),
        _ => PackFault::Writing(error),
    })?;
    RealDisk.sync_folder(folder).map_err(PackFault::Writing)?;
    Ok(bytes)
}

/// A pack that was opened into a folder of its own, which goes when this is dropped unless it is kept.
#[derive(Debug)]
pub struct Opened {
    folder: Hidden,
    /// What the pack said of itself.
    pub list: PackListDoc,
}

impl Opened {
    /// The case.
    pub fn case(&self) -> Result<Case, CaseFault> {
        Case::open(self.folder.path())
    }

    /// Makes it a case of its own in a folder that is empty or not there yet.
    pub fn keep(self, into: &Path) -> Result<Case, PackFault> {
        make_empty(into)?;
        let fault = CaseFault::io(into);
        // Not every system lets a folder take the place of an empty one.
        files::remove_dir(into).map_err(&fault)?;
        let from = self.folder.keep();
        if let Err(error) = files::rename(&from, into) {
            let _gone = files::remove_dir_all(&from);
            return Err(fault(error).into());
        }
        RealDisk.sync_folder(above(into)).map_err(&fault)?;
        Ok(Case::open(into)?)
    }
}

/// What the hidden folder's name begins with while a pack is opened.
const UNPACKING: &str = ".tmp-unpack-";
/// One that is older belongs to nobody who is still at work.
const LEFTOVER: Duration = Duration::from_secs(3600);

/// Removes what an unpacking that was killed has left: opened records must not lie about.
fn remove_leftovers(beside: &Path) {
    let Ok(entries) = files::read_dir(beside) else { return };
    for entry in entries.flatten() {
        let old = || entry.metadata().ok()?.modified().ok()?.elapsed().ok().map(|age| age > LEFTOVER);
        if entry.file_name().to_string_lossy().starts_with(UNPACKING) && old() == Some(true) {
            let _still_there = files::remove_dir_all(entry.path());
        }
    }
}

/// Opens a pack into a hidden folder inside `beside`, a folder that is there. Nothing is left of a pack that fails.
pub fn unpack(pack: &Path, beside: &Path, passphrase: &str) -> Result<Opened, PackFault> {
    let file = File::open(pack).map_err(PackFault::Reading)?;
    opened(beside, |take| seal::open(file, passphrase, |content| archive::read(content, take)))
}

/// The same for a pack without a seal.
pub fn unpack_plain(mut pack: impl Read, beside: &Path) -> Result<Opened, PackFault> {
    opened(beside, |take| archive::read(&mut pack, take))
}

fn opened(
    beside: &Path,
    read: impl FnOnce(archive::Take<'_>) -> Result<PackListDoc, PackFault>,
) -> Result<Opened, PackFault> {
    remove_leftovers(beside);
    let folder = Hidden::new(beside, UNPACKING).map_err(CaseFault::io(beside))?;
    files::owner_only(folder.path()).map_err(CaseFault::io(folder.path()))?;
    let list = read(&mut |name, bytes| {
        let path = folder.path().join(name.to_string());
        write_synced(&path, bytes).map_err(CaseFault::io(&path)).map_err(PackFault::from)
    })?;
    RealDisk.sync_folder(folder.path()).map_err(CaseFault::io(folder.path()))?;
    let opened = Opened { folder, list };
    opened.case().and_then(|case| case.child()).map_err(|_| PackFault::Hostile {
        entry: archive::LIST.to_owned(),
        why: "lists no sound child record, so this is no case".to_owned(),
    })?;
    Ok(opened)
}

fn write_synced(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut file = RealDisk.create(path)?;
    file.write_all(bytes)?;
    file.sync_all()
}
