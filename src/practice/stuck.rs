//! What to look at when practice is stuck, in order, each with what the log says about it.
//!
//! The order is common practice, no source; the guidance on screens is named with its date and given as information.

use jiff::civil::Date;

use super::reason::Score;
use super::review::Review;
use super::session::{Kind, Log, Session, days_between};

/// One thing to look at.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Look {
    /// Its place in the order, from 1.
    pub number: usize,
    /// A short fixed word for programs.
    pub code: &'static str,
    /// The question, and what to do.
    pub text: &'static str,
    /// What the log says about it; `None` where it says nothing.
    pub seen: Option<String>,
}

/// The questions in order.
const QUESTIONS: [(&str, &str); 12] = [
    (
        "set-up",
        "Was the distractor really on, and was the child well, slept and fed? If not, that session says little.",
    ),
    (
        "distress",
        "Was there distress, or did the child leave? Then stop, look for the need first, and call the clinician.",
    ),
    ("task", "Does the task still go well in the cleared room today? If not, break the task into smaller parts."),
    ("step", "Is the step too large? Make it fewer, farther, quieter, shorter or covered."),
    ("practice", "Is there practice enough? Ten opportunities or more on two days a week or more."),
    (
        "reinforcer",
        "Does the child still want what is given, and does it come at once? Offer a quick choice each session.",
    ),
    ("prompts", "Is the help fading? Give a little less of it each time, and wait before giving it."),
    (
        "need",
        "Has rocking, flapping, humming or the like grown? It regulates and speaks, so look for the need behind it: noise, \
         too long, tired, joy? Offer it freely outside learning time, and give a way to ask for a break.",
    ),
    ("room", "Has the room changed? Audit it again at learning time."),
    (
        "screens",
        "For information, guidance on screens: WHO 2019, none under 2 years, an hour a day at most at 2 to 4; AAP 2016, \
         video chat only under 18 months, with an adult at 18 to 24 months, an hour a day at 2 to 5 years; AAP 2026 \
         replaces that and looks at the whole use of media, not at hours.",
    ),
    ("scoring", "Would two people score it the same? Let a second person score a session and compare the two logs."),
    ("clinician", "Six more sessions without a rise? Show the log to the clinician."),
];

/// Days looked back at for how much practice there is. Convention.
const RECENT_DAYS: i64 = 14;

/// What to look at, in order. `review` is the review of this log; `today` as handed to it.
pub fn stuck(log: &Log, review: &Review, today: Option<Date>) -> Vec<Look> {
    let here: Vec<&Session> = log
        .sessions()
        .iter()
        .filter(|session| session.rung == review.rung)
        .filter(|session| matches!(session.kind(), Kind::Ordinary | Kind::Harm | Kind::Cleared))
        .collect();
    QUESTIONS
        .into_iter()
        .enumerate()
        .map(|(at, (code, text))| {
            let seen = match code {
                "set-up" => set_up(log),
                "distress" => reason_text(review, &["harm", "distress", "assent-withdrawn"]),
                "task" => task(log),
                "practice" => today.or(log.newest_date()).map(|today| practice(log, today)),
                "prompts" => prompts(&here),
                "clinician" => reason_text(review, &["stalled", "distress-pattern", "back-again"]),
                _ => None,
            };
            Look { number: at + 1, code, text, seen }
        })
        .collect()
}

fn reason_text(review: &Review, codes: &[&str]) -> Option<String> {
    review.reasons.iter().find(|reason| codes.contains(&reason.code())).map(|reason| reason.text())
}

fn set_up(log: &Log) -> Option<String> {
    let dates = |test: &dyn Fn(&Session) -> bool| {
        let found: Vec<String> =
            log.sessions().iter().rev().filter(|session| test(session)).take(3).map(|s| s.date.to_string()).collect();
        (!found.is_empty()).then(|| found.join(", "))
    };
    let absent = dates(&Session::is_void).map(|dates| format!("The distractor was not on on {dates}."));
    let unwell =
        dates(&|session| session.kind() == Kind::Unwell).map(|dates| format!("The child was unwell on {dates}."));
    match (absent, unwell) {
        (Some(absent), Some(unwell)) => Some(format!("{absent} {unwell}")),
        (absent, unwell) => absent.or(unwell),
    }
}

fn task(log: &Log) -> Option<String> {
    let last = log.sessions().iter().rfind(|session| session.rung == 0 && session.opportunities > 0)?;
    let score =
        Score { date: last.date, independent: last.independent.into(), opportunities: last.opportunities.into() };
    Some(format!("Last time in the cleared room: {score}."))
}

fn practice(log: &Log, today: Date) -> String {
    let recent: Vec<&Session> =
        log.sessions().iter().filter(|session| (0..RECENT_DAYS).contains(&days_between(session.date, today))).collect();
    let days = recent.chunk_by(|a, b| a.date == b.date).count();
    let opportunities: u64 = recent.iter().map(|session| u64::from(session.opportunities)).sum();
    format!(
        "In the {RECENT_DAYS} days up to {today}: {opportunities} opportunities on {days} {}.",
        if days == 1 { "day" } else { "days" }
    )
}

/// Help given in the three newest sessions of the rung, and in the three before.
fn prompts(here: &[&Session]) -> Option<String> {
    let share = |sessions: &[&Session]| {
        let sum = |count: fn(&Session) -> u32| sessions.iter().map(|session| u64::from(count(session))).sum::<u64>();
        (sum(|session| session.prompted), sum(|session| session.opportunities))
    };
    let newest = here.len().checked_sub(3)?;
    let before = newest.checked_sub(3)?;
    let ((was, of_before), (is, of)) = (share(&here[before..newest]), share(&here[newest..]));
    Some(format!("Prompted {is} of {of} in the last 3 sessions here, {was} of {of_before} in the 3 before."))
}

#[cfg(test)]
mod tests {
    use super::stuck;
    use crate::practice::{Options, parse, review};

    #[test]
    fn the_log_answers_what_it_can_and_is_silent_on_the_rest() {
        let log = parse(
            "date,rung,opportunities,independent,prompted,errors,distress,assent,distractor_on,minutes,note\n\
             2026-03-02,0,10,9,1,0,0,yes,no,9,\n\
             2026-03-03,1,10,5,4,1,0,yes,yes,9,\n\
             2026-03-04,1,10,5,4,1,0,yes,no,9,\n\
             2026-03-05,1,10,6,3,1,0,yes,yes,9,unwell\n\
             2026-03-20,1,10,6,3,1,1,yes,yes,9,\n",
            "log.csv",
        )
        .unwrap();
        let found = stuck(&log, &review(&log, &Options::bare()), None);
        assert_eq!(found.iter().map(|look| look.number).collect::<Vec<_>>(), (1..=12).collect::<Vec<_>>());
        let seen = |code: &str| found.iter().find(|look| look.code == code).unwrap().seen.as_deref();
        assert_eq!(
            seen("set-up"),
            Some("The distractor was not on on 2026-03-04. The child was unwell on 2026-03-05.")
        );
        assert!(seen("distress").unwrap().contains("2026-03-20"));
        assert_eq!(seen("task"), Some("Last time in the cleared room: 9 of 10 (2026-03-02)."));
        assert_eq!(seen("practice"), Some("In the 14 days up to 2026-03-20: 10 opportunities on 1 day."));
        assert_eq!(seen("reinforcer"), None);
        assert_eq!(seen("prompts"), None);
    }
}
