//! Where and when: the calmest corner, the calmest twenty minutes, and what is the first move: another place, another time, or
//! tidying.

use std::path::Path;

use crate::calm::corners::{Corners, MOST_CORNERS, compare_corners, side_by_side};
use crate::calm::moves::{Elsewhere, Later, ways};
use crate::case::{Case, Stored};
use crate::contract::{
    AuditBody, CornerDifferenceDoc, CornerDoc, LightDoc, NoteDoc, PossibleBody, RecordBody, TimesDoc, WayDoc, WhereDoc,
};
use crate::load::{AuditInputs, Verdict, compare_among};
use crate::words::printable;

use super::audits::{Evidence, every_audit};
use super::made_when;
use super::possible;
use super::refusal::Refusal;
use super::ribbons;
use super::when_calm;
use super::where_said;

/// Minutes that moving to another place takes where the family said nothing. Convention.
pub(super) const PLACE_MINUTES: f64 = 10.0;
/// Minutes that another time costs where the family said nothing. Convention.
pub(super) const TIME_MINUTES: f64 = 5.0;
/// Cautions of a photo whose light went wrong.
const POOR_LIGHT: [&str; 2] = ["dark", "blown"];

/// One corner with all that its audit rests on.
pub(super) struct Corner {
    pub(super) body: AuditBody,
    pub(super) evidence: Evidence,
}

impl Corner {
    pub(super) fn place(&self) -> &str {
        &self.body.figures.place
    }
}

/// Where and when, from a case. `place`: where it is practised now, and whose times are looked at; left out: the one practised last.
pub fn answer(folder: &Path, place: Option<&str>, minutes: f64) -> Result<WhereDoc, Refusal> {
    if !(0.0..=1440.0).contains(&minutes) {
        return Err(
            Refusal::new("minutes", format!("{minutes} minutes is no time for rearranging")).hint("give 0 to 1440")
        );
    }
    let case = Case::open(folder)?;
    let doc = answer_in(&case, place, minutes)?;
    if doc.corners.is_empty() && doc.times.is_none() {
        return Err(Refusal::new("nothing-to-compare", "the case holds no audited corner and no recorded day").hint(
            "audit corners (stillroom audit --case DIR …, or stillroom where --case DIR --corner FOLDER), or give recordings: \
             stillroom where --case DIR evening.wav --at \"2026-10-05 15:00\" --place \"living room\"",
        ));
    }
    Ok(doc)
}

/// The same for a report: nothing where there is only the one corner and no recorded day.
pub(super) fn beside(case: &Case, place: &str, minutes: f64) -> Result<Option<WhereDoc>, Refusal> {
    let doc = answer_in(case, Some(place), minutes)?;
    Ok((doc.corners.len() > 1 || doc.times.is_some()).then_some(doc))
}

fn answer_in(case: &Case, place: Option<&str>, minutes: f64) -> Result<WhereDoc, Refusal> {
    let mut notes = Vec::new();
    let corners = corners(case, &mut notes)?;
    let found = ribbons::days(case)?;
    let days = found.days;
    notes.extend(found.notes);
    let possible = possible::newest(case)?;
    let here = here(case, place, &corners, &days)?;
    let times = when_calm::times(&days, here.as_deref(), &possible, &mut notes);
    let inputs: Vec<AuditInputs<'_>> = corners.iter().map(|corner| corner.evidence.inputs()).collect();
    let compared = compare_corners(&inputs);
    let mut doc = WhereDoc {
        place: here.clone(),
        corners: corners.iter().map(|corner| corner_doc(corner, here.as_deref(), &possible)).collect(),
        calmest_place: compared.as_ref().map(|found| corners[found.calmest].place().to_owned()),
        place_is_clear: compared.as_ref().is_some_and(Corners::is_clear),
        differences: compared.as_ref().map_or_else(Vec::new, |found| differences(found, &corners)),
        light: light(&corners),
        minutes,
        ways: Vec::new(),
        possible,
        said: Vec::new(),
        notes,
        stored: Vec::new(),
        times,
    };
    if let Some(loads) = compared.as_ref().and_then(|_| side_by_side(&inputs)) {
        for (corner, (load, low, high)) in doc.corners.iter_mut().zip(loads) {
            corner.shared_load = Some(load.points());
            (corner.shared_low, corner.shared_high) = (Some(low.points()), Some(high.points()));
        }
    }
    doc.ways = ways_of(&doc, &corners, &inputs);
    doc.said = where_said::said(&doc);
    Ok(doc)
}

