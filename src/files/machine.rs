//! The machine's own file system.

use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::time::{Duration, UNIX_EPOCH};

pub use std::fs::{
    File, canonicalize, create_dir_all, metadata, read_dir, remove_dir, remove_dir_all, remove_file, rename,
    symlink_metadata,
};

/// Whether something is there.
pub fn exists(path: &Path) -> bool {
    path.exists()
}

/// Whether a folder is there.
pub fn is_folder(path: &Path) -> bool {
    path.is_dir()
}

/// What tells that a file was not touched: its length, when it was written, its number, and the moment of its last change
/// of any kind, which nobody can set back.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stamp {
    length: u64,
    written: Option<Duration>,
    changed: (u64, i64, i64),
}

/// The stamp of a file; `None` where a system tells no time.
pub fn stamp(path: &Path) -> io::Result<Option<Stamp>> {
    let file = fs::metadata(path)?;
    let written = file.modified().ok().and_then(|at| at.duration_since(UNIX_EPOCH).ok());
    Ok(written.map(|_| Stamp { length: file.len(), written, changed: changed(&file) }))
}

#[cfg(unix)]
fn changed(file: &fs::Metadata) -> (u64, i64, i64) {
    use std::os::unix::fs::MetadataExt;
    (file.ino(), file.ctime(), file.ctime_nsec())
}

/// Other systems tell length and time of writing only.
#[cfg(not(unix))]
fn changed(_file: &fs::Metadata) -> (u64, i64, i64) {
    (0, 0, 0)
}

/// A number that no other writer at work has.
pub fn writer() -> u32 {
    std::process::id()
}

/// Makes a folder that only its owner can enter; `above` makes those above it too, and takes one that is there.
pub fn folder_of_owner(path: &Path, above: bool) -> io::Result<()> {
    let mut maker = fs::DirBuilder::new();
    maker.recursive(above);
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut maker, 0o700);
    maker.create(path)
}

/// Makes a file that only its owner can read, open for writing; fails if the name is taken.
pub fn new_file(path: &Path) -> io::Result<File> {
    let mut options = fs::OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    options.open(path)
}

/// Lets nobody but its owner into a folder.
#[cfg(unix)]
pub fn owner_only(folder: &Path) -> io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    fs::set_permissions(folder, fs::Permissions::from_mode(0o700))
}

/// Other systems keep a user's folder from others by where it lies.
#[cfg(not(unix))]
pub fn owner_only(_folder: &Path) -> io::Result<()> {
    Ok(())
}

/// Renames; fails with `AlreadyExists` if the new name is taken.
pub fn rename_new(from: &Path, to: &Path) -> io::Result<()> {
    let temporary = tempfile::TempPath::try_from_path(from)?;
    temporary.persist_noclobber(to).map_err(|error| error.error)
}

/// Returns once the folder's names are safe. Windows cannot open a folder as a file and does not need to.
pub fn sync_folder(path: &Path) -> io::Result<()> {
    if cfg!(unix) { File::open(path)?.sync_all() } else { Ok(()) }
}

/// A file that is written beside its place and goes when it is dropped unless it is given its name.
#[derive(Debug)]
pub struct Beside(tempfile::NamedTempFile);

impl Beside {
    /// A new one in that folder; its name begins with `prefix`.
    pub fn new(folder: &Path, prefix: &str) -> io::Result<Self> {
        tempfile::Builder::new().prefix(prefix).tempfile_in(folder).map(Self)
    }

    /// How many bytes were written.
    pub fn bytes(&self) -> io::Result<u64> {
        Ok(self.0.as_file().metadata()?.len())
    }

    /// Gives it its name once its bytes are safe, in place of an older file of that name.
    pub fn replace(self, path: &Path) -> io::Result<()> {
        self.0.as_file().sync_all()?;
        self.0.persist(path).map(drop).map_err(|error| error.error)
    }

    /// Gives it its name once its bytes are safe; fails with `AlreadyExists` if the name is taken.
    pub fn publish(self, path: &Path) -> io::Result<()> {
        self.0.as_file().sync_all()?;
        self.0.persist_noclobber(path).map(drop).map_err(|error| error.error)
    }
}

impl Write for Beside {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.0.write(bytes)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.0.flush()
    }
}

/// A folder that goes when it is dropped unless it is kept.
#[derive(Debug)]
pub struct Hidden(tempfile::TempDir);

impl Hidden {
    /// A new one inside `above`; its name begins with `prefix`.
    pub fn new(above: &Path, prefix: &str) -> io::Result<Self> {
        tempfile::Builder::new().prefix(prefix).tempdir_in(above).map(Self)
    }

    /// Where it is.
    pub fn path(&self) -> &Path {
        self.0.path()
    }

    /// Lets it stay.
    pub fn keep(self) -> PathBuf {
        self.0.keep()
    }
}
