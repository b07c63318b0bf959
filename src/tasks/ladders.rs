//! Ladders: from an input file, or from a case's audits, its child record and its scale.

use std::path::PathBuf;

use jiff::Timestamp;

use crate::case::Case;
use crate::checklist::ItemId;
use crate::contract::{AuditBody, ChildBody, LadderBody, LadderDoc, NoteDoc, ObstacleDoc, RecordBody, RungDoc};
use crate::ladder::{self, CaseRooms, Ladder, LadderInput, LevelLabel, Sounds};
use crate::quantity::{Decibels, Pull};
use crate::words::Channel;

use super::audits::{self, Evidence};
use super::cases::{day, record};
use super::files::{Named, shown};
use super::refusal::Refusal;

/// Novelty of a ladder made from a case. Convention.
const NOVELTY: f64 = 0.5;
/// Steps above this pull are split in a ladder made from a case. Convention.
const MAX_STEP: f64 = 0.25;
/// Sound cap at the child's ear, dB, and after "yes" to a sound that makes the child cover the ears. Design choices, well
/// under published limits for children.
const CAP_DB: f64 = 60.0;
const CAP_SENSITIVE_DB: f64 = 50.0;
/// The background where nothing calibrated was recorded: the heard table's first row, where sound has no pull.
const ASSUMED_BACKGROUND_DB: f64 = 35.0;

/// What is asked of a case's ladder.
#[derive(Clone, Debug)]
pub struct LadderRequest {
    /// The case folder.
    pub case: PathBuf,
    /// The place, when the case has several.
    pub place: Option<String>,
    /// The audit whose room is the goal.
    pub goal: Option<String>,
    /// The clinician who answers for it.
    pub by: Option<String>,
    /// The task.
    pub task: Option<String>,
    /// Split steps above it.
    pub max_step: Option<f64>,
    /// Store the plan.
    pub store: bool,
}

/// A case's ladder.
#[derive(Clone, Debug)]
pub struct Planned {
    /// The plan.
    pub doc: LadderDoc,
    /// What to say beside it.
    pub said: Vec<String>,
}

/// Plans from an input file.
pub fn from_file(text: &Named<String>, max_step: Option<f64>) -> Result<LadderDoc, Refusal> {
    let mut input = ladder::parse(&text.content, &text.name).map_err(|faults| {
        Refusal::new("ladder-faults", faults.to_string()).at(text.name.clone()).hint("mend these lines and try again")
    })?;
    if let Some(step) = max_step {
        input.max_step = Some(read_step(step)?);
    }
    plan(&input, Vec::new(), &text.name)
}

/// Plans from a case, and stores the plan unless it is the one already there.
pub fn from_case(request: &LadderRequest, now: Timestamp) -> Result<Planned, Refusal> {
    let case = Case::open(&request.case)?;
    let audits = audits::audits(&case, request.place.as_deref())?;
    let fullest = audits.iter().max_by(|a, b| a.1.figures.load.total_cmp(&b.1.figures.load));
    let (stored, goal) = match (&request.goal, fullest) {
        (Some(wanted), _) => audits::pick(&audits, wanted)?,
        (None, Some(fullest)) => fullest,
        (None, None) => {
            return Err(Refusal::new("no-audit", "the case holds no audit yet")
                .at(shown(&request.case))
                .hint("audit the room to cope with first: `stillroom audit --case DIR …`"));
        }
    };
    let background = quietest(audits.iter().map(|(_, body)| body));
    let step = request.max_step.map(read_step).transpose()?;
    let doc = from_audit(goal, &case.child()?, background, request.by.as_deref(), step)?;
    let mut said = vec![format!("The goal is the room of {} ({}).", goal.figures.date, stored.name.id)];
    if request.store {
        let body = LadderBody {
            task: request.task.clone(),
            place: goal.figures.place.clone(),
            signed_by: request.by.clone(),
            goal_audit: Some(stored.name.id.clone()),
            plan: doc.clone(),
        };
        said.push(store(&case, body, now)?);
    }
    Ok(Planned { doc, said })
}

fn store(case: &Case, body: LadderBody, now: Timestamp) -> Result<String, Refusal> {
    let newest =
        case.standing(|kind| kind == "ladder")?.records.into_iter().rev().find_map(|stored| match stored.record.body {
            RecordBody::Ladder(old) if old.place == body.place && old.task == body.task => Some((stored.name.id, *old)),
            _ => None,
        });
    if let Some((id, old)) = &newest
        && *old == body
    {
        return Ok(format!("This plan is already stored as {id}."));
    }
    let by = body.signed_by.clone();
    let mut record = record(RecordBody::Ladder(Box::new(body)), &day(now), by.as_deref(), now);
    record.replaces = newest.map(|(id, _)| id);
    let name = case.add(&record)?;
    Ok(match record.replaces {
        Some(old) => format!("Stored as {}; it replaces {old}, which stays readable.", name.id),
        None => format!("Stored as {}.", name.id),
    })
}

/// The least background of calibrated recordings, as LA90.
pub fn quietest<'a>(audits: impl Iterator<Item = &'a AuditBody>) -> Option<Decibels> {
    audits
        .filter_map(|body| body.sound.as_ref())
        .filter(|sound| sound.level_unit == "dB" && !sound.quality.silent)
        .filter_map(|sound| sound.levels.la90_db)
        .reduce(f64::min)
        .map(Decibels::new)
}

