//! First moves: which remedies take the most pull out of a room in so many minutes.
//!
//! A 0/1 knapsack, solved exactly over integers: pulls in nano-units, minutes in thousandths (a minute figure with up
//! to three decimals is exact, a finer one is rounded to the nearest thousandth, 0.06 s). Remedies that share a work
//! (fetching one box) do it once: a set of them takes
//!
//! ```text
//! max(minutes_i − own_i) + Σ own_i
//! ```
//!
//! which for one alone is its minutes. The list of undominated sets grows work by work (a remedy that shares nothing is
//! a work by itself). For each size that the common part can have, the remedies whose common part is no larger are
//! added at their own minutes; a set so counted under a larger common part than it needs stands also under the right
//! one, where it takes less. A set is kept if no set that takes no longer is better. Better is: more pull, then fewer
//! moves, then the earlier candidates. When one candidate is added to two sets the better stays the better, so
//! dropping a dominated set never drops an optimum. Checked against all subsets.

use std::cmp::Ordering;

/// The longest time that is planned for, minutes: a day.
const LONGEST: f64 = 1440.0;
/// Thousandths of a minute in a minute.
const TICKS: f64 = 1000.0;
/// Nano-units in a unit of pull.
const NANO: f64 = 1e9;

/// Something that could be done.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Candidate<'a> {
    /// The pull it takes out.
    pub(super) pull: f64,
    /// The minutes it takes.
    pub(super) minutes: f64,
    /// The work it shares with others, and the minutes that stay its own.
    pub(super) shares: Option<(&'a str, f64)>,
}

/// A set of candidates.
#[derive(Clone, Copy)]
struct Set {
    ticks: i64,
    pull: i64,
    moves: u32,
    /// The last link of its chain in the arena; `None` for the empty set.
    chain: Option<usize>,
}

/// One candidate in whole units.
#[derive(Clone, Copy)]
struct Move {
    place: usize,
    pull: i64,
    /// Minutes that stay its own.
    own: i64,
    /// Minutes of the common work.
    common: i64,
}

/// The candidate of each link, and the link behind it.
type Arena = Vec<(usize, Option<usize>)>;

