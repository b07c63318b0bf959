//! The review of a log: the decision table, its reasons, the figures beside it.
//!
//! The table is this tool's own convention. Its first row that holds decides; safety stands above every score.

use jiff::civil::Date;

use super::findings::{COUNTED, Criterion, Findings, find};
use super::pool::{Row, rows};
use super::reason::{Pause, Reason};
use super::session::{Kind, Log};
use super::statistics::{Caution, Statistics, cautions, statistics};
use super::tolerance::{Tolerance, tolerance, tolerance_by_channel};
use crate::words::Channel;

/// What to do at this rung.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Decision {
    /// Go on to the next rung.
    Advance,
    /// Stay.
    Hold,
    /// Return to the rung below.
    StepBack,
    /// Make smaller steps of it.
    BreakDown,
    /// Stop until a clinician has looked.
    Pause,
}

impl Decision {
    /// The word used in files and on screens.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Advance => "advance",
            Self::Hold => "hold",
            Self::StepBack => "step-back",
            Self::BreakDown => "break-down",
            Self::Pause => "pause",
        }
    }
}

/// How a log is reviewed.
#[derive(Clone, Debug, PartialEq)]
pub struct Options {
    /// Today; without it the log's newest day.
    pub today: Option<Date>,
    /// Whether the sittings of a day are added up first.
    pub pool_by_day: bool,
    /// What mastery is.
    pub criterion: Criterion,
    /// The day from which a clinician lets practice go on; sessions before it lie behind the pause.
    pub lifted: Option<Date>,
    /// Whether a note (`cleared`) lifts a pause as well. Never in a case.
    pub lifted_by_note: bool,
    /// The rungs of earlier steps back, in a case (see [`step_backs`]); empty for a bare log.
    pub step_backs: Vec<u32>,
    /// The channel that each rung 1, 2, … raises, when the ladder is known.
    pub raised: Vec<Channel>,
    /// Whether tolerance is estimated, which takes longer than all the rest; no decision rests on it.
    pub tolerance: bool,
}

impl Options {
    /// For a log by itself.
    pub fn bare() -> Self {
        Self {
            today: None,
            pool_by_day: false,
            criterion: Criterion::default(),
            lifted: None,
            lifted_by_note: true,
            step_backs: Vec::new(),
            raised: Vec::new(),
            tolerance: true,
        }
    }

    /// For the log of a case: sittings are added up by day, and only a clinician's record lifts a pause.
    pub fn in_case(today: Date, lifted: Option<Date>) -> Self {
        Self { today: Some(today), pool_by_day: true, lifted, lifted_by_note: false, ..Self::bare() }
    }
}

impl Default for Options {
    fn default() -> Self {
        Self::bare()
    }
}

/// A decision with all that it rests on.
#[derive(Clone, Debug, PartialEq)]
pub struct Review {
    /// The rung it is about.
    pub rung: u32,
    /// What to do.
    pub decision: Decision,
    /// Why, the deciding reason first.
    pub reasons: Vec<Reason>,
    /// The figures.
    pub statistics: Statistics,
    /// Tolerance along the rungs; `None` without a session that says something, or where it was not asked for.
    pub tolerance: Option<Tolerance>,
    /// Tolerance a channel, when the ladder is known.
    pub tolerance_by_channel: Vec<Tolerance>,
    /// What the figures do not say.
    pub cautions: Vec<Caution>,
}

/// Reviews a log.
pub fn review(log: &Log, options: &Options) -> Review {
    review_within(log, log, options)
}

