//! One audit's load: channels, shares, first moves, doubt, disagreements and cautions.

use std::collections::BTreeSet;

use crate::checklist::{ItemId, SharedWork};
use crate::load::caution::Caution;
use crate::load::doubt::{Draws, percentile};
use crate::load::moves::{Candidate, best, together};
use crate::load::pool::{Parts, Pulls, Room, Term};
use crate::load::{AuditInputs, Grade, SoundLevel};
use crate::quantity::{Load, Pull};
use crate::words::Channel;

/// Two estimates that differ by more than this factor … Convention.
const FACTOR: f64 = 2.0;
/// … and by more than this in pull disagree. Convention.
const APART: f64 = 0.05;

/// The load of a place, and all that belongs to it.
#[derive(Clone, Debug, PartialEq)]
pub struct Assessment {
    /// Seen, heard, company.
    pub channels: [ChannelPull; 3],
    /// `U`, the sum of the pooled pulls, each times its sensitivity.
    pub pull: Pull,
    /// The load.
    pub load: Load,
    /// The 5th percentile of what it might be.
    pub load_low: Load,
    /// The 95th percentile of what it might be, allowing for what was not seen.
    pub load_high: Load,
    /// The load in a word.
    pub grade: Grade,
    /// What must stay in reach, as answered.
    pub keep: Vec<String>,
    /// The distractors, the largest first; their shares sum to 1 (none for a room without pull).
    pub shares: Vec<Share>,
    /// The best use of the minutes asked for.
    pub first_moves: FirstMoves,
    /// Where checklist and measurement do not agree.
    pub disagreements: Vec<Disagreement>,
    /// What must be said beside the load.
    pub cautions: Vec<Caution>,
    /// The items not seen, in the checklist's order.
    pub unanswered: Vec<ItemId>,
}

/// The pull of one channel, without the child's sensitivity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ChannelPull {
    /// Which.
    pub channel: Channel,
    /// Pooled.
    pub pull: Pull,
    /// Of all its answered items, not pooled.
    pub checklist: Pull,
    /// Of the photos or the recording.
    pub measured: Option<Pull>,
}

/// What one distractor carries.
#[derive(Clone, Debug, PartialEq)]
pub struct Share {
    /// The item; `photo` or `recording` for a measured pull that no item accounts for.
    pub id: String,
    /// Its channel.
    pub channel: Channel,
    /// Its share of the load, 0 to 1.
    pub share: f64,
    /// The chance that it is the largest.
    pub chance_largest: f64,
    /// What takes it out of the room.
    pub remedy: Option<String>,
    /// The minutes that takes.
    pub minutes: Option<f64>,
    /// Work that it shares with other remedies.
    pub shares: Option<SharedWork>,
    /// Its part of `U`.
    pub pull: Pull,
}

/// The remedies that take out the most pull in so many minutes.
#[derive(Clone, Debug, PartialEq)]
pub struct FirstMoves {
    /// The minutes asked for.
    pub minutes: f64,
    /// The items, in the order of the shares.
    pub ids: Vec<ItemId>,
    /// The minutes that they take together; a work that several share is done once.
    pub takes_minutes: f64,
    /// The load without their parts; only a new photo or recording confirms it.
    pub load_after: Load,
}

/// A checklist and a measurement that do not agree about the same things.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Disagreement {
    /// On which channel.
    pub channel: Channel,
    /// What the items that both looked at say.
    pub checklist: Pull,
    /// What the photos or the recording say.
    pub measured: Pull,
}

