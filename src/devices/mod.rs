//! The machine itself: the clock and the microphone. Only faces name this room.

mod microphone;

pub use microphone::{Device, Ended, Microphone, MicrophoneFault};

use jiff::Timestamp;

/// The moment now, in UTC.
pub fn now() -> Timestamp {
    Timestamp::now()
}
