//! The browser's files: one tree in memory. Nothing here lasts; whoever holds the program keeps [`taken_changes`] and
//! puts them back with [`put`] the next time.

use std::ffi::OsString;
use std::io::{self, ErrorKind, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::SystemTime;

use super::tree::{Change, Content, Kind, Tree, held, whole};

static TREE: Mutex<Tree> = Mutex::new(Tree::new());

fn tree() -> MutexGuard<'static, Tree> {
    TREE.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Puts a file there as it was kept.
pub fn put(path: &Path, bytes: Vec<u8>) -> io::Result<()> {
    tree().put(path, bytes)
}

/// The files that were changed since this was last asked.
pub fn taken_changes() -> Vec<Change> {
    tree().taken_changes()
}

/// An open file.
#[derive(Debug)]
pub struct File {
    content: Content,
    at: usize,
}

impl File {
    /// Opens a file for reading.
    pub fn open(path: impl AsRef<Path>) -> io::Result<Self> {
        Ok(Self { content: tree().open(path.as_ref())?, at: 0 })
    }

    /// What is known of it.
    pub fn metadata(&self) -> io::Result<Metadata> {
        Ok(Metadata(Kind::File(held(&self.content).len() as u64)))
    }

    /// Bytes in memory are as safe as they can be here.
    pub fn sync_all(&self) -> io::Result<()> {
        Ok(())
    }
}

impl Read for File {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        let content = held(&self.content);
        let left = content.get(self.at..).unwrap_or_default();
        let count = left.len().min(into.len());
        into[..count].copy_from_slice(&left[..count]);
        self.at += count;
        Ok(count)
    }
}

impl Write for File {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let mut content = held(&self.content);
        let end = self.at.checked_add(bytes.len()).ok_or(ErrorKind::FileTooLarge)?;
        if content.len() < end {
            content.resize(end, 0);
        }
        content[self.at..end].copy_from_slice(bytes);
        drop(content);
        self.at = end;
        tree().wrote(&self.content);
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

impl Seek for File {
    fn seek(&mut self, to: SeekFrom) -> io::Result<u64> {
        let length = held(&self.content).len() as u64;
        let at = match to {
            SeekFrom::Start(at) => Some(at),
            SeekFrom::End(by) => length.checked_add_signed(by),
            SeekFrom::Current(by) => (self.at as u64).checked_add_signed(by),
        };
        let at = at.ok_or(ErrorKind::InvalidInput)?;
        self.at = usize::try_from(at).map_err(|_| ErrorKind::InvalidInput)?;
        Ok(at)
    }
}

/// What is known of a file or a folder.
#[derive(Clone, Copy, Debug)]
pub struct Metadata(Kind);

#[expect(clippy::len_without_is_empty, reason = "the names of the machine's file system")]
impl Metadata {
    /// Whether it is a folder.
    pub fn is_dir(&self) -> bool {
        self.0 == Kind::Folder
    }

    /// Whether it is a file.
    pub fn is_file(&self) -> bool {
        !self.is_dir()
    }

    /// How many bytes it holds.
    pub fn len(&self) -> u64 {
        if let Kind::File(bytes) = self.0 { bytes } else { 0 }
    }

    /// Nobody knows here when it was changed.
    pub fn modified(&self) -> io::Result<SystemTime> {
        Err(ErrorKind::Unsupported.into())
    }
}

/// Something in a folder.
#[derive(Clone, Debug)]
pub struct Entry {
    path: PathBuf,
    kind: Kind,
}

impl Entry {
    /// Its name.
    pub fn file_name(&self) -> OsString {
        self.path.file_name().unwrap_or_default().to_owned()
    }

    /// Its path.
    pub fn path(&self) -> PathBuf {
        self.path.clone()
    }

    /// What it is.
    pub fn file_type(&self) -> io::Result<Metadata> {
        Ok(Metadata(self.kind))
    }

