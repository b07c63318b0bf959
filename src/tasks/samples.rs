//! An observation sampled in intervals: what it says, which way it errs, and its record. It never enters a decision.

use std::path::Path;

use jiff::Timestamp;
use jiff::civil::Date;

use crate::case::Case;
use crate::contract::{ObservationBody, RecordBody, SampleDoc};
use crate::words::printable;

use super::cases::record;
use super::refusal::Refusal;

/// How it is sampled.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sampled {
    /// At the last instant of each interval.
    Momentary,
    /// Seen throughout the interval.
    Whole,
    /// Seen at all in the interval.
    Partial,
}

impl Sampled {
    /// The word in records.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Momentary => "momentary",
            Self::Whole => "whole",
            Self::Partial => "partial",
        }
    }

    /// What is asked when an interval ends.
    pub const fn question(self) -> &'static str {
        match self {
            Self::Momentary => "Right now?",
            Self::Whole => "The whole interval?",
            Self::Partial => "At any time in the interval?",
        }
    }

    /// Which way it errs.
    pub const fn bias(self) -> &'static str {
        match self {
            Self::Momentary => {
                "Momentary sampling errs both ways about equally and misses what is brief: short bouts need short \
                 intervals."
            }
            Self::Whole => "Whole-interval sampling understates how long something lasts: the true share is higher.",
            Self::Partial => "Partial-interval sampling overstates how long something lasts: the true share is lower.",
        }
    }
}

/// What may be looked for by default.
pub const AT_THE_TASK: &str = "at the task: hands or voice busy with it, in whatever way";

/// What is never sampled: beginnings of words, whole words, and words together.
const NEVER_BEGIN: [&str; 5] = ["stim", "selfstim", "flap", "repetit", "stereotyp"];
const NEVER: [&str; 14] = [
    "rock",
    "rocks",
    "rocking",
    "hum",
    "hums",
    "humming",
    "spin",
    "spins",
    "spinning",
    "pacing",
    "tics",
    "still",
    "stillness",
    "fidgeting",
];
const NEVER_TOGETHER: [&str; 3] = ["eye contact", "quiet hands", "self stim"];

/// Refuses to sample what is no aim.
pub fn may_look_for(what: &str) -> Result<(), Refusal> {
    let lower = what.to_lowercase();
    let words: Vec<&str> = lower.split(|sign: char| !sign.is_alphanumeric()).filter(|word| !word.is_empty()).collect();
    let never =
        words.iter().any(|word| NEVER.contains(word) || NEVER_BEGIN.iter().any(|start| word.starts_with(start)));
    let together = words.join(" ");
    if words.is_empty() || never || NEVER_TOGETHER.iter().any(|pair| together.contains(pair)) {
        return Err(Refusal::new("never-sampled", format!("`{}` is not sampled here", printable(what))).hint(
            "sample what is being learnt, such as \"at the task\"; self-stimulation, stillness and eye contact are never aims (`stillroom needs` keeps notes in words)",
        ));
    }
    Ok(())
}

/// What the marks say; stored where a case is given.
pub fn finish(
    folder: Option<&Path>,
    body: ObservationBody,
    how: Sampled,
    by: Option<&str>,
    today: Date,
    now: Timestamp,
) -> Result<SampleDoc, Refusal> {
    let seen = body.marks.bytes().filter(|mark| *mark == b'y').count();
    let missed = body.marks.bytes().filter(|mark| *mark == b'-').count();
    let intervals = body.marks.len();
    let marked = intervals - missed;
    let mut doc = SampleDoc {
        method: body.method.clone(),
        what: body.what.clone(),
        interval_s: body.interval_s,
        intervals,
        missed,
        share: (marked > 0).then(|| seen as f64 / marked as f64),
        bias: how.bias().to_owned(),
        id: None,
    };
    if let Some(folder) = folder.filter(|_| marked > 0) {
        let case = Case::open(folder)?;
        doc.id = Some(case.add(&record(RecordBody::Observation(body), &today.to_string(), by, now))?.id);
    }
    Ok(doc)
}

#[cfg(test)]
mod tests {
    use super::may_look_for;

    #[test]
    fn what_is_no_aim_is_not_sampled() {
        for what in ["hand flapping", "Rocking", "humming", "stimming", "eye contact", "sitting still", ""] {
            assert!(may_look_for(what).is_err(), "{what}");
        }
        for what in [super::AT_THE_TASK, "puts a leaf on its outline", "asks for a break", "packs the human figures"] {
            assert!(may_look_for(what).is_ok(), "{what}");
        }
    }
}
