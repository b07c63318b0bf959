//! What the child likes to work for: the quick check, full assessments with their scores, and when the next is due.

use std::path::Path;

use jiff::Timestamp;
use jiff::civil::Date;

use crate::case::Case;
use crate::contract::{NoteDoc, PreferenceBody, PreferenceItemBody, RecordBody, ReinforcerDoc, ReinforcerItemDoc};
use crate::practice::{self, Choice, ChoiceFault, Method, Scored};
use crate::words::printable;

use super::cases::record;
use super::files::Named;
use super::refusal::Refusal;

/// How a method is called in records.
const PAIRS: &str = "pairs";
const ONE_AFTER_THE_OTHER: &str = "one after the other";
const QUICK: &str = "free choice";

/// What was found by letting the child choose.
#[derive(Clone, Debug)]
pub struct Found {
    /// What lay there.
    pub items: Vec<String>,
    /// `quick`: what was chosen first. `rounds`: each round's things in the order of choice.
    pub chosen: Chosen,
}

/// How it was chosen.
#[derive(Clone, Debug)]
pub enum Chosen {
    /// One choice among all; `None` if nothing was taken.
    Quick(Option<String>),
    /// Every pair once.
    Pairs(Vec<Choice>),
    /// Rounds without replacement, each the things in the order in which they were chosen.
    Rounds(Vec<Vec<String>>),
}

/// What a case knows.
pub fn show(folder: &Path, today: Date) -> Result<ReinforcerDoc, Refusal> {
    told(&Case::open(folder)?, today, None)
}

/// Stores a check or an assessment.
pub fn store(
    folder: &Path,
    found: &Found,
    by: Option<&str>,
    today: Date,
    now: Timestamp,
) -> Result<ReinforcerDoc, Refusal> {
    let case = Case::open(folder)?;
    let (method, scored) = scores(found).map_err(|fault| {
        Refusal::new("choice-faults", fault.to_string()).hint("mend this and give it again; nothing was stored")
    })?;
    let items = scored
        .into_iter()
        .map(|one| PreferenceItemBody { name: one.name, offered: one.offered, chosen: one.chosen })
        .collect();
    let body = PreferenceBody { method: method.to_owned(), items, place: None };
    let name = case.add(&record(RecordBody::Preference(body), &today.to_string(), by, now))?;
    told(&case, today, Some(name.id))
}

fn scores(found: &Found) -> Result<(&'static str, Vec<Scored>), ChoiceFault> {
    match &found.chosen {
        Chosen::Quick(chosen) => {
            let one = Choice { offered: found.items.clone(), chosen: chosen.clone() };
            practice::score(Method::OneAfterTheOther, &[one]).map(|scored| (QUICK, scored))
        }
        Chosen::Pairs(choices) => practice::score(Method::Pairs, choices).map(|scored| (PAIRS, scored)),
        Chosen::Rounds(rounds) => {
            let mut choices = Vec::new();
            for round in rounds {
                let mut left = found.items.clone();
                for chosen in round {
                    choices.push(Choice { offered: left.clone(), chosen: Some(chosen.clone()) });
                    left.retain(|name| name != chosen);
                }
                // What is left lay there once more, and nothing of it was taken.
                if !left.is_empty() {
                    choices.push(Choice { offered: left, chosen: None });
                }
            }
            practice::score(Method::OneAfterTheOther, &choices).map(|scored| (ONE_AFTER_THE_OTHER, scored))
        }
    }
}

/// Every pair once, as a table to fill in: the last column is what was chosen.
pub fn pair_sheet(items: &[String]) -> Result<String, Refusal> {
    let things = distinct(items)?;
    let rows: String =
        practice::pairs(&things).iter().map(|(left, right)| format!("{},{},\n", cell(left), cell(right))).collect();
    Ok(format!("left,right,chosen\n{rows}"))
}

fn distinct(items: &[String]) -> Result<Vec<String>, Refusal> {
    let mut things: Vec<String> = Vec::new();
    for item in items.iter().map(|item| item.trim()).filter(|item| !item.is_empty()) {
        if !things.iter().any(|thing| thing == item) {
            things.push(item.to_owned());
        }
    }
    if things.len() < 2 {
        return Err(Refusal::new("too-few-things", "there must be at least two things to choose from")
            .hint("name them: --item bubbles --item train --item top"));
    }
    Ok(things)
}

fn cell(text: &str) -> String {
    // Names of things need no commas; one is turned into a space rather than quoted, so that a pen can fill the sheet.
    text.replace([',', ';', '\n', '"'], " ")
}

