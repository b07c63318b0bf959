//! The power fails after every step of writing, and everything that was not synced yet may be there or not.
//!
//! A disk in memory keeps two worlds: what programs see, and what is safe. At a crash each name given since the folder's
//! last sync survives or not, by itself; bytes written since the file's last sync are whole, half, zeros or gone. All
//! combinations are enumerated. This is harsher than any journalling file system.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

use stillroom::case::{Disk, TEMPORARY, make_folder, write_new};

/// A change of a folder's names that is not safe yet.
#[derive(Clone, Debug)]
enum Change {
    Folder(PathBuf),
    Give(PathBuf, usize),
    Rename(PathBuf, PathBuf, usize),
    Take(PathBuf),
}

impl Change {
    fn folder(&self) -> &Path {
        match self {
            Self::Folder(path) | Self::Give(path, _) | Self::Rename(_, path, _) | Self::Take(path) => {
                path.parent().unwrap()
            }
        }
    }

    fn apply(&self, folders: &mut BTreeSet<PathBuf>, names: &mut BTreeMap<PathBuf, usize>) {
        match self {
            Self::Folder(path) => {
                folders.insert(path.clone());
            }
            Self::Give(path, file) => {
                names.insert(path.clone(), *file);
            }
            Self::Rename(from, to, file) => {
                names.remove(from);
                names.insert(to.clone(), *file);
            }
            Self::Take(path) => {
                names.remove(path);
            }
        }
    }
}

#[derive(Clone, Debug, Default)]
struct World {
    /// What programs see.
    folders: BTreeSet<PathBuf>,
    names: BTreeMap<PathBuf, usize>,
    bytes: Vec<Vec<u8>>,
    /// What is safe.
    safe_folders: BTreeSet<PathBuf>,
    safe_names: BTreeMap<PathBuf, usize>,
    safe_bytes: Vec<Vec<u8>>,
    pending: Vec<Change>,
    /// Steps done so far.
    steps: usize,
}

/// Which of its promises a disk does not keep.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Lie {
    None,
    FileSync,
    FolderSync,
}

struct Fake {
    world: RefCell<World>,
    /// The step before which the power fails.
    dies_at: usize,
    lie: Lie,
}

impl Fake {
    fn new(dies_at: usize, lie: Lie) -> Self {
        let root = BTreeSet::from([PathBuf::from("/")]);
        let world = World { folders: root.clone(), safe_folders: root, ..World::default() };
        Self { world: RefCell::new(world), dies_at, lie }
    }

    fn step<T>(&self, act: impl FnOnce(&mut World) -> io::Result<T>) -> io::Result<T> {
        let mut world = self.world.borrow_mut();
        if world.steps >= self.dies_at {
            return Err(io::Error::other("the power failed"));
        }
        world.steps += 1;
        act(&mut world)
    }
}

impl World {
    fn change(&mut self, change: Change) {
        change.apply(&mut self.folders, &mut self.names);
        self.pending.push(change);
    }

    /// Everything that may be found after the crash: names with their bytes.
    fn after_crash(&self) -> Vec<BTreeMap<PathBuf, Vec<u8>>> {
        let mut outcomes = Vec::new();
        for survivors in 0..1u32 << self.pending.len() {
            let (mut folders, mut names) = (self.safe_folders.clone(), self.safe_names.clone());
            for (bit, change) in self.pending.iter().enumerate() {
                if survivors >> bit & 1 == 1 {
                    change.apply(&mut folders, &mut names);
                }
            }
            names.retain(|path, _| path.ancestors().skip(1).all(|folder| folders.contains(folder)));
            for fate in 0..4 {
                let bytes = |file: usize| {
                    let (now, safe) = (&self.bytes[file], &self.safe_bytes[file]);
                    match fate {
                        _ if now == safe => now.clone(),
                        0 => now.clone(),
                        1 => now[..now.len() / 2].to_vec(),
                        2 => vec![0; now.len()],
                        _ => safe.clone(),
                    }
                };
                outcomes.push(names.iter().map(|(path, file)| (path.clone(), bytes(*file))).collect());
            }
        }
        outcomes
    }
}

