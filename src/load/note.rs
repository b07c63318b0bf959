//! What must be said beside a comparison.

use crate::checklist::ItemId;
use crate::load::caution::listed;
use crate::words::printable;

/// Something that must be said beside a comparison.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum CompareNote {
    /// Two different places.
    OtherPlace {
        /// Before.
        before: String,
        /// After.
        after: String,
    },
    /// Two different people answered.
    OtherObserver {
        /// Before.
        before: String,
        /// After.
        after: String,
    },
    /// The checklists differ.
    OtherChecklist,
    /// The scales differ.
    OtherScale,
    /// The child's sensitivities differ.
    OtherSensitivity,
    /// Items that only one of the two asked, or asked in another way.
    NotAsked {
        /// Which.
        items: Vec<ItemId>,
    },
    /// Items not seen in at least one of the two.
    NotSeen {
        /// Which.
        items: Vec<ItemId>,
    },
    /// Items that must stay in one of the two, and were counted in the other.
    KeptInOne {
        /// Which.
        items: Vec<ItemId>,
    },
    /// Items carried over from one to the other.
    CarriedOver {
        /// Which.
        items: Vec<ItemId>,
    },
    /// Only one has a usable photo.
    PhotoInOne,
    /// Only one has a usable recording.
    RecordingInOne,
    /// One recording is calibrated and the other is not.
    OtherKindOfRecording,
    /// The recordings have different calibrations.
    OtherCalibration,
}

impl CompareNote {
    /// Its name in files.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::OtherPlace { .. } => "other-place",
            Self::OtherObserver { .. } => "other-observer",
            Self::OtherChecklist => "other-checklist",
            Self::OtherScale => "other-scale",
            Self::OtherSensitivity => "other-sensitivity",
            Self::NotAsked { .. } => "not-asked",
            Self::NotSeen { .. } => "not-seen",
            Self::KeptInOne { .. } => "kept-in-one",
            Self::CarriedOver { .. } => "carried-over",
            Self::PhotoInOne => "photo-in-one",
            Self::RecordingInOne => "recording-in-one",
            Self::OtherKindOfRecording => "other-kind-of-recording",
            Self::OtherCalibration => "other-calibration",
        }
    }

    /// What is so, and what to do.
    pub fn text(&self) -> String {
        match self {
            Self::OtherPlace { before, after } => format!(
                "Two places: `{}` before, `{}` after. This says which is calmer, not what changed.",
                printable(before),
                printable(after)
            ),
            Self::OtherObserver { before, after } => format!(
                "`{}` answered before and `{}` after. Two people count differently, so only a larger change is clear. \
                 Let the same person answer next time.",
                printable(before),
                printable(after)
            ),
            Self::OtherChecklist => "The checklists differ. Both audits are taken with the later one's questions and \
                 weights, so the loads here can differ from those of the audits."
                .to_owned(),
            Self::OtherScale => {
                "The scales differ. Both audits are taken with the later one's scale, so the load before \
                 can differ from that of its audit."
                    .to_owned()
            }
            Self::OtherSensitivity => "The child's sensitivities were set differently. Both audits are taken with the \
                 later ones."
                .to_owned(),
            Self::NotAsked { items } => {
                format!("Left out, because only one audit asks it, or asks it in another way: {}.", listed(items))
            }
            Self::NotSeen { items } => format!(
                "Left out of both, because it was not seen in one of them: {}. What was not seen is not gone; look again.",
                listed(items)
            ),
            Self::KeptInOne { items } => {
                format!("Left out of both, because it must stay in one of them: {}.", listed(items))
            }
            Self::CarriedOver { items } => format!(
                "Carried over and not looked at again: {}. If one of these has changed, this comparison cannot know.",
                listed(items)
            ),
            Self::PhotoInOne => "Only one audit has a usable photo, so photos are left out of both. Take one from the \
                 same place next time."
                .to_owned(),
            Self::RecordingInOne => {
                "Only one audit has a usable recording, so recordings are left out of both. Record \
                 a minute with the same device next time."
                    .to_owned()
            }
            Self::OtherKindOfRecording => "One recording is calibrated and the other is not, so recordings are left \
                 out of both."
                .to_owned(),
            Self::OtherCalibration => {
                "The recordings were calibrated differently, so the error of each counts. Record \
                 with the same device and calibration next time."
                    .to_owned()
            }
        }
    }
}
