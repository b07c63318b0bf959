//! From a case's audits, its child record and the settings of a plan to what the ladder room plans: background and cap,
//! locks and exclusions, fixed items, the room's acoustics, and what to say about each of them.

use crate::contract::{AuditBody, ChildBody, LadderDoc, LadderSettings, NoteDoc};
use crate::ladder::{self, ASSUMED_DECAY_S, Acoustics, CaseRooms, FromCase, LadderInput, Reached, Shift, Sounds, Why};
use crate::quantity::{Decibels, Pull};
use crate::words::Channel;

use super::audits::Evidence;
use super::ladder_doc::document;
use super::ladder_settings::{exclude, fix, order_of, sensitivity_of, without_kept};
use super::learned::Learning;
use super::refusal::Refusal;
use super::sensitivities;

/// Novelty of a ladder made from a case. Convention.
const NOVELTY: f64 = 0.5;
/// Steps above this pull are split in a ladder made from a case. Convention.
pub(super) const MAX_STEP: f64 = 0.25;
/// Sound cap at the child's ear, dB, and after "yes" to a sound that makes the child cover the ears. Design choices, well
/// under published limits for children.
const CAP_DB: f64 = 60.0;
const CAP_SENSITIVE_DB: f64 = 50.0;
/// The background where nothing calibrated was recorded: the heard table's first row, where sound has no pull.
const ASSUMED_BACKGROUND_DB: f64 = 35.0;

/// The calmest level that was measured, with the doubt of the device that did.
#[derive(Clone, Copy, Debug)]
pub struct Background {
    /// LA90.
    pub level: Decibels,
    /// One standard deviation of its reading, dB.
    pub sd_db: f64,
}

/// The least background of calibrated recordings, as LA90.
pub fn quietest<'a>(audits: impl Iterator<Item = &'a AuditBody>) -> Option<Background> {
    audits
        .filter_map(|body| body.sound.as_ref())
        .filter(|sound| sound.level_unit == "dB" && !sound.quality.silent)
        .filter_map(|sound| Some((sound.levels.la90_db?, sound.calibration.sd_db.unwrap_or(0.0))))
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(db, sd_db)| Background { level: Decibels::new(db), sd_db })
}

/// The newest measured decay time of these audits, s.
fn measured_decay<'a>(audits: impl DoubleEndedIterator<Item = &'a AuditBody>) -> Option<f64> {
    audits.rev().filter_map(|body| body.sound.as_ref()?.decay.as_ref()?.t20_s).find(|seconds| seconds.is_finite())
}

/// What a case's plan is made from.
#[derive(Clone, Debug)]
pub struct Wanted<'a> {
    /// The audit of the room to cope with.
    pub goal: &'a AuditBody,
    /// The audit of the start room; without one everything movable starts absent.
    pub start: Option<&'a AuditBody>,
    /// Who it is for.
    pub child: &'a ChildBody,
    /// All audits of the place, oldest first, for the background and the decay time.
    pub audits: &'a [&'a AuditBody],
    /// The clinician who answers for it.
    pub signed_by: Option<&'a str>,
    /// What is asked of it.
    pub settings: &'a LadderSettings,
    /// What the sessions so far say of the scale.
    pub learning: &'a Learning,
}

/// An input with what to say about it.
pub(super) struct Prepared {
    pub(super) input: LadderInput,
    pub(super) notes: Vec<NoteDoc>,
    pub(super) never: Vec<String>,
    /// What an earlier plan had and this one has not.
    pub(super) shifts: Vec<Shift>,
}

