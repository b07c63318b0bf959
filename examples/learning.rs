//! Does a plan that goes by what was learned of a child lead faster to the goal, or with less distress?
//!
//! `cargo run --release --example learning -- 500` (children a kind): tables in Markdown, as printed in docs/VALIDATION.md. The
//! same seed gives the same tables. A second number, 0 to 3, does one kind of children only.
//!
//! A child climbs to the same goal four times: by the scale's pulls, by what its sessions showed so far (planned again at every
//! fourth new rung, as `ladder --case` does it: a thing counts where its 90 % interval leaves the scale out by a fifth or more; after
//! eight forecasts no better than the guess by the list), by the list from the start, and by its true pulls, which
//! nobody knows. Ten things, six seen and four of company, three levels each, tops 0.05–0.25 in pull; no sounds.
//!
//! Demand of a session `d = X + ν·step·e^(−k/2)`, X the strain of the room by the true pulls, k the sessions on this rung so far, ν = 1;
//! right alone `0.97/(1 + e^(−(1−d)/s))`; distress `1/(1 + e^((1−d+2s)/s))`, which ends the session after five tries. Success teaches:
//! `ln h += α·share·max(0, d + 3s − 1)`, distress takes `ln h −= β·max(0, d + 3s − 1)`, on each channel by its part of X. Up after two
//! running with 9 of 10 and no distress, down after two with at most half. All numbers are ours.
#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    clippy::disallowed_methods,
    dead_code,
    reason = "a tool of the developers that prints, of which the suite takes a part"
)]

#[path = "dice.rs"]
pub(crate) mod dice;

use std::fmt::Write as _;

use stillroom::evidence::{Belief, Part, Record, Rungs, Sitting, score};
use stillroom::ladder::{LadderInput, parse, plan};

use dice::Dice;

/// Things: their channel as the model counts it.
const CHANNELS: [usize; 10] = [0, 0, 0, 0, 0, 0, 2, 2, 2, 2];
const LEVELS: usize = 3;
/// A climb that has not ended counts as so many sessions.
const MOST: usize = 400;
/// New rungs between two plans.
const EVERY: usize = 4;
/// A learned factor below this changes nothing, as in the tool.
const MATTERS: f64 = 1.2;

#[derive(Clone, Copy)]
enum Kind {
    Apart(f64),
    Reordered,
}

#[derive(Clone, Copy, PartialEq)]
enum Policy {
    Scale,
    Learned,
    List,
    Truth,
}

const POLICIES: [(&str, Policy); 4] = [
    ("by the scale", Policy::Scale),
    ("by what was learned", Policy::Learned),
    ("by the list", Policy::List),
    ("by the true pulls", Policy::Truth),
];

struct Child {
    tops: Vec<f64>,
    /// The logarithm of how many times as strongly each draws.
    truth: Vec<f64>,
    spread: f64,
    gains: f64,
    loses: f64,
    half: [f64; 3],
}

impl Child {
    fn new(seed: u64, kind: Kind) -> Self {
        let mut dice = Dice(seed.wrapping_mul(7919) + 11);
        let tops: Vec<f64> = CHANNELS.iter().map(|_| dice.between(0.05, 0.25)).collect();
        let truth = match kind {
            Kind::Apart(sd) => tops.iter().map(|_| sd * dice.normal()).collect(),
            Kind::Reordered => reordered(&tops),
        };
        Self {
            tops,
            truth,
            spread: dice.between(0.1, 0.3),
            gains: dice.between(0.05, 0.25),
            loses: dice.between(0.05, 0.25),
            half: [0, 1, 2].map(|_| 0.5_f64.ln() + 0.4 * dice.normal()),
        }
    }

    /// Strain of a room by the true pulls, channel by channel.
    fn strain(&self, levels: &[usize], half: [f64; 3]) -> [f64; 3] {
        let mut sums = [0.0; 3];
        for (thing, level) in levels.iter().enumerate() {
            let pull = self.tops[thing] * *level as f64 / LEVELS as f64;
            sums[CHANNELS[thing]] += pull * (self.truth[thing] - half[CHANNELS[thing]]).exp();
        }
        sums
    }
}

