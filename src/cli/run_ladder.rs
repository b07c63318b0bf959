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
    let cards = arguments.cards.clone();
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
    let (doc, page): (LadderDoc, Option<String>) = match (arguments.from, arguments.case) {
        (Some(file), _) => {
            let doc = ladders::from_file(&files::read_text(&file, world.stdin)?, &wishes)?;
            let page = cards.as_ref().map(|_| reports::file_cards(&doc, world.now));
            (doc, page)
        }
        (None, case) => {
            let request = LadderRequest {
                case: case.unwrap_or_default(),
                place: arguments.place,
                start: arguments.start,
                goal: arguments.goal,
                by: arguments.by,
                task: arguments.task,
                from_rung: arguments.from_rung,
                why: arguments.why,
                wishes,
                store: !arguments.dry_run,
            };
            let planned = ladders::from_case(&request, world.now)?;
            for note in &planned.said {
                world.say(note);
            }
            let page = cards.as_ref().map(|_| reports::case_cards(&planned, world.now));
            (planned.body.plan, page)
        }
    };
    if let (Some(out), Some(page)) = (&cards, page) {
        files::write(out, page.as_bytes())?;
        world.say(&format!("The cards are in {}; print them on A4, two to a page.", files::shown(out)));
    }
    answer(&doc, format, world, show_ladder::ladder)
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
