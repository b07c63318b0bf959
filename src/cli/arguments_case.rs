//! What can be typed to keep, merge, hand over and oversee cases.

use std::path::PathBuf;

use clap::Subcommand;

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
    /// Add everything that another folder of the same case holds
    ///
    /// Both folders stay readable, the order does not matter, and doing it twice changes nothing.
    #[command(after_help = "Example:\n  stillroom case merge clover /media/stick/clover")]
    Merge {
        /// The case folder that takes
        into: PathBuf,
        /// The case folder that gives; it is not changed
        from: PathBuf,
        /// The two are about one child although their aliases differ
        #[arg(long)]
        same_child: bool,
    },
    /// Erase a case from this computer
    ///
    /// Only files of the case are erased. What cannot be reached, such as backups and copies already given, is said.
    #[command(after_help = "Example:\n  stillroom case erase clover --yes")]
    Erase {
        /// The case folder
        dir: PathBuf,
        /// Really erase it
        #[arg(long)]
        yes: bool,
    },
}