/// The strongest of a channel draws as the weakest, and so on.
fn reordered(tops: &[f64]) -> Vec<f64> {
    (0..tops.len())
        .map(|at| {
            let mut order: Vec<usize> = (0..tops.len()).filter(|other| CHANNELS[*other] == CHANNELS[at]).collect();
            order.sort_by(|a, b| tops[*a].total_cmp(&tops[*b]));
            let rank = order.iter().position(|one| *one == at).unwrap();
            (tops[order[order.len() - 1 - rank]] / tops[at]).ln()
        })
        .collect()
}

fn input(tops: &[f64]) -> LadderInput {
    let mut text = String::from(
        "format = \"stillroom.ladder-input/1\"\norder = [\"seen\", \"heard\", \"company\"]\nbackground_db = 35.0\nsound_cap_db = 65.0\nnovelty = 0.5\n[sensitivity]\nseen = 1.0\nheard = 1.0\ncompany = 1.0\n[heard]\ndb = [35.0, 70.0]\npull = [0.0, 0.8]\nspeech_db = 10.0\n",
    );
    for (thing, top) in tops.iter().enumerate() {
        let channel = ["seen", "heard", "company"][CHANNELS[thing]];
        let _ =
            writeln!(text, "[[distractor]]\nid = \"t{thing}\"\nchannel = \"{channel}\"\nstart = 0\ngoal = {LEVELS}");
        for level in 1..=LEVELS {
            let _ = writeln!(text, "[[distractor.level]]\npull = {:.6}", top * level as f64 / LEVELS as f64);
        }
    }
    parse(&text, "room").unwrap()
}

/// The things still to rise, in the order of the plan from these levels on, the next one last.
fn planned(room: &LadderInput, levels: &[usize], factors: &[f64], by_list: bool) -> Vec<usize> {
    let mut room = room.clone();
    room.by_list = by_list;
    for (thing, distractor) in room.distractors.iter_mut().enumerate() {
        distractor.start = levels[thing];
        distractor.draws = factors[thing];
    }
    let rungs = plan(&room).unwrap().rungs;
    rungs.iter().rev().map(|rung| rung.distractor[1..].parse().unwrap()).collect()
}

#[derive(Clone, Copy, Default)]
struct Climb {
    sessions: f64,
    distressed: f64,
    there: bool,
    learned: usize,
    by_list: bool,
}

/// What the climb's tool knows.
struct Known {
    rungs: Rungs,
    states: Vec<Vec<usize>>,
    sittings: Vec<Sitting>,
    record: Record,
}

impl Known {
    fn at(&mut self, levels: &[usize], tops: &[f64]) -> usize {
        if let Some(at) = self.states.iter().position(|state| state == levels) {
            return at;
        }
        let there = levels.iter().enumerate().filter(|(_, level)| **level > 0);
        let part =
            there.map(|(thing, level)| Part { distractor: thing, pull: tops[thing] * *level as f64 / LEVELS as f64 });
        self.rungs.parts.push(part.collect());
        self.states.push(levels.to_vec());
        self.states.len() - 1
    }
}