/// Makes the input of a case's plan, starting where an earlier plan has come to.
pub(super) fn prepare(wanted: &Wanted<'_>, reached: &[Reached]) -> Result<Prepared, Refusal> {
    let settings = wanted.settings;
    let evidence = Evidence::stored(wanted.goal, "the goal's audit")?;
    let start = wanted.start.map(|body| Evidence::stored(body, "the start's audit")).transpose()?;
    if let Some(start) = &start
        && start.checklist.id != evidence.checklist.id
    {
        return Err(Refusal::new(
            "two-checklists",
            format!(
                "the start room was audited with `{}`, the room to cope with with `{}`",
                start.checklist.id, evidence.checklist.id
            ),
        )
        .hint("name two audits with the same checklist, or leave --start out: then everything movable starts absent"));
    }
    let mut notes = child_notes(wanted);
    notes.extend(wanted.learning.notes.iter().cloned());
    let excluded = exclude(&evidence.checklist, &settings.never, &wanted.child.excluded_sounds);
    let fixed = fix(&evidence.checklist, &settings.fixed)?;
    let background = wanted
        .start
        .and_then(|start| quietest(std::iter::once(start)))
        .or_else(|| quietest(wanted.audits.iter().copied()));
    let scale = &evidence.sensitivity;
    let sensitivity = |channel| sensitivity_of(channel, scale.of(channel), &settings.sensitivity);
    let usual = if wanted.child.sound_sensitive == "yes" { CAP_SENSITIVE_DB } else { CAP_DB };
    let cap = match settings.sound_cap_db {
        // After a yes a clinician may lower the cap but not raise it.
        Some(cap) if wanted.child.sound_sensitive == "yes" => cap.min(CAP_SENSITIVE_DB),
        Some(cap) => cap,
        None => usual,
    };
    let mut found = ladder::from_case(&CaseRooms {
        checklist: &evidence.checklist,
        goal: &evidence.answers,
        start: start.as_ref().map(|start| &start.answers),
        heard: evidence.scale.heard(),
        sensitivity: ladder::Sensitivity {
            seen: sensitivity(Channel::Seen),
            heard: sensitivity(Channel::Heard),
            company: sensitivity(Channel::Company),
        },
        background: background.map_or(Decibels::new(ASSUMED_BACKGROUND_DB), |background| background.level),
        sound_cap: Decibels::new(cap),
        reading_sd_db: background.map_or(0.0, |background| background.sd_db),
        novelty: NOVELTY,
        max_step: settings.max_step.and_then(Pull::new).or_else(|| Pull::new(MAX_STEP)),
        order: order_of(settings),
        sounds: if locked(wanted) { Sounds::Locked } else { Sounds::Open },
        excluded: &excluded.items,
        fixed: &fixed,
        keep: &wanted.child.keep,
        acoustics: acoustics(wanted, &mut notes),
    });
    start_beyond_goal(&found)?;
    notes.extend(found.cautions.iter().map(|caution| NoteDoc::new(caution.code(), caution.text())));
    notes.extend(excluded.notes.iter().cloned());
    notes.extend(sensitivities::note(scale, evidence.set.as_ref()));
    if background.is_none() {
        notes.push(NoteDoc::new(
            "background-assumed",
            format!("No calibrated recording of this place: a background of {ASSUMED_BACKGROUND_DB:.0} dB is assumed. Record the calm room and plan again."),
        ));
    }
    found.input.by_list = wanted.learning.by_list;
    for distractor in &mut found.input.distractors {
        let learned = wanted.learning.pulls.iter().find(|one| one.id == distractor.id);
        distractor.weighs = evidence.scale.factor(&distractor.id);
        distractor.draws = learned.map_or(1.0, |one| one.factor);
        excluded.thin(&mut distractor.exemplars);
        without_kept(&found.input.keep, &mut distractor.exemplars);
    }
    if settings.alone {
        leave_out_company(&mut found.input, &mut notes)?;
    }
    if found.input.distractors.is_empty() {
        return Err(nothing_to_add(&found));
    }
    let shifts = found.input.begin_at(reached);
    Ok(Prepared { input: found.input, notes, never: excluded.names, shifts })
}

/// Whether no sound may be added yet.
fn locked(wanted: &Wanted<'_>) -> bool {
    let child = wanted.child;
    wanted.signed_by.is_none() && (child.sound_sensitive != "no" || child.hearing_checked == "not asked")
}

/// What the two questions about sounds and hearing ask for.
fn child_notes(wanted: &Wanted<'_>) -> Vec<NoteDoc> {
    let child = wanted.child;
    let mut notes = Vec::new();
    match child.sound_sensitive.as_str() {
        "yes" => {
            let named = if child.excluded_sounds.is_empty() {
                " Name the sounds, so that none of them is ever used: `stillroom case child DIR --excluded-sound NAME`.".to_owned()
            } else {
                format!(" Never used: {}.", child.excluded_sounds.join(", "))
            };
            notes.push(NoteDoc::new(
                "sound-sensitive",
                format!(
                    "A sound makes this child cover the ears, cry, freeze or leave: the cap is {CAP_SENSITIVE_DB:.0} dB at most, and an audiologist is asked before any sound is added. Ear defenders are always allowed.{named}"
                ),
            ));
        }
        "no" => {}
        _ => notes.push(NoteDoc::new(
            "sound-not-asked",
            "Nobody has asked yet whether any sound makes the child cover the ears, cry, freeze or leave. Ask before any sound is added: `stillroom case child DIR --sound-sensitive yes` or `no`.",
        )),
    }
    if child.hearing_checked != "yes" {
        notes.push(NoteDoc::new(
            "hearing-not-checked",
            "Hearing is not known to be checked. Ask the child's doctor or an audiologist before adding sounds; local rules come first.",
        ));
    }
    notes
}

