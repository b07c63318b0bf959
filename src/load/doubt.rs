//! Doubt: what the load might be, by seeded draws.
//!
//! A draw multiplies every item's pull by
//!
//! ```text
//! exp(channel·z_c) · exp(item·z_i) · exp(answer·z')
//! ```
//!
//! with `z_c` shared by the channel, `z_i` the item's own, `z'` fresh in every audit; the photo's and the recording's
//! pull by `exp(channel·z_c)·exp(item·z_m)` with a `z_m` of their own, after each photo's busyness (held between 0 and
//! 100) and the recording's level have been shifted by normal errors of their own standard deviations. A calibration
//! error is drawn by the calibration's name, so it is the same in two audits with the same calibration. An item not
//! seen adds a uniform share of its full pull, for the upper bound only, at the weight it would have if answered.
//!
//! All streams have names (see `normal`). Percentiles: linear between the sorted draws at `(n−1)·p`. With 4,000
//! draws the 5th and the 95th percentile of a load near 50 are sure to about ±0.5 points. Checked by simulation
//! (`tests/suite/load/doubt.rs`): this proves the arithmetic, not the scale.

use std::collections::BTreeSet;

use crate::checklist::ItemId;
use crate::load::normal::Stream;
use crate::load::pool::{Parts, Pulls, Room};
use crate::quantity::Pull;
use crate::words::Channel;

/// Draws of one room, one after the other.
pub(super) struct Draws<'r, 'a> {
    room: &'r Room<'a>,
    answer_sd: f64,
    channels: [Stream; 3],
    /// For each term: the scale's doubt and the answer's.
    terms: Vec<(Stream, Stream)>,
    photo: Stream,
    busyness: Vec<Stream>,
    recording: Stream,
    level: Stream,
    unseen: Vec<(f64, Stream)>,
    shifts: Vec<f64>,
    pulls: Pulls,
    /// The parts of `U` in the last draw.
    pub(super) parts: Parts,
}

impl<'r, 'a> Draws<'r, 'a> {
    /// Draws of a room; `audit` names what is fresh in this audit, `answer_sd` is how unsure its answers are. An answer
    /// that is `carried` over from one audit to the other is one answer: its error is drawn once for both.
    pub(super) fn new(room: &'r Room<'a>, audit: &str, answer_sd: f64, carried: &BTreeSet<ItemId>) -> Self {
        let seed = room.scale.doubt().seed;
        let found = room.pulls();
        let terms = room.terms.iter().map(|term| {
            let id = term.item.id.as_str();
            let audit = if carried.contains(&term.item.id) { "carried" } else { audit };
            (Stream::new(seed, "item", &[id]), Stream::new(seed, "answer", &[audit, id]))
        });
        let busyness = room.photos.iter().enumerate().map(|(at, photo)| {
            let earlier = room.photos[..at].iter().filter(|other| other.name == photo.name).count();
            Stream::new(seed, "busyness", &[audit, &photo.name, &earlier.to_string()])
        });
        let calibration = room.sound.and_then(|sound| sound.calibration()).unwrap_or_default();
        let unseen = room.unseen.iter().map(|item| {
            let measured = found.measured[item.channel as usize].is_some();
            let full = item.full_pull().u() * room.scale.factor(item.id.as_str());
            let most = full * room.weight(item, measured);
            (most, Stream::new(seed, "unseen", &[audit, item.id.as_str()]))
        });
        Self {
            room,
            answer_sd,
            channels: Channel::ALL.map(|channel| Stream::new(seed, "channel", &[channel.word()])),
            terms: terms.collect(),
            photo: Stream::new(seed, "measured", &["photo"]),
            busyness: busyness.collect(),
            recording: Stream::new(seed, "measured", &["recording"]),
            level: Stream::new(seed, "level", &[calibration]),
            unseen: unseen.collect(),
            shifts: Vec::with_capacity(room.photos.len()),
            pulls: found,
            parts: Parts::default(),
        }
    }

    /// The next draw: its parts stand in `parts`, and their sum is returned.
    pub(super) fn next(&mut self) -> f64 {
        let doubt = self.room.scale.doubt();
        let channels = self.channels.each_mut().map(|stream| doubt.channel * stream.normal());
        for ((pull, term), streams) in self.pulls.terms.iter_mut().zip(&self.room.terms).zip(&mut self.terms) {
            let scale = channels[term.item.channel as usize] + doubt.item * streams.0.normal();
            *pull = term.pull.u() * libm::exp(scale + self.answer_sd * streams.1.normal());
        }
        if !self.room.photos.is_empty() {
            self.shifts.clear();
            let errors = self.room.photos.iter().zip(&mut self.busyness);
            self.shifts.extend(errors.map(|(photo, stream)| photo.busyness_sd * stream.normal()));
            let scale = channels[Channel::Seen as usize] + doubt.item * self.photo.normal();
            let measured = self.room.photo_pull(&self.shifts).map(|pull| pull * libm::exp(scale));
            self.pulls.measured[Channel::Seen as usize] = measured;
        }
        if self.room.sound.is_some() {
            let scale = channels[Channel::Heard as usize] + doubt.item * self.recording.normal();
            let measured = self.room.sound_pull(self.level.normal()).map(|pull| pull * libm::exp(scale));
            self.pulls.measured[Channel::Heard as usize] = measured;
        }
        self.room.parts(&self.pulls, &mut self.parts);
        self.parts.total()
    }

    /// What the items not seen might add in this draw.
    pub(super) fn unseen(&mut self) -> f64 {
        self.unseen.iter_mut().map(|(most, stream)| *most * stream.uniform()).sum()
    }
}

/// The load in points of a drawn sum.
pub(super) fn points(sum: f64) -> f64 {
    Pull::new(sum).map_or(100.0, |pull| pull.load().points())
}

/// The percentile `p` (0 to 1) of draws, linear between the two nearest; sorts them. `None` without draws.
pub(super) fn percentile(draws: &mut [f64], p: f64) -> Option<f64> {
    draws.sort_unstable_by(f64::total_cmp);
    let place = draws.len().checked_sub(1)? as f64 * p;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "0 ≤ p ≤ 1, so the place lies within the slice"
    )]
    let below = place.floor() as usize;
    let (low, high) = (draws.get(below)?, draws.get(below + 1).or(draws.get(below))?);
    Some(low + (high - low) * (place - place.floor()))
}

#[cfg(test)]
mod tests {
    use super::percentile;

    #[test]
    fn a_percentile_is_linear_between_draws() {
        let mut draws = [4.0, 1.0, 3.0, 2.0];
        // Sorted 1 2 3 4; the median's place is 3·0.5 = 1.5, the 90th's 2.7.
        assert_eq!(percentile(&mut draws, 0.5), Some(2.5));
        assert!((percentile(&mut draws, 0.9).unwrap() - 3.7).abs() < 1e-12);
        assert_eq!(percentile(&mut draws, 1.0), Some(4.0));
        assert_eq!(percentile(&mut [], 0.5), None);
    }
}