fn climb(child: &Child, policy: Policy, seed: u64) -> Climb {
    let mut dice = Dice(seed.wrapping_mul(104_729) + 5);
    let room = input(&child.tops);
    let things = child.tops.len();
    let mut half = child.half;
    let mut factors = vec![1.0; things];
    if policy == Policy::Truth {
        factors = child.truth.iter().map(|w| w.exp()).collect();
    }
    let mut levels = vec![0; things];
    let mut left = planned(&room, &levels, &factors, policy == Policy::List);
    let mut climbed: Vec<usize> = Vec::new();
    let mut known = Known {
        rungs: Rungs { channels: CHANNELS.to_vec(), parts: Vec::new() },
        states: Vec::new(),
        sittings: Vec::new(),
        record: Record::default(),
    };
    let mut done = Climb::default();
    let (mut passed, mut failed, mut here, mut planned_at) = (0, 0, 0_u32, 0);
    let mut foretold = None;
    let mut day = 0;
    for _ in 0..MOST {
        let parts = child.strain(&levels, half);
        let strain: f64 = parts.iter().sum();
        let before = climbed.last().map_or(strain, |thing| {
            let mut below = levels.clone();
            below[*thing] -= 1;
            child.strain(&below, half).iter().sum()
        });
        let demand = strain + (strain - before).max(0.0) * (-f64::from(here) / 2.0).exp();
        let chance = 0.97 / (1.0 + (-(1.0 - demand) / child.spread).exp());
        let distress = dice.share() < 1.0 / (1.0 + ((1.0 - demand + 2.0 * child.spread) / child.spread).exp());
        let tries: u32 = if distress { 5 } else { 10 };
        let alone = u32::try_from((0..tries).filter(|_| dice.share() < chance).count()).unwrap();
        let share = f64::from(alone) / f64::from(tries);
        let hard = (demand + 3.0 * child.spread - 1.0).max(0.0);
        for (half, part) in half.iter_mut().zip(parts) {
            let own = if strain > 0.0 { part / strain } else { 0.0 };
            *half += own * hard * if distress { -child.loses } else { child.gains * share };
        }
        done.sessions += 1.0;
        done.distressed += f64::from(u8::from(distress));
        here += 1;
        if policy == Policy::Learned {
            if let (Some(share), Some(last)) = (foretold.take(), known.sittings.last()) {
                let scored = score(&share, (last.opportunities, last.independent), (tries, alone));
                known.record = known.record.plus(Record::of([&scored]));
            }
            let rung = known.at(&levels, &child.tops);
            known.sittings.push(Sitting { day, rung, opportunities: tries, independent: alone });
        }
        day += 1 + i64::from(dice.share() < 0.5);
        let good = share >= 0.9 && !distress;
        (passed, failed) = (if good { passed + 1 } else { 0 }, if share <= 0.5 || distress { failed + 1 } else { 0 });
        if passed >= 2 {
            let Some(next) = left.pop() else {
                done.there = true;
                break;
            };
            levels[next] += 1;
            climbed.push(next);
            (passed, failed, here) = (0, 0, 0);
            let new = !known.states.contains(&levels);
            if policy == Policy::Learned && new {
                levels[next] -= 1;
                let due = climbed.len() >= planned_at + EVERY;
                let belief = due.then(|| Belief::new(&known.rungs, &known.sittings)).flatten();
                if let Some(learned) = belief.map(|belief| belief.learned()) {
                    planned_at = climbed.len();
                    done.by_list = known.record.no_better();
                    factors.fill(1.0);
                    for one in learned {
                        if !done.by_list && one.differs() && one.factor.max(1.0 / one.factor) >= MATTERS {
                            factors[one.distractor] = one.factor;
                        }
                    }
                    done.learned =
                        done.learned.max(factors.iter().filter(|factor| (**factor - 1.0).abs() > 0.1).count());
                    left = planned(&room, &levels, &factors, done.by_list);
                    climbed.pop();
                    let next = left.pop().unwrap();
                    climbed.push(next);
                }
                levels[*climbed.last().unwrap()] += 1;
                let rung = known.at(&levels, &child.tops);
                foretold = Belief::new(&known.rungs, &known.sittings).map(|belief| belief.share(rung, day));
            }
        } else if failed >= 2 {
            if let Some(last) = climbed.pop() {
                levels[last] -= 1;
                left.push(last);
            }
            (passed, failed, here) = (0, 0, 0);
        }
    }
    if !done.there {
        done.sessions = MOST as f64;
    }
    done
}

/// Mean and half of its 95 % interval.
fn interval(figures: &[f64]) -> (f64, f64) {
    let n = figures.len() as f64;
    let mean = figures.iter().sum::<f64>() / n;
    let variance = figures.iter().map(|figure| (figure - mean).powi(2)).sum::<f64>() / (n - 1.0);
    (mean, 1.96 * (variance / n).sqrt())
}

