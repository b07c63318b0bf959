//! Recordings: opened, calibrated, analysed. Nothing of them is kept.

use std::io::{Cursor, Read};
use std::path::{Path, PathBuf};

use crate::contract::{
    BandDoc, BandHistoryDoc, CalibrationDoc, ChangesDoc, CriteriaDoc, DecayBandDoc, DecayCurveDoc, DecayDoc, LevelsDoc,
    MarginDoc, NoteDoc, ProfileDoc, SoundDoc, SoundQualityDoc, SoundSourceDoc,
};
use crate::load::{Scale, SoundLevel, SoundReading};
use crate::quantity::Decibels;
use crate::sound::{self, Analysis, Settings, Source};

use super::files::{Named, open, short_name};
use super::profiles;
use super::refusal::Refusal;

/// How decibels become absolute.
#[derive(Clone, Debug, PartialEq)]
pub enum Calibration {
    /// They do not.
    None,
    /// Added to dBFS, typed from a note.
    Offset {
        /// Decibels.
        offset_db: f64,
    },
    /// A recording by the same device during which a meter was read.
    Reference {
        /// The recording.
        file: PathBuf,
        /// What the meter read.
        laeq_db: f64,
    },
    /// A profile that was stored.
    Profile(Box<ProfileDoc>),
}

/// When a recording was made. Homes are quieter with a guest.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Occasion {
    /// While the child usually learns, the home as it is then.
    Learning,
    /// While a visitor was there.
    Visit,
}

impl Occasion {
    /// The word in documents.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Learning => "learning",
            Self::Visit => "visit",
        }
    }
}

/// What is asked about a recording.
#[derive(Clone, Debug)]
pub struct SoundRequest {
    /// The recording; a dash is standard input.
    pub file: PathBuf,
    /// How decibels become absolute.
    pub calibration: Calibration,
    /// Another standard uncertainty of that, dB.
    pub sd_db: Option<f64>,
    /// When it was recorded, if that was told.
    pub when: Option<Occasion>,
    /// An adult's voice by the same device.
    pub voice: Option<PathBuf>,
    /// Find the decay time.
    pub decay: bool,
    /// The child's own sounds are in it: no pull.
    pub child_audible: bool,
    /// Tell every third in every 125 ms.
    pub band_history: bool,
}

/// A recording that is ready to be read: from a file, or from bytes already here.
pub type Opened = Named<Box<dyn Source>>;

/// Analyses a recording from files.
pub fn sound(request: &SoundRequest, stdin: &mut dyn Read, progress: &mut dyn FnMut(f64)) -> Result<SoundDoc, Refusal> {
    let room = open_recording(&request.file, stdin)?;
    let voice = request.voice.as_deref().map(|path| open_recording(path, stdin)).transpose()?;
    let calibration = calibration(&request.calibration, request.sd_db, stdin)?;
    let settings = Settings { calibration, decay: request.decay, band_history: request.band_history };
    let mut doc = from_opened(room, voice, settings, request.child_audible, progress)?;
    tell_occasion(&mut doc, request.when);
    Ok(doc)
}

/// The calibration that is asked for.
pub(super) fn calibration(
    asked: &Calibration,
    sd_db: Option<f64>,
    stdin: &mut dyn Read,
) -> Result<sound::Calibration, Refusal> {
    let found = match asked {
        Calibration::None => sound::Calibration::NONE,
        Calibration::Offset { offset_db } => offset(*offset_db)?,
        Calibration::Reference { file, laeq_db } => {
            let reference = analyse(open_recording(file, stdin)?, &Settings::default(), &mut |_| ())?;
            sound::Calibration::reading(&reference, *laeq_db).map_err(|refusal| refused(&refusal, &short_name(file)))?
        }
        Calibration::Profile(profile) => profiles::calibration(profile)?,
    };
    in_doubt(found, sd_db)
}

