//! Does the order help? Invented children climb the same rooms in different orders, under a stated model of learning.
//!
//! `cargo run --release --example order -- 2000` (children): a table in Markdown, with 95 % intervals, as printed in
//! docs/VALIDATION.md. The same seed gives the same table.
//!
//! The model, in the unit of pull (nothing in it was fitted to a child):
//! - Demand of a session on a rung: `d = U + ν·step·e^{−k/2}`, U the pull of the room, k the sessions on this rung so far, ν how
//!   much a new thing draws beyond its place in the load.
//! - A right answer without help: `p = 0.97/(1 + e^{−(h−d)/s})`, h the child's tolerance, ten trials a session. The form of
//!   a psychometric function with a lapse rate.
//! - Learning from success, by the error of prediction as in Rescorla and Wagner: `h += α·(share right)·max(0, d + 3s − h)`.
//! - Distress: `q = 1/(1 + e^{(h−d+2s)/s})` in a session; it ends the session and takes `h −= β·(d + 3s − h)`, if that is above 0
//!   (sensitisation, as in the dual-process theory of Groves and Thompson).
//! - Up after two sessions running with 9 of 10 and no distress; down after two running with at most half.
//! - A child starts where the cleared room is mastered: h = U(start) + 3s.
//!
//! The model takes for granted that a larger step is harder. So it cannot show that ladders help children; it shows what
//! the order of the same rungs is worth if that is so, and how much the answer hangs on the numbers chosen.
#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "a tool of the developers that prints"
)]

#[path = "dice.rs"]
mod dice;

use std::fmt::Write as _;

use stillroom::ladder::{LadderInput, LevelDraw, parse, plan};
use stillroom::quantity::Decibels;
use stillroom::words::Channel;

use dice::Dice;

/// Sessions after which a child that has not come to the goal is counted as not there.
const MOST: u32 = 400;
/// Trials of a session.
const TRIALS: u32 = 10;
/// The 97.5th percentile of the normal distribution.
const Z: f64 = 1.96;

/// A room of the usual size, drawn at random: 4 things seen, 4 sounds, 3 of company, three or four levels each.
fn room(dice: &mut Dice) -> LadderInput {
    let mut text = String::from(
        "format = \"stillroom.ladder-input/1\"\norder = [\"seen\", \"heard\", \"company\"]\nbackground_db = 36.0\nsound_cap_db = 65.0\nnovelty = 0.5\n[sensitivity]\nseen = 1.0\nheard = 1.0\ncompany = 1.0\n[heard]\ndb = [35.0, 40.0, 45.0, 50.0, 55.0, 60.0, 65.0, 70.0]\npull = [0.0, 0.05, 0.11, 0.19, 0.29, 0.42, 0.58, 0.80]\nspeech_db = 10.0\n",
    );
    for (channel, things) in [("seen", 4), ("heard", 4), ("company", 3)] {
        for number in 0..things {
            let levels = if dice.share() < 0.5 { 3 } else { 4 };
            let _ = writeln!(
                text,
                "[[distractor]]\nid = \"{channel}-{number}\"\nchannel = \"{channel}\"\nstart = 0\ngoal = {levels}"
            );
            let mut drawn = if channel == "heard" { dice.between(32.0, 40.0) } else { 0.0 };
            for level in 1..=levels {
                drawn += if channel == "heard" { dice.between(2.0, 6.0) } else { dice.between(0.01, 0.08) };
                let key = if channel == "heard" { "db" } else { "pull" };
                let _ = writeln!(text, "[[distractor.level]]\nname = \"level {level}\"\n{key} = {drawn:.4}");
            }
        }
    }
    parse(&text, "room").unwrap()
}

/// Pull of a state: the law of the tool written once more, checked below against the figures of the plan.
fn pull(input: &LadderInput, state: &[usize]) -> f64 {
    let (mut sum, mut sounds) = (0.0, vec![input.background]);
    for (thing, &level) in input.distractors.iter().zip(state) {
        match thing.level(level).map(|level| level.draw) {
            Some(LevelDraw::Pull { pull, .. }) => sum += input.sensitivity.of(thing.channel) * pull.u(),
            Some(LevelDraw::Sound { level, .. }) => sounds.push(level),
            None => {}
        }
    }
    let together = Decibels::energy_sum(&sounds).unwrap();
    sum + input.sensitivity.of(Channel::Heard) * input.heard.pull(together).u()
}

/// A rung as the model knows it.
#[derive(Clone, Copy)]
struct Step {
    demand: f64,
    step: f64,
}

