//! Which plan of a case holds. A plan that a clinician signed holds until another one is signed; a draft beside it is read,
//! changed, signed or left, and nobody climbs it. Where nothing was signed yet the newest draft is shown as such.

use jiff::civil::Date;

use crate::case::{Case, Stored};
use crate::contract::{LadderBody, RecordBody};

use super::refusal::Refusal;

/// A plan as it is stored.
#[derive(Clone, Debug)]
pub(super) struct StoredPlan {
    /// The record.
    pub(super) id: String,
    /// The day it is about.
    pub(super) date: Date,
    /// What it says.
    pub(super) body: LadderBody,
}

/// The plan that holds after another one was stored.
pub(super) fn holding(before: Option<LadderBody>, next: LadderBody) -> LadderBody {
    match before {
        Some(before) if before.signed_by.is_some() && next.signed_by.is_none() => before,
        _ => next,
    }
}

/// The plans of a place, and of a task if one is named, oldest first: those that stand, or all that ever were.
pub(super) fn plans(case: &Case, place: &str, task: Option<&str>, all: bool) -> Result<Vec<StoredPlan>, Refusal> {
    let ladders = |kind: &str| kind == "ladder";
    let found = if all { case.read_kinds(ladders)? } else { case.standing(ladders)? };
    Ok(found
        .records
        .into_iter()
        .filter_map(|Stored { name, record }| match record.body {
            RecordBody::Ladder(body) if body.place == place && (task.is_none() || body.task.as_deref() == task) => {
                Some(StoredPlan { id: name.id, date: name.date, body: *body })
            }
            _ => None,
        })
        .collect())
}

/// The plan in force: the newest that is signed, else the newest.
pub(super) fn in_force(plans: &[StoredPlan]) -> Option<&StoredPlan> {
    plans.iter().rev().find(|plan| plan.body.signed_by.is_some()).or(plans.last())
}

/// The newest draft beside a signed plan.
pub(super) fn draft_beside(plans: &[StoredPlan]) -> Option<&StoredPlan> {
    let signed = plans.iter().rposition(|plan| plan.body.signed_by.is_some())?;
    plans[signed + 1..].last()
}

/// The plan that was in force on a day; before the first one, the first.
pub(super) fn on(plans: &[StoredPlan], day: Date) -> Option<&StoredPlan> {
    let until = plans.partition_point(|plan| plan.date <= day);
    in_force(&plans[..until]).or(plans.first())
}

#[cfg(test)]
mod tests {
    use super::holding;
    use crate::contract::{LadderBody, LadderDoc};

    fn plan(place: &str, signed: bool) -> LadderBody {
        LadderBody {
            task: None,
            place: place.to_owned(),
            signed_by: signed.then(|| "clinician".to_owned()),
            goal_audit: None,
            why: None,
            changed: Vec::new(),
            settings: None,
            criterion: None,
            plan: LadderDoc {
                start_load: 0.0,
                goal_load: 0.0,
                largest_step: 0.0,
                sum_of_loads: 0.0,
                optimal: true,
                gap: 0.0,
                obstacles: Vec::new(),
                rungs: Vec::new(),
                cautions: Vec::new(),
                kept_to: None,
                never: Vec::new(),
                beyond: Vec::new(),
                maintenance: Vec::new(),
                learned: Vec::new(),
                scale_start_load: None,
            },
        }
    }

    #[test]
    fn a_draft_never_takes_the_place_of_a_signed_plan() {
        let held = |before: Option<bool>, next| {
            holding(before.map(|signed| plan("first", signed)), plan("second", next)).place
        };
        assert_eq!(held(None, false), "second");
        assert_eq!(held(Some(false), false), "second");
        assert_eq!(held(Some(false), true), "second");
        assert_eq!(held(Some(true), true), "second");
        assert_eq!(held(Some(true), false), "first");
    }
}
