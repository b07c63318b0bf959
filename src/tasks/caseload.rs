//! All cases of a clinician at a glance: what the sessions of each say today, what is due, what is missing.
//!
//! The kind of a record stands in its file's name, so only children, sessions and decisions are read. Cases are read side
//! by side on all processors.

use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

use jiff::Timestamp;
use jiff::civil::Date;

use crate::case::{Case, CaseFault, Kinds, folders_in};
use crate::contract::{CaseloadDoc, CaseloadEntryDoc, LastDecisionDoc, NoteDoc, RecordBody, UnreadableDoc};
use crate::evidence::Record;
use crate::language::Speaker;
use crate::practice::{self, Decision, Look};
use crate::report::{self, Doorstep};

use super::cases::day;
use super::course::{Answer, Course};
use super::files::{short_name, shown};
use super::forecasts;
use super::refusal::Refusal;
use super::reviews;

/// Days without a session after which somebody should ask. Convention.
const QUIET_DAYS: i64 = 7;
/// Days without a session after which a case counts as resting, and asks for nothing. Convention.
const RESTING_DAYS: i64 = 60;

const TODAY: &str = "today";
const THIS_WEEK: &str = "this week";
const FINE: &str = "fine";

/// One case as it was read.
struct Read {
    entry: CaseloadEntryDoc,
    looks: Vec<Look>,
    left_out: Vec<UnreadableDoc>,
    record: Record,
}

/// Reads every case of a folder, for that day or today.
pub fn caseload(folder: &Path, on: Option<&str>, now: Timestamp) -> Result<CaseloadDoc, Refusal> {
    Ok(read(folder, on, now, false)?.0)
}

/// The same, with the day's pile: one sheet a case, as one HTML file.
pub fn pile(
    folder: &Path,
    on: Option<&str>,
    speaker: &Speaker,
    now: Timestamp,
) -> Result<(CaseloadDoc, String), Refusal> {
    let (doc, looks) = read(folder, on, now, true)?;
    let made_on = on.map_or_else(|| day(now), ToOwned::to_owned);
    let sheets: Vec<Doorstep<'_>> = doc
        .cases
        .iter()
        .zip(&looks)
        .map(|(entry, looks)| Doorstep {
            entry,
            looks: looks.iter().map(|look| (look.text, look.seen.as_deref())).collect(),
        })
        .collect();
    let html = report::doorsteps(&sheets, &made_on, speaker);
    Ok((doc, html))
}

/// What is due in one case, in sentences; nothing when it cannot be read.
pub(super) fn due_in(folder: &Path, today: Date) -> Vec<String> {
    one(folder, today, None, false)
        .map(|read| read.entry.why.into_iter().map(|note| note.text).collect())
        .unwrap_or_default()
}

fn read(
    folder: &Path,
    on: Option<&str>,
    now: Timestamp,
    with_looks: bool,
) -> Result<(CaseloadDoc, Vec<Vec<Look>>), Refusal> {
    let today = reviews::read_date(on.unwrap_or(&day(now)))?;
    let folders = cases_in(folder)?;
    let next = AtomicUsize::new(0);
    let read: Mutex<Vec<(usize, Result<Read, UnreadableDoc>)>> = Mutex::new(Vec::with_capacity(folders.len()));
    let until = on.is_some().then_some(today);
    let work = || {
        while let Some((at, folder)) = {
            let at = next.fetch_add(1, Ordering::Relaxed);
            folders.get(at).map(|folder| (at, folder))
        } {
            let one = one(folder, today, until, with_looks);
            // A thread that panicked while it held the lock pushed nothing half.
            read.lock().unwrap_or_else(std::sync::PoisonError::into_inner).push((at, one));
        }
    };
    std::thread::scope(|scope| {
        for _ in 1..std::thread::available_parallelism().map_or(1, usize::from) {
            scope.spawn(work);
        }
        work();
    });
    let mut read = read.into_inner().unwrap_or_else(std::sync::PoisonError::into_inner);
    read.sort_by_key(|(at, _)| *at);
    let mut cases = Vec::new();
    let mut unreadable = Vec::new();
    let mut record = Record::default();
    for (_, one) in read {
        match one {
            Ok(one) => {
                record = record.plus(one.record);
                unreadable.extend(one.left_out);
                cases.push((one.entry, one.looks));
            }
            Err(fault) => unreadable.push(fault),
        }
    }
    cases.sort_by(|(a, _), (b, _)| rank(a).cmp(&rank(b)));
    let (cases, looks) = cases.into_iter().unzip();
    let forecasts = (record.forecasts > 0).then(|| forecasts::record_doc(&record));
    Ok((CaseloadDoc { cases, unreadable, forecasts }, looks))
}

