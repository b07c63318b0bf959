//! The graded plan: searches, splits what is too large, searches again, and tells every rung.

use super::beyond::{BeyondRung, beyond};
use super::card::{Card, card, ways_on};
use super::caution::Caution;
use super::check::faults_of;
use super::input::{LadderInput, LevelLabel};
use super::refusal::Refusal;
use super::room::{Room, nano};
use super::search::{Effort, Found, search};
use super::split;
use super::words::{ANIMALS, LIGHTS, LOUD_STEP_DB, MINUTES, OWN_OR_FOOD, TRIALS, Telling, speaks_of};
use crate::quantity::Load;
use crate::words::Channel;

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
    /// Proven to be the best for its levels.
    pub optimal: bool,
    /// Neither the largest step nor the sum of loads can be bettered by more than this share of itself; 0 when proven.
    pub gap: f64,
    /// Steps above `max_step` that could not be split.
    pub obstacles: Vec<Obstacle>,
    /// From the first on.
    pub rungs: Vec<Rung>,
    /// After the top: another adult, another place, another task.
    pub beyond: Vec<BeyondRung>,
    /// What to mind.
    pub cautions: Vec<Caution>,
    /// Load of the start room by the levels' own pulls, where something was learned.
    pub scale_start_load: Option<Load>,
}

/// A step above `max_step` that could not be split.
#[derive(Clone, Debug, PartialEq)]
pub struct Obstacle {
    /// The distractor.
    pub id: String,
    /// Its level.
    pub level: LevelLabel,
    /// Its level in words.
    pub level_name: String,
    /// The step, in pull.
    pub step: f64,
    /// What to try first.
    pub probe: String,
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
    /// The same by the levels' own pulls, where something was learned.
    pub scale_load: Option<Load>,
    /// Rise of the load, in points; negative where a level draws less than the one before.
    pub rise: f64,
    /// The step, in pull.
    pub step: f64,
    /// The level of every distractor, in the order of the input.
    pub state: Vec<(String, LevelLabel)>,
    /// What to set up.
    pub set_up: String,
    /// How to check it at the child's chair.
    pub check: String,
    /// At least two things to rotate.
    pub exemplars: Vec<String>,
    /// Minutes of one sitting.
    pub minutes: f64,
    /// Opportunities of one sitting.
    pub trials: u32,
    /// When to go up.
    pub mastery: String,
    /// When to go back, and when to stop for the day.
    pub step_back: String,
    /// What its card tells besides.
    pub card: Card,
}

/// The plan of an input.
pub fn plan(input: &LadderInput) -> Result<Ladder, Refusal> {
    plan_within(input, Effort::default())
}

/// The plan of what follows rung `kept` of an earlier plan: its rungs are numbered on from there.
pub fn plan_after(input: &LadderInput, kept: u32) -> Result<Ladder, Refusal> {
    numbered(input, Effort::default(), kept)
}

/// The plan of an input, with a given effort of search.
pub fn plan_within(input: &LadderInput, effort: Effort) -> Result<Ladder, Refusal> {
    numbered(input, effort, 0)
}

fn numbered(input: &LadderInput, effort: Effort, kept: u32) -> Result<Ladder, Refusal> {
    sensible(input)?;
    let mut input = input.clone();
    if let Some(max_step) = input.max_step {
        split::counts(&mut input, max_step);
    }
    loop {
        let room = Room::new(&input);
        let found = search(&room, effort)?;
        let rises = input.max_step.map(|max_step| split::too_large(&room, &found.order, max_step)).unwrap_or_default();
        let told = tell(&room, &found, kept);
        // Every pass puts levels in or is the last; how many can be put in is bounded.
        if !split::sounds(&mut input, rises) {
            return Ok(told);
        }
    }
}

/// Refuses an input that makes no sense, before any arithmetic is done on it.
fn sensible(input: &LadderInput) -> Result<(), Refusal> {
    if let Some((spot, wrong)) = faults_of(input).into_iter().next() {
        let fault = spot.item(input).map_or_else(|| wrong.to_string(), |item| format!("{item}: {wrong}"));
        return Err(Refusal::Input { fault });
    }
    if input.distractors.is_empty() { Err(Refusal::NoDistractor) } else { Ok(()) }
}

/// The input as it is without what was learned; `None` where nothing was.
fn unlearned(input: &LadderInput) -> Option<LadderInput> {
    #[expect(clippy::float_cmp, reason = "nothing learned is 1 exactly")]
    let learned = input.distractors.iter().any(|one| one.draws != 1.0);
    learned.then(|| {
        let mut plain = input.clone();
        plain.distractors.iter_mut().for_each(|one| one.draws = 1.0);
        plain
    })
}