/// A calibration with another standard uncertainty, if one is given.
pub(super) fn in_doubt(found: sound::Calibration, sd_db: Option<f64>) -> Result<sound::Calibration, Refusal> {
    match sd_db {
        None => Ok(found),
        Some(sd_db) if (0.0..=20.0).contains(&sd_db) => Ok(found.with_sd(sd_db)),
        Some(sd_db) => Err(Refusal::new("sd", format!("a standard uncertainty of {sd_db} dB is none"))
            .hint("a class 2 meter 1.5, another phone 3 to 5, a note 3")),
    }
}

/// Notes when it was recorded, and what that means.
pub(super) fn tell_occasion(doc: &mut SoundDoc, when: Option<Occasion>) {
    doc.when = when.map(|when| when.word().to_owned());
    if when == Some(Occasion::Visit) {
        doc.quality.warnings.push(NoteDoc::new(
            "visit",
            "Recorded during a visit: a home is quieter while a guest is there. Record again at learning time.",
        ));
    }
}

/// Analyses opened recordings.
pub fn from_opened(
    room: Opened,
    voice: Option<Opened>,
    settings: Settings,
    child_audible: bool,
    progress: &mut dyn FnMut(f64),
) -> Result<SoundDoc, Refusal> {
    let name = room.name.clone();
    let analysis = analyse(room, &settings, progress)?;
    let voice = voice
        .map(|voice| analyse(voice, &Settings { decay: false, band_history: false, ..settings }, progress))
        .transpose()?;
    Ok(document(&analysis, voice.as_ref(), name, child_audible))
}

/// A calibration offset typed from a note.
pub fn offset(offset_db: f64) -> Result<sound::Calibration, Refusal> {
    sound::Calibration::offset(offset_db).ok_or_else(|| {
        Refusal::new("offset", format!("an offset of {offset_db} dB is no calibration"))
            .hint("phones lie between about 60 and 130 dB")
    })
}

/// A recording from bytes already here.
pub fn from_bytes(name: &str, bytes: Vec<u8>) -> Opened {
    Named { name: name.to_owned(), content: Box::new(Cursor::new(bytes)) }
}

pub(super) fn open_recording(path: &Path, stdin: &mut dyn Read) -> Result<Opened, Refusal> {
    let name = short_name(path);
    if path == Path::new("-") {
        let bytes = sound::gather(stdin, &name).map_err(|refusal| refused(&refusal, &name))?;
        return Ok(from_bytes(&name, bytes));
    }
    Ok(Named { name, content: Box::new(open(path)?) })
}

pub(super) fn analyse(opened: Opened, settings: &Settings, progress: &mut dyn FnMut(f64)) -> Result<Analysis, Refusal> {
    let name = opened.name;
    let recording = sound::open(opened.content, &name).map_err(|refusal| refused(&refusal, &name))?;
    sound::analyse(recording, settings, progress).map_err(|refusal| refused(&refusal, &name))
}

pub(super) fn refused(refusal: &sound::Refusal, name: &str) -> Refusal {
    Refusal::new(refusal.code(), refusal.to_string()).at(name).hint(refusal.hint())
}

