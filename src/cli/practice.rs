//! The commands of practice: arguments become a task's request, its result is printed.

use std::path::Path;

use crate::contract::{NeedBody, SessionExportDoc};
use crate::practice::DateForm;
use crate::report;
use crate::tasks::decisions::{self, Deciding};
use crate::tasks::doses::{self, Planning};
use crate::tasks::reinforcers::{self, Chosen, Found};
use crate::tasks::reviews::{self, Asked, Reviewed};
use crate::tasks::screens::{self, Entry};
use crate::tasks::sessions::{self, Taking};
use crate::tasks::{Refusal, evidence, files, needs, troubles};
use crate::words::counted;

use super::arguments::Format;
use super::arguments_practice::{
    DateOrder, DecideArguments, DoseArguments, NeedArguments, PracticeCommand, ReinforcerArguments, ReviewArguments,
    ScreenArguments, SessionArguments,
};
use super::commands::{Done, answer};
use super::world::World;
use super::{ask_session, graph, sample, show_evidence, show_practice, show_session};

/// Runs one of them.
pub(super) fn run(command: PracticeCommand, format: Format, world: &mut World<'_>) -> Done {
    match command {
        PracticeCommand::Session(arguments) => session(&arguments, format, world),
        PracticeCommand::Review(arguments) => review(*arguments, format, world),
        PracticeCommand::Decide(arguments) => decide(arguments, format, world),
        PracticeCommand::Troubleshoot(arguments) => {
            let asked = Asked { on: arguments.on, task: arguments.task, place: arguments.place, ..Asked::default() };
            let doc = troubles::troubleshoot(&arguments.case, &asked, world.today())?;
            answer(&doc, format, world, show_practice::troubles)
        }
        PracticeCommand::Evidence(arguments) => {
            let asked = Asked { on: arguments.on, task: arguments.task, place: arguments.place, ..Asked::default() };
            let doc = evidence::evidence(&arguments.case, &asked, world.today())?;
            answer(&doc, format, world, show_evidence::evidence)
        }
        PracticeCommand::Reinforcers(arguments) => reinforcers(arguments, format, world),
        PracticeCommand::Needs(arguments) => needs(arguments, format, world),
        PracticeCommand::Screens(arguments) => screens(arguments, format, world),
        PracticeCommand::Dose(arguments) => dose(arguments, format, world),
    }
}

fn session(arguments: &SessionArguments, format: Format, world: &mut World<'_>) -> Done {
    let case = arguments.case.as_deref();
    if arguments.sampling.sample.is_some() {
        let doc = sample::run(case, &arguments.sampling, &arguments.around, world)?;
        return answer(&doc, format, world, show_session::sample);
    }
    let case = case.unwrap_or(Path::new("."));
    if let Some(out) = &arguments.table.export {
        let (csv, sessions) = sessions::export(case)?;
        if out == Path::new("-") {
            return Ok(world.hand_out(&csv)?);
        }
        files::write(out, csv.as_bytes())?;
        return answer(&SessionExportDoc { file: files::shown(out), sessions }, format, world, |doc| {
            format!("The table is in {}: {}.\n", doc.file, counted(doc.sessions, "session", "sessions"))
        });
    }
    let taking = Taking {
        dates: match arguments.table.date_form {
            None => DateForm::Iso,
            Some(DateOrder::Dmy) => DateForm::DayMonthYear,
            Some(DateOrder::Mdy) => DateForm::MonthDayYear,
        },
        dry_run: arguments.dry_run,
        today: world.today(),
        now: world.now,
    };
    let doc = if let Some(file) = &arguments.table.import {
        sessions::import(case, &files::read_text(file, world.stdin)?, &taking)?
    } else {
        let likely = sessions::likely(case, taking.today)?;
        let session = ask_session::session(&arguments.counts, &arguments.around, &likely, world)?;
        sessions::add(case, session, &taking)?
    };
    let folder = files::shown(case);
    answer(&doc, format, world, |doc| show_session::stored(doc, &folder))
}

