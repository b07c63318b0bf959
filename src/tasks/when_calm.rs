//! The times of day of one place: hour by hour, and the calmest twenty minutes that come back.

use crate::calm::day::{BLOCK_MINUTES, BLOCKS, WINDOW_BLOCKS};
use crate::calm::recur::{LEAST_DAYS, Recurrence, Row, TooLittle, Window, find};
use crate::contract::{AgainstDoc, HourDoc, NoteDoc, PossibleBody, RibbonDoc, SpanDoc, TimesDoc, WindowDoc};
use crate::load::Scale;
use crate::quantity::Decibels;

use super::possible;
use super::ribbons::{Recorded, block_of, chosen, time};

/// Blocks of an hour.
const HOUR: usize = 60 / BLOCK_MINUTES;

/// The times of the place that is asked for, else of the place with most recorded days.
pub(super) fn times(
    days: &[Recorded],
    here: Option<&str>,
    possible: &PossibleBody,
    notes: &mut Vec<NoteDoc>,
) -> Option<TimesDoc> {
    let count = |place: &str| days.iter().filter(|day| day.place == place).count();
    let most =
        || days.iter().map(|day| day.place.as_str()).max_by(|a, b| count(a).cmp(&count(b)).then_with(|| b.cmp(a)));
    let place = here.filter(|place| count(place) > 0).or_else(most)?.to_owned();
    let speech_db = Scale::shipped().heard().speech_db();
    let marked = chosen(days, &place, notes);
    let used: Vec<&Recorded> = marked.iter().filter(|(_, counts)| *counts).map(|(day, _)| *day).collect();
    let first = used.first()?;
    let alike = used.iter().all(|day| (&day.device, day.offset) == (&first.device, first.offset));
    let common = (first.offset.is_some() && alike).then(|| first.unit.clone());
    if !alike {
        notes.push(NoteDoc::new(
            "no-common-zero",
            "The days come from different devices or calibrations: levels of different days are not compared, only what differs within a day.",
        ));
    } else if first.offset.is_none() {
        notes.push(NoteDoc::new(
            "uncalibrated",
            "The recordings are not calibrated: only differences within a day are told, no levels.",
        ));
    }
    if used.iter().any(|day| day.day.heard() > 0) && !possible::names_the_night(possible) {
        notes.push(NoteDoc::new(
            "bedtime",
            "Nobody said when bedtime is: 20:00 to 07:00 counts as the child's sleep and is not proposed. Say it with --taken 19:00-07:00=bedtime.",
        ));
    }
    let rows: Vec<Row> = used.iter().map(|day| Row { levels: day.day.windows(speech_db) }).collect();
    let mut doc = TimesDoc {
        place,
        days: used.len(),
        days_compared: 0,
        hours: hours(&used, speech_db, common.is_some()),
        level_unit: common,
        window: None,
        is_clear: false,
        p: None,
        as_calm: Vec::new(),
        against_learning: None,
        ribbons: marked.iter().map(|(day, counts)| ribbon(day, *counts, speech_db)).collect(),
    };
    match find(&rows, &free(possible)) {
        Ok(found) => tell(&found, possible, &mut doc, notes),
        Err(why) => notes.push(too_little(why)),
    }
    Some(doc)
}

fn too_little(why: TooLittle) -> NoteDoc {
    match why {
        TooLittle::NoDay => NoteDoc::new(
            "no-day",
            "No day holds three quarters of an hour of what is possible in one piece: record longer.",
        ),
        TooLittle::NothingInCommon => NoteDoc::new(
            "nothing-in-common",
            "The recorded days have too few times of day in common: record the same hours on each.",
        ),
    }
}

