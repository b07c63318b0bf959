//! `paper`: filled sheets from photos. What is doubtful is shown enlarged and asked; nothing is stored until somebody says so.

use std::path::{Path, PathBuf};

use clap::Args;

use crate::contract::PaperDoc;
use crate::report::sheets::{Shown, doubts};
use crate::tasks::sheets::{Against, ReadSheet, read};
use crate::tasks::sheets_kept::{Keeping, store};
use crate::tasks::{Refusal, checklists, files, reviews};

use super::Ending;
use super::arguments::Format;
use super::commands::{Done, answer};
use super::show_paper;
use super::world::World;

/// Largest photo that is read, bytes; as for photos of rooms.
const LIMIT: u64 = files::PHOTO_LIMIT;

#[derive(Debug, Args)]
pub(super) struct PaperArguments {
    /// Photos of filled sheets
    #[arg(value_name = "FILE", required = true)]
    files: Vec<PathBuf>,
    /// The case that they are stored in, once confirmed; left out: they are only read
    #[arg(long, value_name = "DIR")]
    case: Option<PathBuf>,
    /// Store without asking; refused while anything is doubtful
    #[arg(long)]
    yes: bool,
    /// Say what a circle is, by its name: 2.try-3.0=yes or 2.try-3.0=no; may be given again. With several sheets, put the
    /// sheet's number before it: 48239175:2.try-3.0=yes
    #[arg(long, value_name = "NAME=yes|no")]
    mark: Vec<String>,
    /// The page with the doubtful circles enlarged; left out: sheets.html where something is doubtful, at a terminal
    #[arg(long, value_name = "FILE.html")]
    pictures: Option<PathBuf>,
    /// A day of the week of a sheet that says none
    #[arg(long, value_name = "YYYY-MM-DD")]
    week: Option<String>,
    /// The rung of a sheet that says none
    #[arg(long, value_name = "N")]
    rung: Option<u32>,
    /// The place, where it is not the one of the last session
    #[arg(long, value_name = "PLACE")]
    place: Option<String>,
    /// Who filled them in: an alias or a role
    #[arg(long, value_name = "WHO")]
    by: Option<String>,
    /// The checklist of a sheet that was printed from a list of your own
    #[arg(long, value_name = "ID|FILE")]
    checklist: Option<String>,
    /// Keep the strip with the handwritten note as a picture in this folder; left out: it is dropped
    #[arg(long, value_name = "FOLDER")]
    keep_note: Option<PathBuf>,
}

/// Reads sheets, asks, and stores them.
pub(super) fn run(arguments: PaperArguments, format: Format, world: &mut World<'_>) -> Done {
    let list = arguments.checklist.as_deref().map(|list| checklists::find(list, world.stdin)).transpose()?;
    let week = arguments.week.as_deref().map(reviews::read_date).transpose()?;
    let against =
        Against { case: arguments.case.as_deref(), language: world.tongue.language(), list, rung: arguments.rung };
    let mut sheets = Vec::new();
    for file in &arguments.files {
        sheets.push(read(&files::read_bytes(file, LIMIT, world.stdin)?, &against)?);
    }
    for said in &arguments.mark {
        settle(&mut sheets, said)?;
    }
    let someone = world.stdin_is_terminal && world.stderr_is_terminal && format == Format::Text;
    let doubtful: usize = sheets.iter().map(|sheet| sheet.doubtful().count()).sum();
    let pictures = match &arguments.pictures {
        None if someone && doubtful > 0 => Some(files::free_name_with("sheets", "html")),
        other => other.clone(),
    };
    if let Some(file) = pictures {
        files::write(&file, doubts(&sheets_shown(&sheets), &world.tongue.paper_speaker()).as_bytes())?;
        world.say(&format!("The doubtful circles are enlarged in {}.", files::shown(&file)));
    }
    if someone {
        ask(&mut sheets, world)?;
    }
    let Some(case) = arguments.case.as_deref() else {
        notes(&sheets, arguments.keep_note.as_deref(), world)?;
        return answer(&document(&sheets, Vec::new()), format, world, show_paper::read);
    };
    let keeping = Keeping {
        case,
        week,
        rung: arguments.rung,
        place: arguments.place,
        by: arguments.by,
        today: world.today(),
        now: world.now,
    };
    if !arguments.yes && someone {
        if !confirmed(&sheets, world)? {
            world.say("Nothing was stored.");
            return Ok(());
        }
    } else if !arguments.yes {
        world.say("Nothing was stored. Look at it, and store it with --yes.");
        return answer(&document(&sheets, Vec::new()), format, world, show_paper::read);
    }
    let stored = store(&sheets, &keeping)?;
    notes(&sheets, arguments.keep_note.as_deref(), world)?;
    answer(&document(&sheets, stored), format, world, show_paper::stored)
}

