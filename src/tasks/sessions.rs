//! Sessions into a case and out of it. A file is taken whole or not at all: every line is checked before one is stored.

use std::collections::BTreeMap;
use std::path::Path;

use jiff::Timestamp;
use jiff::civil::Date;

use crate::case::{Case, id_of};
use crate::contract::{RecordBody, SessionLineDoc, SessionsDoc};
use crate::practice::{self, DateForm, Form, Kind, Log, PracticeError, Session};
use crate::words::{did_you_mean, printable};

use super::cases::record;
use super::course::Course;
use super::files::Named;
use super::forecasts;
use super::refusal::Refusal;
use super::reviews;

/// The column that names the case in a file for several.
const ALIAS: &str = "alias";
/// Faults told at once.
const TOLD: usize = 12;
/// Minutes of a day.
const DAY_MINUTES: u32 = 1440;

/// How a file of sessions is taken.
#[derive(Clone, Copy, Debug)]
pub struct Taking {
    /// How its dates are written.
    pub dates: DateForm,
    /// Only say what would be stored.
    pub dry_run: bool,
    /// Today, where the user is.
    pub today: Date,
    /// Now.
    pub now: Timestamp,
}

/// What a session is likely to be, from the ones before: asked with these answers ready.
#[derive(Clone, Debug, PartialEq)]
pub struct Likely {
    /// The rung that the decision leads to.
    pub rung: u32,
    /// The ladder's last rung, where there is a ladder.
    pub top: Option<u32>,
    /// Opportunities.
    pub opportunities: u32,
    /// Minutes.
    pub minutes: Option<u32>,
    /// The task.
    pub task: Option<String>,
    /// The place.
    pub place: Option<String>,
    /// Who ran the last one.
    pub by: Option<String>,
    /// What was worked for.
    pub reinforcer: Option<String>,
    /// Things to rotate on that rung.
    pub exemplars: Vec<String>,
}

/// What the next session of a case is likely to be.
pub fn likely(folder: &Path, today: Date) -> Result<Likely, Refusal> {
    let practised = Course::read(Case::open(folder)?)?;
    let top = |task: Option<&str>, place: Option<&str>| {
        practised.ladder(task, place).and_then(|(_, body)| u32::try_from(body.plan.rungs.len()).ok())
    };
    let Some(last) = practised.log.sessions().last() else {
        let ladder = practised.ladders.last().map(|(_, body)| body);
        let task = ladder.and_then(|body| body.task.clone()).or(practised.tasks.last().map(|task| task.name.clone()));
        let place = ladder.map(|body| body.place.clone());
        return Ok(Likely {
            rung: 0,
            top: top(task.as_deref(), place.as_deref()),
            opportunities: 10,
            minutes: None,
            task,
            place,
            by: None,
            reinforcer: None,
            exemplars: Vec::new(),
        });
    };
    let answers = practised.answers_at_a_glance(today)?;
    let rung = answers.first().map_or(last.rung, |answer| {
        use practice::Decision::{Advance, StepBack};
        match answer.followed() {
            Advance if answer.top().is_none_or(|top| answer.review.rung < top) => answer.review.rung + 1,
            StepBack => answer.review.rung.saturating_sub(1),
            _ => answer.review.rung,
        }
    });
    let stage = answers.first().map(|answer| answer.stage(rung)).unwrap_or_default();
    Ok(Likely {
        rung,
        top: top(last.task.as_deref(), last.place.as_deref()),
        opportunities: stage.trials.unwrap_or(last.opportunities.max(1)),
        minutes: last.minutes,
        task: last.task.clone(),
        place: last.place.clone(),
        by: last.by.clone(),
        reinforcer: last.details.reinforcer.clone(),
        exemplars: stage.exemplars,
    })
}

/// Stores one session.
pub fn add(folder: &Path, session: Session, taking: &Taking) -> Result<SessionsDoc, Refusal> {
    let practised = Course::read(Case::open(folder)?)?;
    let rows = [(None, session)];
    let notices = check(&practised, &rows, None, taking.today)?;
    store(&practised, &rows, None, taking, notices)
}

