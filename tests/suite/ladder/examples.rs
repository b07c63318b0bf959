//! Rooms worked out by hand.

use stillroom::ladder::{Ladder, parse, plan};

use super::oracle::Raw;
use super::paths::order;

fn planned(raw: &Raw) -> Ladder {
    plan(&parse(&raw.toml(), "room.toml").unwrap()).unwrap()
}

#[test]
fn the_weaker_of_two_things_seen_comes_first() {
    let raw = Raw { background: 30.0, ..Raw::plain() }.with(0, &[0.3]).with(0, &[0.1]);
    let ladder = planned(&raw);
    assert_eq!(order(&ladder), [1, 0]);
    // Loads by hand: 100(1 − e^−0.1) = 9.516258…, 100(1 − e^−0.4) = 32.967995…
    assert!((ladder.sum_of_loads - (9.516_258_196_404_048 + 32.967_995_396_436_07)).abs() < 1e-9);
    assert!((ladder.largest_step - 0.3).abs() < 1e-12);
}
