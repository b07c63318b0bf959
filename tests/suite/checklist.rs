//! Outside checks: checklists are read strictly, score as worked by hand, and the shipped lists keep their promises.

mod answers;
mod broken;
mod levels;
mod lists;
mod pooled;
mod reading;
mod scoring;
mod wording;

use stillroom::checklist::{Answers, Checklist, parse, parse_answers, shipped};

/// The shipped list of that id.
#[track_caller]
fn list(id: &str) -> Checklist {
    let (_, text) = shipped().iter().find(|(name, _)| *name == id).unwrap();
    parse(text, id).unwrap()
}

/// Answers that must be readable.
#[track_caller]
fn answers(text: &str, list: &Checklist) -> Answers {
    match parse_answers(text, "answers.toml", list) {
        Ok(answers) => answers,
        Err(faults) => panic!("{faults}"),
    }
}
