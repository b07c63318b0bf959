//! A case's plans and sessions as the model of `evidence` takes them: each session on the plan that was in force on its day.
//!
//! The pull of a distractor on a rung is what its rungs so far raised: `−ln((1 − load)/(1 − load before))` of each rung,
//! in the order in which they were climbed. So a sound counts for what it added to the sounds already there.

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::contract::{ForecastDoc, RungDoc};
use crate::evidence::{Belief, Part, Rungs, Scored, Sitting, score};
use crate::practice::Session;
use crate::words::Channel;

use super::course::{Answer, Course};
use super::plans::{StoredPlan, on, plans};
use super::refusal::Refusal;

/// Opportunities of a session to come, where its rung does not say.
const TRIALS: u32 = 10;

/// The plans and sessions as the model takes them.
pub(super) struct Material {
    pub(super) ids: Vec<String>,
    pub(super) rungs: Rungs,
    /// The plans' records.
    pub(super) plans: Vec<String>,
    /// Where a plan's rungs begin in the model's.
    pub(super) begins: Vec<usize>,
    /// Sessions in order, each with its own.
    pub(super) sittings: Vec<(Session, Sitting)>,
    pub(super) in_force: usize,
}

impl Material {
    /// Of the plan and the sessions of an answer; `None` where it has no plan.
    pub(super) fn of(course: &Course, answer: &Answer<'_>, today: Date) -> Result<Option<Self>, Refusal> {
        let Some((_, ladder)) = answer.ladder else { return Ok(None) };
        let mut plans = plans(&course.case, &ladder.place, None, true)?;
        // A plan without a task is for every task.
        let task = &answer.group.task;
        plans.retain(|plan| task.is_none() || plan.body.task.is_none() || plan.body.task == *task);
        Ok(Some(Self::new(&plans, answer.group.log.sessions(), today)))
    }

    fn new(plans: &[StoredPlan], sessions: &[Session], today: Date) -> Self {
        let mut ids: Vec<String> = Vec::new();
        let mut channels = Vec::new();
        let mut parts = Vec::new();
        let mut begins = Vec::new();
        for plan in plans {
            begins.push(parts.len());
            let mut pulls: BTreeMap<usize, f64> = BTreeMap::new();
            // Where a plan goes by what was learned, its loads by the scale stand beside them: what is learned is told against it.
            let mut load = plan.body.plan.scale_start_load.unwrap_or(plan.body.plan.start_load);
            parts.push(Vec::new());
            for rung in &plan.body.plan.rungs {
                let by_scale = rung.scale_load.unwrap_or(rung.load);
                let rise = libm::log1p(-load / 100.0) - libm::log1p(-by_scale / 100.0);
                load = by_scale;
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
            plans: plans.iter().map(|plan| plan.id.clone()).collect(),
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
    pub(super) fn rung(&self, plan: usize, number: u32) -> Option<usize> {
        let at = self.begins.get(plan)? + usize::try_from(number).ok()?;
        let end = self.begins.get(plan + 1).copied().unwrap_or(self.rungs.parts.len());
        (at < end).then_some(at)
    }

    pub(super) fn belief(&self, sittings: &[(Session, Sitting)]) -> Option<Belief<'_>> {
        let only: Vec<Sitting> = sittings.iter().map(|(_, sitting)| *sitting).collect();
        Belief::new(&self.rungs, &only)
    }

    /// A forecast for the first session of each rung after another one, from the sessions before it.
    pub(super) fn forecasts(&self) -> Vec<(ForecastDoc, Scored)> {
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

/// The place of a rung's channel among all; a plan stored before rungs told it counts as seen.
fn place_of(rung: &RungDoc) -> usize {
    let channel = rung.card.as_ref().and_then(|card| Channel::from_word(&card.channel));
    Channel::ALL.iter().position(|one| Some(*one) == channel).unwrap_or(0)
}

/// Opportunities of a session to come.
pub(super) fn trials(planned: Option<u32>) -> u32 {
    planned.filter(|planned| *planned > 0).unwrap_or(TRIALS)
}

/// Days since the beginning of the calendar.
pub(super) fn days(date: Date) -> i64 {
    date.since(Date::ZERO).map_or(0, |span| i64::from(span.get_days()))
}
