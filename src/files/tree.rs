//! A tree of folders and files in memory, with the meanings of a file system where the case rests on them: a name is
//! taken once, a folder that holds something stays, what is not there says so. It remembers which files were changed.

use std::collections::{BTreeMap, BTreeSet};
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};

/// What a file holds; open files share it, so that what is written after a renaming is not lost.
pub(super) type Content = Arc<Mutex<Vec<u8>>>;

#[derive(Debug)]
enum Node {
    Folder,
    File(Content),
}

/// What lies at a path.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    /// A folder.
    Folder,
    /// A file of so many bytes.
    File(u64),
}

/// A file that was changed: its path, and what it holds, or nothing if it is gone.
pub(super) type Change = (PathBuf, Option<Vec<u8>>);

/// The tree; its root `/` is always there.
#[derive(Debug, Default)]
pub(super) struct Tree {
    nodes: BTreeMap<PathBuf, Node>,
    changed: BTreeSet<PathBuf>,
}

fn fault(kind: ErrorKind) -> io::Error {
    io::Error::from(kind)
}

/// The path from the root, without `.` and `..`.
pub(super) fn whole(path: &Path) -> PathBuf {
    use std::path::Component;
    let mut found = PathBuf::from("/");
    for part in path.components() {
        match part {
            Component::Normal(name) => found.push(name),
            Component::ParentDir => {
                found.pop();
            }
            Component::CurDir | Component::RootDir | Component::Prefix(_) => {}
        }
    }
    found
}

impl Tree {
    /// An empty one.
    pub(super) const fn new() -> Self {
        Self { nodes: BTreeMap::new(), changed: BTreeSet::new() }
    }

    /// What lies at a path.
    pub(super) fn kind(&self, path: &Path) -> io::Result<Kind> {
        let path = whole(path);
        if path == Path::new("/") {
            return Ok(Kind::Folder);
        }
        match self.nodes.get(&path) {
            Some(Node::Folder) => Ok(Kind::Folder),
            Some(Node::File(content)) => Ok(Kind::File(held(content).len() as u64)),
            None => Err(fault(ErrorKind::NotFound)),
        }
    }

    fn free(&self, path: &Path) -> io::Result<()> {
        if self.kind(path).is_ok() {
            return Err(fault(ErrorKind::AlreadyExists));
        }
        match self.kind(path.parent().unwrap_or(Path::new("/")))? {
            Kind::Folder => Ok(()),
            Kind::File(_) => Err(fault(ErrorKind::NotADirectory)),
        }
    }

    /// Makes a folder; with `above` those above it too, and then one that is there is as good as made.
    pub(super) fn make_folder(&mut self, path: &Path, above: bool) -> io::Result<()> {
        let path = whole(path);
        if above {
            if matches!(self.kind(&path), Ok(Kind::Folder)) {
                return Ok(());
            }
            if let Some(parent) = path.parent() {
                self.make_folder(parent, true)?;
            }
        }
        self.free(&path)?;
        self.nodes.insert(path, Node::Folder);
        Ok(())
    }

    /// Makes a file; fails if the name is taken.
    pub(super) fn create(&mut self, path: &Path) -> io::Result<Content> {
        let path = whole(path);
        self.free(&path)?;
        let content = Content::default();
        self.nodes.insert(path.clone(), Node::File(Arc::clone(&content)));
        self.changed.insert(path);
        Ok(content)
    }

    /// The content of a file that is there.
    pub(super) fn open(&self, path: &Path) -> io::Result<Content> {
        match self.nodes.get(&whole(path)) {
            Some(Node::File(content)) => Ok(Arc::clone(content)),
            Some(Node::Folder) => Err(fault(ErrorKind::IsADirectory)),
            None => Err(self.kind(path).map_or_else(|error| error, |_| fault(ErrorKind::IsADirectory))),
        }
    }

    /// Remembers that a file that may have been renamed since it was opened was written to.
    pub(super) fn wrote(&mut self, content: &Content) {
        let holds = |node: &Node| matches!(node, Node::File(own) if Arc::ptr_eq(own, content));
        if let Some(path) = self.nodes.iter().find(|(_, node)| holds(node)).map(|(path, _)| path.clone()) {
            self.changed.insert(path);
        }
    }

    /// The names in a folder, each with what it is.
    pub(super) fn list(&self, path: &Path) -> io::Result<Vec<(PathBuf, Kind)>> {
        match self.kind(path)? {
            Kind::File(_) => Err(fault(ErrorKind::NotADirectory)),
            Kind::Folder => Ok(self
                .below(&whole(path))
                .filter(|inner| inner.parent() == Some(&whole(path)))
                .filter_map(|inner| Some((inner.to_owned(), self.kind(inner).ok()?)))
                .collect()),
        }
    }

