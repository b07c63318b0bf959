//! One phase of a ladder: all rises of one channel, everything else standing still.

use super::refusal::Refusal;
use super::room::Room;
use crate::words::Channel;

/// The rises of one channel.
pub(crate) struct Phase {
    /// The channel that is added back.
    pub(crate) channel: Channel,
    /// The state on entry.
    pub(crate) entry: Vec<usize>,
    /// The distractors that rise, in the order of the input.
    pub(crate) movers: Vec<Mover>,
    /// `U` of the other two channels.
    pub(crate) rest: f64,
    /// What the channel has besides its movers: pull, and energies by rating and plain (with the background).
    pub(crate) base: Amount,
}

/// A distractor that rises in this phase.
pub(crate) struct Mover {
    /// Its place in the input.
    pub(crate) index: usize,
    /// Its level on entry.
    pub(crate) start: usize,
    /// What it adds on entry and after 1, 2, … rises.
    pub(crate) amounts: Vec<Amount>,
    /// Least step of the first, second, … rise; for a channel that is not heard it is the step itself.
    pub(crate) least_steps: Vec<f64>,
    /// Another mover that must have risen so often before this one's first rise.
    pub(crate) need: Option<(usize, usize)>,
}

/// What something adds to its channel: a pull, or an energy by rating level and one by plain level.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Amount {
    /// The pull of a thing seen or of company; of a sound its energy by rating level.
    pub(crate) drawn: f64,
    /// The energy of a sound by its plain level, else 0.
    pub(crate) plain: f64,
}

impl Amount {
    /// Both together.
    pub(crate) fn plus(self, other: Self) -> Self {
        Self { drawn: self.drawn + other.drawn, plain: self.plain + other.plain }
    }
}

impl Mover {
    /// How often it rises.
    pub(crate) fn rises(&self) -> usize {
        self.least_steps.len()
    }
}

impl Phase {
    /// The phase of a channel from a state on; refused when something is to rise before what it needs.
    pub(crate) fn new(room: &Room<'_>, channel: Channel, entry: Vec<usize>) -> Result<Self, Refusal> {
        let input = room.input;
        let heard = channel == Channel::Heard;
        let amount = |index, level| {
            if heard {
                let (drawn, plain) = room.level_energy(index, level);
                Amount { drawn, plain }
            } else {
                Amount { drawn: room.level_pull(index, level), plain: 0.0 }
            }
        };
        let moving: Vec<usize> = (0..entry.len())
            .filter(|&index| {
                input.distractors[index].channel == channel && input.distractors[index].goal > entry[index]
            })
            .collect();
        let mut base = Amount::default();
        if heard {
            let mut without = entry.clone();
            for &index in &moving {
                without[index] = 0;
            }
            base = Amount { drawn: room.rating_energy(&without), plain: room.plain_energy(&without) };
        } else {
            for index in (0..entry.len()).filter(|index| input.distractors[*index].channel == channel) {
                if !moving.contains(&index) {
                    base = base.plus(amount(index, entry[index]));
                }
            }
        }
        let mut movers = Vec::with_capacity(moving.len());
        for &index in &moving {
            let distractor = &input.distractors[index];
            let start = entry[index];
            let least_steps = (start..distractor.goal)
                .map(|level| if heard { room.novelty_step(index, level) } else { room.step_from_level(index, level) })
                .collect();
            let need = match distractor.needs.as_ref().filter(|_| start == 0) {
                None => None,
                Some(need) => {
                    let other = input.distractors.iter().position(|other| other.id == need.id);
                    let stands = other.map_or(0, |other| entry[other]);
                    if stands >= need.level {
                        None
                    } else if let Some(mover) = moving.iter().position(|&index| Some(index) == other) {
                        Some((mover, need.level - stands))
                    } else {
                        return Err(Refusal::NeedsComeLater {
                            id: distractor.id.clone(),
                            channel,
                            needs: need.id.clone(),
                            level: need.level,
                            other: other.map_or(channel, |other| input.distractors[other].channel),
                        });
                    }
                }
            };
            let amounts = (start..=distractor.goal).map(|level| amount(index, level)).collect();
            movers.push(Mover { index, start, amounts, least_steps, need });
        }
        let rest = Channel::ALL
            .into_iter()
            .filter(|other| *other != channel)
            .map(|other| input.sensitivity.of(other) * room.channel_pull(other, &entry))
            .sum();
        Ok(Self { channel, entry, movers, rest, base })
    }

    /// How many states it has; `None` when that is beyond counting.
    pub(crate) fn states(&self) -> Option<usize> {
        self.movers.iter().try_fold(1usize, |product, mover| product.checked_mul(mover.rises() + 1))
    }

    /// How many rungs it adds.
    pub(crate) fn rungs(&self) -> usize {
        self.movers.iter().map(Mover::rises).sum()
    }

    /// The state after it.
    pub(crate) fn exit(&self) -> Vec<usize> {
        let mut levels = self.entry.clone();
        for mover in &self.movers {
            levels[mover.index] = mover.start + mover.rises();
        }
        levels
    }

    /// The channel's pull, without sensitivity, of what is there.
    pub(crate) fn pull_of(&self, room: &Room<'_>, there: Amount) -> f64 {
        if self.channel == Channel::Heard { room.heard_pull(there.drawn) } else { there.drawn }
    }
}