/// The rungs of an order of distractors.
fn rungs(input: &LadderInput, order: &[usize]) -> Vec<Step> {
    let start = vec![0; input.distractors.len()];
    let mut state = start.clone();
    let mut before = pull(input, &state);
    let calm = before;
    let one = |&index: &usize| {
        let level = state[index];
        state[index] += 1;
        let demand = pull(input, &state);
        let alone = |level: usize| {
            let mut only = start.clone();
            only[index] = level;
            pull(input, &only) - calm
        };
        let step = (demand - before).max(input.novelty * (alone(level + 1) - alone(level)));
        before = demand;
        Step { demand, step }
    };
    order.iter().map(one).collect()
}

/// One child: how fast it learns, how much distress unsettles it, how sharply it tells easy from hard.
#[derive(Clone, Copy)]
struct Child {
    alpha: f64,
    beta: f64,
    slope: f64,
    novelty: f64,
}

/// What became of a climb.
struct Climb {
    sessions: u32,
    distressed: u32,
    there: bool,
}

fn climb(rungs: &[Step], start: f64, child: Child, dice: &mut Dice) -> Climb {
    let Child { alpha, beta, slope, novelty } = child;
    let mut h = start + 3.0 * slope;
    let (mut at, mut on_rung, mut passed, mut low, mut distressed) = (0, 0u32, 0, 0, 0);
    for session in 1..=MOST {
        let rung = rungs[at];
        let d = rung.demand + novelty * rung.step * (-f64::from(on_rung) / 2.0).exp();
        on_rung += 1;
        let upset = dice.share() < 1.0 / (1.0 + ((h - d + 2.0 * slope) / slope).exp());
        if upset {
            distressed += 1;
            h -= beta * (d + 3.0 * slope - h).max(0.0);
            passed = 0;
            continue;
        }
        let p = 0.97 / (1.0 + (-(h - d) / slope).exp());
        let right = (0..TRIALS).filter(|_| dice.share() < p).count() as f64 / f64::from(TRIALS);
        h += alpha * right * (d + 3.0 * slope - h).max(0.0);
        passed = if right >= 0.9 { passed + 1 } else { 0 };
        low = if right <= 0.5 { low + 1 } else { 0 };
        if passed == 2 {
            at += 1;
            (on_rung, passed, low) = (0, 0, 0);
            if at == rungs.len() {
                return Climb { sessions: session, distressed, there: true };
            }
        } else if low == 2 {
            at = at.saturating_sub(1);
            (on_rung, passed, low) = (0, 0, 0);
        }
    }
    Climb { sessions: MOST, distressed, there: false }
}

/// The orders compared.
const ORDERS: [&str; 7] = [
    "exact ladder",
    "exact ladder, steps split above 0.05",
    "one thing after the other to its top, by channel",
    "all first levels, then all second, by channel",
    "random, by channel",
    "random, channels mixed",
    "the goal room at once",
];

fn orders(input: &LadderInput, dice: &mut Dice) -> Vec<Vec<Step>> {
    let place = |input: &LadderInput, id: &str| input.distractors.iter().position(|one| one.id == id).unwrap();
    let exact = plan(input).unwrap();
    let exact_order: Vec<usize> = exact.rungs.iter().map(|rung| place(input, &rung.distractor)).collect();
    let exact_rungs = rungs(input, &exact_order);
    for (ours, theirs) in exact_rungs.iter().zip(&exact.rungs) {
        // The model's arithmetic must be the tool's.
        let load = 100.0 * -(-ours.demand).exp_m1();
        assert!((load - theirs.load.points()).abs() < 1e-6 && (ours.step - theirs.step).abs() < 1e-6);
    }
    let split = LadderInput { max_step: stillroom::quantity::Pull::new(0.05), ..input.clone() };
    let split: Vec<Step> = plan(&split)
        .unwrap()
        .rungs
        .iter()
        .map(|rung| Step { demand: -(-rung.load.points() / 100.0).ln_1p(), step: rung.step })
        .collect();
    let by_channel = |keep: &dyn Fn(usize) -> Vec<usize>| -> Vec<usize> {
        let things =
            |channel| (0..input.distractors.len()).filter(move |&index| input.distractors[index].channel == channel);
        Channel::ALL.into_iter().flat_map(|channel| things(channel).flat_map(keep).collect::<Vec<_>>()).collect()
    };
    let one_by_one = by_channel(&|index| vec![index; input.distractors[index].goal]);
    let mut rounds = Vec::new();
    for channel in Channel::ALL {
        for level in 0..4 {
            let there =
                |&index: &usize| input.distractors[index].channel == channel && input.distractors[index].goal > level;
            rounds.extend((0..input.distractors.len()).filter(there));
        }
    }
    let shuffled = |mut order: Vec<usize>, dice: &mut Dice, same_channel: bool| {
        for at in (1..order.len()).rev() {
            let other = dice.below(at + 1);
            let channel = |at: usize| input.distractors[order[at]].channel;
            if !same_channel || channel(at) == channel(other) {
                order.swap(at, other);
            }
        }
        order
    };
    let random = (0..4).fold(one_by_one.clone(), |order, _| shuffled(order, dice, true));
    let mixed = shuffled(one_by_one.clone(), dice, false);
    let goal = exact_rungs.last().map(|last| Step { demand: last.demand, step: last.demand });
    let mut all = vec![exact_rungs, split];
    all.extend([one_by_one, rounds, random, mixed].iter().map(|order| rungs(input, order)));
    all.push(goal.into_iter().collect());
    all
}

