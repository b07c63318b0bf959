//! The decision after the sessions so far, from a bare log or from a case.

use std::path::Path;

use jiff::Timestamp;
use jiff::civil::Date;

use crate::case::{Case, Stored};
use crate::contract::{
    BaselineDoc, NoteDoc, RecordBody, ReviewDoc, SessionBody, SlopeDoc, StatisticsDoc, ToleranceDoc,
};
use crate::practice::{self, Log, Options, PracticeError, Review, Session};
use crate::words::printable;

use super::cases::day;
use super::files::Named;
use super::practised;
use super::refusal::Refusal;

/// Reviews a session log. `on` is the day to decide for, else the log's newest.
pub fn from_log(text: &Named<String>, on: Option<&str>) -> Result<ReviewDoc, Refusal> {
    let log = read_log(text)?;
    let today = on.map(read_date).transpose()?;
    Ok(document(&practice::review(&log, &Options { today, ..Options::bare() })))
}

/// Reviews the sessions of a case for today, or for the day given.
pub fn from_case(folder: &Path, on: Option<&str>, now: Timestamp) -> Result<ReviewDoc, Refusal> {
    let case = Case::open(folder)?;
    let today = read_date(on.unwrap_or(&day(now)))?;
    let Some(review) = practised::in_case(&case, today)?.review else {
        return Err(Refusal::new("no-session", "the case holds no session yet")
            .hint("practise first; a log kept elsewhere is reviewed with `stillroom review --log FILE.csv`"));
    };
    Ok(document(&review))
}

/// The review of a case's log: sittings of a day are added up, and a note never lifts a pause.
pub fn in_case(log: &Log, today: Date) -> Review {
    practice::review(log, &Options { step_backs: practice::step_backs(log), ..Options::in_case(today, None) })
}

/// Reads a session log.
pub fn read_log(text: &Named<String>) -> Result<Log, Refusal> {
    practice::parse(&text.content, &text.name).map_err(|fault: PracticeError| {
        Refusal::new("log-faults", fault.to_string())
            .at(text.name.clone())
            .hint("mend this line and try again; nothing was stored")
    })
}

/// The sessions of a case, by day, those of one day in the order they were written.
pub fn sessions(case: &Case) -> Result<Vec<Session>, Refusal> {
    let found = case.standing(|kind| kind == "session")?;
    Ok(found.records.iter().filter_map(session).collect())
}

pub(super) fn session(stored: &Stored) -> Option<Session> {
    let RecordBody::Session(body) = &stored.record.body else { return None };
    Some(Session {
        date: stored.name.date,
        rung: body.rung,
        opportunities: body.opportunities,
        independent: body.independent,
        prompted: body.prompted,
        errors: body.errors,
        distress: body.distress,
        assent: body.assent,
        distractor_on: body.distractor_on,
        minutes: body.minutes,
        note: body.note.clone(),
        task: body.task.clone(),
        place: body.place.clone(),
        by: stored.record.by.clone(),
        exemplar: body.exemplar.clone(),
        after: body.after,
        further: Vec::new(),
    })
}

/// A session as it is stored.
pub fn body(session: &Session) -> SessionBody {
    SessionBody {
        rung: session.rung,
        opportunities: session.opportunities,
        independent: session.independent,
        prompted: session.prompted,
        errors: session.errors,
        distress: session.distress,
        assent: session.assent,
        distractor_on: session.distractor_on,
        minutes: session.minutes,
        note: session.note.clone(),
        task: session.task.clone(),
        place: session.place.clone(),
        exemplar: session.exemplar.clone(),
        after: session.after,
    }
}

/// An ISO date.
pub fn read_date(text: &str) -> Result<Date, Refusal> {
    text.parse().map_err(|_| {
        Refusal::new("date", format!("`{}` is no date", printable(text))).hint("give a date such as 2026-11-20")
    })
}

/// A review as programs read it.
pub fn document(review: &Review) -> ReviewDoc {
    let figures = &review.statistics;
    ReviewDoc {
        rung: review.rung,
        decision: review.decision.word().to_owned(),
        reasons: review.reasons.iter().map(|reason| NoteDoc::new(reason.code(), reason.text())).collect(),
        statistics: StatisticsDoc {
            sessions: figures.sessions,
            counted: figures.counted,
            streak: figures.streak,
            share_mean: figures.share_mean,
            slope: figures.slope.as_ref().map(|slope| SlopeDoc {
                per_day: slope.per_day,
                low: slope.low,
                high: slope.high,
            }),
            baseline: figures.baseline.as_ref().map(|baseline| BaselineDoc {
                n: baseline.n,
                nap: Some(baseline.nap),
                nap_low: Some(baseline.nap_low),
                nap_high: Some(baseline.nap_high),
                tau: Some(baseline.tau),
                tau_u: Some(baseline.tau_u),
                tau_bc: Some(baseline.tau_bc),
                trend_p: Some(baseline.trend_p),
                corrected: Some(baseline.corrected),
                mean_difference: Some(baseline.mean_difference),
                log_response_ratio: baseline.log_response_ratio,
                lrr_se: baseline.lrr_se,
            }),
        },
        tolerance: review.tolerance.as_ref().map(|tolerance| ToleranceDoc {
            axis: tolerance.axis.word().to_owned(),
            trials: tolerance.trials,
            half: tolerance.half,
            sd: tolerance.sd,
            low: tolerance.low,
            high: tolerance.high,
            next_share: tolerance.next_share,
            enough: tolerance.enough,
        }),
    }
}
