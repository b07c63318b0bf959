//! A corner as a folder: the photos from the child's eye height, a minute of sound, a short checklist's answers. Each becomes an audit.

use std::io::Read;
use std::path::{Path, PathBuf};

use jiff::Timestamp;

use crate::case::Case;
use crate::contract::SoundDoc;

use super::audits::{self, AuditRequest};
use super::checklists;
use super::files::{read_text, short_name, shown};
use super::photos;
use super::refusal::Refusal;
use super::ribbons::expanded;
use super::sensitivities;
use super::sounds::{self, Calibration, SoundRequest};

/// Endings of answers, photos and recordings.
const ANSWERS: [&str; 1] = ["toml"];
const PHOTOS: [&str; 7] = ["jpg", "jpeg", "png", "webp", "gif", "bmp", "heic"];
const SOUNDS: [&str; 8] = ["wav", "flac", "mp3", "ogg", "oga", "m4a", "mp4", "aac"];
/// A recording with this in its name is the clap that shows the echo.
const CLAP: [&str; 3] = ["clap", "decay", "palmada"];
/// A recording with this in its name is an adult's ordinary voice.
const VOICE: [&str; 2] = ["voice", "voz"];

/// How the recordings of the corners are read.
#[derive(Clone, Debug)]
pub struct CornerReading {
    /// How decibels become absolute.
    pub calibration: Calibration,
    /// Another standard uncertainty of that, dB.
    pub sd_db: Option<f64>,
    /// Minutes there are for rearranging.
    pub minutes: f64,
}

/// Audits the corner that a folder holds and stores it; gives the record's id.
pub fn take_in(
    case: &Case,
    folder: &Path,
    reading: &CornerReading,
    now: Timestamp,
    progress: &mut dyn FnMut(f64),
) -> Result<String, Refusal> {
    let mut nothing: &mut dyn Read = &mut std::io::empty();
    let [answers] = &of(folder, &ANSWERS)?[..] else {
        return Err(Refusal::new("corner-answers", format!("{} holds not one file of answers (.toml)", shown(folder)))
            .hint("put one answers file there: stillroom checklist blank quick-corner > corner/answers.toml"));
    };
    let text = read_text(answers, nothing)?;
    let list = list_of(&text.content).ok_or_else(|| {
        Refusal::new("corner-answers", "the answers do not say which checklist they answer")
            .at(text.name.clone())
            .hint("write checklist = \"quick-corner\" above [answers]")
    })?;
    let checklist = checklists::find(&list, &mut nothing)?;
    let sound = sound_of(folder, reading, progress)?;
    let measured = photos::photos(&of(folder, &PHOTOS)?, &mut nothing, progress)?;
    let result = audits::audit(AuditRequest {
        place: None,
        keep: case.child().map_err(Refusal::from)?.keep,
        checklist,
        answers: text,
        sound,
        child_audible: false,
        photos: measured.into_iter().map(|photo| photo.doc).collect(),
        kept_photos: Vec::new(),
        scale: None,
        minutes: reading.minutes,
        sensitivity: sensitivities::newest(case)?,
        recheck: None,
    })?;
    audits::store(case, &result, now)
}

/// The recording of the room, with the decay of the clap in it.
fn sound_of(
    folder: &Path,
    reading: &CornerReading,
    progress: &mut dyn FnMut(f64),
) -> Result<Option<SoundDoc>, Refusal> {
    let all = of(folder, &SOUNDS)?;
    let has = |path: &Path, words: &[&str]| {
        let name = short_name(path).to_lowercase();
        words.iter().any(|word| name.contains(word))
    };
    let one = |words: &[&str]| all.iter().find(|path| has(path, words)).cloned();
    let rooms: Vec<&PathBuf> = all.iter().filter(|path| !has(path, &CLAP) && !has(path, &VOICE)).collect();
    let clap = one(&CLAP);
    let request = |file: &Path, decay: bool| SoundRequest {
        file: file.to_owned(),
        calibration: reading.calibration.clone(),
        sd_db: reading.sd_db,
        when: None,
        voice: if decay { None } else { one(&VOICE) },
        decay,
        child_audible: false,
        band_history: false,
    };
    let room = match rooms[..] {
        [] => {
            return match clap {
                None => Ok(None),
                Some(_) => Err(Refusal::new(
                    "corner-sound",
                    format!("{} holds a clap and no recording of the room", shown(folder)),
                )
                .hint("record a minute of the room as well")),
            };
        }
        [room] => room,
        _ => {
            return Err(Refusal::new(
                "corner-sound",
                format!("{} holds more than one recording of the room", shown(folder)),
            )
            .hint("leave one; a clap is named clap.wav and a voice voice.wav"));
        }
    };
    let mut doc = sounds::sound(&request(room, false), &mut std::io::empty(), progress)?;
    if let Some(clap) = clap {
        doc.decay = sounds::sound(&request(&clap, true), &mut std::io::empty(), progress)?.decay;
    }
    Ok(Some(doc))
}

fn of(folder: &Path, endings: &[&str]) -> Result<Vec<PathBuf>, Refusal> {
    if !crate::files::is_folder(folder) {
        return Err(Refusal::new("corner-folder", format!("{} is no folder", shown(folder)))
            .hint("put a corner's answers, photos and recording into one folder and give that"));
    }
    expanded(&[folder.to_owned()], endings)
}

/// The checklist that answers are for.
fn list_of(answers: &str) -> Option<String> {
    let table: toml::Table = toml::from_str(answers).ok()?;
    Some(table.get("checklist")?.as_str()?.to_owned())
}