impl Disk for Fake {
    type File = usize;

    fn make_folder(&self, path: &Path) -> io::Result<()> {
        self.step(|world| {
            if !world.folders.contains(path.parent().unwrap()) {
                return Err(ErrorKind::NotFound.into());
            }
            world.change(Change::Folder(path.to_owned()));
            Ok(())
        })
    }

    fn create(&self, path: &Path) -> io::Result<usize> {
        self.step(|world| {
            if world.names.contains_key(path) {
                return Err(ErrorKind::AlreadyExists.into());
            }
            world.bytes.push(Vec::new());
            world.safe_bytes.push(Vec::new());
            let file = world.bytes.len() - 1;
            world.change(Change::Give(path.to_owned(), file));
            Ok(file)
        })
    }

    fn write(&self, file: &mut usize, bytes: &[u8]) -> io::Result<()> {
        // Two steps, so that the power can fail in the middle of it.
        for half in [&bytes[..bytes.len() / 2], &bytes[bytes.len() / 2..]] {
            self.step(|world| {
                world.bytes[*file].extend_from_slice(half);
                Ok(())
            })?;
        }
        Ok(())
    }

    fn sync(&self, file: &mut usize) -> io::Result<()> {
        self.step(|world| {
            if self.lie != Lie::FileSync {
                world.safe_bytes[*file] = world.bytes[*file].clone();
            }
            Ok(())
        })
    }

    fn publish(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.step(|world| {
            if world.names.contains_key(to) {
                return Err(ErrorKind::AlreadyExists.into());
            }
            let file = *world.names.get(from).ok_or(ErrorKind::NotFound)?;
            world.change(Change::Rename(from.to_owned(), to.to_owned(), file));
            Ok(())
        })
    }

    fn sync_folder(&self, path: &Path) -> io::Result<()> {
        self.step(|world| {
            if self.lie == Lie::FolderSync {
                return Ok(());
            }
            let (now, later): (Vec<_>, Vec<_>) = world.pending.drain(..).partition(|change| change.folder() == path);
            world.pending = later;
            for change in now {
                change.apply(&mut world.safe_folders, &mut world.safe_names);
            }
            Ok(())
        })
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        self.step(|world| {
            world.change(Change::Take(path.to_owned()));
            Ok(())
        })
    }

    fn read(&self, path: &Path) -> io::Result<Vec<u8>> {
        self.step(|world| {
            world.names.get(path).map(|file| world.bytes[*file].clone()).ok_or(ErrorKind::NotFound.into())
        })
    }
}

const FOLDER: &str = "/cases/fern";

/// What the story writes: three records, one of them twice.
const STORY: [(&str, &[u8]); 4] =
    [("a.toml", b"the first record"), ("b.toml", b"the second"), ("a.toml", b"the first record"), ("c.toml", b"last")];

/// Writes until the power fails; gives the records whose writing was acknowledged.
fn story(disk: &Fake) -> io::Result<Vec<&'static str>> {
    let folder = Path::new(FOLDER);
    let mut acknowledged = Vec::new();
    if make_folder(disk, folder).is_err() {
        return Ok(acknowledged);
    }
    for (name, bytes) in STORY {
        if write_new(disk, folder, name, bytes).is_ok() {
            acknowledged.push(name);
        }
    }
    Ok(acknowledged)
}

