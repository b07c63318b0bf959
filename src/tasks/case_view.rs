//! A case at a glance: the newest of everything it holds.

use std::collections::BTreeMap;
use std::path::Path;

use jiff::Timestamp;

use crate::case::Case;
use crate::contract::{CaseDoc, LadderBody, PlaceDoc, RecordBody};

use super::cases::day;
use super::course::Course;
use super::plans;
use super::refusal::Refusal;
use super::reports::age;
use super::reviews;

/// Looks into a case.
pub fn view(folder: &Path, now: Timestamp) -> Result<CaseDoc, Refusal> {
    let case = Case::open(folder)?;
    let child = case.child()?;
    let today = reviews::read_date(&day(now))?;
    let found = case.standing(|kind| kind == "audit" || kind == "ladder")?;
    let mut places: BTreeMap<String, PlaceDoc> = BTreeMap::new();
    let mut ladder: Option<LadderBody> = None;
    for stored in found.records {
        match stored.record.body {
            RecordBody::Audit(body) => {
                let figures = body.figures;
                let audits = places.get(&figures.place).map_or(0, |place| place.audits) + 1;
                let place = PlaceDoc {
                    place: figures.place,
                    audits,
                    date: figures.date,
                    load: figures.load,
                    grade: figures.grade,
                    sensitivity: figures.sensitivity,
                };
                places.insert(place.place.clone(), place);
            }
            RecordBody::Ladder(body) => ladder = Some(plans::holding(ladder, *body)),
            _ => {}
        }
    }
    let practised = Course::read(case)?;
    let sessions = practised.log.sessions().len();
    // The decision and its reasons rest on the sessions alone; the estimates that take longer are not shown here.
    let answers = if sessions > 0 { practised.answers_at_a_glance(today)? } else { Vec::new() };
    let review = answers.first().map(|answer| reviews::answer_doc(&practised, answer, false));
    Ok(CaseDoc {
        alias: child.alias,
        age: child.born.as_deref().and_then(|born| age(born, today)),
        keep: child.keep,
        places: places.into_values().collect(),
        ladder_rungs: ladder.as_ref().map(|ladder| ladder.plan.rungs.len()),
        ladder_signed_by: ladder.and_then(|ladder| ladder.signed_by),
        sessions,
        rung: review.as_ref().map(|review| review.rung),
        decision: review.as_ref().map(|review| review.decision.clone()),
        reason: review.and_then(|review| review.reasons.into_iter().next()).map(|reason| reason.text),
        left_out: found.left_out.iter().map(ToString::to_string).collect(),
    })
}
