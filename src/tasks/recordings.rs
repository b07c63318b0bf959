//! Recordings that are made now: prepared before anybody waits, measured while they come, kept by nobody.

use std::io::Read;
use std::path::{Path, PathBuf};

use crate::contract::{NoteDoc, ProfileDoc, SoundDeviceDoc, SoundDoc};
use crate::sound::{self, Analysis, Feed, FeedInfo, Recording, Settings};

use super::aim::Aim;
use super::profiles::{self, Against};
use super::refusal::Refusal;
use super::sounds::{self, Calibration, Occasion, analyse, in_doubt, open_recording, refused};

/// The most seconds that are recorded in one go.
pub const MOST_SECONDS: f64 = 7200.0;

/// What a target is given as.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Target {
    /// Decibels at the child's chair.
    Level(f64),
    /// Quieter than the adult's ordinary voice.
    Voice,
}

/// What is asked of a recording that is made now.
#[derive(Clone, Debug)]
pub struct RecordRequest {
    /// How long.
    pub seconds: f64,
    /// What records it.
    pub device: SoundDeviceDoc,
    /// How decibels become absolute.
    pub calibration: Calibration,
    /// Another standard uncertainty of that, dB.
    pub sd_db: Option<f64>,
    /// An adult's voice by the same device.
    pub voice: Option<PathBuf>,
    /// Find the decay time.
    pub decay: bool,
    /// Tell every third in every 125 ms.
    pub band_history: bool,
    /// The child's own sounds are in it: no pull.
    pub child_audible: bool,
    /// When it is made.
    pub when: Option<Occasion>,
    /// What a rung's sound should be.
    pub target: Option<Target>,
}

/// Everything that can be refused was; the recording may begin.
pub struct Prepared {
    request: RecordRequest,
    calibration: sound::Calibration,
    voice: Option<Analysis>,
    /// The target in the unit of the levels.
    pub aim: Option<Aim>,
}

impl Prepared {
    /// What is added to dBFS to show a level, and the unit it is shown in.
    pub fn shown_in(&self) -> (f64, &'static str) {
        (self.calibration.offset_db().unwrap_or(0.0), self.calibration.unit())
    }
}

/// A length that can be recorded.
pub fn good_length(seconds: f64) -> Result<(), Refusal> {
    if (1.0..=MOST_SECONDS).contains(&seconds) {
        return Ok(());
    }
    Err(Refusal::new("record-length", format!("{seconds} seconds cannot be recorded"))
        .hint("1 second to 2 hours; a minute is enough for a room"))
}

/// Reads what stands beside the recording, and refuses what cannot be done before anybody waits.
pub fn prepare(request: RecordRequest, stdin: &mut dyn Read) -> Result<Prepared, Refusal> {
    good_length(request.seconds)?;
    if let Calibration::Profile(profile) = &request.calibration {
        profiles::fits(profile, &request.device.name, request.device.gain_db)?;
    }
    let calibration = sounds::calibration(&request.calibration, request.sd_db, stdin)?;
    let settings = Settings { calibration, ..Settings::default() };
    let voice = match &request.voice {
        Some(path) => Some(analyse(open_recording(path, stdin)?, &settings, &mut |_| ())?),
        None => None,
    };
    let sd_db = calibration.sd_db();
    let aim = match request.target {
        None => None,
        Some(Target::Level(db)) => Some(Aim::level(db, sd_db)?),
        Some(Target::Voice) => {
            let voice_db = voice.as_ref().and_then(|voice| voice.levels.laeq).ok_or_else(|| {
                Refusal::new("target-no-voice", "there is no voice to compare with")
                    .hint("record an adult's ordinary voice at the child's chair with this device (--record 20 --keep voice.wav), then --voice voice.wav")
            })?;
            Some(Aim::voice(voice_db.db(), sd_db))
        }
    };
    Ok(Prepared { request, calibration, voice, aim })
}