impl Disagreement {
    /// What to do about it.
    pub fn advice(&self) -> String {
        let more = self.measured > self.checklist;
        let (what, fewer) = match self.channel {
            Channel::Heard => ("the recording", "Were the sounds that you noted silent while it ran?"),
            Channel::Seen | Channel::Company => ("the photo", "Does it show the places that you counted?"),
        };
        let doubt = if more { "Was something left out in the answers?" } else { fewer };
        let (large, small) = if more { (self.measured, self.checklist) } else { (self.checklist, self.measured) };
        let (larger, other) = if more { (what, "the answers") } else { ("the answers", what) };
        let by = if small.u() > 0.0 {
            format!("{larger} finds {:.1} times as much as {other}", large.u() / small.u())
        } else {
            format!("{larger} finds something and {other} nothing")
        };
        let by = by.replace("answers finds", "answers find");
        format!(
            "What is {}: {by} (pull {:.2} by the answers, {:.2} by {what}). {doubt} Recount, or take {what} again.",
            self.channel,
            self.checklist.u(),
            self.measured.u()
        )
    }
}

impl<'a> Room<'a> {
    /// The room of an audit, and what must be said about it.
    pub(super) fn of(inputs: &AuditInputs<'a>) -> (Self, Vec<Caution>) {
        let mut cautions = Vec::new();
        let (mut terms, mut unseen) = (Vec::new(), Vec::new());
        for item in &inputs.checklist.items {
            if keeps(inputs, &item.id) {
                continue;
            }
            let answer = inputs.answers.to(&item.id);
            match inputs.scale.weigh(item, answer) {
                Some(pull) => terms.push(Term { item, answer, pull }),
                None => unseen.push(item),
            }
        }
        let mut photos = Vec::new();
        for photo in inputs.photos {
            match photo.fault() {
                None => photos.push(photo),
                Some(why) => cautions.push(Caution::PhotoUnused { name: photo.name.clone(), why }),
            }
        }
        let sound = inputs.sound.and_then(|reading| {
            if reading.child_audible {
                cautions.push(Caution::ChildAudible);
                return None;
            }
            if let Some(why) = reading.level.fault() {
                cautions.push(Caution::RecordingUnused { why });
                return None;
            }
            Some(&reading.level)
        });
        (Self::new(inputs.scale, *inputs.sensitivity, terms, unseen, photos, sound), cautions)
    }
}

/// Whether an item is one that must stay.
pub(super) fn keeps(inputs: &AuditInputs<'_>, id: &ItemId) -> bool {
    inputs.answers.keep.iter().any(|kept| names_item(kept, id))
}

/// Whether what must stay in reach names the item, by its id or by the same words with spaces.
pub fn names_item(kept: &str, id: &ItemId) -> bool {
    kept.trim().to_lowercase().replace([' ', '_'], "-") == id.as_str()
}

/// The load of an audit, with the best use of the next `minutes`.
pub fn assess(inputs: &AuditInputs<'_>, minutes: f64) -> Assessment {
    let (room, mut cautions) = Room::of(inputs);
    let pulls = room.pulls();
    let mut parts = Parts::default();
    room.parts(&pulls, &mut parts);
    let total = parts.total();

    let items = &inputs.checklist.items;
    let unanswered: Vec<ItemId> = items
        .iter()
        .filter(|item| room.unseen.iter().any(|unseen| unseen.id == item.id))
        .map(|item| item.id.clone())
        .collect();
    cautions.extend(more_cautions(inputs, &room, &pulls, &unanswered));

    let doubt = draw(&room);
    let load = Pull::new(total).unwrap_or_default().load();
    let shares = shares(&room, &parts, total, &doubt);
    Assessment {
        channels: Channel::ALL.map(|channel| channel_pull(&room, &pulls, &parts, channel)),
        pull: Pull::new(total).unwrap_or_default(),
        load,
        // With an odd scale the middle of the draws can lie off the load; the range still holds the load.
        load_low: Pull::new(doubt.low.min(total)).unwrap_or_default().load(),
        load_high: Pull::new(doubt.high.max(total)).unwrap_or_default().load(),
        grade: inputs.scale.grade(load),
        keep: inputs.answers.keep.clone(),
        first_moves: first_moves(&shares, total, minutes.max(0.0)),
        shares,
        disagreements: disagreements(&room, &pulls),
        cautions,
        unanswered,
    }
}