/// Stores the sessions of a file.
pub fn import(folder: &Path, text: &Named<String>, taking: &Taking) -> Result<SessionsDoc, Refusal> {
    let practised = Course::read(Case::open(folder)?)?;
    let form = Form::of_spreadsheet(&text.content, taking.dates);
    let mut found = practice::parse_lines(&text.content, &text.name, &form).map_err(|fault| refused(text, &fault))?;
    one_case_only(text, &found, &practised.child.alias)?;
    let file = id_of(text.content.as_bytes());
    // An import that was interrupted is finished by giving the same file again.
    let before = read_before(&practised.case, &file)?;
    let all = found.sessions.len();
    found.sessions.retain(|(line, _)| !before.contains(line));
    if all == 0 {
        return Err(Refusal::new("no-session", format!("{}: no session in it", text.name)).at(text.name.clone()));
    }
    if found.sessions.is_empty() {
        return Err(Refusal::new(
            "session-faults",
            format!("{}: lines {}: these sessions are in the case already", text.name, lines(&before)),
        )
        .at(text.name.clone())
        .hint("nothing was stored; `stillroom case list DIR` shows them"));
    }
    let rows: Vec<(Option<usize>, Session)> =
        found.sessions.into_iter().map(|(line, session)| (Some(line), session)).collect();
    let mut notices = found.notices;
    if !before.is_empty() {
        notices.push(format!("lines {} were stored by an earlier try and are left as they are", lines(&before)));
    }
    notices.extend(check(&practised, &rows, Some(text), taking.today)?);
    store(&practised, &rows, Some(&file), taking, notices)
}

/// Stores the sittings of a filled sheet, each with its row; `source` stands for the sheet.
pub fn of_sheet(
    folder: &Path,
    source: &str,
    rows: Vec<(usize, Session)>,
    taking: &Taking,
) -> Result<SessionsDoc, Refusal> {
    let practised = Course::read(Case::open(folder)?)?;
    let new: Vec<(Option<usize>, Session)> = rows.into_iter().map(|(row, session)| (Some(row), session)).collect();
    let notices = check(&practised, &new, None, taking.today)?;
    store(&practised, &new, Some(source), taking, notices)
}

/// The sessions of a case as CSV, and how many.
pub fn export(folder: &Path) -> Result<(String, usize), Refusal> {
    let practised = Course::read(Case::open(folder)?)?;
    let mut sessions = practised.log.sessions().to_vec();
    for session in &mut sessions {
        session.further = vec![practised.child.alias.clone()];
    }
    let count = sessions.len();
    Ok((Log::with_further(sessions, vec![ALIAS.to_owned()]).to_csv(), count))
}

fn refused(text: &Named<String>, fault: &PracticeError) -> Refusal {
    let hint = match fault {
        PracticeError::Date { found, .. } if found.contains(['/', '.']) => {
            "say how dates are written: --date-form dmy (day first) or mdy (month first)"
        }
        _ => fault.hint(),
    };
    Refusal::new("log-faults", fault.to_string()).at(text.name.clone()).hint(format!("{hint}; nothing was stored"))
}

/// Refuses a file that holds sessions of another case.
fn one_case_only(text: &Named<String>, found: &practice::Lines, alias: &str) -> Result<(), Refusal> {
    let Some(column) = found.further.iter().position(|name| name.eq_ignore_ascii_case(ALIAS)) else { return Ok(()) };
    let other = |(line, session): &(usize, Session)| {
        let cell = session.further.get(column).map_or("", String::as_str);
        (!cell.is_empty() && cell != alias).then(|| {
            format!(
                "{}: line {line}, column `{ALIAS}`: `{}` is not this case, which is {alias}",
                text.name,
                printable(cell)
            )
        })
    };
    let faults: Vec<String> = found.sessions.iter().filter_map(other).collect();
    if faults.is_empty() { Ok(()) } else { Err(several(faults, Some(text))) }
}

