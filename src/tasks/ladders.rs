//! Ladders: from an input file, or from a case's audits, its child record and its scale.

use std::path::PathBuf;

use jiff::Timestamp;

use crate::case::{Case, Stored};
use crate::contract::{AuditBody, LadderBody, LadderDoc, LadderSettings, NoteDoc, RecordBody, RungDoc};
use crate::ladder::{self, ASSUMED_DECAY_S, Acoustics};
use crate::words::printable;

use super::audits;
use super::cases::{day, record};
use super::files::{Named, shown};
use super::forecasts;
use super::ladder_again::{changes, join, kept, same};
use super::ladder_case::{decay_assumed, leave_out_company, planned, prepare};
use super::ladder_doc::reached;
use super::ladder_settings::{decay, read_order, read_step, settings, volume};
use super::ladder_tolerance::{self, Footing};
use super::learned;
use super::plans::{self, StoredPlan};
use super::refusal::Refusal;
use super::reviews;
use super::sensitivities;

pub use super::ladder_case::{Background, Wanted, quietest};
pub use super::ladder_settings::Wishes;
pub use super::learned::Learning;

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
    /// Keep the plan in force as far as the child's estimated tolerance bears it.
    pub from_tolerance: bool,
    /// Plan by the scale alone, without what the child's sessions say of it.
    pub scale_only: bool,
    /// Why it is planned again.
    pub why: Option<String>,
    /// What else is asked of it.
    pub wishes: Wishes,
    /// Store the plan.
    pub store: bool,
}

/// The word for the goal that is taken unless one is named.
const FULLEST: &str = "fullest";
/// The word for the start that is taken unless one is named.
const CLEARED: &str = "cleared";

/// A room that a plan can lead to.
#[derive(Clone, Debug, PartialEq)]
pub struct Room {
    /// Its audit.
    pub id: String,
    /// The day of the audit.
    pub date: String,
    /// Its load.
    pub load: f64,
    /// In a word.
    pub grade: String,
}

/// A case's ladder.
#[derive(Clone, Debug)]
pub struct Planned {
    /// The plan, with who signed it, what it was asked and what it changes.
    pub body: LadderBody,
    /// Whose it is.
    pub alias: String,
    /// The rung practised now, when there is a session.
    pub here: Option<u32>,
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
    let place = place_of(&audits, request)?;
    let plans = plans::plans(&case, &place, request.task.as_deref(), false)?;
    let in_force = plans::in_force(&plans);
    let before = in_force.map(|plan| &plan.body);
    let mut asked = settings(before.and_then(|body| body.settings.as_ref()), &request.wishes)?;
    let goal = goal(&audits, request, &mut asked)?;
    let start = start(&audits, request, &mut asked)?;
    let mut said = vec![format!("The goal is the room of {} ({}).", goal.1.figures.date, goal.0.name.id)];
    let mut from_rung = request.from_rung;
    if request.from_tolerance {
        let footing = footing(&case, in_force, request)?;
        from_rung = Some(footing.rung);
        if let (Some(half), None) = (footing.half_step, request.wishes.max_step) {
            asked.max_step = Some(asked.max_step.map_or(half, |step| step.min(half)));
        }
        said.extend(footing.why);
    }
    let learning = if request.scale_only {
        Learning::default()
    } else {
        let task = request.task.as_deref().or(before.and_then(|body| body.task.as_deref()));
        learned::learning(&case, &place, task, &asked, reviews::read_date(&day(now))?)?
    };
    // What was climbed stays as it was climbed when sessions change what follows.
    if from_rung.is_none() && (learning.by_list || !learning.pulls.is_empty()) {
        from_rung = before.and(here(&case, &place)?).filter(|rung| *rung > 0);
        from_rung = from_rung.map(|rung| rung.min(before.map_or(0, |body| last_rung(&body.plan))));
    }
    let kept = kept(before, from_rung)?;
    let child = case.child()?;
    let bodies: Vec<&AuditBody> = audits.iter().map(|(_, body)| body).collect();
    // The sensitivities are the child's, so the newest hold, whichever audit is the goal.
    let mut room = goal.1.clone();
    room.figures.sensitivity = sensitivities::newest(&case)?;
    let wanted = Wanted {
        goal: &room,
        start: start.map(|(_, body)| body),
        child: &child,
        audits: &bodies,
        signed_by: request.by.as_deref(),
        settings: &asked,
        learning: &learning,
    };
    let mut plan = plan(&wanted, kept, before)?;
    plan.learned.clone_from(&learning.pulls);
    let mut body = LadderBody {
        task: request.task.clone().or_else(|| before.and_then(|body| body.task.clone())),
        place,
        signed_by: request.by.clone(),
        goal_audit: Some(goal.0.name.id.clone()),
        why: request.why.clone(),
        changed: Vec::new(),
        settings: Some(asked),
        plan,
        // A rule of mastery that the clinician has set outlives a new plan.
        criterion: before.and_then(|body| body.criterion.clone()),
    };
    if let Some(before) = before
        && !same(before, &body)
    {
        body.changed = changes(before, &body);
    }
    said.extend(body.changed.iter().map(|change| format!("changed: {change}")));
    said.extend(learning.said.iter().cloned());
    if request.store {
        said.push(store(&case, &body, &plans, now)?);
        said.extend(forecasts::foretell_all(&request.case, reviews::read_date(&day(now))?, now));
    }
    Ok(Planned { here: here(&case, &body.place)?, body, alias: child.alias, said })
}

