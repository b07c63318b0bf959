//! Recordings by the clock: read as streams, kept as a day's five-minute figures, put together into days again.

use std::collections::BTreeMap;
use std::io::Cursor;
use std::path::PathBuf;

use jiff::Timestamp;
use jiff::civil::{Date, DateTime};

use crate::calm::day::{BLOCK_MINUTES, BLOCKS, Block, Day};
use crate::case::{Case, clock};
use crate::contract::{DaySoundBody, NoteDoc, RecordBody, SoundBlockBody};
use crate::files;
use crate::quantity::Decibels;
use crate::sound::{self, Ribbon, RibbonSettings, Source};

use super::cases::record;
use super::files::{Named, open, short_name};
use super::made_when;
use super::refusal::Refusal;
use super::sounds::{Calibration, calibration, refused};

/// Two recordings of one block that together are longer than it overlap, seconds, with a little slack for clocks.
const MOST_TOGETHER: f64 = 310.0;
/// Endings of files that are taken for recordings in a folder.
const ENDINGS: [&str; 8] = ["wav", "flac", "mp3", "ogg", "oga", "m4a", "mp4", "aac"];
/// A device that nobody named.
const UNNAMED: &str = "a device without a name";

/// A recording as it is given.
#[derive(Clone, Debug)]
pub enum Given {
    /// A file, or a folder of them.
    File(PathBuf),
    /// Bytes already here.
    Bytes(Named<Vec<u8>>),
}

impl Given {
    fn name(&self) -> String {
        match self {
            Self::File(path) => short_name(path),
            Self::Bytes(named) => named.name.clone(),
        }
    }

    fn opened(self) -> Result<Box<dyn Source>, Refusal> {
        Ok(match self {
            Self::File(path) => Box::new(open(&path)?),
            Self::Bytes(named) => Box::new(Cursor::new(named.content)),
        })
    }
}

/// Recordings to take in.
#[derive(Clone, Debug)]
pub struct Recordings {
    /// The files; a folder stands for all recordings in it.
    pub files: Vec<Given>,
    /// When the one file began; left out: its name tells.
    pub at: Option<String>,
    /// The place they were made in.
    pub place: String,
    /// What recorded them, in a word.
    pub device: Option<String>,
    /// How decibels become absolute.
    pub calibration: Calibration,
    /// Another standard uncertainty of that, dB.
    pub sd_db: Option<f64>,
}

/// What taking in gave.
#[derive(Clone, Debug, Default)]
pub struct TakenIn {
    /// Records that were stored.
    pub stored: Vec<String>,
    /// What was not, and why; and doubts.
    pub notes: Vec<NoteDoc>,
}

/// The files of a list, folders opened, in the order of their names.
pub fn expanded(paths: &[PathBuf], endings: &[&str]) -> Result<Vec<PathBuf>, Refusal> {
    let mut found = Vec::new();
    for path in paths {
        if !files::is_folder(path) {
            found.push(path.clone());
            continue;
        }
        let unreadable = |error: std::io::Error| {
            Refusal::new("unreadable", format!("the folder {} cannot be read ({error})", super::files::shown(path)))
                .hint("check the name of the folder")
        };
        let mut inside = Vec::new();
        for entry in files::read_dir(path).map_err(unreadable)? {
            let entry = entry.map_err(unreadable)?;
            let ending = entry.path().extension().map(|ending| ending.to_string_lossy().to_lowercase());
            if ending.is_some_and(|ending| endings.contains(&ending.as_str())) {
                inside.push(entry.path());
            }
        }
        inside.sort();
        found.extend(inside);
    }
    Ok(found)
}

/// The recordings with folders opened.
fn unfolded(given: &[Given]) -> Result<Vec<Given>, Refusal> {
    let mut found = Vec::new();
    for one in given {
        match one {
            Given::File(path) => {
                found.extend(expanded(std::slice::from_ref(path), &ENDINGS)?.into_iter().map(Given::File))
            }
            Given::Bytes(named) => found.push(Given::Bytes(named.clone())),
        }
    }
    Ok(found)
}

