//! Whether a record that reads says something possible. A hash shows that nothing was changed; it does not show that
//! what was written makes sense.

use jiff::Timestamp;

use crate::contract::{RecordBody, RecordDoc};
use crate::words::printable;

use super::alias::{check_alias, check_birth_month};
use super::history::CORRECTION;

/// The decisions there are.
const DECISIONS: [&str; 5] = ["advance", "hold", "step-back", "break-down", "pause"];
/// The answers to a question that may not have been asked.
const ASKED: [&str; 3] = ["yes", "no", "not asked"];
/// Minutes of a day.
const DAY: u32 = 1440;

/// What is impossible about a record; nothing for a sensible one.
pub fn impossible(record: &RecordDoc) -> Vec<String> {
    let mut found = Vec::new();
    let mut unless = |holds: bool, why: String| {
        if !holds {
            found.push(why);
        }
    };
    unless(record.written.parse::<Timestamp>().is_ok(), format!("`{}` is no moment", printable(&record.written)));
    unless(record.replaces.as_deref().is_none_or(is_id), "what it replaces is not named by 16 hex digits".to_owned());
    for id in record.body.references() {
        unless(is_id(id), format!("`{}` is no id", printable(id)));
    }
    match &record.body {
        RecordBody::Child(body) => {
            if let Err(fault) = check_alias(&body.alias) {
                unless(false, fault.to_string());
            }
            if let Some(Err(fault)) = body.born.as_deref().map(check_birth_month) {
                unless(false, fault.to_string());
            }
            for (name, word) in [("sound_sensitive", &body.sound_sensitive), ("hearing_checked", &body.hearing_checked)]
            {
                unless(ASKED.contains(&word.as_str()), format!("{name} is `yes`, `no` or `not asked`"));
            }
        }
        RecordBody::Task(body) => {
            unless(!body.name.trim().is_empty(), "the task has no name".to_owned());
            unless(!body.correct.trim().is_empty(), "the task does not say what counts as right".to_owned());
        }
        RecordBody::Audit(body) => {
            let figures = &body.figures;
            let in_order = 0.0 <= figures.load_low
                && figures.load_low <= figures.load
                && figures.load <= figures.load_high
                && figures.load_high <= 100.0;
            // Rounding of the percentiles may put the load a hair outside its own interval.
            let close = (figures.load_low - figures.load).max(figures.load - figures.load_high) < 1e-6;
            let bounded = (0.0..=100.0).contains(&figures.load);
            unless(
                bounded && (in_order || close),
                "its load is not between 0 and 100, inside its own interval".to_owned(),
            );
            unless(figures.date == record.date, "its figures are of another day".to_owned());
            unless(
                body.kept_photos.iter().all(|id| is_id(id)),
                "a kept photo is not named by 16 hex digits".to_owned(),
            );
        }
        RecordBody::Ladder(body) => {
            let loads = body.plan.rungs.iter().all(|rung| (0.0..=100.0).contains(&rung.load) && rung.step >= 0.0);
            unless(loads, "a rung's load is not between 0 and 100".to_owned());
        }
        RecordBody::Session(body) => {
            let answers = u64::from(body.independent) + u64::from(body.prompted) + u64::from(body.errors);
            unless(answers <= u64::from(body.opportunities), "it has more answers than opportunities".to_owned());
            unless(body.minutes.is_none_or(|minutes| minutes <= DAY), "it is longer than a day".to_owned());
            let by_level = body
                .details
                .prompts
                .map(|one| [one.gesture, one.model, one.partial, one.full].into_iter().map(u64::from).sum::<u64>());
            unless(
                by_level.is_none_or(|sum| sum == u64::from(body.prompted)),
                "its prompts by level do not add up to its prompted answers".to_owned(),
            );
        }
        RecordBody::Decision(body) => {
            let word = printable(&body.decision);
            unless(
                DECISIONS.contains(&body.decision.as_str()),
                format!("`{word}` is no decision: {}", DECISIONS.join(", ")),
            );
        }
        RecordBody::Preference(body) => {
            let fit = body.items.iter().all(|item| item.chosen <= item.offered);
            unless(fit, "something was chosen more often than it was offered".to_owned());
        }
        RecordBody::ScreenTime(body) => unless(body.minutes <= DAY, "it is longer than a day".to_owned()),
        RecordBody::Correction(_) => {
            unless(record.replaces.is_some(), format!("a {CORRECTION} names the record that it takes back"));
        }
        RecordBody::Place(body) => unless(!body.name.trim().is_empty(), "the place has no name".to_owned()),
        RecordBody::Observation(body) => {
            let marks = body.marks.bytes().all(|mark| matches!(mark, b'y' | b'n' | b'-'));
            unless(
                marks && body.interval_s > 0,
                "its marks are not y, n or -, or its intervals have no length".to_owned(),
            );
        }
        RecordBody::DayPlan(body) => {
            unless((1..=7).contains(&body.days_a_week), "a week has one to seven days".to_owned());
        }
        RecordBody::Forecast(body) => {
            let sum: f64 = body.chances.iter().sum();
            let sound = body.chances.iter().all(|chance| (0.0..=1.0).contains(chance)) && (sum - 1.0).abs() < 1e-6;
            unless(sound && body.chances.len() == 40, "its chances are not forty that add up to 1".to_owned());
            unless(
                body.last_independent <= body.last_opportunities,
                "it has more answers than opportunities".to_owned(),
            );
        }
        RecordBody::DaySound(body) => {
            let on_clock = body.block.iter().all(|block| {
                clock(&block.at).is_some_and(|minute| minute % 5 == 0) && (0.0..=300.0).contains(&block.seconds)
            });
            unless(on_clock && body.block_minutes == 5, "a block does not lie on five minutes of the clock".to_owned());
            let levels = body.block.iter().all(|block| {
                [block.laeq_db, block.la90_db, block.lafmax_db].iter().all(|db| (-250.0..=250.0).contains(db))
                    && (0.0..=1.0).contains(&block.speech_share)
            });
            unless(levels, "a block's figures are none that a room has".to_owned());
        }
        RecordBody::Possible(body) => {
            let times = body.taken.iter().flat_map(|taken| [&taken.from, &taken.to]).chain(&body.learning_time);
            unless(times.into_iter().all(|time| clock(time).is_some()), "a time is not written as 16:30".to_owned());
            let costs = body.places.iter().filter_map(|place| place.minutes).chain(body.time_minutes);
            unless(
                costs.into_iter().all(|minutes| (0.0..=1440.0).contains(&minutes)),
                "a move takes no such number of minutes".to_owned(),
            );
        }
        RecordBody::Sheet(body) => {
            unless(crate::paper::checked(&body.number).is_ok(), "its number is none of a sheet".to_owned());
        }
        RecordBody::Need(_) | RecordBody::Note(_) | RecordBody::Answers(_) | RecordBody::Reading(_) => {}
    }
    found
}

/// Minutes after midnight of a time such as `16:30`.
pub fn clock(time: &str) -> Option<u32> {
    let (hour, minute) = time.split_once(':')?;
    let digits = |text: &str| text.len() == 2 && text.bytes().all(|digit| digit.is_ascii_digit());
    if !digits(hour) || !digits(minute) {
        return None;
    }
    let (hour, minute): (u32, u32) = (hour.parse().ok()?, minute.parse().ok()?);
    (hour < 24 && minute < 60).then_some(hour * 60 + minute)
}

/// Whether a text has the form of a record's id.
pub fn is_id(text: &str) -> bool {
    text.len() == 16 && text.bytes().all(|digit| matches!(digit, b'0'..=b'9' | b'a'..=b'f'))
}