/// Signs a draft as it stands.
pub fn sign(request: &LadderRequest, draft: &str, now: Timestamp) -> Result<Planned, Refusal> {
    let case = Case::open(&request.case)?;
    let Some(by) = request.by.clone() else {
        return Err(Refusal::new("nobody-signs", "a plan is signed by somebody").hint("add --by \"clinician\""));
    };
    let audits = audits::audits(&case, request.place.as_deref())?;
    let place = place_of(&audits, request)?;
    let plans = plans::plans(&case, &place, request.task.as_deref(), false)?;
    let named: Vec<&StoredPlan> = plans.iter().filter(|plan| draft.len() >= 4 && plan.id.starts_with(draft)).collect();
    let [plan] = named[..] else {
        return Err(Refusal::new(
            "no-such-plan",
            format!("`{}` is no plan of {} that stands", printable(draft), printable(&place)),
        )
        .at(shown(&request.case))
        .hint("`stillroom case list DIR` shows the plans; give four signs of the id or more"));
    };
    if let Some(signed) = &plan.body.signed_by {
        return Err(Refusal::new("signed-already", format!("{} is signed by {} already", plan.id, printable(signed)))
            .hint("plan anew to change it"));
    }
    let in_force = plans::in_force(&plans);
    let mut body = LadderBody { signed_by: Some(by), why: request.why.clone(), ..plan.body.clone() };
    body.plan.cautions.retain(|caution| caution.code != "draft");
    if let Some(before) = in_force {
        body.changed = changes(&before.body, &body);
    }
    let mut said: Vec<String> = body.changed.iter().map(|change| format!("changed: {change}")).collect();
    if request.store {
        said.push(store(&case, &body, &plans, now)?);
        said.extend(forecasts::foretell_all(&request.case, reviews::read_date(&day(now))?, now));
    }
    Ok(Planned { here: here(&case, &body.place)?, body, alias: case.child()?.alias, said })
}

/// The rooms a plan can lead to, the fullest first, when there is something to choose: no plan yet and several audits.
pub fn rooms(request: &LadderRequest) -> Result<Vec<Room>, Refusal> {
    let case = Case::open(&request.case)?;
    let audits = audits::audits(&case, request.place.as_deref())?;
    let place = place_of(&audits, request)?;
    if audits.len() < 2 || !plans::plans(&case, &place, request.task.as_deref(), false)?.is_empty() {
        return Ok(Vec::new());
    }
    let mut rooms: Vec<Room> = audits
        .iter()
        .map(|(stored, body)| Room {
            id: stored.name.id.clone(),
            date: body.figures.date.clone(),
            load: body.figures.load,
            grade: body.figures.grade.clone(),
        })
        .collect();
    rooms.sort_by(|a, b| b.load.total_cmp(&a.load));
    Ok(rooms)
}

fn last_rung(plan: &LadderDoc) -> u32 {
    plan.rungs.last().map_or(0, |rung| rung.number)
}

/// The rung of the newest session in this place.
fn here(case: &Case, place: &str) -> Result<Option<u32>, Refusal> {
    let sessions = reviews::sessions(case)?;
    let newest = sessions.iter().rev().find(|session| session.place.as_ref().is_none_or(|named| named == place));
    Ok(newest.map(|session| session.rung))
}

