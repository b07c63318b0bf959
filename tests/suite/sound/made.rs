//! Recordings made for the checks, and one way to analyse.

use std::io::Cursor;

use stillroom::sound::{Analysis, Refusal, Settings, analyse, open};

/// Analyses bytes as a recording.
pub(super) fn heard(bytes: Vec<u8>, name: &str, settings: &Settings) -> Result<Analysis, Refusal> {
    analyse(open(Box::new(Cursor::new(bytes)), name)?, settings, &mut |_| {})
}
