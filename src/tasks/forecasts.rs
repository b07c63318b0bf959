//! Forecasts of a rung, stored before it is practised and scored once it was.
//!
//! One is stored whenever the next sitting is on another rung than the last one: after a session, a decision or a new plan.
//! It stands as it was written, and no second one is stored for the same rung of the same plan until it was scored. It is
//! scored by the first session on its rung that was written after it and is not of an earlier day; the guess it has to beat,
//! "same as last time", is the last session that was known when it was written, so that both know the same.

use std::path::Path;

use jiff::Timestamp;
use jiff::civil::Date;

use crate::case::Case;
use crate::contract::{ForecastBody, ForecastRecordDoc, ForecastsDoc, NextDoc, NoteDoc, RecordBody};
use crate::evidence::{JUDGED, Record, Scored, ShareBelief, score};
use crate::practice::{Decision, Group, Session};

use super::cases::record;
use super::course::{Answer, Course, Foretold};
use super::material::{Material, days, trials};
use super::refusal::Refusal;

/// Two loads of the same rung of the same plan.
const SAME_LOAD: f64 = 1e-9;

/// Stores what is foretold of the rungs that come next in a case, and says it. Nothing that it meets stops what was
/// stored before it: without a forecast practice goes on all the same.
pub(super) fn foretell_all(folder: &Path, today: Date, now: Timestamp) -> Vec<String> {
    let stored = || -> Result<Vec<String>, Refusal> {
        let course = Course::read(Case::open(folder)?)?;
        let mut said = Vec::new();
        for answer in course.answers_at_a_glance(today)? {
            said.extend(foretell(&course, &answer, today, now)?);
        }
        Ok(said)
    };
    stored().unwrap_or_default()
}

/// Stores what is foretold of the next rung, where it is another one than was practised last and nothing is foretold yet.
fn foretell(course: &Course, answer: &Answer<'_>, today: Date, now: Timestamp) -> Result<Option<String>, Refusal> {
    if answer.followed() == Decision::Pause {
        return Ok(None);
    }
    let Some(number) = next_rung(answer) else { return Ok(None) };
    let Some(material) = Material::of(course, answer, today)? else { return Ok(None) };
    let Some(at) = material.rung(material.in_force, number) else { return Ok(None) };
    let Some((last, sitting)) = material.sittings.last() else { return Ok(None) };
    let parts = &material.rungs.parts;
    if sitting.rung == at || (last.rung == number && parts[sitting.rung] == parts[at]) {
        return Ok(None);
    }
    let plan = material.plans.get(material.in_force);
    let Some((_, ladder)) = course.ladders.iter().find(|(id, _)| Some(id) == plan) else { return Ok(None) };
    let rung = ladder.plan.rungs.iter().find(|rung| rung.number == number);
    let (distractor, load) =
        rung.map_or((None, ladder.plan.start_load), |rung| (Some(rung.distractor.clone()), rung.load));
    let open = |one: &&Foretold| {
        one.body.rung == number && one.body.distractor == distractor && (one.body.load - load).abs() < SAME_LOAD
    };
    if still_open(course, &answer.group).iter().any(open) {
        return Ok(None);
    }
    let Some(belief) = material.belief(&material.sittings) else { return Ok(None) };
    let share = belief.share(at, days(today));
    let opportunities = trials(rung.map(|rung| rung.trials));
    let (low, high) = share.range(opportunities);
    let body = ForecastBody {
        rung: number,
        distractor,
        load,
        opportunities,
        mean: share.mean(),
        low,
        high,
        chances: share.weights().to_vec(),
        sessions: u32::try_from(material.sittings.len()).unwrap_or(u32::MAX),
        last_opportunities: last.opportunities,
        last_independent: last.independent,
        task: answer.group.task.clone(),
        place: Some(ladder.place.clone()),
        ladder: plan.cloned(),
    };
    let said = next_in_words(&next(&body));
    course.case.add(&record(RecordBody::Forecast(body), &today.to_string(), None, now))?;
    Ok(Some(said))
}

/// The rung of the next sitting.
pub(super) fn next_rung(answer: &Answer<'_>) -> Option<u32> {
    let now = answer.review.rung;
    Some(match answer.followed() {
        Decision::Advance => (now + 1).min(answer.top()?),
        Decision::StepBack => now.saturating_sub(1),
        _ => now,
    })
}