/// The case folders in a folder.
pub(super) fn cases_in(folder: &Path) -> Result<Vec<PathBuf>, Refusal> {
    const AROUND: &str = "name the folder that holds the case folders; `stillroom case show DIR` shows a single case";
    let folders = folders_in(folder).map_err(|fault| Refusal::from(fault).hint(AROUND))?;
    if folders.is_empty() && Case::open(folder).is_ok() {
        let text = format!("{} is a case itself", self::shown(folder));
        return Err(Refusal::new("one-case", text).at(self::shown(folder)).hint(AROUND));
    }
    Ok(folders)
}

/// Who needs a person today first; within a day a pause first, then who has waited longest; names last.
fn rank(entry: &CaseloadEntryDoc) -> (usize, bool, i64, &str, &str) {
    let due = place(&entry.due);
    let paused = entry.decision.as_deref() == Some(Decision::Pause.word());
    (due, !paused, -entry.days_since.unwrap_or(0), &entry.alias, &entry.folder)
}

/// How soon, the soonest first.
fn place(due: &str) -> usize {
    [TODAY, THIS_WEEK, FINE].iter().position(|one| *one == due).unwrap_or(0)
}

fn one(folder: &Path, today: Date, until: Option<Date>, with_looks: bool) -> Result<Read, UnreadableDoc> {
    let name = short_name(folder);
    let fault = |fault: &CaseFault| UnreadableDoc { name: name.clone(), text: fault.to_string() };
    let case = Case::open_damaged(folder).map_err(|error| fault(&error))?;
    let (kinds, mut found) =
        case.overview(|kind| kind == "child" || Course::KINDS.contains(&kind)).map_err(|error| fault(&error))?;
    let left_out: Vec<UnreadableDoc> = found
        .left_out
        .iter()
        .map(|one| UnreadableDoc { name: format!("{name}/{}", one.file_name()), text: one.to_string() })
        .collect();
    let child = found.records.iter().rev().find_map(|stored| match &stored.record.body {
        RecordBody::Child(child) => Some(child.clone()),
        _ => None,
    });
    let Some(child) = child else {
        let text = match left_out.iter().find(|one| one.name.contains("-child-")) {
            Some(damaged) => damaged.text.clone(),
            None => CaseFault::NotACase(folder.to_owned()).to_string(),
        };
        return Err(UnreadableDoc { name, text });
    };
    // As of an earlier day: what was practised and decided since is not looked at, and that is said.
    let all = found.records.len();
    found.records.retain(|stored| {
        let dated = matches!(stored.record.body, RecordBody::Session(_) | RecordBody::Decision(_));
        !dated || until.is_none_or(|until| stored.name.date <= until)
    });
    let later = all - found.records.len();
    let course = Course::of(case, child, found.records);
    let answers = course.answers_at_a_glance(today).map_err(|refusal| UnreadableDoc { name, text: refusal.message })?;
    let days_since = course.log.newest_date().map(|last| today.duration_since(last).as_hours() / 24);
    let missing = missing(&kinds, &course);
    // Of several tasks and places the case shows the one that needs a person first; of equals the one practised last.
    let mut shown: Option<(&Answer<'_>, (&'static str, Vec<NoteDoc>))> = None;
    for answer in &answers {
        let due = due(Some(answer), days_since, &missing);
        if shown.as_ref().is_none_or(|(_, best)| place(due.0) < place(best.0)) {
            shown = Some((answer, due));
        }
    }
    let (answer, due) = shown.map_or_else(|| (None, due(None, days_since, &missing)), |(one, due)| (Some(one), due));
    let looks = match answer {
        Some(answer) if with_looks => practice::stuck(&answer.group.log, &answer.review, Some(today)),
        _ => Vec::new(),
    };
    let mut due = due;
    if later > 0 {
        let text = if later == 1 {
            format!("1 session or decision after {today} was not looked at.")
        } else {
            format!("{later} sessions or decisions after {today} were not looked at.")
        };
        due.1.push(NoteDoc::new("later-left-out", text));
    }
    let record = answers.iter().map(|answer| forecasts::record_of(&course, &answer.group));
    let record = record.fold(Record::default(), Record::plus);
    let mut entry = entry(folder, &course, answer, due, missing, days_since);
    entry.forecasts = (record.forecasts > 0).then(|| forecasts::record_doc(&record));
    Ok(Read { entry, looks, left_out, record })
}

