//! What a plan takes from a child's sessions: the pulls that turned out otherwise than the scale says, the session that
//! would teach most, and whether the load foretells anything at all for this child.
//!
//! A learned pull is taken where its 90 % interval leaves out the scale's value and it differs by a fifth or more; every other
//! thing stays as the scale has it. Where eight or more stored forecasts were no better than "same as last time", nothing
//! learned is taken and the plan goes by the list instead. Locks, exclusions, prerequisites and the cap come first either way.

use jiff::civil::Date;

use crate::case::Case;
use crate::contract::{LadderSettings, LearnedPullDoc, NoteDoc};
use crate::practice::Decision;
use crate::words::printable;

use super::course::{Answer, Course};
use super::evidence;
use super::forecasts;
use super::material::Material;
use super::refusal::Refusal;

/// A pull that differs by less than this factor changes no plan. Convention.
const MATTERS: f64 = 1.2;

/// What a plan takes from the sessions.
#[derive(Clone, Debug, Default)]
pub struct Learning {
    /// Pulls that differ enough to matter.
    pub pulls: Vec<LearnedPullDoc>,
    /// Rungs in the order of the list, since the load foretells no better than a guess.
    pub by_list: bool,
    /// What to say about it, for the plan.
    pub notes: Vec<NoteDoc>,
    /// What to say beside it.
    pub said: Vec<String>,
}

/// What the sessions of a place and task say for a plan. Without sessions, or where they cannot be read as the model needs
/// them, nothing is taken.
pub(super) fn learning(
    case: &Case,
    place: &str,
    task: Option<&str>,
    settings: &LadderSettings,
    today: Date,
) -> Result<Learning, Refusal> {
    let course = Course::read(Case::open(case.folder())?)?;
    let answers = course.answers_at_a_glance(today)?;
    let here = |answer: &&Answer<'_>| {
        answer.ladder.is_some_and(|(_, body)| body.place == place)
            && (task.is_none() || answer.group.task.is_none() || answer.group.task.as_deref() == task)
    };
    let Some(answer) = answers.iter().find(here) else { return Ok(Learning::default()) };
    let record = forecasts::record_of(&course, &answer.group);
    let mut learning = Learning::default();
    if record.no_better() {
        let order = if settings.order.is_empty() {
            "the checklist, channel by channel in the usual order (no --order was given)"
        } else {
            "the checklist, the channels in the order that was given with --order"
        };
        learning.by_list = true;
        learning.notes.push(NoteDoc::new(
            "by-list",
            format!(
                "Over {} forecasts the load foretold no better than \"same as last time\", so this plan does not go by it: the order is that of {order}, a first level of each thing, then the second levels. A clinician may give another --order.",
                record.forecasts
            ),
        ));
        return Ok(learning);
    }
    let Some(material) = Material::of(&course, answer, today)? else { return Ok(learning) };
    let Some(belief) = material.belief(&material.sittings) else { return Ok(learning) };
    for one in belief.learned().iter().filter(|one| one.differs() && one.factor.max(1.0 / one.factor) >= MATTERS) {
        let Some(id) = material.ids.get(one.distractor) else { continue };
        let pull = LearnedPullDoc { id: id.clone(), factor: one.factor, low: one.low, high: one.high };
        learning.notes.push(NoteDoc::new("learned", in_words(&pull)));
        learning.pulls.push(pull);
    }
    if !learning.pulls.is_empty() {
        learning.notes.push(NoteDoc::new(
            "learned-loads",
            "Loads and steps of this plan go by what was learned of this child; they are not comparable with the loads of audits. Plan with --scale-only to leave it out.",
        ));
    }
    if answer.followed() != Decision::Pause {
        let highest = forecasts::next_rung(answer).unwrap_or(0);
        let probe = evidence::probe(&material, &belief, answer, highest, today);
        learning.said.extend(probe.as_ref().map(evidence::probe_in_words));
    }
    Ok(learning)
}

/// A learned pull in a sentence.
fn in_words(one: &LearnedPullDoc) -> String {
    let than = if one.factor > 1.0 { "stronger" } else { "weaker" };
    format!(
        "{} turned out {than} for this child than the scale says: {:.1} times (90 %: {:.1} to {:.1}). The plan goes by it.",
        printable(&one.id),
        one.factor,
        one.low,
        one.high
    )
}
