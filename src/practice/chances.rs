//! How often a child would be moved up or back under a rule, by exact binomial.
//!
//! Each session has n opportunities, of which X ~ Bin(n, p) are answered alone; one session a day, no gap, no distress.
//! A session passes with 10·X ≥ tenths·n and is low with 2·X ≤ n. The chain's states are the passes in a row and whether
//! the newest session was low; two low in a row end in "back", the rule's number of passes in "up", looked at in the
//! order of the decision table. A rung that stalls (break down) is not moved and goes on. p is held constant, which no
//! child's is: the figures compare rules, they foretell nothing. Domain 0 ≤ p ≤ 1, n ≥ 10 (below, no session counts),
//! else `None`. Error: sums of products of doubles, under 1e-12. Checked against every sequence of sessions through the
//! decision table itself, and by simulation (tests/suite/practice/explained.rs).

use super::findings::{COUNTED, Criterion};

/// What becomes of a child whose answers are right and alone with one fixed chance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Chances {
    /// The chance of a right answer alone.
    pub share: f64,
    /// Moved up.
    pub up: f64,
    /// Moved back (in the cleared room: the task broken down).
    pub back: f64,
    /// Still on the rung after the last session.
    pub stays: f64,
}

/// The chances within so many sessions of so many opportunities.
pub fn chances(criterion: Criterion, opportunities: u32, share: f64, sessions: u32) -> Option<Chances> {
    if !(0.0..=1.0).contains(&share) || u64::from(opportunities) < COUNTED || criterion.sessions == 0 {
        return None;
    }
    let (n, most) = (u64::from(opportunities), 10_000);
    if opportunities > most {
        return None;
    }
    // Pass, low, both, neither: the two can overlap only for a rule of five tenths.
    let mut kinds = [[0.0; 2]; 2];
    for (x, chance) in (0_u64..).zip(binomial(opportunities, share)) {
        let (pass, low) = (10 * x >= criterion.tenths * n, 2 * x <= n);
        kinds[usize::from(pass)][usize::from(low)] += chance;
    }
    let needed = criterion.sessions.max(criterion.dates);
    let mut state = vec![[0.0; 2]; needed];
    state[0][0] = 1.0;
    let (mut up, mut back) = (0.0, 0.0);
    for _ in 0..sessions {
        let mut next = vec![[0.0; 2]; needed];
        for (passes, by_low) in state.iter().enumerate() {
            for (was_low, chance) in by_low.iter().enumerate() {
                for (pass, by_kind) in kinds.iter().enumerate() {
                    for (low, kind) in by_kind.iter().enumerate() {
                        let share = chance * kind;
                        let streak = if pass == 1 { passes + 1 } else { 0 };
                        if was_low == 1 && low == 1 {
                            back += share;
                        } else if streak == needed {
                            up += share;
                        } else {
                            next[streak][low] += share;
                        }
                    }
                }
            }
        }
        state = next;
    }
    Some(Chances { share, up, back, stays: state.iter().flatten().sum() })
}

/// The chances of 0, 1, … n of a binomial, by the ratio of neighbours from the most likely value outwards, so that
/// nothing underflows where the weight is.
fn binomial(n: u32, p: f64) -> Vec<f64> {
    let size = n as usize + 1;
    let mut chances = vec![0.0; size];
    if p <= 0.0 || p >= 1.0 {
        chances[if p <= 0.0 { 0 } else { n as usize }] = 1.0;
        return chances;
    }
    let odds = p / (1.0 - p);
    let top = (0..size).find(|&x| f64::from(n) * p <= x as f64).unwrap_or(n as usize);
    chances[top] = 1.0;
    for x in top + 1..size {
        chances[x] = chances[x - 1] * odds * (size - x) as f64 / x as f64;
    }
    for x in (0..top).rev() {
        chances[x] = chances[x + 1] * (x + 1) as f64 / ((size - 1 - x) as f64 * odds);
    }
    let sum: f64 = chances.iter().sum();
    chances.iter().map(|chance| chance / sum).collect()
}

#[cfg(test)]
mod tests {
    use super::{binomial, chances};
    use crate::practice::Criterion;

    /// Sums of doubles.
    const SUMS: f64 = 1e-12;

    #[test]
    fn two_sessions_are_the_square_of_one() {
        // P(X ≥ 9) of Bin(10, 0.9) = 10·0.9⁹·0.1 + 0.9¹⁰.
        let pass = 10.0 * 0.9_f64.powi(9) * 0.1 + 0.9_f64.powi(10);
        let found = chances(Criterion::NINE_TENTHS_TWICE, 10, 0.9, 2).unwrap();
        assert!((found.up - pass * pass).abs() < SUMS, "{found:?}");
        assert!((found.up + found.back + found.stays - 1.0).abs() < SUMS);
    }

    #[test]
    fn certain_answers_leave_no_chance() {
        let sure = chances(Criterion::EIGHT_TENTHS_THRICE, 10, 1.0, 12).unwrap();
        assert!((sure.up - 1.0).abs() < SUMS && sure.back.abs() < SUMS);
        let never = chances(Criterion::EIGHT_TENTHS_THRICE, 10, 0.0, 12).unwrap();
        assert!((never.back - 1.0).abs() < SUMS && never.up.abs() < SUMS);
        assert!(chances(Criterion::NINE_TENTHS_TWICE, 9, 0.9, 12).is_none());
        assert!(chances(Criterion::NINE_TENTHS_TWICE, 10, f64::NAN, 12).is_none());
    }

    #[test]
    fn a_binomial_is_the_one_of_its_coefficients() {
        let found = binomial(10, 0.7);
        let mut coefficient = 1.0;
        for (x, chance) in (0..).zip(&found) {
            let plain = coefficient * 0.7_f64.powi(x) * 0.3_f64.powi(10 - x);
            assert!((chance - plain).abs() < SUMS, "{x}");
            coefficient *= f64::from(10 - x) / f64::from(x + 1);
        }
    }
}
