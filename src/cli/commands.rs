//! Each command: its arguments become a task's request, its result is printed.

use std::path::{Path, PathBuf};

use crate::case::Case;
use crate::contract::{self, Document};
use crate::tasks::{
    AuditRequest, Calibration, LadderRequest, NewCase, Refusal, SoundRequest, audits, case_view, cases, checklists,
    demo, files, ladders, photos, profiles, reports, reviews, sounds,
};

use super::Ending;
use super::arguments::{
    Arguments, AuditArguments, CalibrationArguments, CaseCommand, ChecklistCommand, Command, Format, LadderArguments,
    SoundArguments,
};
use super::keep;
use super::paint::{bold, wrapped};
use super::progress::Progress;
use super::record;
use super::world::World;
use super::{show_audit, show_case, show_checklist, show_demo, show_ladder, show_photo, show_practice, show_sound};

pub(super) type Done = Result<(), Ending>;

/// Runs one command.
pub(super) fn run(arguments: Arguments, world: &mut World<'_>) -> Done {
    let format = arguments.format;
    match arguments.command {
        Command::Demo { into, from } => run_demo(into, from.as_deref(), format, world),
        Command::Checklist(command) => run_checklist(command, format, world),
        Command::Sound(arguments) => record::run(*arguments, format, world),
        Command::Photo { files, map, stays, checklist, compare } => match compare.as_deref() {
            Some([before, after]) => compare_photos(before, after, format, world),
            _ => run_photo(&files, map.as_deref(), &stays, &checklist, format, world),
        },
        Command::Audit(arguments) => run_audit(arguments, format, world),
        Command::Compare { case, audits, place } => {
            let doc = audits::compare_in_case(&case, &audits, place.as_deref())?;
            answer(&doc, format, world, show_audit::compared)
        }
        Command::Ladder(arguments) => run_ladder(arguments, format, world),
        Command::Review { case, log, on } => {
            let doc = match (log, case) {
                (Some(log), _) => reviews::from_log(&files::read_text(&log, world.stdin)?, on.as_deref())?,
                (None, case) => reviews::from_case(&case.unwrap_or_default(), on.as_deref(), world.now)?,
            };
            answer(&doc, format, world, show_practice::review)
        }
        Command::Report { case, out, place } => {
            let html = reports::case_report(&case, place.as_deref(), world.now)?;
            files::write(&out, html.as_bytes())?;
            answer(&contract::WrittenDoc { file: files::shown(&out) }, format, world, |doc| {
                format!("The report is in {}; open it in a browser or print it.\n", doc.file)
            })
        }
        Command::Case(command) => run_case(command, format, world),
    }
}

/// Prints a document as text or JSON.
pub(super) fn answer<T: Document>(doc: &T, format: Format, world: &mut World<'_>, text: impl Fn(&T) -> String) -> Done {
    let shown = match format {
        Format::Json => contract::json(doc),
        Format::Text => text(doc),
    };
    Ok(world.print(&shown)?)
}

fn run_demo(into: Option<PathBuf>, from: Option<&Path>, format: Format, world: &mut World<'_>) -> Done {
    let into = into.unwrap_or_else(|| files::free_name("stillroom-demo"));
    let progress = Progress::new("demo", world.stderr_is_terminal);
    let doc = demo::run(&into, from, &mut |share| progress.at(share))?;
    drop(progress);
    answer(&doc, format, world, show_demo::demo)
}

fn run_checklist(command: ChecklistCommand, format: Format, world: &mut World<'_>) -> Done {
    match command {
        ChecklistCommand::List => answer(&checklists::list(), format, world, show_checklist::list),
        ChecklistCommand::Show { list } if list == "scale" => {
            let doc = checklists::scale();
            answer(&doc, format, world, show_checklist::scale)
        }
        ChecklistCommand::Show { list } => {
            let found = checklists::find(&list, world.stdin)?;
            answer(&checklists::document(&found.list), format, world, show_checklist::checklist)
        }
        ChecklistCommand::Blank { list } => {
            let found = checklists::find(&list, world.stdin)?;
            Ok(world.print(&checklists::blank(&found.list))?)
        }
        ChecklistCommand::Check { file } => {
            let text = files::read_text(&file, world.stdin)?;
            let doc = checklists::check(&text)?;
            answer(&doc, format, world, show_checklist::checked)
        }
        ChecklistCommand::Score { list, answers } => {
            let found = checklists::find(&list, world.stdin)?;
            let answers = checklists::read_answers(&files::read_text(&answers, world.stdin)?, &found.list)?;
            answer(&checklists::score(&found.list, &answers), format, world, show_audit::score)
        }
    }
}