/// What the draws say: bounds of `U`, and how often each part was the largest.
struct Drawn {
    low: f64,
    high: f64,
    terms: Vec<f64>,
    alone: [f64; 3],
}

fn draw(room: &Room<'_>) -> Drawn {
    let doubt = room.scale.doubt();
    let mut draws = Draws::new(room, "audit", doubt.answer, &BTreeSet::new());
    let mut wins = Parts { terms: vec![0.0; room.terms.len()], alone: [0.0; 3] };
    let (mut lows, mut highs) = (Vec::with_capacity(doubt.draws), Vec::with_capacity(doubt.draws));
    for _ in 0..doubt.draws {
        let sum = draws.next();
        lows.push(sum);
        highs.push(sum + draws.unseen());
        count_largest(&draws.parts, &mut wins);
    }
    let count = doubt.draws as f64;
    Drawn {
        low: percentile(&mut lows, 0.05).unwrap_or_default(),
        high: percentile(&mut highs, 0.95).unwrap_or_default(),
        terms: wins.terms.iter().map(|wins| wins / count).collect(),
        alone: wins.alone.map(|wins| wins / count),
    }
}

/// Notes which part is the largest; parts that are exactly equal share the win, and in an empty room none wins.
fn count_largest(parts: &Parts, wins: &mut Parts) {
    let all = || parts.terms.iter().chain(&parts.alone).copied();
    let most = all().fold(0.0, f64::max);
    if most <= 0.0 {
        return;
    }
    let winners = all().filter(|part| *part >= most).count() as f64;
    let won = |part: f64| if part >= most { 1.0 / winners } else { 0.0 };
    for (win, part) in wins.terms.iter_mut().zip(&parts.terms) {
        *win += won(*part);
    }
    for (win, part) in wins.alone.iter_mut().zip(parts.alone) {
        *win += won(part);
    }
}

fn channel_pull(room: &Room<'_>, pulls: &Pulls, parts: &Parts, channel: Channel) -> ChannelPull {
    let of_channel = |figures: &[f64]| {
        let terms = room.terms.iter().zip(figures).filter(|(term, _)| term.item.channel == channel);
        terms.map(|(_, figure)| figure).sum::<f64>()
    };
    let weighted = of_channel(&parts.terms) + parts.alone[channel as usize];
    ChannelPull {
        channel,
        pull: Pull::new(weighted / room.sensitivity.of(channel)).unwrap_or_default(),
        checklist: Pull::new(of_channel(&pulls.terms)).unwrap_or_default(),
        measured: pulls.measured[channel as usize].and_then(Pull::new),
    }
}

/// The name under which a measured pull stands when no item accounts for it.
pub(super) const fn measured_name(channel: Channel) -> &'static str {
    match channel {
        Channel::Heard => "recording",
        Channel::Seen | Channel::Company => "photo",
    }
}

fn shares(room: &Room<'_>, parts: &Parts, total: f64, drawn: &Drawn) -> Vec<Share> {
    let terms = room.terms.iter().zip(&parts.terms).zip(&drawn.terms).map(|((term, part), chance)| Share {
        id: term.item.id.to_string(),
        channel: term.item.channel,
        share: part / total,
        chance_largest: *chance,
        remedy: Some(term.item.remedy.clone()).filter(|remedy| !remedy.trim().is_empty()),
        minutes: Some(term.item.minutes),
        shares: term.item.shares.clone(),
        pull: Pull::new(*part).unwrap_or_default(),
    });
    let alone = Channel::ALL.into_iter().map(|channel| Share {
        id: measured_name(channel).to_owned(),
        channel,
        share: parts.alone[channel as usize] / total,
        chance_largest: drawn.alone[channel as usize],
        remedy: None,
        minutes: None,
        shares: None,
        pull: Pull::new(parts.alone[channel as usize]).unwrap_or_default(),
    });
    let mut shares: Vec<Share> = terms.chain(alone).filter(|share| share.pull > Pull::ZERO).collect();
    shares.sort_by(|a, b| b.share.total_cmp(&a.share).then_with(|| a.id.cmp(&b.id)));
    shares
}