/// Mean and half width of its 95 % interval.
fn mean(values: &[f64]) -> (f64, f64) {
    let n = values.len() as f64;
    let mean = values.iter().sum::<f64>() / n;
    let variance = values.iter().map(|value| (value - mean).powi(2)).sum::<f64>() / (n - 1.0);
    (mean, Z * (variance / n).sqrt())
}

fn table(title: &str, children: u64, slope: f64, novelty: f64) {
    let mut found: Vec<[Vec<f64>; 3]> = ORDERS.iter().map(|_| [vec![], vec![], vec![]]).collect();
    let mut largest: Vec<Vec<f64>> = ORDERS.iter().map(|_| vec![]).collect();
    for number in 0..children {
        let mut dice = Dice(number.wrapping_mul(0x1000_0000_01B3) ^ 1);
        let input = room(&mut dice);
        let child = Child {
            alpha: dice.between(0.05, 0.25),
            beta: dice.between(0.05, 0.25),
            slope: slope * dice.between(0.7, 1.4),
            novelty,
        };
        let start = pull(&input, &vec![0; input.distractors.len()]);
        for (order, rungs) in orders(&input, &mut dice).iter().enumerate() {
            // Every order meets the same child with the same luck.
            let climbed = climb(rungs, start, child, &mut Dice(number ^ 0xC0FF_EE00));
            let sessions = f64::from(climbed.sessions);
            found[order][0].push(sessions);
            found[order][1].push(100.0 * f64::from(climbed.distressed) / sessions);
            found[order][2].push(if climbed.there { 100.0 } else { 0.0 });
            largest[order].push(rungs.iter().map(|rung| rung.step).fold(0.0, f64::max));
        }
    }
    println!("\n{title}\n");
    println!(
        "| order | largest step | sessions to the goal | against the exact ladder | sessions with distress, % | against the exact ladder | there within {MOST}, % |"
    );
    println!("|---|---|---|---|---|---|---|");
    let exact = found[0].clone();
    for ((name, figures), steps) in ORDERS.iter().zip(&found).zip(&largest) {
        let told = |which: usize| {
            let (mean, half) = mean(&figures[which]);
            format!("{mean:.1} ± {half:.1}")
        };
        let against = |which: usize| {
            let pairs: Vec<f64> = figures[which].iter().zip(&exact[which]).map(|(one, exact)| one - exact).collect();
            let (mean, half) = mean(&pairs);
            if half > 0.0 { format!("{mean:+.1} ± {half:.1}") } else { "–".to_owned() }
        };
        println!(
            "| {name} | {:.3} | {} | {} | {} | {} | {} |",
            mean(steps).0,
            told(0),
            against(0),
            told(1),
            against(1),
            told(2)
        );
    }
}

fn main() {
    let children =
        std::env::args().nth(1).and_then(|number| number.parse().ok()).filter(|number| *number > 1).unwrap_or(2000);
    println!(
        "{children} children, each with a room of its own and all seven orders. Mean ± half of the 95 % interval; a climb that does not end counts as {MOST} sessions."
    );
    table("Usual: s about 0.06, a new thing draws once more (ν = 1)", children, 0.06, 1.0);
    table("A new thing draws no more than its place in the load (ν = 0)", children, 0.06, 0.0);
    table("Easy and hard told apart more sharply (s about 0.03)", children, 0.03, 1.0);
    table("Less sharply (s about 0.12)", children, 0.12, 1.0);
}
