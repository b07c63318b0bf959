//! What can go wrong with a pack.

use std::io;
use std::path::PathBuf;

use super::fault::CaseFault;

/// What can go wrong with a pack.
#[derive(Debug, thiserror::Error)]
pub enum PackFault {
    /// Built without the feature.
    #[error("this build of stillroom cannot seal or open packs")]
    NotBuilt,
    /// A passphrase without a sign in it.
    #[error("the passphrase is empty")]
    EmptyPassphrase,
    /// A file stands where the pack would.
    #[error("{} is there already", .0.display())]
    Exists(PathBuf),
    /// A place that the case does not know.
    #[error("the case has no place `{0}`")]
    NoSuchPlace(String),
    /// The passphrase does not fit.
    #[error("the passphrase does not open this pack")]
    WrongPassphrase,
    /// Sealed for keys, not with a passphrase.
    #[error("this file is sealed for a key, not with a passphrase")]
    NoPassphrase,
    /// No age file.
    #[error("this is no pack")]
    NotAPack,
    /// A pack that would take minutes and gigabytes to open.
    #[error("this pack asks for 2^{0} units of work to open, more than any honest one")]
    ExcessiveWork(u8),
    /// Cut, changed, or not what it says it holds.
    #[error("this pack is damaged: {0}")]
    Damaged(String),
    /// Something inside that no pack of a case has.
    #[error("this pack was refused: `{entry}` {why}")]
    Hostile {
        /// The entry's name.
        entry: String,
        /// What is wrong with it.
        why: String,
    },
    /// The sealing itself failed.
    #[error("the pack could not be sealed: {0}")]
    Sealing(String),
    /// The pack could not be written.
    #[error("the pack could not be written: {0}")]
    Writing(io::Error),
    /// The pack could not be read.
    #[error("the pack could not be read: {0}")]
    Reading(io::Error),
    /// The case behind it.
    #[error(transparent)]
    Case(#[from] CaseFault),
}

impl PackFault {
    /// The kind, fixed for ever.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::NotBuilt => "no-hand-over",
            Self::EmptyPassphrase => "empty-passphrase",
            Self::Exists(_) => "file-exists",
            Self::NoSuchPlace(_) => "no-such-place",
            Self::WrongPassphrase => "wrong-passphrase",
            Self::NoPassphrase => "no-passphrase",
            Self::NotAPack => "not-a-pack",
            Self::ExcessiveWork(_) => "excessive-work",
            Self::Damaged(_) => "pack-damaged",
            Self::Hostile { .. } => "pack-refused",
            Self::Sealing(_) => "pack-not-sealed",
            Self::Writing(_) => "cannot-write",
            Self::Reading(_) => "cannot-read",
            Self::Case(_) => "case",
        }
    }

    /// What to do.
    pub const fn hint(&self) -> &'static str {
        match self {
            Self::NotBuilt => "build it with the feature `hand-over`, which is on unless somebody turned it off",
            Self::EmptyPassphrase => "choose four words or more that belong together for nobody else",
            Self::Exists(_) => "name a file that is not there yet; nothing was written over",
            Self::NoSuchPlace(_) => "`stillroom case list DIR` shows the places",
            Self::WrongPassphrase => "check the passphrase with whoever made the pack; nothing was written",
            Self::NoPassphrase => "ask for a pack made with `stillroom case pack`; nothing was written",
            Self::NotAPack => "name a file made with `stillroom case pack`; nothing was written",
            Self::ExcessiveWork(_) => "ask whoever made it to pack the case again; nothing was written",
            Self::Damaged(_) => "fetch the pack again; nothing of it was written",
            Self::Hostile { .. } => {
                "do not use this file: it was not made by `stillroom case pack`; nothing of it was written"
            }
            Self::Sealing(_) | Self::Writing(_) => {
                "check that the folder exists, that you may write there and that the disk has room"
            }
            Self::Reading(_) => "try a copy of the file; nothing was written",
            Self::Case(_) => "`stillroom case check DIR` says what is wrong",
        }
    }
}
