//! What to do at the next sitting, from a decision: plain sentences, in the order in which they are needed.

use super::findings::COUNTED;
use super::reason::Reason;
use super::review::{Decision, Review};
use super::session::Log;

/// What is known of the rung to be practised next.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Stage {
    /// What to set up, in words; `None` where no ladder tells.
    pub set_up: Option<String>,
    /// Things to rotate.
    pub exemplars: Vec<String>,
    /// Length of a sitting.
    pub minutes: Option<f64>,
    /// Opportunities of a sitting.
    pub trials: Option<u32>,
    /// Somebody else takes part, who is asked each time.
    pub company: bool,
}

/// What to do next. `decision` is the review's, or the clinician's where it differs; `stage` tells of a rung; `top` is
/// the ladder's last one.
pub fn tomorrow(
    review: &Review,
    decision: Decision,
    log: &Log,
    top: Option<u32>,
    stage: &dyn Fn(u32) -> Stage,
) -> Vec<String> {
    if decision == Decision::Pause {
        return vec![
            "No practice. Call the clinician, and write down what happened before, during and after.".to_owned(),
            "Everything else of the day stays: play, comfort, the child's own ways of calming down.".to_owned(),
            "Practice goes on once the clinician has lifted the pause (`stillroom decide --lift-pause`).".to_owned(),
        ];
    }
    let rung = match decision {
        Decision::Advance => review.rung + 1,
        Decision::StepBack => review.rung.saturating_sub(1),
        Decision::Hold | Decision::BreakDown | Decision::Pause => review.rung,
    };
    let mut told = Vec::new();
    if decision == Decision::Advance && top.is_some_and(|top| rung > top) {
        told.push(format!(
            "The ladder ends at rung {}: the room to cope with is reached. Try the task in another room or with another \
             person (note `probe`), and look back at this rung after 1, 2, 4 and 8 weeks (note `maintenance`).",
            review.rung
        ));
        return told;
    }
    let stage = stage(rung);
    told.push(match (&stage.set_up, rung) {
        (_, 0) => "Rung 0: the cleared room, everything movable away but what must stay in reach.".to_owned(),
        (Some(set_up), _) => format!("Rung {rung}. {set_up}"),
        (None, _) => format!("Rung {rung}: set up its distractor, and check that it is really on."),
    });
    if decision == Decision::BreakDown {
        told.push("Not the whole step: take the first of the smaller steps below.".to_owned());
    }
    let gentle = review
        .reasons
        .iter()
        .any(|reason| matches!(reason, Reason::Distress { .. } | Reason::AssentWithdrawn { .. } | Reason::Harm { .. }));
    let trials = stage.trials.map_or(COUNTED, u64::from);
    let minutes = stage.minutes.map_or_else(String::new, |minutes| format!(", about {minutes:.0} minutes"));
    told.push(if gentle {
        format!(
            "Begin in the cleared room, with {} opportunities instead of {trials}, and end early; ask whether the child \
             wants to come, and let it go when it wants to go.",
            (trials / 2).max(1)
        )
    } else {
        format!(
            "{trials} opportunities{minutes}, at once or in sittings of three or four through the day. After three \
             errors in a row end on something easy and stop for the day."
        )
    });
    if let Some(exemplar) = rotate(&stage.exemplars, log, rung).filter(|_| rung > 0) {
        told.push(format!("As the distractor take {exemplar}: it was used least lately."));
    }
    told.push("Let the child choose what it works for first, and give it at once.".to_owned());
    if stage.company {
        told.push("Ask the others whether they want to join in today; a no skips the rung, without blame.".to_owned());
    }
    for reason in &review.reasons {
        match reason {
            Reason::MaintenanceDue { rung, .. } | Reason::MaintenanceLow { rung, .. } => {
                told.push(format!("Look back at rung {rung}: at least 4 opportunities, note `maintenance`."));
            }
            _ => {}
        }
    }
    told
}

/// The exemplar that was used longest ago on this rung, or never.
fn rotate<'a>(exemplars: &'a [String], log: &Log, rung: u32) -> Option<&'a str> {
    if exemplars.len() < 2 {
        return None;
    }
    let last = |name: &str| {
        log.sessions().iter().rposition(|one| {
            one.rung == rung && one.exemplar.as_deref().is_some_and(|used| used.eq_ignore_ascii_case(name))
        })
    };
    exemplars.iter().map(String::as_str).min_by_key(|name| last(name).map_or(0, |at| at + 1))
}

#[cfg(test)]
mod tests {
    use super::{Stage, tomorrow};
    use crate::practice::{Decision, Options, parse, review};

    const HEAD: &str =
        "date,rung,opportunities,independent,prompted,errors,distress,assent,distractor_on,minutes,note,exemplar\n";

    fn told(rows: &str, decision: Decision, top: u32) -> String {
        let log = parse(&format!("{HEAD}{rows}"), "log.csv").unwrap();
        let stage = |rung| Stage {
            set_up: Some(format!("New: thing {rung}.")),
            exemplars: vec!["a poster".to_owned(), "family photos".to_owned()],
            ..Stage::default()
        };
        tomorrow(&review(&log, &Options::bare()), decision, &log, Some(top), &stage).join("\n")
    }

    #[test]
    fn the_next_sitting_follows_the_decision_and_rotates_what_is_shown() {
        let rows = "2026-03-02,1,10,9,1,0,no,yes,yes,8,,a poster\n2026-03-03,1,10,9,1,0,no,yes,yes,8,,family photos\n";
        assert!(told(rows, Decision::Advance, 2).starts_with("Rung 2. New: thing 2.\n10 opportunities"));
        assert!(told(rows, Decision::Hold, 2).contains("take a poster"));
        let cleared = told(rows, Decision::StepBack, 2);
        assert!(cleared.starts_with("Rung 0: the cleared room") && !cleared.contains("As the distractor"));
        assert!(told(rows, Decision::Advance, 1).starts_with("The ladder ends at rung 1"));
        assert!(told(rows, Decision::Pause, 1).starts_with("No practice. Call the clinician"));
    }

    #[test]
    fn after_distress_the_next_sitting_is_half_as_long() {
        let rows = "2026-03-02,1,10,9,1,0,no,yes,yes,8,,\n2026-03-03,1,10,9,1,0,yes,yes,yes,8,,\n";
        assert!(told(rows, Decision::Hold, 2).contains("5 opportunities instead of 10"));
    }
}
