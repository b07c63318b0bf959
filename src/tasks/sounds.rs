//! Recordings: opened, calibrated, analysed. Nothing of them is kept.

use std::io::{Cursor, Read};
use std::path::{Path, PathBuf};

use crate::contract::{
    BandDoc, CalibrationDoc, ChangesDoc, CriteriaDoc, DecayBandDoc, DecayDoc, LevelsDoc, MarginDoc, NoteDoc, SoundDoc,
    SoundQualityDoc, SoundSourceDoc,
};
use crate::load::Scale;
use crate::quantity::Decibels;
use crate::sound::{self, Analysis, Settings, Source};

use super::files::{Named, open, short_name};
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
}

/// What is asked about a recording.
#[derive(Clone, Debug)]
pub struct SoundRequest {
    /// The recording; a dash is standard input.
    pub file: PathBuf,
    /// How decibels become absolute.
    pub calibration: Calibration,
    /// An adult's voice by the same device.
    pub voice: Option<PathBuf>,
    /// Find the decay time.
    pub decay: bool,
    /// The child's own sounds are in it: no pull.
    pub child_audible: bool,
}

/// A recording that is ready to be read: from a file, or from bytes already here.
pub type Opened = Named<Box<dyn Source>>;

/// Analyses a recording from files.
pub fn sound(request: &SoundRequest, stdin: &mut dyn Read, progress: &mut dyn FnMut(f64)) -> Result<SoundDoc, Refusal> {
    let room = open_recording(&request.file, stdin)?;
    let voice = request.voice.as_deref().map(|path| open_recording(path, stdin)).transpose()?;
    let calibration = match &request.calibration {
        Calibration::None => sound::Calibration::NONE,
        Calibration::Offset { offset_db } => offset(*offset_db)?,
        Calibration::Reference { file, laeq_db } => {
            let reference = analyse(open_recording(file, stdin)?, &Settings::default(), &mut |_| ())?;
            sound::Calibration::reading(&reference, *laeq_db).map_err(|refusal| refused(&refusal, &short_name(file)))?
        }
    };
    from_opened(room, voice, calibration, request.decay, request.child_audible, progress)
}

/// Analyses opened recordings.
pub fn from_opened(
    room: Opened,
    voice: Option<Opened>,
    calibration: sound::Calibration,
    decay: bool,
    child_audible: bool,
    progress: &mut dyn FnMut(f64),
) -> Result<SoundDoc, Refusal> {
    let settings = Settings { calibration, decay, ..Settings::default() };
    let name = room.name.clone();
    let analysis = analyse(room, &settings, progress)?;
    let voice = voice.map(|voice| analyse(voice, &Settings { decay: false, ..settings }, progress)).transpose()?;
    Ok(document(&analysis, voice.as_ref(), name, child_audible))
}

/// A calibration offset typed from a note.
pub fn offset(offset_db: f64) -> Result<sound::Calibration, Refusal> {
    sound::Calibration::offset(offset_db).ok_or_else(|| {
        Refusal::new("offset", format!("an offset of {offset_db} dB is no calibration")).hint("phones lie between about 60 and 130 dB")
    })
}

/// A recording from bytes already here.
pub fn from_bytes(name: &str, bytes: Vec<u8>) -> Opened {
    Named { name: name.to_owned(), content: Box::new(Cursor::new(bytes)) }
}

fn open_recording(path: &Path, stdin: &mut dyn Read) -> Result<Opened, Refusal> {
    let name = short_name(path);
    if path == Path::new("-") {
        let bytes = sound::gather(stdin, &name).map_err(|refusal| refused(&refusal, &name))?;
        return Ok(from_bytes(&name, bytes));
    }
    Ok(Named { name, content: Box::new(open(path)?) })
}

fn analyse(opened: Opened, settings: &Settings, progress: &mut dyn FnMut(f64)) -> Result<Analysis, Refusal> {
    let name = opened.name;
    let recording = sound::open(opened.content, &name).map_err(|refusal| refused(&refusal, &name))?;
    sound::analyse(recording, settings, progress).map_err(|refusal| refused(&refusal, &name))
}

fn refused(refusal: &sound::Refusal, name: &str) -> Refusal {
    Refusal::new(refusal.code(), refusal.to_string()).at(name).hint(refusal.hint())
}