fn document(sheets: &[ReadSheet], stored: Vec<String>) -> PaperDoc {
    PaperDoc { sheets: sheets.iter().map(ReadSheet::document).collect(), stored }
}

/// The doubtful circles with their words and pictures.
fn sheets_shown(sheets: &[ReadSheet]) -> Vec<Shown> {
    let one = |sheet: &ReadSheet| {
        let pictures = sheet.doubtful().filter_map(|spot| {
            let jpeg = sheet.enlarged(&spot.circle)?.jpeg().ok()?;
            Some((spot.circle.name(), sheet.words(&spot.circle), jpeg))
        });
        (sheet.number(), pictures.collect())
    };
    sheets.iter().map(one).collect()
}

/// Takes `NAME=yes` or `NUMBER:NAME=no` from the command line.
fn settle(sheets: &mut [ReadSheet], said: &str) -> Result<(), Refusal> {
    let wrong = || {
        Refusal::new("mark", format!("`{}` says nothing of a circle", crate::words::printable(said)))
            .at("--mark")
            .hint("such as 2.try-3.0=yes; with several sheets 48239175:2.try-3.0=yes")
    };
    let (name, word) = said.split_once('=').ok_or_else(wrong)?;
    let yes = match word.trim() {
        "yes" => true,
        "no" => false,
        _ => return Err(wrong()),
    };
    let (number, name) = name.split_once(':').map_or((None, name), |(number, name)| (Some(number), name));
    let wanted =
        |sheet: &&mut ReadSheet| number.is_none_or(|number| sheet.number().replace(' ', "") == number.replace(' ', ""));
    if number.is_none() && sheets.len() > 1 {
        return Err(wrong());
    }
    sheets.iter_mut().find(wanted).ok_or_else(wrong)?.settle(name.trim(), yes)
}

/// Asks about every doubtful circle, until one of its question is filled.
fn ask(sheets: &mut [ReadSheet], world: &mut World<'_>) -> Result<(), Ending> {
    for sheet in sheets.iter_mut().filter(|sheet| !sheet.already) {
        loop {
            let next = sheet.doubtful().next().map(|spot| spot.circle);
            let Some(circle) = next else { break };
            let prompt = format!("sheet {}: {}? [y/n] ", sheet.number(), sheet.words(&circle));
            let Some(line) = world.ask(&prompt)? else { return Ok(()) };
            match yes_or_no(&line) {
                Some(yes) => sheet.settle(&circle.name(), yes)?,
                None => world.say("Please answer y or n."),
            }
        }
    }
    Ok(())
}

fn yes_or_no(line: &str) -> Option<bool> {
    match line.trim().to_lowercase().as_str() {
        "y" | "yes" | "s" | "si" | "sí" => Some(true),
        "n" | "no" => Some(false),
        _ => None,
    }
}

/// Shows what was read and asks whether it is stored.
fn confirmed(sheets: &[ReadSheet], world: &mut World<'_>) -> Result<bool, Ending> {
    if sheets.iter().all(|sheet| sheet.already) {
        return Ok(true);
    }
    world.say(&show_paper::read(&document(sheets, Vec::new())));
    if sheets.iter().any(|sheet| sheet.doubtful().next().is_some()) {
        return Ok(false);
    }
    let line = world.ask("Store this? [y/n] ")?;
    Ok(line.as_deref().and_then(yes_or_no) == Some(true))
}

/// Keeps the strips with notes where somebody asked for them.
fn notes(sheets: &[ReadSheet], folder: Option<&Path>, world: &mut World<'_>) -> Result<(), Refusal> {
    let Some(folder) = folder else { return Ok(()) };
    files::private_folder(folder)?;
    for sheet in sheets {
        let Some(png) = sheet.note().and_then(|strip| strip.png().ok()) else { continue };
        let file = folder.join(format!("sheet-{}-note.png", sheet.number().replace(' ', "")));
        files::write(&file, &png)?;
        world.say(&format!("The strip with the note is in {}.", files::shown(&file)));
    }
    Ok(())
}
