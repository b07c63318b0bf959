//! What a case holds of practice, read once: sessions that stand, decisions, ladders, tasks. Safety, the clinician's
//! rule of mastery and the lifting of a pause all come from here, so that every face judges alike.

use std::collections::BTreeMap;

use jiff::Timestamp;
use jiff::civil::Date;

use crate::case::{Case, Stored};
use crate::checklist::{Checklist, Draw};
use crate::contract::{
    AuditBody, ChildBody, CriterionBody, CriterionDoc, DecidedDoc, DecisionBody, ForecastBody, LadderBody, RecordBody,
    RungDoc, TaskBody,
};
use crate::practice::{
    self, Criterion, Group, Log, Options, Review, Rung, Session, Smaller, Stage, Task, groups, review_within, smaller,
};
use crate::words::{Channel, id_in_words};

use super::audits::Evidence;
use super::refusal::Refusal;
use super::reviews;

/// A decision with its record.
#[derive(Clone, Debug)]
pub struct Decided {
    /// The record.
    pub id: String,
    /// The day it is about.
    pub date: Date,
    /// When it was written.
    pub written: Timestamp,
    /// What it says.
    pub body: DecisionBody,
}

/// A stored forecast.
#[derive(Clone, Debug)]
pub struct Foretold {
    /// The day it was made.
    pub date: Date,
    /// When it was written.
    pub written: Timestamp,
    /// What it says.
    pub body: ForecastBody,
}

/// What a case holds of practice.
#[derive(Debug)]
pub struct Course {
    /// The folder.
    pub case: Case,
    /// The child.
    pub child: ChildBody,
    /// The sessions that stand, those behind a lifted pause marked.
    pub log: Log,
    /// When each session was written, by its day.
    written: Vec<(Date, Timestamp)>,
    /// Decisions, oldest first.
    pub decisions: Vec<Decided>,
    /// Ladders with their ids, oldest first.
    pub ladders: Vec<(String, LadderBody)>,
    /// Tasks, oldest first.
    pub tasks: Vec<TaskBody>,
    /// Forecasts, in the order in which they were written.
    pub forecasts: Vec<Foretold>,
}

/// The answer for one task at one place.
#[derive(Debug)]
pub struct Answer<'a> {
    /// Its sessions.
    pub group: Group,
    /// What the rules say.
    pub review: Review,
    /// The ladder it is practised on, with its id.
    pub ladder: Option<&'a (String, LadderBody)>,
    /// What mastery is.
    pub criterion: Criterion,
    /// The newest decision of a person that rests on the newest session.
    pub decided: Option<&'a Decided>,
    /// The checklist of the ladder's room, where it can be read.
    pub checklist: Option<Checklist>,
}

impl Course {
    /// The kinds of records it rests on.
    pub const KINDS: [&'static str; 5] = ["session", "decision", "ladder", "task", "forecast"];

    /// Reads a case.
    pub fn read(case: Case) -> Result<Self, Refusal> {
        let found = case.standing(|kind| Self::KINDS.contains(&kind))?;
        let child = case.child()?;
        Ok(Self::of(case, child, found.records))
    }

    /// Takes it from records that stand, of [`Self::KINDS`] or more.
    pub fn of(case: Case, child: ChildBody, records: Vec<Stored>) -> Self {
        let (mut sessions, mut written, mut decisions) = (Vec::new(), Vec::new(), Vec::new());
        let (mut ladders, mut tasks, mut forecasts) = (Vec::new(), Vec::new(), Vec::new());
        for stored in records {
            let moment = moment(&stored);
            let (date, id) = (stored.name.date, stored.name.id.clone());
            if let Some(session) = reviews::session(&stored) {
                sessions.push(session);
                written.push((date, moment));
                continue;
            }
            match stored.record.body {
                RecordBody::Decision(body) => decisions.push(Decided { id, date, written: moment, body }),
                RecordBody::Ladder(body) => ladders.push((id, *body)),
                RecordBody::Task(body) => tasks.push(body),
                RecordBody::Forecast(body) => forecasts.push(Foretold { date, written: moment, body }),
                _ => {}
            }
        }
        forecasts.sort_by_key(|one| one.written);
        decisions.sort_by_key(|one| (one.written, one.id.clone()));
        mark_lifted(&mut sessions, &written, &decisions);
        Self { case, child, log: Log::new(sessions), written, decisions, ladders, tasks, forecasts }
    }

    /// One answer for each task and place, the one practised last first.
    pub fn answers(&self, today: Date) -> Result<Vec<Answer<'_>>, Refusal> {
        if self.log.sessions().is_empty() {
            return Err(Refusal::new("no-session", "the case holds no session yet").hint(
                "note one with `stillroom session --case DIR`; a log kept elsewhere is reviewed with `stillroom review --log FILE.csv`",
            ));
        }
        groups(&self.log).into_iter().map(|group| self.answer(group, None, today, true)).collect()
    }

