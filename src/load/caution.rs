//! What must be said beside a load.

use crate::checklist::ItemId;
use crate::words::{Channel, printable};

/// Something that must be said beside a load.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Caution {
    /// Items that were not seen.
    Unanswered {
        /// Which.
        items: Vec<ItemId>,
    },
    /// A channel of the checklist about which nothing is known.
    NotExamined {
        /// Which.
        channel: Channel,
    },
    /// The child is heard on the recording.
    ChildAudible,
    /// A recording that gives no pull.
    RecordingUnused {
        /// Why.
        why: String,
    },
    /// The recording is not calibrated; its pull comes from the listening margin.
    MarginOnly,
    /// The rating level is beyond the heard table.
    BeyondTable {
        /// The rating level, whole dB.
        rating_db: i64,
        /// The table's last row, whole dB.
        last_db: i64,
    },
    /// A photo that was left out.
    PhotoUnused {
        /// Which.
        name: String,
        /// Why.
        why: String,
    },
}

impl Caution {
    /// Its name in files.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Unanswered { .. } => "unanswered",
            Self::NotExamined { .. } => "not-examined",
            Self::ChildAudible => "child-audible",
            Self::RecordingUnused { .. } => "recording-unused",
            Self::MarginOnly => "margin-only",
            Self::BeyondTable { .. } => "beyond-table",
            Self::PhotoUnused { .. } => "photo-unused",
        }
    }

    /// What is so, and what to do.
    pub fn text(&self) -> String {
        match self {
            Self::Unanswered { items } => format!(
                "Not seen: {}. The load counts nothing for it; only its upper end allows for it. \
                 Look again, then the load says more.",
                listed(items)
            ),
            Self::NotExamined { channel } => {
                let (what, how) = match channel {
                    Channel::Seen => ("what is seen", "answer a question about it or take a photo"),
                    Channel::Heard => ("what is heard", "answer a question about it or record a minute"),
                    Channel::Company => ("who is", "answer a question about it"),
                };
                format!("Nothing is known about {what} here, so the load counts nothing for it; {how}.")
            }
            Self::ChildAudible => "The child is heard on the recording. A child's own sounds are never room noise, so \
                 the recording gives no pull. Record the room at learning time with the child elsewhere."
                .to_owned(),
            Self::RecordingUnused { why } => format!("The recording gives no pull: {}.", printable(why)),
            Self::MarginOnly => "The recording is not calibrated: its pull comes from how far the usual voice stands \
                 above the background, not from a level. To have a level, calibrate the device against a meter."
                .to_owned(),
            Self::BeyondTable { rating_db, last_db } => format!(
                "The rating level of {rating_db} dB is beyond the scale's last row ({last_db} dB): its pull goes on with \
                 the last slope. Check the calibration; if it is right, this is too loud to practise in."
            ),
            Self::PhotoUnused { name, why } => {
                format!("The photo `{}` is left out: {}. Take it again.", printable(name), printable(why))
            }
        }
    }
}

/// The first few names, and how many more.
pub(super) fn listed(items: &[ItemId]) -> String {
    const SHOWN: usize = 8;
    let shown: Vec<String> = items.iter().take(SHOWN).map(|item| printable(item.as_str())).collect();
    let more = items.len().saturating_sub(SHOWN);
    if more == 0 { shown.join(", ") } else { format!("{} and {more} more", shown.join(", ")) }
}