/// The newest audit of every place; the six newest where there are more.
fn corners(case: &Case, notes: &mut Vec<NoteDoc>) -> Result<Vec<Corner>, Refusal> {
    let mut newest: Vec<(Stored, AuditBody)> = Vec::new();
    for (stored, body) in every_audit(case)?.into_iter().rev() {
        if !newest.iter().any(|(_, known)| known.figures.place == body.figures.place) {
            newest.push((stored, body));
        }
    }
    if newest.len() > MOST_CORNERS {
        let text = format!(
            "Six places are compared; those audited longest ago are left out ({}).",
            newest.len() - MOST_CORNERS
        );
        notes.push(NoteDoc::new("more-places", text));
        newest.truncate(MOST_CORNERS);
    }
    newest.reverse();
    let read = |(_, body): (Stored, AuditBody)| {
        let evidence = Evidence::stored(&body, &format!("the audit of the place {}", body.figures.place))?;
        Ok(Corner { body, evidence })
    };
    newest.into_iter().map(read).collect()
}

/// Where it is practised now: as told, else the place of the newest session or ladder, else the one recorded on most days, else the
/// first that was audited.
fn here(
    case: &Case,
    told: Option<&str>,
    corners: &[Corner],
    days: &[ribbons::Recorded],
) -> Result<Option<String>, Refusal> {
    let known = || corners.iter().map(Corner::place).chain(days.iter().map(|day| day.place.as_str()));
    if let Some(told) = told {
        if !known().any(|place| place == told) {
            return Err(Refusal::new(
                "no-such-place",
                format!(
                    "no audit and no recording of `{}`{}",
                    printable(told),
                    crate::words::did_you_mean(told, known())
                ),
            )
            .hint("give a place as an audit or a recording names it"));
        }
        return Ok(Some(told.to_owned()));
    }
    let practised = case.standing(|kind| kind == "session" || kind == "ladder")?.records;
    let newest = |wanted: &str| {
        let of_kind = practised.iter().rev().filter(|stored| stored.name.kind == wanted);
        of_kind.filter_map(|stored| stored.record.body.place()).find(|place| known().any(|one| one == *place))
    };
    let recorded = |place: &str| days.iter().filter(|day| day.place == place).count();
    let most = || days.iter().max_by_key(|day| recorded(&day.place)).map(|day| day.place.as_str());
    let first = || corners.iter().min_by_key(|corner| &corner.body.figures.date).map(Corner::place);
    Ok(newest("session").or_else(|| newest("ladder")).or_else(most).or_else(first).map(ToOwned::to_owned))
}

fn corner_doc(corner: &Corner, here: Option<&str>, possible: &PossibleBody) -> CornerDoc {
    let figures = &corner.body.figures;
    let sound = corner.body.sound.as_ref();
    let minutes = if here == Some(corner.place()) { Some(0.0) } else { minutes_to(corner.place(), possible) };
    CornerDoc {
        place: figures.place.clone(),
        audit: figures.id.clone(),
        date: figures.date.clone(),
        load: figures.load,
        load_low: figures.load_low,
        load_high: figures.load_high,
        grade: figures.grade.clone(),
        shared_load: None,
        shared_low: None,
        shared_high: None,
        laeq_db: sound.filter(|sound| sound.calibration.offset_db.is_some()).and_then(|sound| sound.levels.laeq_db),
        decay_s: sound.and_then(|sound| sound.decay.as_ref()).and_then(|decay| decay.t20_s.or(decay.t30_s)),
        photos: corner.body.photos.len(),
        minutes,
    }
}

/// Minutes that moving there takes; `None` where the family said it is not possible.
fn minutes_to(place: &str, possible: &PossibleBody) -> Option<f64> {
    possible.places.iter().find(|one| one.name == place).map_or(Some(PLACE_MINUTES), |one| one.minutes)
}

fn differences(found: &Corners, corners: &[Corner]) -> Vec<CornerDifferenceDoc> {
    let one = |(at, found): &(usize, crate::load::Comparison)| CornerDifferenceDoc {
        place: corners[*at].place().to_owned(),
        difference: found.difference,
        low: found.low,
        high: found.high,
        verdict: match found.verdict {
            Verdict::NoClearChange => "no clear difference".to_owned(),
            clear => clear.word().to_owned(),
        },
        // That two corners are two places goes without saying.
        notes: found
            .notes
            .iter()
            .map(|note| NoteDoc::new(note.code(), note.text()))
            .filter(|note| note.code != "other-place")
            .collect(),
    };
    found.others.iter().map(one).collect()
}

