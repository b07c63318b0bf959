//! The plain archive inside a pack: a ustar file (POSIX.1-1988 tar) that any `tar` lists. First `stillroom-pack.toml`,
//! which names every file and its size, then the files of the case, each under its own name.
//!
//! Reading trusts nothing: only plain files, only names that a case has, only the bytes that a name promises, in the order
//! and number that the list promises, and nothing after the end.

use std::collections::BTreeMap;
use std::io::{self, Read, Write};

use crate::contract::{PACK_FORMAT, PackFileDoc, PackListDoc, RecordFault, read_record};
use crate::words::printable;

use super::name::{RecordName, id_of};
use super::pack_fault::PackFault;
use super::store::LARGEST_RECORD;

/// The name of the list inside a pack.
pub const LIST: &str = "stillroom-pack.toml";

/// More files than any case has: ten years of twenty-five records a day.
const MOST_FILES: usize = 100_000;
/// A list of that many files.
const LARGEST_LIST: u64 = 12 << 20;
/// More bytes than any case has.
const MOST_BYTES: u64 = 16 << 30;

/// Takes one checked file of an archive.
pub(super) type Take<'a> = &'a mut dyn FnMut(&RecordName, &[u8]) -> Result<(), PackFault>;

/// Writes an archive: the list, then each file as `bytes` gives it.
pub(super) fn write(
    out: &mut dyn Write,
    list: &PackListDoc,
    mut bytes: impl FnMut(&PackFileDoc) -> Result<Vec<u8>, PackFault>,
) -> Result<(), PackFault> {
    let mut archive = tar::Builder::new(out);
    let text = toml::to_string(list).map_err(|error| PackFault::Sealing(error.to_string()))?;
    append(&mut archive, LIST, text.as_bytes())?;
    for file in &list.files {
        append(&mut archive, &file.name, &bytes(file)?)?;
    }
    archive.finish().map_err(PackFault::Writing)
}

/// Owner, time and rights are the same for every file: they say nothing about anybody.
fn append(archive: &mut tar::Builder<&mut dyn Write>, name: &str, bytes: &[u8]) -> Result<(), PackFault> {
    let mut header = tar::Header::new_ustar();
    header.set_path(name).map_err(PackFault::Writing)?;
    header.set_size(bytes.len() as u64);
    header.set_mode(0o600);
    header.set_mtime(0);
    header.set_entry_type(tar::EntryType::Regular);
    header.set_cksum();
    archive.append(&header, bytes).map_err(PackFault::Writing)
}

/// Reads an archive to its very end and hands each checked file to `take`; gives the list.
pub(super) fn read(input: &mut dyn Read, take: Take<'_>) -> Result<PackListDoc, PackFault> {
    let mut archive = tar::Archive::new(input);
    // Raw: long names, attributes and sparse files are refused by their type, not followed.
    let mut entries = archive.entries().map_err(read_fault)?.raw(true);
    let first = entries.next().ok_or_else(|| PackFault::Damaged("it is empty".to_owned()))?;
    let list = read_list(first)?;
    let mut promised: BTreeMap<&str, u64> = BTreeMap::new();
    let mut total = 0u64;
    for file in &list.files {
        if promised.insert(&file.name, file.bytes).is_some() {
            return Err(hostile(&file.name, "is listed twice"));
        }
        total = total.saturating_add(file.bytes);
    }
    if total > MOST_BYTES {
        return Err(hostile(LIST, "promises more bytes than any case has"));
    }
    for entry in entries {
        let mut entry = entry.map_err(read_fault)?;
        let name = name_of(&entry)?;
        let Some(record) = RecordName::parse(&name) else {
            return Err(hostile(&name, "is no name of a record or a kept photo"));
        };
        let Some(size) = promised.remove(name.as_str()) else {
            return Err(hostile(&name, "is not in the pack's list, or comes twice"));
        };
        if size > LARGEST_RECORD || entry.header().entry_size().map_err(read_fault)? != size {
            return Err(hostile(&name, "is larger than any record, or not of the size that the list gives"));
        }
        let bytes = whole(&mut entry, size)?;
        honest(&record, &name, &bytes)?;
        take(&record, &bytes)?;
    }
    if let Some((name, _)) = promised.first_key_value() {
        return Err(PackFault::Damaged(format!("{} of its list is not in it", printable(name))));
    }
    drained(archive.into_inner())?;
    Ok(list)
}