/// Reviews the sessions of one task at one place. Safety is the child's, not the task's, so it looks at the whole log.
pub fn review_within(log: &Log, whole: &Log, options: &Options) -> Review {
    let whole = rows(whole, options.pool_by_day);
    let rows = rows(log, options.pool_by_day);
    let found = find(&rows, &whole, lifted_at(&whole, options), options.criterion);
    let statistics = statistics(log.sessions().len(), &rows, &found);
    let (decision, first) = decide(&found, &statistics, options.criterion);
    let rung = found.rung;
    let mut reasons = vec![first];
    let today = options.today.or(log.newest_date());
    for reason in also(&found, decision, today, &options.step_backs) {
        if reasons[0].code() != reason.code() {
            reasons.push(reason);
        }
    }
    let tolerance = if options.tolerance { tolerance(log) } else { None };
    let cautions = cautions(&statistics, tolerance.as_ref());
    let tolerance_by_channel = if options.tolerance { tolerance_by_channel(log, &options.raised) } else { Vec::new() };
    Review { rung, decision, reasons, statistics, tolerance, tolerance_by_channel, cautions }
}

/// The rungs from which a log stepped back so far, oldest first: a block of sessions followed by one on a lower rung.
/// Where a case keeps its decisions, those tell it better.
pub fn step_backs(log: &Log) -> Vec<u32> {
    let ordinary: Vec<u32> =
        rows(log, false).iter().filter(|row| row.kind == Kind::Ordinary).map(|row| row.rung).collect();
    ordinary.windows(2).filter(|pair| pair[1] < pair[0]).map(|pair| pair[0]).collect()
}

/// The first row after the newest lifting of a pause.
fn lifted_at(rows: &[Row], options: &Options) -> usize {
    let by_record = options.lifted.map_or(0, |lifted| rows.partition_point(|row| row.date < lifted));
    let by_note = rows.iter().rposition(|row| row.cleared).filter(|_| options.lifted_by_note).unwrap_or(0);
    by_record.max(by_note)
}

/// The table, rows 0 to 12: the first that holds.
fn decide(found: &Findings<'_>, statistics: &Statistics, criterion: Criterion) -> (Decision, Reason) {
    decide_by_safety(found)
        .or_else(|| decide_by_low_scores(found))
        .or_else(|| decide_to_wait(found))
        .or_else(|| decide_by_streak(found, criterion, statistics))
        .unwrap_or_else(|| decide_by_data(found, statistics))
}

fn distress(found: &Findings<'_>, pause: Option<Pause>) -> Reason {
    Reason::Distress { dates: found.window_dates(|row| row.distress), pause }
}

fn assent_withdrawn(found: &Findings<'_>, pause: Option<Pause>) -> Reason {
    Reason::AssentWithdrawn { dates: found.window_dates(|row| !row.assent), pause }
}

/// Rows 0 and 1.
fn decide_by_safety(found: &Findings<'_>) -> Option<(Decision, Reason)> {
    let harm = found.window_dates(|row| row.harm);
    if !harm.is_empty() {
        return Some((Decision::Pause, Reason::Harm { dates: harm }));
    }
    let affected = found.window.iter().filter(|row| row.distress || !row.assent).count();
    if affected < 2 {
        return None;
    }
    let pause = Some(Pause { affected, window: found.window.len() });
    let distressed = found.window.iter().any(|row| row.distress);
    Some((Decision::Pause, if distressed { distress(found, pause) } else { assent_withdrawn(found, pause) }))
}

/// Rows 2 and 3.
fn decide_by_low_scores(found: &Findings<'_>) -> Option<(Decision, Reason)> {
    if let Some(scores) = found.two_low() {
        let decision = if found.rung == 0 { Decision::BreakDown } else { Decision::StepBack };
        return Some((decision, Reason::TwoLowSessions { rung: found.rung, scores }));
    }
    let passed = found.passed.as_ref()?;
    let [.., older, newer] = passed.probes.as_slice() else { return None };
    (older.is_weak() && newer.is_weak()).then(|| {
        let scores = [older.score(), newer.score()];
        (Decision::StepBack, Reason::MaintenanceLost { rung: passed.rung, scores })
    })
}

