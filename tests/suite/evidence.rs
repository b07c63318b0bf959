//! What a child's sessions say of the scale: against long chains of an independent sampler, by simulation, and what poor
//! data may not do.

use proptest::prelude::*;
use serde_json::Value;
use stillroom::evidence::{BINS, Belief, Part, Record, Rungs, ShareBelief, Sitting, score};

#[path = "../../examples/learning.rs"]
pub(crate) mod learning;

use learning::dice::Dice;

/// Means of one number at a time against long chains (tests/oracle/evidence), of a standard deviation; 0.15 is reached by a
/// half-way point, 0.1 by no thing.
const MEAN: f64 = 0.2;
/// And of the standard deviation itself, share.
const SPREAD: f64 = 0.1;

fn chain() -> Value {
    serde_json::from_str(include_str!("../oracle/evidence/chain.json")).unwrap()
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

fn rungs(chain: &Value) -> Rungs {
    let index = |value: &Value| usize::try_from(value.as_u64().unwrap()).unwrap();
    Rungs {
        channels: chain["channels"].as_array().unwrap().iter().map(index).collect(),
        parts: (chain["rungs"].as_array().unwrap().iter())
            .map(|rung| {
                let part = |one: &Value| Part { distractor: index(&one[0]), pull: number(&one[1]) };
                rung.as_array().unwrap().iter().map(part).collect()
            })
            .collect(),
    }
}

/// emcee 3.1.6, over 16 shapes summed; the model written once more in numpy.
#[test]
fn belief_is_that_of_long_chains() {
    let chain = chain();
    let rungs = rungs(&chain);
    let mut wrong: Vec<String> = Vec::new();
    for case in chain["cases"].as_array().unwrap() {
        let sittings: Vec<Sitting> = (case["sittings"].as_array().unwrap().iter())
            .map(|one| {
                let at = |place: usize| one[place].as_i64().unwrap();
                Sitting {
                    day: at(0),
                    rung: usize::try_from(at(1)).unwrap(),
                    opportunities: u32::try_from(at(2)).unwrap(),
                    independent: u32::try_from(at(3)).unwrap(),
                }
            })
            .collect();
        let belief = Belief::new(&rungs, &sittings).unwrap();
        let mut near = |found: (f64, f64), told: &Value| {
            let (mean, sd) = (number(&told["mean"]), number(&told["sd"]));
            let (off, wide) = ((found.0 - mean) / sd, found.1 / sd - 1.0);
            if off.abs() >= MEAN || wide.abs() >= SPREAD {
                wrong.push(format!("{}: mean off by {off:.2} sd, sd by {wide:.2}: {told}", case["name"]));
            }
        };
        for told in case["w"].as_array().unwrap() {
            let distractor = usize::try_from(told["distractor"].as_u64().unwrap()).unwrap();
            near(belief.moments(distractor).unwrap(), told);
        }
        for told in case["half_way"].as_array().unwrap() {
            near(belief.half_way(usize::try_from(told["channel"].as_u64().unwrap()).unwrap()).unwrap(), told);
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Printed with five decimals, the rest cut off.
const PRINTED: f64 = 1e-5;
/// Bins of a fortieth against an integral.
const BINNED: f64 = 5e-4;

/// A belief whose next answer is alone with that chance: two neighbours, or one, around it.
fn believed(chance: f64) -> ShareBelief {
    let place = chance * BINS as f64 - 0.5;
    let weights = (0..BINS).map(|bin| (1.0 - (bin as f64 - place).abs()).max(0.0)).collect();
    ShareBelief::from_weights(weights).unwrap()
}

/// The example in scikit-learn's documentation of its log loss: spam, ham, ham, spam, said to be spam with .9, .1, .2, .65 [SKLEARN].
#[test]
fn forecasts_score_as_in_the_printed_example_of_the_log_loss() {
    let printed = 0.21616;
    let told = [(0.9, 1), (0.1, 0), (0.2, 0), (0.65, 1)].map(|(said, came)| score(&believed(said), (10, 5), (1, came)));
    let record = Record::of(&told);
    let loss = -record.score / record.forecasts as f64;
    assert!((printed..printed + PRINTED).contains(&loss), "{loss}");
    // The guess "half of them, as last time" is right half of the time, whatever comes.
    assert!((record.guess / 4.0 - 0.5_f64.ln()).abs() < 1e-9, "{record:?}");
}

/// With nothing known every count of ten is as likely [SCIPY-BETABINOM]; after 7 of 10 the next is one with 8 in 12, by Laplace's
/// rule of succession, and after 3 of 3 with 4 in 5 [LAPLACE1814].
#[test]
fn the_guess_is_that_of_the_printed_examples() {
    let nothing = ShareBelief::same_as(0, 0);
    for alone in 0..=10 {
        let chance = nothing.log_score(10, alone).exp();
        assert!((chance - 1.0 / 11.0).abs() < BINNED, "{alone}: {chance}");
    }
    for (opportunities, alone, printed) in [(10, 7, 8.0 / 12.0), (3, 3, 0.8), (0, 0, 0.5)] {
        let guess = ShareBelief::same_as(opportunities, alone);
        assert!((guess.log_score(1, 1).exp() - printed).abs() < BINNED, "{alone} of {opportunities}");
        assert!((guess.mean() - printed).abs() < BINNED);
    }
}

/// A short form of the simulation in docs/VALIDATION.md: a plan that goes by what was learned may not bring more distress, and
/// where the scale was right all along it costs next to nothing.
#[test]
fn a_plan_by_what_was_learned_is_as_safe_as_the_scales_and_costs_little_where_that_was_right() {
    for apart in [0.0, 0.8] {
        let [sessions, distressed] = learning::learned_against_scale(8, apart);
        assert!(sessions.0 < 4.0 && distressed.0 < 0.2, "{apart}: {sessions:?} {distressed:?}");
    }
}

/// A child whose things draw otherwise than the scale says by `apart`, through a ladder of 18 rungs, four sessions each.
fn climbed(seed: u64, apart: f64) -> (Rungs, Vec<f64>, Vec<Sitting>) {
    let mut dice = Dice(seed);
    let channels = vec![0, 0, 0, 1, 1, 1];
    let tops: Vec<f64> = channels.iter().map(|_| 0.05 + 0.2 * dice.share()).collect();
    let truth: Vec<f64> = channels.iter().map(|_| apart * dice.normal()).collect();
    let mut levels = [0_u32; 6];
    let mut parts = vec![Vec::new()];
    for thing in [0, 1, 2, 0, 1, 2, 0, 1, 2, 3, 4, 5, 3, 4, 5, 3, 4, 5] {
        levels[thing] += 1;
        let there = levels.iter().zip(&tops).enumerate().filter(|(_, (level, _))| **level > 0);
        let part = there.map(|(at, (level, top))| Part { distractor: at, pull: top * f64::from(*level) / 3.0 });
        parts.push(part.collect());
    }
    let rungs = Rungs { channels, parts };
    let spread = [0.1, 0.2, 0.4][(seed % 3) as usize];
    let mut half = [0.5_f64.ln() + 0.6 * dice.normal(), 0.5_f64.ln() + 0.6 * dice.normal()];
    let mut sittings = Vec::new();
    let mut day = 0;
    for rung in 0..rungs.parts.len() {
        for _ in 0..4 {
            let one = |part: &Part| part.pull * (truth[part.distractor] - half[rungs.channels[part.distractor]]).exp();
            let strain: f64 = rungs.parts[rung].iter().map(one).sum();
            let p = 0.97 / (1.0 + (-(1.0 - strain) / spread).exp());
            let independent = u32::try_from((0..10).filter(|_| dice.share() < p).count()).unwrap();
            sittings.push(Sitting { day, rung, opportunities: 10, independent });
            day += 1 + i64::from(dice.share() < 0.5);
            half.iter_mut().for_each(|half| *half += 0.04 * dice.normal());
        }
    }
    (rungs, truth, sittings)
}

/// Of 40 children and 240 distractors 90 % should be inside; four standard errors of that share are eight points.
#[test]
fn intervals_hold_the_truth_about_as_often_as_they_say() {
    let (mut inside, mut all) = (0, 0);
    for child in 0..40 {
        let (rungs, truth, sittings) = climbed(child * 7919 + 3, if child % 2 == 0 { 0.6 } else { 0.3 });
        for one in Belief::new(&rungs, &sittings).unwrap().learned() {
            let factor = truth[one.distractor].exp();
            inside += usize::from(one.low <= factor && factor <= one.high);
            all += 1;
        }
    }
    assert_eq!(all, 240);
    assert!((82..=98).contains(&(100 * inside / all)), "{inside} of {all}");
}

#[test]
fn a_thing_far_stronger_than_the_scale_says_is_found_out() {
    let part = |distractor, pull| Part { distractor, pull };
    // The first thing is borne six times as strong as the second, and the second is not.
    let rungs = Rungs {
        channels: vec![0, 0],
        parts: vec![vec![part(0, 0.1)], vec![part(0, 0.2)], vec![part(0, 0.3)], vec![part(1, 0.05)]],
    };
    let answered = [10, 10, 9, 3, 10, 10, 9, 3, 10, 9, 10, 2];
    let sittings: Vec<Sitting> = (0..12_usize)
        .map(|at| Sitting { day: 2 * at as i64, rung: at % 4, opportunities: 10, independent: answered[at] })
        .collect();
    let found = Belief::new(&rungs, &sittings).unwrap().learned();
    assert!(found[1].differs() && found[1].low > 1.2, "{found:?}");
    // What is borne easily beside it turned out weaker, not stronger.
    assert!(found[0].factor < 1.0 && found[0].low < 1.0, "{found:?}");
}

#[test]
fn sessions_that_contradict_each_other_widen_what_is_believed() {
    let (rungs, _, _) = climbed(1, 0.3);
    let log = |answered: [u32; 2]| -> Vec<Sitting> {
        (0..24_u32)
            .map(|at| Sitting {
                day: i64::from(at),
                rung: (at / 8) as usize,
                opportunities: 10,
                independent: answered[(at % 2) as usize],
            })
            .collect()
    };
    let (steady, torn) = (log([7, 7]), log([10, 4]));
    let (steady, torn) = (Belief::new(&rungs, &steady).unwrap(), Belief::new(&rungs, &torn).unwrap());
    assert!(torn.together() > steady.together());
    let width = |belief: &Belief<'_>| belief.learned()[0].high / belief.learned()[0].low;
    assert!(width(&torn) > width(&steady));
}

#[test]
fn poor_data_give_wide_figures_or_none_and_never_a_panic() {
    let (rungs, _, _) = climbed(1, 0.3);
    assert!(Belief::new(&rungs, &[]).is_none());
    let one = |day, rung, opportunities, independent| Sitting { day, rung, opportunities, independent };
    assert!(Belief::new(&rungs, &[one(0, 99, 10, 5), one(0, 1, 0, 0)]).is_none());
    for log in [
        vec![one(0, 0, 10, 10)],
        vec![one(0, 1, 1, 0)],
        vec![one(i64::MAX / 2, 18, u32::MAX, u32::MAX), one(i64::MIN / 2, 18, u32::MAX, 0)],
        vec![one(5, 3, 10, 50), one(5, 3, 10, 0), one(4, 3, 10, 0)],
    ] {
        let belief = Belief::new(&rungs, &log).unwrap();
        for learned in belief.learned() {
            assert!(learned.low.is_finite() && learned.high.is_finite() && learned.low <= learned.high, "{learned:?}");
            assert!(!learned.differs());
        }
        let share = belief.share(18, 40);
        assert!((share.weights().iter().sum::<f64>() - 1.0).abs() < 1e-9);
        assert!(belief.teaches(18, 40, 10).is_finite() && belief.teaches(99, 0, 10) == 0.0);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, rng_algorithm: prop::test_runner::RngAlgorithm::ChaCha, ..ProptestConfig::default() })]

    /// Whatever is in the log, figures are numbers in order, chances sum to 1, and nothing panics.
    #[test]
    fn no_log_breaks_what_is_believed(
        rows in proptest::collection::vec((0..400_i64, 0..25_usize, 0..40_u32, 0..60_u32), 0..60),
        seed in 0..50_u64,
    ) {
        let (rungs, _, _) = climbed(seed, 0.6);
        let sittings: Vec<Sitting> = rows
            .into_iter()
            .map(|(day, rung, opportunities, independent)| Sitting { day, rung, opportunities, independent })
            .collect();
        let Some(belief) = Belief::new(&rungs, &sittings) else { return Ok(()) };
        for one in belief.learned() {
            prop_assert!(one.low.is_finite() && 0.0 < one.low && one.low <= one.factor && one.factor <= one.high, "{:?}", one);
            prop_assert!(one.high.is_finite(), "{:?}", one);
            // Below its data bounds nothing is said to differ.
            prop_assert!(one.trials >= 30 || !one.differs(), "{:?}", one);
            if let Some((w, variance)) = belief.sessions_say(one.distractor) {
                prop_assert!(w.is_finite() && variance > 0.0);
            }
        }
        let share = belief.share(18, 500);
        prop_assert!((share.weights().iter().sum::<f64>() - 1.0).abs() < 1e-9);
        prop_assert!(share.weights().iter().all(|weight| *weight >= 0.0));
    }

    /// Sessions that agree, and the same counts torn apart: the next session is foretold no more narrowly, and nothing is said to
    /// differ from the scale that was not said to before.
    #[test]
    fn torn_sessions_widen_forecasts_and_say_nothing_new(means in proptest::collection::vec(3..8_u32, 6), apart in 1..4_u32) {
        let (rungs, _, _) = climbed(7, 0.3);
        let log = |apart: u32| -> Vec<Sitting> {
            (0..48_u32)
                .map(|at| {
                    let (rung, mean) = (1 + at / 8, means[(at / 8) as usize]);
                    let apart = apart.min(mean).min(10 - mean);
                    let independent = if at % 2 == 0 { mean - apart } else { mean + apart };
                    Sitting { day: i64::from(at), rung: rung as usize, opportunities: 10, independent }
                })
                .collect()
        };
        let (steady, torn) = (log(0), log(apart + 1));
        let (steady, torn) = (Belief::new(&rungs, &steady).unwrap(), Belief::new(&rungs, &torn).unwrap());
        prop_assert!(torn.together() >= steady.together());
        for rung in 1..12 {
            let range = |belief: &Belief<'_>| {
                let (low, high) = belief.share(rung, 60).range(10);
                high - low
            };
            prop_assert!(range(&torn) >= range(&steady) - 1e-9, "{rung}");
        }
        for (one, other) in steady.learned().iter().zip(torn.learned()) {
            prop_assert!(one.differs() || !other.differs(), "{:?} {:?}", one, other);
        }
    }
}
