//! `where`: corners, recordings and the family's words are taken in, the answer is printed.

use crate::calm::corners::MOST_CORNERS;
use crate::case::Case;
use crate::tasks::corner_folders::{self, CornerReading};
use crate::tasks::possible::{self, Telling};
use crate::tasks::ribbons::{self, Given, Recordings};
use crate::tasks::{Refusal, files, reports, where_when};

use super::arguments::Format;
use super::arguments_where::WhereArguments;
use super::commands::{Done, answer, calibration};
use super::progress::Progress;
use super::show_where;
use super::world::World;

/// Runs it.
pub(super) fn run(arguments: WhereArguments, format: Format, world: &mut World<'_>) -> Done {
    let case = Case::open(&arguments.case).map_err(Refusal::from)?;
    if arguments.corners.len() > MOST_CORNERS {
        return Err(Refusal::new("corners", "up to six corners are compared").hint("leave some out").into());
    }
    let read = calibration(&arguments.calibration, world)?;
    let telling = Telling {
        taken: arguments.taken,
        moving: arguments.moving,
        learning_time: arguments.learning,
        time_minutes: arguments.time_minutes,
    };
    let mut stored = Vec::new();
    let mut notes = Vec::new();
    stored.extend(possible::store(&case, &telling, arguments.by.as_deref(), world.today(), world.now)?);
    let reading =
        CornerReading { calibration: read.clone(), sd_db: arguments.calibration.sd, minutes: arguments.minutes };
    let progress = Progress::new("measuring", world.stderr_is_terminal);
    for folder in &arguments.corners {
        stored.push(corner_folders::take_in(&case, folder, &reading, world.now, &mut |share| progress.at(share))?);
    }
    let mut place = arguments.place;
    if !arguments.recordings.is_empty() {
        let asked = Recordings {
            files: arguments.recordings.into_iter().map(Given::File).collect(),
            at: arguments.at,
            place: match place.take() {
                Some(place) => place,
                None => where_when::place_of_recordings(&case)?,
            },
            device: arguments.device,
            calibration: read,
            sd_db: arguments.calibration.sd,
        };
        let taken = ribbons::take_in(&case, &asked, world.now, &mut |share| progress.at(share))?;
        stored.extend(taken.stored);
        notes.extend(taken.notes);
        // Where nothing of them could be used and nothing is known besides, the reason is the answer.
        if let (true, Some(note)) = (stored.is_empty() && where_when::is_bare(&case)?, notes.first()) {
            return Err(Refusal::new(note.code.clone(), note.text.clone())
                .hint("name recordings by when they began, and record again what held no sound")
                .into());
        }
        place = where_when::known(&case, &asked.place)?.then_some(asked.place);
    }
    drop(progress);
    let mut doc = where_when::answer(&arguments.case, place.as_deref(), arguments.minutes)?;
    notes.append(&mut doc.notes);
    (doc.stored, doc.notes) = (stored, notes);
    if let Some(chart) = &arguments.chart {
        files::write(chart, world.tongue.drawing(reports::where_chart(&doc)).as_bytes())?;
        world.say(&format!("The picture of corners and days is in {}.", files::shown(chart)));
    }
    answer(&doc, format, world, show_where::answered)
}
