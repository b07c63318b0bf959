//! What can be typed to keep, merge, hand over and oversee cases.

use std::path::PathBuf;

use clap::{Args, Subcommand};

#[derive(Debug, Subcommand)]
pub(super) enum KeepCommand {
    /// Add a record written by hand: a note, a place, a task, a session, a decision, a correction of one
    ///
    /// The text is one TOML table named after the kind, such as [note] with `text = "…"`; docs/FORMATS.md shows each.
    /// Nothing is ever changed: a correction is a new record that names the one it replaces.
    #[command(
        after_help = "Examples:\n  stillroom case add clover note.toml --by parent\n  stillroom case add clover session.toml --replaces 3f2a81c09b44d6e7"
    )]
    Add {
        /// The case folder
        dir: PathBuf,
        /// The text; `-` for standard input
        file: PathBuf,
        /// The record that this one corrects, by id
        #[arg(long, value_name = "ID")]
        replaces: Option<String>,
        /// Who writes it: an alias or a role
        #[arg(long)]
        by: Option<String>,
        /// The day it is about; left out: the text's, or today
        #[arg(long, value_name = "DATE")]
        on: Option<String>,
    },
    /// Take a record back; it stays readable and counts for nothing
    #[command(
        after_help = "Example:\n  stillroom case withdraw clover 3f2a81c09b44d6e7 --why \"written into the wrong case\" --by visitor"
    )]
    Withdraw {
        /// The case folder
        dir: PathBuf,
        /// The record, by id
        id: String,
        /// Why
        #[arg(long)]
        why: String,
        /// Who takes it back: an alias or a role
        #[arg(long)]
        by: Option<String>,
    },
    /// Check every hash and every reference, and name what is damaged or no part of the case
    ///
    /// Exit 1 when something is wrong. A temporary file of a writer that was stopped is no fault; it is removed after an
    /// hour.
    #[command(after_help = "Examples:\n  stillroom case check clover\n  stillroom case check clover --repair")]
    Check {
        /// The case folder
        dir: PathBuf,
        /// Move damaged files and copies into a folder beside the case, and give renamed records their name back
        #[arg(long)]
        repair: bool,
    },
    /// Add everything that another folder of the same case holds, or a file that was handed over
    ///
    /// Both stay readable, the order does not matter, and doing it twice changes nothing.
    #[command(
        after_help = "Examples:\n  stillroom case merge clover /media/stick/clover\n  stillroom case merge clover clover-2026-11-26.age"
    )]
    Merge {
        /// The case folder that takes
        into: PathBuf,
        /// The case folder that gives, or the file; it is not changed
        from: PathBuf,
        /// The two are about one child although their aliases differ
        #[arg(long)]
        same_child: bool,
        /// A file with the passphrase of a sealed file on its first line; left out: it is asked for at the terminal
        #[arg(long, value_name = "FILE")]
        passphrase_file: Option<PathBuf>,
    },
    /// Seal a case into one file that only the passphrase opens
    ///
    /// The pack is an `age` file with a plain archive inside, so it can be opened without this program. What it holds is
    /// listed before it is sealed.
    #[command(
        after_help = "Examples:\n  stillroom case pack clover --out clover.age\n  stillroom case pack clover --out clinic.age --place \"group room\" --passphrase-file key.txt"
    )]
    Pack(PackArguments),
    /// Open a sealed case into a new folder: all of it, or nothing
    #[command(after_help = "Example:\n  stillroom case unpack clover.age --into clover --passphrase-file key.txt")]
    Unpack {
        /// The pack
        file: PathBuf,
        /// The folder to make; it must be empty or not there yet
        #[arg(long, value_name = "DIR")]
        into: PathBuf,
        /// A file whose first line is the passphrase; left out: asked at the terminal
        #[arg(long, value_name = "FILE")]
        passphrase_file: Option<PathBuf>,
    },
    /// Write a case as tables for statistics: CSV and JSON
    #[command(
        after_help = "Examples:\n  stillroom case export clover --out tables\n  stillroom case export clover --out tables --anonymous"
    )]
    Export {
        /// The case folder
        dir: PathBuf,
        /// The folder to write; it must be empty or not there yet
        #[arg(long, value_name = "FOLDER")]
        out: PathBuf,
        /// Shift all dates by one secret number of days, and leave out names, notes and places
        #[arg(long)]
        anonymous: bool,
    },
    /// Erase a case from this computer
    ///
    /// Only files of the case are erased. What cannot be reached, such as backups and packs already given, is said.
    #[command(after_help = "Example:\n  stillroom case erase clover --yes")]
    Erase {
        /// The case folder
        dir: PathBuf,
        /// Really erase it
        #[arg(long)]
        yes: bool,
    },
}

#[derive(Debug, Args)]
pub(super) struct PackArguments {
    /// The case folder
    pub(super) dir: PathBuf,
    /// The file to write; it must not be there yet
    #[arg(long, value_name = "FILE")]
    pub(super) out: PathBuf,
    /// Only what is about this place: another home's records, notes and names stay behind
    #[arg(long)]
    pub(super) place: Option<String>,
    /// A file whose first line is the passphrase; left out: asked at the terminal
    #[arg(long, value_name = "FILE")]
    pub(super) passphrase_file: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub(super) struct CollectArguments {
    /// The folder of packs
    pub(super) folder: PathBuf,
    /// The folder of cases
    #[arg(long, value_name = "CASES")]
    pub(super) into: PathBuf,
    /// A file with one passphrase a line, each tried in turn; left out: asked at the terminal
    #[arg(long, value_name = "FILE")]
    pub(super) passphrase_file: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub(super) struct CaseloadArguments {
    /// The folder of cases
    pub(super) folder: PathBuf,
    /// The day to decide for; left out: today
    #[arg(long, value_name = "DATE")]
    pub(super) on: Option<String>,
    /// Write the day's pile: one sheet a case
    #[arg(long, value_name = "FILE.html")]
    pub(super) print: Option<PathBuf>,
    /// Learn from these cases how strongly things draw, and write a scale of one's own; it takes 20 children
    #[arg(long, requires = "out", conflicts_with_all = ["on", "print"])]
    pub(super) learn: bool,
    /// Where the new scale goes; nothing is written over
    #[arg(long, value_name = "FILE.toml", requires = "learn")]
    pub(super) out: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub(super) struct CarryArguments {
    /// The case whose ladder, task and newest looks go along; left out: a page without records
    #[arg(long, value_name = "DIR")]
    pub(super) case: Option<PathBuf>,
    /// Where the file goes
    #[arg(long, value_name = "FILE")]
    pub(super) out: PathBuf,
    /// The page that carry/build made; left out: the one built into this program
    #[arg(long, value_name = "FILE")]
    pub(super) template: Option<PathBuf>,
}
