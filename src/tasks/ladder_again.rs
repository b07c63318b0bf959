//! Planning again: from a rung of the plan in force, after a step back or when the room changed. The rungs that were climbed
//! stay as they are, and the new record says what changed.

use crate::contract::{LadderBody, LadderDoc, LadderSettings, NoteDoc, RungDoc};
use crate::ladder::Shift;
use crate::words::printable;

use super::refusal::Refusal;

/// The rungs of a plan up to the one from which it is planned anew.
pub(super) fn kept(in_force: Option<&LadderBody>, from_rung: Option<u32>) -> Result<Vec<RungDoc>, Refusal> {
    let Some(from) = from_rung else { return Ok(Vec::new()) };
    let Some(body) = in_force else {
        return Err(Refusal::new("no-plan", "there is no plan of this place and task yet to go on from")
            .hint("plan from the start first: leave --from-rung out"));
    };
    let top = body.plan.rungs.last().map_or(0, |rung| rung.number);
    if from > top {
        return Err(Refusal::new("no-such-rung", format!("the plan has {top} rungs, and no rung {from}"))
            .hint("0 plans from the start room; the top rung keeps all of it"));
    }
    Ok(body.plan.rungs.iter().filter(|rung| rung.number <= from).cloned().collect())
}

/// A plan of what follows, put after the rungs that are kept.
pub(super) fn join(
    mut rest: LadderDoc,
    kept: Vec<RungDoc>,
    before: Option<&LadderBody>,
    shifts: &[Shift],
) -> LadderDoc {
    let (Some(last), Some(before)) = (kept.last(), before) else { return rest };
    let number = last.number;
    rest.cautions.push(NoteDoc::new(
        "kept-rungs",
        format!(
            "Rungs 1 to {number} are kept as they were climbed; what follows is planned anew from there, and proven the best only for what follows."
        ),
    ));
    let names = |wanted: fn(&Shift) -> Option<&String>| {
        shifts.iter().filter_map(wanted).cloned().collect::<Vec<_>>().join(", ")
    };
    let gone = names(|shift| if let Shift::Gone { id } = shift { Some(id) } else { None });
    let above = names(|shift| if let Shift::Above { id } = shift { Some(id) } else { None });
    if !gone.is_empty() {
        rest.cautions.push(NoteDoc::new(
            "gone",
            format!("{gone}: on rung {number} of the plan before, and no longer in the room to cope with."),
        ));
    }
    if !above.is_empty() {
        rest.cautions.push(NoteDoc::new(
            "above-goal",
            format!("{above}: rung {number} of the plan before has as much or more of it than the room to cope with has now; it stays at that room's level."),
        ));
    }
    rest.start_load = before.plan.start_load;
    rest.scale_start_load = before.plan.scale_start_load;
    rest.kept_to = Some(number);
    rest.largest_step = kept.iter().chain(&rest.rungs).map(|rung| rung.step).fold(f64::NEG_INFINITY, f64::max);
    rest.sum_of_loads += kept.iter().map(|rung| rung.load).sum::<f64>();
    if rest.rungs.is_empty() {
        rest.beyond.clone_from(&before.plan.beyond);
        rest.maintenance.clone_from(&before.plan.maintenance);
    }
    rest.rungs.splice(0..0, kept);
    rest
}

/// Whether two records plan the same, whatever they say about how they came about.
pub(super) fn same(a: &LadderBody, b: &LadderBody) -> bool {
    let bare = |body: &LadderBody| LadderBody { why: None, changed: Vec::new(), ..body.clone() };
    bare(a) == bare(b)
}

