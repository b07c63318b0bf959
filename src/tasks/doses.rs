//! Practice planned and done: learning times through the family's day, what two weeks held, what the ladder needs. The
//! gap is shown without blame; figures of intensive programmes are an illustration, never a demand.

use std::path::Path;

use jiff::civil::Date;
use jiff::{Span, Timestamp};

use crate::case::Case;
use crate::contract::{DayPlanBody, DoseDoc, RecordBody, SlotBody, SlotDoc};
use crate::words::printable;

use super::cases::record;
use super::course::Course;
use super::refusal::Refusal;
use super::reinforcers;

/// Days looked back at.
const DAYS: i64 = 14;
/// What keeps a ladder going: ten opportunities on two days a week. Convention.
const LEAST_DAYS: u32 = 2;
const LEAST_TRIALS: u32 = 10;
/// Opportunities of one sitting where a day is spread out. Common practice, no source.
const SITTING: u32 = 4;
/// Intensive programmes, for illustration. Common practice, no source.
const INTENSIVE: &str = "For illustration only: intensive programmes in clinics give six or seven sittings a day of three \
                         or four opportunities, about 28 a day and 140 a week (common practice, no source). A home is no \
                         clinic; what the family can keep is right.";
/// Times that a day has anyway, with what they are good for. Ours.
const NATURAL: [(&str, u32, &str); 5] = [
    ("at breakfast", 3, "find the matching spoon, ask for more, wait for the turn"),
    ("on the way", 3, "point at what is looked for: a gate, a dog, a red car"),
    ("while cooking", 4, "sort, hand over, match lids; the kitchen's own sounds are the room"),
    ("in the bath", 3, "name, pour, imitate; a small bright room with few things"),
    ("before bed", 0, "the child's own: what it likes and calms down with"),
];

/// Days a week and times of a plan.
#[derive(Clone, Debug)]
pub struct Planning {
    /// Times of the day as typed: `while cooking=4:sort the spoons`.
    pub at: Vec<String>,
    /// Days a week.
    pub days: u32,
}

/// Stores a plan of the day.
pub fn store(
    folder: &Path,
    planning: &Planning,
    by: Option<&str>,
    today: Date,
    now: Timestamp,
) -> Result<DoseDoc, Refusal> {
    let slots = planning.at.iter().map(|text| slot(text)).collect::<Result<Vec<_>, _>>()?;
    if !(1..=7).contains(&planning.days) {
        return Err(Refusal::new("days", "a week has one to seven days").hint("give --days 5"));
    }
    let practised = Course::read(Case::open(folder)?)?;
    let body = DayPlanBody { slots, days_a_week: planning.days };
    let name = practised.case.add(&record(RecordBody::DayPlan(body), &today.to_string(), by, now))?;
    told(&practised, folder, today, Some(name.id))
}

/// What was planned and done.
pub fn show(folder: &Path, today: Date) -> Result<DoseDoc, Refusal> {
    told(&Course::read(Case::open(folder)?)?, folder, today, None)
}

/// A time of the day as typed: when, `=`, opportunities, and if wanted `:` and what happens.
fn slot(text: &str) -> Result<SlotBody, Refusal> {
    let refused = || {
        Refusal::new("day-plan", format!("`{}` is no time of the day", printable(text)))
            .hint("write when, = and opportunities, and if you like what happens: --at \"while cooking=4:sort the spoons\"; 0 is the child's own time")
    };
    let (when, rest) = text.split_once('=').ok_or_else(refused)?;
    let (trials, what) =
        rest.split_once(':').map_or((rest, None), |(trials, what)| (trials, Some(what.trim().to_owned())));
    let trials: u32 = trials.trim().parse().ok().filter(|trials| *trials <= 100).ok_or_else(refused)?;
    if when.trim().is_empty() { Err(refused()) } else { Ok(SlotBody { when: when.trim().to_owned(), trials, what }) }
}

