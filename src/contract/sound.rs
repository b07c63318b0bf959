//! `stillroom.sound/1`: one recording, its levels, bands, changes, decay and quality.

use serde::{Deserialize, Serialize};

use super::{Document, NoteDoc};

/// One recording.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SoundDoc {
    /// What was read.
    pub source: SoundSourceDoc,
    /// How decibels were made absolute, if they were.
    pub calibration: CalibrationDoc,
    /// `dBFS` (0 is an RMS of 1.0) or `dB` (re 20 µPa).
    pub level_unit: String,
    /// Levels of the whole recording; all null for silence.
    pub levels: LevelsDoc,
    /// Unweighted Leq in third-octave bands, nominal 25 Hz to 16 kHz.
    pub third_octaves: Vec<BandDoc>,
    /// Unweighted Leq in octave bands.
    pub octaves: Vec<BandDoc>,
    /// Criteria; null when uncalibrated.
    pub criteria: CriteriaDoc,
    /// How the level moves.
    pub changes: ChangesDoc,
    /// Voice over background, when a voice recording was given.
    pub margin: Option<MarginDoc>,
    /// Decay times, when asked for.
    pub decay: Option<DecayDoc>,
    /// How good the recording is.
    pub quality: SoundQualityDoc,
    /// The pull of this recording by the shipped scale, or null where it gives none.
    pub pull: Option<f64>,
    /// The level carried to the child's chair, when it was asked for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub chair: Option<ChairDoc>,
    /// A-weighted Leq of every 125 ms, for the picture of the level over time.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub history_laeq_db: Vec<f64>,
    /// When each sudden rise began, in seconds from the start, for the same picture.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub events_s: Vec<f64>,
    /// Every third octave in every 125 ms, when it was asked for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub third_octave_history: Option<BandHistoryDoc>,
    /// `learning` or `visit`, when it was told.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub when: Option<String>,
    /// What recorded it, when this program did.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub device: Option<SoundDeviceDoc>,
    /// How it lies to a target, when one was given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub target: Option<TargetDoc>,
}

impl Document for SoundDoc {
    const SCHEMA: &'static str = "stillroom.sound/1";
}

/// Third octaves over time.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct BandHistoryDoc {
    /// Seconds from one step to the next.
    pub step_s: f64,
    /// Nominal midbands, rising.
    pub hz: Vec<f64>,
    /// The unweighted Leq of those bands in each step. Single precision: about seven digits mean something.
    pub db: Vec<Vec<f32>>,
}

/// The device of a recording that this program made.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SoundDeviceDoc {
    /// The system's name of it.
    pub name: String,
    /// What people call it.
    pub description: String,
    /// Its gain as the system states it.
    pub gain_db: Option<f64>,
    /// The calibration profile that was used.
    pub profile: Option<String>,
}

/// A recording beside a target for a rung's sound.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct TargetDoc {
    /// `level`, or `voice` (an adult's ordinary voice by the same device).
    pub kind: String,
    /// The target, in the unit of the levels.
    pub target_db: f64,
    /// LAeq less target.
    pub difference_db: Option<f64>,
    /// `below`, `at` (within a decibel) or `over`; null where nothing was measured.
    pub state: Option<String>,
    /// LAeq and two standard uncertainties lie at or below the target; null without a calibration.
    pub surely_met: Option<bool>,
}

/// What was read.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SoundSourceDoc {
    /// The file's name without its folder.
    pub name: String,
    /// Length.
    pub seconds: f64,
    /// Samples a second.
    pub sample_rate_hz: u32,
    /// Channels, combined in power.
    pub channels: u32,
}

/// How decibels were made absolute.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CalibrationDoc {
    /// `none`, `offset` or `reading`.
    pub kind: String,
    /// Added to dBFS.
    pub offset_db: Option<f64>,
    /// Standard uncertainty.
    pub sd_db: Option<f64>,
}