    /// What is known of it.
    pub fn metadata(&self) -> io::Result<Metadata> {
        Ok(Metadata(self.kind))
    }
}

/// What lies in a folder.
pub fn read_dir(path: impl AsRef<Path>) -> io::Result<impl Iterator<Item = io::Result<Entry>>> {
    let found = tree().list(path.as_ref())?;
    Ok(found.into_iter().map(|(path, kind)| Ok(Entry { path, kind })))
}

/// What tells that a file was not touched; nothing does here, where reading is quick.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stamp(());

/// The stamp of a file: none.
pub fn stamp(path: &Path) -> io::Result<Option<Stamp>> {
    tree().kind(path).map(|_| None)
}

/// What is known of a path.
pub fn metadata(path: impl AsRef<Path>) -> io::Result<Metadata> {
    tree().kind(path.as_ref()).map(Metadata)
}

/// The same: there are no links here.
pub fn symlink_metadata(path: impl AsRef<Path>) -> io::Result<Metadata> {
    metadata(path)
}

/// The path from the root.
pub fn canonicalize(path: impl AsRef<Path>) -> io::Result<PathBuf> {
    metadata(path.as_ref()).map(|_| whole(path.as_ref()))
}

/// Whether something is there.
pub fn exists(path: &Path) -> bool {
    metadata(path).is_ok()
}

/// Whether a folder is there.
pub fn is_folder(path: &Path) -> bool {
    metadata(path).is_ok_and(|meta| meta.is_dir())
}

/// There is one writer.
pub fn writer() -> u32 {
    0
}

/// Makes a folder; `above` makes those above it too, and takes one that is there.
pub fn folder_of_owner(path: &Path, above: bool) -> io::Result<()> {
    tree().make_folder(path, above)
}

/// Makes a folder and those above it.
pub fn create_dir_all(path: impl AsRef<Path>) -> io::Result<()> {
    tree().make_folder(path.as_ref(), true)
}

/// Makes a file, open for writing; fails if the name is taken.
pub fn new_file(path: &Path) -> io::Result<File> {
    Ok(File { content: tree().create(path)?, at: 0 })
}

/// A browser lets nobody else into its memory.
pub fn owner_only(folder: &Path) -> io::Result<()> {
    metadata(folder).map(drop)
}

/// Takes a file away.
pub fn remove_file(path: impl AsRef<Path>) -> io::Result<()> {
    tree().remove_file(path.as_ref())
}

/// Takes an empty folder away.
pub fn remove_dir(path: impl AsRef<Path>) -> io::Result<()> {
    tree().remove_folder(path.as_ref(), false)
}

/// Takes a folder away with what it holds.
pub fn remove_dir_all(path: impl AsRef<Path>) -> io::Result<()> {
    tree().remove_folder(path.as_ref(), true)
}

/// Renames.
pub fn rename(from: impl AsRef<Path>, to: impl AsRef<Path>) -> io::Result<()> {
    tree().rename(from.as_ref(), to.as_ref(), false)
}

/// Renames; fails with `AlreadyExists` if the new name is taken.
pub fn rename_new(from: &Path, to: &Path) -> io::Result<()> {
    tree().rename(from, to, true)
}

/// Names in memory are as safe as they can be here.
pub fn sync_folder(path: &Path) -> io::Result<()> {
    metadata(path).map(drop)
}

/// A name that no other has.
fn fresh(prefix: &str) -> String {
    static NEXT: AtomicU64 = AtomicU64::new(0);
    format!("{prefix}{}", NEXT.fetch_add(1, Ordering::Relaxed))
}

/// A file that is written beside its place and goes when it is dropped unless it is given its name.
#[derive(Debug)]
pub struct Beside(Vec<u8>);

impl Beside {
    /// A new one in that folder, which must be there.
    pub fn new(folder: &Path, _prefix: &str) -> io::Result<Self> {
        metadata(folder).map(|_| Self(Vec::new()))
    }

    /// How many bytes were written.
    pub fn bytes(&self) -> io::Result<u64> {
        Ok(self.0.len() as u64)
    }

    /// Gives it its name, in place of an older file of that name.
    pub fn replace(self, path: &Path) -> io::Result<()> {
        if exists(path) {
            remove_file(path)?;
        }
        self.publish(path)
    }

    /// Gives it its name; fails with `AlreadyExists` if the name is taken.
    pub fn publish(self, path: &Path) -> io::Result<()> {
        new_file(path)?.write_all(&self.0)
    }
}

impl Write for Beside {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.0.write(bytes)
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

/// A folder that goes when it is dropped unless it is kept.
#[derive(Debug)]
pub struct Hidden {
    path: PathBuf,
    stays: bool,
}

impl Hidden {
    /// A new one inside `above`; its name begins with `prefix`.
    pub fn new(above: &Path, prefix: &str) -> io::Result<Self> {
        let path = above.join(fresh(prefix));
        folder_of_owner(&path, false)?;
        Ok(Self { path, stays: false })
    }

    /// Where it is.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Lets it stay.
    pub fn keep(mut self) -> PathBuf {
        self.stays = true;
        self.path.clone()
    }
}

impl Drop for Hidden {
    fn drop(&mut self) {
        if !self.stays {
            let _still_there = remove_dir_all(&self.path);
        }
    }
}