/// The places of the best candidates within so many minutes, in their order.
pub(super) fn best(candidates: &[Candidate<'_>], minutes: f64) -> Vec<usize> {
    let budget = whole(minutes.clamp(0.0, LONGEST), TICKS);
    let mut arena = Arena::new();
    let mut sets = vec![Set { ticks: 0, pull: 0, moves: 0, chain: None }];
    for work in works(candidates, budget) {
        let mut sizes: Vec<i64> = work.iter().map(|one| one.common).collect();
        sizes.sort_unstable();
        sizes.dedup();
        let before = sets.clone();
        for size in sizes {
            let mut with = shifted(&before, size, budget);
            for one in work.iter().filter(|one| one.common <= size) {
                let added = with_one(&with, *one, budget, &mut arena);
                with = undominated(with, added, &arena);
            }
            sets = undominated(sets, with, &arena);
        }
    }
    // Undominated sets rise in time and in worth, so the last is the best.
    sets.last().map_or_else(Vec::new, |set| members(set.chain, &arena))
}

/// The minutes that the candidates at those places take together.
pub(super) fn together(candidates: &[Candidate<'_>], places: &[usize]) -> f64 {
    let ticks: i64 = works(candidates, i64::MAX)
        .iter()
        .map(|work| {
            let chosen = || work.iter().filter(|one| places.contains(&one.place));
            chosen().map(|one| one.common).max().unwrap_or(0) + chosen().map(|one| one.own).sum::<i64>()
        })
        .sum();
    ticks as f64 / TICKS
}

/// The candidates that help and fit, those of one work together.
fn works(candidates: &[Candidate<'_>], budget: i64) -> Vec<Vec<Move>> {
    let mut works: Vec<(Option<&str>, Vec<Move>)> = Vec::new();
    for (place, candidate) in candidates.iter().enumerate() {
        let (pull, ticks) = (whole(candidate.pull, NANO), whole(candidate.minutes, TICKS));
        if pull <= 0 || ticks < 0 || ticks > budget {
            continue;
        }
        let own = candidate.shares.map_or(ticks, |(_, own)| whole(own, TICKS).clamp(0, ticks));
        let one = Move { place, pull, own, common: ticks - own };
        let name = candidate.shares.map(|(work, _)| work);
        match works.iter_mut().find(|(other, _)| name.is_some() && *other == name) {
            Some((_, moves)) => moves.push(one),
            None => works.push((name, vec![one])),
        }
    }
    works.into_iter().map(|(_, moves)| moves).collect()
}

/// Those sets with a common work of that size done as well.
fn shifted(sets: &[Set], size: i64, budget: i64) -> Vec<Set> {
    let fits = sets.iter().filter(|set| set.ticks + size <= budget);
    fits.map(|set| Set { ticks: set.ticks + size, ..*set }).collect()
}

/// Those sets with one more move at its own minutes.
fn with_one(sets: &[Set], one: Move, budget: i64, arena: &mut Arena) -> Vec<Set> {
    let fits = sets.iter().filter(|set| set.ticks + one.own <= budget);
    fits.map(|set| {
        arena.push((one.place, set.chain));
        Set {
            ticks: set.ticks + one.own,
            pull: set.pull + one.pull,
            moves: set.moves + 1,
            chain: Some(arena.len() - 1),
        }
    })
    .collect()
}

/// The undominated sets of two lists, in rising time.
fn undominated(mut sets: Vec<Set>, others: Vec<Set>, arena: &Arena) -> Vec<Set> {
    sets.extend(others);
    sets.sort_by(|a, b| a.ticks.cmp(&b.ticks).then_with(|| worth(b, a, arena)));
    let mut kept: Vec<Set> = Vec::with_capacity(sets.len());
    for set in sets {
        if kept.last().is_none_or(|last| worth(&set, last, arena).is_gt()) {
            kept.push(set);
        }
    }
    kept
}

/// Which of two sets is better: more pull, then fewer moves, then the earlier candidates.
fn worth(a: &Set, b: &Set, arena: &Arena) -> Ordering {
    let plain = a.pull.cmp(&b.pull).then_with(|| b.moves.cmp(&a.moves));
    plain.then_with(|| {
        if a.chain == b.chain { Ordering::Equal } else { members(b.chain, arena).cmp(&members(a.chain, arena)) }
    })
}

/// The candidates of a chain, in their order.
fn members(mut chain: Option<usize>, arena: &Arena) -> Vec<usize> {
    let mut members = Vec::new();
    while let Some((place, behind)) = chain.and_then(|link| arena.get(link)) {
        members.push(*place);
        chain = *behind;
    }
    members.sort_unstable();
    members
}

/// A figure in whole small units; 0 for anything that is no number, at most 2^53.
fn whole(figure: f64, units: f64) -> i64 {
    #[expect(clippy::cast_possible_truncation, reason = "bounded; a cast from f64 to i64 saturates and takes NaN as 0")]
    let whole = (figure * units).round().clamp(-9e15, 9e15) as i64;
    whole
}

#[cfg(test)]
mod tests {
    use proptest::prelude::{Strategy, prop, proptest};

    use super::{Candidate, best, together, whole};

    fn candidates(of: &[(f64, f64)]) -> Vec<Candidate<'static>> {
        of.iter().map(|&(pull, minutes)| Candidate { pull, minutes, shares: None }).collect()
    }

    #[track_caller]
    fn check(of: &[(f64, f64)], minutes: f64, expect: &[usize]) {
        assert_eq!(best(&candidates(of), minutes), expect);
    }

    #[test]
    fn the_best_set_is_not_the_greediest() {
        // By pull a minute the first is best (0.011), but it leaves 4 of 10 minutes unused; the others fill them.
        check(&[(0.066, 6.0), (0.05, 5.0), (0.05, 5.0)], 10.0, &[1, 2]);
    }

    #[test]
    fn tenths_of_a_minute_fill_the_budget_exactly() {
        // 0.1 + 0.2 > 0.3 in floating point; it must fit all the same.
        check(&[(0.5, 0.1), (0.5, 0.2)], 0.3, &[0, 1]);
        check(&[(0.5, 0.1), (0.5, 0.2)], 0.299, &[0]);
    }

    #[test]
    fn fewer_moves_win_a_tie_then_the_earlier_ones() {
        check(&[(0.1, 2.0), (0.1, 2.0), (0.2, 4.0)], 4.0, &[2]);
        check(&[(0.1, 3.0), (0.1, 1.0)], 3.0, &[0]);
        check(&[(0.1, 1.0), (0.1, 3.0)], 3.0, &[0]);
        check(&[(0.2, 3.0), (0.1, 1.0), (0.1, 2.0), (0.2, 3.0)], 4.0, &[0, 1]);
    }

    #[test]
    fn what_takes_nothing_out_or_no_sensible_time_is_no_move() {
        check(&[(0.0, 1.0), (0.1, f64::INFINITY), (0.2, -1.0), (0.1, 0.0)], 0.0, &[3]);
        check(&[(0.1, 1.0)], f64::NAN, &[]);
        check(&[(0.1, 1.0)], -3.0, &[]);
        check(&[], 10.0, &[]);
    }

    #[test]
    fn a_shared_work_is_done_once() {
        let one = |pull, minutes, own| Candidate { pull, minutes, shares: Some(("one-box", own)) };
        let boxes = [one(0.1, 4.0, 3.0), one(0.1, 6.0, 5.0), Candidate { pull: 0.15, minutes: 5.0, shares: None }];
        // Alone 4 and 6 minutes; together 3 + 5 + 1 for the box, 9 in all: they fit, and beat 0.1 + 0.15.
        assert_eq!(best(&boxes, 9.0), [0, 2]);
        assert!((together(&boxes, &[0, 1]) - 9.0).abs() < 1e-12);
        let more = [one(0.1, 4.0, 3.0), one(0.16, 6.0, 5.0), boxes[2]];
        assert_eq!(best(&more, 9.0), [0, 1]);
        // The other pair takes 9 minutes too, so what is left is the best single one.
        assert_eq!(best(&more, 8.999), [1]);
        // The largest common part counts: 2 of the second, not 1 of the first.
        assert!((together(&[one(0.1, 4.0, 3.0), one(0.1, 6.0, 4.0)], &[0, 1]) - 9.0).abs() < 1e-12);
        assert_eq!(best(&[one(0.1, 1.0, 0.0), one(0.2, 1.0, 0.0)], 1.0), [0, 1]);
    }

    /// The minutes of a set by the formula itself, in thousandths.
    fn minutes_of(of: &[Candidate<'_>], set: &[usize]) -> i64 {
        let mut sum = 0;
        for work in ["a", "b"] {
            let members =
                || set.iter().map(|place| of[*place]).filter(|one| one.shares.is_some_and(|(name, _)| name == work));
            let own = |one: &Candidate<'_>| whole(one.shares.unwrap().1, 1000.0);
            sum += members().map(|one| own(&one)).sum::<i64>();
            sum += members().map(|one| whole(one.minutes, 1000.0) - own(&one)).max().unwrap_or(0);
        }
        let alone = set.iter().map(|place| of[*place]).filter(|one| one.shares.is_none());
        sum + alone.map(|one| whole(one.minutes, 1000.0)).sum::<i64>()
    }

    /// The naive twin: every subset, the better by pull, then moves, then earlier places.
    fn by_all_subsets(of: &[Candidate<'_>], minutes: f64) -> Vec<usize> {
        let mut best: Option<(i64, i64, Vec<usize>)> = None;
        for mask in 0u32..1 << of.len() {
            let set: Vec<usize> = (0..of.len()).filter(|place| mask >> place & 1 == 1).collect();
            if minutes_of(of, &set) > whole(minutes, 1000.0) {
                continue;
            }
            let moves = i64::try_from(set.len()).unwrap();
            let found = (-set.iter().map(|place| whole(of[*place].pull, 1e9)).sum::<i64>(), moves, set);
            if best.as_ref().is_none_or(|best| found < *best) {
                best = Some(found);
            }
        }
        best.unwrap().2
    }

    fn some() -> impl Strategy<Value = (Vec<Candidate<'static>>, f64)> {
        // Few distinct figures, so that ties come up; halves and thirds of minutes, so that fractions do.
        let one = (1u8..6, 0u8..8, 1u8..4, 0u8..4, 0u8..4).prop_map(|(pull, minutes, part, work, own)| {
            let minutes = f64::from(minutes) / f64::from(part);
            let shares = ["a", "b"].get(usize::from(work)).map(|name| (*name, minutes * f64::from(own) / 3.0));
            Candidate { pull: f64::from(pull) / 20.0, minutes, shares }
        });
        (prop::collection::vec(one, 0..10), (0u8..60).prop_map(|half| f64::from(half) / 2.0))
    }

    proptest! {
        #[test]
        fn no_other_subset_is_better((of, minutes) in some()) {
            let found = best(&of, minutes);
            assert_eq!(found, by_all_subsets(&of, minutes));
            assert_eq!(whole(together(&of, &found), 1000.0), minutes_of(&of, &found));
        }
    }
}