fn several(mut faults: Vec<String>, text: Option<&Named<String>>) -> Refusal {
    let more = faults.len().saturating_sub(TOLD);
    faults.truncate(TOLD);
    if more > 0 {
        faults.push(format!("… and {more} more"));
    }
    let refusal = Refusal::new("session-faults", faults.join("\n"));
    match text {
        Some(text) => {
            refusal.at(text.name.clone()).hint("mend these lines and give the file again; nothing was stored")
        }
        None => refusal.hint("nothing was stored"),
    }
}

/// The lines of a file that are in the case already.
fn read_before(case: &Case, file: &str) -> Result<Vec<usize>, Refusal> {
    let found = case.read_kinds(|kind| kind == "session")?;
    let mut lines: Vec<usize> = found
        .records
        .iter()
        .filter_map(|stored| match &stored.record.body {
            RecordBody::Session(body) => {
                let (from, line) = body.details.read_from.as_deref()?.split_once(':')?;
                (from == file).then(|| line.parse().ok()).flatten()
            }
            _ => None,
        })
        .collect();
    lines.sort_unstable();
    lines.dedup();
    Ok(lines)
}

/// Line numbers in a sentence, runs of them shortened.
fn lines(numbers: &[usize]) -> String {
    let runs = numbers.chunk_by(|a, b| a + 1 == *b);
    let told: Vec<String> = runs
        .map(|run| match run {
            [first, .., last] => format!("{first}–{last}"),
            _ => run[0].to_string(),
        })
        .collect();
    told.join(", ")
}

/// What a session says about its sitting, whoever wrote it down.
fn sitting(session: &Session) -> String {
    let s = session;
    let details = &s.details;
    format!(
        "{} {} {} {} {} {} {} {} {} {} {:?} {:?} {:?} {:?} {:?} {:?}",
        s.date,
        s.rung,
        s.opportunities,
        s.independent,
        s.prompted,
        s.errors,
        s.distress,
        s.assent,
        s.distractor_on,
        s.after,
        s.minutes,
        s.note,
        s.task,
        s.place,
        s.exemplar,
        details.time
    )
}

/// Refuses what cannot be, and gives what should be looked at.
fn check(
    practised: &Course,
    rows: &[(Option<usize>, Session)],
    text: Option<&Named<String>>,
    today: Date,
) -> Result<Vec<String>, Refusal> {
    let born = practised.child.born.as_deref().and_then(|month| format!("{month}-01").parse::<Date>().ok());
    let mut seen: BTreeMap<String, Option<usize>> = BTreeMap::new();
    for session in practised.log.sessions() {
        seen.insert(sitting(session), None);
    }
    let mut faults = Vec::new();
    for (line, session) in rows {
        let at = match (line, text) {
            (Some(line), Some(text)) => format!("{}: line {line}", text.name),
            _ => "this session".to_owned(),
        };
        let mut fault = |column: &str, why: String| faults.push(format!("{at}, column `{column}`: {why}"));
        if session.date > today {
            fault("date", format!("{} has not come yet; today is {today}", session.date));
        }
        if born.is_some_and(|born| session.date < born) {
            fault("date", format!("{} is before the child's month of birth", session.date));
        }
        if !session.adds_up() {
            fault(
                "opportunities",
                format!(
                    "{} independent, {} prompted and {} errors are more than {} opportunities",
                    session.independent, session.prompted, session.errors, session.opportunities
                ),
            );
        }
        if session.minutes.is_some_and(|minutes| minutes > DAY_MINUTES) {
            fault("minutes", "it is longer than a day".to_owned());
        }
        if session.details.prompts.is_some_and(|prompts| prompts.sum() != u64::from(session.prompted)) {
            fault("prompted", "the prompts by level do not add up to the prompted answers".to_owned());
        }
        let ladder = practised.ladder(session.task.as_deref(), session.place.as_deref());
        if let Some(top) = ladder.map(|(_, body)| body.plan.rungs.len())
            && u64::from(session.rung) > top as u64
        {
            fault("rung", format!("the ladder has no rung {}; its last is {top}", session.rung));
        }
        match seen.insert(sitting(session), *line) {
            Some(Some(before)) => fault("date", format!("the same session stands on line {before}")),
            Some(None) => fault("date", "this session is in the case already".to_owned()),
            None => {}
        }
    }
    if !faults.is_empty() {
        let twice = faults.iter().any(|fault| fault.contains("same session") || fault.contains("already"));
        let refusal = several(faults, text);
        return Err(if twice {
            refusal.hint(
                "nothing was stored; two sittings that went alike differ by their `time`, and a second person's log of the same sessions is compared with `stillroom agree`",
            )
        } else {
            refusal
        });
    }
    Ok(notices(practised, rows))
}