/// What a new plan changes, in sentences.
pub(super) fn changes(old: &LadderBody, new: &LadderBody) -> Vec<String> {
    let mut told = Vec::new();
    let load = |body: &LadderBody| format!("{:.0}", body.plan.goal_load);
    let audit = |body: &LadderBody| body.goal_audit.clone().unwrap_or_else(|| "none".to_owned());
    if old.goal_audit == new.goal_audit {
        if load(old) != load(new) {
            told.push(format!("The load of the goal is {} instead of {}.", load(new), load(old)));
        }
    } else {
        told.push(format!(
            "The goal is the room of audit {} (load {}) instead of {} (load {}).",
            audit(new),
            load(new),
            audit(old),
            load(old)
        ));
    }
    if let Some(kept) = new.plan.kept_to {
        told.push(format!("Rungs 1 to {kept} are kept; what follows was planned anew."));
    }
    let raised = |body: &LadderBody| {
        let mut ids: Vec<String> = body.plan.rungs.iter().map(|rung| rung.distractor.clone()).collect();
        ids.sort();
        ids.dedup();
        ids
    };
    lists(&mut told, &raised(old), &raised(new), "Now in the ladder", "No longer in the ladder");
    let (before, after) = (old.settings.clone().unwrap_or_default(), new.settings.clone().unwrap_or_default());
    lists(&mut told, &before.never, &after.never, "Never from now on", "Allowed again");
    lists(&mut told, &before.fixed, &after.fixed, "Stays as it is from now on", "No longer fixed");
    settings(&mut told, &before, &after);
    let count = |body: &LadderBody| body.plan.rungs.len();
    if count(old) != count(new) {
        told.push(format!("{} rungs instead of {}.", count(new), count(old)));
    }
    let step = |body: &LadderBody| format!("{:.3}", body.plan.largest_step);
    if step(old) != step(new) {
        told.push(format!("The largest step is {} instead of {}.", step(new), step(old)));
    }
    let signed = |body: &LadderBody| body.signed_by.as_deref().map_or("nobody".to_owned(), printable);
    if old.signed_by != new.signed_by {
        told.push(format!("Signed by {} instead of {}.", signed(new), signed(old)));
    }
    if told.is_empty() {
        let order = |body: &LadderBody| -> Vec<(String, String)> {
            body.plan.rungs.iter().map(|rung| (rung.distractor.clone(), rung.level.to_string())).collect()
        };
        let same = order(old) == order(new);
        told.push(
            if same {
                "The same rungs; only the texts beside them differ."
            } else {
                "The same rungs in another order."
            }
            .to_owned(),
        );
    }
    told
}

fn lists(told: &mut Vec<String>, old: &[String], new: &[String], more: &str, less: &str) {
    let only = |a: &[String], b: &[String]| {
        a.iter().filter(|one| !b.contains(one)).map(|one| printable(one)).collect::<Vec<_>>()
    };
    for (names, words) in [(only(new, old), more), (only(old, new), less)] {
        if !names.is_empty() {
            told.push(format!("{words}: {}.", names.join(", ")));
        }
    }
}

fn settings(told: &mut Vec<String>, old: &LadderSettings, new: &LadderSettings) {
    if old.order != new.order {
        let shown =
            |order: &[String]| if order.is_empty() { "seen, heard, company".to_owned() } else { order.join(", ") };
        if shown(&old.order) != shown(&new.order) {
            told.push(format!("The order is {} instead of {}.", shown(&new.order), shown(&old.order)));
        }
    }
    if old.sensitivity != new.sensitivity {
        let shown = new.sensitivity.iter().map(|(channel, factor)| format!("{channel} {factor}"));
        told.push(format!("Sensitivities set here: {}.", shown.collect::<Vec<_>>().join(", ")));
    }
    if old.alone != new.alone {
        told.push(if new.alone { "For one adult alone." } else { "No longer for one adult alone." }.to_owned());
    }
    if old.start_audit != new.start_audit {
        told.push(match &new.start_audit {
            Some(id) => format!("The start is the room of audit {id}."),
            None => "Everything movable starts absent.".to_owned(),
        });
    }
    let number = |value: Option<f64>| value.map_or("as usual".to_owned(), |value| value.to_string());
    for (before, after, words) in [
        (old.max_step, new.max_step, "Steps are split above"),
        (old.sound_cap_db, new.sound_cap_db, "The sound cap in dB is"),
        (old.volume_m3, new.volume_m3, "The room's volume in m³ is"),
        (old.decay_s, new.decay_s, "The room's decay time in s is"),
    ] {
        if number(before) != number(after) {
            told.push(format!("{words} {} instead of {}.", number(after), number(before)));
        }
    }
}
