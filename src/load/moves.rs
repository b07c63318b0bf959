//! First moves: which remedies take the most pull out of a room in so many minutes.
//!
//! A 0/1 knapsack, solved exactly over integers: pulls in nano-units, minutes in thousandths (a minute figure with up
//! to three decimals is exact, a finer one is rounded to the nearest thousandth, 0.06 s). The list of undominated
//! sets is built from the last candidate to the first; a set is kept if no set that takes no longer is better. Better
//! is: more pull, then fewer moves, then the earlier candidates. When one candidate is added in front of two sets the
//! better stays the better, so dropping a dominated set never drops an optimum. The list is never longer than the
//! budget in thousandths of a minute, and in practice a few dozen. Checked against all subsets.

/// The longest time that is planned for, minutes: a day.
const LONGEST: f64 = 1440.0;
/// Thousandths of a minute in a minute.
const TICKS: f64 = 1000.0;
/// Nano-units in a unit of pull.
const NANO: f64 = 1e9;

/// Something that could be done.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Candidate {
    /// The pull it takes out.
    pub(super) pull: f64,
    /// The minutes it takes.
    pub(super) minutes: f64,
}

/// A set of candidates, as its first one and the set behind it.
#[derive(Clone, Copy)]
struct Set {
    ticks: i64,
    pull: i64,
    moves: u32,
    /// The last link of its chain in the arena; `None` for the empty set.
    chain: Option<usize>,
}

/// The places of the best candidates within so many minutes, in their order.
pub(super) fn best(candidates: &[Candidate], minutes: f64) -> Vec<usize> {
    let budget = whole(minutes.clamp(0.0, LONGEST), TICKS);
    let mut arena: Vec<(usize, Option<usize>)> = Vec::new();
    let mut sets = vec![Set { ticks: 0, pull: 0, moves: 0, chain: None }];
    for (place, candidate) in candidates.iter().enumerate().rev() {
        let (pull, ticks) = (whole(candidate.pull, NANO), whole(candidate.minutes, TICKS));
        if pull <= 0 || ticks < 0 || ticks > budget {
            continue;
        }
        let with: Vec<Set> = sets
            .iter()
            .filter(|set| set.ticks + ticks <= budget)
            .map(|set| {
                arena.push((place, set.chain));
                Set {
                    ticks: set.ticks + ticks,
                    pull: set.pull + pull,
                    moves: set.moves + 1,
                    chain: Some(arena.len() - 1),
                }
            })
            .collect();
        sets = merge(&sets, &with);
    }
    // Undominated sets rise in time and in worth, so the last is the best.
    let mut chain = sets.last().and_then(|set| set.chain);
    let mut chosen = Vec::new();
    while let Some((place, behind)) = chain.and_then(|link| arena.get(link)) {
        chosen.push(*place);
        chain = *behind;
    }
    chosen
}

/// The undominated sets of two lists that each hold only undominated ones, in rising time. The sets of `with` begin
/// with an earlier candidate than those of `without`, which settles a tie in pull and moves.
fn merge(without: &[Set], with: &[Set]) -> Vec<Set> {
    let mut merged: Vec<(Set, bool)> = Vec::with_capacity(without.len() + with.len());
    let (mut a, mut b) = (without.iter().peekable(), with.iter().peekable());
    loop {
        let (next, new) = match (a.peek(), b.peek()) {
            (Some(old), Some(new)) if old.ticks < new.ticks => (a.next(), false),
            (Some(_), None) => (a.next(), false),
            _ => (b.next(), true),
        };
        let Some(next) = next else { break };
        let beats = |(last, last_new): &(Set, bool)| {
            (next.pull, last.moves, new).cmp(&(last.pull, next.moves, *last_new)).is_gt()
                || (next.pull == last.pull && next.moves == last.moves && new == *last_new)
        };
        match merged.last() {
            Some(last) if !beats(last) => {}
            Some((last, _)) if last.ticks == next.ticks => {
                merged.pop();
                merged.push((*next, new));
            }
            _ => merged.push((*next, new)),
        }
    }
    merged.into_iter().map(|(set, _)| set).collect()
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

    use super::{Candidate, best, whole};

    fn candidates(of: &[(f64, f64)]) -> Vec<Candidate> {
        of.iter().map(|&(pull, minutes)| Candidate { pull, minutes }).collect()
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

    /// The naive twin: every subset, the better by pull, then moves, then earlier places.
    fn by_all_subsets(of: &[Candidate], minutes: f64) -> Vec<usize> {
        let mut best: Option<(i64, i64, Vec<usize>)> = None;
        for mask in 0u32..1 << of.len() {
            let set: Vec<usize> = (0..of.len()).filter(|place| mask >> place & 1 == 1).collect();
            let sum = |figure: fn(&Candidate) -> f64, units| {
                set.iter().map(|place| whole(figure(&of[*place]), units)).sum::<i64>()
            };
            if sum(|one| one.minutes, 1000.0) > whole(minutes, 1000.0) {
                continue;
            }
            let moves = i64::try_from(set.len()).unwrap();
            let found = (-sum(|one| one.pull, 1e9), moves, set);
            if best.as_ref().is_none_or(|best| found < *best) {
                best = Some(found);
            }
        }
        best.unwrap().2
    }

    fn some() -> impl Strategy<Value = (Vec<Candidate>, f64)> {
        // Few distinct figures, so that ties come up; halves and thirds of minutes, so that fractions do.
        let one = (1u8..6, 0u8..8, 1u8..4).prop_map(|(pull, minutes, part)| Candidate {
            pull: f64::from(pull) / 20.0,
            minutes: f64::from(minutes) / f64::from(part),
        });
        (prop::collection::vec(one, 0..10), (0u8..60).prop_map(|half| f64::from(half) / 2.0))
    }

    proptest! {
        #[test]
        fn no_other_subset_is_better((of, minutes) in some()) {
            assert_eq!(best(&of, minutes), by_all_subsets(&of, minutes));
        }
    }
}
