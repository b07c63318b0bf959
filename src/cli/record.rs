//! `sound` with a microphone: what can record, a recording made now, a device's calibration.

use std::path::PathBuf;

use crate::contract::{DeviceDoc, DevicesDoc, SoundDeviceDoc};
use crate::devices::{Device, Microphone, MicrophoneFault};
use crate::tasks::keep::Kept;
use crate::tasks::profiles::{self, Against};
use crate::tasks::recordings::{self, ProfileRequest, RecordRequest};
use crate::tasks::{Occasion, Refusal, files};
use crate::words::printable;

use super::arguments::{Format, Reading, SoundArguments, When};
use super::commands::{Done, answer, calibration, draw_sound, run_sound};
use super::listening::{Listening, Watch, info};
use super::live::{Screen, Shown, lines};
use super::world::World;
use super::{show_device, show_sound};

/// Seconds of sound from one drawing to the next.
const DRAW_SECONDS: f64 = 0.1;
/// What is said when a recording goes nowhere.
const NOT_KEPT: &str = "Nothing of the sound is kept.";

/// Whatever `sound` is asked for.
pub(super) fn run(mut arguments: SoundArguments, format: Format, world: &mut World<'_>) -> Done {
    if arguments.microphone.devices {
        return list(format, world);
    }
    if let Some(name) = arguments.microphone.calibrate.take() {
        return calibrate(name, &arguments, format, world);
    }
    match (arguments.file.take(), arguments.microphone.record) {
        (None, Some(seconds)) => record(seconds, arguments, format, world),
        (file, _) => {
            if let Some(name) = &arguments.calibration.profile
                && let Some(device) = profiles::find(world.config.as_deref(), name)?.device
            {
                world.say(&format!("The profile {name} was made with {}: it holds only for recordings of that device at the same gain.", printable(&device)));
            }
            run_sound(file.unwrap_or_else(|| PathBuf::from("-")), arguments, format, world)
        }
    }
}

/// When a recording was made.
pub(super) fn occasion(when: When) -> Occasion {
    match when {
        When::Learning => Occasion::Learning,
        When::Visit => Occasion::Visit,
    }
}

fn refused(fault: &MicrophoneFault) -> Refusal {
    Refusal::new(fault.code(), fault.to_string()).hint(fault.hint())
}

fn list(format: Format, world: &mut World<'_>) -> Done {
    let devices = Microphone::devices().map_err(|fault| refused(&fault))?;
    let doc = DevicesDoc {
        devices: devices
            .into_iter()
            .map(|device| DeviceDoc {
                name: device.name,
                description: device.description,
                sample_rate_hz: device.sample_rate_hz,
                channels: u32::try_from(device.channels).unwrap_or(u32::MAX),
                default: device.is_default,
                monitor: device.is_monitor,
                muted: device.muted,
                gain_db: device.gain_db,
            })
            .collect(),
        profiles: profiles::list(world.config.as_deref()).unwrap_or_default(),
    };
    answer(&doc, format, world, show_device::devices)
}

/// A recording made now.
fn record(seconds: f64, arguments: SoundArguments, format: Format, world: &mut World<'_>) -> Done {
    recordings::good_length(seconds)?;
    let asked = arguments.microphone;
    // A wrong profile or file is told before the microphone is touched.
    let calibration_asked = calibration(&arguments.calibration, world)?;
    let device = Microphone::find(asked.device.as_deref()).map_err(|fault| refused(&fault))?;
    let prepared = recordings::prepare(
        RecordRequest {
            seconds,
            device: SoundDeviceDoc {
                name: device.name.clone(),
                description: device.description.clone(),
                gain_db: device.gain_db,
                profile: arguments.calibration.profile.clone(),
            },
            calibration: calibration_asked,
            sd_db: arguments.calibration.sd,
            voice: arguments.voice,
            decay: arguments.decay,
            band_history: arguments.band_history,
            child_audible: arguments.child_audible,
            when: arguments.when.map(occasion),
            target: asked.target,
        },
        world.stdin,
    )?;
    let (shift, unit) = prepared.shown_in();
    let aim = prepared.aim;
    let microphone = Microphone::open(&device).map_err(|fault| refused(&fault))?;
    let kept = asked
        .keep
        .as_deref()
        .map(|path| Kept::create(path, device.sample_rate_hz, device.channels, seconds))
        .transpose()?;
    let mut talk = introduction(&device, seconds);
    if arguments.decay {
        talk.push("The child is out of the room while you clap: never a bang near a child.".to_owned());
    }
    talk.push(match &asked.keep {
        Some(path) => format!(
            "The recording is kept in {}, readable by you alone. A recording of a home is personal: delete it when it has served.",
            files::shown(path)
        ),
        None => NOT_KEPT.to_owned(),
    });
    let talk = before(talk, format, world);
    let (feed, watch) = Listening::new(microphone, &device, seconds, kept, aim.map(|aim| (aim, shift)));
    let told = watching(world, &watch, &Shown { shift, unit, aim }, |progress| {
        recordings::record(prepared, info(&device), Box::new(feed), progress, || watch.note())
    });
    let doc = told?;
    talk.iter().for_each(|line| world.say(line));
    if let Some(fault) = watch.keep_fault() {
        world.say(&fault.message);
    }
    if let Some(note) = watch.note() {
        world.say(&note.text);
    }
    draw_sound(&doc, arguments.chart.as_deref(), world)?;
    answer(&doc, format, world, show_sound::sound)
}