/// The forecasts of a task and place.
fn of_group<'a>(course: &'a Course, group: &Group) -> Vec<&'a Foretold> {
    let fits = |asked: &Option<String>, own: &Option<String>| asked.is_none() || own.is_none() || asked == own;
    let all = course.forecasts.iter();
    all.filter(|one| fits(&one.body.task, &group.task) && fits(&one.body.place, &group.place)).collect()
}

/// The session that tells whether a forecast came true.
fn came<'a>(one: &Foretold, group: &'a Group) -> Option<&'a Session> {
    group.log.sessions().iter().find(|session| {
        session.rung == one.body.rung
            && session.date >= one.date
            && session.opportunities > 0
            && !session.is_void()
            && session.details.written.is_some_and(|written| written > one.written)
    })
}

fn still_open<'a>(course: &'a Course, group: &Group) -> Vec<&'a Foretold> {
    of_group(course, group).into_iter().filter(|one| came(one, group).is_none()).collect()
}

/// The forecasts of a task and place that a session has scored since. Of several that one session would score the first
/// of the newest plan counts: two people may have written the same apart.
fn scored(course: &Course, group: &Group) -> Vec<Scored> {
    let mut found: Vec<(&Session, &Foretold)> = Vec::new();
    for one in of_group(course, group) {
        let Some(session) = came(one, group) else { continue };
        match found.iter_mut().find(|(other, _)| std::ptr::eq(*other, session)) {
            Some((_, before)) if before.body.ladder != one.body.ladder => *before = one,
            Some(_) => {}
            None => found.push((session, one)),
        }
    }
    let one = |(session, one): (&Session, &Foretold)| {
        let share = ShareBelief::from_weights(one.body.chances.clone())?;
        let last = (one.body.last_opportunities, one.body.last_independent);
        Some(score(&share, last, (session.opportunities, session.independent)))
    };
    found.into_iter().filter_map(one).collect()
}

/// How good the stored forecasts of a task and place were.
pub(super) fn record_of(course: &Course, group: &Group) -> Record {
    Record::of(&scored(course, group))
}

/// A record as programs read it.
pub(super) fn record_doc(record: &Record) -> ForecastRecordDoc {
    ForecastRecordDoc {
        forecasts: record.forecasts,
        score: record.score,
        guess_score: record.guess,
        hits: record.hits,
        guess_hits: record.guess_hits,
        no_better: (record.forecasts >= JUDGED).then(|| record.no_better()),
    }
}

/// The stored forecasts of a task and place as programs read them; `None` where there are none.
pub(super) fn document(course: &Course, group: &Group) -> Option<ForecastsDoc> {
    let open = still_open(course, group).pop().map(|one| next(&one.body));
    let record = record_of(course, group);
    (record.forecasts > 0 || open.is_some()).then(|| ForecastsDoc { record: record_doc(&record), open })
}

fn next(body: &ForecastBody) -> NextDoc {
    NextDoc { rung: body.rung, opportunities: body.opportunities, mean: body.mean, low: body.low, high: body.high }
}

/// What to say where the load foretells no better than the guess.
pub(super) fn no_better(record: &Record) -> Option<NoteDoc> {
    record.no_better().then(|| {
        NoteDoc::new(
            "no-better",
            format!(
                "Over {} forecasts the load foretold no better than \"same as last time\". Do not order by it for this child: go by the clinician's own list.",
                record.forecasts
            ),
        )
    })
}

/// What is foretold of a rung, in a sentence.
pub fn next_in_words(next: &NextDoc) -> String {
    let n = f64::from(next.opportunities);
    format!(
        "Next, rung {}: about {:.0} of {} answered alone, between {:.0} and {:.0} four times in five.",
        next.rung,
        n * next.mean,
        next.opportunities,
        n * next.low,
        n * next.high
    )
}

/// A record in a sentence; nothing below the forecasts that it takes to say how good they are.
pub fn in_words(record: &ForecastRecordDoc) -> String {
    if record.forecasts == 0 {
        return "None yet: a forecast needs a session before its rung.".to_owned();
    }
    let verdict = match record.no_better {
        None => {
            return format!(
                "{} of {JUDGED} forecasts so far. Fewer than eight say nothing of how good they are.",
                record.forecasts
            );
        }
        Some(true) => "The load foretells no better than that guess.",
        Some(false) => "The load foretells better than that guess.",
    };
    format!(
        "Of {} forecasts {} came true within one answer in ten, of \"same as last time\" {}. Log score {:.1} against {:.1}. {verdict}",
        record.forecasts, record.hits, record.guess_hits, record.score, record.guess_score
    )
}
