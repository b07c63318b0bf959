//! Runs `ladder`, `case child` and the part of `sound` about the child's chair.

use crate::contract::LadderDoc;
use crate::tasks::chairs::ChairRequest;
use crate::tasks::child::{self, ChildChange};
use crate::tasks::ladders::{self, LadderRequest, Wishes};
use crate::tasks::{Refusal, cases, files, reports};

use super::arguments::Format;
use super::commands::{Done, answer};
use super::ladder_arguments::{ChairArguments, ChildArguments, LadderArguments};
use super::world::World;
use super::{show_case, show_ladder};

/// Plans, stores, prints; writes cards when they are asked for.
pub(super) fn ladder(arguments: LadderArguments, format: Format, world: &mut World<'_>) -> Done {
    let (cards, chart) = (arguments.cards.clone(), arguments.chart.clone());
    let wishes = Wishes {
        order: arguments.order,
        never: arguments.never,
        fixed: arguments.fixed,
        allow: arguments.allow,
        sensitivity: arguments.sensitivity,
        max_step: arguments.max_step,
        sound_cap_db: arguments.sound_cap,
        volume_m3: arguments.volume,
        decay_s: arguments.decay_s,
        alone: arguments.alone,
    };
    let (doc, page, here): (LadderDoc, Option<String>, Option<u32>) = match (arguments.from, arguments.case) {
        (Some(file), _) => {
            let doc = ladders::from_file(&files::read_text(&file, world.stdin)?, &wishes)?;
            let page = cards.as_ref().map(|_| reports::file_cards(&doc, &world.tongue.paper_speaker(), world.now));
            (doc, page, None)
        }
        (None, case) => {
            let mut request = LadderRequest {
                case: case.unwrap_or_default(),
                place: arguments.place,
                start: arguments.start,
                goal: arguments.goal,
                by: arguments.by,
                task: arguments.task,
                from_rung: arguments.from_rung,
                from_tolerance: arguments.from_tolerance,
                scale_only: arguments.scale_only,
                why: arguments.why,
                wishes,
                store: !arguments.dry_run,
            };
            let planned = match &arguments.sign {
                Some(draft) => ladders::sign(&request, draft, world.now)?,
                None => {
                    choose_rooms(&mut request, format, world)?;
                    ladders::from_case(&request, world.now)?
                }
            };
            for note in &planned.said {
                world.say(note);
            }
            let page = cards.as_ref().map(|_| reports::case_cards(&planned, &world.tongue.paper_speaker(), world.now));
            (planned.body.plan, page, planned.here)
        }
    };
    if let Some(out) = &chart {
        files::write(out, world.tongue.drawing(reports::ladder_chart(&doc, here)).as_bytes())?;
        world.say(&format!("The staircase is in {}.", files::shown(out)));
    }
    if let (Some(out), Some(page)) = (&cards, page) {
        files::write(out, page.as_bytes())?;
        world.say(&format!("The cards are in {}; print them on A4, two to a page.", files::shown(out)));
    }
    answer(&doc, format, world, show_ladder::ladder)
}

/// Asks which room is the goal and which the start, where somebody can be asked and there is something to choose.
fn choose_rooms(request: &mut LadderRequest, format: Format, world: &mut World<'_>) -> Done {
    if !world.stdin_is_terminal || format != Format::Text || request.goal.is_some() || request.start.is_some() {
        return Ok(());
    }
    let rooms = ladders::rooms(request)?;
    if rooms.is_empty() {
        return Ok(());
    }
    world.say("Rooms of this place that were audited, the fullest first:");
    for (room, number) in rooms.iter().zip(1..) {
        world.say(&format!("  {number}  {}  load {:.0}, {}  ({})", room.date, room.load, room.grade, room.id));
    }
    let goal = chosen("Which one has the child to cope with? Number (Enter: 1): ", rooms.len(), world)?.unwrap_or(1);
    request.goal = rooms.get(goal - 1).map(|room| room.id.clone());
    let start = chosen("Which one does it start in? Number (Enter: the same room cleared): ", rooms.len(), world)?;
    request.start = start.and_then(|start| rooms.get(start - 1)).map(|room| room.id.clone());
    Ok(())
}

/// A number from 1 to `most`, asked for until it is one; `None` for an empty line or the end of the input.
fn chosen(prompt: &str, most: usize, world: &mut World<'_>) -> Result<Option<usize>, Refusal> {
    loop {
        let reply = world.ask(prompt).map_err(|error| {
            Refusal::new("no-reply", format!("the reply could not be read: {error}"))
                .hint("name the rooms with --goal and --start")
        })?;
        let Some(reply) = reply.filter(|reply| !reply.is_empty()) else { return Ok(None) };
        match reply.parse() {
            Ok(number) if (1..=most).contains(&number) => return Ok(Some(number)),
            _ => world.say(&format!("A number from 1 to {most}.")),
        }
    }
}

/// Writes a newer child record.
pub(super) fn child(arguments: ChildArguments, format: Format, world: &mut World<'_>) -> Done {
    let told = ChildChange {
        alias: arguments.alias,
        born: arguments.born,
        keep: arguments.keep,
        not_keep: arguments.not_keep,
        sound_sensitive: arguments.sound_sensitive.map(|answer| answer.word().to_owned()),
        hearing_checked: arguments.hearing_checked.map(|answer| answer.word().to_owned()),
        excluded_sounds: arguments.excluded_sound,
        allowed_sounds: arguments.allowed_sound,
        by: arguments.by,
    };
    let said = child::change(&arguments.dir, &told, world.now)?;
    world.say(&said);
    answer(&cases::list(&arguments.dir)?, format, world, show_case::records)
}

/// What is asked about the child's chair.
pub(super) fn chair(arguments: &ChairArguments) -> Result<Option<ChairRequest>, Refusal> {
    match (arguments.at, arguments.chair, arguments.volume) {
        (Some(at_m), Some(chair_m), Some(volume_m3)) => {
            Ok(Some(ChairRequest { at_m, chair_m, volume_m3, decay_s: arguments.decay_s }))
        }
        (None, None, None) => Ok(None),
        _ => Err(Refusal::new("chair", "the level at the chair needs --at, --chair and --volume")
            .hint("such as --at 1 --chair 3 --volume 40")),
    }
}
