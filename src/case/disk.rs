//! The steps by which a file gets into a folder, and the order of them.
//!
//! A new file is written beside its place under a temporary name, synced, given its name without ever replacing
//! another file, and the folder is synced. Whoever is told that it is there may lose the power at once: it is there.
//! The steps are a trait, so that a test can stop the world after each of them.

use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU64, Ordering};

use crate::files::{self, Beside, File};

/// What a temporary file's name begins with. A writer that was killed leaves one; it was never a record.
pub const TEMPORARY: &str = ".tmp-";

/// The steps of a file system that a record's safety rests on.
pub trait Disk {
    /// A file open for writing.
    type File;
    /// Makes a folder that only its owner can enter.
    fn make_folder(&self, path: &Path) -> io::Result<()>;
    /// Makes a file that only its owner can read; fails if the name is taken.
    fn create(&self, path: &Path) -> io::Result<Self::File>;
    /// Writes all bytes.
    fn write(&self, file: &mut Self::File, bytes: &[u8]) -> io::Result<()>;
    /// Returns once the file's bytes are safe.
    fn sync(&self, file: &mut Self::File) -> io::Result<()>;
    /// Renames; fails with `AlreadyExists` if the new name is taken.
    fn publish(&self, from: &Path, to: &Path) -> io::Result<()>;
    /// Returns once the folder's names are safe.
    fn sync_folder(&self, path: &Path) -> io::Result<()>;
    /// Takes a file away.
    fn remove(&self, path: &Path) -> io::Result<()>;
    /// Reads a whole file.
    fn read(&self, path: &Path) -> io::Result<Vec<u8>>;
}

/// Numbers the temporary files of this process.
static NEXT: AtomicU64 = AtomicU64::new(0);

/// How many taken temporary names are passed over before giving up; each is a leftover of a killed writer.
const MOST_LEFTOVERS: usize = 10_000;

/// Adds a file to a folder and returns once it is safely there. The same bytes under the same name are already there;
/// other bytes under that name are never replaced: `AlreadyExists`.
pub fn write_new<D: Disk>(disk: &D, folder: &Path, name: &str, bytes: &[u8]) -> io::Result<()> {
    let to = folder.join(name);
    let (temporary, mut file) = create_beside(disk, folder)?;
    let published =
        disk.write(&mut file, bytes).and_then(|()| disk.sync(&mut file)).and_then(|()| disk.publish(&temporary, &to));
    drop(file);
    if let Err(error) = published {
        // What stays behind if even this fails is a leftover: named by the check and removed later.
        let _leftover = disk.remove(&temporary);
        let same = error.kind() == io::ErrorKind::AlreadyExists && disk.read(&to)? == bytes;
        if !same {
            return Err(error);
        }
    }
    // Also where another writer gave the same file its name: whoever acknowledges must know that the name is safe.
    disk.sync_folder(folder)
}

fn create_beside<D: Disk>(disk: &D, folder: &Path) -> io::Result<(PathBuf, D::File)> {
    for _ in 0..MOST_LEFTOVERS {
        let number = NEXT.fetch_add(1, Ordering::Relaxed);
        let path = folder.join(format!("{TEMPORARY}{}-{number}", files::writer()));
        match disk.create(&path) {
            Ok(file) => return Ok((path, file)),
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {}
            Err(error) => return Err(error),
        }
    }
    Err(io::Error::new(io::ErrorKind::AlreadyExists, "the folder is full of temporary files of killed writers"))
}

/// Makes a folder, and those above it that are missing, and returns once its name is safe.
pub fn make_folder<D: Disk>(disk: &D, path: &Path) -> io::Result<()> {
    let above = above(path);
    match disk.make_folder(path) {
        Err(error) if error.kind() == io::ErrorKind::NotFound && above != path => {
            make_folder(disk, above)?;
            disk.make_folder(path)?;
        }
        other => other?,
    }
    disk.sync_folder(above)
}

/// The folder that holds a path.
pub(super) fn above(path: &Path) -> &Path {
    path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

/// The machine's own file system.
#[derive(Clone, Copy, Debug, Default)]
pub struct RealDisk;

impl Disk for RealDisk {
    type File = File;

    fn make_folder(&self, path: &Path) -> io::Result<()> {
        files::folder_of_owner(path, false)
    }

    fn create(&self, path: &Path) -> io::Result<File> {
        files::new_file(path)
    }

    fn write(&self, file: &mut File, bytes: &[u8]) -> io::Result<()> {
        file.write_all(bytes)
    }

    fn sync(&self, file: &mut File) -> io::Result<()> {
        file.sync_all()
    }

    fn publish(&self, from: &Path, to: &Path) -> io::Result<()> {
        files::rename_new(from, to)
    }

    fn sync_folder(&self, path: &Path) -> io::Result<()> {
        files::sync_folder(path)
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        match files::remove_file(path) {
            Err(error) if error.kind() != io::ErrorKind::NotFound => Err(error),
            _ => Ok(()),
        }
    }

    fn read(&self, path: &Path) -> io::Result<Vec<u8>> {
        let mut bytes = Vec::new();
        File::open(path)?.read_to_end(&mut bytes)?;
        Ok(bytes)
    }
}

/// Writes a file whole or not at all, in place of an older one of that name: a report, a chart. Records go through
/// [`write_new`].
pub fn write_whole(path: &Path, content: &[u8]) -> io::Result<()> {
    let folder = above(path);
    let mut beside = Beside::new(folder, TEMPORARY)?;
    beside.write_all(content)?;
    beside.replace(path)?;
    RealDisk.sync_folder(folder)
}

#[cfg(test)]
mod tests {
    use super::{RealDisk, TEMPORARY, make_folder, write_new};
    use std::fs;
    use std::io::ErrorKind;

    #[test]
    fn the_same_bytes_twice_are_one_file_and_other_bytes_are_refused() {
        let folder = tempfile::tempdir().unwrap();
        write_new(&RealDisk, folder.path(), "a.toml", b"one").unwrap();
        write_new(&RealDisk, folder.path(), "a.toml", b"one").unwrap();
        let refused = write_new(&RealDisk, folder.path(), "a.toml", b"two").unwrap_err();
        assert_eq!(refused.kind(), ErrorKind::AlreadyExists);
        assert_eq!(fs::read(folder.path().join("a.toml")).unwrap(), b"one");
        let names: Vec<_> = fs::read_dir(folder.path()).unwrap().map(|entry| entry.unwrap().file_name()).collect();
        assert_eq!(names, ["a.toml"], "a temporary file stayed behind");
    }

    #[test]
    fn leftovers_of_killed_writers_are_passed_over() {
        let folder = tempfile::tempdir().unwrap();
        for number in 0..200 {
            fs::write(folder.path().join(format!("{TEMPORARY}{}-{number}", std::process::id())), "half").unwrap();
        }
        write_new(&RealDisk, folder.path(), "a.toml", b"one").unwrap();
        assert_eq!(fs::read(folder.path().join("a.toml")).unwrap(), b"one");
    }

    #[cfg(unix)]
    #[test]
    fn files_and_folders_are_their_owners_alone() {
        use std::os::unix::fs::PermissionsExt;
        let outer = tempfile::tempdir().unwrap();
        let folder = outer.path().join("a/b");
        make_folder(&RealDisk, &folder).unwrap();
        write_new(&RealDisk, &folder, "a.toml", b"one").unwrap();
        let mode = |path: &std::path::Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
        assert_eq!(mode(&folder), 0o700);
        assert_eq!(mode(&outer.path().join("a")), 0o700);
        assert_eq!(mode(&folder.join("a.toml")), 0o600);
    }
}