/// Photos by place and hour, where any went wrong by the light.
fn light(corners: &[Corner]) -> Vec<LightDoc> {
    let mut found: Vec<LightDoc> = Vec::new();
    for corner in corners {
        let mut here: Vec<LightDoc> = Vec::new();
        for photo in &corner.body.photos {
            let hour = made_when::hour(&photo.photo.name);
            let place = here.iter().position(|light| light.hour == hour).unwrap_or_else(|| {
                here.push(LightDoc { place: corner.place().to_owned(), hour, photos: 0, poor: 0, codes: Vec::new() });
                here.len() - 1
            });
            let light = &mut here[place];
            light.photos += 1;
            let codes: Vec<&str> = POOR_LIGHT
                .into_iter()
                .filter(|code| photo.quality.warnings.iter().any(|one| one.code == *code))
                .collect();
            light.poor += usize::from(!codes.is_empty());
            for code in codes {
                if !light.codes.iter().any(|known| known == code) {
                    light.codes.push(code.to_owned());
                }
            }
        }
        here.sort_by_key(|light| light.hour);
        if here.iter().any(|light| light.poor > 0) {
            found.extend(here);
        }
    }
    found
}

/// Ways to a calmer room from where it is practised now.
fn ways_of(doc: &WhereDoc, corners: &[Corner], inputs: &[AuditInputs<'_>]) -> Vec<WayDoc> {
    let Some(at) = corners.iter().position(|corner| Some(corner.place()) == doc.place.as_deref()) else {
        return Vec::new();
    };
    let pairs = corners.len() * corners.len().saturating_sub(1) / 2;
    let elsewhere: Vec<Elsewhere<'_>> = (0..corners.len())
        .filter(|other| *other != at)
        .filter_map(|other| Some((other, doc.corners[other].minutes?)))
        .filter(|(other, _)| compare_among(&inputs[at], &inputs[*other], pairs).verdict == Verdict::Calmer)
        .map(|(corner, minutes)| Elsewhere { corner, inputs: inputs[corner], minutes })
        .collect();
    let later =
        doc.times.as_ref().filter(|times| Some(times.place.as_str()) == doc.place.as_deref()).and_then(|times| {
            let difference_db = later_by(times)?;
            Some(Later { difference_db, minutes: doc.possible.time_minutes.unwrap_or(TIME_MINUTES) })
        });
    let window = doc.times.as_ref().and_then(|times| times.window.as_ref());
    ways(&inputs[at], &elsewhere, later, doc.minutes)
        .into_iter()
        .map(|way| WayDoc {
            place: way.corner.map(|corner| corners[corner].place().to_owned()),
            from: window.filter(|_| way.later).map(|window| window.from.clone()),
            ids: way.ids,
            minutes: way.minutes,
            load_after: way.load_after.points(),
        })
        .collect()
}

/// How many decibels another time brings, where that is clear: against today's time where that was recorded, else against
/// the usual.
fn later_by(times: &TimesDoc) -> Option<f64> {
    let window = times.window.as_ref().filter(|_| times.is_clear)?;
    match &times.against_learning {
        Some(against) => (against.high_db < 0.0).then_some(against.difference_db),
        None => Some(window.difference_db),
    }
}

pub use super::where_said::way;

/// Whether a place was audited or recorded.
pub fn known(case: &Case, place: &str) -> Result<bool, Refusal> {
    Ok(places(case)?.iter().any(|known| known == place))
}

/// Whether there is nothing yet to compare.
pub fn is_bare(case: &Case) -> Result<bool, Refusal> {
    Ok(case.standing(|kind| kind == "audit" || kind == "day-sound")?.records.is_empty())
}

/// Where recordings were made when nobody said: the one place there is.
pub fn place_of_recordings(case: &Case) -> Result<String, Refusal> {
    let mut places = places(case)?;
    match places.len() {
        1 => Ok(places.remove(0)),
        _ => {
            Err(Refusal::new("place", "it is not said where the recordings were made")
                .hint("give --place \"living room\""))
        }
    }
}

/// The places of a case that recordings or audits name, for a list to choose from.
pub fn places(case: &Case) -> Result<Vec<String>, Refusal> {
    let mut found: Vec<String> = Vec::new();
    for stored in case.standing(|kind| matches!(kind, "audit" | "day-sound" | "place"))?.records {
        let place = match &stored.record.body {
            RecordBody::Audit(_) | RecordBody::DaySound(_) | RecordBody::Place(_) => stored.record.body.place(),
            _ => None,
        };
        if let Some(place) = place.filter(|place| !found.iter().any(|known| known == place)) {
            found.push(place.to_owned());
        }
    }
    Ok(found)
}
