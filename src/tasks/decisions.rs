//! What a clinician decides. It is a record of its own, may differ from what the rules propose when it says why, and it
//! alone lifts a pause or sets another rule of mastery.

use std::path::PathBuf;

use jiff::Timestamp;
use jiff::civil::Date;

use crate::case::Case;
use crate::contract::{CriterionBody, DecidedDoc, DecisionBody, NoteDoc, RecordBody};
use crate::practice::Decision;
use crate::words::{did_you_mean, printable};

use super::cases::record;
use super::course::{Answer, Course, decision, rule_doc};
use super::forecasts;
use super::refusal::Refusal;
use super::reviews::{self, what_where};

/// The words a decision may have.
const WORDS: [&str; 5] = ["advance", "hold", "step-back", "break-down", "pause"];

/// What is decided.
#[derive(Clone, Debug, Default)]
pub struct Deciding {
    /// The case folder.
    pub case: PathBuf,
    /// The clinician who answers for it, by role or initials.
    pub by: String,
    /// The decision; left out: what the rules propose.
    pub decision: Option<String>,
    /// Why.
    pub why: Option<String>,
    /// Practice goes on after a pause.
    pub lift_pause: bool,
    /// Another rule of mastery from now on.
    pub criterion: Option<String>,
    /// The task, where there are several.
    pub task: Option<String>,
    /// The place, where there are several.
    pub place: Option<String>,
}

/// Stores a decision.
pub fn decide(told: &Deciding, today: Date, now: Timestamp) -> Result<DecidedDoc, Refusal> {
    let practised = Course::read(Case::open(&told.case)?)?;
    if told.by.trim().is_empty() {
        return Err(Refusal::new("by", "a decision needs somebody who answers for it").hint("give --by clinician"));
    }
    let why = told.why.as_deref().map(str::trim).filter(|why| !why.is_empty());
    if told.criterion.is_some() && told.decision.is_none() && !told.lift_pause {
        return set_rule(&practised, told, why, today, now);
    }
    let answers = practised.answers(today)?;
    let answer = pick(&answers, told)?;
    let review = &answer.review;
    let word = match (&told.decision, told.lift_pause) {
        (Some(word), _) => word.as_str(),
        // Lifting a pause says only that practice goes on where it was.
        (None, true) => Decision::Hold.word(),
        (None, false) => review.decision.word(),
    };
    let Some(wanted) = decision(word) else {
        let meant = did_you_mean(word, WORDS);
        return Err(Refusal::new("decision", format!("`{}` is no decision{meant}", printable(word)))
            .hint(format!("give one of {}", WORDS.join(", "))));
    };
    check(told, answer, wanted, why)?;
    let rule = told.criterion.as_ref().map(|_| set_rule(&practised, told, why, today, now)).transpose()?;
    let sessions_to = practised.log.newest_date().map(|date| date.to_string());
    let body = DecisionBody {
        rung: review.rung,
        decision: wanted.word().to_owned(),
        sessions_to,
        reasons: review.reasons.iter().map(|reason| NoteDoc::new(reason.code(), reason.text())).collect(),
        task: answer.group.task.clone(),
        place: answer.group.place.clone(),
        ladder: answer.ladder.map(|(id, _)| id.clone()),
        signed_by: Some(told.by.clone()),
        lifts_pause: told.lift_pause,
        recommended: Some(review.decision.word().to_owned()),
        why: why.map(ToOwned::to_owned),
    };
    let name =
        practised.case.add(&record(RecordBody::Decision(body.clone()), &today.to_string(), Some(&told.by), now))?;
    forecasts::foretell_all(&told.case, today, now);
    Ok(DecidedDoc {
        id: name.id,
        date: today.to_string(),
        by: body.signed_by,
        rung: body.rung,
        decision: body.decision,
        recommended: body.recommended,
        why: body.why,
        lifts_pause: body.lifts_pause,
        criterion: rule.and_then(|doc| doc.criterion),
    })
}