/// What is said before a recording.
fn introduction(device: &Device, seconds: f64) -> Vec<String> {
    let mut talk = vec![format!(
        "Recording {seconds} s from {}. The child's own sounds are no room noise: record with the child elsewhere, or give --child-audible.",
        printable(&device.description)
    )];
    if device.is_monitor {
        talk.push("This device hears what the computer plays, not the room.".to_owned());
    }
    talk
}

/// Says it now to people; for a program it waits until nothing can be refused any more, since a refusal stands alone.
fn before(talk: Vec<String>, format: Format, world: &mut World<'_>) -> Vec<String> {
    if format == Format::Json {
        return talk;
    }
    talk.iter().for_each(|line| world.say(line));
    Vec::new()
}

/// Runs `work` with live lines on the terminal, if someone is watching.
fn watching<T>(world: &mut World<'_>, watch: &Watch, shown: &Shown, work: impl FnOnce(&mut dyn FnMut(f64)) -> T) -> T {
    let mut screen = Screen::default();
    let mut next = 0.0;
    let (watched, out, tongue) = (world.stderr_is_terminal, &mut *world.stderr, &world.tongue);
    let done = work(&mut |_| {
        if !watched {
            return;
        }
        let (figures, left_s) = watch.figures();
        if figures.seconds >= next {
            next = figures.seconds + DRAW_SECONDS;
            let lines = lines(&figures, left_s, shown);
            screen.draw(&lines.iter().map(|line| tongue.laid_out(line)).collect::<Vec<_>>(), out);
        }
    });
    screen.clear(world.stderr);
    done
}

/// Stores how a device's decibels become absolute.
fn calibrate(name: String, arguments: &SoundArguments, format: Format, world: &mut World<'_>) -> Done {
    profiles::good_name(&name)?;
    let asked = &arguments.microphone;
    let (offset, reference) = (arguments.calibration.offset, &arguments.calibration.reference);
    let mut request = ProfileRequest {
        name,
        made: world.now.strftime("%Y-%m-%d").to_string(),
        against: match asked.against {
            Reading::Meter => Against::Meter,
            Reading::Phone => Against::Phone,
            Reading::Calibrator => Against::Calibrator,
        },
        sd_db: arguments.calibration.sd,
        device: None,
    };
    // A device is named, or it records now: the profile is that device's.
    let device = if asked.device.is_some() || asked.record.is_some() {
        Some(Microphone::find(asked.device.as_deref()).map_err(|fault| refused(&fault))?)
    } else {
        None
    };
    request.device = device.as_ref().map(|device| (device.name.clone(), device.gain_db));
    let mut later = Vec::new();
    let profile = match (asked.record, device, offset, reference, arguments.calibration.reference_db) {
        (Some(seconds), Some(device), None, None, Some(reading_db)) => {
            recordings::good_length(seconds)?;
            let microphone = Microphone::open(&device).map_err(|fault| refused(&fault))?;
            let mut talk = introduction(&device, seconds);
            talk.push(NOT_KEPT.to_owned());
            later = before(talk, format, world);
            let (feed, watch) = Listening::new(microphone, &device, seconds, None, None);
            watching(world, &watch, &Shown { shift: 0.0, unit: "dBFS", aim: None }, |progress| {
                recordings::profile_of_feed(request, info(&device), Box::new(feed), reading_db, progress, || {
                    watch.note()
                })
            })?
        }
        (None, _, Some(offset_db), None, _) => recordings::profile_of_offset(request, offset_db)?,
        (None, _, None, Some(file), Some(reading_db)) => {
            recordings::profile_of_file(request, file, reading_db, world.stdin)?
        }
        _ => {
            return Err(Refusal::new("calibrate-how", "--calibrate needs one way to know the level")
                .hint("--record 30 --reference-db DB beside a meter, --reference FILE --reference-db DB, or --offset DB from a note")
                .into());
        }
    };
    let file = profiles::store(world.config.as_deref(), &profile)?;
    later.iter().for_each(|line| world.say(line));
    world.say(&format!("Stored in {}.", files::shown(&file)));
    answer(&profile, format, world, show_device::profile)
}
