//! The decision after the sessions so far, from a bare log or from a case.

use std::path::Path;

use jiff::civil::Date;

use crate::case::{Case, Stored};
use crate::contract::{
    BaselineDoc, ChancesDoc, DetailsBody, NoteDoc, PromptsBody, RecordBody, ReviewDoc, SessionBody, SlopeDoc,
    SmallerDoc, StatisticsDoc, ToleranceDoc,
};
use crate::practice::{
    self, Criterion, Decision, Details, Log, Options, PracticeError, Prompts, Review, Session, Smaller, Tolerance,
};
use crate::report::SessionPoint;
use crate::words::printable;

use super::course::{self, Answer, Course};
use super::files::Named;
use super::forecasts;
use super::refusal::Refusal;

/// How a review is asked for.
#[derive(Clone, Debug, Default)]
pub struct Asked {
    /// The day to decide for; left out: the log's newest, in a case today.
    pub on: Option<String>,
    /// Another rule of mastery than the one set there, such as `80x3`.
    pub criterion: Option<String>,
    /// Whether to tell how often the rule would move a child up or back.
    pub explain: bool,
    /// One task only.
    pub task: Option<String>,
    /// One place only.
    pub place: Option<String>,
}

/// Sessions within which the rule is tried for `--explain`.
const EXPLAINED: u32 = 12;
/// Shares of right answers alone that it is tried for.
const SHARES: [f64; 3] = [0.7, 0.8, 0.9];
/// Opportunities of a sitting where no ladder tells.
const OPPORTUNITIES: u32 = 10;

/// The answers, and the sessions that each is drawn from, in the same order.
#[derive(Clone, Debug)]
pub struct Reviewed {
    /// The answers.
    pub doc: ReviewDoc,
    /// What a graph of each needs.
    pub graphs: Vec<Graph>,
}

/// What a graph needs.
#[derive(Clone, Debug)]
pub struct Graph {
    /// The sessions.
    pub points: Vec<SessionPoint>,
    /// The share that passes, 0 to 1.
    pub criterion: f64,
}

impl Graph {
    fn of(log: &Log, criterion: Criterion) -> Self {
        let points = log.sessions().iter().map(super::reports::point).collect();
        Self { points, criterion: criterion.tenths as f64 / 10.0 }
    }
}

/// Reviews a session log.
pub fn from_log(text: &Named<String>, asked: &Asked) -> Result<Reviewed, Refusal> {
    let log = read_log(text)?;
    let today = asked.on.as_deref().map(read_date).transpose()?;
    let rule = asked.criterion.as_deref().map(read_criterion).transpose()?;
    let criterion = rule.unwrap_or_default();
    let options = Options { today, criterion, ..Options::bare() };
    let (mut docs, mut graphs) = (Vec::new(), Vec::new());
    let groups = practice::groups(&log);
    for group in wanted(&groups, asked, |group| (group.task.as_deref(), group.place.as_deref()))? {
        let review = practice::review_within(&group.log, &log, &options);
        let mut doc = document(&review);
        doc.task.clone_from(&group.task);
        doc.place.clone_from(&group.place);
        doc.criterion = Some(course::rule_doc(criterion, None));
        doc.tomorrow = practice::tomorrow(&review, review.decision, &group.log, None, &|_| practice::Stage::default());
        if stuck(review.decision) {
            doc.smaller = steps(&practice::smaller(None, &practice::Task::default(), &group.log));
        }
        if asked.explain {
            doc.chances = chances(criterion, OPPORTUNITIES);
        }
        docs.push(doc);
        graphs.push(Graph::of(&group.log, criterion));
    }
    // A log without a session has one answer as well: there is nothing to decide from yet.
    let doc = first_with_others(docs).unwrap_or_else(|| document(&practice::review(&log, &options)));
    Ok(Reviewed { doc, graphs })
}

/// Reviews the sessions of a case for today, or for the day given.
pub fn from_case(folder: &Path, asked: &Asked, today: Date) -> Result<Reviewed, Refusal> {
    let today = asked.on.as_deref().map_or(Ok(today), read_date)?;
    let practised = Course::read(Case::open(folder)?)?;
    let rule = asked.criterion.as_deref().map(read_criterion).transpose()?;
    answers(&practised, asked, rule, today)
}