/// Rows 4 and 5.
fn decide_to_wait(found: &Findings<'_>) -> Option<(Decision, Reason)> {
    if let Some(newest) = found.newest {
        let dates = vec![newest.date];
        if newest.distress {
            return Some((Decision::Hold, Reason::Distress { dates, pause: None }));
        }
        if !newest.assent {
            return Some((Decision::Hold, Reason::AssentWithdrawn { dates, pause: None }));
        }
    }
    let passed = found.passed.as_ref()?;
    let newest = passed.probes.last().filter(|row| row.is_weak())?;
    Some((Decision::Hold, Reason::MaintenanceLow { rung: passed.rung, score: newest.score() }))
}

/// Rows 6 to 9.
fn decide_by_streak(found: &Findings<'_>, criterion: Criterion, statistics: &Statistics) -> Option<(Decision, Reason)> {
    let streak = found.streak.len();
    let Some(newest) = found.streak.last() else {
        let flat = statistics.slope.filter(|slope| slope.low <= 0.0)?;
        let counted = found.counted.len();
        return (counted >= LONG)
            .then_some((Decision::BreakDown, Reason::Stalled { rung: found.rung, counted, low: flat.low }));
    };
    if streak < criterion.sessions {
        let needed = criterion.sessions;
        return Some((Decision::Hold, Reason::OneSessionShort { streak, needed, score: newest.score() }));
    }
    if found.streak_dates() >= criterion.dates {
        let scores = found.streak.iter().map(|row| row.score()).collect();
        return Some((Decision::Advance, Reason::CriterionMet { rung: found.rung, scores }));
    }
    Some((Decision::Hold, Reason::SameDaySessions { date: newest.date, streak }))
}

/// Counted sessions after which a trend is looked at. Convention.
const LONG: usize = 6;

/// Rows 10 to 12.
fn decide_by_data(found: &Findings<'_>, statistics: &Statistics) -> (Decision, Reason) {
    let counted = found.counted.len();
    let reason = match (found.counted.last(), statistics.slope) {
        (Some(_), Some(slope)) if counted >= LONG => Reason::Rising { counted, per_day: slope.per_day, low: slope.low },
        (Some(newest), _) if counted >= 2 => Reason::BetweenBounds { counted, score: newest.score() },
        _ => Reason::NotEnoughData { counted, rung: found.rung },
    };
    (Decision::Hold, reason)
}

/// What is told as well, whatever the decision.
fn also(found: &Findings<'_>, decision: Decision, today: Option<Date>, step_backs: &[u32]) -> Vec<Reason> {
    let mut reasons = Vec::new();
    let affected = found.pattern.iter().filter(|row| row.is_safety_event()).count();
    if affected >= 3 {
        reasons.push(Reason::DistressPattern { affected, of: found.pattern.len() });
    }
    if found.window.iter().any(|row| row.distress) {
        reasons.push(distress(found, None));
    }
    if found.window.iter().any(|row| !row.assent) {
        reasons.push(assent_withdrawn(found, None));
    }
    let times = step_backs.iter().filter(|rung| **rung == found.rung).count();
    if times + usize::from(decision == Decision::StepBack) >= 2 {
        reasons.push(Reason::BackAgain { rung: found.rung });
    }
    if !found.absent.is_empty() {
        reasons.push(Reason::DistractorAbsent { dates: found.absent.clone() });
    }
    let short: Vec<_> = found.live.iter().filter(|row| row.opportunities < COUNTED).map(|row| row.score()).collect();
    if !short.is_empty() {
        reasons.push(Reason::TooFewOpportunities { scores: short });
    }
    if let Some((from, to)) = found.gap {
        reasons.push(Reason::GapRestartsCount { from, to });
    }
    if found.counted.len() < 2 {
        reasons.push(Reason::NotEnoughData { counted: found.counted.len(), rung: found.rung });
    }
    if let Some((passed, due)) =
        found.passed.as_ref().zip(today).and_then(|(passed, today)| Some((passed, passed.due(today)?)))
    {
        reasons.push(Reason::MaintenanceDue { rung: passed.rung, due });
    }
    reasons
}
