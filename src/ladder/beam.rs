//! The bounded search of a phase of sounds too large to search whole.
//!
//! Rung by rung it keeps a fixed number of the best states reached so far (a beam): for the bottleneck those with the
//! smallest largest step, the quieter first; for the sum those with the least sum among ways within the bottleneck. The
//! order that always adds the least energy next is tried too, because it is the best one wherever nothing binds.
//! The beam is as wide as the effort allows. What it cannot prove is bounded by `bounds`; the two together are the gap.
//! Same input, same plan: no chance is involved, and ties go to the first in the input.

use std::collections::HashMap;

use super::bounds;
use super::lattice::{amount_of, state_load};
use super::phase::{Amount, Phase};
use super::room::{Room, nano};
use super::search::{Effort, ROUNDINGS_A_RUNG, Way};

/// Width of the beam, least and most.
const WIDTH: (usize, usize) = (8, 2000);

/// A state on the way.
struct Entry {
    /// How often each mover has risen.
    risen: Vec<usize>,
    /// Energies of what is there.
    there: Amount,
    /// The channel's share of `U`, with sensitivity.
    pull: f64,
    largest: i64,
    sum: i64,
    hash: u64,
}

/// A state that may be kept.
#[derive(Clone, Copy)]
struct Candidate {
    parent: usize,
    mover: usize,
    rank: i64,
    energy: f64,
    largest: i64,
    sum: i64,
    hash: u64,
}

impl Candidate {
    fn better(&self, other: &Self) -> std::cmp::Ordering {
        let rank = self.rank.cmp(&other.rank).then(self.energy.total_cmp(&other.energy));
        rank.then(self.parent.cmp(&other.parent)).then(self.mover.cmp(&other.mover))
    }
}

/// What the beam looks for.
#[derive(Clone, Copy)]
enum Aim {
    /// The smallest largest step.
    Bottleneck,
    /// The least sum among ways without a larger step than this.
    Sum(i64),
}

/// The smallest largest step found, a bound below which no way goes, and the way; `None` when no way was found.
pub(crate) fn bottleneck(room: &Room<'_>, phase: &Phase, effort: Effort) -> Option<(i64, i64, Vec<usize>)> {
    let bound = bounds::largest_step(room, phase);
    let quiet = quietest_first(room, phase).map(|way| (judge(room, phase, &way), way));
    let best = match quiet {
        Some(((largest, sum), way)) if met(largest, bound, &way) => ((largest, sum), way),
        quiet => {
            let searched = beam(room, phase, Aim::Bottleneck, effort).map(|way| (judge(room, phase, &way), way));
            [searched, quiet].into_iter().flatten().min_by_key(|(figures, _)| *figures)?
        }
    };
    let ((largest, _), way) = best;
    Some((largest, bound.min(largest), way))
}

/// Whether a figure is as good as its bound, but for two roundings a rung: then no search can better it.
fn met(figure: i64, bound: i64, way: &[usize]) -> bool {
    figure.saturating_sub(bound) as f64 <= ROUNDINGS_A_RUNG * way.len() as f64
}

/// The way with the least sum found among those without a step above `largest`; `way` is one of those.
pub(crate) fn least_sum(room: &Room<'_>, phase: &Phase, largest: i64, way: &[usize], effort: Effort) -> Option<Way> {
    let bound = bounds::sum_of_loads(room, phase);
    let within = |way: Vec<usize>| {
        let (most, sum) = judge(room, phase, &way);
        (most <= largest).then_some((sum, way))
    };
    let known = [Some(way.to_vec()), quietest_first(room, phase)];
    let known = known.into_iter().flatten().filter_map(within).min_by_key(|(sum, _)| *sum);
    let best = match known {
        Some((sum, way)) if met(sum, bound, &way) => (sum, way),
        known => {
            let searched = beam(room, phase, Aim::Sum(largest), effort).and_then(within);
            [searched, known].into_iter().flatten().min_by_key(|(sum, _)| *sum)?
        }
    };
    let (sum, movers) = best;
    Some(Way { movers, sum, least_sum: bound.min(sum) })
}