/// A reading as programs read it. The pull is that of the shipped scale; an audit with another scale has its own.
pub(super) fn document(analysis: &Analysis, voice: Option<&Analysis>, name: String, child_audible: bool) -> SoundDoc {
    let db = |level: Option<Decibels>| level.map(Decibels::db);
    let levels = &analysis.levels;
    let margin = voice.and_then(|voice| sound::margin(voice, analysis));
    let band = |band: &sound::BandLevel| BandDoc { hz: band.hz, db: band.level.db() };
    let mut doc = SoundDoc {
        source: SoundSourceDoc {
            name,
            seconds: analysis.source.seconds,
            sample_rate_hz: analysis.source.sample_rate_hz,
            channels: u32::try_from(analysis.source.channels).unwrap_or(u32::MAX),
        },
        calibration: CalibrationDoc {
            kind: analysis.calibration.kind().word().to_owned(),
            offset_db: analysis.calibration.offset_db(),
            sd_db: analysis.calibration.sd_db(),
        },
        level_unit: analysis.calibration.unit().to_owned(),
        levels: LevelsDoc {
            laeq_db: db(levels.laeq),
            lceq_db: db(levels.lceq),
            lzeq_db: db(levels.lzeq),
            lafmax_db: db(levels.lafmax),
            lasmax_db: db(levels.lasmax),
            la10_db: db(levels.la10),
            la50_db: db(levels.la50),
            la90_db: db(levels.la90),
        },
        third_octaves: analysis.third_octaves.iter().map(band).collect(),
        octaves: analysis.octaves.iter().map(band).collect(),
        criteria: CriteriaDoc {
            nc: analysis.criteria.nc.and_then(sound::NoiseCriterion::number),
            nr: analysis.criteria.nr,
            sil_db: analysis.criteria.sil_db,
        },
        changes: ChangesDoc {
            events_per_minute: analysis.changes.events_per_minute,
            la10_minus_la90_db: analysis.changes.la10_minus_la90_db,
            speech_share: analysis.changes.speech_share,
        },
        margin: margin.map(|margin| MarginDoc { voice_laeq_db: margin.voice_laeq.db(), margin_db: margin.margin_db }),
        decay: analysis.decay.as_ref().map(|decay| DecayDoc {
            t20_s: decay.t20_s,
            t30_s: decay.t30_s,
            edt_s: decay.edt_s,
            bands: decay
                .bands
                .iter()
                .map(|band| DecayBandDoc { hz: band.hz, t20_s: band.t20_s, t30_s: band.t30_s, edt_s: band.edt_s })
                .collect(),
            curves: decay
                .curves
                .iter()
                .map(|curve| DecayCurveDoc { hz: curve.hz, step_s: sound::CURVE_STEP_S, db: curve.db.clone() })
                .collect(),
        }),
        quality: SoundQualityDoc {
            clipped_share: analysis.quality.clipped_share,
            silent: analysis.quality.silent,
            warnings: analysis
                .quality
                .warnings
                .iter()
                .map(|warning| NoteDoc::new(warning.code(), warning.text()))
                .collect(),
        },
        pull: None,
        chair: None,
        history_laeq_db: analysis.history.iter().map(|level| level.db()).collect(),
        events_s: analysis.events_s.clone(),
        third_octave_history: analysis.band_history.as_ref().map(|history| BandHistoryDoc {
            step_s: sound::HISTORY_SECONDS,
            hz: history.hz.clone(),
            db: history.steps().map(<[f32]>::to_vec).collect(),
        }),
        when: None,
        device: None,
        target: None,
    };
    let reading = SoundReading { level: sound_level(&doc), child_audible };
    doc.pull = reading.pull(&Scale::shipped()).map(|pull| pull.u());
    doc
}

/// What a recording's reading says about the level: a calibrated level first, else the listening margin, else nothing.
pub fn sound_level(doc: &SoundDoc) -> SoundLevel {
    let unusable = |why: &str| SoundLevel::Unusable { why: why.to_owned() };
    if doc.quality.silent {
        return unusable("There is no sound in it at all: a muted microphone is not a quiet room. Record again.");
    }
    match (doc.calibration.offset_db, doc.levels.laeq_db, &doc.margin) {
        (Some(offset), Some(laeq), _) => SoundLevel::Calibrated {
            laeq: Decibels::new(laeq),
            speech_share: doc.changes.speech_share.unwrap_or(0.0),
            sd_db: doc.calibration.sd_db.unwrap_or(0.0),
            calibration: format!("{} {offset}", doc.calibration.kind),
        },
        (None, _, Some(margin)) => SoundLevel::Margin { margin_db: margin.margin_db },
        _ => unusable(
            "It is not calibrated. Give --offset, or --reference with --reference-db, or an adult's voice recorded by the same \
             device with the usual background running (--voice).",
        ),
    }
}
