//! A ladder's law written down a second time, straight from its definition, with nothing of the room under test:
//! rooms as plain numbers, their TOML, the rules of a path, and two searches that know no phases and no lattice.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

/// A room as plain numbers.
#[derive(Clone, Debug)]
pub(crate) struct Raw {
    pub(crate) order: [usize; 3],
    pub(crate) background: f64,
    pub(crate) cap: f64,
    pub(crate) novelty: f64,
    pub(crate) max_step: Option<f64>,
    pub(crate) sensitivity: [f64; 3],
    pub(crate) table: Vec<(f64, f64)>,
    pub(crate) speech_db: f64,
    pub(crate) things: Vec<Thing>,
}

/// A distractor as plain numbers: channel 0 seen, 1 heard, 2 company.
#[derive(Clone, Debug)]
pub(crate) struct Thing {
    pub(crate) channel: usize,
    pub(crate) start: usize,
    pub(crate) goal: usize,
    pub(crate) needs: Option<(usize, usize)>,
    pub(crate) levels: Vec<RawLevel>,
}

/// A level: a pull, or a sound in dB; speech-like or not.
#[derive(Clone, Copy, Debug)]
pub(crate) struct RawLevel {
    pub(crate) value: f64,
    pub(crate) speech: bool,
}

pub(crate) const WORDS: [&str; 3] = ["seen", "heard", "company"];

/// The table of the shipped scale.
pub(crate) fn shipped_table() -> Vec<(f64, f64)> {
    vec![(35.0, 0.0), (40.0, 0.05), (45.0, 0.11), (50.0, 0.19), (55.0, 0.29), (60.0, 0.42), (65.0, 0.58), (70.0, 0.80)]
}

impl Raw {
    /// A room with the shipped table and nothing in it.
    pub(crate) fn plain() -> Self {
        Self {
            order: [0, 1, 2],
            background: 36.0,
            cap: 65.0,
            novelty: 0.5,
            max_step: None,
            sensitivity: [1.0; 3],
            table: shipped_table(),
            speech_db: 10.0,
            things: Vec::new(),
        }
    }

    /// With one more distractor, from absent to its highest level.
    pub(crate) fn with(mut self, channel: usize, levels: &[f64]) -> Self {
        let levels: Vec<_> = levels.iter().map(|&value| RawLevel { value, speech: false }).collect();
        self.things.push(Thing { channel, start: 0, goal: levels.len(), needs: None, levels });
        self
    }

    pub(crate) fn toml(&self) -> String {
        let mut text = String::from("format = \"stillroom.ladder-input/1\"\n");
        let order = self.order.map(|channel| format!("\"{}\"", WORDS[channel])).join(", ");
        let (db, pull): (Vec<_>, Vec<_>) =
            self.table.iter().map(|(db, pull)| (format!("{db:?}"), format!("{pull:?}"))).unzip();
        let _ = writeln!(text, "order = [{order}]\nbackground_db = {:?}", self.background);
        let _ = writeln!(text, "sound_cap_db = {:?}\nnovelty = {:?}", self.cap, self.novelty);
        if let Some(step) = self.max_step {
            let _ = writeln!(text, "max_step = {step:?}");
        }
        let [seen, heard, company] = self.sensitivity;
        let _ = writeln!(text, "[sensitivity]\nseen = {seen:?}\nheard = {heard:?}\ncompany = {company:?}");
        let _ = writeln!(
            text,
            "[heard]\ndb = [{}]\npull = [{}]\nspeech_db = {:?}",
            db.join(", "),
            pull.join(", "),
            self.speech_db
        );
        for (number, thing) in self.things.iter().enumerate() {
            let _ = writeln!(text, "[[distractor]]\nid = \"d{number}\"\nchannel = \"{}\"", WORDS[thing.channel]);
            let _ = writeln!(text, "start = {}\ngoal = {}", thing.start, thing.goal);
            if let Some((other, level)) = thing.needs {
                let _ = writeln!(text, "needs = {{ id = \"d{other}\", level = {level} }}");
            }
            for (index, level) in thing.levels.iter().enumerate() {
                let _ = writeln!(text, "[[distractor.level]]\nname = \"level {}\"", index + 1);
                match thing.channel {
                    1 => writeln!(text, "db = {:?}\nspeech = {}", level.value, level.speech),
                    _ => writeln!(text, "pull = {:?}", level.value),
                }
                .unwrap();
            }
        }
        text
    }

    fn table(&self, level: f64) -> f64 {
        let rows = &self.table;
        if level <= rows[0].0 {
            return rows[0].1;
        }
        let mut row = 1;
        while row + 1 < rows.len() && level > rows[row].0 {
            row += 1;
        }
        let ((x0, y0), (x1, y1)) = (rows[row - 1], rows[row]);
        y0 + (level - x0) * (y1 - y0) / (x1 - x0)
    }

    fn heard(&self, state: &[usize]) -> f64 {
        let mut energy = 10f64.powf(self.background / 10.0);
        for (thing, &level) in self.things.iter().zip(state) {
            if thing.channel == 1 && level > 0 {
                let at = thing.levels[level - 1];
                energy += 10f64.powf((at.value + if at.speech { self.speech_db } else { 0.0 }) / 10.0);
            }
        }
        self.table(10.0 * energy.log10())
    }

    fn plain_level(&self, state: &[usize]) -> f64 {
        let sounds = self.things.iter().zip(state).filter(|(thing, level)| thing.channel == 1 && **level > 0);
        let energy: f64 = sounds.map(|(thing, &level)| 10f64.powf(thing.levels[level - 1].value / 10.0)).sum();
        10.0 * (10f64.powf(self.background / 10.0) + energy).log10()
    }

