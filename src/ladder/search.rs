//! From a room to the order of its rungs: the phases, the bottleneck of the whole path, the least sum within it.
//!
//! A phase begins where the one before ends, whatever the order inside it, so each can be searched by itself; they
//! meet only in the bottleneck, which is the largest of the phases' bottlenecks. Least sums are searched within it.

use super::beam;
use super::forest;
use super::input::{LevelDraw, LevelLabel};
use super::lattice::Lattice;
use super::phase::Phase;
use super::refusal::{End, Refusal};
use super::room::{CAP_ROUNDING_DB, Room, nano};
use crate::quantity::Decibels;
use crate::words::Channel;

/// How much may be searched.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Effort {
    /// The largest lattice of one phase that is searched whole; 17 bytes a state.
    pub lattice_states: usize,
    /// Rungs looked at in one pass of a bounded search.
    pub bounded_rungs: usize,
}

impl Default for Effort {
    /// A second and about 70 MB at most.
    fn default() -> Self {
        Self { lattice_states: 4_000_000, bounded_rungs: 4_000_000 }
    }
}

/// A bound and the figure it bounds are computed along different ways: they may differ by so many units a rung.
pub(crate) const ROUNDINGS_A_RUNG: f64 = 2.0;

/// The order of the rungs.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Found {
    /// The distractor that each rung raises, by its place in the input.
    pub(crate) order: Vec<usize>,
    /// Proven to be the best.
    pub(crate) optimal: bool,
    /// The share of the largest step, or of the sum of loads, by which it may at most be bettered.
    pub(crate) gap: f64,
}

/// A phase's way, and what is proven about every way.
pub(crate) struct Way {
    /// Movers, in order.
    pub(crate) movers: Vec<usize>,
    /// Its sum of loads.
    pub(crate) sum: i64,
    /// No way has a smaller sum.
    pub(crate) least_sum: i64,
}

/// How a phase is searched.
enum Method<'a> {
    Whole(Lattice<'a>),
    Forest,
    /// A way within its own bottleneck.
    Bounded(Vec<usize>),
}

/// The best order of rungs, or the best found.
pub(crate) fn search(room: &Room<'_>, effort: Effort) -> Result<Found, Refusal> {
    ends_allowed(room)?;
    let mut phases = Vec::with_capacity(3);
    let mut levels = room.start();
    for channel in room.input.order {
        let phase = Phase::new(room, channel, levels)?;
        levels = phase.exit();
        phases.push(phase);
    }
    let mut largest = i64::MIN;
    let mut proven = i64::MIN;
    let mut methods = Vec::with_capacity(3);
    for phase in &phases {
        let (method, (most, bound)) = first_pass(room, phase, effort)?;
        largest = largest.max(most);
        proven = proven.max(bound);
        methods.push(method);
    }
    let mut order = Vec::new();
    let (mut sum, mut least_sum) = (0i64, 0i64);
    for (phase, method) in phases.iter().zip(&methods) {
        let way = match method {
            Method::Whole(lattice) => {
                lattice.least_sum(largest).map(|(movers, sum)| Way { movers, sum, least_sum: sum })
            }
            Method::Forest => forest::least_sum(room, phase).map(|(movers, sum)| Way { movers, sum, least_sum: sum }),
            Method::Bounded(way) => beam::least_sum(room, phase, largest, way, effort),
        };
        let way = way.ok_or_else(|| no_way(room, phase, true))?;
        order.extend(way.movers.iter().map(|&mover| phase.movers[mover].index));
        sum = sum.saturating_add(way.sum);
        least_sum = least_sum.saturating_add(way.least_sum);
    }
    if room.input.by_list {
        return listed(room, &phases, (proven, least_sum));
    }
    let gap = above(largest, proven).max(above(sum, least_sum));
    let rounding = ROUNDINGS_A_RUNG * order.len() as f64;
    let within = |figure: i64, bound: i64| (figure.saturating_sub(bound) as f64) <= rounding;
    let optimal = order.is_empty() || (within(largest, proven) && within(sum, least_sum));
    Ok(Found { order, optimal, gap: if optimal { 0.0 } else { gap } })
}

/// The order of the list, phase by phase: of what may rise next without breaking a prerequisite or the cap, the thing whose
/// next level has the lowest number, and of those the first in the list. The bounds say how far it is from the best.
fn listed(room: &Room<'_>, phases: &[Phase], (proven, least_sum): (i64, i64)) -> Result<Found, Refusal> {
    let mut order = Vec::new();
    let mut levels = room.start();
    let (mut largest, mut sum) = (i64::MIN, 0_i64);
    for phase in phases {
        let mut risen = vec![0; phase.movers.len()];
        for _ in 0..phase.rungs() {
            let next = (0..risen.len())
                .filter(|&mover| {
                    let need = phase.movers[mover].need;
                    risen[mover] < phase.movers[mover].rises()
                        && need.is_none_or(|(other, least)| risen[other] >= least)
                })
                .filter(|&mover| {
                    let mut raised = levels.clone();
                    raised[phase.movers[mover].index] += 1;
                    phase.channel != Channel::Heard || room.plain_energy(&raised) <= room.energy_cap()
                })
                .min_by_key(|&mover| {
                    let index = phase.movers[mover].index;
                    (number(room, index, levels[index] + 1), mover)
                });
            let mover = next.ok_or_else(|| no_way(room, phase, false))?;
            let index = phase.movers[mover].index;
            largest = largest.max(nano(room.step_from(index, &levels)));
            risen[mover] += 1;
            levels[index] += 1;
            sum = sum.saturating_add(nano(room.load(&levels).points()));
            order.push(index);
        }
    }
    let gap = above(largest, proven).max(above(sum, least_sum));
    Ok(Found { optimal: order.is_empty(), gap: if order.is_empty() { 0.0 } else { gap }, order })
}

