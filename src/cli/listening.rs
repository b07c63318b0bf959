//! A microphone as a feed of samples: the start is dropped, the length is counted in samples, the live figures and a
//! kept file are served on the way, and a sound that is too loud for a child ends it.

use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use crate::contract::NoteDoc;
use crate::devices::{Device, Ended, Microphone};
use crate::sound::{Feed, FeedInfo, LiveFigures, LiveMeter};
use crate::tasks::Refusal;
use crate::tasks::aim::{Aim, Danger};
use crate::tasks::keep::Kept;

/// Seconds that are dropped while devices and servers start up. Measured on servers of both kinds.
const START_SECONDS: f64 = 0.5;

/// What the feed leaves behind for whoever is watching.
pub(super) struct Shared {
    meter: LiveMeter,
    left: u64,
    rate: f64,
    note: Option<NoteDoc>,
    keep_fault: Option<Refusal>,
}

/// A view of a running recording.
#[derive(Clone)]
pub(super) struct Watch(Arc<Mutex<Shared>>);

impl Watch {
    /// The figures now, and the seconds to go.
    pub(super) fn figures(&self) -> (LiveFigures, f64) {
        let shared = self.lock();
        (shared.meter.figures(), shared.left as f64 / shared.rate)
    }

    /// Why it ended early, if it did.
    pub(super) fn note(&self) -> Option<NoteDoc> {
        self.lock().note.clone()
    }

    /// Why the recording could not be kept, if it could not.
    pub(super) fn keep_fault(&self) -> Option<Refusal> {
        self.lock().keep_fault.clone()
    }

    fn lock(&self) -> MutexGuard<'_, Shared> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// A microphone, handing over what it hears.
pub(super) struct Listening {
    microphone: Microphone,
    fresh: Vec<Vec<f32>>,
    skip: usize,
    total: u64,
    kept: Option<Kept>,
    guard: Option<(Aim, f64)>,
    watch: Watch,
}

impl Listening {
    /// A recording of so many seconds. `guard`: the target and what is added to dBFS, to stop a sound that is too loud.
    pub(super) fn new(
        microphone: Microphone,
        device: &Device,
        seconds: f64,
        kept: Option<Kept>,
        guard: Option<(Aim, f64)>,
    ) -> (Self, Watch) {
        let rate = f64::from(device.sample_rate_hz);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "seconds were checked: 1 to 7200")]
        let (total, skip) = ((seconds * rate).round() as u64, (START_SECONDS * rate).round() as usize);
        let meter = LiveMeter::new(device.sample_rate_hz, device.channels);
        let shared = Shared { meter, left: total, rate, note: None, keep_fault: None };
        let watch = Watch(Arc::new(Mutex::new(shared)));
        let fresh = vec![Vec::new(); device.channels];
        (Self { microphone, fresh, skip, total, kept, guard, watch: watch.clone() }, watch)
    }

    /// Drops what belongs to the start.
    fn drop_start(&mut self) {
        let drop = self.skip.min(self.fresh.first().map_or(0, Vec::len));
        self.skip -= drop;
        for plane in &mut self.fresh {
            plane.drain(..drop);
        }
    }

    /// Ends the kept file; a fault is said later, for the figures are sound.
    fn close(&mut self) {
        if let Some(fault) = self.kept.take().and_then(|kept| kept.finish().err()) {
            self.watch.lock().keep_fault = Some(fault);
        }
    }

    fn end(&mut self, note: NoteDoc) -> bool {
        self.watch.lock().note = Some(note);
        self.close();
        false
    }
}

impl Feed for Listening {
    fn next(&mut self, planes: &mut [Vec<f32>]) -> bool {
        self.fresh.iter_mut().for_each(Vec::clear);
        while self.fresh.first().is_none_or(Vec::is_empty) {
            if let Err(ended) = self.microphone.read(&mut self.fresh) {
                let heard = self.watch.figures().0.seconds;
                return self.end(stopped(&ended, heard));
            }
            self.drop_start();
        }
        let left = self.watch.lock().left;
        let most = usize::try_from(left).unwrap_or(usize::MAX);
        self.fresh.iter_mut().for_each(|plane| plane.truncate(most));
        let frames = self.fresh.first().map_or(0, Vec::len) as u64;
        if let Some(kept) = &mut self.kept
            && let Err(error) = kept.push(&self.fresh)
        {
            let fault = Refusal::new("cannot-write", format!("the recording could not be kept to its end: {error}"));
            self.watch.lock().keep_fault = Some(fault);
            self.kept = None;
        }
        for (to, from) in planes.iter_mut().zip(&self.fresh) {
            to.extend_from_slice(from);
        }
        let figures = {
            let mut shared = self.watch.lock();
            shared.meter.push(&self.fresh);
            shared.left = left - frames;
            shared.meter.figures()
        };
        if let Some((aim, shift)) = self.guard
            && figures.seconds >= 1.0
            && figures.second.is_some_and(|level| aim.danger(level.db() + shift) == Some(Danger::Stop))
        {
            return self.end(too_loud());
        }
        if left == frames {
            self.close();
            return false;
        }
        true
    }

    fn progress(&self) -> f64 {
        1.0 - self.watch.lock().left as f64 / self.total.max(1) as f64
    }
}

/// What a device is called as the source of a recording.
pub(super) fn info(device: &Device) -> FeedInfo {
    FeedInfo {
        name: device.description.clone(),
        sample_rate_hz: device.sample_rate_hz,
        channels: device.channels,
        step: device.step,
    }
}

fn stopped(ended: &Ended, heard_s: f64) -> NoteDoc {
    let code = match ended {
        Ended::ServerGone => "recording-server-ended",
        Ended::Removed => "recording-device-removed",
        Ended::Stalled { .. } => "recording-stalled",
        Ended::Failed { .. } => "recording-failed",
    };
    let said = ended.to_string();
    let mut letters = said.chars();
    let said: String = letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default();
    let kept = if heard_s > 0.0 {
        format!("the figures are those of the {heard_s:.1} s that came before. Record again if that is too little.")
    } else {
        "nothing came before that.".to_owned()
    };
    NoteDoc::new(code, format!("{said}; {kept}"))
}

fn too_loud() -> NoteDoc {
    NoteDoc::new(
        "recording-too-loud",
        "The recording was stopped: with its doubt the sound reached 70 dB(A) over a second at the child's chair. Switch it \
         off before the child comes in.",
    )
}