fn first_moves(shares: &[Share], total: f64, minutes: f64) -> FirstMoves {
    let helpful: Vec<(&Share, f64)> =
        shares.iter().filter_map(|share| Some((share, share.remedy.as_ref().and(share.minutes)?))).collect();
    let candidates: Vec<Candidate<'_>> = helpful
        .iter()
        .map(|(share, minutes)| Candidate {
            pull: share.pull.u(),
            minutes: *minutes,
            shares: share.shares.as_ref().map(|shares| (shares.work.as_str(), shares.own)),
        })
        .collect();
    let chosen = best(&candidates, minutes);
    let takes_minutes = together(&candidates, &chosen);
    let ids: Vec<ItemId> = chosen.iter().map(|place| ItemId::new(helpful[*place].0.id.clone())).collect();
    // Summing what stays, rather than subtracting, leaves exactly nothing when everything is moved.
    let stays = shares.iter().filter(|share| share.remedy.is_none() || !ids.iter().any(|id| id.as_str() == share.id));
    let after = if ids.is_empty() { total } else { stays.map(|share| share.pull.u()).sum() };
    FirstMoves { minutes, ids, takes_minutes, load_after: Pull::new(after).unwrap_or_default().load() }
}

fn disagreements(room: &Room<'_>, pulls: &Pulls) -> Vec<Disagreement> {
    let compared = [Channel::Seen, Channel::Heard].into_iter().filter_map(|channel| {
        let measured = pulls.measured[channel as usize].filter(|_| room.estimated(channel))?;
        let checklist = room.pooled_sum(&pulls.terms, channel);
        let (less, more) = (checklist.min(measured), checklist.max(measured));
        (more > FACTOR * less && more - less > APART).then(|| Disagreement {
            channel,
            checklist: Pull::new(checklist).unwrap_or_default(),
            measured: Pull::new(measured).unwrap_or_default(),
        })
    });
    compared.collect()
}

fn more_cautions(inputs: &AuditInputs<'_>, room: &Room<'_>, pulls: &Pulls, unanswered: &[ItemId]) -> Vec<Caution> {
    let mut cautions = Vec::new();
    match room.sound {
        Some(SoundLevel::Margin { .. }) => cautions.push(Caution::MarginOnly),
        Some(SoundLevel::Calibrated { laeq, speech_share, .. }) => {
            let rating = inputs.scale.heard().rating(*laeq, *speech_share).db();
            if let Some((last, _)) = inputs.scale.heard().rows().last().filter(|(last, _)| rating > *last) {
                cautions.push(Caution::BeyondTable { rating_db: whole_db(rating), last_db: whole_db(*last) });
            }
        }
        Some(SoundLevel::Unusable { .. }) | None => {}
    }
    if !unanswered.is_empty() {
        cautions.push(Caution::Unanswered { items: unanswered.to_vec() });
    }
    cautions.extend(Channel::ALL.into_iter().filter_map(|channel| {
        let known =
            pulls.measured[channel as usize].is_some() || room.terms.iter().any(|term| term.item.channel == channel);
        let asked = room.unseen.iter().any(|item| item.channel == channel)
            || !inputs.checklist.items.iter().any(|item| item.channel == channel);
        (!known && asked).then_some(Caution::NotExamined { channel })
    }));
    cautions
}

/// A level in whole decibels, for a sentence.
fn whole_db(db: f64) -> i64 {
    #[expect(clippy::cast_possible_truncation, reason = "levels lie between −50 and 170 dB")]
    let whole = db.round() as i64;
    whole
}
