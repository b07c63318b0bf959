//! What to look at when practice is stuck, in the practitioner's order, answered from the case where it can be. It ends
//! in one or two things to try this week, and when to call the clinician.

use std::path::Path;

use jiff::civil::Date;

use crate::case::Case;
use crate::contract::{RecordBody, TroubleLookDoc, TroubleshootDoc};
use crate::practice::{self, Kind, Log, Look};

use super::course::{Answer, Course};
use super::refusal::Refusal;
use super::reinforcers;
use super::reviews::{self, Asked};
use super::screens;

/// Days after which an audit or a look into the cleared room is old. Convention.
const OLD_DAYS: i64 = 28;
const TASK_OLD_DAYS: i64 = 14;
/// Opportunities that two weeks should hold: ten on two days of each. Convention.
const TWO_WEEKS: u64 = 40;
/// A step above this pull is large. Convention, as in the ladder.
const LARGE_STEP: f64 = 0.25;
/// A second observer in one session of five [KRATOCHWILL2013, from memory].
const OBSERVED: (usize, usize) = (1, 5);
/// Newest sessions looked at for a second observer.
const RECENT: usize = 10;

/// What to look at in a case.
pub fn troubleshoot(folder: &Path, asked: &Asked, today: Date) -> Result<TroubleshootDoc, Refusal> {
    let today = asked.on.as_deref().map_or(Ok(today), reviews::read_date)?;
    let practised = Course::read(Case::open(folder)?)?;
    let answers = practised.answers(today)?;
    let fits = |answer: &&Answer<'_>| {
        (asked.task.is_none() || answer.group.task == asked.task)
            && (asked.place.is_none() || answer.group.place == asked.place)
    };
    let Some(answer) = answers.iter().find(fits) else {
        let given = reviews::what_where(asked.task.as_deref(), asked.place.as_deref());
        return Err(Refusal::new("no-such-practice", format!("no session of {given}"))
            .hint("leave out --task and --place to look at what was practised last"));
    };
    let facts = Facts { practised: &practised, answer, today, folder };
    let looks = practice::stuck(&answer.group.log, &answer.review, Some(today));
    let looks = looks.into_iter().map(|look| facts.look(look)).collect::<Result<Vec<_>, _>>()?;
    let smaller = reviews::steps(&answer.smaller(&practised.tasks));
    Ok(TroubleshootDoc {
        rung: answer.review.rung,
        decision: answer.review.decision.word().to_owned(),
        task: answer.group.task.clone(),
        place: answer.group.place.clone(),
        this_week: this_week(&looks, &smaller),
        call: CALL.iter().map(ToString::to_string).collect(),
        looks,
        smaller,
    })
}

/// When to call the clinician, whatever the scores say.
const CALL: [&str; 5] = [
    "somebody was hurt, the child ran off, or was distressed twice within five sittings",
    "the child has lost something it could do before, or sleeps or eats clearly worse",
    "sounds make the child cover the ears, cry, freeze or leave (ask for a hearing test too)",
    "the same rung was stepped back from twice",
    "six more sessions bring no rise after what is tried here",
];

/// What a look is answered from.
struct Facts<'a> {
    practised: &'a Course,
    answer: &'a Answer<'a>,
    today: Date,
    folder: &'a Path,
}

