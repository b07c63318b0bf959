//! What a child's sessions say of the scale: the sessions of a task and place, each on the plan that was in force on its day,
//! become the model's data; its figures become a document. Nothing is stored, and no plan or decision hangs on it.
//!
//! The pull of a distractor on a rung is what its rungs so far raised: `−ln((1 − load)/(1 − load before))` of each rung,
//! in the order in which they were climbed. So a sound counts for what it added to the sounds already there.

use std::collections::BTreeMap;
use std::path::Path;

use jiff::civil::Date;

use crate::case::Case;
use crate::contract::{EvidenceDoc, ForecastDoc, ForecastRecordDoc, LearnedDoc, NextDoc, NoteDoc, ProbeDoc, RungDoc};
use crate::evidence::{Belief, JUDGED, Learned, Part, Record, Rungs, Scored, Sitting, score};
use crate::practice::{Decision, Session};
use crate::words::Channel;

use super::course::{Answer, Course};
use super::plans::{StoredPlan, on, plans};
use super::refusal::Refusal;
use super::reviews::Asked;

/// Opportunities of a session to come, where its rung does not say.
const TRIALS: u32 = 10;

/// What the sessions of a case say.
pub fn evidence(folder: &Path, asked: &Asked, today: Date) -> Result<EvidenceDoc, Refusal> {
    let course = Course::read(Case::open(folder)?)?;
    let today = asked.on.as_deref().map(super::reviews::read_date).transpose()?.unwrap_or(today);
    let answers = course.answers(today)?;
    let wanted = |answer: &&Answer<'_>| {
        let fits = |asked: &Option<String>, own: &Option<String>| asked.is_none() || asked == own;
        fits(&asked.task, &answer.group.task) && fits(&asked.place, &answer.group.place)
    };
    let Some(answer) = answers.iter().find(wanted) else {
        return Err(Refusal::new("no-session", "there is no session of that task and place yet")
            .hint("`stillroom review --case DIR` names the tasks and places that have sessions"));
    };
    let Some((_, ladder)) = answer.ladder else {
        return Err(Refusal::new(
            "no-plan",
            "there is no ladder for these sessions, so there is nothing to foretell from",
        )
        .hint("plan one with `stillroom ladder --case DIR`"));
    };
    let mut plans = plans(&course.case, &ladder.place, None, true)?;
    // A plan without a task is for every task.
    let task = &answer.group.task;
    plans.retain(|plan| task.is_none() || plan.body.task.is_none() || plan.body.task == *task);
    let material = Material::new(&plans, answer.group.log.sessions(), today);
    told(&material, answer, &ladder.place, today)
}

/// The plans and sessions as the model takes them.
struct Material {
    ids: Vec<String>,
    rungs: Rungs,
    /// Where a plan's rungs begin in the model's.
    begins: Vec<usize>,
    /// Sessions in order, each with its own.
    sittings: Vec<(Session, Sitting)>,
    in_force: usize,
}

impl Material {
    fn new(plans: &[StoredPlan], sessions: &[Session], today: Date) -> Self {
        let mut ids: Vec<String> = Vec::new();
        let mut channels = Vec::new();
        let mut parts = Vec::new();
        let mut begins = Vec::new();
        for plan in plans {
            begins.push(parts.len());
            let mut pulls: BTreeMap<usize, f64> = BTreeMap::new();
            let mut load = plan.body.plan.start_load;
            parts.push(Vec::new());
            for rung in &plan.body.plan.rungs {
                let rise = libm::log1p(-load / 100.0) - libm::log1p(-rung.load / 100.0);
                load = rung.load;
                let place = ids.iter().position(|id| *id == rung.distractor).unwrap_or_else(|| {
                    ids.push(rung.distractor.clone());
                    channels.push(place_of(rung));
                    ids.len() - 1
                });
                *pulls.entry(place).or_default() += rise;
                let all = pulls.iter().map(|(distractor, pull)| Part { distractor: *distractor, pull: pull.max(0.0) });
                parts.push(all.collect());
            }
        }
        let plan_on = |day: Date| {
            let plan = on(plans, day)?;
            plans.iter().position(|one| one.id == plan.id)
        };
        let mut material = Self {
            ids,
            rungs: Rungs { channels, parts },
            begins,
            sittings: Vec::new(),
            in_force: plan_on(today).unwrap_or(0),
        };
        for session in sessions.iter().filter(|one| !one.is_void() && one.opportunities > 0 && one.date <= today) {
            let Some(rung) = plan_on(session.date).and_then(|plan| material.rung(plan, session.rung)) else { continue };
            let sitting = Sitting {
                day: days(session.date),
                rung,
                opportunities: session.opportunities,
                independent: session.independent,
            };
            material.sittings.push((session.clone(), sitting));
        }
        material
    }

