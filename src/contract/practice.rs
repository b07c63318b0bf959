//! What the commands of practice print: sessions stored, decisions, what to try, what the child likes, screens, the day.

use serde::{Deserialize, Serialize};

use super::{Document, NoteDoc};

/// What mastery of a rung is.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct CriterionDoc {
    /// Percent answered alone.
    pub percent: u32,
    /// Sessions in a row.
    pub sessions: u32,
    /// Different days among them.
    pub days: u32,
    /// The clinician who set it; null for the default.
    pub by: Option<String>,
}

/// A smaller step.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct SmallerDoc {
    /// `level`, `task`, `prompt` or `time`.
    pub kind: String,
    /// What to do.
    pub text: String,
}

/// A decision by a person (`stillroom.decided/1`).
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct DecidedDoc {
    /// The record.
    pub id: String,
    /// The day.
    pub date: String,
    /// Who answers for it; null for a proposal.
    pub by: Option<String>,
    /// The rung it is about.
    pub rung: u32,
    /// What was decided.
    pub decision: String,
    /// What the rules proposed.
    pub recommended: Option<String>,
    /// Why.
    pub why: Option<String>,
    /// Whether it ends a pause.
    pub lifts_pause: bool,
    /// The rule of mastery that was set with it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub criterion: Option<CriterionDoc>,
}

impl Document for DecidedDoc {
    const SCHEMA: &'static str = "stillroom.decided/1";
}

/// Sessions that were stored, or would be (`stillroom.sessions/1`).
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct SessionsDoc {
    /// The case.
    pub alias: String,
    /// Nothing was stored: this is what would be.
    pub dry_run: bool,
    /// In the order of the file.
    pub sessions: Vec<SessionLineDoc>,
    /// What to look at; nothing of it stopped the storing.
    pub notices: Vec<String>,
}

impl Document for SessionsDoc {
    const SCHEMA: &'static str = "stillroom.sessions/1";
}

/// One session of them.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct SessionLineDoc {
    /// The line it was read from; null for a session that was asked for.
    pub line: Option<usize>,
    /// The record; null when nothing was stored.
    pub id: Option<String>,
    /// The day.
    pub date: String,
    /// The rung.
    pub rung: u32,
    /// Opportunities.
    pub opportunities: u32,
    /// Right alone.
    pub independent: u32,
    /// Right with help.
    pub prompted: u32,
    /// Wrong.
    pub errors: u32,
    /// Distress, then or afterwards.
    pub distress: bool,
    /// Came and stayed willingly.
    pub assent: bool,
    /// `ordinary`, `baseline`, `probe`, `maintenance`, `unwell` or `harm`.
    pub kind: String,
    /// The task.
    pub task: Option<String>,
    /// The place.
    pub place: Option<String>,
}

/// Sessions written to a file (`stillroom.session-export/1`).
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct SessionExportDoc {
    /// The file.
    pub file: String,
    /// Sessions in it.
    pub sessions: usize,
}

impl Document for SessionExportDoc {
    const SCHEMA: &'static str = "stillroom.session-export/1";
}

/// An observation sampled in intervals (`stillroom.sample/1`).
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SampleDoc {
    /// `momentary`, `whole` or `partial`.
    pub method: String,
    /// What was looked for.
    pub what: String,
    /// Length of an interval.
    pub interval_s: u32,
    /// Intervals that were planned.
    pub intervals: usize,
    /// Intervals without a mark; they count for nothing.
    pub missed: usize,
    /// Marked as seen, of the marked.
    pub share: Option<f64>,
    /// Which way this method errs.
    pub bias: String,
    /// The record; null when nothing was stored.
    pub id: Option<String>,
}

impl Document for SampleDoc {
    const SCHEMA: &'static str = "stillroom.sample/1";
}

/// What to look at when practice is stuck (`stillroom.troubleshoot/1`).
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct TroubleshootDoc {
    /// The rung.
    pub rung: u32,
    /// The decision the rules propose.
    pub decision: String,
    /// The task.
    pub task: Option<String>,
    /// The place.
    pub place: Option<String>,
    /// The questions in order.
    pub looks: Vec<TroubleLookDoc>,
    /// One or two things to try this week.
    pub this_week: Vec<String>,
    /// When to call the clinician.
    pub call: Vec<String>,
    /// Smaller steps for this rung.
    pub smaller: Vec<SmallerDoc>,
}

impl Document for TroubleshootDoc {
    const SCHEMA: &'static str = "stillroom.troubleshoot/1";
}