impl Facts<'_> {
    fn look(&self, look: Look) -> Result<TroubleLookDoc, Refusal> {
        let log = &self.answer.group.log;
        let (seen, state) = match look.code {
            "set-up" | "distress" | "clinician" => {
                let state = if look.seen.is_some() { "look" } else { "fine" };
                (look.seen, state)
            }
            "task" => task(log, look.seen, self.today),
            "step" => self.step(),
            "practice" => practice_enough(log, look.seen, self.today),
            "reinforcer" => self.reinforcer()?,
            "prompts" => {
                let state = if look.seen.is_some() { prompts(log, self.answer.review.rung) } else { "open" };
                (look.seen, state)
            }
            "need" => self.need()?,
            "room" => self.room()?,
            "screens" => self.screens()?,
            "scoring" => scoring(log),
            _ => (look.seen, "open"),
        };
        Ok(TroubleLookDoc {
            number: look.number,
            code: look.code.to_owned(),
            text: look.text.to_owned(),
            seen,
            state: state.to_owned(),
        })
    }

    fn step(&self) -> (Option<String>, &'static str) {
        let rung = self.answer.review.rung;
        let Some((_, ladder)) = self.answer.ladder else { return (None, "open") };
        let Some(found) = ladder.plan.rungs.iter().find(|one| one.number == rung) else {
            return (Some("This is the cleared room; no distractor was added.".to_owned()), "fine");
        };
        let above = ladder.plan.rungs.iter().filter(|one| one.step < found.step).count();
        let large = found.step > LARGE_STEP || above + 1 == ladder.plan.rungs.len() && above > 0;
        let text = format!(
            "Rung {rung} adds a pull of {:.2}; {above} of the ladder's {} steps are smaller.",
            found.step,
            ladder.plan.rungs.len()
        );
        (Some(text), if large { "look" } else { "fine" })
    }

    fn reinforcer(&self) -> Result<(Option<String>, &'static str), Refusal> {
        let doc = reinforcers::show(self.folder, self.today)?;
        Ok(match (doc.items.first(), &doc.date) {
            (Some(best), Some(date)) if !doc.due => (
                Some(format!("On {date} the child chose {} most ({:.0} % of offers).", best.name, best.percent)),
                "fine",
            ),
            (_, Some(date)) => (Some(format!("The last full assessment was on {date}; another is due.")), "look"),
            _ => (Some("No assessment is stored.".to_owned()), "look"),
        })
    }

    /// The newest note on what self-stimulation may serve. It is told and weighs nothing.
    fn need(&self) -> Result<(Option<String>, &'static str), Refusal> {
        let found = self.practised.case.standing(|kind| kind == "need")?;
        let newest = found.records.into_iter().rev().find_map(|stored| match stored.record.body {
            RecordBody::Need(body) => Some((stored.name.date, body)),
            _ => None,
        });
        Ok((
            newest.map(|(date, body)| {
                let serves = body.serves.map_or_else(String::new, |serves| format!(" It may serve: {serves}."));
                format!("Noted on {date}: {}, before it {}.{serves}", body.seen, body.before)
            }),
            "open",
        ))
    }

    fn room(&self) -> Result<(Option<String>, &'static str), Refusal> {
        let audits = super::audits::audits(&self.practised.case, self.answer.group.place.as_deref());
        // A place that was practised at and never audited is no fault of the log.
        let Ok(audits) = audits else { return Ok((Some("This place was never audited.".to_owned()), "look")) };
        let Some((stored, newest)) = audits.last() else {
            return Ok((Some("This place was never audited.".to_owned()), "look"));
        };
        let days = self.today.duration_since(stored.name.date).as_hours() / 24;
        let text = format!("Audited {days} days ago: load {:.0}.", newest.figures.load);
        Ok((Some(text), if days > OLD_DAYS { "look" } else { "fine" }))
    }

    fn screens(&self) -> Result<(Option<String>, &'static str), Refusal> {
        let doc = screens::show(self.folder, self.today)?;
        Ok((
            doc.mean_minutes
                .map(|mean| format!("The diary of {} days: {mean:.0} minutes a day on average.", doc.days.len())),
            "open",
        ))
    }
}

fn task(log: &Log, seen: Option<String>, today: Date) -> (Option<String>, &'static str) {
    let last = log.sessions().iter().rev().find(|session| session.rung == 0 && session.opportunities > 0);
    let Some(last) = last else { return (Some("It was never tried in the cleared room.".to_owned()), "look") };
    let old = today.duration_since(last.date).as_hours() / 24 > TASK_OLD_DAYS;
    let well = 10 * u64::from(last.independent) >= 9 * u64::from(last.opportunities);
    (seen, if old || !well { "look" } else { "fine" })
}

