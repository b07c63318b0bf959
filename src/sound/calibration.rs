//! From dBFS to dB: an offset that was typed, or one taken from a recording made beside a meter; and the margin of a
//! voice over the background, which needs neither.

use crate::quantity::Decibels;

use super::analysis::Analysis;
use super::refusal::{Fault, Refusal};

/// Doubt of an offset typed from a note, dB (common practice, no source).
const TYPED_SD_DB: f64 = 3.0;
/// Doubt of a reading of a class 2 meter, dB (common practice, no source).
const METER_SD_DB: f64 = 1.5;

/// Where the decibels come from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CalibrationKind {
    /// Nowhere: levels are dBFS.
    None,
    /// An offset typed in.
    Offset,
    /// A reading of a meter while a reference was recorded.
    Reading,
}

impl CalibrationKind {
    /// The word used in files.
    pub const fn word(self) -> &'static str {
        match self {
            Self::None => "none",
            Self::Offset => "offset",
            Self::Reading => "reading",
        }
    }
}

/// How dBFS become dB.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Calibration {
    kind: CalibrationKind,
    offset_db: f64,
    sd_db: f64,
}

impl Calibration {
    /// None: levels stay dBFS.
    pub const NONE: Self = Self { kind: CalibrationKind::None, offset_db: 0.0, sd_db: 0.0 };

    /// An offset typed in, in doubt by 3 dB; `None` unless it is a number between −200 and 300.
    pub fn offset(offset_db: f64) -> Option<Self> {
        plausible(offset_db).then_some(Self { kind: CalibrationKind::Offset, offset_db, sd_db: TYPED_SD_DB })
    }

    /// What a meter read, `reading_db` as an LAeq, while `reference` was recorded on the same device; in doubt by
    /// 1.5 dB. A silent reference is refused; so is one that makes no plausible offset.
    pub fn reading(reference: &Analysis, reading_db: f64) -> Result<Self, Refusal> {
        let refuse = |fault| Refusal::new(&reference.source.name, fault);
        let laeq = reference.uncalibrated_laeq().ok_or_else(|| refuse(Fault::SilentReference))?;
        let offset_db = reading_db - laeq.db();
        if !plausible(offset_db) {
            return Err(refuse(Fault::OddReading { offset: format!("{offset_db:.0}") }));
        }
        Ok(Self { kind: CalibrationKind::Reading, offset_db, sd_db: METER_SD_DB })
    }

    /// A calibration that was made earlier and stored; `None` unless its numbers can be true.
    pub fn stored(kind: CalibrationKind, offset_db: f64, sd_db: f64) -> Option<Self> {
        let sound = kind != CalibrationKind::None && plausible(offset_db) && (0.0..=20.0).contains(&sd_db);
        sound.then_some(Self { kind, offset_db, sd_db })
    }

    /// The same with another doubt, for another meter: a calibrator 0.5, another phone 3 to 5 dB.
    #[must_use]
    pub fn with_sd(self, sd_db: f64) -> Self {
        if self.kind == CalibrationKind::None { self } else { Self { sd_db: sd_db.max(0.0), ..self } }
    }

    /// Where the decibels come from.
    pub const fn kind(&self) -> CalibrationKind {
        self.kind
    }

    /// What is added to dBFS; `None` where there is no calibration.
    pub fn offset_db(&self) -> Option<f64> {
        (self.kind != CalibrationKind::None).then_some(self.offset_db)
    }

    /// Its standard uncertainty, dB; `None` where there is no calibration.
    pub fn sd_db(&self) -> Option<f64> {
        (self.kind != CalibrationKind::None).then_some(self.sd_db)
    }

    /// The unit of levels: `dBFS` or `dB`.
    pub const fn unit(&self) -> &'static str {
        if matches!(self.kind, CalibrationKind::None) { "dBFS" } else { "dB" }
    }

    /// What is added to dBFS, 0 without calibration.
    pub(super) const fn shift(&self) -> f64 {
        self.offset_db
    }
}

fn plausible(offset_db: f64) -> bool {
    (-200.0..=300.0).contains(&offset_db)
}

/// A voice over the background, recorded by the same device at the same place and settings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Margin {
    /// The LAeq of the voice recording, in the unit of the background's levels.
    pub voice_laeq: Decibels,
    /// `LAeq(voice recording) − LA90(background)`, dB.
    pub margin_db: f64,
}

/// The listening margin; `None` when either recording has no such level (silent, or half a second long).
pub fn margin(voice: &Analysis, background: &Analysis) -> Option<Margin> {
    let voice_laeq = voice.uncalibrated_laeq()?;
    let shift = background.calibration.shift();
    let background_la90 = background.levels.la90?.raised_by(-shift);
    Some(Margin { voice_laeq: voice_laeq.raised_by(shift), margin_db: voice_laeq.above(background_la90) })
}
