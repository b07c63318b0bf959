//! Handing cases over: sealed packs out, packs in, a clinic's incoming folder.

use std::collections::{BTreeMap, BTreeSet};
use std::io::Read;
use std::path::{Path, PathBuf};

use jiff::Timestamp;

use crate::case::{self, Case, CaseFault, Opened, PackFault, Plan, RecordName, files_in, folders_in};
use crate::contract::{CollectDoc, CollectedDoc, KindCountDoc, PackedDoc, RECORD_KINDS, UnpackedDoc, UnreadableDoc};
use crate::files::{exists, is_folder};
use crate::words::printable;

use super::files::{self, Named, short_name, shown};
use super::refusal::Refusal;

/// Fewer signs than this are guessed by trying. Convention.
const SHORT: usize = 16;

impl From<PackFault> for Refusal {
    fn from(fault: PackFault) -> Self {
        match fault {
            PackFault::Case(fault) => fault.into(),
            fault => Self::new(fault.code(), fault.to_string()).hint(fault.hint()),
        }
    }
}

/// The passphrases in a file, one a line; the first is the one for a single pack.
pub fn passphrases(text: &Named<String>) -> Result<Vec<String>, Refusal> {
    let lines: Vec<String> = text.content.lines().map(ToOwned::to_owned).filter(|line| !line.is_empty()).collect();
    if lines.is_empty() {
        return Err(Refusal::new("empty-passphrase", format!("{} holds no passphrase", text.name))
            .at(text.name.clone())
            .hint("write the passphrase on the first line"));
    }
    Ok(lines)
}

/// What to say of a passphrase that is too easy to guess.
pub fn too_short(passphrase: &str) -> Option<&'static str> {
    (passphrase.chars().count() < SHORT).then_some(
        "This passphrase is short: four words or more that belong together for nobody else are far harder to guess.",
    )
}

/// A pack before it is sealed.
#[derive(Debug)]
pub struct Packing {
    case: Case,
    plan: Plan,
    /// What it will hold; `file` and `bytes` are not known yet.
    pub doc: PackedDoc,
}

/// Says what a pack would hold, and before anybody types a passphrase whether it can be written at all.
pub fn plan(folder: &Path, out: &Path, place: Option<&str>, now: Timestamp) -> Result<Packing, Refusal> {
    let case = Case::open(folder)?;
    case::can_pack(out).map_err(|fault| at(fault, out))?;
    let plan = case::plan(&case, place, now)?;
    let names = plan.list.files.iter().filter_map(|file| RecordName::parse(&file.name)).map(|name| (name.kind, None));
    let doc = PackedDoc {
        file: shown(out),
        bytes: 0,
        alias: plan.list.alias.clone(),
        place: plan.list.place.clone(),
        holds: counted(names),
        left_out: counted(plan.left_out.iter().map(|(_, kind, why)| (kind.clone(), Some(*why)))),
    };
    Ok(Packing { case, plan, doc })
}

/// Counts kinds, in the order of the kinds of records.
pub(super) fn counted<'a>(names: impl Iterator<Item = (String, Option<&'a str>)>) -> Vec<KindCountDoc> {
    let mut counts: BTreeMap<(usize, String, Option<&str>), usize> = BTreeMap::new();
    for (kind, why) in names {
        let order = RECORD_KINDS.iter().position(|one| *one == kind).unwrap_or(RECORD_KINDS.len());
        *counts.entry((order, kind, why)).or_default() += 1;
    }
    let doc = |((_, kind, why), count): ((usize, String, Option<&str>), usize)| KindCountDoc {
        kind,
        count,
        why: why.map(ToOwned::to_owned),
    };
    counts.into_iter().map(doc).collect()
}

/// Seals it.
pub fn seal(packing: Packing, out: &Path, passphrase: &str) -> Result<PackedDoc, Refusal> {
    let bytes =
        case::pack(&packing.case, &packing.plan, out, passphrase, case::WORK).map_err(|fault| at(fault, out))?;
    Ok(PackedDoc { bytes, ..packing.doc })
}

/// Writes it without a seal.
pub fn plain(packing: Packing, out: &Path) -> Result<PackedDoc, Refusal> {
    let bytes = case::pack_plain(&packing.case, &packing.plan, out).map_err(|fault| at(fault, out))?;
    Ok(PackedDoc { bytes, ..packing.doc })
}

/// Whether a file is a sealed pack, so that a passphrase is needed.
pub fn is_sealed(file: &Path) -> Result<bool, Refusal> {
    let mut beginning = Vec::new();
    let read = files::open(file)?.take(32).read_to_end(&mut beginning);
    read.map_err(|error| Refusal::new("cannot-read", format!("cannot read {}: {error}", short_name(file))))?;
    Ok(case::is_sealed(&beginning))
}

/// Opens a pack beside the case that will take it; one without a seal needs no passphrase.
pub fn opened(file: &Path, beside: &Path, passphrase: Option<&str>) -> Result<Opened, Refusal> {
    let found = match passphrase {
        Some(passphrase) => case::unpack(file, beside, passphrase),
        None => case::unpack_plain(files::open(file)?, beside),
    };
    found.map_err(|fault| at(fault, file))
}

/// Takes a pack without a seal into the case of that folder, or makes it that case; `beside` is for opening it. How many
/// files were added.
pub fn take_in(pack: &[u8], beside: &Path, into: &Path) -> Result<usize, Refusal> {
    let opened = case::unpack_plain(pack, beside)?;
    if !is_folder(into) {
        let count = opened.case()?.names()?.len();
        opened.keep(into)?;
        return Ok(count);
    }
    let merged = case::merge(&Case::open(into)?, &opened.case()?, false)?;
    match merged.left_out.into_iter().next() {
        Some(fault) => Err(fault.into()),
        None => Ok(merged.added.len()),
    }
}