fn practice_enough(log: &Log, seen: Option<String>, today: Date) -> (Option<String>, &'static str) {
    let recent =
        log.sessions().iter().filter(|session| (0..14).contains(&(today.duration_since(session.date).as_hours() / 24)));
    let given: u64 = recent.map(|session| u64::from(session.opportunities)).sum();
    (seen, if given < TWO_WEEKS { "look" } else { "fine" })
}

/// Whether less help was given in the three newest sessions than in the three before.
fn prompts(log: &Log, rung: u32) -> &'static str {
    let here = |session: &&practice::Session| {
        session.rung == rung && matches!(session.kind(), Kind::Ordinary | Kind::Harm | Kind::Cleared)
    };
    let taught: Vec<_> = log.sessions().iter().filter(here).collect();
    let Some(newest) = taught.len().checked_sub(3).filter(|from| *from >= 3) else { return "open" };
    let sum = |part: &[&practice::Session]| {
        part.iter().fold((0, 0), |(prompted, all), one| {
            (prompted + u64::from(one.prompted), all + u64::from(one.opportunities))
        })
    };
    let ((is, of), (was, of_before)) = (sum(&taught[newest..]), sum(&taught[newest - 3..newest]));
    if is > 0 && is * of_before >= was * of { "look" } else { "fine" }
}

fn scoring(log: &Log) -> (Option<String>, &'static str) {
    let recent: Vec<_> = log.sessions().iter().rev().take(RECENT).collect();
    let observed = recent.iter().filter(|session| session.details.observer.is_some()).count();
    let text = format!("Of the newest sessions ({}) a second person scored {observed}.", recent.len());
    let enough = observed * OBSERVED.1 >= recent.len() * OBSERVED.0;
    (Some(text), if enough { "fine" } else { "look" })
}

/// One or two things: the first that the case shows to be in need of a look, in the order of the questions.
fn this_week(looks: &[TroubleLookDoc], smaller: &[crate::contract::SmallerDoc]) -> Vec<String> {
    let step = |kind: &str| smaller.iter().find(|one| one.kind == kind).map(|one| one.text.clone());
    let unsafe_now = looks.iter().any(|look| look.code == "distress" && look.state == "look");
    if unsafe_now {
        return vec![
            "Call the clinician before anything else, and tell what happened before, during and after.".to_owned(),
            "Until then: only what the child likes and does well, in the cleared room, ended early.".to_owned(),
        ];
    }
    let action = |look: &TroubleLookDoc| {
        match look.code.as_str() {
        "set-up" => Some(
            "Before each sitting look at two things: is the distractor really on, and has the child slept, eaten and \
             moved? If not, play instead."
                .to_owned(),
        ),
        "task" => Some(
            "Give the task once in the cleared room, ten opportunities. Under nine alone, the task is broken down before \
             anything is added to the room."
                .to_owned(),
        ),
        "step" => step("level"),
        "practice" => Some(
            "Add one sitting of three or four opportunities to a moment that is there anyway: while cooking, in the \
             bath, on the way."
                .to_owned(),
        ),
        "reinforcer" => Some(
            "Let the child choose between three things before each sitting, and give the chosen one at once after a \
             right answer (`stillroom reinforcers --offer pairs` makes a full assessment)."
                .to_owned(),
        ),
        "prompts" => step("prompt"),
        "room" => Some("Audit the room again at learning time: `stillroom audit --case DIR …`.".to_owned()),
        "scoring" => Some("Ask a second person to score one sitting, and compare: `stillroom agree A.csv B.csv`.".to_owned()),
        _ => None,
    }
    };
    let mut found: Vec<String> = looks.iter().filter(|look| look.state == "look").filter_map(action).take(2).collect();
    if found.is_empty() {
        found.extend(step("level").or_else(|| step("task")));
    }
    found
}
