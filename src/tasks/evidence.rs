//! What a child's sessions say of the scale: the sessions of a task and place, each on the plan that was in force on its day,
//! become the model's data; its figures become a document. Nothing is stored by it; what a plan takes from it stands in
//! `learned.rs`, and no decision hangs on it.

use std::path::Path;

use jiff::civil::Date;

use crate::case::Case;
use crate::contract::{EvidenceDoc, LearnedDoc, NextDoc, NoteDoc, ProbeDoc, RungDoc};
use crate::evidence::{Belief, Learned, Record};
use crate::practice::Decision;
use crate::words::{Channel, printable};

use super::course::{Answer, Course};
use super::forecasts;
use super::material::{Material, days, trials};
use super::refusal::Refusal;
use super::reviews::Asked;

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
    let Some((material, (_, ladder))) = Material::of(&course, answer, today)?.zip(answer.ladder) else {
        return Err(Refusal::new(
            "no-plan",
            "there is no ladder for these sessions, so there is nothing to foretell from",
        )
        .hint("plan one with `stillroom ladder --case DIR`"));
    };
    told(&course, &material, answer, &ladder.place, today)
}

fn told(
    course: &Course,
    material: &Material,
    answer: &Answer<'_>,
    place: &str,
    today: Date,
) -> Result<EvidenceDoc, Refusal> {
    let Some(belief) = material.belief(&material.sittings) else {
        return Err(Refusal::new(
            "no-session",
            "no session of these was on a rung of a ladder that was in force on its day",
        )
        .hint("sessions count for the plan of their day: `stillroom case list DIR` shows both"));
    };
    let mut distractors: Vec<LearnedDoc> = belief.learned().iter().map(|one| learned(material, one)).collect();
    distractors.sort_by_key(|one| (!one.differs, !one.enough));
    let (foretold, scored): (Vec<_>, Vec<_>) = material.forecasts().into_iter().unzip();
    let record = Record::of(&scored);
    let paused = matches!(answer.followed(), Decision::Pause);
    let highest = forecasts::next_rung(answer);
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
        forecasts: foretold,
        record: forecasts::record_doc(&record),
        stored: forecasts::document(course, &answer.group),
        next,
        probe,
        cautions: cautions(&forecasts::record_of(course, &answer.group), paused),
    })
}

/// The rung up to the next one whose session would teach most.
pub(super) fn probe(
    material: &Material,
    belief: &Belief<'_>,
    answer: &Answer<'_>,
    highest: u32,
    today: Date,
) -> Option<ProbeDoc> {
    let rungs = &answer.ladder?.1.plan.rungs;
    let one = |rung: &RungDoc| {
        let at = material.rung(material.in_force, rung.number)?;
        let teaches = belief.teaches(at, days(today), trials(Some(rung.trials)));
        Some(ProbeDoc { rung: rung.number, distractor: rung.distractor.clone(), teaches })
    };
    let allowed = rungs.iter().filter(|rung| rung.number <= highest);
    allowed.filter_map(one).max_by(|a, b| a.teaches.total_cmp(&b.teaches)).filter(|probe| probe.teaches > 0.0)
}

/// The same in a sentence.
pub fn probe_in_words(probe: &ProbeDoc) -> String {
    format!(
        "A session on rung {} ({}) would teach most about what draws this child. Only if the clinician and the family agree.",
        probe.rung,
        printable(&probe.distractor)
    )
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
    told.extend(forecasts::no_better(record));
    if paused {
        told.push(NoteDoc::new(
            "pause",
            "Practice is paused. Nothing is foretold and no probe proposed until a clinician lifts it.",
        ));
    }
    told
}