/// The place that is planned for.
fn place_of(audits: &[(Stored, AuditBody)], request: &LadderRequest) -> Result<String, Refusal> {
    audits.last().map(|(_, body)| body.figures.place.clone()).ok_or_else(|| {
        Refusal::new("no-audit", "the case holds no audit yet")
            .at(shown(&request.case))
            .hint("audit the room to cope with first: `stillroom audit --case DIR …`")
    })
}

/// The audit whose room is the goal: the one named now, the one named before, or the fullest.
fn goal<'a>(
    audits: &'a [(Stored, AuditBody)],
    request: &LadderRequest,
    asked: &mut LadderSettings,
) -> Result<&'a (Stored, AuditBody), Refusal> {
    if let Some(wanted) = &request.goal {
        let named = (wanted != FULLEST).then(|| audits::pick(audits, wanted)).transpose()?;
        asked.goal_audit = named.map(|(stored, _)| stored.name.id.clone());
    }
    if let Some(id) = &asked.goal_audit {
        return audits::pick(audits, id).map_err(|refusal| refusal.hint("name the goal anew, or --goal fullest"));
    }
    audits.iter().max_by(|a, b| a.1.figures.load.total_cmp(&b.1.figures.load)).ok_or_else(|| {
        Refusal::new("no-audit", "the case holds no audit yet").hint("audit the room to cope with first")
    })
}

/// The audit of the start room: the one named now, the one named before, or none.
fn start<'a>(
    audits: &'a [(Stored, AuditBody)],
    request: &LadderRequest,
    asked: &mut LadderSettings,
) -> Result<Option<&'a (Stored, AuditBody)>, Refusal> {
    if let Some(wanted) = &request.start {
        let named = (wanted != CLEARED).then(|| audits::pick(audits, wanted)).transpose()?;
        asked.start_audit = named.map(|(stored, _)| stored.name.id.clone());
    }
    let named = asked.start_audit.as_ref().map(|id| audits::pick(audits, id)).transpose();
    named.map_err(|refusal| refusal.hint("name the start anew, or --start cleared"))
}

/// From where to plan by the child's estimated tolerance.
fn footing(case: &Case, in_force: Option<&StoredPlan>, request: &LadderRequest) -> Result<Footing, Refusal> {
    let Some(in_force) = in_force else {
        return Err(Refusal::new("no-plan", "there is no plan of this place and task yet to go on from")
            .hint("plan from the start first: leave --from-tolerance out"));
    };
    let all = plans::plans(case, &in_force.body.place, request.task.as_deref(), true)?;
    ladder_tolerance::footing(&all, in_force, &reviews::sessions(case)?)
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

fn store(case: &Case, body: &LadderBody, plans: &[StoredPlan], now: Timestamp) -> Result<String, Refusal> {
    let (in_force, draft) = (plans::in_force(plans), plans::draft_beside(plans));
    if let Some(there) = [in_force, draft].into_iter().flatten().find(|plan| same(&plan.body, body)) {
        return Ok(format!("This plan is already stored as {}.", there.id));
    }
    // A draft takes the place of a draft only; what a clinician answers for stays in force until another is signed.
    let signed = in_force.filter(|plan| plan.body.signed_by.is_some());
    let replaced = if body.signed_by.is_none() && signed.is_some() { draft } else { in_force };
    let mut record = record(RecordBody::Ladder(Box::new(body.clone())), &day(now), body.signed_by.as_deref(), now);
    record.replaces = replaced.map(|plan| plan.id.clone());
    let name = case.add(&record)?;
    Ok(match (record.replaces, signed) {
        (_, Some(signed)) if body.signed_by.is_none() => format!(
            "Stored as {}, a draft beside {}, which {} signed and which stays in force. To sign the draft: `stillroom ladder --case DIR --sign {} --by NAME`.",
            name.id,
            signed.id,
            signed.body.signed_by.as_deref().map(printable).unwrap_or_default(),
            &name.id[..name.id.len().min(8)]
        ),
        (Some(old), _) => format!("Stored as {}; it replaces {old}, which stays readable.", name.id),
        (None, _) => format!("Stored as {}.", name.id),
    })
}