fn at(fault: PackFault, path: &Path) -> Refusal {
    let refusal = Refusal::from(fault);
    if refusal.place.is_none() { refusal.at(shown(path)) } else { refusal }
}

/// What can be said before anybody types a passphrase: the pack must be there, and the folder free.
pub fn can_unpack(file: &Path, into: &Path) -> Result<(), Refusal> {
    drop(files::open(file)?);
    match files_in(into).and_then(|files| Ok(files.len() + folders_in(into)?.len())) {
        Ok(0) | Err(CaseFault::Missing(_)) => Ok(()),
        Ok(_) => Err(Refusal::from(CaseFault::NotEmpty(into.to_owned()))
            .hint("unpack into a folder that is not there yet, then `stillroom case merge` the two")),
        Err(fault) => Err(fault.into()),
    }
}

/// Opens a pack into a new folder.
pub fn unpack(file: &Path, into: &Path, passphrase: &str) -> Result<UnpackedDoc, Refusal> {
    can_unpack(file, into)?;
    let opened = case::unpack(file, standing_above(into), passphrase).map_err(|fault| at(fault, file))?;
    let case = opened.keep(into).map_err(|fault| at(fault, into))?;
    let names = case.names()?;
    let photos = names.iter().filter(|name| name.is_photo()).count();
    Ok(UnpackedDoc { folder: shown(into), alias: case.child()?.alias, records: names.len() - photos, photos })
}

/// The nearest folder above a path that is there.
pub(super) fn standing_above(path: &Path) -> &Path {
    let above = path.ancestors().skip(1).find(|above| is_folder(above));
    above.filter(|above| !above.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

/// Opens every pack of a folder and merges each into its case: the one that shares a child record, else a new one.
/// Each passphrase is tried in turn. A pack that does not open changes nothing.
pub fn collect(folder: &Path, into: &Path, passphrases: &[String]) -> Result<CollectDoc, Refusal> {
    let files = files_in(folder)?;
    let mut doc = CollectDoc { packs: Vec::new(), failed: Vec::new() };
    for file in files {
        let name = short_name(&file);
        match one(&file, into, passphrases) {
            Ok(collected) => doc.packs.push(CollectedDoc { pack: name, ..collected }),
            Err(refusal) => doc.failed.push(UnreadableDoc { name, text: refusal.message }),
        }
    }
    Ok(doc)
}

fn one(file: &Path, into: &Path, passphrases: &[String]) -> Result<CollectedDoc, Refusal> {
    let opened = open_any(file, into, passphrases)?;
    let from = opened.case()?;
    let alias = from.child()?.alias;
    let collected = |case: &Path, new, added, already| CollectedDoc {
        pack: String::new(),
        case: shown(case),
        alias: printable(&alias),
        new,
        added,
        already,
    };
    if let Some(case) = same_case(&from, into)? {
        let merged = case::merge(&case, &from, true)?;
        if let Some(fault) = merged.left_out.first() {
            // What could be added was: every record is whole by itself, and doing it again changes nothing.
            let added = merged.added.len();
            let text = format!("merged into {} in part, {added} added: {fault}", shown(case.folder()));
            return Err(Refusal::new("merged-in-part", text));
        }
        return Ok(collected(case.folder(), false, merged.added.len(), merged.already));
    }
    let names = from.names()?.len();
    let folder = free_folder(into, &alias);
    opened.keep(&folder)?;
    Ok(collected(&folder, true, names, 0))
}

fn open_any(file: &Path, into: &Path, passphrases: &[String]) -> Result<Opened, PackFault> {
    let beside = if is_folder(into) { into } else { standing_above(into) };
    let mut wrong = PackFault::EmptyPassphrase;
    for passphrase in passphrases {
        match case::unpack(file, beside, passphrase) {
            Err(PackFault::WrongPassphrase) => wrong = PackFault::WrongPassphrase,
            other => return other,
        }
    }
    Err(wrong)
}

/// The case of the folder that shares a child record with this one. An alias alone is no proof: two families may have
/// chosen the same plant.
fn same_case(from: &Case, cases: &Path) -> Result<Option<Case>, Refusal> {
    let children = |case: &Case| -> Result<BTreeSet<RecordName>, CaseFault> {
        Ok(case.names()?.into_iter().filter(|name| name.kind == "child").collect())
    };
    let wanted = children(from)?;
    if !is_folder(cases) {
        return Ok(None);
    }
    for folder in folders_in(cases)? {
        let case = Case::open_damaged(&folder)?;
        if !children(&case)?.is_disjoint(&wanted) {
            return Ok(Some(case));
        }
    }
    Ok(None)
}

/// A folder for a new case, named after the alias.
fn free_folder(cases: &Path, alias: &str) -> PathBuf {
    let word: String =
        alias.to_lowercase().chars().map(|sign| if sign.is_alphanumeric() { sign } else { '-' }).collect();
    let word = word.trim_matches('-');
    let word = if word.is_empty() { "case" } else { word };
    let numbered = (2..).map(|number: u32| cases.join(format!("{word}-{number}")));
    std::iter::once(cases.join(word)).chain(numbered).find(|path| !exists(path)).unwrap_or_else(|| cases.join(word))
}