fn tell(room: &Room<'_>, found: &Found, kept: u32) -> Ladder {
    let input = room.input;
    let mut levels = room.start();
    let unlearned = unlearned(input);
    let by_scale = unlearned.as_ref().map(Room::new);
    let mut ladder = Ladder {
        scale_start_load: by_scale.as_ref().map(|room| room.load(&levels)),
        start_load: room.load(&levels),
        goal_load: room.load(&room.goal()),
        largest_step: 0.0,
        sum_of_loads: 0.0,
        optimal: found.optimal,
        gap: found.gap,
        obstacles: Vec::new(),
        rungs: Vec::with_capacity(found.order.len()),
        beyond: Vec::new(),
        cautions: Vec::new(),
    };
    let mut loud = Vec::new();
    for (done, (&index, number)) in found.order.iter().zip(kept + 1..).enumerate() {
        let (before, reading) = (room.load(&levels), room.plain_level(&levels));
        let step = room.step_from(index, &levels);
        levels[index] += 1;
        let load = room.load(&levels);
        let telling = Telling { room, index, levels: &levels, order: &found.order[..=done] };
        let alone = telling.sound_step().map_or(0.0, |(from, to)| to - from);
        if room.plain_level(&levels).above(reading).max(alone) > LOUD_STEP_DB {
            loud.push(number);
        }
        let distractor = &input.distractors[index];
        let level = distractor.label(levels[index]);
        if input.max_step.is_some_and(|max_step| nano(step) > nano(max_step.u())) {
            ladder.obstacles.push(Obstacle {
                id: distractor.id.clone(),
                level: level.clone(),
                level_name: telling.level_name(),
                step,
                probe: telling.probe(),
            });
        }
        let Some(card) = card(&telling) else { continue };
        ladder.sum_of_loads += load.points();
        ladder.largest_step = if done == 0 { step } else { ladder.largest_step.max(step) };
        ladder.rungs.push(Rung {
            number,
            distractor: distractor.id.clone(),
            level,
            load,
            scale_load: by_scale.as_ref().map(|room| room.load(&levels)),
            rise: load.points() - before.points(),
            step,
            state: input
                .distractors
                .iter()
                .zip(&levels)
                .map(|(distractor, &level)| (distractor.id.clone(), distractor.label(level)))
                .collect(),
            set_up: telling.set_up(),
            check: telling.check(),
            exemplars: telling.exemplars(),
            minutes: distractor.minutes.unwrap_or(MINUTES),
            trials: distractor.trials.unwrap_or(TRIALS),
            mastery: Telling::mastery(),
            step_back: Telling::step_back(number),
            card,
        });
    }
    let labels: Vec<LevelLabel> = ladder.rungs.iter().map(|rung| rung.level.clone()).collect();
    for (rung, otherwise) in ladder.rungs.iter_mut().zip(ways_on(room, &found.order, &labels, kept)) {
        rung.card.otherwise = otherwise;
    }
    if let Some(top) = ladder.rungs.last() {
        ladder.beyond = beyond(top.number, &top.mastery);
    }
    ladder.cautions = cautions(room, found, &ladder, loud);
    ladder
}

fn cautions(room: &Room<'_>, found: &Found, ladder: &Ladder, loud: Vec<u32>) -> Vec<Caution> {
    if found.order.is_empty() {
        return vec![Caution::LoadIsConvention];
    }
    let input = room.input;
    let raised = || (0..input.distractors.len()).filter(|index| found.order.contains(index));
    let any = |test: &dyn Fn(usize) -> bool| raised().any(test);
    let channel = |index: usize| input.distractors[index].channel;
    let speaks = |index: usize, words| speaks_of(&input.distractors[index], words);
    let mut cautions = vec![Caution::Draft, Caution::LoadIsConvention, Caution::StopOnDistress];
    if any(&|index| channel(index) == Channel::Heard) {
        cautions.push(Caution::SoundCap { cap_db: input.sound_cap.db(), planned_db: input.planned_cap().db() });
    }
    if !loud.is_empty() {
        cautions.push(Caution::LoudStep { rungs: loud });
    }
    if any(&|index| channel(index) == Channel::Company) {
        cautions.push(Caution::AskEachTime);
    }
    if any(&|index| channel(index) == Channel::Company && speaks(index, ANIMALS)) {
        cautions.push(Caution::PetsNeverHeld);
    }
    if any(&|index| channel(index) == Channel::Seen && speaks(index, LIGHTS)) {
        cautions.push(Caution::NoFlashingLight);
    }
    if any(&|index| speaks(index, OWN_OR_FOOD)) {
        cautions.push(Caution::NoBait);
    }
    if !input.keep.is_empty() {
        cautions.push(Caution::KeepStays { names: input.keep.clone() });
    }
    let falling: Vec<String> = raised()
        .filter(|&index| {
            let distractor = &input.distractors[index];
            (distractor.start..distractor.goal).any(|level| nano(room.alone_rise(index, level)) < 0)
        })
        .map(|index| input.distractors[index].id.clone())
        .collect();
    if !falling.is_empty() {
        cautions.push(Caution::LevelFalls { ids: falling });
    }
    let mut ids: Vec<String> = Vec::new();
    for obstacle in &ladder.obstacles {
        if !ids.contains(&obstacle.id) {
            ids.push(obstacle.id.clone());
        }
    }
    if !ids.is_empty() {
        cautions.push(Caution::Obstacles { ids });
    }
    if !found.optimal {
        cautions.push(Caution::NotProven { gap: found.gap });
    }
    cautions
}
