//! Whether the interval of tolerance holds what it says: children made by the model's own assumptions, and by chance
//! alone. It proves the arithmetic, not the model.

use jiff::Span;
use jiff::civil::date;
use rand_chacha::ChaCha20Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use stillroom::practice::{Axis, Trials, estimate};

/// Children made.
const CHILDREN: u32 = 700;
/// A share of 0.9 of 700 has a standard error of 0.011; this is three and a half of them.
const COVERED: std::ops::RangeInclusive<f64> = 0.86..=0.94;
/// The highest rung practised, and so the grid's reach: from −3 to TOP + 3.
const TOP: u32 = 5;
const SESSIONS: u32 = 14;

struct Dice(ChaCha20Rng);

impl Dice {
    fn share(&mut self) -> f64 {
        (f64::from(self.0.next_u32()) + 0.5) / 4_294_967_296.0
    }

    fn normal(&mut self) -> f64 {
        (-2.0 * self.share().ln()).sqrt() * (std::f64::consts::TAU * self.share()).cos()
    }

    /// A normal number inside the grid; one outside is drawn again.
    fn inside(&mut self, mean: f64, sd: f64) -> f64 {
        loop {
            let drawn = mean + sd * self.normal();
            if (-3.0..=f64::from(TOP) + 3.0).contains(&drawn) {
                return drawn;
            }
        }
    }
}

#[test]
fn nine_intervals_of_ten_hold_the_childs_true_half_way_point() {
    let mut dice = Dice(ChaCha20Rng::seed_from_u64(90));
    let mut held = 0_u32;
    for _ in 0..CHILDREN {
        let mut half = dice.inside(1.0, 2.0);
        let spread = [0.25, 0.5, 1.0, 2.0][usize::try_from(dice.0.next_u32() % 4).unwrap()];
        let mut day = date(2026, 3, 1);
        let mut trials = Vec::new();
        for number in 0..SESSIONS {
            if number > 0 {
                let days = 1 + dice.0.next_u32() % 4;
                half = dice.inside(half, 0.15 * f64::from(days).sqrt());
                day = day.checked_add(Span::new().days(i64::from(days))).unwrap();
            }
            // The highest rung is among them, so that the grid is the one the child was made on.
            let x = if number == 3 { TOP } else { dice.0.next_u32() % (TOP + 1) };
            let chance = 0.97 / (1.0 + (-(half - f64::from(x)) / spread).exp());
            let alone = (0..10).filter(|_| dice.share() < chance).count();
            trials.push(Trials { date: day, x, opportunities: 10, independent: u32::try_from(alone).unwrap() });
        }
        let found = estimate(&trials, Axis::Rung).unwrap();
        held += u32::from((found.low..=found.high).contains(&half));
    }
    let share = f64::from(held) / f64::from(CHILDREN);
    assert!(COVERED.contains(&share), "{held} of {CHILDREN} intervals hold the true value: {share}");
}
