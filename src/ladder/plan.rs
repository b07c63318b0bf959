//! The graded plan.

use super::check::faults_of;
use super::input::{LadderInput, LevelLabel};
use super::refusal::Refusal;
use super::room::Room;
use super::search::{Effort, search};
use crate::quantity::{Load, Pull};

/// The graded plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Ladder {
    /// Load of the start room.
    pub start_load: Load,
    /// Load of the room to cope with.
    pub goal_load: Load,
    /// The largest step of the rungs printed here, in pull; 0 without a rung.
    pub largest_step: f64,
    /// Over the rungs, the start left out.
    pub sum_of_loads: f64,
    /// Proven to be the best.
    pub optimal: bool,
    /// Neither the largest step nor the sum of loads can be bettered by more than this share of itself; 0 when proven.
    pub gap: f64,
    /// From the first on.
    pub rungs: Vec<Rung>,
}

/// One rung: one distractor one level up.
#[derive(Clone, Debug, PartialEq)]
pub struct Rung {
    /// From 1.
    pub number: u32,
    /// The distractor raised.
    pub distractor: String,
    /// Its new level.
    pub level: LevelLabel,
    /// Load of the room on this rung.
    pub load: Load,
    /// Rise of the room's pull; negative where a level draws less than the one before.
    pub rise: f64,
    /// The step, in pull.
    pub step: f64,
    /// The level of every distractor, in the order of the input.
    pub state: Vec<(String, LevelLabel)>,
}

/// The plan of an input.
pub fn plan(input: &LadderInput) -> Result<Ladder, Refusal> {
    plan_within(input, Effort::default())
}

/// The plan of an input, with a given effort of search.
pub fn plan_within(input: &LadderInput, effort: Effort) -> Result<Ladder, Refusal> {
    sensible(input)?;
    let room = Room::new(input);
    let found = search(&room, effort)?;
    let mut levels = room.start();
    let mut rungs = Vec::with_capacity(found.order.len());
    let (mut sum_of_loads, mut largest) = (0.0, None::<f64>);
    let mut before: Pull = room.pull(&levels);
    for (index, number) in found.order.iter().copied().zip(1..) {
        let step = room.step_from(index, &levels);
        levels[index] += 1;
        let pull = room.pull(&levels);
        let load = pull.load();
        sum_of_loads += load.points();
        largest = Some(largest.map_or(step, |largest| largest.max(step)));
        let distractor = &input.distractors[index];
        rungs.push(Rung {
            number,
            distractor: distractor.id.clone(),
            level: distractor.label(levels[index]),
            load,
            rise: pull.u() - before.u(),
            step,
            state: input
                .distractors
                .iter()
                .zip(&levels)
                .map(|(distractor, &level)| (distractor.id.clone(), distractor.label(level)))
                .collect(),
        });
        before = pull;
    }
    Ok(Ladder {
        start_load: room.load(&room.start()),
        goal_load: room.load(&room.goal()),
        largest_step: largest.unwrap_or(0.0),
        sum_of_loads,
        optimal: found.optimal,
        gap: found.gap,
        rungs,
    })
}

/// Refuses an input that makes no sense, before any arithmetic is done on it.
fn sensible(input: &LadderInput) -> Result<(), Refusal> {
    if let Some((spot, wrong)) = faults_of(input).into_iter().next() {
        let fault = spot.item(input).map_or_else(|| wrong.to_string(), |item| format!("{item}: {wrong}"));
        return Err(Refusal::Input { fault });
    }
    if input.distractors.is_empty() { Err(Refusal::NoDistractor) } else { Ok(()) }
}