    /// The same without reading the rooms and without an estimate of tolerance: the decisions and their reasons.
    pub fn answers_at_a_glance(&self, today: Date) -> Result<Vec<Answer<'_>>, Refusal> {
        groups(&self.log).into_iter().map(|group| self.answer(group, None, today, false)).collect()
    }

    /// The same under another rule of mastery.
    pub fn answers_under(&self, rule: Criterion, today: Date) -> Result<Vec<Answer<'_>>, Refusal> {
        self.answers(today)?.into_iter().map(|answer| self.answer(answer.group, Some(rule), today, true)).collect()
    }

    fn answer(
        &self,
        group: Group,
        rule: Option<Criterion>,
        today: Date,
        with_room: bool,
    ) -> Result<Answer<'_>, Refusal> {
        let ladder = self.ladder(group.task.as_deref(), group.place.as_deref());
        let checklist = ladder.filter(|_| with_room).map(|(_, body)| self.checklist(body)).transpose()?.flatten();
        let set = self.rule(group.task.as_deref(), group.place.as_deref()).map(read_rule);
        let criterion = rule.or(set).unwrap_or_default();
        let stepped: Vec<u32> = self.decisions_for(&group).filter(|one| signed(one)).filter_map(step_back).collect();
        let step_backs = if stepped.is_empty() { practice::step_backs(&group.log) } else { stepped };
        let raised = match (ladder, &checklist) {
            (Some((_, body)), Some(checklist)) => {
                body.plan.rungs.iter().map(|rung| channel(checklist, rung)).collect::<Option<Vec<_>>>()
            }
            _ => None,
        };
        let options = Options {
            criterion,
            step_backs,
            raised: raised.unwrap_or_default(),
            tolerance: with_room,
            ..Options::in_case(today, None)
        };
        let review = review_within(&group.log, &self.log, &options);
        let decided = self.decisions_for(&group).rfind(|one| self.covers(one, &group.log));
        Ok(Answer { group, review, ladder, criterion, decided, checklist })
    }

    /// The newest ladder of that task and place; one without a task is for every task.
    pub fn ladder(&self, task: Option<&str>, place: Option<&str>) -> Option<&(String, LadderBody)> {
        let fits = |body: &LadderBody| {
            place.is_none_or(|place| body.place == place)
                && (task.is_none() || body.task.is_none() || body.task.as_deref() == task)
        };
        self.ladders.iter().rfind(|(_, body)| fits(body))
    }

    /// The rule of mastery that a clinician has set there.
    pub fn rule(&self, task: Option<&str>, place: Option<&str>) -> Option<&CriterionBody> {
        self.ladder(task, place)?.1.criterion.as_ref()
    }

    fn decisions_for<'a>(&'a self, group: &Group) -> impl DoubleEndedIterator<Item = &'a Decided> {
        let (task, place) = (group.task.clone(), group.place.clone());
        self.decisions.iter().filter(move |one| {
            (one.body.task.is_none() || one.body.task == task) && (one.body.place.is_none() || one.body.place == place)
        })
    }

    /// Whether a decision knew the newest session of a log.
    fn covers(&self, one: &Decided, log: &Log) -> bool {
        let Some(newest) = log.newest_date() else { return false };
        reaches(one) >= newest
            && self.written.iter().filter(|(date, _)| *date == newest).all(|(_, written)| *written <= one.written)
    }

    fn checklist(&self, body: &LadderBody) -> Result<Option<Checklist>, Refusal> {
        let Some(goal) = &body.goal_audit else { return Ok(None) };
        let audit = self.case.read_kinds(|kind| kind == "audit")?.records.into_iter().find_map(|stored| {
            match stored.record.body {
                RecordBody::Audit(audit) if stored.name.id == *goal => Some(audit),
                _ => None,
            }
        });
        // A damaged audit is told elsewhere; without it the answer only says less.
        Ok(audit
            .and_then(|audit: Box<AuditBody>| Evidence::stored(&audit, "the goal's audit").ok())
            .map(|e| e.checklist))
    }
}