/// A level carried from where it was recorded to the child's chair: direct plus reverberant field.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ChairDoc {
    /// From the source to the device.
    pub at_m: f64,
    /// From the source to the child's chair.
    pub chair_m: f64,
    /// Volume of the room.
    pub volume_m3: f64,
    /// Its decay time.
    pub decay_s: f64,
    /// `measured` or `assumed`.
    pub decay: String,
    /// Equivalent absorption area.
    pub absorption_m2: f64,
    /// Where direct and reverberant field are equal.
    pub reverberation_radius_m: f64,
    /// Added to the level on the way to the chair.
    pub change_db: f64,
    /// Not below.
    pub change_low_db: f64,
    /// Not above.
    pub change_high_db: f64,
    /// The level at the chair, in the reading's own unit.
    pub laeq_db: Option<f64>,
    /// Not below.
    pub laeq_low_db: Option<f64>,
    /// Not above.
    pub laeq_high_db: Option<f64>,
}

/// Levels of the whole recording.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct LevelsDoc {
    /// A-weighted energy mean.
    pub laeq_db: Option<f64>,
    /// C-weighted energy mean.
    pub lceq_db: Option<f64>,
    /// Unweighted energy mean.
    pub lzeq_db: Option<f64>,
    /// Largest A-weighted level, time weighting F.
    pub lafmax_db: Option<f64>,
    /// Largest A-weighted level, time weighting S.
    pub lasmax_db: Option<f64>,
    /// A-weighted F level exceeded 10 % of the time.
    pub la10_db: Option<f64>,
    /// … 50 % of the time.
    pub la50_db: Option<f64>,
    /// … 90 % of the time: the background.
    pub la90_db: Option<f64>,
}

/// One band.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct BandDoc {
    /// Nominal midband frequency.
    pub hz: f64,
    /// Level.
    pub db: f64,
}

/// Criteria of the octave bands; null when uncalibrated or out of a criterion's reach.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct CriteriaDoc {
    /// Noise criterion, ANSI/ASA S12.2.
    pub nc: Option<f64>,
    /// Noise rating, ISO/R 1996:1971.
    pub nr: Option<f64>,
    /// Speech interference level.
    pub sil_db: Option<f64>,
}

/// How the level moves.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct ChangesDoc {
    /// Sudden rises above the background, a minute.
    pub events_per_minute: Option<f64>,
    /// Spread of the level.
    pub la10_minus_la90_db: Option<f64>,
    /// Share of the time with speech-like or rhythmic fluctuation.
    pub speech_share: Option<f64>,
}

/// Voice over background.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct MarginDoc {
    /// LAeq of the voice recording.
    pub voice_laeq_db: f64,
    /// Voice LAeq minus background LA90.
    pub margin_db: f64,
}

/// Decay times.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct DecayDoc {
    /// Mean of 500 Hz and 1 kHz.
    pub t20_s: Option<f64>,
    /// Mean of 500 Hz and 1 kHz.
    pub t30_s: Option<f64>,
    /// Mean of 500 Hz and 1 kHz.
    pub edt_s: Option<f64>,
    /// Octave by octave.
    pub bands: Vec<DecayBandDoc>,
    /// The decay of the 500 Hz and 1 kHz octaves, free of the background, for the picture.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub curves: Vec<DecayCurveDoc>,
}

/// A decay: the level of what is still to come (backward integration), from 0 dB down.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct DecayCurveDoc {
    /// Nominal midband frequency.
    pub hz: f64,
    /// Seconds between the levels.
    pub step_s: f64,
    /// The levels.
    pub db: Vec<f64>,
}

/// Decay times of one octave.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct DecayBandDoc {
    /// Nominal midband frequency.
    pub hz: f64,
    /// From −5 to −25 dB.
    pub t20_s: Option<f64>,
    /// From −5 to −35 dB.
    pub t30_s: Option<f64>,
    /// From 0 to −10 dB.
    pub edt_s: Option<f64>,
}

/// How good the recording is.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SoundQualityDoc {
    /// Share of samples at full scale.
    pub clipped_share: f64,
    /// No sound at all: a muted microphone is not a quiet room.
    pub silent: bool,
    /// What to mind.
    pub warnings: Vec<NoteDoc>,
}
