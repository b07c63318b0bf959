//! Two audits of a place: is it calmer, and is the change real?
//!
//! Both audits are drawn in pairs (see `doubt`): the scale's errors are the same in both, the answers' are fresh, so
//! a real change shows through a vague scale. `low` and `high` are the 2.5th and 97.5th percentile of the drawn
//! differences in load; when they hold 0 there is no clear change.
//!
//! Only what both audits share is compared: an item counted in both, a photo in both, the same kind of recording in
//! both, with the later audit's checklist, scale and sensitivities for both. An item not seen in one of them would
//! otherwise pass for one that is gone. Everything left out is said in the notes.

use std::collections::BTreeSet;

use crate::checklist::{Answer, Item, ItemId};
use crate::load::assess::{keeps, measured_name};
use crate::load::doubt::{Draws, percentile, points};
use crate::load::pool::{Parts, Room, Term};
use crate::load::{AuditInputs, CompareNote, SoundLevel};
use crate::quantity::{Load, Pull};
use crate::words::Channel;

/// How often an interval may miss. Convention.
const MISSED: f64 = 0.05;

/// What changed between two audits.
#[derive(Clone, Debug, PartialEq)]
pub struct Comparison {
    /// The load before, of what both share.
    pub load_before: Load,
    /// The load after, of what both share.
    pub load_after: Load,
    /// After − before, points.
    pub difference: f64,
    /// The 2.5th percentile of what the difference might be.
    pub low: f64,
    /// The 97.5th percentile of what the difference might be.
    pub high: f64,
    /// What can be said.
    pub verdict: Verdict,
    /// Every part of either sum, the largest change first.
    pub items: Vec<ItemChange>,
    /// What must be said beside it.
    pub notes: Vec<CompareNote>,
}

/// What a comparison says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// The load has fallen.
    Calmer,
    /// The load has risen.
    Busier,
    /// The difference may be nothing.
    NoClearChange,
}

impl Verdict {
    /// The words used in files and on screens.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Calmer => "calmer",
            Self::Busier => "busier",
            Self::NoClearChange => "no clear change",
        }
    }
}

/// One distractor's part of `U` before and after.
#[derive(Clone, Debug, PartialEq)]
pub struct ItemChange {
    /// The item; `photo` or `recording` for a measured pull that no item accounts for.
    pub id: String,
    /// Before.
    pub before: Pull,
    /// After.
    pub after: Pull,
}

/// Compares two audits; `before` is the earlier.
pub fn compare(before: &AuditInputs<'_>, after: &AuditInputs<'_>) -> Comparison {
    compare_carried(before, after, &BTreeSet::new())
}

/// Compares two audits of which some answers are one and the same answer, carried over and not given afresh. Such an
/// answer cannot show a change, and its error is the same in both.
pub fn compare_carried(before: &AuditInputs<'_>, after: &AuditInputs<'_>, carried: &BTreeSet<ItemId>) -> Comparison {
    compare_within(before, after, carried, MISSED)
}

/// Compares two audits, one of so many comparisons at once: each interval is so much wider that all of them together hold
/// what they should in 95 of 100 cases (Bonferroni; Dunn 1961 \[DUNN1961\]).
pub fn compare_among(before: &AuditInputs<'_>, after: &AuditInputs<'_>, comparisons: usize) -> Comparison {
    compare_within(before, after, &BTreeSet::new(), MISSED / comparisons.max(1) as f64)
}

fn compare_within(
    before: &AuditInputs<'_>,
    after: &AuditInputs<'_>,
    carried: &BTreeSet<ItemId>,
    missed: f64,
) -> Comparison {
    let mut notes = general_notes(before, after);
    let (first, second) = shared_rooms(before, after, &mut notes);
    let items: Vec<ItemId> =
        second.terms.iter().map(|term| term.item.id.clone()).filter(|id| carried.contains(id)).collect();
    if !items.is_empty() {
        notes.push(CompareNote::CarriedOver { items });
    }

    let doubt = after.scale.doubt();
    let other = before.answers.by.trim() != after.answers.by.trim();
    let answer_sd = if other { doubt.answer_other } else { doubt.answer };
    let mut draws =
        (Draws::new(&first, "before", answer_sd, carried), Draws::new(&second, "after", answer_sd, carried));
    let mut drawn: Vec<f64> = (0..doubt.draws).map(|_| -points(draws.0.next()) + points(draws.1.next())).collect();

    let (parts_before, parts_after) = (parts(&first), parts(&second));
    let (load_before, load_after) = (load(&parts_before), load(&parts_after));
    let difference = load_after.points() - load_before.points();
    let low = percentile(&mut drawn, missed / 2.0).unwrap_or(difference).min(difference);
    let high = percentile(&mut drawn, 1.0 - missed / 2.0).unwrap_or(difference).max(difference);
    let verdict = if high < 0.0 {
        Verdict::Calmer
    } else if low > 0.0 {
        Verdict::Busier
    } else {
        Verdict::NoClearChange
    };
    let items = changes(&first, &parts_before, &parts_after);
    Comparison { load_before, load_after, difference, low, high, verdict, items, notes }
}

fn parts(room: &Room<'_>) -> Parts {
    let mut parts = Parts::default();
    room.parts(&room.pulls(), &mut parts);
    parts
}

fn load(parts: &Parts) -> Load {
    Pull::new(parts.total()).unwrap_or_default().load()
}

