//! What the pages share: the case that is open, where walks are kept, the time, the language, the sounds that come in.

use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;

use super::asked::{Asked, Upload};
use super::listening::Listeners;
use crate::case::remember;
use crate::language::{Language, Speaker};
use crate::tasks::serving::Serving;

/// The desk of one running page.
pub(super) struct Desk {
    case: Mutex<Option<PathBuf>>,
    /// Where interrupted walks are kept.
    pub(super) state: Option<PathBuf>,
    /// The language of the pages.
    pub(super) language: Language,
    /// The meters that are running.
    pub(super) listeners: Listeners,
    zone: TimeZone,
    clock: fn() -> Timestamp,
    said: Mutex<Vec<String>>,
    sitting: Mutex<()>,
    carried: Option<PathBuf>,
    held: Mutex<Held>,
}

/// The files of the last form that was refused, and its number.
#[derive(Default)]
struct Held {
    number: u64,
    files: Vec<Upload>,
}

/// The field of a form that names the files held for it.
pub(super) const HELD: &str = "held";

impl Desk {
    /// A desk.
    pub(super) fn new(serving: Serving, clock: fn() -> Timestamp) -> Self {
        serving.case.as_deref().inspect(|case| remember(case));
        Self {
            case: Mutex::new(serving.case),
            state: serving.state,
            language: serving.language,
            listeners: Listeners::default(),
            zone: serving.zone,
            clock,
            said: Mutex::default(),
            sitting: Mutex::default(),
            carried: None,
            held: Mutex::default(),
        }
    }

    /// The desk of a page that is carried in one file, with all its files below that folder.
    pub(super) fn carried(self, root: &Path) -> Self {
        Self { carried: Some(root.to_owned()), ..self }
    }

    /// Where the files of a carried page are.
    pub(super) fn root(&self) -> Option<&Path> {
        self.carried.as_deref()
    }

    /// The case that is open.
    pub(super) fn case(&self) -> Option<PathBuf> {
        held(&self.case).clone()
    }

    /// Opens another case.
    pub(super) fn open(&self, case: PathBuf) {
        remember(&case);
        *held(&self.case) = Some(case);
    }

    /// The moment.
    pub(super) fn now(&self) -> Timestamp {
        (self.clock)()
    }

    /// The day.
    pub(super) fn today(&self) -> Date {
        self.now().to_zoned_datetime(self.zone.clone()).date()
    }

    /// Hours and minutes of a moment where the user is, `16:36`.
    pub(super) fn clock_time(&self, moment: Timestamp) -> String {
        let here = moment.to_zoned_datetime(self.zone.clone());
        format!("{:02}:{:02}", here.hour(), here.minute())
    }

    /// Says messages in the language of the pages.
    pub(super) fn speaker(&self) -> Speaker {
        Speaker::new(self.language)
    }

    /// Keeps sentences for the page that is shown next.
    pub(super) fn tell(&self, sentences: Vec<String>) {
        *held(&self.said) = sentences;
    }

    /// The sentences kept for the page that is shown next.
    pub(super) fn told(&self) -> Vec<String> {
        std::mem::take(&mut held(&self.said))
    }

    /// The request with the files that were held for its form, where it brings no others for their fields.
    pub(super) fn with_held(&self, asked: &Asked) -> Asked {
        let mut asked = asked.clone();
        let mut held = held(&self.held);
        if asked.field(HELD) == Some(held.number.to_string().as_str()) {
            let brought: Vec<String> = asked.files.iter().map(|file| file.field.clone()).collect();
            asked.files.extend(held.files.drain(..).filter(|file| !brought.contains(&file.field)));
        }
        asked
    }

    /// Holds the files of a form that was refused, in memory alone, so that nobody chooses or records them again.
    pub(super) fn hold(&self, asked: &mut Asked) {
        let mut held = held(&self.held);
        held.number += 1;
        held.files.clone_from(&asked.files);
        asked.fields.insert(HELD.to_owned(), vec![held.number.to_string()]);
    }

    /// Changes to the sitting that is being logged come one after the other.
    pub(super) fn sitting(&self) -> MutexGuard<'_, ()> {
        held(&self.sitting)
    }
}

/// What was held by a request that failed is still whole: every change is one step.
fn held<T>(what: &Mutex<T>) -> MutexGuard<'_, T> {
    what.lock().unwrap_or_else(PoisonError::into_inner)
}