impl Answer<'_> {
    /// The decision that is followed: the person's where there is one, else the rules'.
    pub fn followed(&self) -> practice::Decision {
        self.decided
            .filter(|one| signed(one))
            .and_then(|one| decision(&one.body.decision))
            .unwrap_or(self.review.decision)
    }

    /// The ladder's last rung.
    pub fn top(&self) -> Option<u32> {
        self.ladder.and_then(|(_, body)| u32::try_from(body.plan.rungs.len()).ok())
    }

    fn rung(&self, number: u32) -> Option<&RungDoc> {
        self.ladder?.1.plan.rungs.iter().find(|rung| rung.number == number)
    }

    /// The step of the next rung, in pull.
    pub fn next_step(&self) -> Option<f64> {
        self.rung(self.review.rung + 1).map(|rung| rung.step).filter(|step| *step > 0.0)
    }

    /// What is known of a rung.
    pub fn stage(&self, number: u32) -> Stage {
        let Some(rung) = self.rung(number) else { return Stage::default() };
        let channel = self.checklist.as_ref().and_then(|checklist| channel(checklist, rung));
        Stage {
            set_up: Some(rung.set_up.clone()),
            exemplars: rung.exemplars.clone(),
            minutes: Some(rung.minutes),
            trials: Some(rung.trials),
            company: channel == Some(Channel::Company),
        }
    }

    /// What to do at the next sitting.
    pub fn tomorrow(&self) -> Vec<String> {
        practice::tomorrow(&self.review, self.followed(), &self.group.log, self.top(), &|number| self.stage(number))
    }

    /// Smaller steps for the rung it is about.
    pub fn smaller(&self, tasks: &[TaskBody]) -> Vec<Smaller> {
        let task = tasks.iter().rfind(|task| self.group.task.as_ref() == Some(&task.name)).or(tasks.last());
        let task = task.map_or_else(Task::default, |task| Task {
            name: task.name.clone(),
            materials: task.materials.clone(),
            prompts: task.prompts.clone(),
        });
        smaller(self.rung(self.review.rung).and_then(|rung| self.told(rung)).as_ref(), &task, &self.group.log)
    }

    /// A rung with the words of its levels.
    fn told(&self, rung: &RungDoc) -> Option<Rung> {
        let item = self.checklist.as_ref()?.items.iter().find(|item| item.id.as_str() == rung.distractor)?;
        let levels: BTreeMap<usize, _> = item.levels.iter().enumerate().map(|(at, level)| (at + 1, level)).collect();
        // An inserted level, `1a`, lies between two that have names: the one above it is where it leads.
        let number = match rung.level.as_u64() {
            Some(number) => usize::try_from(number).ok()?,
            None => {
                rung.level.as_str()?.trim_end_matches(|sign: char| !sign.is_ascii_digit()).parse::<usize>().ok()? + 1
            }
        };
        let count = |number: usize| match levels.get(&number).map(|level| &level.draw) {
            Some(Draw::Count(count)) => Some(*count),
            None if number == 0 => Some(0),
            _ => None,
        };
        let name = levels.get(&number).map_or_else(|| format!("level {number}"), |level| level.name.clone());
        Some(Rung {
            number: rung.number,
            distractor: id_in_words(&rung.distractor),
            channel: item.channel,
            from: levels.get(&(number.saturating_sub(1))).map(|level| level.name.clone()),
            to: name,
            counts: count(number.saturating_sub(1)).zip(count(number)),
        })
    }

    /// The rule of mastery as programs read it.
    pub fn rule(&self) -> CriterionDoc {
        let set = self.ladder.and_then(|(_, body)| body.criterion.as_ref());
        let by = set.filter(|rule| read_rule(rule) == self.criterion).map(|rule| rule.by.clone());
        rule_doc(self.criterion, by)
    }

    /// The person's decision as programs read it.
    pub fn decided_doc(&self) -> Option<DecidedDoc> {
        self.decided.map(|one| DecidedDoc {
            id: one.id.clone(),
            date: one.date.to_string(),
            by: one.body.signed_by.clone(),
            rung: one.body.rung,
            decision: one.body.decision.clone(),
            recommended: one.body.recommended.clone(),
            why: one.body.why.clone(),
            lifts_pause: one.body.lifts_pause,
            criterion: None,
        })
    }
}

