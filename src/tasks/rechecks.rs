//! Rechecks: a parent alone asks again only what carries the load, what was to be moved, and one item at random; the rest
//! is carried over from the earlier audit and marked as such.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;
use sha2::{Digest, Sha256};

use crate::case::Case;
use crate::checklist::{self, Answer, Answers, Checklist, ItemId};
use crate::contract::{AuditBody, RecheckDoc, SensitivityDoc};
use crate::words::printable;

use super::audits::{Evidence, every_audit, pick};
use super::checklists::ReadChecklist;
use super::files::Named;
use super::refusal::Refusal;

/// The share of what the items carry that is asked again. Convention.
const CARRIES: f64 = 0.8;

/// A recheck that has been prepared.
#[derive(Clone, Debug)]
pub struct Recheck {
    /// The id of the audit that is rechecked.
    pub of: String,
    /// That audit.
    pub earlier: AuditBody,
    /// Its checklist, with its text.
    pub checklist: ReadChecklist,
    /// Its answers.
    pub answers: Answers,
    /// What is asked, in the order of the checklist.
    pub asked: Vec<ItemId>,
    /// Of these, the one that was drawn at random.
    pub drawn: Option<ItemId>,
}

/// Prepares the recheck of an audit of a case, named by id or date.
pub fn prepare(case: &Case, wanted: &str) -> Result<Recheck, Refusal> {
    let audits = every_audit(case)?;
    let (stored, earlier) = pick(&audits, wanted)?;
    let evidence = Evidence::stored(earlier, "the audit to recheck")?;
    let place = &earlier.figures.place;
    let since = audits.iter().filter(|(_, body)| body.figures.place == *place).count();
    let core = core(earlier, &evidence.checklist);
    let drawn = draw(&evidence.checklist, &evidence.answers, &core, &format!("{} {since}", stored.name.id));
    let asked = evidence.checklist.items.iter().map(|item| &item.id);
    let asked = asked.filter(|id| core.contains(*id) || drawn.as_ref() == Some(id)).cloned().collect();
    let checklist = ReadChecklist { list: evidence.checklist, text: earlier.checklist_text.clone() };
    Ok(Recheck {
        of: stored.name.id.clone(),
        earlier: earlier.clone(),
        checklist,
        answers: evidence.answers,
        asked,
        drawn,
    })
}

/// The items that carry most of what items carry, and those that were to be moved.
fn core(earlier: &AuditBody, list: &Checklist) -> BTreeSet<ItemId> {
    let known = |id: &str| list.item(&ItemId::new(id)).map(|item| item.id.clone());
    let carried: Vec<(ItemId, f64)> =
        earlier.figures.shares.iter().filter_map(|share| Some((known(&share.id)?, share.share))).collect();
    let whole: f64 = carried.iter().map(|(_, share)| share).sum();
    let mut core = BTreeSet::new();
    let mut sum = 0.0;
    for (id, share) in carried {
        if sum >= CARRIES * whole {
            break;
        }
        sum += share;
        core.insert(id);
    }
    core.extend(earlier.figures.first_moves.ids.iter().filter_map(|id| known(id)));
    core
}

/// One of the other items, by a hash of `seed`: the same one until the next audit of the place is stored, so that a file
/// that was printed and the questions at a terminal agree. Nobody can choose it.
fn draw(list: &Checklist, answers: &Answers, core: &BTreeSet<ItemId>, seed: &str) -> Option<ItemId> {
    let others = list.items.iter().map(|item| &item.id).filter(|id| !core.contains(*id) && !answers.kept(id));
    others.min_by_key(|id| Sha256::digest(format!("{seed} {id}")).to_vec()).cloned()
}

impl Recheck {
    /// An answers file with only what is asked, to fill in; place, day and what must stay stand in it already.
    pub fn blank(&self, today: Date) -> String {
        let items = self.checklist.list.items.iter().filter(|item| self.asked.contains(&item.id)).cloned().collect();
        let text = checklist::blank_answers(&Checklist { items, ..self.checklist.list.clone() });
        let place = toml::Value::from(self.answers.place.as_str());
        let keep =
            toml::Value::Array(self.answers.keep.iter().map(|entry| toml::Value::from(entry.as_str())).collect());
        text.replacen("\nplace = \"\"", &format!("\nplace = {place}"), 1)
            .replacen("\ndate = \"\"", &format!("\ndate = \"{today}\""), 1)
            .replacen("\nkeep = []", &format!("\nkeep = {keep}"), 1)
    }

    /// The sensitivities of the earlier audit.
    pub fn sensitivity(&self) -> Option<SensitivityDoc> {
        self.earlier.figures.sensitivity.clone()
    }

    /// The whole answers: those given, and the rest carried over; refused while something that must be asked has no answer.
    pub fn complete(&self, given: &Answers, name: &str) -> Result<(Named<String>, RecheckDoc), Refusal> {
        let open: Vec<String> = self
            .asked
            .iter()
            .filter(|id| !given.answers.contains_key(*id) && !given.kept(id))
            .map(|id| printable(id.as_str()))
            .collect();
        if !open.is_empty() {
            return Err(Refusal::new("recheck-incomplete", format!("a recheck of {} also needs an answer to: {}", self.of, open.join(", ")))
                .at(name)
                .hint(format!(
                    "answer these too, or write \"not seen\"; `stillroom audit --case DIR --recheck {} --blank` prints what is asked",
                    self.of
                )));
        }
        if given.place.trim() != self.answers.place.trim() {
            let (found, wanted) = (printable(&given.place), printable(&self.answers.place));
            return Err(Refusal::new(
                "other-place",
                format!("these answers are about `{found}`; {} is about `{wanted}`", self.of),
            )
            .at(name)
            .hint(format!("if it is the same place write `place = \"{wanted}\"`; another place has its own audit")));
        }
        let mut whole = given.clone();
        let mut carried = BTreeMap::new();
        for (id, answer) in &self.answers.answers {
            if whole.answers.contains_key(id) || given.kept(id) {
                continue;
            }
            if *answer != Answer::NotSeen {
                carried.insert(id.to_string(), origin(&self.earlier, &self.of, id.as_str()).to_owned());
            }
            whole.answers.insert(id.clone(), answer.clone());
            if let Some(reason) = self.answers.reasons.get(id) {
                whole.reasons.insert(id.clone(), reason.clone());
            }
        }
        let content = checklist::written_answers(&self.checklist.list, &whole);
        let asked = given.answers.keys().map(ToString::to_string).collect();
        Ok((Named { name: name.to_owned(), content }, RecheckDoc { of: self.of.clone(), asked, carried }))
    }
}

/// The audit in which an answer was given.
fn origin<'a>(body: &'a AuditBody, id: &'a str, item: &str) -> &'a str {
    body.figures.recheck.as_ref().and_then(|recheck| recheck.carried.get(item)).map_or(id, String::as_str)
}

/// The items whose answer in two audits is one and the same answer, carried over.
pub fn carried(before: &AuditBody, after: &AuditBody) -> BTreeSet<ItemId> {
    let (first, second) = (&before.figures.id, &after.figures.id);
    if first == second {
        return BTreeSet::new();
    }
    let names = |body: &AuditBody| -> Vec<String> {
        body.figures.recheck.iter().flat_map(|recheck| recheck.carried.keys().cloned()).collect()
    };
    let mut both = names(before);
    both.extend(names(after));
    let same = |item: &String| {
        let origin = origin(before, first, item);
        !origin.is_empty() && origin == self::origin(after, second, item)
    };
    both.into_iter().filter(same).map(ItemId::new).collect()
}