fn notices(practised: &Course, rows: &[(Option<usize>, Session)]) -> Vec<String> {
    let mut found = Vec::new();
    let mut once = |text: String| {
        if !found.contains(&text) {
            found.push(text);
        }
    };
    let known = |name: fn(&Session) -> Option<&String>| -> Vec<String> {
        practised.log.sessions().iter().filter_map(name).cloned().collect()
    };
    let mut tasks = known(|session| session.task.as_ref());
    tasks.extend(practised.tasks.iter().map(|task| task.name.clone()));
    let mut places = known(|session| session.place.as_ref());
    places.extend(practised.ladders.iter().map(|(_, body)| body.place.clone()));
    for (_, session) in rows {
        for (word, name, all) in [("task", &session.task, &tasks), ("place", &session.place, &places)] {
            if let Some(name) = name
                && !all.is_empty()
                && !all.contains(name)
            {
                let meant = did_you_mean(name, all.iter().map(String::as_str));
                once(format!("the {word} `{}` is new in this case{meant}", printable(name)));
            }
        }
        if practised.ladder(session.task.as_deref(), session.place.as_deref()).is_none() && session.rung > 0 {
            once(format!(
                "no ladder is stored for {}, so its rungs cannot be checked",
                reviews::what_where(session.task.as_deref(), session.place.as_deref())
            ));
        }
        if session.kind() == Kind::Cleared {
            once(
                "a note lifts no pause in a case; a clinician's decision does (`stillroom decide --lift-pause`)"
                    .to_owned(),
            );
        }
    }
    found
}

fn store(
    practised: &Course,
    rows: &[(Option<usize>, Session)],
    file: Option<&str>,
    taking: &Taking,
    notices: Vec<String>,
) -> Result<SessionsDoc, Refusal> {
    let mut sessions = Vec::new();
    for (at, (line, session)) in rows.iter().enumerate() {
        let mut body = reviews::body(session);
        body.details.read_from = file.zip(*line).map(|(file, line)| format!("{file}:{line}"));
        // A millisecond a line keeps the order of a file's sittings within a day.
        let step = i64::try_from(at).unwrap_or(0);
        let written = taking.now.checked_add(jiff::SignedDuration::from_millis(step)).unwrap_or(taking.now);
        let by = session.by.as_deref();
        let new = record(RecordBody::Session(body), &session.date.to_string(), by, written);
        let id = if taking.dry_run { None } else { Some(practised.case.add(&new)?.id) };
        sessions.push(line_doc(*line, session, id));
    }
    if !taking.dry_run {
        let last = i64::try_from(rows.len()).unwrap_or(0);
        let after = taking.now.checked_add(jiff::SignedDuration::from_millis(last)).unwrap_or(taking.now);
        forecasts::foretell_all(practised.case.folder(), taking.today, after);
    }
    Ok(SessionsDoc { alias: practised.child.alias.clone(), dry_run: taking.dry_run, sessions, notices })
}

fn line_doc(line: Option<usize>, session: &Session, id: Option<String>) -> SessionLineDoc {
    SessionLineDoc {
        line,
        id,
        date: session.date.to_string(),
        rung: session.rung,
        opportunities: session.opportunities,
        independent: session.independent,
        prompted: session.prompted,
        errors: session.errors,
        distress: session.was_distressed(),
        assent: session.assent,
        kind: session.kind().word().to_owned(),
        task: session.task.clone(),
        place: session.place.clone(),
    }
}
