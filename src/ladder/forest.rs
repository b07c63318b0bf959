//! The exact order of a phase of any size whose steps are the same in every order (things seen, company).
//!
//! With fixed rises `x` of `U` the loads after the rungs are `100·(1 − e^(−U₀)·e^(−C_k))`, `C_k` the sum of the first
//! `k` rises; their sum is least where `Σ e^(−C_k)` is greatest. A block of rungs is described by its whole rise `T` and
//! by `S = Σ e^(−C)` inside it; block A before block B gives `S_A + e^(−T_A)·S_B`, so A goes first when
//!
//! ```text
//! (1 − e^(−T_A)) / S_A  ≤  (1 − e^(−T_B)) / S_B                               the block's rank, lowest first
//! ```
//!
//! Each rung waits for at most one other: for the level below it, or, at the first level, for what it needs. So the
//! rungs are a forest, and the classic method for forests is exact: the block of lowest rank comes directly
//! after the block that it waits for, so the two are joined; a block that waits for nothing is next. The method is
//! known for weighted waiting times [Horn1972] and holds for every rule of this form [Lawler1992].
//! Equal ranks: the rung first in the input. Checked against `lattice`, which shares no idea with it.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use super::lattice::state_load;
use super::phase::Phase;
use super::room::Room;

/// Rungs that follow each other directly.
struct Block {
    /// Whole rise of `U`.
    whole: f64,
    /// `Σ e^(−C)` over its rungs.
    left: f64,
    /// Its first rung, which names the block.
    first: usize,
    /// Its last rung.
    last: usize,
    /// Joined to another, or placed.
    gone: bool,
}

impl Block {
    fn rank(&self) -> f64 {
        -libm::expm1(-self.whole) / self.left
    }
}

/// A rank that orders.
#[derive(Clone, Copy, PartialEq)]
struct Rank(f64);

impl Eq for Rank {}

impl Ord for Rank {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.0.total_cmp(&other.0)
    }
}

impl PartialOrd for Rank {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

/// The order of a phase's movers with the least sum of loads, and that sum; `None` when rungs wait for each other.
pub(crate) fn least_sum(room: &Room<'_>, phase: &Phase) -> Option<(Vec<usize>, i64)> {
    let sensitivity = room.input.sensitivity.of(phase.channel);
    let mut owner = Vec::new();
    let mut waits: Vec<Option<usize>> = Vec::new();
    let mut blocks = Vec::new();
    let mut firsts = Vec::with_capacity(phase.movers.len());
    for (mover, rising) in phase.movers.iter().enumerate() {
        firsts.push(owner.len());
        for rise in 0..rising.rises() {
            let rung = owner.len();
            let whole = sensitivity * (rising.amounts[rise + 1].drawn - rising.amounts[rise].drawn);
            blocks.push(Block { whole, left: libm::exp(-whole), first: rung, last: rung, gone: false });
            owner.push(mover);
            waits.push((rise > 0).then(|| rung - 1));
        }
    }
    for (mover, rising) in phase.movers.iter().enumerate() {
        if let Some((other, least)) = rising.need {
            waits[firsts[mover]] = Some(firsts[other] + least - 1);
        }
    }

    // `home` leads from a rung to the first rung of its block; `after` from a rung to the next of its block.
    let mut home: Vec<usize> = (0..owner.len()).collect();
    let mut after: Vec<Option<usize>> = vec![None; owner.len()];
    let mut placed = vec![false; owner.len()];
    // A block that grew stands in the queue twice. Its new rank lies between its old one and that of the block that joined it,
    // which was not above the old one, so the newest entry is met first and the others find it gone.
    let mut queue: BinaryHeap<Reverse<(Rank, usize)>> =
        blocks.iter().map(|block| Reverse((Rank(block.rank()), block.first))).collect();
    let mut order = Vec::with_capacity(owner.len());
    while let Some(Reverse((_, name))) = queue.pop() {
        if blocks[name].gone {
            continue;
        }
        blocks[name].gone = true;
        match waits[name].filter(|&before| !placed[find(&mut home, before)]) {
            Some(before) => {
                let before = find(&mut home, before);
                if before == name {
                    return None;
                }
                let decay = libm::exp(-blocks[before].whole);
                blocks[before].left += decay * blocks[name].left;
                blocks[before].whole += blocks[name].whole;
                after[blocks[before].last] = Some(name);
                blocks[before].last = blocks[name].last;
                home[name] = before;
                queue.push(Reverse((Rank(blocks[before].rank()), before)));
            }
            None => {
                placed[name] = true;
                let mut rung = Some(name);
                while let Some(this) = rung {
                    order.push(owner[this]);
                    rung = after[this];
                }
            }
        }
    }
    let sum = sum_of_loads(room, phase, &order);
    Some((order, sum))
}

/// The block that a rung belongs to.
fn find(home: &mut [usize], rung: usize) -> usize {
    let mut first = rung;
    while home[first] != first {
        first = home[first];
    }
    let mut walk = rung;
    while home[walk] != first {
        walk = std::mem::replace(&mut home[walk], first);
    }
    first
}

/// The sum of loads of an order of movers, in units of 1e-9.
pub(crate) fn sum_of_loads(room: &Room<'_>, phase: &Phase, order: &[usize]) -> i64 {
    let sensitivity = room.input.sensitivity.of(phase.channel);
    let mut risen = vec![0; phase.movers.len()];
    order.iter().fold(0i64, |sum, &mover| {
        risen[mover] += 1;
        let there = super::lattice::amount_of(phase, &risen);
        sum.saturating_add(state_load(phase.rest + sensitivity * phase.pull_of(room, there)))
    })
}

#[cfg(test)]
mod tests {
    use super::least_sum;
    use crate::ladder::lattice::Lattice;
    use crate::ladder::phase::Phase;
    use crate::ladder::read::parse;
    use crate::ladder::room::Room;
    use crate::words::Channel;