/// A rule of mastery as programs read it.
pub fn rule_doc(rule: Criterion, by: Option<String>) -> CriterionDoc {
    let whole = |number: usize| u32::try_from(number).unwrap_or(u32::MAX);
    CriterionDoc {
        percent: u32::try_from(rule.tenths * 10).unwrap_or(100),
        sessions: whole(rule.sessions),
        days: whole(rule.dates),
        by,
    }
}

/// A stored rule of mastery.
fn read_rule(body: &CriterionBody) -> Criterion {
    let whole = |number: u32| usize::try_from(number.max(1)).unwrap_or(1);
    Criterion {
        tenths: u64::from(body.percent.clamp(10, 100) / 10),
        sessions: whole(body.sessions),
        dates: whole(body.days).min(whole(body.sessions)),
    }
}

/// The decision of that word.
pub fn decision(word: &str) -> Option<practice::Decision> {
    use practice::Decision::{Advance, BreakDown, Hold, Pause, StepBack};
    [Advance, Hold, StepBack, BreakDown, Pause].into_iter().find(|one| one.word() == word)
}

/// Whether a clinician answers for a decision.
pub fn signed(one: &Decided) -> bool {
    one.body.signed_by.as_deref().is_some_and(|by| !by.trim().is_empty())
}

fn step_back(one: &Decided) -> Option<u32> {
    (one.body.decision == "step-back").then_some(one.body.rung)
}

/// The newest day whose sessions a decision rests on.
fn reaches(one: &Decided) -> Date {
    one.body.sessions_to.as_deref().and_then(|date| date.parse().ok()).unwrap_or(one.date)
}

/// Sessions that a clinician knew when lifting a pause count no longer for safety; one written down later does, whatever
/// its day.
fn mark_lifted(sessions: &mut [Session], written: &[(Date, Timestamp)], decisions: &[Decided]) {
    for lift in decisions.iter().filter(|one| one.body.lifts_pause && signed(one)) {
        for (session, (date, moment)) in sessions.iter_mut().zip(written) {
            session.details.lifted |= *date <= reaches(lift) && *moment <= lift.written;
        }
    }
}

fn moment(stored: &Stored) -> Timestamp {
    // A record whose moment cannot be read counts as written last, so that nothing is forgiven by mistake.
    stored.record.written.parse().unwrap_or(Timestamp::MAX)
}

fn channel(checklist: &Checklist, rung: &RungDoc) -> Option<Channel> {
    checklist.items.iter().find(|item| item.id.as_str() == rung.distractor).map(|item| item.channel)
}
