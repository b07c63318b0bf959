//! What can go wrong with a case folder.

use std::io;
use std::path::{Path, PathBuf};

use crate::words::printable;

/// What can go wrong with a case folder.
#[derive(Debug, thiserror::Error)]
pub enum CaseFault {
    /// The folder is not there.
    #[error("there is no folder {}", .0.display())]
    Missing(PathBuf),
    /// A file stands where the folder should be.
    #[error("{} is a file, not a case folder", .0.display())]
    NotAFolder(PathBuf),
    /// The folder holds no child record.
    #[error("{} is not a case: it holds no child record", .0.display())]
    NotACase(PathBuf),
    /// `case new` where something is.
    #[error("{} is not empty", .0.display())]
    NotEmpty(PathBuf),
    /// The system said no.
    #[error("{}: {source}", .path.display())]
    Io {
        /// The file or folder.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// A record's bytes are not those that its name promises.
    #[error("{name} was changed after it was written: its hash does not match its name")]
    Changed {
        /// The file's name.
        name: String,
    },
    /// A record that does not read.
    #[error("{name} does not read as a record: {why}")]
    Unreadable {
        /// The file's name.
        name: String,
        /// What the reader said.
        why: String,
    },
    /// A file that is no record.
    #[error("{name} is no record of this case: {why}")]
    Stray {
        /// The file's name.
        name: String,
        /// What it is, as far as can be seen.
        why: String,
    },
    /// No record of that id.
    #[error("no {kind} record `{id}` in {}", .path.display())]
    NoRecord {
        /// What was asked for.
        kind: String,
        /// The id or date asked for.
        id: String,
        /// The case.
        path: PathBuf,
    },
    /// A record too large to be one.
    #[error("{name} is larger than any record ({bytes} bytes)")]
    TooLarge {
        /// The file's name.
        name: String,
        /// Its size.
        bytes: u64,
    },
    /// Two cases that are not about one child.
    #[error("the two cases are about different children: `{into}` and `{from}`")]
    OtherChild {
        /// The alias of the case that takes.
        into: String,
        /// The alias of the case that gives.
        from: String,
    },
}

impl CaseFault {
    /// The file or folder it is about.
    pub fn file_name(&self) -> String {
        match self {
            Self::Changed { name }
            | Self::Unreadable { name, .. }
            | Self::Stray { name, .. }
            | Self::TooLarge { name, .. } => name.clone(),
            Self::Missing(path) | Self::NotAFolder(path) | Self::NotACase(path) | Self::NotEmpty(path) => {
                printable(&path.to_string_lossy())
            }
            Self::Io { path, .. } => printable(&path.file_name().unwrap_or(path.as_os_str()).to_string_lossy()),
            Self::NoRecord { path, .. } => printable(&path.to_string_lossy()),
            Self::OtherChild { from, .. } => from.clone(),
        }
    }

    /// What the system said about a path.
    pub(super) fn io(path: &Path) -> impl Fn(io::Error) -> Self {
        move |source| Self::Io { path: path.to_owned(), source }
    }
}
