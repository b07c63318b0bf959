//! A folder with the demo's case, and the local page over it.

use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};

/// The program.
pub(crate) fn stillroom(folder: &Path, words: &[&str]) -> std::process::Output {
    let out = Command::new(env!("CARGO_BIN_EXE_stillroom"))
        .args(words)
        .current_dir(folder)
        .env("LC_ALL", "C")
        .output()
        .unwrap();
    assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stderr));
    out
}

/// A file of the project.
pub(crate) fn file(name: &str) -> String {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join(name).display().to_string()
}

/// A page over the demo's case.
pub(crate) struct House {
    child: Child,
    /// Where everything lies: `demo/case` is the case.
    pub(crate) folder: tempfile::TempDir,
    /// The address with its key.
    pub(crate) address: String,
}

impl House {
    /// Builds the demo and serves its case.
    pub(crate) fn open(language: &str) -> Self {
        let folder = tempfile::tempdir().unwrap();
        stillroom(folder.path(), &["demo", "--into", "demo"]);
        let (child, address) = serve(folder.path(), &["serve", "--case", "demo/case", "--language", language]);
        Self { child, folder, address }
    }

    /// Serves an empty folder: no case is open, and none is there.
    pub(crate) fn empty() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let (child, address) = serve(folder.path(), &["serve"]);
        Self { child, folder, address }
    }

    /// The address of a page.
    pub(crate) fn at(&self, path: &str) -> String {
        format!("{}{path}", self.address.split("/?").next().unwrap())
    }

    /// Kills the page and serves it again, at another address.
    pub(crate) fn again(&mut self) {
        self.child.kill().unwrap();
        self.child.wait().unwrap();
        let (child, address) = serve(self.folder.path(), &["serve", "--case", "demo/case"]);
        self.child = child;
        self.address = address;
    }
}

fn serve(folder: &Path, words: &[&str]) -> (Child, String) {
    let mut child = Command::new(env!("CARGO_BIN_EXE_stillroom"))
        .args(words)
        .env("LC_ALL", "C")
        .current_dir(folder)
        .env("XDG_STATE_HOME", folder.join("state"))
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let mut first = String::new();
    BufReader::new(child.stdout.take().unwrap()).read_line(&mut first).unwrap();
    (child, first.trim().to_owned())
}

impl Drop for House {
    fn drop(&mut self) {
        let _gone = self.child.kill();
        let _gone = self.child.wait();
    }
}