/// The answers of a case.
pub fn answers(practised: &Course, asked: &Asked, rule: Option<Criterion>, today: Date) -> Result<Reviewed, Refusal> {
    let all = match rule {
        Some(rule) => practised.answers_under(rule, today)?,
        None => practised.answers(today)?,
    };
    let name = |answer: &&Answer<'_>| -> (Option<String>, Option<String>) {
        (answer.group.task.clone(), answer.group.place.clone())
    };
    let kept: Vec<&Answer<'_>> = all
        .iter()
        .filter(|answer| {
            let (task, place) = name(answer);
            (asked.task.is_none() || task == asked.task) && (asked.place.is_none() || place == asked.place)
        })
        .collect();
    let docs: Vec<ReviewDoc> = kept.iter().map(|answer| answer_doc(practised, answer, asked.explain)).collect();
    let graphs = kept.iter().map(|answer| Graph::of(&answer.group.log, answer.criterion)).collect();
    let doc = first_with_others(docs).ok_or_else(|| no_such(asked, all.iter().map(|answer| name(&answer))))?;
    Ok(Reviewed { doc, graphs })
}

/// One answer as programs read it.
pub fn answer_doc(practised: &Course, answer: &Answer<'_>, explain: bool) -> ReviewDoc {
    let mut doc = document(&answer.review);
    doc.task.clone_from(&answer.group.task);
    doc.place.clone_from(&answer.group.place);
    doc.criterion = Some(answer.rule());
    doc.decided = answer.decided_doc();
    doc.tomorrow = answer.tomorrow();
    doc.forecasts = forecasts::document(practised, &answer.group);
    doc.cautions.extend(forecasts::no_better(&forecasts::record_of(practised, &answer.group)));
    let too_far = answer.review.tolerance.as_ref().is_some_and(|found| found.enough && found.next_share < 0.5);
    doc.replan_max_step = answer.next_step().filter(|_| too_far).map(|step| step / 2.0);
    let again = doc.reasons.iter().any(|reason| reason.code == "back-again");
    if stuck(answer.followed()) || again {
        doc.smaller = steps(&answer.smaller(&practised.tasks));
    }
    if explain {
        let trials = answer.stage(answer.review.rung).trials.unwrap_or(OPPORTUNITIES).max(OPPORTUNITIES);
        doc.chances = chances(answer.criterion, trials);
    }
    doc
}

fn wanted<'a, T>(
    all: &'a [T],
    asked: &Asked,
    name: impl Fn(&T) -> (Option<&str>, Option<&str>),
) -> Result<Vec<&'a T>, Refusal> {
    let found: Vec<&T> = all
        .iter()
        .filter(|one| {
            let (task, place) = name(one);
            (asked.task.is_none() || task == asked.task.as_deref())
                && (asked.place.is_none() || place == asked.place.as_deref())
        })
        .collect();
    if found.is_empty() && !all.is_empty() {
        let names = all.iter().map(|one| {
            let (task, place) = name(one);
            (task.map(ToOwned::to_owned), place.map(ToOwned::to_owned))
        });
        return Err(no_such(asked, names));
    }
    Ok(found)
}

fn no_such(asked: &Asked, names: impl Iterator<Item = (Option<String>, Option<String>)>) -> Refusal {
    let there: Vec<String> = names.map(|(task, place)| what_where(task.as_deref(), place.as_deref())).collect();
    let given = what_where(asked.task.as_deref(), asked.place.as_deref());
    Refusal::new("no-such-practice", format!("no session of {given}"))
        .hint(format!("practised so far: {}", there.join("; ")))
}

/// A task and place in words.
pub fn what_where(task: Option<&str>, place: Option<&str>) -> String {
    match (task, place) {
        (Some(task), Some(place)) => format!("{} at {}", printable(task), printable(place)),
        (Some(one), None) | (None, Some(one)) => printable(one),
        (None, None) => "no named task or place".to_owned(),
    }
}

fn first_with_others(mut docs: Vec<ReviewDoc>) -> Option<ReviewDoc> {
    if docs.is_empty() {
        return None;
    }
    let mut first = docs.remove(0);
    first.others = docs;
    Some(first)
}

fn stuck(decision: Decision) -> bool {
    matches!(decision, Decision::BreakDown | Decision::StepBack)
}

/// Smaller steps as programs read them.
pub fn steps(found: &[Smaller]) -> Vec<SmallerDoc> {
    found.iter().map(|one| SmallerDoc { kind: one.kind.to_owned(), text: one.text.clone() }).collect()
}