/// Largest step and sum of loads of a way.
fn judge(room: &Room<'_>, phase: &Phase, way: &[usize]) -> (i64, i64) {
    let mut risen = vec![0; phase.movers.len()];
    let mut pull = share(room, phase, amount_of(phase, &risen));
    let (mut largest, mut sum) = (i64::MIN, 0i64);
    for &mover in way {
        let least = phase.movers[mover].least_steps[risen[mover]];
        risen[mover] += 1;
        let after = share(room, phase, amount_of(phase, &risen));
        largest = largest.max(nano(after - pull)).max(nano(least));
        sum = sum.saturating_add(state_load(phase.rest + after));
        pull = after;
    }
    (largest, sum)
}

/// The channel's share of `U`, with sensitivity.
fn share(room: &Room<'_>, phase: &Phase, there: Amount) -> f64 {
    room.input.sensitivity.of(phase.channel) * phase.pull_of(room, there)
}

/// What a rise adds; negative for a level quieter than the one below it.
fn rise(phase: &Phase, mover: usize, risen: usize) -> Amount {
    let amounts = &phase.movers[mover].amounts;
    Amount {
        drawn: amounts[risen + 1].drawn - amounts[risen].drawn,
        plain: amounts[risen + 1].plain - amounts[risen].plain,
    }
}

/// The movers that may rise next.
fn ready<'a>(phase: &'a Phase, risen: &'a [usize]) -> impl Iterator<Item = usize> + 'a {
    (0..risen.len()).filter(|&mover| {
        let waits = phase.movers[mover].need.is_some_and(|(other, least)| risen[other] < least);
        risen[mover] < phase.movers[mover].rises() && !waits
    })
}

/// The order that always adds the least energy next; `None` when it runs into the cap.
fn quietest_first(room: &Room<'_>, phase: &Phase) -> Option<Vec<usize>> {
    let cap = room.energy_cap();
    let mut risen = vec![0; phase.movers.len()];
    let mut way = Vec::with_capacity(phase.rungs());
    for _ in 0..phase.rungs() {
        let plain = amount_of(phase, &risen).plain;
        let next = ready(phase, &risen)
            .map(|mover| (mover, rise(phase, mover, risen[mover])))
            .filter(|(_, rise)| plain + rise.plain <= cap)
            .min_by(|(_, a), (_, b)| a.drawn.total_cmp(&b.drawn))?;
        risen[next.0] += 1;
        way.push(next.0);
    }
    Some(way)
}

fn beam(room: &Room<'_>, phase: &Phase, aim: Aim, effort: Effort) -> Option<Vec<usize>> {
    let (rungs, cap) = (phase.rungs(), room.energy_cap());
    let width = (effort.bounded_rungs / (rungs * phase.movers.len()).max(1)).clamp(WIDTH.0, WIDTH.1);
    let risen = vec![0; phase.movers.len()];
    let there = amount_of(phase, &risen);
    let pull = share(room, phase, there);
    let mut layer = vec![Entry { risen, there, pull, largest: i64::MIN, sum: 0, hash: 0 }];
    let mut trail: Vec<Vec<(usize, usize)>> = Vec::with_capacity(rungs);
    for _ in 0..rungs {
        // A state is known by its hash; the best candidate for each is kept. Nothing is read in the map's own order.
        let mut known: HashMap<u64, usize> = HashMap::new();
        let mut candidates: Vec<Candidate> = Vec::new();
        for (parent, entry) in layer.iter().enumerate() {
            for mover in ready(phase, &entry.risen) {
                let Some(candidate) = reach(room, phase, aim, cap, (parent, entry), mover) else { continue };
                match known.get(&candidate.hash) {
                    None => {
                        known.insert(candidate.hash, candidates.len());
                        candidates.push(candidate);
                    }
                    Some(&place) if candidate.better(&candidates[place]).is_lt() => candidates[place] = candidate,
                    Some(_) => {}
                }
            }
        }
        if candidates.len() > width {
            candidates.select_nth_unstable_by(width, Candidate::better);
            candidates.truncate(width);
        }
        candidates.sort_unstable_by(Candidate::better);
        layer = candidates.iter().map(|candidate| follow(room, phase, &layer[candidate.parent], candidate)).collect();
        trail.push(candidates.iter().map(|candidate| (candidate.parent, candidate.mover)).collect());
    }
    let mut place = if layer.is_empty() { return None } else { 0 };
    let mut way = Vec::with_capacity(rungs);
    for step in trail.iter().rev() {
        let (parent, mover) = step[place];
        way.push(mover);
        place = parent;
    }
    way.reverse();
    Some(way)
}