fn review(arguments: ReviewArguments, format: Format, world: &mut World<'_>) -> Done {
    let asked = Asked {
        on: arguments.on,
        criterion: arguments.criterion,
        explain: arguments.explain,
        task: arguments.task,
        place: arguments.place,
    };
    let reviewed = match (arguments.log, arguments.case) {
        (Some(log), _) => reviews::from_log(&files::read_text(&log, world.stdin)?, &asked)?,
        (None, case) => reviews::from_case(&case.unwrap_or_default(), &asked, world.today())?,
    };
    if let Some(chart) = &arguments.chart {
        draw(&reviewed, chart, world)?;
    }
    answer(&reviewed.doc, format, world, |doc| {
        let graphs = reviewed.graphs.iter().map(|sessions| graph::graph(&sessions.points, sessions.criterion));
        show_practice::review(doc, &graphs.collect::<Vec<_>>())
    })
}

/// The graph of the answer that comes first, as a picture.
fn draw(reviewed: &Reviewed, chart: &Path, world: &mut World<'_>) -> Result<(), Refusal> {
    let Some(first) = reviewed.graphs.first() else { return Ok(()) };
    let drawn = world.tongue.drawing(report::chart::sessions_svg(&first.points, first.criterion));
    files::write(chart, drawn.as_bytes())?;
    world.say(&format!("The picture of the sessions is in {}.", files::shown(chart)));
    Ok(())
}

fn decide(arguments: DecideArguments, format: Format, world: &mut World<'_>) -> Done {
    let told = Deciding {
        case: arguments.case,
        by: arguments.by,
        decision: arguments.decision,
        why: arguments.why,
        lift_pause: arguments.lift_pause,
        criterion: arguments.criterion,
        task: arguments.task,
        place: arguments.place,
    };
    let doc = decisions::decide(&told, world.today(), world.now)?;
    answer(&doc, format, world, show_session::decided)
}

fn reinforcers(arguments: ReinforcerArguments, format: Format, world: &mut World<'_>) -> Done {
    if arguments.offer.is_some() {
        return Ok(world.hand_out(&reinforcers::pair_sheet(&arguments.items)?)?);
    }
    let case = arguments.case.unwrap_or_default();
    let chosen = if let Some(thing) = arguments.quick {
        Some(Chosen::Quick(Some(thing)))
    } else if arguments.nothing {
        Some(Chosen::Quick(None))
    } else if let Some(file) = &arguments.pairs {
        Some(Chosen::Pairs(reinforcers::read_pairs(&files::read_text(file, world.stdin)?)?))
    } else if arguments.round.is_empty() {
        None
    } else {
        let things = |round: &String| {
            round.split(',').map(str::trim).filter(|thing| !thing.is_empty()).map(ToOwned::to_owned).collect()
        };
        Some(Chosen::Rounds(arguments.round.iter().map(things).collect()))
    };
    let doc = match chosen {
        Some(chosen) => {
            let found = Found { items: arguments.items, chosen };
            reinforcers::store(&case, &found, arguments.by.as_deref(), world.today(), world.now)?
        }
        None => reinforcers::show(&case, world.today())?,
    };
    answer(&doc, format, world, show_session::reinforcers)
}

fn needs(arguments: NeedArguments, format: Format, world: &mut World<'_>) -> Done {
    let doc = match (arguments.seen, arguments.before) {
        (Some(seen), Some(before)) => {
            let body = NeedBody {
                seen,
                before,
                serves: arguments.serves,
                offered: arguments.offered,
                room_for_it: arguments.room_for_it,
                break_sign: arguments.break_sign,
            };
            needs::store(&arguments.case, body, arguments.by.as_deref(), world.today(), world.now)?
        }
        _ => needs::show(&arguments.case)?,
    };
    answer(&doc, format, world, show_session::needs)
}

fn screens(arguments: ScreenArguments, format: Format, world: &mut World<'_>) -> Done {
    let today = world.today();
    let on = arguments.date.as_deref().map_or(Ok(today), reviews::read_date)?;
    let doc = match arguments.minutes {
        Some(minutes) => {
            let entry = Entry {
                minutes,
                what: arguments.what,
                with: arguments.with,
                repeat: arguments.repeat,
                on,
                read_from: None,
            };
            screens::store(&arguments.case, &entry, arguments.by.as_deref(), today, world.now)?
        }
        None => screens::show(&arguments.case, on)?,
    };
    answer(&doc, format, world, show_session::screens)
}

fn dose(arguments: DoseArguments, format: Format, world: &mut World<'_>) -> Done {
    let doc = if arguments.at.is_empty() {
        doses::show(&arguments.case, world.today())?
    } else {
        let planning = Planning { at: arguments.at, days: arguments.days };
        doses::store(&arguments.case, &planning, arguments.by.as_deref(), world.today(), world.now)?
    };
    answer(&doc, format, world, show_session::dose)
}