/// Refuses a decision that contradicts itself or gives no reason where one is owed.
fn check(told: &Deciding, answer: &Answer<'_>, wanted: Decision, why: Option<&str>) -> Result<(), Refusal> {
    let proposed = answer.review.decision;
    if told.lift_pause && wanted == Decision::Pause {
        return Err(Refusal::new("pause-and-lift", "a decision cannot pause and lift the pause at once")
            .hint("leave out --lift-pause, or give another --decision"));
    }
    if told.lift_pause && proposed != Decision::Pause {
        return Err(
            Refusal::new("no-pause", "nothing is paused, so there is no pause to lift").hint("leave out --lift-pause")
        );
    }
    if proposed == Decision::Pause && wanted != Decision::Pause && !told.lift_pause {
        return Err(Refusal::new("paused", "practice is paused; going on has to be said in so many words")
            .hint("add --lift-pause and --why, after looking at what happened and talking with the family"));
    }
    if wanted != proposed && why.is_none() {
        let (wanted, proposed) = (wanted.word(), proposed.word());
        return Err(Refusal::new("why", format!("`{wanted}` differs from what the rules propose, `{proposed}`"))
            .hint("add --why \"…\"; the reason is kept with the decision"));
    }
    if wanted == Decision::Advance && answer.top() == Some(answer.review.rung) {
        return Err(Refusal::new("top-rung", format!("rung {} is the ladder's last", answer.review.rung))
            .hint("plan the next ladder with `stillroom ladder --case DIR --goal AUDIT`, or give --decision hold"));
    }
    Ok(())
}

fn pick<'a, 'b>(answers: &'a [Answer<'b>], told: &Deciding) -> Result<&'a Answer<'b>, Refusal> {
    let fits = |answer: &&Answer<'_>| {
        (told.task.is_none() || answer.group.task == told.task)
            && (told.place.is_none() || answer.group.place == told.place)
    };
    let found: Vec<&Answer<'b>> = answers.iter().filter(fits).collect();
    let names = || {
        let all = answers.iter().map(|one| what_where(one.group.task.as_deref(), one.group.place.as_deref()));
        all.collect::<Vec<_>>().join("; ")
    };
    match found[..] {
        [one] => Ok(one),
        [] => Err(Refusal::new(
            "no-such-practice",
            format!("no session of {}", what_where(told.task.as_deref(), told.place.as_deref())),
        )
        .hint(format!("practised so far: {}", names()))),
        _ => Err(Refusal::new("which-practice", format!("{} things are practised", found.len()))
            .hint(format!("add --task or --place: {}", names()))),
    }
}

/// Stores the ladder again with another rule of mastery.
fn set_rule(
    practised: &Course,
    told: &Deciding,
    why: Option<&str>,
    today: Date,
    now: Timestamp,
) -> Result<DecidedDoc, Refusal> {
    let rule = reviews::read_criterion(told.criterion.as_deref().unwrap_or_default())?;
    let Some(why) = why else {
        return Err(Refusal::new("why", "another rule of mastery takes a reason")
            .hint("add --why \"…\"; `stillroom review --explain --criterion 80x3` shows what a rule does"));
    };
    let Some((old, ladder)) = practised.ladder(told.task.as_deref(), told.place.as_deref()) else {
        return Err(Refusal::new("no-ladder", "the rule is kept with the ladder, and the case holds none there")
            .hint("plan it first: `stillroom ladder --case DIR`"));
    };
    let doc = rule_doc(rule, Some(told.by.clone()));
    let mut body = ladder.clone();
    body.criterion = Some(CriterionBody {
        percent: doc.percent,
        sessions: doc.sessions,
        days: doc.days,
        by: told.by.clone(),
        why: why.to_owned(),
    });
    let mastery = format!(
        "Up after {} sessions in a row with {} of 10 alone or better, on {} days or more, without distress and willing \
         (set by {}).",
        doc.sessions,
        doc.percent / 10,
        doc.days,
        printable(&told.by)
    );
    for rung in &mut body.plan.rungs {
        rung.mastery.clone_from(&mastery);
    }
    let mut new = record(RecordBody::Ladder(Box::new(body)), &today.to_string(), Some(&told.by), now);
    new.replaces = Some(old.clone());
    let name = practised.case.add(&new)?;
    Ok(DecidedDoc {
        id: name.id,
        date: today.to_string(),
        by: Some(told.by.clone()),
        rung: 0,
        decision: "criterion".to_owned(),
        recommended: None,
        why: Some(why.to_owned()),
        lifts_pause: false,
        criterion: Some(doc),
    })
}
