//! Ladders: from an input file, or from a case's audits, its child record and its scale.

use std::path::PathBuf;

use jiff::Timestamp;

use crate::case::{Case, Stored};
use crate::contract::{AuditBody, LadderBody, LadderDoc, NoteDoc, RecordBody, RungDoc};
use crate::ladder::{self, ASSUMED_DECAY_S, Acoustics};
use crate::words::printable;

use super::audits;
use super::cases::{day, record};
use super::files::{Named, shown};
use super::ladder_again::{changes, join, kept, same};
use super::ladder_case::{decay_assumed, leave_out_company, planned, prepare};
use super::ladder_doc::reached;
use super::ladder_settings::{decay, read_order, read_step, settings, volume};
use super::refusal::Refusal;

pub use super::ladder_case::{Background, Wanted, quietest};
pub use super::ladder_settings::Wishes;

/// What is asked of a case's ladder.
#[derive(Clone, Debug, Default)]
pub struct LadderRequest {
    /// The case folder.
    pub case: PathBuf,
    /// The place, when the case has several.
    pub place: Option<String>,
    /// The audit whose room is the start.
    pub start: Option<String>,
    /// The audit whose room is the goal.
    pub goal: Option<String>,
    /// The clinician who answers for it.
    pub by: Option<String>,
    /// The task.
    pub task: Option<String>,
    /// Keep the plan in force up to this rung, and plan anew what follows.
    pub from_rung: Option<u32>,
    /// Why it is planned again.
    pub why: Option<String>,
    /// What else is asked of it.
    pub wishes: Wishes,
    /// Store the plan.
    pub store: bool,
}

/// A case's ladder.
#[derive(Clone, Debug)]
pub struct Planned {
    /// The plan, with who signed it, what it was asked and what it changes.
    pub body: LadderBody,
    /// Whose it is.
    pub alias: String,
    /// What to say beside it.
    pub said: Vec<String>,
}

/// Plans from an input file.
pub fn from_file(text: &Named<String>, wishes: &Wishes) -> Result<LadderDoc, Refusal> {
    let mut input = ladder::parse(&text.content, &text.name).map_err(|faults| {
        Refusal::new("ladder-faults", faults.to_string()).at(text.name.clone()).hint("mend these lines and try again")
    })?;
    let mut notes = Vec::new();
    if let Some(step) = wishes.max_step {
        input.max_step = Some(read_step(step)?);
    }
    if let Some(order) = &wishes.order {
        input.order = read_order(order)?;
    }
    if let Some(volume_m3) = volume(wishes.volume_m3)? {
        let decay_s = decay(wishes.decay_s)?;
        if decay_s.is_none() {
            notes.push(NoteDoc::new("decay-assumed", decay_assumed()));
        }
        input.acoustics = Some(Acoustics { volume_m3, decay_s: decay_s.unwrap_or(ASSUMED_DECAY_S.s) });
    }
    if wishes.alone {
        leave_out_company(&mut input, &mut notes)?;
    }
    planned(&input, notes, &text.name, 0)
}