    pub(crate) fn pull(&self, state: &[usize]) -> f64 {
        let mut u = self.sensitivity[1] * self.heard(state);
        for (thing, &level) in self.things.iter().zip(state) {
            if thing.channel != 1 && level > 0 {
                u += self.sensitivity[thing.channel] * thing.levels[level - 1].value;
            }
        }
        u
    }

    pub(crate) fn load(&self, state: &[usize]) -> f64 {
        100.0 * (1.0 - (-self.pull(state)).exp())
    }

    pub(crate) fn start(&self) -> Vec<usize> {
        self.things.iter().map(|thing| thing.start).collect()
    }

    pub(crate) fn goal(&self) -> Vec<usize> {
        self.things.iter().map(|thing| thing.goal).collect()
    }

    pub(crate) fn step(&self, state: &[usize], raised: usize) -> f64 {
        let mut after = state.to_vec();
        after[raised] += 1;
        let mut alone = self.start();
        alone[raised] = state[raised];
        let mut alone_after = alone.clone();
        alone_after[raised] += 1;
        let rise = self.pull(&after) - self.pull(state);
        rise.max(self.novelty * (self.pull(&alone_after) - self.pull(&alone)))
    }

    /// Whether a state may be, by cap and prerequisites.
    pub(crate) fn allowed(&self, state: &[usize]) -> bool {
        let needs = self
            .things
            .iter()
            .zip(state)
            .all(|(thing, &level)| level == 0 || thing.needs.is_none_or(|(other, least)| state[other] >= least));
        needs && self.plain_level(state) <= self.cap + 1e-9
    }

    /// What may be raised next.
    pub(crate) fn rungs(&self, state: &[usize]) -> Vec<usize> {
        let unfinished = |channel| {
            self.things.iter().zip(state).any(|(thing, &level)| thing.channel == channel && level < thing.goal)
        };
        let Some(phase) = self.order.into_iter().find(|&channel| unfinished(channel)) else { return Vec::new() };
        (0..state.len())
            .filter(|&index| self.things[index].channel == phase && state[index] < self.things[index].goal)
            .filter(|&index| {
                let mut after = state.to_vec();
                after[index] += 1;
                self.allowed(&after)
            })
            .collect()
    }

    /// Largest step and sum of loads of a whole order of distractors; `None` when it breaks a rule.
    pub(crate) fn judge(&self, order: &[usize]) -> Option<(f64, f64)> {
        let mut state = self.start();
        if !self.allowed(&state) {
            return None;
        }
        let (mut largest, mut sum) = (f64::NEG_INFINITY, 0.0);
        for &index in order {
            if !self.rungs(&state).contains(&index) {
                return None;
            }
            largest = largest.max(self.step(&state, index));
            state[index] += 1;
            sum += self.load(&state);
        }
        (state == self.goal()).then_some((largest, sum))
    }

    /// The best figures by walking every order there is.
    pub(crate) fn by_all_orders(&self) -> Option<(f64, f64)> {
        let mut found = Vec::new();
        if self.allowed(&self.start()) {
            self.walk(&self.start(), f64::NEG_INFINITY, 0.0, &mut found);
        }
        let least = found.iter().map(|(largest, _)| *largest).reduce(f64::min)?;
        let within = found.iter().filter(|(largest, _)| *largest <= least + 5e-10);
        within.map(|(_, sum)| *sum).reduce(f64::min).map(|sum| (least, sum))
    }

    fn walk(&self, state: &[usize], largest: f64, sum: f64, found: &mut Vec<(f64, f64)>) {
        if state == self.goal().as_slice() {
            found.push((largest, sum));
            return;
        }
        for index in self.rungs(state) {
            let mut after = state.to_vec();
            after[index] += 1;
            self.walk(&after, largest.max(self.step(state, index)), sum + self.load(&after), found);
        }
    }

    /// The best figures by a shortest-path search over all channels at once, with a list of states yet to visit:
    /// first the least threshold on steps that still lets a way through, by trying every step there is, halving;
    /// then the least sum under it.
    pub(crate) fn by_shortest_path(&self) -> Option<(f64, f64)> {
        if !self.allowed(&self.start()) {
            return None;
        }
        let mut steps: Vec<f64> = Vec::new();
        let mut seen = BTreeSet::from([self.start()]);
        let mut list = vec![self.start()];
        while let Some(state) = list.pop() {
            for index in self.rungs(&state) {
                steps.push(self.step(&state, index));
                let mut after = state.clone();
                after[index] += 1;
                if seen.insert(after.clone()) {
                    list.push(after);
                }
            }
        }
        steps.sort_by(f64::total_cmp);
        let (mut low, mut high) = (0, steps.len().checked_sub(1)?);
        self.cheapest(steps[high])?;
        while low < high {
            let middle = low.midpoint(high);
            if self.cheapest(steps[middle]).is_some() { high = middle } else { low = middle + 1 }
        }
        self.cheapest(steps[low] + 5e-10).map(|sum| (steps[low], sum))
    }

    fn cheapest(&self, most: f64) -> Option<f64> {
        let mut costs: BTreeMap<Vec<usize>, f64> = BTreeMap::from([(self.start(), 0.0)]);
        let rungs: usize = self.things.iter().map(|thing| thing.goal - thing.start).sum();
        for _ in 0..rungs {
            let mut next: BTreeMap<Vec<usize>, f64> = BTreeMap::new();
            for (state, cost) in costs {
                for index in self.rungs(&state) {
                    if self.step(&state, index) <= most {
                        let mut after = state.clone();
                        after[index] += 1;
                        let sum = cost + self.load(&after);
                        next.entry(after).and_modify(|old| *old = old.min(sum)).or_insert(sum);
                    }
                }
            }
            costs = next;
        }
        costs.get(&self.goal()).copied()
    }
}