/// The state after one more rise, if it may be.
fn reach(
    room: &Room<'_>,
    phase: &Phase,
    aim: Aim,
    cap: f64,
    (parent, entry): (usize, &Entry),
    mover: usize,
) -> Option<Candidate> {
    let risen = entry.risen[mover];
    let there = entry.there.plus(rise(phase, mover, risen));
    if there.plain > cap {
        return None;
    }
    let pull = share(room, phase, there);
    let step = nano(pull - entry.pull).max(nano(phase.movers[mover].least_steps[risen]));
    let (largest, sum) = (entry.largest.max(step), entry.sum.saturating_add(state_load(phase.rest + pull)));
    let rank = match aim {
        Aim::Bottleneck => largest,
        Aim::Sum(most) if step > most => return None,
        Aim::Sum(_) => sum,
    };
    let hash = entry.hash ^ mark(mover, risen) ^ mark(mover, risen + 1);
    Some(Candidate { parent, mover, rank, energy: there.drawn, largest, sum, hash })
}

fn follow(room: &Room<'_>, phase: &Phase, parent: &Entry, candidate: &Candidate) -> Entry {
    let mut risen = parent.risen.clone();
    risen[candidate.mover] += 1;
    // Summed anew, so that roundings do not pile up along a way.
    let there = amount_of(phase, &risen);
    let pull = share(room, phase, there);
    Entry { risen, there, pull, largest: candidate.largest, sum: candidate.sum, hash: candidate.hash }
}

/// A number for one mover at one level; a state's hash is all of them together. The mixing is splitmix64's.
fn mark(mover: usize, risen: usize) -> u64 {
    if risen == 0 {
        return 0;
    }
    let mut mixed = ((mover as u64) << 32 | risen as u64).wrapping_mul(0x9e37_79b9_7f4a_7c15);
    mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    mixed ^ (mixed >> 31)
}

#[cfg(test)]
mod tests {
    use std::collections::HashSet;

    use super::mark;

    /// Each of ten things at one of its four levels: a hash of its own for every state, as the marks of its things.
    #[test]
    fn a_million_states_have_a_million_hashes() {
        let marks: Vec<[u64; 4]> = (0..10).map(|mover| [0, 1, 2, 3].map(|risen| mark(mover, risen))).collect();
        assert!(marks.iter().all(|of| of[0] == 0));
        let hashes: HashSet<u64> = (0..1_u32 << 20)
            .map(|state| marks.iter().enumerate().fold(0, |hash, (at, of)| hash ^ of[(state >> (2 * at) & 3) as usize]))
            .collect();
        assert_eq!(hashes.len(), 1 << 20);
        // The bits look drawn: over all marks each is set about half of the time.
        let set = |bit: u32| (1..2000).filter(|&risen| mark(3, risen) >> bit & 1 == 1).count();
        assert!((0..64).all(|bit| (850..1150).contains(&set(bit))));
    }
}
