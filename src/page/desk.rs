//! What the pages share: the case that is open, where walks are kept, the time, the language, the sounds that come in.

use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;

use super::listening::Listeners;
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
}

impl Desk {
    /// A desk.
    pub(super) fn new(serving: Serving, clock: fn() -> Timestamp) -> Self {
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

    /// Changes to the sitting that is being logged come one after the other.
    pub(super) fn sitting(&self) -> MutexGuard<'_, ()> {
        held(&self.sitting)
    }
}

/// What was held by a request that failed is still whole: every change is one step.
fn held<T>(what: &Mutex<T>) -> MutexGuard<'_, T> {
    what.lock().unwrap_or_else(PoisonError::into_inner)
}