/// How many outcomes break the promise, and how many there are, with the power failing before every step in turn.
fn broken_promises(lie: Lie) -> (usize, usize) {
    let (mut broken, mut outcomes) = (0, 0);
    let whole = Fake::new(usize::MAX, lie);
    story(&whole).unwrap();
    let steps = whole.world.borrow().steps;
    assert!(steps > 25, "the story has too few steps to mean anything: {steps}");
    for dies_at in 0..=steps {
        let disk = Fake::new(dies_at, lie);
        let acknowledged = story(&disk).unwrap();
        for found in disk.world.borrow().after_crash() {
            outcomes += 1;
            let right = |name: &str| STORY.iter().find(|(one, _)| *one == name).unwrap().1;
            let kept = acknowledged
                .iter()
                .all(|name| found.get(&Path::new(FOLDER).join(name)).is_some_and(|bytes| bytes == right(name)));
            let sound = found.iter().all(|(path, bytes)| {
                let name = path.file_name().unwrap().to_str().unwrap();
                name.starts_with(TEMPORARY) || bytes == right(name)
            });
            broken += usize::from(!kept || !sound);
        }
    }
    (broken, outcomes)
}

#[test]
fn whatever_survives_a_crash_no_acknowledged_record_is_lost_and_none_is_half() {
    let (broken, outcomes) = broken_promises(Lie::None);
    assert!(outcomes > 200, "{outcomes}");
    assert_eq!(broken, 0, "of {outcomes} outcomes");
}

#[test]
fn the_crash_test_sees_a_sync_that_is_left_out() {
    assert!(broken_promises(Lie::FileSync).0 > 0, "files that are not synced are not missed");
    assert!(broken_promises(Lie::FolderSync).0 > 0, "a folder that is not synced is not missed");
}

#[test]
fn a_full_disk_at_any_step_leaves_nothing_half_and_nothing_behind() {
    /// Fails one step with "no space" and goes on working.
    struct Full {
        inner: Fake,
        fails_at: usize,
    }
    impl Full {
        fn room(&self) -> io::Result<()> {
            let mut world = self.inner.world.borrow_mut();
            world.steps += 1;
            if world.steps == self.fails_at { Err(ErrorKind::StorageFull.into()) } else { Ok(()) }
        }
    }
    impl Disk for Full {
        type File = usize;
        fn make_folder(&self, path: &Path) -> io::Result<()> {
            self.inner.make_folder(path)
        }
        fn create(&self, path: &Path) -> io::Result<usize> {
            self.room()?;
            self.inner.create(path)
        }
        fn write(&self, file: &mut usize, bytes: &[u8]) -> io::Result<()> {
            self.inner.write(file, &bytes[..bytes.len() / 2])?;
            self.room()?;
            self.inner.write(file, &bytes[bytes.len() / 2..])
        }
        fn sync(&self, file: &mut usize) -> io::Result<()> {
            self.room()?;
            self.inner.sync(file)
        }
        fn publish(&self, from: &Path, to: &Path) -> io::Result<()> {
            self.room()?;
            self.inner.publish(from, to)
        }
        fn sync_folder(&self, path: &Path) -> io::Result<()> {
            self.inner.sync_folder(path)
        }
        fn remove(&self, path: &Path) -> io::Result<()> {
            self.inner.remove(path)
        }
        fn read(&self, path: &Path) -> io::Result<Vec<u8>> {
            self.inner.read(path)
        }
    }
    let mut refusals = 0;
    for fails_at in 1..40 {
        let disk = Full { inner: Fake::new(usize::MAX, Lie::None), fails_at };
        make_folder(&disk, Path::new(FOLDER)).unwrap();
        for (name, bytes) in STORY {
            refusals += usize::from(write_new(&disk, Path::new(FOLDER), name, bytes).is_err());
        }
        let world = disk.inner.world.borrow();
        for (path, file) in &world.names {
            let name = path.file_name().unwrap().to_str().unwrap();
            let right = STORY.iter().find(|(one, _)| *one == name);
            assert!(right.is_some_and(|(_, bytes)| *bytes == world.bytes[*file]), "{fails_at}: {path:?}");
        }
    }
    assert!(refusals >= 12, "hardly a step failed: {refusals}");
}