/// The calibration that the options ask for.
pub(super) fn calibration(arguments: &CalibrationArguments, world: &World<'_>) -> Result<Calibration, Refusal> {
    Ok(match (arguments.offset, &arguments.reference, arguments.reference_db, &arguments.profile) {
        (Some(offset_db), ..) => Calibration::Offset { offset_db },
        (None, Some(file), Some(laeq_db), _) => Calibration::Reference { file: file.clone(), laeq_db },
        (.., Some(name)) => Calibration::Profile(Box::new(profiles::find(world.config.as_deref(), name)?)),
        _ => Calibration::None,
    })
}

/// A recording from a file.
pub(super) fn run_sound(file: PathBuf, arguments: SoundArguments, format: Format, world: &mut World<'_>) -> Done {
    let request = SoundRequest {
        file,
        calibration: calibration(&arguments.calibration, world)?,
        sd_db: arguments.calibration.sd,
        when: arguments.when.map(record::occasion),
        voice: arguments.voice,
        decay: arguments.decay,
        band_history: arguments.band_history,
        child_audible: arguments.child_audible,
    };
    if request.decay {
        world.say("The child is out of the room while you clap: never a bang near a child.");
    }
    let progress = Progress::new("listening", world.stderr_is_terminal);
    let doc = sounds::sound(&request, world.stdin, &mut |share| progress.at(share))?;
    drop(progress);
    draw_sound(&doc, arguments.chart.as_deref(), world)?;
    answer(&doc, format, world, show_sound::sound)
}

/// The pictures of a recording, if they are asked for.
pub(super) fn draw_sound(doc: &contract::SoundDoc, chart: Option<&Path>, world: &mut World<'_>) -> Result<(), Refusal> {
    let Some(chart) = chart else { return Ok(()) };
    files::write(chart, reports::sound_chart(doc).as_bytes())?;
    world.say(&format!("The picture of the sound is in {}.", files::shown(chart)));
    Ok(())
}

fn run_photo(
    paths: &[PathBuf],
    map: Option<&Path>,
    stays: &[usize],
    checklist: &str,
    format: Format,
    world: &mut World<'_>,
) -> Done {
    if paths.len() > 1 && (map.is_some() || !stays.is_empty()) {
        return Err(Refusal::new("one-photo", "--map and --stays are for one photo")
            .hint("give one photo, or leave them out")
            .into());
    }
    let list = checklists::find(checklist, world.stdin)?.list;
    let progress = Progress::new("looking", world.stderr_is_terminal);
    let mut measured = photos::photos(paths, world.stdin, &mut |share| progress.at(share))?;
    drop(progress);
    for photo in &mut measured {
        photos::explain(photo, &list);
        for &number in stays {
            photos::mark_stays(photo, number)?;
        }
    }
    if let (Some(out), Some(photo)) = (map, measured.first()) {
        files::write(out, &photos::map(photo)?)?;
        world.say(&format!(
            "The photo is in {}, dimmed, with its busy places outlined and numbered as in the list. It stays on this computer.",
            files::shown(out)
        ));
    }
    if measured.len() == 1 {
        return answer(&measured.remove(0).doc, format, world, show_photo::photo);
    }
    answer(&photos::together(&measured), format, world, show_photo::photos)
}

fn compare_photos(before: &Path, after: &Path, format: Format, world: &mut World<'_>) -> Done {
    let doc = photos::compare(before, after, world.stdin)?;
    answer(&doc, format, world, show_photo::compared)
}

/// What keeping photos means.
const KEPT_PHOTOS: &str = "A small copy of each photo is in the case: at most 512 pixels, without place, time or device. What can be seen in it, \
    people and names too, stays to be seen by whoever can open the folder or is handed the case, until the case is erased. \
    The photo itself is still in the phone's gallery and its backup: delete it there.";