fn tell(found: &Recurrence, possible: &PossibleBody, doc: &mut TimesDoc, notes: &mut Vec<NoteDoc>) {
    doc.days_compared = found.days;
    doc.is_clear = found.is_clear();
    doc.p = (found.days >= LEAST_DAYS).then_some(found.p);
    doc.window = Some(window(found.calmest()));
    doc.as_calm = spans(&found.as_calm().collect::<Vec<_>>());
    let Some(learning) = possible.learning_time.as_deref() else { return };
    match block_of(learning).and_then(|at| Some((at, found.against(at)?))) {
        Some((at, against)) => {
            doc.against_learning = Some(AgainstDoc {
                from: time(at),
                difference_db: against.difference_db,
                low_db: against.low_db,
                high_db: against.high_db,
            });
        }
        None => notes.push(NoteDoc::new(
            "learning-not-recorded",
            format!("The learning time {learning} was not recorded on enough days, so the calm time is compared with the usual of the day."),
        )),
    }
}

fn window(found: &Window) -> WindowDoc {
    WindowDoc {
        from: time(found.at),
        to: time(found.at + WINDOW_BLOCKS),
        days: found.days,
        days_below: found.below,
        difference_db: found.difference_db,
        low_db: found.low_db,
        high_db: found.high_db,
    }
}

/// Windows that overlap or touch, joined.
fn spans(windows: &[&Window]) -> Vec<SpanDoc> {
    let mut joined: Vec<(usize, usize)> = Vec::new();
    for window in windows {
        match joined.last_mut().filter(|(_, to)| *to >= window.at) {
            Some((_, to)) => *to = window.at + WINDOW_BLOCKS,
            None => joined.push((window.at, window.at + WINDOW_BLOCKS)),
        }
    }
    joined.into_iter().map(|(from, to)| SpanDoc { from: time(from), to: time(to) }).collect()
}

/// The windows, by the block they begin with, that lie in no time that is taken.
fn free(possible: &PossibleBody) -> Vec<bool> {
    let taken = possible::taken_blocks(possible);
    (0..BLOCKS).map(|at| (at..at + WINDOW_BLOCKS).all(|block| block < BLOCKS && !taken[block])).collect()
}

fn hours(days: &[&Recorded], speech_db: f64, levels: bool) -> Vec<HourDoc> {
    let mut found = Vec::new();
    for hour in 0..BLOCKS / HOUR {
        let heard: Vec<_> = days.iter().filter_map(|day| Some((day, day.day.stretch(hour * HOUR, HOUR)?))).collect();
        if heard.is_empty() {
            continue;
        }
        let count = heard.len() as f64;
        let differences = heard.iter().filter_map(|(day, stretch)| {
            Some(stretch.rating_db(speech_db) - day.day.stretch(0, BLOCKS)?.rating_db(speech_db))
        });
        let all: Vec<Decibels> = heard.iter().map(|(_, stretch)| stretch.laeq).collect();
        found.push(HourDoc {
            hour: u32::try_from(hour).unwrap_or(0),
            days: heard.len(),
            difference_db: differences.sum::<f64>() / count,
            laeq_db: if levels { Decibels::energy_mean(&all).map(Decibels::db) } else { None },
            events_per_hour: heard.iter().map(|(_, stretch)| stretch.events_per_hour).sum::<f64>() / count,
            speech_share: heard.iter().map(|(_, stretch)| stretch.speech_share).sum::<f64>() / count,
        });
    }
    found
}

fn ribbon(day: &Recorded, counts: bool, speech_db: f64) -> RibbonDoc {
    let levels: Vec<(u32, f64)> = (0..BLOCKS)
        .filter_map(|at| {
            let minutes = u32::try_from(at * BLOCK_MINUTES).unwrap_or(0);
            Some((minutes, day.day.stretch(at, 1)?.rating_db(speech_db)))
        })
        .collect();
    let usual = levels.iter().map(|(_, db)| db).sum::<f64>() / levels.len().max(1) as f64;
    RibbonDoc {
        date: day.date.to_string(),
        device: day.device.clone(),
        counts,
        blocks: levels.into_iter().map(|(at, db)| (at, db - usual)).collect(),
    }
}
