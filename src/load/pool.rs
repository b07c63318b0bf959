//! Pooling: the pulls of the answers, the photos and the recording become parts of one sum `U`.
//!
//! Per channel, with the checklist's weight `w`, the sensitivity `s`, the items `i` that the photo (or recording)
//! also sees (`pooled`) and the measured pull `m`:
//!
//! ```text
//! both estimates:     part_i = s·(w·u_i + (1−w)·m·u_i/Σ_pooled u)    pooled items
//! only the checklist: part_i = s·u_i
//! only m:             m stands alone, part = s·m
//! other items:        part_i = s·u_i
//! ```
//!
//! The checklist is an estimate as soon as one pooled item is answered, be it with 0. When no pooled item has a
//! pull, the measured part `s·(1−w)·m` stands as `photo` or `recording`. `U` is the sum of all parts, so the shares
//! are exact. Domain: pulls ≥ 0. Checked by hand in `tests/suite/load`. `[DESIGN]` Convention.

use crate::checklist::{Answer, Item};
use crate::load::{PhotoReading, Scale, Sensitivity, SoundLevel};
use crate::quantity::Pull;
use crate::words::Channel;

/// An answered item that counts.
#[derive(Clone, Debug)]
pub(super) struct Term<'a> {
    pub(super) item: &'a Item,
    pub(super) answer: &'a Answer,
    /// The pull of the answer.
    pub(super) pull: Pull,
}

impl Term<'_> {
    /// Whether the photo or the recording of its channel sees it too.
    pub(super) fn pooled(&self) -> bool {
        pooled(self.item)
    }
}

/// Whether a photo (for something seen) or a recording (for something heard) sees an item too.
pub(super) fn pooled(item: &Item) -> bool {
    match item.channel {
        Channel::Seen => item.in_photo,
        Channel::Heard => item.in_recording,
        Channel::Company => false,
    }
}

/// What is known about a room, ready to be summed with any pulls.
#[derive(Clone, Debug)]
pub(super) struct Room<'a> {
    pub(super) scale: &'a Scale,
    pub(super) sensitivity: Sensitivity,
    /// The items that count, by name.
    pub(super) terms: Vec<Term<'a>>,
    /// The items that were not seen, by name.
    pub(super) unseen: Vec<&'a Item>,
    /// The photos that can be used.
    pub(super) photos: Vec<&'a PhotoReading>,
    /// The recording, when it gives a pull.
    pub(super) sound: Option<&'a SoundLevel>,
    /// For each channel, whether a pooled item is answered.
    estimated: [bool; 3],
}

/// The pulls that go into a sum: one for each term, and the two measured ones.
#[derive(Clone, Debug, Default)]
pub(super) struct Pulls {
    pub(super) terms: Vec<f64>,
    /// By channel.
    pub(super) measured: [Option<f64>; 3],
}

/// The parts of `U`: one for each term, and per channel what stands alone.
#[derive(Clone, Debug, Default)]
pub(super) struct Parts {
    pub(super) terms: Vec<f64>,
    /// By channel: the photo's or recording's own part.
    pub(super) alone: [f64; 3],
}

impl Parts {
    /// `U`.
    pub(super) fn total(&self) -> f64 {
        self.terms.iter().sum::<f64>() + self.alone.iter().sum::<f64>()
    }
}

impl<'a> Room<'a> {
    /// A room of those items; they are put in the order of their names, so that no sum hangs on a list's order.
    pub(super) fn new(
        scale: &'a Scale,
        sensitivity: Sensitivity,
        mut terms: Vec<Term<'a>>,
        mut unseen: Vec<&'a Item>,
        mut photos: Vec<&'a PhotoReading>,
        sound: Option<&'a SoundLevel>,
    ) -> Self {
        terms.sort_by(|a, b| a.item.id.cmp(&b.item.id));
        unseen.sort_by(|a, b| a.id.cmp(&b.id));
        photos.sort_by(|a, b| a.name.cmp(&b.name).then(a.busyness.total_cmp(&b.busyness)));
        let estimated =
            Channel::ALL.map(|channel| terms.iter().any(|term| term.item.channel == channel && term.pooled()));
        Self { scale, sensitivity, terms, unseen, photos, sound, estimated }
    }

    /// The pulls as found, without doubt.
    pub(super) fn pulls(&self) -> Pulls {
        let shift = vec![0.0; self.photos.len()];
        Pulls {
            terms: self.terms.iter().map(|term| term.pull.u()).collect(),
            measured: [self.photo_pull(&shift), self.sound_pull(0.0), None],
        }
    }

    /// The mean of the photos' pulls, each with its busyness shifted.
    pub(super) fn photo_pull(&self, shifts: &[f64]) -> Option<f64> {
        if self.photos.is_empty() {
            return None;
        }
        let pulls = self.photos.iter().zip(shifts).map(|(photo, shift)| photo.pull(self.scale, *shift).u());
        Some(pulls.sum::<f64>() / self.photos.len() as f64)
    }

    /// The recording's pull, its level shifted by so many of its standard deviations.
    pub(super) fn sound_pull(&self, shift: f64) -> Option<f64> {
        self.sound.and_then(|sound| sound.pull(self.scale, shift)).map(Pull::u)
    }

    /// What a unit of pull of an item (pooled or not) weighs in `U`, apart from its share of the measured part.
    pub(super) fn weight(&self, item: &Item, measured: bool) -> f64 {
        let own = if measured && pooled(item) { self.scale.checklist_weight(item.channel) } else { 1.0 };
        own * self.sensitivity.of(item.channel)
    }

    /// Whether a pooled item of the channel is answered, so that the checklist is an estimate of its own.
    pub(super) const fn estimated(&self, channel: Channel) -> bool {
        self.estimated[channel as usize]
    }

    /// Σu of the channel's pooled items.
    pub(super) fn pooled_sum(&self, pulls: &[f64], channel: Channel) -> f64 {
        let terms = self.terms.iter().zip(pulls);
        terms.filter(|(term, _)| term.item.channel == channel && term.pooled()).map(|(_, pull)| pull).sum()
    }

    /// The parts of `U` for those pulls, written over `parts`.
    pub(super) fn parts(&self, pulls: &Pulls, parts: &mut Parts) {
        // Per channel: what one unit of a pooled item's pull carries of the measured part.
        let mut carried = [0.0; 3];
        parts.alone = [0.0; 3];
        for channel in [Channel::Seen, Channel::Heard] {
            let Some(measured) = pulls.measured[channel as usize] else { continue };
            let weight = if self.estimated(channel) { 1.0 - self.scale.checklist_weight(channel) } else { 1.0 };
            let share = self.sensitivity.of(channel) * weight * measured;
            let sum = self.pooled_sum(&pulls.terms, channel);
            if sum > 0.0 {
                carried[channel as usize] = share / sum;
            } else {
                parts.alone[channel as usize] = share;
            }
        }
        parts.terms.clear();
        parts.terms.extend(self.terms.iter().zip(&pulls.terms).map(|(term, pull)| {
            let channel = term.item.channel as usize;
            let measured = if term.pooled() { carried[channel] } else { 0.0 };
            pull * (self.weight(term.item, pulls.measured[channel].is_some()) + measured)
        }));
    }
}
