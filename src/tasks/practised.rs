//! What a case has practised so far: its sessions, the decisions that were recorded, and what the sessions say today.

use jiff::civil::Date;

use crate::case::{Case, Stored};
use crate::contract::{DecisionBody, RecordBody};
use crate::practice::{self, Log, Options, Review};

use super::refusal::Refusal;
use super::reviews;

/// What a case has practised so far.
#[derive(Clone, Debug)]
pub struct Practised {
    /// The sessions.
    pub log: Log,
    /// The decisions that somebody recorded, oldest first, each with its day.
    pub decisions: Vec<(Date, DecisionBody)>,
    /// What the sessions say; `None` before the first.
    pub review: Option<Review>,
}

/// Reads it from a case, for that day.
pub fn in_case(case: &Case, today: Date) -> Result<Practised, Refusal> {
    let found = case.standing(|kind| kind == "session" || kind == "decision")?;
    Ok(of(&found.records, today))
}

/// Takes it from records that stand.
///
/// A pause ends on the day of a signed decision that lifts it, never by a note. Earlier steps back are those that were
/// recorded as decisions, and read from the sessions only where no decision was.
pub fn of(records: &[Stored], today: Date) -> Practised {
    let log = Log::new(records.iter().filter_map(reviews::session).collect());
    let decisions: Vec<(Date, DecisionBody)> = records
        .iter()
        .filter_map(|stored| match &stored.record.body {
            RecordBody::Decision(body) => Some((stored.name.date, body.clone())),
            _ => None,
        })
        .collect();
    let lifted =
        decisions.iter().filter(|(_, one)| one.lifts_pause && one.signed_by.is_some()).map(|(date, _)| *date).max();
    let step_backs = if decisions.is_empty() {
        practice::step_backs(&log)
    } else {
        decisions.iter().filter(|(_, one)| one.decision == "step-back").map(|(_, one)| one.rung).collect()
    };
    let review = (!log.sessions().is_empty())
        .then(|| practice::review(&log, &Options { step_backs, ..Options::in_case(today, lifted) }));
    Practised { log, decisions, review }
}