/// Reads recordings and stores their figures by the day. Nothing else of them is kept. A recording without a time is said and not stored.
pub fn take_in(
    case: &Case,
    asked: &Recordings,
    now: Timestamp,
    progress: &mut dyn FnMut(f64),
) -> Result<TakenIn, Refusal> {
    let files = unfolded(&asked.files)?;
    if files.is_empty() {
        return Err(
            Refusal::new("no-recording", "there is no recording in it").hint("give WAV, FLAC, MP3, OGG or M4A files")
        );
    }
    if asked.at.is_some() && files.len() != 1 {
        return Err(Refusal::new("one-recording", "--at tells when one recording began, and there are several")
            .hint("give them one by one, or name the files by when they began: 2026-10-05 15.00.wav"));
    }
    if asked.place.trim().is_empty() {
        return Err(Refusal::new("place", "the place has no name").hint("give --place \"living room\""));
    }
    let told = asked.at.as_deref().map(made_when::typed).transpose()?;
    let calibration = calibration(&asked.calibration, asked.sd_db, &mut std::io::empty())?;
    let mut done = TakenIn::default();
    let mut there = days(case)?.days;
    let device = asked.device.clone().unwrap_or_else(|| UNNAMED.to_owned());
    let count = files.len();
    for (number, file) in files.into_iter().enumerate() {
        let name = file.name();
        let Some(began) = told.or_else(|| made_when::named(&name)) else {
            done.notes.push(NoteDoc::new(
                "no-time",
                format!(
                    "{name} tells no time, so it has no place in a day and was left out: name the file by when it began, such as \
                     2026-10-05 15.00.wav, or give it alone with --at."
                ),
            ));
            continue;
        };
        let mut at = |share: f64| progress((number as f64 + share) / count as f64);
        let (ribbon, into) = read(file, &name, began, calibration, &mut at)?;
        done.notes.extend(doubts(&name, &ribbon));
        for (date, blocks) in by_day(began, into, &ribbon) {
            let body = DaySoundBody {
                place: asked.place.trim().to_owned(),
                device: device.clone(),
                level_unit: calibration.unit().to_owned(),
                offset_db: calibration.offset_db(),
                sd_db: calibration.sd_db(),
                warnings: ribbon.warnings.iter().map(|one| NoteDoc::new(one.code(), one.text())).collect(),
                block_minutes: u32::try_from(BLOCK_MINUTES).unwrap_or(5),
                block: blocks,
            };
            let mut fresh = body.clone();
            let overlap = free_of_overlap(&mut fresh, date, &there);
            if overlap {
                done.notes.push(overlapping(&name, date));
            }
            if fresh.block.is_empty() {
                continue;
            }
            there.push(Recorded::of(date, &fresh));
            let entry = record(RecordBody::DaySound(Box::new(fresh)), &date.to_string(), None, now);
            done.stored.push(case.add(&entry)?.id);
        }
    }
    Ok(done)
}

fn overlapping(name: &str, date: Date) -> NoteDoc {
    NoteDoc::new(
        "overlap",
        format!(
            "{name} overlaps on {date} with what the same device recorded there before; those minutes were counted once."
        ),
    )
}

fn doubts(name: &str, ribbon: &Ribbon) -> Vec<NoteDoc> {
    let warned =
        ribbon.warnings.iter().map(|one| NoteDoc::new(one.code(), format!("The recording {name}: {}", one.text())));
    let silent = (ribbon.silent > 0 && !ribbon.blocks.is_empty()).then(|| {
        NoteDoc::new(
            "silent-part",
            format!("{name}: for {} minutes there is no sound at all; a muted microphone is no quiet room, so they were left out.", ribbon.silent * BLOCK_MINUTES),
        )
    });
    warned.chain(silent).collect()
}

/// A recording in blocks of the clock, and the block of its day in which it began.
fn read(
    file: Given,
    name: &str,
    began: DateTime,
    calibration: sound::Calibration,
    progress: &mut dyn FnMut(f64),
) -> Result<(Ribbon, usize), Refusal> {
    let minutes = usize::try_from(i32::from(began.hour()) * 60 + i32::from(began.minute())).unwrap_or(0);
    let seconds = (minutes % BLOCK_MINUTES) as f64 * 60.0 + f64::from(began.second());
    let settings = RibbonSettings { calibration, block_seconds: BLOCK_MINUTES as f64 * 60.0, into_first: seconds };
    let recording = sound::open_long(file.opened()?, name).map_err(|refusal| refused(&refusal, name))?;
    let ribbon = sound::ribbon(recording, &settings, progress).map_err(|refusal| refused(&refusal, name))?;
    Ok((ribbon, minutes / BLOCK_MINUTES))
}

/// A level as it is kept: to a hundredth.
fn kept(level: Decibels) -> f64 {
    (level.db() * 100.0).round() / 100.0
}

/// The blocks by their day; a recording may run past midnight.
fn by_day(began: DateTime, into: usize, ribbon: &Ribbon) -> BTreeMap<Date, Vec<SoundBlockBody>> {
    let mut days: BTreeMap<Date, Vec<SoundBlockBody>> = BTreeMap::new();
    for block in &ribbon.blocks {
        let at = into + block.number;
        let mut date = began.date();
        for _ in 0..at / BLOCKS {
            date = date.tomorrow().unwrap_or(date);
        }
        days.entry(date).or_default().push(SoundBlockBody {
            at: time(at % BLOCKS),
            seconds: (block.seconds * 100.0).round() / 100.0,
            laeq_db: kept(block.laeq),
            la90_db: kept(block.la90),
            lafmax_db: kept(block.lafmax),
            events: block.events,
            speech_share: (block.speech_share * 1000.0).round() / 1000.0,
        });
    }
    days
}

/// When a block begins; the end of the day is midnight.
pub(super) fn time(block: usize) -> String {
    let minutes = block % BLOCKS * BLOCK_MINUTES;
    format!("{:02}:{:02}", minutes / 60, minutes % 60)
}