/// One question.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct TroubleLookDoc {
    /// Its place in the order, from 1.
    pub number: usize,
    /// A short fixed word.
    pub code: String,
    /// The question, and what to do.
    pub text: String,
    /// What the case says about it; null where it says nothing.
    pub seen: Option<String>,
    /// `open` (ask), `fine`, or `look` (this is where to look).
    pub state: String,
}

/// What the child likes to work for (`stillroom.reinforcers/1`).
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ReinforcerDoc {
    /// How the newest full assessment was made; null without one.
    pub method: Option<String>,
    /// Its day.
    pub date: Option<String>,
    /// Best first.
    pub items: Vec<ReinforcerItemDoc>,
    /// The newest quick check: its day and what was chosen.
    pub quick: Option<NoteDoc>,
    /// When the next full one is due.
    pub next_full: Option<String>,
    /// Whether that day has come.
    pub due: bool,
    /// What to do with it.
    pub advice: Vec<String>,
    /// The record that was stored just now.
    pub id: Option<String>,
}

impl Document for ReinforcerDoc {
    const SCHEMA: &'static str = "stillroom.reinforcers/1";
}

/// One thing's score.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ReinforcerItemDoc {
    /// What it is.
    pub name: String,
    /// How often it was offered.
    pub offered: u32,
    /// How often it was chosen.
    pub chosen: u32,
    /// Chosen of offered, percent.
    pub percent: f64,
}

/// The diary of screens beside the guidance (`stillroom.screens/1`).
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ScreensDoc {
    /// The first day looked at.
    pub from: String,
    /// The last.
    pub to: String,
    /// Days with an entry, newest first.
    pub days: Vec<ScreenDayDoc>,
    /// Mean minutes of the days with an entry.
    pub mean_minutes: Option<f64>,
    /// Share of the minutes with an adult.
    pub together_share: Option<f64>,
    /// Share of the minutes that were a repeat.
    pub repeat_share: Option<f64>,
    /// What is published, by age, newest first.
    pub guidance: Vec<GuidanceDoc>,
    /// What tends to help.
    pub advice: Vec<String>,
    /// The record that was stored just now.
    pub id: Option<String>,
}

impl Document for ScreensDoc {
    const SCHEMA: &'static str = "stillroom.screens/1";
}

/// One day of the diary.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ScreenDayDoc {
    /// The day.
    pub date: String,
    /// Minutes.
    pub minutes: u32,
    /// Minutes with an adult.
    pub together: u32,
    /// Minutes that were a repeat.
    pub repeats: u32,
    /// What ran.
    pub what: Vec<String>,
}

/// What one edition says for this age.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct GuidanceDoc {
    /// Who, and which edition.
    pub edition: String,
    /// What it says.
    pub text: String,
    /// Minutes a day at most, where it names any.
    pub minutes: Option<u32>,
    /// Whether it still stands.
    pub current: bool,
    /// Days of the diary above it; null where it names no minutes.
    pub days_above: Option<usize>,
}

/// Notes on self-stimulation (`stillroom.needs/1`). Words, never a count.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct NeedDoc {
    /// What was noted, newest first.
    pub notes: Vec<NoteDoc>,
    /// What to do.
    pub advice: Vec<String>,
    /// The record that was stored just now.
    pub id: Option<String>,
}

impl Document for NeedDoc {
    const SCHEMA: &'static str = "stillroom.needs/1";
}

/// Practice planned and done (`stillroom.dose/1`).
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct DoseDoc {
    /// The first day looked at.
    pub from: String,
    /// The last.
    pub to: String,
    /// Days on which there was practice.
    pub days: usize,
    /// Sittings.
    pub sittings: usize,
    /// Opportunities.
    pub trials: u64,
    /// Opportunities a week.
    pub trials_a_week: f64,
    /// Opportunities a week by the family's own plan; null without one.
    pub planned_a_week: Option<u32>,
    /// What the ladder needs in a week at the least.
    pub needed_a_week: u32,
    /// The day, in order.
    pub plan: Vec<SlotDoc>,
    /// What this says, without blame.
    pub said: Vec<String>,
    /// The record that was stored just now.
    pub id: Option<String>,
}

impl Document for DoseDoc {
    const SCHEMA: &'static str = "stillroom.dose/1";
}

/// One time of the day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct SlotDoc {
    /// When.
    pub when: String,
    /// Opportunities; 0 for a time of the child's own.
    pub trials: u32,
    /// What happens then.
    pub what: String,
}
