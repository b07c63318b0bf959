//! The exact search of one phase: every state of the lattice of levels, once.
//!
//! States are numbered by mixed radix, the first mover the most significant digit; a rung goes from a state to one
//! with a larger number, so one walk through the numbers downwards meets every state after all that can follow it:
//!
//! ```text
//! b(goal) = −∞      b(s) = min over rungs s→t of max(step(s→t), b(t))                        the bottleneck
//! w(goal) = load    w(s) = load(s) + min over rungs s→t with step(s→t) ≤ B of w(t)           the least sum
//! ```
//!
//! Steps and loads are integers in units of 1e-9 (see `room`). States above the sound cap or against a prerequisite
//! are closed. Of equally good rungs the one whose distractor stands first in the input is taken.
//! Time: states × movers, twice. Memory: 17 bytes a state.
//! Checked: against all orders (tests/suite/ladder) and against `forest`, an algorithm without a lattice.

use super::phase::{Amount, Mover, Phase};
use super::room::{Room, nano};
use crate::quantity::Pull;
use crate::words::Channel;

/// No way on from here.
const CLOSED: i64 = i64::MAX;

/// All states of a phase.
pub(crate) struct Lattice<'a> {
    phase: &'a Phase,
    /// How much a rise of each mover adds to a state's number.
    strides: Vec<usize>,
    /// The channel's share of `U`, with sensitivity, by state.
    pulls: Vec<f64>,
    /// Whether a state may be.
    open: Vec<bool>,
    /// Least steps of each mover's rises.
    least: Vec<Vec<i64>>,
}

impl<'a> Lattice<'a> {
    /// The lattice of a phase with that many states, `phase.states()`.
    pub(crate) fn new(room: &Room<'_>, phase: &'a Phase, states: usize) -> Self {
        let mut strides = vec![1; phase.movers.len()];
        for mover in (1..phase.movers.len()).rev() {
            strides[mover - 1] = strides[mover] * (phase.movers[mover].rises() + 1);
        }
        let sensitivity = room.input.sensitivity.of(phase.channel);
        let heard = phase.channel == Channel::Heard;
        let cap = room.energy_cap();
        let mut pulls = Vec::with_capacity(states);
        let mut open = Vec::with_capacity(states);
        let mut risen = vec![0; phase.movers.len()];
        // sums[k] is what the first k movers add to the base: a state's sum always runs in the same order.
        let mut sums = vec![phase.base; phase.movers.len() + 1];
        let mut changed = 0;
        loop {
            for (mover, rising) in phase.movers.iter().enumerate().skip(changed) {
                sums[mover + 1] = sums[mover].plus(rising.amounts[risen[mover]]);
            }
            let there = sums[phase.movers.len()];
            pulls.push(sensitivity * phase.pull_of(room, there));
            open.push((!heard || there.plain <= cap) && allowed(&phase.movers, &risen));
            match next(&phase.movers, &mut risen) {
                Some(mover) => changed = mover,
                None => break,
            }
        }
        let least =
            phase.movers.iter().map(|mover| mover.least_steps.iter().map(|&step| nano(step)).collect()).collect();
        Self { phase, strides, pulls, open, least }
    }

    /// The smallest largest step of any way through; `None` when there is no way.
    pub(crate) fn bottleneck(&self) -> Option<i64> {
        let mut best = vec![CLOSED; self.pulls.len()];
        self.downwards(|state, rungs| {
            best[state] = match rungs {
                None => i64::MIN,
                Some(rungs) => rungs.fold(CLOSED, |least, (next, step)| least.min(step.max(best[next]))),
            };
        });
        best.first().copied().filter(|&largest| largest != CLOSED)
    }

    /// The way with the least sum of loads among those without a step above `largest`: its movers, in order, and its sum.
    pub(crate) fn least_sum(&self, largest: i64) -> Option<(Vec<usize>, i64)> {
        let mut best = vec![CLOSED; self.pulls.len()];
        self.downwards(|state, rungs| {
            let onward = match rungs {
                None => 0,
                Some(rungs) => {
                    rungs.filter(|(_, step)| *step <= largest).fold(CLOSED, |least, (next, _)| least.min(best[next]))
                }
            };
            best[state] = if onward == CLOSED { CLOSED } else { onward.saturating_add(self.load(state)) };
        });
        let whole = best.first().copied().filter(|&sum| sum != CLOSED)?;
        let mut order = Vec::with_capacity(self.phase.rungs());
        let mut risen = vec![0; self.phase.movers.len()];
        let mut state = 0;
        while state + 1 < self.pulls.len() {
            let onward = best[state].saturating_sub(self.load(state));
            let mover = (0..risen.len()).find(|&mover| {
                risen[mover] < self.phase.movers[mover].rises() && {
                    let next = state + self.strides[mover];
                    best[next] == onward && self.step(mover, risen[mover], state, next) <= largest
                }
            })?;
            state += self.strides[mover];
            risen[mover] += 1;
            order.push(mover);
        }
        Some((order, whole.saturating_sub(self.load(0))))
    }

    /// Visits every open state, the last first, with its rungs (the state after it, the step); none at the goal.
    fn downwards(&self, mut visit: impl FnMut(usize, Option<&mut dyn Iterator<Item = (usize, i64)>>)) {
        let movers = &self.phase.movers;
        let mut risen: Vec<usize> = movers.iter().map(Mover::rises).collect();
        let goal = self.pulls.len() - 1;
        for state in (0..=goal).rev() {
            if state == goal && self.open[state] {
                visit(state, None);
            } else if self.open[state] {
                let mut rungs = (0..movers.len()).filter(|&mover| risen[mover] < movers[mover].rises()).map(|mover| {
                    let next = state + self.strides[mover];
                    (next, self.step(mover, risen[mover], state, next))
                });
                visit(state, Some(&mut rungs));
            }
            previous(movers, &mut risen);
        }
    }

    fn step(&self, mover: usize, risen: usize, state: usize, next: usize) -> i64 {
        let least = self.least[mover][risen];
        if self.phase.channel == Channel::Heard { nano(self.pulls[next] - self.pulls[state]).max(least) } else { least }
    }

    fn load(&self, state: usize) -> i64 {
        state_load(self.phase.rest + self.pulls[state])
    }
}

/// The load of a state with the pull `u`, in units of 1e-9.
pub(crate) fn state_load(u: f64) -> i64 {
    nano(Pull::new(u).unwrap_or_default().load().points())
}

/// Whether everything that has risen has what it needs.
pub(crate) fn allowed(movers: &[Mover], risen: &[usize]) -> bool {
    movers
        .iter()
        .zip(risen)
        .all(|(mover, &rises)| rises == 0 || mover.need.is_none_or(|(other, least)| risen[other] >= least))
}

/// The next state; the first mover whose digit changed, or `None` after the last state.
fn next(movers: &[Mover], risen: &mut [usize]) -> Option<usize> {
    for mover in (0..movers.len()).rev() {
        if risen[mover] < movers[mover].rises() {
            risen[mover] += 1;
            return Some(mover);
        }
        risen[mover] = 0;
    }
    None
}

/// The state before.
fn previous(movers: &[Mover], risen: &mut [usize]) {
    for mover in (0..movers.len()).rev() {
        if risen[mover] > 0 {
            risen[mover] -= 1;
            return;
        }
        risen[mover] = movers[mover].rises();
    }
}

/// What a set of rises adds up to, with the base.
pub(crate) fn amount_of(phase: &Phase, risen: &[usize]) -> Amount {
    phase.movers.iter().zip(risen).fold(phase.base, |sum, (mover, &rises)| sum.plus(mover.amounts[rises]))
}