fn run_audit(arguments: AuditArguments, format: Format, world: &mut World<'_>) -> Done {
    // The case is opened first, so that nobody measures for a minute only to hear that the folder is wrong.
    let case = arguments.case.as_deref().map(Case::open).transpose().map_err(Refusal::from)?;
    let checklist = checklists::find(&arguments.checklist, world.stdin)?;
    let answers = files::read_text(&arguments.answers, world.stdin)?;
    let scale = arguments.scale.as_deref().map(|path| files::read_text(path, world.stdin)).transpose()?;
    checklists::read_answers(&answers, &checklist.list)?;
    let progress = Progress::new("measuring", world.stderr_is_terminal);
    let sound = match arguments.sound {
        Some(file) => {
            let request = SoundRequest {
                file,
                calibration: calibration(&arguments.calibration, world)?,
                sd_db: arguments.calibration.sd,
                when: arguments.when.map(record::occasion),
                voice: arguments.voice,
                decay: false,
                band_history: false,
                child_audible: arguments.child_audible,
            };
            Some(sounds::sound(&request, world.stdin, &mut |share| progress.at(share))?)
        }
        None => None,
    };
    let measured = photos::photos(&arguments.photos, world.stdin, &mut |share| progress.at(share))?;
    drop(progress);
    let kept_photos = match arguments.keep_photos {
        true => measured.iter().map(photos::reduced).collect::<Result<_, _>>()?,
        false => Vec::new(),
    };
    let mut result = audits::audit(AuditRequest {
        place: arguments.place,
        checklist,
        answers,
        sound,
        child_audible: arguments.child_audible,
        photos: measured.into_iter().map(|photo| photo.doc).collect(),
        kept_photos,
        scale,
        minutes: arguments.minutes,
    })?;
    if let Some(case) = &case {
        result.figures.id = audits::store(case, &result, world.now)?;
        world.say(&format!("Stored as {} in {}.", result.figures.id, files::shown(case.folder())));
        if !result.kept_photos.is_empty() {
            world.say(KEPT_PHOTOS);
        }
    }
    let calculation = result.calculation;
    answer(&result.figures, format, world, |doc| {
        let mut text = show_audit::audit(doc);
        if arguments.explain {
            text.push_str(&format!("\n{}\n", bold("The calculation, line by line")));
            for line in &calculation {
                text.push_str(&wrapped("  ", line));
            }
        }
        text
    })
}

fn run_ladder(arguments: LadderArguments, format: Format, world: &mut World<'_>) -> Done {
    let doc = match (arguments.from, arguments.case) {
        (Some(file), _) => ladders::from_file(&files::read_text(&file, world.stdin)?, arguments.max_step)?,
        (None, case) => {
            let request = LadderRequest {
                case: case.unwrap_or_default(),
                place: arguments.place,
                goal: arguments.goal,
                by: arguments.by,
                task: arguments.task,
                max_step: arguments.max_step,
                store: !arguments.dry_run,
            };
            let planned = ladders::from_case(&request, world.now)?;
            for note in &planned.said {
                world.say(note);
            }
            planned.doc
        }
    };
    answer(&doc, format, world, show_ladder::ladder)
}

fn run_case(command: CaseCommand, format: Format, world: &mut World<'_>) -> Done {
    match command {
        CaseCommand::New { dir, alias, born, keep, sound_sensitive, hearing_checked } => {
            let told = NewCase {
                alias,
                born,
                keep,
                sound_sensitive: sound_sensitive.word().to_owned(),
                hearing_checked: hearing_checked.word().to_owned(),
            };
            cases::new(&dir, told, world.now)?;
            answer(&cases::list(&dir)?, format, world, |doc| {
                format!(
                    "The case {} is in {}.\nnext: stillroom audit --case {} …\n",
                    doc.alias,
                    files::shown(&dir),
                    files::shown(&dir)
                )
            })
        }
        CaseCommand::List { dir } => answer(&cases::list(&dir)?, format, world, show_case::records),
        CaseCommand::Show { dir } => answer(&case_view::view(&dir, world.now)?, format, world, show_case::glance),
        CaseCommand::Keep(command) => keep::run(command, format, world),
    }
}
