//! Audits cut down to what all of them share, so that a short list in one corner does not pass for a calm one.

use crate::checklist::{Checklist, Item};
use crate::load::{AuditInputs, SoundReading};

/// What several audits share: the items answered in all and kept in none, photos and one kind of recording where all have them.
pub(super) struct Shared {
    lists: Vec<Checklist>,
    photos: bool,
    sound: bool,
}

impl Shared {
    /// `None` where they share nothing.
    pub(super) fn of(audits: &[AuditInputs<'_>]) -> Option<Self> {
        let counts = |inputs: &AuditInputs<'_>, item: &Item| {
            let asked = inputs.checklist.item(&item.id);
            let kept = inputs.answers.keep.iter().any(|kept| kept == item.id.as_str());
            !kept && asked.is_some_and(|asked| asked.pull(inputs.answers.to(&item.id)).is_some())
        };
        let cut = |list: &Checklist| {
            let mut cut = list.clone();
            cut.items.retain(|item| audits.iter().all(|inputs| counts(inputs, item)));
            cut
        };
        let kind = |sound: Option<&SoundReading>| {
            sound.filter(|reading| !reading.child_audible).map(|reading| std::mem::discriminant(&reading.level))
        };
        let first = audits.first().and_then(|inputs| kind(inputs.sound));
        let shared = Self {
            lists: audits.iter().map(|inputs| cut(inputs.checklist)).collect(),
            photos: audits.iter().all(|inputs| !inputs.photos.is_empty()),
            sound: first.is_some() && audits.iter().all(|inputs| kind(inputs.sound) == first),
        };
        let items = shared.lists.first().is_some_and(|list| !list.items.is_empty());
        (items || shared.photos || shared.sound).then_some(shared)
    }

    /// The audit at that place, cut down.
    pub(super) fn cut<'a>(&'a self, at: usize, inputs: &AuditInputs<'a>) -> AuditInputs<'a> {
        AuditInputs {
            checklist: &self.lists[at],
            photos: if self.photos { inputs.photos } else { &[] },
            sound: inputs.sound.filter(|_| self.sound),
            ..*inputs
        }
    }
}
