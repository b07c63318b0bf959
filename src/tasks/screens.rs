//! A diary of screens beside what is published for the age. Information with its edition; no verdict on a family.

use std::collections::BTreeMap;
use std::path::Path;

use jiff::civil::Date;
use jiff::{Span, Timestamp};

use crate::case::Case;
use crate::contract::{GuidanceDoc, RecordBody, ScreenDayDoc, ScreenTimeBody, ScreensDoc};
use crate::practice::guidance;

use super::cases::record;
use super::refusal::Refusal;

/// Days that are looked at.
const DAYS: i64 = 14;

/// One entry of the diary.
#[derive(Clone, Debug)]
pub struct Entry {
    /// Minutes.
    pub minutes: u32,
    /// What ran.
    pub what: Option<String>,
    /// With whom; `None` for alone.
    pub with: Option<String>,
    /// Seen before.
    pub repeat: bool,
    /// Its day.
    pub on: Date,
    /// The sheet and row it was read from.
    pub read_from: Option<String>,
}

/// Words for an adult who watches too.
const ADULTS: [&str; 7] = ["adult", "parent", "grandparent", "mother", "father", "visitor", "clinician"];

/// Stores an entry.
pub fn store(
    folder: &Path,
    entry: &Entry,
    by: Option<&str>,
    today: Date,
    now: Timestamp,
) -> Result<ScreensDoc, Refusal> {
    if entry.on > today {
        return Err(
            Refusal::new("date", format!("{} has not come yet; today is {today}", entry.on)).hint("give its day")
        );
    }
    if entry.minutes > 1440 {
        return Err(Refusal::new("minutes", "a day has 1440 minutes").hint("give the minutes of one stretch"));
    }
    let case = Case::open(folder)?;
    let with = entry.with.as_deref().map(str::trim).filter(|with| !with.is_empty() && *with != "alone");
    let body = ScreenTimeBody {
        minutes: entry.minutes,
        what: entry.what.clone(),
        together: with.is_some_and(|with| ADULTS.contains(&with.to_lowercase().as_str())),
        with: with.map(ToOwned::to_owned),
        repeat: entry.repeat,
        place: None,
        read_from: entry.read_from.clone(),
    };
    let name = case.add(&record(RecordBody::ScreenTime(body), &entry.on.to_string(), by, now))?;
    told(&case, today, Some(name.id))
}

/// The diary of the last two weeks.
pub fn show(folder: &Path, today: Date) -> Result<ScreensDoc, Refusal> {
    told(&Case::open(folder)?, today, None)
}

fn told(case: &Case, today: Date, id: Option<String>) -> Result<ScreensDoc, Refusal> {
    let from = Span::new().try_days(DAYS - 1).ok().and_then(|span| today.checked_sub(span).ok()).unwrap_or(today);
    let mut days: BTreeMap<Date, ScreenDayDoc> = BTreeMap::new();
    for stored in case.standing(|kind| kind == "screen-time")?.records {
        let (date, RecordBody::ScreenTime(body)) = (stored.name.date, stored.record.body) else { continue };
        if date < from || date > today {
            continue;
        }
        let day = days.entry(date).or_insert_with(|| ScreenDayDoc {
            date: date.to_string(),
            minutes: 0,
            together: 0,
            repeats: 0,
            what: Vec::new(),
        });
        day.minutes += body.minutes;
        day.together += if body.together { body.minutes } else { 0 };
        day.repeats += if body.repeat { body.minutes } else { 0 };
        day.what.extend(body.what);
    }
    let days: Vec<ScreenDayDoc> = days.into_values().rev().collect();
    let sum = |count: fn(&ScreenDayDoc) -> u32| days.iter().map(count).map(u64::from).sum::<u64>() as f64;
    let all = sum(|day| day.minutes);
    let share = |part: f64| (all > 0.0).then_some(part / all);
    let child = case.child()?;
    let months = child.born.as_deref().and_then(|born| age_months(born, today));
    let doc = |one: crate::practice::Guidance| GuidanceDoc {
        edition: one.edition.to_owned(),
        text: one.text.to_owned(),
        days_above: one.minutes.map(|most| days.iter().filter(|day| day.minutes > most).count()),
        minutes: one.minutes,
        current: one.current,
    };
    Ok(ScreensDoc {
        from: from.to_string(),
        to: today.to_string(),
        mean_minutes: (!days.is_empty()).then(|| all / days.len() as f64),
        together_share: share(sum(|day| day.together)),
        repeat_share: share(sum(|day| day.repeats)),
        guidance: months.map(|months| guidance(months).map(doc).to_vec()).unwrap_or_default(),
        advice: advice(months.is_some()),
        days,
        id,
    })
}

fn age_months(born: &str, on: Date) -> Option<u32> {
    let (year, month) = born.split_once('-')?;
    let months =
        (i32::from(on.year()) - year.parse::<i32>().ok()?) * 12 + i32::from(on.month()) - month.parse::<i32>().ok()?;
    u32::try_from(months).ok()
}

fn advice(age_known: bool) -> Vec<String> {
    let mut told = vec![
        "Watch along and talk about it: point, name, wait for an answer. With an adult a screen can be a learning time."
            .to_owned(),
        "The same scene again is fine: children like and use what they know. Stop at the end of a scene, and say the \
         end before it comes."
            .to_owned(),
        "Off while learning and eating, and well before bed; not as the only way to calm down. A device that the child \
         talks with is its voice, and no screen time."
            .to_owned(),
    ];
    if !age_known {
        told.push("The case does not know the month of birth, so the guidance by age cannot be shown.".to_owned());
    }
    told
}