    fn below<'a>(&'a self, path: &'a Path) -> impl Iterator<Item = &'a PathBuf> {
        self.nodes
            .range(path.to_owned()..)
            .map(|(inner, _)| inner)
            .take_while(move |inner| inner.starts_with(path))
            .filter(move |inner| *inner != path)
    }

    /// Takes a file away.
    pub(super) fn remove_file(&mut self, path: &Path) -> io::Result<()> {
        self.open(path)?;
        let path = whole(path);
        self.nodes.remove(&path);
        self.changed.insert(path);
        Ok(())
    }

    /// Takes a folder away: an empty one, or with `all` whatever it holds.
    pub(super) fn remove_folder(&mut self, path: &Path, all: bool) -> io::Result<()> {
        let inner = self.list(path)?;
        if !all && !inner.is_empty() {
            return Err(fault(ErrorKind::DirectoryNotEmpty));
        }
        for (path, kind) in inner {
            match kind {
                Kind::Folder => self.remove_folder(&path, true)?,
                Kind::File(_) => self.remove_file(&path)?,
            }
        }
        self.nodes.remove(&whole(path));
        Ok(())
    }

    /// Renames a file or a folder with all it holds. A file takes the place of a file; with `new`, of nothing.
    pub(super) fn rename(&mut self, from: &Path, to: &Path, new: bool) -> io::Result<()> {
        let (from, to) = (whole(from), whole(to));
        let is = self.kind(&from)?;
        match (is, self.kind(&to)) {
            (_, Ok(_)) if new => return Err(fault(ErrorKind::AlreadyExists)),
            (Kind::File(_), Ok(Kind::File(_))) => self.remove_file(&to)?,
            (Kind::Folder, Ok(Kind::Folder)) => self.remove_folder(&to, false)?,
            (_, Ok(_)) => return Err(fault(ErrorKind::AlreadyExists)),
            (_, Err(_)) => {}
        }
        self.free(&to)?;
        if to.starts_with(&from) {
            return Err(fault(ErrorKind::InvalidInput));
        }
        let moved: Vec<PathBuf> = std::iter::once(from.clone()).chain(self.below(&from).cloned()).collect();
        for old in moved {
            let inside = old.strip_prefix(&from).unwrap_or(Path::new(""));
            let path = if inside.as_os_str().is_empty() { to.clone() } else { to.join(inside) };
            let Some(node) = self.nodes.remove(&old) else { continue };
            if matches!(node, Node::File(_)) {
                self.changed.insert(old);
                self.changed.insert(path.clone());
            }
            self.nodes.insert(path, node);
        }
        Ok(())
    }

    /// Puts a file there as it was kept, with the folders above it; this is no change.
    pub(super) fn put(&mut self, path: &Path, bytes: Vec<u8>) -> io::Result<()> {
        let path = whole(path);
        self.make_folder(path.parent().unwrap_or(Path::new("/")), true)?;
        self.nodes.insert(path, Node::File(Arc::new(Mutex::new(bytes))));
        Ok(())
    }

    /// The files that were changed since this was last asked.
    pub(super) fn taken_changes(&mut self) -> Vec<Change> {
        let changed = std::mem::take(&mut self.changed);
        changed
            .into_iter()
            .map(|path| {
                let content = self.open(&path).ok().map(|content| held(&content).clone());
                (path, content)
            })
            .collect()
    }
}

/// The bytes of a content; a writer that was broken off has left whole bytes.
pub(super) fn held(content: &Content) -> std::sync::MutexGuard<'_, Vec<u8>> {
    content.lock().unwrap_or_else(PoisonError::into_inner)
}

#[cfg(test)]
mod tests {
    use super::{Kind, Tree, held, whole};
    use std::io::ErrorKind;
    use std::path::{Path, PathBuf};

    fn write(tree: &mut Tree, path: &str, text: &str) {
        let content = tree.create(Path::new(path)).unwrap();
        held(&content).extend_from_slice(text.as_bytes());
    }

    fn tree() -> Tree {
        let mut tree = Tree::new();
        tree.make_folder(Path::new("/case"), false).unwrap();
        write(&mut tree, "/case/a.toml", "one");
        tree
    }

    fn changes(tree: &mut Tree) -> Vec<(String, Option<String>)> {
        let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
        tree.taken_changes().into_iter().map(|(path, bytes)| (path.display().to_string(), bytes.map(text))).collect()
    }

