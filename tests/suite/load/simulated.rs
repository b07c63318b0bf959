//! Simulated rooms: what the stated doubt promises is what happens when pulls err as stated.
//!
//! This proves the arithmetic, not the scale: the rooms err exactly as `[doubt]` says. The dice are this file's own
//! (ChaCha20 and Box–Muller), not the tool's streams; the sum of a room's true pulls is written out again here.
#![allow(clippy::print_stdout, reason = "the figures are quoted in the documents: run with --nocapture")]
#![allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "small positive figures of invented rooms")]

use rand_chacha::ChaCha20Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use stillroom::checklist::Answer;
use stillroom::load::{Scale, Verdict};
use stillroom::words::Channel;

use super::rooms::{Audit, SHIPPED, count, item, pooled};

/// Rooms whose range is checked: a coverage of 0.90 is then sure to 0.7 %.
const ROOMS: u32 = 2000;
/// Pairs of audits in each simulated comparison.
const PAIRS: u32 = 1000;
/// Draws in each audit: fewer than the shipped 4,000, by the same code, to keep the test short.
const DRAWS: &str = "draws = 500";
/// `alone` and `half` of items fine enough to carry any pull up to 4.
const FINE: (f64, f64) = (99.0, 1e6);

struct Dice(ChaCha20Rng);

impl Dice {
    fn new(seed: u64) -> Self {
        Self(ChaCha20Rng::seed_from_u64(seed))
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * ((self.0.next_u64() >> 11) as f64 / (1u64 << 53) as f64)
    }

    fn normal(&mut self) -> f64 {
        let radius = (-2.0 * (1.0 - self.between(0.0, 1.0)).ln()).sqrt();
        radius * (std::f64::consts::TAU * self.between(0.0, 1.0)).cos()
    }
}

/// What a room is: pulls by the scale, and what a perfect photo and meter would say.
#[derive(Clone, Debug)]
struct Truth {
    /// Channel, whether pooled, pull.
    items: Vec<(Channel, bool, f64)>,
    busyness: Option<f64>,
    level: Option<f64>,
}

/// Standard deviations of the readings.
const BUSYNESS_SD: f64 = 2.0;
const LEVEL_SD: f64 = 1.5;

/// An invented room with `per_channel` things on each channel and a load between about 20 and 90.
fn invent(dice: &mut Dice, per_channel: usize, measured: bool) -> Truth {
    let size = dice.between(0.03, 0.12);
    let items = Channel::ALL.into_iter().flat_map(|channel| (0..per_channel).map(move |at| (channel, at % 2 == 0)));
    let items = items.collect::<Vec<_>>();
    Truth {
        items: items
            .into_iter()
            .map(|(channel, pooled)| (channel, pooled && channel != Channel::Company, size * dice.between(0.2, 2.0)))
            .collect(),
        busyness: measured.then(|| dice.between(15.0, 85.0)),
        level: measured.then(|| dice.between(38.0, 60.0)),
    }
}

/// The answer that carries a pull.
fn answer(pull: f64) -> Answer {
    let (alone, half) = FINE;
    let things = -half * (1.0 - (1.0 - (-pull).exp()) / (alone / 100.0)).log2();
    Answer::Count(things.round() as u32)
}

/// An audit of a room whose answers err by `answer_sd`, photo by its sd, and level by `calibration` of its sds.
fn audit(truth: &Truth, dice: &mut Dice, answer_sd: f64, calibration: f64, seed: u32) -> Audit {
    let items = truth.items.iter().enumerate().map(|(at, (channel, in_both, pull))| {
        let asked = item(&format!("item-{at}"), *channel, count(FINE.0, FINE.1), 1.0);
        let read = pull * (answer_sd * dice.normal()).exp();
        (if *in_both { pooled(asked) } else { asked }, answer(read))
    });
    let mut audit = Audit::of(items.collect());
    if let Some(busyness) = truth.busyness {
        let read = (busyness + BUSYNESS_SD * dice.normal()).clamp(0.0, 100.0);
        audit = audit.photo("a.jpg", read, BUSYNESS_SD);
    }
    if let Some(level) = truth.level {
        audit = audit.level(level + LEVEL_SD * calibration, 0.2, LEVEL_SD, "meter");
    }
    let text = SHIPPED.text().replace("draws = 4000", DRAWS).replace("seed = 1", &format!("seed = {seed}"));
    audit.scale = Scale::parse(&text, "simulated.toml").unwrap();
    audit
}

/// `U` of a room whose pulls, photo and level are off by those factors and errors, summed in the plainest way.
fn total(truth: &Truth, factor: &mut impl FnMut(Channel) -> f64, photo: (f64, f64), sound: (f64, f64)) -> f64 {
    let scale = &*SHIPPED;
    let pulls: Vec<f64> = truth.items.iter().map(|(channel, _, pull)| pull * factor(*channel)).collect();
    let sum = |channel, in_both| -> f64 {
        let items = truth.items.iter().zip(&pulls);
        items.filter(|((of, pooled, _), _)| *of == channel && *pooled == in_both).map(|(_, pull)| pull).sum()
    };
    let pool = |channel, measured: Option<f64>| match measured {
        Some(measured) => 0.5 * sum(channel, true) + 0.5 * measured + sum(channel, false),
        None => sum(channel, true) + sum(channel, false),
    };
    let seen = truth.busyness.map(|busyness| {
        let busyness = (busyness + photo.1).clamp(0.0, 100.0);
        -(1.0 - 0.30 * busyness / 100.0).ln() * photo.0
    });
    let heard = truth.level.map(|level| {
        let level = stillroom::quantity::Decibels::new(level + sound.1);
        scale.heard().pull(scale.heard().rating(level, 0.2)).u() * sound.0
    });
    pool(Channel::Seen, seen) + pool(Channel::Heard, heard) + pool(Channel::Company, None)
}

