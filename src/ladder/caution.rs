//! What to mind when a ladder is climbed: only what matters for the plan at hand.

use super::words::listed;
use crate::words::id_in_words;

/// Something to mind.
#[derive(Clone, Debug, PartialEq)]
pub enum Caution {
    /// No clinician has signed it.
    Draft,
    /// What a load is.
    LoadIsConvention,
    /// Distress.
    StopOnDistress,
    /// How loud it may get.
    SoundCap {
        /// The cap.
        cap_db: f64,
        /// What the plan reaches at most: the cap less twice the doubt of the device.
        planned_db: f64,
    },
    /// A sound that comes in with more than 10 dB at once.
    LoudStep {
        /// The rungs.
        rungs: Vec<u32>,
    },
    /// People are asked.
    AskEachTime,
    /// Animals.
    PetsNeverHeld,
    /// Lights and screens.
    NoFlashingLight,
    /// Food, and what is the child's own.
    NoBait,
    /// What must stay in reach.
    KeepStays {
        /// Its names.
        names: Vec<String>,
    },
    /// A level that draws less than the one below it.
    LevelFalls {
        /// The distractors.
        ids: Vec<String>,
    },
    /// The search was bounded.
    NotProven {
        /// The share by which it may be bettered.
        gap: f64,
    },
    /// Steps above the largest wished for.
    Obstacles {
        /// The distractors.
        ids: Vec<String>,
    },
    /// Sounds are locked until a clinician signs.
    HeardLocked {
        /// The sounds left out.
        ids: Vec<String>,
    },
    /// A sound's goal was lowered to the cap.
    GoalLowered {
        /// The sound.
        id: String,
        /// The goal that the room to cope with has.
        from: usize,
        /// The goal of the ladder; 0 when it is left out.
        to: usize,
    },
    /// The room to cope with has more of something than the highest level.
    MoreThanLevels {
        /// The distractor.
        id: String,
        /// What the room has.
        answer: String,
    },
}

impl Caution {
    /// A short name for programs.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Draft => "draft",
            Self::LoadIsConvention => "load-is-convention",
            Self::StopOnDistress => "stop-on-distress",
            Self::SoundCap { .. } => "sound-cap",
            Self::LoudStep { .. } => "loud-step",
            Self::AskEachTime => "ask-each-time",
            Self::PetsNeverHeld => "pets-never-held",
            Self::NoFlashingLight => "no-flashing-light",
            Self::NoBait => "no-bait",
            Self::KeepStays { .. } => "keep-stays",
            Self::LevelFalls { .. } => "level-falls",
            Self::NotProven { .. } => "not-proven",
            Self::Obstacles { .. } => "obstacles",
            Self::HeardLocked { .. } => "heard-locked",
            Self::GoalLowered { .. } => "goal-lowered",
            Self::MoreThanLevels { .. } => "more-than-levels",
        }
    }

    /// What is to mind, and what to do.
    pub fn text(&self) -> String {
        match self {
            Self::Draft => {
                "This plan is a draft until the child's clinician has read, changed and signed it; do not start on it before.".into()
            }
            Self::LoadIsConvention => {
                "Load and pull are a convention of this tool, not a validated scale: use them to order rungs, not to judge a child.".into()
            }
            Self::StopOnDistress => {
                "Stop at any distress and whenever the child wants to leave, whatever the score. What must stay in reach and ear defenders stay, on every rung. Rocking, flapping and humming are no errors.".into()
            }
            Self::SoundCap { cap_db, planned_db } => {
                let kept = if planned_db < cap_db {
                    format!(" (so this plan stays at or below {planned_db:.0} dB)")
                } else {
                    String::new()
                };
                format!(
                    "No rung passes {cap_db:.0} dB at the child's ear; it counts as kept only when the reading plus twice its doubt is not above it{kept}. Fade sounds in over a second or more, never by headphones. A device without calibration can only confirm that a sound is quieter than the adult's ordinary voice."
                )
            }
            Self::LoudStep { rungs } => format!(
                "On {} a sound, or the level at the chair, rises by more than 10 dB at once, which may startle: raise it by at most 10 dB within one sitting, over several sittings, or set `max_step` so that the ladder puts levels in between.",
                listed(rungs.iter().map(|rung| format!("rung {rung}")))
            ),
            Self::AskEachTime => {
                "Ask brothers, sisters and every adult each time. A \"no\" skips the rung for that day, and nobody is to blame.".into()
            }
            Self::PetsNeverHeld => {
                "An animal comes and goes as it likes and is never held in place; if it leaves, the sitting goes on without it and is noted so.".into()
            }
            Self::NoFlashingLight => {
                "No light or picture that flashes more than three times a second, on any rung; leave out toys and videos that do.".into()
            }
            Self::NoBait => {
                "Food and the child's own toys are never bait out of reach: use things like them that are not the child's, and give or put away what the child asks for in earnest.".into()
            }
            Self::KeepStays { names } => format!(
                "Stays in reach on every rung and is never moved, counted or traded: {}.",
                listed(names.iter().cloned())
            ),
            Self::LevelFalls { ids } => format!(
                "A higher level of {} draws less than the one below it: check the order of its levels.",
                listed(ids.iter().map(|id| id_in_words(id)))
            ),
            Self::NotProven { gap } => format!(
                "There are too many sounds to search every order: neither the largest step nor the sum of loads can be bettered by more than {:.1} %. Plan with fewer sounds at a time for a proven best.",
                gap * 100.0
            ),
            Self::Obstacles { ids } => format!(
                "The step of {} is larger than wished and could not be split: try the probe named with it before it counts as a rung.",
                listed(ids.iter().map(|id| id_in_words(id)))
            ),
            Self::HeardLocked { ids } => format!(
                "No sound is added ({} left out) until the clinician signs: ask whether any sound makes the child cover the ears, cry, freeze or leave, and see an audiologist when hearing was never checked.",
                listed(ids.iter().map(|id| id_in_words(id)))
            ),
            Self::GoalLowered { id, from, to: 0 } => format!(
                "{} at level {from} would pass the sound cap and is left out: the room to cope with is louder than any rung may be.",
                id_in_words(id)
            ),
            Self::GoalLowered { id, from, to } => format!(
                "{} ends at level {to} instead of {from}, which would pass the sound cap: the room to cope with is louder than any rung may be.",
                id_in_words(id)
            ),
            Self::MoreThanLevels { id, answer } => format!(
                "The room to cope with has {answer} for {}, more than its highest level: the last rung is calmer than that room.",
                id_in_words(id)
            ),
        }
    }
}
