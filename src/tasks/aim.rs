//! A target for a rung's sound at the child's chair: below it, at it, over it, and where to stop.
//!
//! The caps are design choices of this tool (convention), well under published limits for hearing; hearing limits are
//! not comfort limits for a sound-sensitive child, and any distress ends the sound whatever a meter says.

use crate::contract::{NoteDoc, SoundDoc, TargetDoc};

use super::refusal::Refusal;

/// Within this of the target counts as at it, dB. Convention.
const AT_DB: f64 = 1.0;
/// Above this a rung's sound is cautioned against, dB(A) at the child's ear. Convention.
const CAUTION_DB: f64 = 65.0;
/// From here a rung's sound is stopped, dB(A). Convention.
const STOP_DB: f64 = 70.0;
/// The loudest moment that a rung's sound may have, dB(A), F. Convention.
const PEAK_DB: f64 = 75.0;

/// Where a level lies to a target.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stand {
    /// More than a decibel below.
    Below,
    /// Within a decibel.
    At,
    /// More than a decibel over.
    Over,
}

impl Stand {
    /// The word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Below => "below",
            Self::At => "at",
            Self::Over => "over",
        }
    }
}

/// A target in the unit of the levels.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Aim {
    /// The target.
    pub target_db: f64,
    /// Whether it is an adult's ordinary voice.
    pub voice: bool,
    /// The doubt of the levels; `None` without a calibration.
    pub sd_db: Option<f64>,
}

/// What a level asks for, whatever the target.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Danger {
    /// Too loud for a rung.
    Caution,
    /// Switch it off.
    Stop,
}

impl Aim {
    /// A target of so many decibels. Without a calibration there is none: dBFS say nothing about a child's ear.
    pub fn level(target_db: f64, sd_db: Option<f64>) -> Result<Self, Refusal> {
        if sd_db.is_none() {
            return Err(Refusal::new("target-uncalibrated", "a target in dB needs a calibrated device").hint(
                "calibrate it (--calibrate), or compare with an adult's ordinary voice: --target voice --voice FILE",
            ));
        }
        if target_db >= STOP_DB {
            return Err(Refusal::new(
                "target-too-loud",
                format!("{target_db} dB is too loud for any rung; the sound is stopped at {STOP_DB} dB"),
            )
            .hint("65 dB is the most for a rung, 60 is usual, 50 for a child who minds sounds"));
        }
        if !(20.0..).contains(&target_db) {
            return Err(Refusal::new("target-odd", format!("{target_db} dB is below every quiet room"))
                .hint("give what a meter would read at the child's chair, such as 50"));
        }
        Ok(Self { target_db, voice: false, sd_db })
    }

    /// Quieter than an adult's ordinary voice.
    pub const fn voice(voice_db: f64, sd_db: Option<f64>) -> Self {
        Self { target_db: voice_db, voice: true, sd_db }
    }

    /// Where a level lies.
    pub fn stand(&self, level_db: f64) -> Stand {
        let difference = level_db - self.target_db;
        if difference < -AT_DB {
            Stand::Below
        } else if difference <= AT_DB {
            Stand::At
        } else {
            Stand::Over
        }
    }

    /// Whether a level is too loud for a child with its doubt counted in (two standard uncertainties); an uncalibrated
    /// level cannot tell.
    pub fn danger(&self, level_db: f64) -> Option<Danger> {
        let surely_under = level_db + 2.0 * self.sd_db?;
        match surely_under {
            sure if sure >= STOP_DB => Some(Danger::Stop),
            sure if sure > CAUTION_DB => Some(Danger::Caution),
            _ => None,
        }
    }

    /// The recording beside the target, into its document.
    pub(super) fn tell(&self, doc: &mut SoundDoc) {
        let laeq = doc.levels.laeq_db;
        doc.target = Some(TargetDoc {
            kind: if self.voice { "voice" } else { "level" }.to_owned(),
            target_db: self.target_db,
            difference_db: laeq.map(|laeq| laeq - self.target_db),
            state: laeq.map(|laeq| self.stand(laeq).word().to_owned()),
            surely_met: laeq.zip(self.sd_db).map(|(laeq, sd)| laeq + 2.0 * sd <= self.target_db),
        });
        let warnings = &mut doc.quality.warnings;
        match laeq.and_then(|laeq| self.danger(laeq)) {
            Some(Danger::Stop) => warnings.push(NoteDoc::new(
                "rung-sound-stop",
                format!("Stop: with its doubt this sound reaches {STOP_DB:.0} dB(A) at the child's chair. Switch it off before the child comes in."),
            )),
            Some(Danger::Caution) => warnings.push(NoteDoc::new(
                "rung-sound-loud",
                format!("With its doubt this sound lies above {CAUTION_DB:.0} dB(A) at the child's chair, too loud for a rung. Turn it down."),
            )),
            None => {}
        }
        if self.sd_db.is_some() && doc.levels.lafmax_db.is_some_and(|peak| peak > PEAK_DB) {
            doc.quality.warnings.push(NoteDoc::new(
                "rung-sound-peak",
                format!("Its loudest moment passes {PEAK_DB:.0} dB(A). Choose a sound without sudden loud moments."),
            ));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Aim, Danger, Stand};

    #[test]
    fn within_a_decibel_is_at_the_target() {
        let aim = Aim::level(50.0, Some(1.5)).unwrap();
        let stands = [48.9, 49.0, 50.0, 51.0, 51.1].map(|level| aim.stand(level));
        assert_eq!(stands, [Stand::Below, Stand::At, Stand::At, Stand::At, Stand::Over]);
    }

    #[test]
    fn loudness_is_judged_with_its_doubt_and_not_at_all_without_a_calibration() {
        let aim = Aim::level(50.0, Some(1.5)).unwrap();
        assert_eq!(
            [62.0, 62.1, 66.9, 67.0].map(|level| aim.danger(level)),
            [None, Some(Danger::Caution), Some(Danger::Caution), Some(Danger::Stop)]
        );
        assert_eq!(Aim::voice(-30.0, None).danger(0.0), None);
    }

    #[test]
    fn a_target_needs_a_calibration_and_stays_under_the_stop() {
        assert_eq!(Aim::level(50.0, None).unwrap_err().code, "target-uncalibrated");
        assert_eq!(Aim::level(70.0, Some(1.5)).unwrap_err().code, "target-too-loud");
        assert_eq!(Aim::level(-3.0, Some(1.5)).unwrap_err().code, "target-odd");
    }
}
