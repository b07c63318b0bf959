//! The arithmetic of a room with some distractors in it: pull, load, step, and the level against the sound cap.
//!
//! ```text
//! U      = s_seen·Σ u_seen + s_heard·table(L_r) + s_company·Σ u_company
//! L_r    = 10·lg(10^(B/10) + Σ 10^((L_i + speech_db·[speech-like])/10))     B: background, a rating level
//! cap    : 10·lg(10^(B/10) + Σ 10^(L_i/10)) ≤ sound_cap_db − 2·reading_sd_db   without speech_db
//! step   = max(U' − U, novelty·s_c·Δu_alone)
//! ```
//!
//! `Δu_alone` is the rise which the same change of level would cause in the start room with the background and
//! nothing else changed: every other distractor stays at its start level. For a thing seen and for company that is
//! the difference of its two pulls; for a sound it is the difference of the heard table at the energy sums
//! of background, the other sounds at their start level, and this sound at its new and at its old level.
//! A level may draw less than the one before (a box closed again): its rise is then negative, its step is the larger
//! of the two negative numbers, and the plan carries a caution.
//!
//! A distractor that draws this child `f` times as its levels say (learned from sessions; else `f = 1`) has `f` times its pull. Of a
//! sound the rating level is shifted instead, so that at its goal level it raises the table `f` times as much over the
//! background as it would: `table(B ⊕ (L + d)) − table(B) = f·(table(B ⊕ L) − table(B))`, `|d| ≤ 20 dB`. The cap knows no shift.
//!
//! Exact comparison: steps and loads are rounded to 1e-9 and compared as integers, so that the sums of a path do not
//! depend on the order of summation. The sums over a state always run in the order of the input.
//! Checked: by brute force over all orders and by hand-worked rooms (tests/suite/ladder).

use super::input::{Distractor, LadderInput, LevelDraw};
use crate::load::HeardTable;
use crate::quantity::{Decibels, Load, Pull};
use crate::words::Channel;

/// Units of an exact comparison per pull and per point of load.
pub(crate) const NANO: f64 = 1e9;

/// A sum of energies that should equal the cap may pass it by its rounding.
pub(crate) const CAP_ROUNDING_DB: f64 = 1e-9;

/// No sound's rating is shifted further than this, dB. Convention.
const SHIFT_MOST_DB: f64 = 20.0;
/// Halvings of that range: below 1e-12 dB.
const SHIFT_HALVINGS: usize = 45;

/// In units of 1e-9, rounded to the nearest; halves away from zero. Beyond the range of `i64` it saturates.
pub(crate) fn nano(value: f64) -> i64 {
    let scaled = value * NANO;
    #[expect(clippy::cast_possible_truncation, reason = "a float cast saturates; inputs are bounded far below")]
    let rounded = (scaled + 0.5f64.copysign(scaled)) as i64;
    rounded
}

/// The input with every level turned into what the sums need.
pub(crate) struct Room<'a> {
    /// The input itself.
    pub(crate) input: &'a LadderInput,
    /// A distractor a row, its levels from absent up.
    rows: Vec<Row>,
    /// Energy of the background.
    background: f64,
}

/// A distractor's levels, absent first.
struct Row {
    channel: Channel,
    /// Pull of a level seen or of company; 0 for sounds.
    pull: Vec<f64>,
    /// Energy of a sound by its rating level; 0 for others.
    rating: Vec<f64>,
    /// Energy of a sound by its plain level; 0 for others.
    plain: Vec<f64>,
    /// `Δu_alone` of the rise to the level after this one.
    alone: Vec<f64>,
}

impl<'a> Room<'a> {
    /// The input made ready.
    pub(crate) fn new(input: &'a LadderInput) -> Self {
        let background = input.background.power();
        let mut room = Self {
            input,
            rows: input.distractors.iter().map(|distractor| Row::new(distractor, &input.heard, background)).collect(),
            background,
        };
        let start = room.start();
        for index in 0..room.rows.len() {
            room.rows[index].alone = room.alone(index, &start);
        }
        room
    }

    /// Every distractor at its start level.
    pub(crate) fn start(&self) -> Vec<usize> {
        self.input.distractors.iter().map(|distractor| distractor.start).collect()
    }

    /// Every distractor at its goal level.
    pub(crate) fn goal(&self) -> Vec<usize> {
        self.input.distractors.iter().map(|distractor| distractor.goal).collect()
    }

    fn alone(&self, index: usize, start: &[usize]) -> Vec<f64> {
        let row = &self.rows[index];
        (1..row.pull.len())
            .map(|upper| {
                if row.channel != Channel::Heard {
                    return row.pull[upper] - row.pull[upper - 1];
                }
                let mut levels = start.to_vec();
                levels[index] = upper;
                let above = self.heard(&levels);
                levels[index] = upper - 1;
                above - self.heard(&levels)
            })
            .collect()
    }

    /// Pull of a channel without its sensitivity. Heard: with the background.
    pub(crate) fn channel_pull(&self, channel: Channel, levels: &[usize]) -> f64 {
        if channel == Channel::Heard {
            return self.heard(levels);
        }
        let of_channel = self.rows.iter().zip(levels).filter(|(row, _)| row.channel == channel);
        of_channel.map(|(row, &level)| row.pull[level]).sum()
    }

    fn heard(&self, levels: &[usize]) -> f64 {
        self.heard_pull(self.rating_energy(levels))
    }

