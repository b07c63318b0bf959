//! Each command: its arguments become a task's request, its result is printed.

use std::path::{Path, PathBuf};

use crate::contract::{self, Document};
use crate::tasks::{
    Calibration, NewCase, Refusal, SoundRequest, audits, case_view, cases, chairs, checklists, demo, files, photos,
    profiles, reports, sounds,
};

use crate::case::Case;
use crate::tasks::reports::Reader;
use crate::tasks::serving::Serving;

use super::Ending;
use super::arguments::{
    Arguments, CalibrationArguments, CaseCommand, ChecklistCommand, Command, Format, ReportFor, SoundArguments,
};
use super::form;
use super::hand;
use super::keep;
use super::paper;
use super::practice;
use super::progress::Progress;
use super::record;
use super::run_audit;
use super::run_where;
use super::world::World;
use super::{run_ladder, show_audit, show_case, show_checklist, show_demo, show_photo, show_sound};

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
        Command::Audit(arguments) => run_audit::run(*arguments, format, world),
        Command::Agree(arguments) => run_audit::agree(&arguments, format, world),
        Command::Compare { case, audits, place } => {
            let doc = audits::compare_in_case(&case, &audits, place.as_deref())?;
            answer(&doc, format, world, show_audit::compared)
        }
        Command::Where(arguments) => run_where::run(*arguments, format, world),
        Command::Ladder(arguments) => run_ladder::ladder(*arguments, format, world),
        Command::Practice(command) => practice::run(command, format, world),
        Command::Report { case, out, reader, place } => {
            let language = world.tongue.language();
            let reader = match reader {
                ReportFor::Family => Reader::Family,
                ReportFor::Clinician => Reader::Clinician,
                ReportFor::Visitor => Reader::Visitor,
            };
            let html = reports::case_report(&case, place.as_deref(), reader, language, world.now)?;
            files::write(&out, html.as_bytes())?;
            answer(&contract::WrittenDoc { file: files::shown(&out) }, format, world, |doc| {
                format!("The report is in {}; open it in a browser or print it.\n", doc.file)
            })
        }
        Command::Serve { case, port } => {
            let language = world.tongue.language();
            if let Some(case) = &case {
                // A wrong folder is said here and not on the page.
                Case::open(case).map_err(Refusal::from)?;
            }
            let (serve, state, zone) = (world.serve, world.state.clone(), world.zone.clone());
            let serving = Serving { case: case.map(|case| files::whole_path(&case)), port, language, state, zone };
            Ok(serve(serving, &mut |address| {
                let _unheard = world.hand_out(&format!("{address}\n"));
                world.say("Open this address in a browser on this computer. Ctrl-C stops it.");
            })?)
        }
        Command::Form(arguments) => form::run(arguments, format, world),
        Command::Paper(arguments) => paper::run(*arguments, format, world),
        Command::Carry(arguments) => hand::carry(&arguments, format, world),
        Command::Case(command) => run_case(command, format, world),
        Command::Caseload(arguments) => hand::caseload(&arguments, format, world),
        Command::Collect(arguments) => hand::collect(&arguments, format, world),
    }
}

/// Prints a document as text or JSON.
pub(super) fn answer<T: Document>(doc: &T, format: Format, world: &mut World<'_>, text: impl Fn(&T) -> String) -> Done {
    Ok(match format {
        Format::Json => world.hand_out(&contract::json(doc)),
        Format::Text => world.print(&text(doc)),
    }?)
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
            Ok(world.hand_out(&checklists::blank(&found.list))?)
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
    let chair = run_ladder::chair(&arguments.chair)?;
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
    let mut doc = sounds::sound(&request, world.stdin, &mut |share| progress.at(share))?;
    drop(progress);
    if let Some(chair) = &chair {
        chairs::carry(&mut doc, chair)?;
    }
    draw_sound(&doc, arguments.chart.as_deref(), world)?;
    answer(&doc, format, world, show_sound::sound)
}

/// The pictures of a recording, if they are asked for.
pub(super) fn draw_sound(doc: &contract::SoundDoc, chart: Option<&Path>, world: &mut World<'_>) -> Result<(), Refusal> {
    let Some(chart) = chart else { return Ok(()) };
    files::write(chart, world.tongue.drawing(reports::sound_chart(doc)).as_bytes())?;
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

fn run_case(command: CaseCommand, format: Format, world: &mut World<'_>) -> Done {
    match command {
        CaseCommand::New { dir, alias, sure, born, keep, sound_sensitive, hearing_checked, excluded_sound } => {
            let told = NewCase {
                sure: sure || hand::is_sure(&alias, world)?,
                alias,
                born,
                keep,
                sound_sensitive: sound_sensitive.word().to_owned(),
                hearing_checked: hearing_checked.word().to_owned(),
                excluded_sounds: excluded_sound,
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
        CaseCommand::Child(arguments) => run_ladder::child(arguments, format, world),
        CaseCommand::List { dir } => answer(&cases::list(&dir)?, format, world, show_case::records),
        CaseCommand::Show { dir } => answer(&case_view::view(&dir, world.now)?, format, world, show_case::glance),
        CaseCommand::Keep(command) => keep::run(command, format, world),
    }
}