/// The number of the plain level that a level is or leads to.
fn number(room: &Room<'_>, index: usize, level: usize) -> u32 {
    let distractor = &room.input.distractors[index];
    let plain = (level..=distractor.levels.len()).find_map(|level| match distractor.label(level) {
        LevelLabel::Plain(number) => Some(number),
        LevelLabel::Inserted(_) => None,
    });
    plain.unwrap_or(u32::MAX)
}

/// By which share of itself a figure is above what is proven of every way; 1, nothing proven, for a figure that is not
/// above 0 (only falling levels) and not met by its bound.
fn above(figure: i64, bound: i64) -> f64 {
    let excess = figure.saturating_sub(bound).max(0);
    if excess == 0 {
        0.0
    } else if figure > 0 {
        (excess as f64 / figure as f64).min(1.0)
    } else {
        1.0
    }
}

/// How a phase is searched, its smallest largest step so far, and a bound that none of its ways is below.
fn first_pass<'a>(room: &'a Room<'_>, phase: &'a Phase, effort: Effort) -> Result<(Method<'a>, (i64, i64)), Refusal> {
    let states = phase.states().filter(|&states| states <= effort.lattice_states.max(1));
    if let Some(states) = states {
        let lattice = Lattice::new(room, phase, states);
        let most = lattice.bottleneck().ok_or_else(|| no_way(room, phase, false))?;
        return Ok((Method::Whole(lattice), (most, most)));
    }
    if phase.channel == Channel::Heard {
        let found = beam::bottleneck(room, phase, effort);
        let (most, bound, way) = found.ok_or_else(|| no_way(room, phase, true))?;
        return Ok((Method::Bounded(way), (most, bound)));
    }
    let steps = phase.movers.iter().flat_map(|mover| mover.least_steps.iter());
    let most = steps.map(|&step| nano(step)).max().unwrap_or(i64::MIN);
    Ok((Method::Forest, (most, most)))
}

/// Refuses a start or goal room that may not be.
fn ends_allowed(room: &Room<'_>) -> Result<(), Refusal> {
    let input = room.input;
    let cap_db = input.planned_cap().db();
    if input.background.db() > cap_db + CAP_ROUNDING_DB {
        return Err(Refusal::BackgroundAboveCap { background_db: input.background.db(), cap_db });
    }
    for (end, levels) in [(End::Start, room.start()), (End::Goal, room.goal())] {
        for (distractor, &level) in input.distractors.iter().zip(&levels) {
            let Some(need) = distractor.needs.as_ref().filter(|_| level > 0) else { continue };
            let at = input.distractors.iter().position(|other| other.id == need.id).map_or(0, |other| levels[other]);
            if at < need.level {
                let (id, needs) = (distractor.id.clone(), need.id.clone());
                return Err(Refusal::NeedsMissing { room: end, id, needs, level: need.level, at });
            }
        }
        if room.plain_energy(&levels) > room.energy_cap() {
            let mut on: Vec<(f64, &str)> = input
                .distractors
                .iter()
                .zip(&levels)
                .filter_map(|(distractor, &level)| match distractor.level(level)?.draw {
                    LevelDraw::Sound { level, .. } => Some((level.db(), distractor.id.as_str())),
                    LevelDraw::Pull { .. } => None,
                })
                .collect();
            on.sort_by(|a, b| b.0.total_cmp(&a.0));
            let sounds = on.into_iter().map(|(_, id)| id.to_owned()).collect();
            return Err(Refusal::AboveCap { room: end, level_db: room.plain_level(&levels).db(), cap_db, sounds });
        }
    }
    Ok(())
}

/// Why a phase has no way through: things that wait for each other, or else the cap.
fn no_way(room: &Room<'_>, phase: &Phase, bounded: bool) -> Refusal {
    let id = |mover: usize| room.input.distractors[phase.movers[mover].index].id.clone();
    let mut risen = vec![0; phase.movers.len()];
    loop {
        let ready = (0..risen.len()).find(|&mover| {
            let need = phase.movers[mover].need;
            risen[mover] < phase.movers[mover].rises() && need.is_none_or(|(other, least)| risen[other] >= least)
        });
        match ready {
            Some(mover) => risen[mover] = phase.movers[mover].rises(),
            None => break,
        }
    }
    let stuck: Vec<String> = (0..risen.len()).filter(|&mover| risen[mover] == 0).map(id).collect();
    if !stuck.is_empty() {
        return Refusal::Locked { ids: stuck };
    }
    let cap_db = room.input.planned_cap().db();
    let louder = |mover: &usize| {
        let amounts = &phase.movers[*mover].amounts;
        let goal = amounts.last().map_or(0.0, |last| last.plain);
        amounts.iter().any(|amount| Decibels::from_power(amount.plain) > Decibels::from_power(goal))
    };
    if bounded {
        return Refusal::NoneFound { cap_db, sounds: (0..phase.movers.len()).map(id).collect() };
    }
    Refusal::CapOnTheWay { cap_db, sounds: (0..phase.movers.len()).filter(louder).map(id).collect() }
}