/// How distressed a climb was, percent of its sessions.
fn share(climb: &Climb) -> f64 {
    100.0 * climb.distressed / climb.sessions
}

/// Plans by what was learned against those by the scale, for some children who are `apart` (standard deviations of a logarithm) from
/// it: sessions more, and points more of distressed sessions, each with half of its 95 % interval.
pub(crate) fn learned_against_scale(children: u64, apart: f64) -> [(f64, f64); 2] {
    let pairs: Vec<[Climb; 2]> = (0..children)
        .map(|seed| {
            let child = Child::new(seed, Kind::Apart(apart));
            [Policy::Learned, Policy::Scale].map(|policy| climb(&child, policy, seed))
        })
        .collect();
    let more =
        |of: fn(&Climb) -> f64| interval(&pairs.iter().map(|[one, other]| of(one) - of(other)).collect::<Vec<_>>());
    [more(|one| one.sessions), more(share)]
}

fn main() {
    let children = std::env::args().nth(1).and_then(|number| number.parse().ok()).unwrap_or(500);
    println!(
        "{children} children a kind, each with a room of its own and all four plans. Mean ± half of the 95 % interval; a climb that does not end counts as {MOST} sessions.\n"
    );
    println!(
        "| pulls against the scale | plan | sessions to the goal | against the scale's | sessions with distress, % | against the scale's | there, % |"
    );
    println!("|---|---|---|---|---|---|---|");
    let kinds = [
        ("as the scale says", Kind::Apart(0.0)),
        ("mild (σ 0.3)", Kind::Apart(0.3)),
        ("strong (σ 0.8)", Kind::Apart(0.8)),
        ("reordered", Kind::Reordered),
    ];
    let only: Option<usize> = std::env::args().nth(2).and_then(|number| number.parse().ok());
    let mut said = Vec::new();
    for (_, (name, kind)) in kinds.into_iter().enumerate().filter(|(at, _)| only.is_none_or(|only| only == *at)) {
        let mut all: Vec<Vec<Climb>> = POLICIES.iter().map(|_| Vec::new()).collect();
        for seed in 0..children {
            let child = Child::new(seed, kind);
            for (climbs, (_, policy)) in all.iter_mut().zip(POLICIES) {
                climbs.push(climb(&child, policy, seed));
            }
        }
        for (climbs, (plan, policy)) in all.iter().zip(POLICIES) {
            let pairs = || climbs.iter().zip(&all[0]);
            let sessions = interval(&climbs.iter().map(|one| one.sessions).collect::<Vec<_>>());
            let distress = interval(&climbs.iter().map(share).collect::<Vec<_>>());
            let more = interval(&pairs().map(|(one, other)| one.sessions - other.sessions).collect::<Vec<_>>());
            let worse = interval(&pairs().map(|(one, other)| share(one) - share(other)).collect::<Vec<_>>());
            let against = |(mean, half): (f64, f64)| {
                if policy == Policy::Scale { "–".to_owned() } else { format!("{mean:+.1} ± {half:.1}") }
            };
            let there = 100.0 * climbs.iter().filter(|one| one.there).count() as f64 / climbs.len() as f64;
            println!(
                "| {name} | {plan} | {:.1} ± {:.1} | {} | {:.1} ± {:.1} | {} | {there:.1} |",
                sessions.0,
                sessions.1,
                against(more),
                distress.0,
                distress.1,
                against(worse)
            );
        }
        let of = |test: fn(&Climb) -> bool| {
            100.0 * all[1].iter().filter(|one| test(one)).count() as f64 / all[1].len() as f64
        };
        said.push(format!(
            "{name}: {:.1} % of the children had a plan that went by something learned, {:.1} % one that went by the list.",
            of(|one| one.learned > 0),
            of(|one| one.by_list)
        ));
    }
    println!();
    for line in said {
        println!("- {line}");
    }
}