    /// Energy of the background and the sounds by their rating levels.
    pub(crate) fn rating_energy(&self, levels: &[usize]) -> f64 {
        self.rows.iter().zip(levels).fold(self.background, |sum, (row, &level)| sum + row.rating[level])
    }

    /// Energy of the background and the sounds without the adjustment for speech.
    pub(crate) fn plain_energy(&self, levels: &[usize]) -> f64 {
        self.rows.iter().zip(levels).fold(self.background, |sum, (row, &level)| sum + row.plain[level])
    }

    /// The heard table at an energy by rating levels.
    pub(crate) fn heard_pull(&self, energy: f64) -> f64 {
        Decibels::from_power(energy).map_or(0.0, |level| self.input.heard.pull(level).u())
    }

    /// The unadjusted level at the child's ear.
    pub(crate) fn plain_level(&self, levels: &[usize]) -> Decibels {
        Decibels::from_power(self.plain_energy(levels)).unwrap_or(self.input.background)
    }

    /// The energy that may not be passed.
    pub(crate) fn energy_cap(&self) -> f64 {
        self.input.planned_cap().raised_by(CAP_ROUNDING_DB).power()
    }

    /// The pull of the room with these levels.
    pub(crate) fn pull(&self, levels: &[usize]) -> Pull {
        let weigh = |channel| self.input.sensitivity.of(channel) * self.channel_pull(channel, levels);
        Pull::new(weigh(Channel::Seen) + weigh(Channel::Heard) + weigh(Channel::Company)).unwrap_or_default()
    }

    /// The load of the room with these levels.
    pub(crate) fn load(&self, levels: &[usize]) -> Load {
        self.pull(levels).load()
    }

    /// What a rung is at least, however much of it is hidden: `novelty·s_c·Δu_alone`.
    pub(crate) fn novelty_step(&self, index: usize, level: usize) -> f64 {
        let row = &self.rows[index];
        self.input.novelty * self.input.sensitivity.of(row.channel) * row.alone[level]
    }

    /// `Δu_alone` of the rise from `level` by one.
    pub(crate) fn alone_rise(&self, index: usize, level: usize) -> f64 {
        self.rows[index].alone[level]
    }

    /// The step of raising something seen or of company from `level` by one: the same in every room.
    pub(crate) fn step_from_level(&self, index: usize, level: usize) -> f64 {
        let row = &self.rows[index];
        let rise = self.input.sensitivity.of(row.channel) * (row.pull[level + 1] - row.pull[level]);
        rise.max(self.novelty_step(index, level))
    }

    /// The step of raising `index` by one from the state `levels`.
    pub(crate) fn step_from(&self, index: usize, levels: &[usize]) -> f64 {
        if self.rows[index].channel != Channel::Heard {
            return self.step_from_level(index, levels[index]);
        }
        let mut raised = levels.to_vec();
        raised[index] += 1;
        let rise = self.input.sensitivity.heard * (self.heard(&raised) - self.heard(levels));
        rise.max(self.novelty_step(index, levels[index]))
    }

    /// Pull of a level seen or of company.
    pub(crate) fn level_pull(&self, index: usize, level: usize) -> f64 {
        self.rows[index].pull[level]
    }

    /// Energy of a sound's level, by rating and plain.
    pub(crate) fn level_energy(&self, index: usize, level: usize) -> (f64, f64) {
        (self.rows[index].rating[level], self.rows[index].plain[level])
    }
}

impl Row {
    fn new(distractor: &Distractor, heard: &HeardTable, background: f64) -> Self {
        let levels = distractor.levels.len() + 1;
        let mut row = Self {
            channel: distractor.channel,
            pull: vec![0.0; levels],
            rating: vec![0.0; levels],
            plain: vec![0.0; levels],
            alone: Vec::new(),
        };
        let rating = |level: Decibels, speech| level.raised_by(if speech { heard.speech_db() } else { 0.0 });
        let shift_db = match distractor.level(distractor.goal).map(|level| level.draw) {
            Some(LevelDraw::Sound { level, speech }) => {
                shift(heard, background, rating(level, speech), distractor.draws * distractor.weighs)
            }
            _ => 0.0,
        };
        for (index, level) in distractor.levels.iter().enumerate() {
            match level.draw {
                LevelDraw::Pull { pull, .. } => row.pull[index + 1] = distractor.draws * distractor.weighs * pull.u(),
                LevelDraw::Sound { level, speech } => {
                    row.rating[index + 1] = rating(level, speech).raised_by(shift_db).power();
                    row.plain[index + 1] = level.power();
                }
            }
        }
        row
    }
}

/// The shift of a rating level that makes a sound raise the table so many times as much over the background, dB; none
/// where it raises nothing.
fn shift(heard: &HeardTable, background: f64, rating: Decibels, draws: f64) -> f64 {
    let pull = |energy: f64| Decibels::from_power(energy).map_or(0.0, |level| heard.pull(level).u());
    let rise = |by: f64| pull(background + rating.raised_by(by).power()) - pull(background);
    let plain = rise(0.0);
    #[expect(clippy::float_cmp, reason = "nothing learned is 1 exactly, and then nothing is shifted")]
    if draws == 1.0 || plain <= 0.0 {
        return 0.0;
    }
    let (mut low, mut high) = (-SHIFT_MOST_DB, SHIFT_MOST_DB);
    for _ in 0..SHIFT_HALVINGS {
        let middle = f64::midpoint(low, high);
        if rise(middle) < draws * plain { low = middle } else { high = middle }
    }
    f64::midpoint(low, high)
}
