//! What the pages share: the case that is open, where walks are kept, the time, the language.

use std::path::PathBuf;
use std::sync::{Mutex, PoisonError};

use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;

use crate::language::{Language, Speaker};

/// The desk of one running page.
pub(super) struct Desk {
    case: Mutex<Option<PathBuf>>,
    /// Where interrupted walks are kept.
    pub(super) state: Option<PathBuf>,
    /// The language of the pages.
    pub(super) language: Language,
    clock: fn() -> Timestamp,
}

impl Desk {
    /// A desk.
    pub(super) fn new(
        case: Option<PathBuf>,
        state: Option<PathBuf>,
        language: Language,
        clock: fn() -> Timestamp,
    ) -> Self {
        Self { case: Mutex::new(case), state, language, clock }
    }

    /// The case that is open.
    pub(super) fn case(&self) -> Option<PathBuf> {
        self.case.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }

    /// Opens another case.
    pub(super) fn open(&self, case: PathBuf) {
        *self.case.lock().unwrap_or_else(PoisonError::into_inner) = Some(case);
    }

    /// The moment.
    pub(super) fn now(&self) -> Timestamp {
        (self.clock)()
    }

    /// The day.
    pub(super) fn today(&self) -> Date {
        self.now().to_zoned_datetime(TimeZone::UTC).date()
    }

    /// Says messages in the language of the pages.
    pub(super) fn speaker(&self) -> Speaker {
        Speaker::new(self.language)
    }
}
