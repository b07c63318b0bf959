//! Reading what a user names and writing what a user asked for. A dash is standard input, which is handed in.

use std::io::{self, Read};
use std::path::{Path, PathBuf};

use crate::case::write_whole;
use crate::files::{self, File};
use crate::words::printable;

use super::refusal::Refusal;

/// Largest text file read: a checklist of 500 items has about 200 kB.
pub const TEXT_LIMIT: u64 = 4 << 20;

/// Largest photo read: a 120-megapixel JPEG has about 60 MB, a 16-bit PNG far more.
pub const PHOTO_LIMIT: u64 = 400 << 20;

/// Bytes with the name they go by in messages.
#[derive(Clone, Debug)]
pub struct Named<T> {
    /// The file's name without its folder, or `standard input`.
    pub name: String,
    /// What it holds.
    pub content: T,
}

/// The name of a path as it may stand in a message or a document, without its folder.
pub fn short_name(path: &Path) -> String {
    if path == Path::new("-") {
        return "standard input".to_owned();
    }
    printable(&path.file_name().unwrap_or(path.as_os_str()).to_string_lossy())
}

/// Reads a whole file, or standard input for a dash, up to `limit` bytes.
pub fn read_bytes(path: &Path, limit: u64, stdin: &mut dyn Read) -> Result<Named<Vec<u8>>, Refusal> {
    let name = short_name(path);
    let mut content = Vec::new();
    let read = if path == Path::new("-") {
        stdin.take(limit + 1).read_to_end(&mut content)
    } else {
        open(path)?.take(limit + 1).read_to_end(&mut content)
    };
    read.map_err(|error| cannot_read(path, &error))?;
    if content.len() as u64 > limit {
        return Err(Refusal::new("too-large", format!("{name} is larger than {} MB", limit >> 20))
            .at(shown(path))
            .hint("check that this is the file you meant"));
    }
    Ok(Named { name, content })
}

/// Reads a text file, or standard input for a dash.
pub fn read_text(path: &Path, stdin: &mut dyn Read) -> Result<Named<String>, Refusal> {
    as_text(read_bytes(path, TEXT_LIMIT, stdin)?, &shown(path))
}

/// Bytes as text, without a byte order mark.
pub fn as_text(bytes: Named<Vec<u8>>, place: &str) -> Result<Named<String>, Refusal> {
    let Named { name, content } = bytes;
    match String::from_utf8(content) {
        Ok(content) => {
            let content = content.strip_prefix('\u{feff}').map(ToOwned::to_owned).unwrap_or(content);
            Ok(Named { name, content })
        }
        Err(error) => {
            let line =
                error.as_bytes()[..error.utf8_error().valid_up_to()].iter().filter(|&&byte| byte == b'\n').count() + 1;
            Err(Refusal::new("not-text", format!("{name}: line {line} is not UTF-8 text"))
                .at(place)
                .hint("save the file as plain text in UTF-8"))
        }
    }
}

/// Opens a regular file; a folder, a missing file and one without permission each get their own message.
pub fn open(path: &Path) -> Result<File, Refusal> {
    let meta = files::metadata(path).map_err(|error| cannot_read(path, &error))?;
    if meta.is_dir() {
        return Err(Refusal::new("is-a-folder", format!("{} is a folder, not a file", short_name(path)))
            .at(shown(path))
            .hint("name a file inside it"));
    }
    if !meta.is_file() {
        return Err(Refusal::new("not-a-file", format!("{} is a pipe or a device, not a file", short_name(path)))
            .at(shown(path))
            .hint("save it as a file first, or hand it over on standard input with `-`"));
    }
    File::open(path).map_err(|error| cannot_read(path, &error))
}

/// Writes a file whole or not at all.
pub fn write(path: &Path, content: &[u8]) -> Result<(), Refusal> {
    write_whole(path, content).map_err(|error| {
        Refusal::new("cannot-write", format!("cannot write {}: {error}", short_name(path)))
            .at(shown(path))
            .hint("check that the folder exists, that you may write there and that the disk has room")
    })
}

/// Makes a folder, and those above it, that only its owner may enter.
pub fn private_folder(path: &Path) -> Result<(), Refusal> {
    files::folder_of_owner(path, true).map_err(|error| {
        Refusal::new("cannot-write", format!("cannot make the folder {}: {error}", shown(path)))
            .at(shown(path))
            .hint("check that you may write there")
    })
}

/// Removes a file; one that is not there is as good as removed.
pub fn remove(path: &Path) -> Result<(), Refusal> {
    match files::remove_file(path) {
        Err(error) if error.kind() != io::ErrorKind::NotFound => {
            Err(Refusal::new("cannot-remove", format!("cannot remove {}: {error}", short_name(path)))
                .at(shown(path))
                .hint("remove it by hand"))
        }
        _ => Ok(()),
    }
}

/// Whether something is there.
pub fn is_there(path: &Path) -> bool {
    files::exists(path)
}

/// A path that does not hang on the folder one is in.
pub fn whole_path(path: &Path) -> PathBuf {
    files::canonicalize(path).unwrap_or_else(|_| path.to_owned())
}

/// Makes a folder that must not hold anything yet.
pub fn fresh_folder(path: &Path) -> Result<(), Refusal> {
    match files::read_dir(path) {
        Ok(mut entries) => {
            if entries.next().is_some() {
                return Err(Refusal::new("folder-not-empty", format!("{} is not empty", shown(path)))
                    .at(shown(path))
                    .hint("name a folder that is not there yet; nothing in it was touched"));
            }
            Ok(())
        }
        Err(error) if error.kind() == io::ErrorKind::NotFound => files::create_dir_all(path).map_err(|error| {
            Refusal::new("cannot-write", format!("cannot make the folder {}: {error}", shown(path)))
                .at(shown(path))
                .hint("check that you may write there")
        }),
        Err(error) => Err(cannot_read(path, &error)),
    }
}

/// The first of `base`, `base-2`, `base-3` … that is not there yet.
pub fn free_name(base: &str) -> PathBuf {
    let first = PathBuf::from(base);
    if !files::exists(&first) {
        return first;
    }
    (2..)
        .map(|number: u32| PathBuf::from(format!("{base}-{number}")))
        .find(|path| !files::exists(path))
        .unwrap_or(first)
}

/// A file name that is free: `NAME.html`, else with the first free number behind the name.
pub fn free_name_with(base: &str, ending: &str) -> PathBuf {
    let name = |number: u32| match number {
        1 => PathBuf::from(format!("{base}.{ending}")),
        number => PathBuf::from(format!("{base}-{number}.{ending}")),
    };
    (1..).map(name).find(|path| !files::exists(path)).unwrap_or_else(|| name(1))
}

/// A path as it may stand in a message.
pub fn shown(path: &Path) -> String {
    printable(&path.to_string_lossy())
}

fn cannot_read(path: &Path, error: &io::Error) -> Refusal {
    let name = short_name(path);
    let refusal = match error.kind() {
        io::ErrorKind::NotFound => {
            Refusal::new("no-such-file", format!("there is no file {name}")).hint("check the name and the folder")
        }
        io::ErrorKind::PermissionDenied => Refusal::new("no-permission", format!("no permission to read {name}"))
            .hint("copy the file to a folder of your own"),
        _ => Refusal::new("cannot-read", format!("cannot read {name}: {error}")).hint("try a copy of the file"),
    };
    refusal.at(shown(path))
}