    /// Two to five things seen with one to three levels, pulls that may fall, some that need another.
    fn room(draw: &mut impl FnMut(u32) -> u32) -> String {
        let mut text = "format = \"stillroom.ladder-input/1\"\norder = [\"seen\", \"heard\", \"company\"]\nbackground_db = 30\nsound_cap_db = 65\nnovelty = 0.5\n[sensitivity]\nseen = 1.5\n[heard]\ndb = [35.0, 70.0]\npull = [0.0, 0.8]\nspeech_db = 10.0\n".to_owned();
        let mut goals: Vec<u32> = Vec::new();
        for one in 0..2 + draw(4) {
            let levels = 1 + draw(3);
            text += &format!("[[distractor]]\nid = \"d{one}\"\nchannel = \"seen\"\nstart = 0\ngoal = {levels}\n");
            if one > 0 && draw(2) == 0 {
                let other = draw(one);
                text += &format!("needs = {{ id = \"d{other}\", level = {} }}\n", 1 + draw(goals[other as usize]));
            }
            for _ in 0..levels {
                text += &format!("[[distractor.level]]\npull = 0.{:02}\n", 1 + draw(80));
            }
            goals.push(levels);
        }
        text
    }

    #[test]
    fn the_forest_finds_the_least_sum_that_the_lattice_finds() {
        let mut at = 3u32;
        let mut draw = |below: u32| {
            at = at.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            (at >> 8) % below
        };
        for _ in 0..500 {
            let input = parse(&room(&mut draw), "room.toml").unwrap();
            let room = Room::new(&input);
            let phase = Phase::new(&room, Channel::Seen, room.start()).unwrap();
            let (order, sum) = least_sum(&room, &phase).unwrap();
            let (_, least) = Lattice::new(&room, &phase, phase.states().unwrap()).least_sum(i64::MAX).unwrap();
            assert_eq!(order.len(), phase.rungs());
            assert!((sum - least).abs() <= 2 * order.len() as i64, "{sum} {least} {input:?}");
        }
    }
}