fn hostile(entry: &str, why: &str) -> PackFault {
    PackFault::Hostile { entry: printable(entry), why: why.to_owned() }
}

/// What a failed read inside an opened pack means: its seal is broken there, or it ends too early.
fn read_fault(error: io::Error) -> PackFault {
    match error.kind() {
        io::ErrorKind::UnexpectedEof => PackFault::Damaged("it was cut".to_owned()),
        io::ErrorKind::InvalidData | io::ErrorKind::Other | io::ErrorKind::InvalidInput => {
            PackFault::Damaged("its content was changed, or is no archive".to_owned())
        }
        _ => PackFault::Reading(error),
    }
}

/// The name of a plain file.
fn name_of<R: Read>(entry: &tar::Entry<'_, R>) -> Result<String, PackFault> {
    let name = String::from_utf8_lossy(&entry.path_bytes()).into_owned();
    match entry.header().entry_type() {
        tar::EntryType::Regular => Ok(name),
        _ => Err(hostile(&name, "is a link, a folder, a device or another thing that is no plain file")),
    }
}

fn whole<R: Read>(entry: &mut tar::Entry<'_, R>, size: u64) -> Result<Vec<u8>, PackFault> {
    let mut bytes = Vec::new();
    entry.take(size + 1).read_to_end(&mut bytes).map_err(read_fault)?;
    if bytes.len() as u64 == size { Ok(bytes) } else { Err(PackFault::Damaged("it was cut".to_owned())) }
}

fn read_list<R: Read>(first: io::Result<tar::Entry<'_, R>>) -> Result<PackListDoc, PackFault> {
    let mut entry = first.map_err(read_fault)?;
    let name = name_of(&entry)?;
    if name != LIST {
        return Err(hostile(&name, "comes first, where the pack's list should be"));
    }
    let size = entry.header().entry_size().map_err(read_fault)?;
    if size > LARGEST_LIST {
        return Err(hostile(&name, "is larger than any list"));
    }
    let bytes = whole(&mut entry, size)?;
    let text = String::from_utf8(bytes).map_err(|_| hostile(LIST, "is not text"))?;
    let list: PackListDoc = toml::from_str(&text).map_err(|error| hostile(LIST, error.message()))?;
    if list.format != PACK_FORMAT {
        return Err(hostile(LIST, "is of a format that this version does not know"));
    }
    if list.files.len() > MOST_FILES {
        return Err(hostile(LIST, "lists more files than any case has"));
    }
    Ok(list)
}

/// Bytes that their name promises, and that are what the name's kind says.
fn honest(record: &RecordName, name: &str, bytes: &[u8]) -> Result<(), PackFault> {
    if id_of(bytes) != record.id {
        return Err(hostile(name, "does not hold what its name promises"));
    }
    if record.is_photo() {
        // A JPEG begins so; the hash is of the packer's own making and shows only that nothing changed since.
        return if bytes.starts_with(&[0xff, 0xd8]) { Ok(()) } else { Err(hostile(name, "is no photo")) };
    }
    let text = std::str::from_utf8(bytes).map_err(|_| hostile(name, "is not text"))?;
    match read_record(text) {
        Ok(found) if found.body.kind() == record.kind && found.date == record.date.to_string() => Ok(()),
        Ok(_) => Err(hostile(name, "holds another kind or date than its name says")),
        // A newer version may have made it.
        Err(RecordFault::UnknownKind(_) | RecordFault::UnknownFormat(_)) => Ok(()),
        Err(RecordFault::Syntax(why)) => Err(hostile(name, &format!("does not read as a record: {why}"))),
    }
}

/// Reads what follows the archive's end: nothing but zeros, and not many. Only a seal read to its end is whole.
fn drained(rest: &mut dyn Read) -> Result<(), PackFault> {
    /// `tar` itself fills up to 10 kB.
    const MOST_PADDING: usize = 1 << 20;
    let mut buffer = [0u8; 4096];
    let mut padding = 0;
    loop {
        let read = rest.read(&mut buffer).map_err(read_fault)?;
        if read == 0 {
            return Ok(());
        }
        padding += read;
        if padding > MOST_PADDING || buffer[..read].iter().any(|byte| *byte != 0) {
            return Err(hostile("the archive", "goes on after its end"));
        }
    }
}