/// The block in which a time of the day lies.
pub(super) fn block_of(time: &str) -> Option<usize> {
    Some(usize::try_from(clock(time)?).ok()? / BLOCK_MINUTES)
}

/// What a device recorded in a place on a day.
#[derive(Clone, Debug)]
pub(super) struct Recorded {
    pub(super) place: String,
    pub(super) date: Date,
    pub(super) device: String,
    /// Added to dBFS, in hundredths of a decibel; `None`: not calibrated.
    pub(super) offset: Option<i64>,
    pub(super) unit: String,
    pub(super) day: Day,
}

impl Recorded {
    fn of(date: Date, body: &DaySoundBody) -> Self {
        let mut day = Day::default();
        for block in &body.block {
            if let Some(at) = block_of(&block.at) {
                day.put(at, block_in(block));
            }
        }
        #[expect(clippy::cast_possible_truncation, reason = "an offset lies between −200 and 300 dB")]
        let offset = body.offset_db.map(|db| (db * 100.0).round() as i64);
        let (place, device, unit) = (body.place.clone(), body.device.clone(), body.level_unit.clone());
        Self { place, date, device, offset, unit, day }
    }

    /// Whether another one is of the same place, day, device and calibration.
    fn same(&self, other: &Self) -> bool {
        (&self.place, self.date, &self.device, self.offset) == (&other.place, other.date, &other.device, other.offset)
    }
}

fn block_in(body: &SoundBlockBody) -> Block {
    Block {
        seconds: body.seconds,
        laeq: Decibels::new(body.laeq_db),
        la90: Decibels::new(body.la90_db),
        lafmax: Decibels::new(body.lafmax_db),
        events: body.events,
        speech_share: body.speech_share,
    }
}

/// Takes the blocks out that the same device already has on that day; whether there were any.
fn free_of_overlap(body: &mut DaySoundBody, date: Date, there: &[Recorded]) -> bool {
    let new = Recorded::of(date, body);
    let before = body.block.len();
    body.block.retain(|block| {
        let at = block_of(&block.at).unwrap_or(0);
        let same = there.iter().filter(|one| one.same(&new));
        let seconds: f64 = same.filter_map(|one| one.day.blocks()[at]).map(|block| block.seconds).fold(0.0, f64::max);
        seconds <= 0.0 || seconds + block.seconds <= MOST_TOGETHER
    });
    body.block.len() < before
}

/// The recorded days of a case.
#[derive(Clone, Debug, Default)]
pub(super) struct Days {
    /// One a place, day, device and calibration, in the order of days.
    pub(super) days: Vec<Recorded>,
    /// What was found odd.
    pub(super) notes: Vec<NoteDoc>,
}

/// The recorded days of a case: pieces of one day and device put together.
pub(super) fn days(case: &Case) -> Result<Days, Refusal> {
    let mut found = Days::default();
    for stored in case.standing(|kind| kind == "day-sound")?.records {
        let RecordBody::DaySound(body) = &stored.record.body else { continue };
        let new = Recorded::of(stored.name.date, body);
        let Some(known) = found.days.iter_mut().find(|one| one.same(&new)) else {
            found.days.push(new);
            continue;
        };
        let mut overlap = false;
        for (at, block) in new.day.blocks().iter().enumerate() {
            let Some(block) = block else { continue };
            let there = known.day.blocks()[at];
            overlap |= there.is_some_and(|there| there.seconds + block.seconds > MOST_TOGETHER);
            known.day.put_longer(at, *block);
        }
        if overlap {
            let text = format!(
                "On {} two recordings by {} in {} overlap; those minutes were counted once.",
                known.date, known.device, known.place
            );
            found.notes.push(NoteDoc::new("overlap", text));
        }
    }
    found.days.sort_by(|a, b| (a.date, &a.place, &a.device).cmp(&(b.date, &b.place, &b.device)));
    Ok(found)
}

/// The days of one place that are compared: of each day the device that heard most of it. The others are named.
pub(super) fn chosen<'a>(days: &'a [Recorded], place: &str, notes: &mut Vec<NoteDoc>) -> Vec<(&'a Recorded, bool)> {
    let here: Vec<&Recorded> = days.iter().filter(|one| one.place == place).collect();
    let counts = |one: &Recorded| {
        let rivals = here.iter().filter(|other| other.date == one.date);
        let best = rivals.max_by(|a, b| a.day.heard().cmp(&b.day.heard()).then_with(|| b.device.cmp(&a.device)));
        best.is_some_and(|best| best.same(one))
    };
    let chosen: Vec<(&Recorded, bool)> = here.iter().map(|one| (*one, counts(one))).collect();
    for (one, _) in chosen.iter().filter(|(_, counts)| !counts) {
        let text = format!(
            "On {} more than one device recorded in {}; what {} heard was left out, since two devices have no common zero.",
            one.date, one.place, one.device
        );
        notes.push(NoteDoc::new("other-device", text));
    }
    chosen
}
