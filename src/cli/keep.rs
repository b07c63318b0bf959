//! The commands that keep, merge, hand over and oversee cases.

use std::path::PathBuf;

use crate::tasks::{Adding, files, keeping};

use super::Ending;
use super::arguments::{CaseCommand, Command, Format};
use super::arguments_case::KeepCommand;
use super::arguments_practice::PracticeCommand;
use super::commands::{Done, answer};
use super::hand;
use super::show_keep;
use super::world::World;

/// The case folder that a command reads figures from; what it leaves out is said once the command is done.
pub(super) fn case_read(command: &Command) -> Option<PathBuf> {
    match command {
        Command::Compare { case, .. } | Command::Report { case, .. } => Some(case.clone()),
        Command::Audit(arguments) => arguments.case.clone(),
        Command::Ladder(arguments) => arguments.case.clone(),
        Command::Form(arguments) => arguments.case.clone(),
        Command::Practice(PracticeCommand::Review(arguments)) => arguments.case.clone(),
        Command::Practice(PracticeCommand::Session(arguments)) => arguments.case.clone(),
        Command::Practice(PracticeCommand::Troubleshoot(arguments)) => Some(arguments.case.clone()),
        Command::Practice(PracticeCommand::Evidence(arguments)) => Some(arguments.case.clone()),
        Command::Practice(PracticeCommand::Decide(arguments)) => Some(arguments.case.clone()),
        Command::Practice(PracticeCommand::Dose(arguments)) => Some(arguments.case.clone()),
        Command::Practice(PracticeCommand::Reinforcers(arguments)) => arguments.case.clone(),
        Command::Practice(PracticeCommand::Needs(arguments)) => Some(arguments.case.clone()),
        Command::Practice(PracticeCommand::Screens(arguments)) => Some(arguments.case.clone()),
        Command::Case(CaseCommand::Child(arguments)) => Some(arguments.dir.clone()),
        Command::Case(CaseCommand::List { dir } | CaseCommand::Keep(KeepCommand::Export { dir, .. })) => {
            Some(dir.clone())
        }
        _ => None,
    }
}

/// Runs one of them.
pub(super) fn run(command: KeepCommand, format: Format, world: &mut World<'_>) -> Done {
    match command {
        KeepCommand::Add { dir, file, replaces, by, on } => {
            let text = files::read_text(&file, world.stdin)?;
            let doc = keeping::add(&dir, &text, &Adding { replaces, by, on }, world.now)?;
            answer(&doc, format, world, show_keep::added)
        }
        KeepCommand::Withdraw { dir, id, why, by } => {
            let doc = keeping::withdraw(&dir, &id, &why, by.as_deref(), world.now)?;
            answer(&doc, format, world, show_keep::added)
        }
        KeepCommand::Check { dir, repair } => {
            let doc = keeping::check(&dir, repair, world.now)?;
            answer(&doc, format, world, show_keep::checked)?;
            if doc.sound { Ok(()) } else { Err(Ending::Findings) }
        }
        KeepCommand::Merge { into, from, same_child, passphrase_file } => {
            let doc = if crate::files::is_folder(&from) {
                keeping::merge(&into, &from, same_child)?
            } else {
                hand::merge(&into, &from, passphrase_file.as_deref(), same_child, world)?
            };
            answer(&doc, format, world, show_keep::merged)
        }
        KeepCommand::Erase { dir, yes } => {
            let doc = keeping::erase(&dir, yes)?;
            answer(&doc, format, world, show_keep::erased)
        }
        KeepCommand::Pack(arguments) => hand::pack(&arguments, format, world),
        KeepCommand::Unpack { file, into, passphrase_file } => {
            hand::unpack(&file, &into, passphrase_file.as_deref(), format, world)
        }
        KeepCommand::Export { dir, out, anonymous } => hand::export(&dir, &out, anonymous, format, world),
    }
}