    /// A rung of a plan as the model counts it.
    fn rung(&self, plan: usize, number: u32) -> Option<usize> {
        let at = self.begins.get(plan)? + usize::try_from(number).ok()?;
        let end = self.begins.get(plan + 1).copied().unwrap_or(self.rungs.parts.len());
        (at < end).then_some(at)
    }

    fn belief(&self, sittings: &[(Session, Sitting)]) -> Option<Belief<'_>> {
        let only: Vec<Sitting> = sittings.iter().map(|(_, sitting)| *sitting).collect();
        Belief::new(&self.rungs, &only)
    }

    /// A forecast for the first session of each rung after another one, from the sessions before it.
    fn forecasts(&self) -> Vec<(ForecastDoc, Scored)> {
        let first =
            |at: &usize| self.sittings[..*at].iter().all(|(_, before)| before.rung != self.sittings[*at].1.rung);
        (1..self.sittings.len())
            .filter(first)
            .filter_map(|at| {
                let (session, sitting) = &self.sittings[at];
                // Sessions of the same day may have been held after it.
                let before = self.sittings[..at].partition_point(|(_, one)| one.day < sitting.day);
                let known = &self.sittings[..before];
                let (last, _) = known.last()?;
                let share = self.belief(known)?.share(sitting.rung, sitting.day);
                let came = (session.opportunities, session.independent);
                let (low, high) = share.range(came.0);
                let scored = score(&share, (last.opportunities, last.independent), came);
                let doc = ForecastDoc {
                    rung: session.rung,
                    date: session.date.to_string(),
                    mean: share.mean(),
                    low,
                    high,
                    opportunities: came.0,
                    independent: came.1,
                    score: scored.score,
                    guess_score: scored.guess,
                    hit: scored.hit,
                    guess_hit: scored.guess_hit,
                };
                Some((doc, scored))
            })
            .collect()
    }
}

fn told(material: &Material, answer: &Answer<'_>, place: &str, today: Date) -> Result<EvidenceDoc, Refusal> {
    let Some(belief) = material.belief(&material.sittings) else {
        return Err(Refusal::new(
            "no-session",
            "no session of these was on a rung of a ladder that was in force on its day",
        )
        .hint("sessions count for the plan of their day: `stillroom case list DIR` shows both"));
    };
    let mut distractors: Vec<LearnedDoc> = belief.learned().iter().map(|one| learned(material, one)).collect();
    distractors.sort_by_key(|one| (!one.differs, !one.enough));
    let (forecasts, scored): (Vec<_>, Vec<_>) = material.forecasts().into_iter().unzip();
    let record = Record::of(&scored);
    let paused = matches!(answer.followed(), Decision::Pause);
    let highest = next_rung(answer);
    let known = |number: u32| material.rung(material.in_force, number).map(|rung| (number, rung));
    let next = highest.filter(|_| !paused).and_then(known).map(|(number, rung)| {
        let share = belief.share(rung, days(today));
        let opportunities = trials(answer.stage(number).trials);
        let (low, high) = share.range(opportunities);
        NextDoc { rung: number, opportunities, mean: share.mean(), low, high }
    });
    let probe = if paused { None } else { probe(material, &belief, answer, highest.unwrap_or(0), today) };
    Ok(EvidenceDoc {
        place: place.to_owned(),
        task: answer.group.task.clone(),
        sessions: material.sittings.len(),
        opportunities: material.sittings.iter().map(|(session, _)| u64::from(session.opportunities)).sum(),
        together: belief.together(),
        distractors,
        forecasts,
        record: ForecastRecordDoc {
            forecasts: record.forecasts,
            score: record.score,
            guess_score: record.guess,
            hits: record.hits,
            guess_hits: record.guess_hits,
            no_better: (record.forecasts >= JUDGED).then(|| record.no_better()),
        },
        next,
        probe,
        cautions: cautions(&record, paused),
    })
}