/// Measures a recording while it comes. `ended` tells afterwards why it is shorter than asked, if it is.
pub fn record(
    prepared: Prepared,
    info: FeedInfo,
    feed: Box<dyn Feed>,
    progress: &mut dyn FnMut(f64),
    ended: impl FnOnce() -> Option<NoteDoc>,
) -> Result<SoundDoc, Refusal> {
    let Prepared { request, calibration, voice, aim } = prepared;
    let settings = Settings { calibration, decay: request.decay, band_history: request.band_history };
    let analysis = measured(info, feed, &settings, progress);
    let ended = ended();
    let analysis = came(analysis, ended.as_ref())?;
    let mut doc = sounds::document(&analysis, voice.as_ref(), analysis.source.name.clone(), request.child_audible);
    doc.device = Some(request.device);
    doc.quality.warnings.extend(ended);
    sounds::tell_occasion(&mut doc, request.when);
    if let Some(aim) = aim {
        aim.tell(&mut doc);
    }
    Ok(doc)
}

fn measured(
    info: FeedInfo,
    feed: Box<dyn Feed>,
    settings: &Settings,
    progress: &mut dyn FnMut(f64),
) -> Result<Analysis, sound::Refusal> {
    sound::analyse(Recording::of_feed(info, feed)?, settings, progress)
}

/// A recording that ended before its first sample is no recording; why it ended says more than that it is empty.
fn came(analysis: Result<Analysis, sound::Refusal>, ended: Option<&NoteDoc>) -> Result<Analysis, Refusal> {
    analysis.map_err(|refusal| match ended {
        Some(note) => Refusal::new(note.code.clone(), note.text.clone()).hint("check the microphone and record again"),
        None => refused(&refusal, refusal.name()),
    })
}

/// What a profile is to be made of.
#[derive(Clone, Debug)]
pub struct ProfileRequest {
    /// Its name.
    pub name: String,
    /// The day.
    pub made: String,
    /// What the level was read from.
    pub against: Against,
    /// Another standard uncertainty than that of its kind, dB.
    pub sd_db: Option<f64>,
    /// The device and its gain, where this program recorded.
    pub device: Option<(String, Option<f64>)>,
}

/// A profile from an offset that was typed.
pub fn profile_of_offset(request: ProfileRequest, offset_db: f64) -> Result<ProfileDoc, Refusal> {
    let calibration = in_doubt(sounds::offset(offset_db)?, request.sd_db)?;
    Ok(profile(request, "offset", calibration, Vec::new()))
}

/// A profile from a recording made beside a meter or under a calibrator.
pub fn profile_of_file(
    request: ProfileRequest,
    file: &Path,
    reading_db: f64,
    stdin: &mut dyn Read,
) -> Result<ProfileDoc, Refusal> {
    let reference = analyse(open_recording(file, stdin)?, &Settings::default(), &mut |_| ())?;
    profile_of_reference(request, &reference, reading_db)
}

/// A profile from a recording that is made now.
pub fn profile_of_feed(
    request: ProfileRequest,
    info: FeedInfo,
    feed: Box<dyn Feed>,
    reading_db: f64,
    progress: &mut dyn FnMut(f64),
    ended: impl FnOnce() -> Option<NoteDoc>,
) -> Result<ProfileDoc, Refusal> {
    let analysis = measured(info, feed, &Settings::default(), progress);
    let ended = ended();
    if let Some(note) = ended {
        return Err(Refusal::new(note.code, note.text).hint("a calibration needs the whole recording: record again"));
    }
    profile_of_reference(request, &came(analysis, None)?, reading_db)
}

fn profile_of_reference(request: ProfileRequest, reference: &Analysis, reading_db: f64) -> Result<ProfileDoc, Refusal> {
    let (calibration, cautions) = profiles::read_against(reference, reading_db, request.against)?;
    let calibration = in_doubt(calibration, request.sd_db)?;
    let way = request.against.word();
    Ok(profile(request, way, calibration, cautions))
}

fn profile(request: ProfileRequest, way: &str, calibration: sound::Calibration, cautions: Vec<NoteDoc>) -> ProfileDoc {
    let (device, gain_db) = request.device.map_or((None, None), |(device, gain)| (Some(device), gain));
    ProfileDoc {
        name: request.name,
        made: request.made,
        way: way.to_owned(),
        offset_db: calibration.offset_db().unwrap_or(0.0),
        sd_db: calibration.sd_db().unwrap_or(0.0),
        device,
        gain_db,
        cautions,
    }
}
