//! What an audit is made from: the checklist and its answers, and the photo and sound readings as plain figures.

use crate::checklist::{Answers, Checklist};
use crate::load::{Scale, Sensitivity};
use crate::quantity::{Decibels, Pull};

/// Busyness beyond 100 does not exist.
const MOST_BUSY: f64 = 100.0;
/// Levels beyond these are no sound in a room, dB. Convention.
const LEVELS: std::ops::RangeInclusive<f64> = -50.0..=150.0;

/// What a photo says.
#[derive(Clone, Debug, PartialEq)]
pub struct PhotoReading {
    /// The photo, as it is called in messages.
    pub name: String,
    /// Busyness, 0 to 100.
    pub busyness: f64,
    /// The standard deviation of the busyness.
    pub busyness_sd: f64,
}

/// What a recording says, and whether the child is heard on it.
#[derive(Clone, Debug, PartialEq)]
pub struct SoundReading {
    /// What could be measured.
    pub level: SoundLevel,
    /// The child is heard: the recording then gives no pull, for a child's own sounds are never room noise.
    pub child_audible: bool,
}

/// What could be measured on a recording.
#[derive(Clone, Debug, PartialEq)]
pub enum SoundLevel {
    /// A level at the child's ear.
    Calibrated {
        /// LAeq.
        laeq: Decibels,
        /// The share of the time with speech-like sound, 0 to 1.
        speech_share: f64,
        /// The standard deviation of the level, dB.
        sd_db: f64,
        /// Names the calibration: two recordings with the same name share its error.
        calibration: String,
    },
    /// How far the usual voice stands above the background, by the same device.
    Margin {
        /// Voice LAeq − background LA90, dB.
        margin_db: f64,
    },
    /// Nothing that gives a pull.
    Unusable {
        /// Why, and what it would need.
        why: String,
    },
}

/// Everything one audit is made from.
#[derive(Clone, Copy, Debug)]
pub struct AuditInputs<'a> {
    /// The questions.
    pub checklist: &'a Checklist,
    /// The answers.
    pub answers: &'a Answers,
    /// The photos.
    pub photos: &'a [PhotoReading],
    /// The recording.
    pub sound: Option<&'a SoundReading>,
    /// The scale.
    pub scale: &'a Scale,
    /// The child's sensitivities.
    pub sensitivity: &'a Sensitivity,
}

impl PhotoReading {
    /// Why this reading cannot be used, if it cannot.
    pub(super) fn fault(&self) -> Option<String> {
        if !(0.0..=MOST_BUSY).contains(&self.busyness) {
            return Some(format!("its busyness is {}, not between 0 and 100", self.busyness));
        }
        let right = self.busyness_sd.is_finite() && self.busyness_sd >= 0.0;
        (!right).then(|| format!("the doubt of its busyness is {}, not 0 or more", self.busyness_sd))
    }

    /// `−ln(1 − alone/100 · busyness/100)`, with `shift` added to the busyness (held between 0 and 100).
    pub(super) fn pull(&self, scale: &Scale, shift: f64) -> Pull {
        let busyness = (self.busyness + shift).clamp(0.0, MOST_BUSY);
        // `alone` is at most 99, so the share stays below 1.
        Pull::of_share(scale.photo_alone() / 100.0 * busyness / 100.0).unwrap_or_default()
    }
}

impl SoundReading {
    /// The pull it gives: none with the child audible, or where nothing usable was measured.
    pub fn pull(&self, scale: &Scale) -> Option<Pull> {
        if self.child_audible || self.level.fault().is_some() { None } else { self.level.pull(scale, 0.0) }
    }
}

impl SoundLevel {
    /// Why this reading gives no pull, if it gives none.
    pub(super) fn fault(&self) -> Option<String> {
        match self {
            Self::Calibrated { laeq, .. } if !LEVELS.contains(&laeq.db()) => {
                Some(format!("its level is {} dB, which no room has; check the calibration", laeq.db()))
            }
            Self::Calibrated { speech_share, .. } if !(0.0..=1.0).contains(speech_share) => {
                Some(format!("its share of speech-like sound is {speech_share}, not between 0 and 1"))
            }
            Self::Calibrated { sd_db, .. } if !(sd_db.is_finite() && *sd_db >= 0.0) => {
                Some(format!("the doubt of its level is {sd_db} dB, not 0 or more"))
            }
            Self::Margin { margin_db } if !margin_db.is_finite() => {
                Some(format!("its listening margin is {margin_db}, not a number of decibels"))
            }
            Self::Unusable { why } => Some(why.clone()),
            Self::Calibrated { .. } | Self::Margin { .. } => None,
        }
    }

    /// The pull by the heard or the margin table, with the level shifted by `shift` standard deviations of its own.
    pub(super) fn pull(&self, scale: &Scale, shift: f64) -> Option<Pull> {
        match self {
            Self::Calibrated { laeq, speech_share, sd_db, .. } => {
                let level = laeq.db() + shift * sd_db;
                let level = Decibels::new(level.clamp(*LEVELS.start(), *LEVELS.end()));
                Some(scale.heard().pull(scale.heard().rating(level, *speech_share)))
            }
            Self::Margin { margin_db } => Some(scale.margin().pull(*margin_db)),
            Self::Unusable { .. } => None,
        }
    }

    /// The name of the calibration, where there is one.
    pub(super) fn calibration(&self) -> Option<&str> {
        match self {
            Self::Calibrated { calibration, .. } => Some(calibration),
            Self::Margin { .. } | Self::Unusable { .. } => None,
        }
    }
}
