//! The machine itself: the clock, the microphone, what is typed at the terminal. Only faces name this room.

mod microphone;
mod secret;

pub use microphone::{Device, Ended, Microphone, MicrophoneFault};
pub use secret::{ask_secret, ask_yes};

use jiff::Timestamp;

/// The moment now, in UTC.
pub fn now() -> Timestamp {
    Timestamp::now()
}