fn told(practised: &Course, folder: &Path, today: Date, id: Option<String>) -> Result<DoseDoc, Refusal> {
    let from = Span::new().try_days(DAYS - 1).ok().and_then(|span| today.checked_sub(span).ok()).unwrap_or(today);
    let done: Vec<_> =
        practised.log.sessions().iter().filter(|session| (from..=today).contains(&session.date)).collect();
    let trials: u64 = done.iter().map(|session| u64::from(session.opportunities)).sum();
    let days = done.chunk_by(|a, b| a.date == b.date).count();
    let plan = practised.case.standing(|kind| kind == "day-plan")?.records.into_iter().rev().find_map(|stored| {
        match stored.record.body {
            RecordBody::DayPlan(body) => Some(body),
            _ => None,
        }
    });
    let planned = plan.as_ref().map(|plan| plan.slots.iter().map(|slot| slot.trials).sum::<u32>() * plan.days_a_week);
    let rung_trials = practised.answers(today).ok().and_then(|answers| {
        let answer = answers.first()?;
        answer.stage(answer.review.rung).trials
    });
    let needed = rung_trials.unwrap_or(LEAST_TRIALS).max(LEAST_TRIALS) * LEAST_DAYS;
    let a_week = trials as f64 / (DAYS as f64 / 7.0);
    let favourite = reinforcers::show(folder, today)?.items.into_iter().next().map(|item| item.name);
    Ok(DoseDoc {
        from: from.to_string(),
        to: today.to_string(),
        days,
        sittings: done.len(),
        trials,
        trials_a_week: a_week,
        planned_a_week: planned,
        needed_a_week: needed,
        said: said(a_week, planned, needed, plan.as_ref()),
        plan: day(plan.as_ref(), favourite.as_deref()),
        id,
    })
}

/// The family's own day, or one to begin with; learning times take turns with the child's own.
fn day(plan: Option<&DayPlanBody>, favourite: Option<&str>) -> Vec<SlotDoc> {
    let own = favourite.map_or_else(
        || "the child's own: what it likes best".to_owned(),
        |name| format!("the child's own: {name}, or what it likes best that day"),
    );
    let slot = |when: &str, trials: u32, what: Option<&str>| SlotDoc {
        when: when.to_owned(),
        trials,
        what: what.map_or_else(|| if trials == 0 { own.clone() } else { "practice".to_owned() }, ToOwned::to_owned),
    };
    match plan {
        Some(plan) => plan.slots.iter().map(|one| slot(&one.when, one.trials, one.what.as_deref())).collect(),
        None => NATURAL.iter().map(|(when, trials, what)| slot(when, *trials, Some(what))).collect(),
    }
}

fn said(a_week: f64, planned: Option<u32>, needed: u32, plan: Option<&DayPlanBody>) -> Vec<String> {
    let mut told = Vec::new();
    let missing = f64::from(needed) - a_week;
    told.push(if missing > 0.0 {
        let sittings = (missing / f64::from(SITTING)).ceil();
        format!(
            "The ladder keeps going with about {needed} opportunities a week ({LEAST_TRIALS} or more on {LEAST_DAYS} days); \
             the last two weeks held {a_week:.0} a week. {} of three or four would close that: while cooking, \
             in the bath, on the way. Weeks with less happen; the ladder waits.",
            if sittings <= 1.0 { "One more sitting a week".to_owned() } else { format!("{sittings:.0} more sittings a week") }
        )
    } else {
        format!("The last two weeks held {a_week:.0} opportunities a week; the ladder needs about {needed}. That is enough.")
    });
    if let Some(planned) = planned {
        told.push(if a_week + 0.5 >= f64::from(planned) {
            format!("Planned {planned} a week, done {a_week:.0}: the plan fits the family.")
        } else {
            format!(
                "Planned {planned} a week, done {a_week:.0}. A smaller plan that is kept does more than a large one: take \
                 out the times that never came about."
            )
        });
    } else {
        told.push("No plan of the day is stored; the one here is to begin with. Keep your own with --at.".to_owned());
    }
    let in_a_row = plan.is_some_and(|plan| plan.slots.windows(3).any(|run| run.iter().all(|slot| slot.trials > 0)));
    if in_a_row {
        told.push("Three learning times stand in a row: put one of the child's own between them.".to_owned());
    }
    told.push(INTENSIVE.to_owned());
    told
}