fn chances(criterion: Criterion, opportunities: u32) -> Vec<ChancesDoc> {
    let under = |share| practice::chances(criterion, opportunities, share, EXPLAINED);
    let doc = |found: practice::Chances| ChancesDoc {
        share: found.share,
        sessions: EXPLAINED,
        opportunities,
        up: found.up,
        back: found.back,
        stays: found.stays,
    };
    SHARES.into_iter().filter_map(under).map(doc).collect()
}

/// A rule of mastery: percent of right answers alone, `x`, sessions in a row, and if wanted `/` and different days.
pub fn read_criterion(text: &str) -> Result<Criterion, Refusal> {
    let fault = || {
        Refusal::new("criterion", format!("`{}` is no rule of mastery", printable(text))).hint(
            "give 90x2 (nine tenths in two sessions), 80x3, or 80x3/2 with the number of different days; percent is a multiple of ten from 60 to 100",
        )
    };
    let (percent, rest) = text.split_once('x').ok_or_else(fault)?;
    let (sessions, dates) = rest.split_once('/').map_or((rest, None), |(sessions, dates)| (sessions, Some(dates)));
    let number = |text: &str| text.parse::<usize>().ok().filter(|_| text.bytes().all(|digit| digit.is_ascii_digit()));
    let percent: u64 = percent.parse().ok().filter(|percent| percent % 10 == 0).ok_or_else(fault)?;
    let sessions = number(sessions).filter(|sessions| (1..=10).contains(sessions)).ok_or_else(fault)?;
    let dates = match dates {
        Some(dates) => number(dates).filter(|dates| (1..=sessions).contains(dates)).ok_or_else(fault)?,
        None => sessions.min(2),
    };
    let rule = Criterion { tenths: percent / 10, sessions, dates };
    if (6..=10).contains(&rule.tenths) { Ok(rule) } else { Err(fault()) }
}

/// The review of a log as a case without decisions gives it: sittings of a day are added up, and a note never lifts a
/// pause.
pub fn in_case(log: &Log, today: Date) -> Review {
    practice::review(log, &Options { step_backs: practice::step_backs(log), ..Options::in_case(today, None) })
}

/// The sessions of a case that stand, by day, those of one day in the order they were written.
pub fn sessions(case: &Case) -> Result<Vec<Session>, Refusal> {
    let found = case.standing(|kind| kind == "session")?;
    Ok(found.records.iter().filter_map(session).collect())
}

/// Reads a session log.
pub fn read_log(text: &Named<String>) -> Result<Log, Refusal> {
    practice::parse(&text.content, &text.name).map_err(|fault: PracticeError| {
        Refusal::new("log-faults", fault.to_string())
            .at(text.name.clone())
            .hint(format!("{}; nothing was stored", fault.hint()))
    })
}

/// A stored session.
pub fn session(stored: &Stored) -> Option<Session> {
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
        details: Details {
            time: body.details.time.clone(),
            prompts: body.details.prompts.map(|one| Prompts::of([one.gesture, one.model, one.partial, one.full])),
            attention_s: body.details.attention_s,
            latency_s: body.details.latency_s,
            breaks: body.details.breaks,
            reinforcer: body.details.reinforcer.clone(),
            observer: body.details.observer.clone(),
            lifted: false,
            written: stored.record.written.parse().ok(),
        },
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
        details: details_body(&session.details),
    }
}

fn details_body(details: &Details) -> DetailsBody {
    DetailsBody {
        time: details.time.clone(),
        prompts: details.prompts.map(|one| PromptsBody {
            gesture: one.gesture,
            model: one.model,
            partial: one.partial,
            full: one.full,
        }),
        attention_s: details.attention_s,
        latency_s: details.latency_s,
        breaks: details.breaks,
        reinforcer: details.reinforcer.clone(),
        observer: details.observer.clone(),
        read_from: None,
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
        tolerance: review.tolerance.as_ref().map(tolerance_doc),
        tolerance_by_channel: review.tolerance_by_channel.iter().map(tolerance_doc).collect(),
        cautions: review.cautions.iter().map(|caution| NoteDoc::new(caution.code(), caution.text())).collect(),
        ..ReviewDoc::default()
    }
}

fn tolerance_doc(tolerance: &Tolerance) -> ToleranceDoc {
    ToleranceDoc {
        axis: tolerance.axis.word().to_owned(),
        trials: tolerance.trials,
        half: tolerance.half,
        sd: tolerance.sd,
        low: tolerance.low,
        high: tolerance.high,
        next_share: tolerance.next_share,
        enough: tolerance.enough,
    }
}