/// Plans from the audit whose room is the goal.
pub fn from_audit(
    goal: &AuditBody,
    child: &ChildBody,
    background: Option<Decibels>,
    signed_by: Option<&str>,
    max_step: Option<Pull>,
) -> Result<LadderDoc, Refusal> {
    let evidence = Evidence::stored(goal, "the goal's audit")?;
    let sensitivity = evidence.sensitivity;
    let may_add_sounds = child.sound_sensitive == "no" || signed_by.is_some();
    let cap = if child.sound_sensitive == "yes" { CAP_SENSITIVE_DB } else { CAP_DB };
    let found = ladder::from_case(&CaseRooms {
        checklist: &evidence.checklist,
        goal: &evidence.answers,
        start: None,
        heard: evidence.scale.heard(),
        sensitivity: ladder::Sensitivity {
            seen: sensitivity.of(Channel::Seen),
            heard: sensitivity.of(Channel::Heard),
            company: sensitivity.of(Channel::Company),
        },
        background: background.unwrap_or(Decibels::new(ASSUMED_BACKGROUND_DB)),
        sound_cap: Decibels::new(cap),
        novelty: NOVELTY,
        max_step: max_step.or_else(|| Pull::new(MAX_STEP)),
        order: Channel::ALL,
        sounds: if may_add_sounds { Sounds::Open } else { Sounds::Locked },
        excluded: &child.keep.iter().map(ItemId::new).collect::<Vec<_>>(),
        acoustics: None,
    });
    let mut notes: Vec<NoteDoc> =
        found.cautions.iter().map(|caution| NoteDoc::new(caution.code(), caution.text())).collect();
    if background.is_none() {
        notes.push(NoteDoc::new(
            "background-assumed",
            format!("No calibrated recording of this place: a background of {ASSUMED_BACKGROUND_DB:.0} dB is assumed. Record the calm room and plan again."),
        ));
    }
    if child.hearing_checked != "yes" {
        notes.push(NoteDoc::new(
            "hearing-not-checked",
            "Hearing is not known to be checked. Ask the child's doctor or an audiologist before adding sounds; local rules come first.",
        ));
    }
    let mut input = found.input;
    for kept in &child.keep {
        if !input.keep.contains(kept) {
            input.keep.push(kept.clone());
        }
    }
    let mut doc = plan(&input, notes, &goal.figures.place)?;
    // The plan itself knows no clinician and always calls itself a draft; a signature ends that.
    doc.cautions.retain(|note| signed_by.is_none() || note.code != "draft");
    Ok(doc)
}

fn read_step(step: f64) -> Result<Pull, Refusal> {
    Pull::new(step)
        .filter(|pull| pull.u() > 0.0)
        .ok_or_else(|| Refusal::new("max-step", format!("{step} is no step")).hint("give a pull above 0, such as 0.25"))
}

fn plan(input: &LadderInput, mut notes: Vec<NoteDoc>, place: &str) -> Result<LadderDoc, Refusal> {
    let ladder = ladder::plan(input).map_err(|refusal| {
        let at = refusal.place();
        Refusal::new(refusal.code(), refusal.to_string())
            .at(if at.is_empty() { place.to_owned() } else { at })
            .hint(refusal.hint())
    })?;
    let mut doc = document(&ladder);
    doc.cautions.append(&mut notes);
    Ok(doc)
}

/// A plan as programs read it.
fn document(ladder: &Ladder) -> LadderDoc {
    let label = |label: &LevelLabel| match label {
        LevelLabel::Plain(number) => (*number).into(),
        LevelLabel::Inserted(name) => name.clone().into(),
    };
    let mut below = ladder.start_load.points();
    let mut rise = |load: f64| {
        let rise = load - below;
        below = load;
        rise
    };
    LadderDoc {
        start_load: ladder.start_load.points(),
        goal_load: ladder.goal_load.points(),
        largest_step: ladder.largest_step,
        sum_of_loads: ladder.sum_of_loads,
        optimal: ladder.optimal,
        gap: ladder.gap,
        obstacles: ladder
            .obstacles
            .iter()
            .map(|one| ObstacleDoc { id: one.id.clone(), step: one.step, probe: one.probe.clone() })
            .collect(),
        rungs: ladder
            .rungs
            .iter()
            .map(|rung| RungDoc {
                number: rung.number,
                distractor: rung.distractor.clone(),
                level: label(&rung.level),
                load: rung.load.points(),
                rise: rise(rung.load.points()),
                step: rung.step,
                state: rung.state.iter().map(|(id, level)| (id.clone(), label(level))).collect(),
                set_up: rung.set_up.clone(),
                check: rung.check.clone(),
                exemplars: rung.exemplars.clone(),
                minutes: rung.minutes,
                trials: rung.trials,
                mastery: rung.mastery.clone(),
                step_back: rung.step_back.clone(),
            })
            .collect(),
        cautions: ladder.cautions.iter().map(|caution| NoteDoc::new(caution.code(), caution.text())).collect(),
    }
}