/// Plans from a case, and stores the plan unless it is the one already there.
pub fn from_case(request: &LadderRequest, now: Timestamp) -> Result<Planned, Refusal> {
    let case = Case::open(&request.case)?;
    let audits = audits::audits(&case, request.place.as_deref())?;
    let fullest = audits.iter().max_by(|a, b| a.1.figures.load.total_cmp(&b.1.figures.load));
    let goal = match (&request.goal, fullest) {
        (Some(wanted), _) => audits::pick(&audits, wanted)?,
        (None, Some(fullest)) => fullest,
        (None, None) => {
            return Err(Refusal::new("no-audit", "the case holds no audit yet")
                .at(shown(&request.case))
                .hint("audit the room to cope with first: `stillroom audit --case DIR …`"));
        }
    };
    let start = request.start.as_deref().map(|wanted| audits::pick(&audits, wanted)).transpose()?;
    let place = goal.1.figures.place.clone();
    let in_force = newest(&case, &place, request.task.as_deref())?;
    let before = in_force.as_ref().map(|(_, body)| body);
    let mut asked = settings(before.and_then(|body| body.settings.as_ref()), &request.wishes)?;
    asked.start_audit = start.map(|(stored, _)| stored.name.id.clone());
    let kept = kept(before, request.from_rung)?;
    let child = case.child()?;
    let bodies: Vec<&AuditBody> = audits.iter().map(|(_, body)| body).collect();
    let wanted = Wanted {
        goal: &goal.1,
        start: start.map(|(_, body)| body),
        child: &child,
        audits: &bodies,
        signed_by: request.by.as_deref(),
        settings: &asked,
    };
    let plan = plan(&wanted, kept, before)?;
    let mut body = LadderBody {
        task: request.task.clone().or_else(|| before.and_then(|body| body.task.clone())),
        place,
        signed_by: request.by.clone(),
        goal_audit: Some(goal.0.name.id.clone()),
        why: request.why.clone(),
        changed: Vec::new(),
        settings: Some(asked),
        plan,
    };
    if let Some(before) = before
        && !same(before, &body)
    {
        body.changed = changes(before, &body);
    }
    let mut said = vec![format!("The goal is the room of {} ({}).", goal.1.figures.date, goal.0.name.id)];
    said.extend(body.changed.iter().map(|change| format!("changed: {change}")));
    if request.store {
        said.push(store(&case, &body, in_force.as_ref(), now)?);
    }
    Ok(Planned { body, alias: child.alias, said })
}

/// Plans from the audit whose room is the goal.
pub fn from_audit(wanted: &Wanted<'_>) -> Result<LadderDoc, Refusal> {
    plan(wanted, Vec::new(), None)
}

fn plan(wanted: &Wanted<'_>, kept: Vec<RungDoc>, before: Option<&LadderBody>) -> Result<LadderDoc, Refusal> {
    let prepared = prepare(wanted, &reached(&kept))?;
    let place = &wanted.goal.figures.place;
    let number = kept.last().map_or(0, |rung| rung.number);
    let rest = planned(&prepared.input, prepared.notes, place, number)?;
    let mut doc = join(rest, kept, before, &prepared.shifts);
    doc.never = prepared.never;
    if wanted.signed_by.is_some() {
        doc.cautions.retain(|caution| caution.code != "draft");
    }
    Ok(doc)
}

/// The newest plan of a place, and of a task if one is named, with its id.
fn newest(case: &Case, place: &str, task: Option<&str>) -> Result<Option<(String, LadderBody)>, Refusal> {
    let found = case.read_kinds(|kind| kind == "ladder")?;
    Ok(found.records.into_iter().rev().find_map(|Stored { name, record }| match record.body {
        RecordBody::Ladder(body) if body.place == place && (task.is_none() || body.task.as_deref() == task) => {
            Some((name.id, *body))
        }
        _ => None,
    }))
}

fn store(
    case: &Case,
    body: &LadderBody,
    newest: Option<&(String, LadderBody)>,
    now: Timestamp,
) -> Result<String, Refusal> {
    if let Some((id, old)) = newest {
        if same(old, body) {
            return Ok(format!("This plan is already stored as {id}."));
        }
        // A look at what another plan would be must not put a draft in the place of what a clinician answers for.
        if let (Some(signed), None) = (&old.signed_by, &body.signed_by) {
            return Ok(format!(
                "Not stored: the plan in force, {id}, is signed by {}. Sign the new one with --by, or look without storing with --dry-run.",
                printable(signed)
            ));
        }
    }
    let mut record = record(RecordBody::Ladder(Box::new(body.clone())), &day(now), body.signed_by.as_deref(), now);
    record.replaces = newest.map(|(id, _)| id.clone());
    let name = case.add(&record)?;
    Ok(match record.replaces {
        Some(old) => format!("Stored as {}; it replaces {old}, which stays readable.", name.id),
        None => format!("Stored as {}.", name.id),
    })
}