/// Size and decay of the room, when they are known.
fn acoustics(wanted: &Wanted<'_>, notes: &mut Vec<NoteDoc>) -> Option<Acoustics> {
    let volume_m3 = wanted.settings.volume_m3?;
    let known = wanted.settings.decay_s.or_else(|| measured_decay(wanted.audits.iter().copied()));
    if known.is_none() {
        notes.push(NoteDoc::new("decay-assumed", decay_assumed()));
    }
    Some(Acoustics { volume_m3, decay_s: known.unwrap_or(ASSUMED_DECAY_S.s) })
}

/// What is said where no decay time was measured.
pub(super) fn decay_assumed() -> String {
    let decay = ASSUMED_DECAY_S;
    format!(
        "No decay time was measured: {} s is assumed, as in a furnished living room; it may be {} to {} s. Measure it: `stillroom sound clap.wav --decay`.",
        decay.s, decay.low_s, decay.high_s
    )
}

fn start_beyond_goal(found: &FromCase) -> Result<(), Refusal> {
    let beyond: Vec<_> = found.left_out.iter().filter(|left| matches!(left.why, Why::StartBeyondGoal { .. })).collect();
    if beyond.is_empty() {
        return Ok(());
    }
    let told: Vec<String> = beyond.iter().map(|left| format!("`{}`: {}", left.id, left.why)).collect();
    let ids: Vec<String> = beyond.iter().map(|left| left.id.to_string()).collect();
    Err(Refusal::new("start-beyond-goal", told.join("\n"))
        .at(ids.join(", "))
        .hint("a ladder only goes up: clear these from the start room, name a fuller room as --goal, or keep them as they are with --fixed"))
}

/// What one adult alone cannot stage is left out, and told.
pub(super) fn leave_out_company(input: &mut LadderInput, notes: &mut Vec<NoteDoc>) -> Result<(), Refusal> {
    let left_out = input.leave_out_company();
    if left_out.is_empty() {
        return Ok(());
    }
    let names = left_out.join(", ");
    if input.rungs() == 0 {
        return Err(Refusal::new(
            "needs-a-person",
            format!("one adult alone has nothing to add: {names} need another person"),
        )
        .at(names)
        .hint("plan without --alone, or audit a room with things that are seen or heard"));
    }
    notes.push(NoteDoc::new(
        "alone",
        format!("Planned for one adult alone, without {names}: these need another person. Plan again without --alone when somebody can come."),
    ));
    Ok(())
}

fn nothing_to_add(found: &FromCase) -> Refusal {
    let told: Vec<String> = found.left_out.iter().map(|left| format!("  `{}`: {}", left.id, left.why)).collect();
    let ids: Vec<String> = found.left_out.iter().map(|left| left.id.to_string()).collect();
    Refusal::new("no-distractor", format!("there is no distractor to add back:\n{}", told.join("\n")))
        .at(ids.join(", "))
        .hint("audit the room to cope with while it is as it usually is, and name that audit as --goal")
}

/// Plans an input and puts the notes where the cautions are. `kept` rungs of an earlier plan come before.
pub(super) fn planned(input: &LadderInput, notes: Vec<NoteDoc>, place: &str, kept: u32) -> Result<LadderDoc, Refusal> {
    let ladder = ladder::plan_after(input, kept).map_err(|refusal| {
        let at = refusal.place();
        let mut hint = refusal.hint();
        if input.reading_sd_db > 0.0 && refusal.code().ends_with("above-cap") {
            hint.push_str(&format!(
                "; the cap of {:.0} dB is met only by a reading plus twice its doubt of {:.1} dB, and a better calibration lowers the doubt",
                input.sound_cap.db(),
                input.reading_sd_db
            ));
        }
        Refusal::new(refusal.code(), refusal.to_string())
            .at(if at.is_empty() { place.to_owned() } else { at })
            .hint(hint)
    })?;
    let mut doc = document(&ladder);
    for note in notes {
        if !doc.cautions.iter().any(|caution| caution.code == note.code && caution.text == note.text) {
            doc.cautions.push(note);
        }
    }
    Ok(doc)
}
