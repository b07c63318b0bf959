//! The terminal: arguments in, a task done, text or JSON out. Exit 0 done (cautions too), 1 refused or failed, 2 usage.

mod arguments;
mod arguments_audit;
mod arguments_case;
mod arguments_practice;
mod arguments_where;
mod ask;
mod ask_session;
mod commands;
mod fault;
mod form;
mod graph;
mod hand;
mod keep;
mod ladder_arguments;
mod layout;
mod listening;
mod live;
mod paint;
mod paper;
mod practice;
mod progress;
mod record;
mod run_audit;
mod run_ladder;
mod run_where;
mod sample;
mod show_agreement;
mod show_audit;
mod show_case;
mod show_checklist;
mod show_demo;
mod show_device;
mod show_evidence;
mod show_form;
mod show_hand;
mod show_keep;
mod show_ladder;
mod show_paper;
mod show_photo;
mod show_practice;
mod show_session;
mod show_sound;
mod show_walk;
mod show_where;
mod world;

pub use fault::guarded;
pub use world::{Tongue, World};

use std::ffi::OsString;
use std::io;

use clap::error::ErrorKind;
use clap::{CommandFactory, Parser};

use crate::contract;
use crate::tasks::{Refusal, keeping, papers};

use arguments::{Arguments, Format};

/// Done; cautions too.
const DONE: u8 = 0;
/// Refused or failed.
const REFUSED: u8 = 1;
/// Not a command line this program knows.
const USAGE: u8 = 2;

/// What a command ends with when it does not end well.
pub(crate) enum Ending {
    /// It was refused.
    Refused(Refusal),
    /// The reader of the output went away.
    Unheard(io::Error),
    /// Whoever was asked wanted to stop; that was said.
    Stopped,
    /// It was done, its result is printed, and something was found wrong.
    Findings,
}

impl From<Refusal> for Ending {
    fn from(refusal: Refusal) -> Self {
        Self::Refused(refusal)
    }
}

impl From<io::Error> for Ending {
    fn from(error: io::Error) -> Self {
        Self::Unheard(error)
    }
}

/// The commands and options as data: manual pages and completions are made from it (`examples/manual.rs`).
pub fn definitions() -> clap::Command {
    Arguments::command()
}

/// Runs one command line and gives its exit code.
pub fn run(words: impl IntoIterator<Item = OsString>, world: &mut World<'_>) -> u8 {
    let arguments = match Arguments::try_parse_from(words) {
        Ok(arguments) => arguments,
        Err(error) => return usage(&error, world),
    };
    let format = arguments.format;
    match papers::language(arguments.language.as_deref(), world.tongue.locale()) {
        Ok(language) => world.tongue.speak(language),
        Err(refusal) => {
            world.refuse(&refusal, format);
            return REFUSED;
        }
    }
    let case = keep::case_read(&arguments.command);
    match commands::run(arguments, world) {
        Ok(()) => {
            for sentence in case.map(|case| keeping::left_out(&case)).unwrap_or_default() {
                world.say(&format!("left out: {sentence}"));
            }
            DONE
        }
        Err(Ending::Findings | Ending::Stopped) => REFUSED,
        // A closed pipe is the reader's choice (`stillroom … | head`): end quietly. A full disk is not.
        Err(Ending::Unheard(error)) if error.kind() == io::ErrorKind::BrokenPipe => DONE,
        Err(Ending::Unheard(error)) => {
            world.say(&format!("error: cannot write the result: {error}"));
            REFUSED
        }
        Err(Ending::Refused(refusal)) => {
            world.refuse(&refusal, format);
            REFUSED
        }
    }
}

impl World<'_> {
    /// Says why it is refused, as people or programs read it.
    fn refuse(&mut self, refusal: &Refusal, format: Format) {
        match format {
            Format::Json => self.say_as_is(contract::json(&refusal.document()).trim_end()),
            Format::Text => self.say(refused(refusal).trim_end()),
        }
    }
}

fn refused(refusal: &Refusal) -> String {
    let mut text = format!("error: {}", refusal.message);
    if let Some(place) = refusal.place.as_ref().filter(|place| !refusal.message.contains(place.as_str())) {
        text.push_str(&format!("\n  where: {place}"));
    }
    if let Some(hint) = &refusal.hint {
        text.push_str(&format!("\nhint: {hint}"));
    }
    text
}

/// Help and version are results; everything else that clap answers is talk.
fn usage(error: &clap::Error, world: &mut World<'_>) -> u8 {
    let text = error.render().ansi().to_string();
    match error.kind() {
        ErrorKind::DisplayHelp | ErrorKind::DisplayVersion => {
            // Whoever asked for help and went away needs none.
            let _unread = world.hand_out(&text);
            DONE
        }
        _ => {
            world.say(text.trim_end());
            USAGE
        }
    }
}