/// The two rooms, cut down to what both audits share; both hold the same items in the same order.
fn shared_rooms<'a>(
    before: &AuditInputs<'a>,
    after: &AuditInputs<'a>,
    notes: &mut Vec<CompareNote>,
) -> (Room<'a>, Room<'a>) {
    let (mut first, mut second) = (Vec::new(), Vec::new());
    let mut left = LeftOut::default();
    for item in &after.checklist.items {
        if let Some((earlier, later)) = shared_item(before, after, item, &mut left) {
            first.push(earlier);
            second.push(later);
        }
    }
    let gone = before.checklist.items.iter().filter(|item| after.checklist.item(&item.id).is_none());
    left.not_asked.extend(gone.map(|item| item.id.clone()));
    left.note(notes);

    let (earlier, _) = Room::of(before);
    let (later, _) = Room::of(after);
    let photos = !earlier.photos.is_empty() && !later.photos.is_empty();
    if earlier.photos.is_empty() != later.photos.is_empty() {
        notes.push(CompareNote::PhotoInOne);
    }
    let (sound_before, sound_after) = match (earlier.sound, later.sound) {
        (Some(a), Some(b)) if same_kind(a, b) => {
            if a.calibration() != b.calibration() {
                notes.push(CompareNote::OtherCalibration);
            }
            (Some(a), Some(b))
        }
        (None, None) => (None, None),
        (Some(_), Some(_)) => {
            notes.push(CompareNote::OtherKindOfRecording);
            (None, None)
        }
        _ => {
            notes.push(CompareNote::RecordingInOne);
            (None, None)
        }
    };
    let kept = |all: Vec<_>| if photos { all } else { Vec::new() };
    let build = |terms, photos, sound| Room::new(after.scale, *after.sensitivity, terms, Vec::new(), photos, sound);
    (build(first, kept(earlier.photos), sound_before), build(second, kept(later.photos), sound_after))
}

/// Items that are in only one of the two audits, by reason.
#[derive(Default)]
struct LeftOut {
    not_asked: Vec<ItemId>,
    not_seen: Vec<ItemId>,
    kept: Vec<ItemId>,
}

impl LeftOut {
    fn note(self, notes: &mut Vec<CompareNote>) {
        let notes_of = [
            (!self.not_asked.is_empty()).then_some(CompareNote::NotAsked { items: self.not_asked }),
            (!self.not_seen.is_empty()).then_some(CompareNote::NotSeen { items: self.not_seen }),
            (!self.kept.is_empty()).then_some(CompareNote::KeptInOne { items: self.kept }),
        ];
        notes.extend(notes_of.into_iter().flatten());
    }
}

/// An item as it counts before and after, both by the later checklist.
fn shared_item<'a>(
    before: &AuditInputs<'a>,
    after: &AuditInputs<'a>,
    item: &'a Item,
    left: &mut LeftOut,
) -> Option<(Term<'a>, Term<'a>)> {
    match (keeps(before, &item.id), keeps(after, &item.id)) {
        (true, true) => return None,
        (false, false) => {}
        _ => {
            left.kept.push(item.id.clone());
            return None;
        }
    }
    if before.checklist.item(&item.id).is_none() {
        left.not_asked.push(item.id.clone());
        return None;
    }
    let term = |answer: &'a Answer| after.scale.weigh(item, answer).map(|pull| Term { item, answer, pull });
    let (earlier, later) = (before.answers.to(&item.id), after.answers.to(&item.id));
    let pair = term(earlier).zip(term(later));
    if pair.is_none() {
        // Not seen in one or both, or asked in another way: an answer that the later question does not know.
        let asked_otherwise = *earlier != Answer::NotSeen && item.pull(earlier).is_none();
        let list = if asked_otherwise { &mut left.not_asked } else { &mut left.not_seen };
        list.push(item.id.clone());
    }
    pair
}

fn same_kind(a: &SoundLevel, b: &SoundLevel) -> bool {
    std::mem::discriminant(a) == std::mem::discriminant(b)
}

fn general_notes(before: &AuditInputs<'_>, after: &AuditInputs<'_>) -> Vec<CompareNote> {
    let mut notes = Vec::new();
    let mut note = |applies: bool, note: CompareNote| {
        if applies {
            notes.push(note);
        }
    };
    let (a, b) = (before.answers, after.answers);
    note(a.place != b.place, CompareNote::OtherPlace { before: a.place.clone(), after: b.place.clone() });
    note(a.by.trim() != b.by.trim(), CompareNote::OtherObserver { before: a.by.clone(), after: b.by.clone() });
    let same_questions = before.checklist.id == after.checklist.id && before.checklist.items == after.checklist.items;
    note(!same_questions, CompareNote::OtherChecklist);
    note(before.scale.hash() != after.scale.hash(), CompareNote::OtherScale);
    note(before.sensitivity != after.sensitivity, CompareNote::OtherSensitivity);
    notes
}

fn changes(room: &Room<'_>, before: &Parts, after: &Parts) -> Vec<ItemChange> {
    let pull = |part: f64| Pull::new(part).unwrap_or_default();
    let both = |parts: (&f64, &f64), id: String| ItemChange { id, before: pull(*parts.0), after: pull(*parts.1) };
    let terms = room.terms.iter().zip(before.terms.iter().zip(&after.terms));
    let alone = Channel::ALL.into_iter().zip(before.alone.iter().zip(&after.alone));
    let mut items: Vec<ItemChange> = terms
        .map(|(term, parts)| both(parts, term.item.id.to_string()))
        .chain(alone.map(|(channel, parts)| both(parts, measured_name(channel).to_owned())))
        .filter(|change| change.before > Pull::ZERO || change.after > Pull::ZERO)
        .collect();
    let size = |change: &ItemChange| (change.after.u() - change.before.u()).abs();
    items.sort_by(|a, b| size(b).total_cmp(&size(a)).then_with(|| a.id.cmp(&b.id)));
    items
}