/// The highest rung that the rules allow at the next sitting.
fn next_rung(answer: &Answer<'_>) -> Option<u32> {
    let now = answer.review.rung;
    Some(match answer.followed() {
        Decision::Advance => (now + 1).min(answer.top()?),
        Decision::StepBack => now.saturating_sub(1),
        _ => now,
    })
}

fn probe(material: &Material, belief: &Belief<'_>, answer: &Answer<'_>, highest: u32, today: Date) -> Option<ProbeDoc> {
    let rungs = &answer.ladder?.1.plan.rungs;
    let one = |rung: &RungDoc| {
        let at = material.rung(material.in_force, rung.number)?;
        let teaches = belief.teaches(at, days(today), trials(Some(rung.trials)));
        Some(ProbeDoc { rung: rung.number, distractor: rung.distractor.clone(), teaches })
    };
    let allowed = rungs.iter().filter(|rung| rung.number <= highest);
    allowed.filter_map(one).max_by(|a, b| a.teaches.total_cmp(&b.teaches)).filter(|probe| probe.teaches > 0.0)
}

fn learned(material: &Material, one: &Learned) -> LearnedDoc {
    let told = |figure: f64| one.enough.then_some(figure);
    let channel = material.rungs.channels.get(one.distractor).and_then(|channel| Channel::ALL.get(*channel));
    LearnedDoc {
        id: material.ids.get(one.distractor).cloned().unwrap_or_default(),
        channel: channel.map_or("", |channel| channel.word()).to_owned(),
        opportunities: one.trials,
        enough: one.enough,
        factor: told(one.factor),
        low: told(one.low),
        high: told(one.high),
        differs: one.differs(),
    }
}

fn cautions(record: &Record, paused: bool) -> Vec<NoteDoc> {
    let mut told = vec![NoteDoc::new(
        "convention",
        "The scale and this model are conventions. The figures compare rooms for this child; they say nothing about the child.",
    )];
    if record.no_better() {
        told.push(NoteDoc::new(
            "no-better",
            format!(
                "Over {} forecasts the load foretold no better than \"same as last time\". Do not order by it for this child: go by the clinician's own list.",
                record.forecasts
            ),
        ));
    }
    if paused {
        told.push(NoteDoc::new(
            "pause",
            "Practice is paused. Nothing is foretold and no probe proposed until a clinician lifts it.",
        ));
    }
    told
}

/// The place of a rung's channel among all; a plan stored before rungs told it counts as seen.
fn place_of(rung: &RungDoc) -> usize {
    let channel = rung.card.as_ref().and_then(|card| Channel::from_word(&card.channel));
    Channel::ALL.iter().position(|one| Some(*one) == channel).unwrap_or(0)
}

/// Opportunities of a session to come.
fn trials(planned: Option<u32>) -> u32 {
    planned.filter(|planned| *planned > 0).unwrap_or(TRIALS)
}

/// Days since the beginning of the calendar.
fn days(date: Date) -> i64 {
    date.since(Date::ZERO).map_or(0, |span| i64::from(span.get_days()))
}
