//! What answers score: each surface by its own items, and all together, with every sensitivity 1 and nothing pooled.
//!
//! `u = −ln(1 − p)` an item, pulls add, `load = 100·(1 − e^(−Σu))`; `p` by the item's unit (`Item::alone_share`).
//! Checked against numbers worked by hand in `tests/suite/checklist.rs`.

use super::model::{Answer, Answers, Checklist, Item, ItemId};
use crate::quantity::{Load, Pull};
use crate::words::Surface;

/// The scores of one answers file.
#[derive(Clone, Debug, PartialEq)]
pub struct Scores {
    /// The checklist's id.
    pub checklist: String,
    /// Every surface the list asks about, in the order of a walk.
    pub surfaces: Vec<SurfaceScore>,
    /// All pulls together.
    pub pull: Pull,
    /// The load of that pull.
    pub load: Load,
    /// Items that were not seen, in the order of the list. They are no zeros: nothing is known of them.
    pub unanswered: Vec<ItemId>,
}

/// One surface by its own items.
#[derive(Clone, Debug, PartialEq)]
pub struct SurfaceScore {
    /// Which one.
    pub surface: Surface,
    /// The load of its items alone.
    pub load: Load,
    /// Their pulls together.
    pub pull: Pull,
    /// The items that were answered, in the order of the list.
    pub items: Vec<ItemScore>,
    /// How many of its items were not seen; with `items` empty, its load says nothing.
    pub unanswered: usize,
}

/// One answered item.
#[derive(Clone, Debug, PartialEq)]
pub struct ItemScore {
    /// Its name.
    pub id: ItemId,
    /// The answer.
    pub answer: Answer,
    /// The percentage of attention this answer takes alone.
    pub alone: f64,
    /// Its pull.
    pub pull: Pull,
    /// Its part of the whole pull, 0 to 1 (0 when there is no pull at all).
    pub share: f64,
}

/// Scores answers. What must stay (`keep`) is neither counted nor listed.
pub fn score(list: &Checklist, answers: &Answers) -> Scores {
    let counted = || list.items.iter().filter(|item| !answers.kept(&item.id));
    let pull: Pull = counted().filter_map(|item| item.pull(answers.to(&item.id))).sum();
    let surfaces = Surface::ALL
        .into_iter()
        .filter(|surface| counted().any(|item| item.surface == *surface))
        .map(|surface| score_surface(surface, counted().filter(|item| item.surface == surface), answers, pull))
        .collect();
    let unanswered = counted().filter(|item| item.pull(answers.to(&item.id)).is_none());
    Scores {
        checklist: list.id.clone(),
        surfaces,
        pull,
        load: pull.load(),
        unanswered: unanswered.map(|item| item.id.clone()).collect(),
    }
}

/// Scores the items of one surface; `whole` is the pull of all surfaces.
fn score_surface<'a>(
    surface: Surface,
    asked: impl Iterator<Item = &'a Item>,
    answers: &Answers,
    whole: Pull,
) -> SurfaceScore {
    let mut items = Vec::new();
    let mut unanswered = 0;
    for item in asked {
        let answer = answers.to(&item.id);
        match item.alone_share(answer).and_then(|p| Pull::of_share(p).map(|pull| (p, pull))) {
            Some((p, pull)) => items.push(ItemScore {
                id: item.id.clone(),
                answer: answer.clone(),
                alone: 100.0 * p,
                pull,
                share: if whole > Pull::ZERO { pull.u() / whole.u() } else { 0.0 },
            }),
            None => unanswered += 1,
        }
    }
    let pull: Pull = items.iter().map(|item| item.pull).sum();
    SurfaceScore { surface, load: pull.load(), pull, items, unanswered }
}