/// Reads a filled table of pairs.
pub fn read_pairs(text: &Named<String>) -> Result<Vec<Choice>, Refusal> {
    let mut choices = Vec::new();
    for (number, line) in (1..).zip(text.content.lines()) {
        let cells: Vec<&str> = line.split([',', ';']).map(str::trim).collect();
        if line.trim().is_empty() || number == 1 && cells.first() == Some(&"left") {
            continue;
        }
        let refused = |why: &str| {
            Refusal::new("pair-faults", format!("{}: line {number}: {why}", text.name))
                .at(text.name.clone())
                .hint("each line is left,right,chosen; leave `chosen` empty when nothing was taken; nothing was stored")
        };
        let [left, right, chosen] = cells[..] else { return Err(refused("a line has three cells")) };
        if left.is_empty() || right.is_empty() {
            return Err(refused("a pair has two things"));
        }
        // `l` and `r` save writing.
        let chosen = match chosen {
            "" | "-" => None,
            "l" | "left" => Some(left.to_owned()),
            "r" | "right" => Some(right.to_owned()),
            name => Some(name.to_owned()),
        };
        if chosen.as_ref().is_some_and(|name| name != left && name != right) {
            let name = chosen.unwrap_or_default();
            return Err(refused(&format!("`{}` was chosen but did not lie there", printable(&name))));
        }
        choices.push(Choice { offered: vec![left.to_owned(), right.to_owned()], chosen });
    }
    Ok(choices)
}

fn told(case: &Case, today: Date, id: Option<String>) -> Result<ReinforcerDoc, Refusal> {
    let found = case.standing(|kind| kind == "preference")?;
    let mut all: Vec<(Date, PreferenceBody)> = Vec::new();
    for stored in found.records {
        if let RecordBody::Preference(body) = stored.record.body {
            all.push((stored.name.date, body));
        }
    }
    let is_full = |body: &PreferenceBody| body.method == PAIRS || body.method == ONE_AFTER_THE_OTHER;
    let full = all.iter().rfind(|(_, body)| is_full(body));
    let quick = all.iter().rfind(|(_, body)| body.method == QUICK);
    let first_of =
        |body: &PreferenceBody| body.items.iter().filter(|item| item.chosen > 0).map(|item| item.name.clone()).next();
    let changed = full.zip(quick).is_some_and(|((day, full), (later, quick))| {
        later > day && first_of(quick).is_some_and(|name| Some(&name) != first_of(full).as_ref())
    });
    let next_full = full.and_then(|(day, _)| practice::next_full(*day, changed));
    let items: Vec<ReinforcerItemDoc> =
        full.map(|(_, body)| body.items.iter().map(item_doc).collect()).unwrap_or_default();
    Ok(ReinforcerDoc {
        method: full.map(|(_, body)| body.method.clone()),
        date: full.map(|(day, _)| day.to_string()),
        advice: advice(&items, changed),
        items,
        quick: quick.map(|(day, body)| {
            NoteDoc::new("quick-check", format!("{day}: {}", first_of(body).unwrap_or_else(|| "nothing".to_owned())))
        }),
        due: next_full.is_none_or(|day| day <= today),
        next_full: next_full.map(|day| day.to_string()),
        id,
    })
}

fn item_doc(item: &PreferenceItemBody) -> ReinforcerItemDoc {
    let scored = Scored { name: item.name.clone(), offered: item.offered, chosen: item.chosen };
    ReinforcerItemDoc { name: item.name.clone(), offered: item.offered, chosen: item.chosen, percent: scored.percent() }
}

/// Harder work, stronger reinforcer; and what is never part of it.
fn advice(items: &[ReinforcerItemDoc], changed: bool) -> Vec<String> {
    let mut told = Vec::new();
    if changed {
        told.push(
            "The quick check shows another favourite than the last full assessment: make the next one sooner."
                .to_owned(),
        );
    }
    match items {
        [best, .., least] => {
            told.push(format!(
                "Harder work, stronger reinforcer: keep {} for a new rung or a hard part; {} will do where the child is \
                 sure already.",
                best.name, least.name
            ));
            told.push("Give it at once after a right answer alone; after help give a smaller share of it.".to_owned());
        }
        _ => told.push(
            "Quick check before each sitting: show three things, and let the child take one; that is what it works for."
                .to_owned(),
        ),
    }
    told.push(
        "Never part of it: meals, rest, comfort, what the child calms itself with, and what it talks with. They are \
         there anyway."
            .to_owned(),
    );
    told
}