fn points(total: f64) -> f64 {
    100.0 * (1.0 - (-total).exp())
}

#[test]
fn the_range_of_a_load_holds_nine_rooms_in_ten() {
    let mut dice = Dice::new(1);
    let mut held = 0;
    for seed in 0..ROOMS {
        let read = invent(&mut dice, 3 + (seed % 3) as usize, seed % 2 == 0);
        // The audit reads the room as it is written down; the true pulls are off as the scale says.
        let assessment = audit(&read, &mut Dice::new(0), 0.0, 0.0, seed).photo_as(&read).assess(0.0);
        let channels = [dice.normal(), dice.normal(), dice.normal()].map(|z| 0.3 * z);
        let photo = ((channels[0] + 0.3 * dice.normal()).exp(), BUSYNESS_SD * dice.normal());
        let sound = ((channels[1] + 0.3 * dice.normal()).exp(), LEVEL_SD * dice.normal());
        let mut factor =
            |channel: Channel| (channels[channel as usize] + 0.3 * dice.normal() + 0.1 * dice.normal()).exp();
        let load = points(total(&read, &mut factor, photo, sound));
        held += u32::from((assessment.load_low.points()..=assessment.load_high.points()).contains(&load));
    }
    let share = f64::from(held) / f64::from(ROOMS);
    println!("coverage of the 90 % range: {share}");
    assert!((0.88..=0.92).contains(&share), "{share}");
}

impl Audit {
    /// The same audit with the photo read without error.
    fn photo_as(mut self, truth: &Truth) -> Self {
        for photo in &mut self.photos {
            photo.busyness = truth.busyness.unwrap();
        }
        self
    }
}

/// How often two audits are called changed, of `PAIRS`; `change` alters the room in between, and the second audit is
/// by another observer where `answer_sd` says so. The same calibration is used in both.
fn called(
    seed: u64,
    answer_sd: f64,
    measured: bool,
    change: impl Fn(&Truth, &mut Dice) -> Option<Truth>,
) -> (f64, f64) {
    let mut dice = Dice::new(seed);
    let (mut calmer, mut busier, mut rooms) = (0, 0, 0);
    for round in 0..PAIRS {
        let before = invent(&mut dice, 4, measured);
        let Some(after) = change(&before, &mut dice) else { continue };
        let calibration = dice.normal();
        let first = audit(&before, &mut dice, answer_sd, calibration, round);
        let mut second = audit(&after, &mut dice, answer_sd, calibration, round);
        if answer_sd > 0.1 {
            second.answers.by = "parent".to_owned();
        }
        match first.compare(&second).verdict {
            Verdict::Calmer => calmer += 1,
            Verdict::Busier => busier += 1,
            Verdict::NoClearChange => {}
        }
        rooms += 1;
    }
    (f64::from(calmer) / f64::from(rooms), f64::from(busier) / f64::from(rooms))
}

#[test]
fn rooms_that_have_not_changed_are_rarely_called_changed() {
    for (answer_sd, measured) in [(0.10, false), (0.10, true), (0.20, false)] {
        let (calmer, busier) = called(7, answer_sd, measured, |room, _| Some(room.clone()));
        println!("no change, answers {answer_sd}, measured {measured}: calmer {calmer}, busier {busier}");
        assert!(calmer + busier <= 0.06, "answers {answer_sd}: {calmer} + {busier}");
        assert!(calmer + busier >= 0.02, "a 95 % range that never errs is too wide: {calmer} + {busier}");
    }
}

/// The room ten points calmer, things gone one after the other from the first in a shuffled order.
fn ten_points_less(room: &Truth, dice: &mut Dice) -> Option<Truth> {
    let total: f64 = room.items.iter().map(|(_, _, pull)| pull).sum();
    let mut rest = total + (1.0 - (points(total) - 10.0) / 100.0).ln();
    if points(total) < 12.0 {
        return None;
    }
    let mut after = room.clone();
    let start = dice.between(0.0, after.items.len() as f64) as usize;
    after.items.rotate_left(start);
    for (_, _, pull) in &mut after.items {
        let gone = rest.min(*pull);
        *pull -= gone;
        rest -= gone;
    }
    after.items.rotate_right(start);
    Some(after)
}

/// The room ten points calmer all round, photo and level with it.
fn ten_points_calmer_all_round(room: &Truth, _: &mut Dice) -> Option<Truth> {
    let load = |room: &Truth| points(total(room, &mut |_| 1.0, (1.0, 0.0), (1.0, 0.0)));
    let shrunk = |factor: f64| {
        let mut after = room.clone();
        for (_, _, pull) in &mut after.items {
            *pull *= factor;
        }
        after.busyness = room.busyness.map(|busyness| busyness * factor);
        after.level = room.level.map(|level| 33.0 + (level - 33.0) * factor);
        after
    };
    if load(room) < 12.0 {
        return None;
    }
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..40 {
        let middle = (low + high) / 2.0;
        if load(&shrunk(middle)) < load(room) - 10.0 { low = middle } else { high = middle }
    }
    Some(shrunk(high))
}

#[test]
fn a_change_of_ten_points_is_found() {
    let (found, wrong) = called(11, 0.10, false, ten_points_less);
    println!("ten points, checklist only: found {found}, called busier {wrong}");
    assert!(found >= 0.80 && wrong == 0.0, "{found}, {wrong}");
    let (found, wrong) = called(13, 0.10, true, ten_points_calmer_all_round);
    println!("ten points, with photo and level: found {found}, called busier {wrong}");
    assert!(found >= 0.80 && wrong == 0.0, "{found}, {wrong}");
}