    #[test]
    fn a_name_is_taken_once_and_what_is_not_there_says_so() {
        let mut tree = tree();
        let kind = |result: std::io::Result<_>| result.map(|_: ()| ()).unwrap_err().kind();
        assert_eq!(kind(tree.create(Path::new("/case/a.toml")).map(drop)), ErrorKind::AlreadyExists);
        assert_eq!(kind(tree.create(Path::new("/other/a.toml")).map(drop)), ErrorKind::NotFound);
        assert_eq!(kind(tree.create(Path::new("/case/a.toml/b")).map(drop)), ErrorKind::NotADirectory);
        assert_eq!(kind(tree.open(Path::new("/case/b.toml")).map(drop)), ErrorKind::NotFound);
        assert_eq!(kind(tree.open(Path::new("/case")).map(drop)), ErrorKind::IsADirectory);
        assert_eq!(kind(tree.make_folder(Path::new("/case"), false)), ErrorKind::AlreadyExists);
        assert_eq!(kind(tree.make_folder(Path::new("/a/b"), false)), ErrorKind::NotFound);
        assert_eq!(kind(tree.remove_folder(Path::new("/case"), false)), ErrorKind::DirectoryNotEmpty);
        assert_eq!(kind(tree.remove_file(Path::new("/case"))), ErrorKind::IsADirectory);
        assert_eq!(kind(tree.list(Path::new("/case/a.toml")).map(drop)), ErrorKind::NotADirectory);
        assert_eq!(tree.kind(Path::new("/case/a.toml")).unwrap(), Kind::File(3));
        assert!(
            tree.make_folder(Path::new("/a/b/c"), true).is_ok() && tree.make_folder(Path::new("/a/b"), true).is_ok()
        );
    }

    #[test]
    fn a_list_names_what_lies_in_the_folder_itself() {
        let mut tree = tree();
        tree.make_folder(Path::new("/case-2"), false).unwrap();
        tree.make_folder(Path::new("/case/inner"), false).unwrap();
        write(&mut tree, "/case/inner/x", "x");
        let names =
            |path: &str| tree.list(Path::new(path)).unwrap().into_iter().map(|(path, _)| path).collect::<Vec<_>>();
        assert_eq!(names("/case"), [PathBuf::from("/case/a.toml"), PathBuf::from("/case/inner")]);
        assert_eq!(names("/"), [PathBuf::from("/case"), PathBuf::from("/case-2")]);
    }

    #[test]
    fn a_new_name_is_never_one_that_is_taken() {
        let mut tree = tree();
        write(&mut tree, "/case/.tmp-1", "two");
        let refused = tree.rename(Path::new("/case/.tmp-1"), Path::new("/case/a.toml"), true).unwrap_err();
        assert_eq!(refused.kind(), ErrorKind::AlreadyExists);
        assert_eq!(*held(&tree.open(Path::new("/case/a.toml")).unwrap()), b"one");
        tree.rename(Path::new("/case/.tmp-1"), Path::new("/case/a.toml"), false).unwrap();
        assert_eq!(*held(&tree.open(Path::new("/case/a.toml")).unwrap()), b"two");
        assert_eq!(tree.list(Path::new("/case")).unwrap().len(), 1);
    }

    #[test]
    fn what_was_changed_is_told_once_and_what_was_put_is_no_change() {
        let mut tree = tree();
        assert_eq!(changes(&mut tree), [("/case/a.toml".to_owned(), Some("one".to_owned()))]);
        assert_eq!(changes(&mut tree), []);
        tree.put(Path::new("/state/walks/w.toml"), b"walk".to_vec()).unwrap();
        assert_eq!(changes(&mut tree), []);
        tree.rename(Path::new("/state/walks"), Path::new("/state/old"), true).unwrap();
        let (gone, moved) = ("/state/walks/w.toml".to_owned(), "/state/old/w.toml".to_owned());
        assert_eq!(changes(&mut tree), [(moved.clone(), Some("walk".to_owned())), (gone, None)]);
        tree.remove_folder(Path::new("/state"), true).unwrap();
        assert_eq!(changes(&mut tree), [(moved, None)]);
        assert_eq!(tree.kind(Path::new("/state")).unwrap_err().kind(), ErrorKind::NotFound);
    }

    #[test]
    fn what_is_written_after_a_renaming_is_told_under_the_new_name() {
        let mut tree = tree();
        let content = tree.open(Path::new("/case/a.toml")).unwrap();
        tree.rename(Path::new("/case/a.toml"), Path::new("/case/b.toml"), true).unwrap();
        tree.taken_changes();
        held(&content).push(b'!');
        tree.wrote(&content);
        assert_eq!(changes(&mut tree), [("/case/b.toml".to_owned(), Some("one!".to_owned()))]);
    }

    #[test]
    fn a_path_has_one_way_of_writing() {
        for path in ["/case/a", "case/a", "./case/a", "/case/./b/../a", "/../case//a"] {
            assert_eq!(whole(Path::new(path)), Path::new("/case/a"), "{path}");
        }
    }
}
