//! The machine itself: the clock, where it stands, and the microphone. Only faces name this room.

mod microphone;
mod zone;

pub use microphone::{Device, Ended, Microphone, MicrophoneFault};

pub use zone::zone;

use std::time::Duration;

use jiff::Timestamp;

/// The moment now, in UTC.
pub fn now() -> Timestamp {
    Timestamp::now()
}

/// Waits.
pub fn wait(time: Duration) {
    std::thread::sleep(time);
}