fn entry(
    folder: &Path,
    course: &Course,
    answer: Option<&Answer<'_>>,
    (due, why): (&'static str, Vec<NoteDoc>),
    missing: Vec<NoteDoc>,
    days_since: Option<i64>,
) -> CaseloadEntryDoc {
    CaseloadEntryDoc {
        alias: course.child.alias.clone(),
        rung: answer.map(|answer| answer.review.rung),
        last_session: course.log.newest_date().map(|day| day.to_string()),
        decision: answer.map(|answer| answer.review.decision.word().to_owned()),
        due: due.to_owned(),
        why,
        missing,
        days_since,
        last_decision: course.decisions.last().map(|decided| LastDecisionDoc {
            decision: decided.body.decision.clone(),
            rung: decided.body.rung,
            date: decided.date.to_string(),
            signed_by: decided.body.signed_by.clone(),
        }),
        folder: self::shown(folder),
        forecasts: None,
    }
}

/// What a case has not got yet.
fn missing(kinds: &Kinds, course: &Course) -> Vec<NoteDoc> {
    let child = &course.child;
    let mut missing = Vec::new();
    for (kind, text) in [
        ("task", "No task says what counts as right."),
        ("audit", "No audit says how the room is."),
        ("ladder", "No ladder says what comes next."),
    ] {
        if kinds.count(kind) == 0 {
            missing.push(NoteDoc::new(format!("no-{kind}"), text));
        }
    }
    if course.log.sessions().is_empty() {
        missing.push(NoteDoc::new("no-session", "Nothing was practised yet."));
    }
    if child.sound_sensitive == "not asked" || child.hearing_checked == "not asked" {
        missing.push(NoteDoc::new("not-asked", "Sound and hearing have not been asked about."));
    }
    missing
}

/// When somebody has to look, and why.
fn due(answer: Option<&Answer<'_>>, days_since: Option<i64>, missing: &[NoteDoc]) -> (&'static str, Vec<NoteDoc>) {
    let Some(answer) = answer else {
        let why = missing.iter().filter(|one| one.code != "not-asked").cloned().collect::<Vec<_>>();
        return (if why.is_empty() { FINE } else { THIS_WEEK }, why);
    };
    let review = &answer.review;
    let reasons = || review.reasons.iter().map(|reason| NoteDoc::new(reason.code(), reason.text()));
    // A person has decided on what the newest session says, be it otherwise than the rules propose.
    let decided = answer.decided.is_some();
    match review.decision {
        // A pause stays due until a signed decision lifts it: nobody may forget it.
        Decision::Pause => return (TODAY, reasons().collect()),
        Decision::Advance | Decision::StepBack | Decision::BreakDown if !decided => {
            return (TODAY, reasons().collect());
        }
        _ => {}
    }
    let mut why: Vec<NoteDoc> =
        reasons().filter(|one| one.code == "maintenance-due" || one.code == "distress-pattern").collect();
    if let Some(days) = days_since.filter(|days| (QUIET_DAYS + 1..=RESTING_DAYS).contains(days)) {
        why.push(NoteDoc::new("quiet", format!("No session for {days} days: ask how it goes.")));
    }
    why.extend(missing.iter().filter(|one| one.code == "no-ladder" || one.code == "no-task").cloned());
    (if why.is_empty() { FINE } else { THIS_WEEK }, why)
}
