//! The machine itself: the clock and where it stands, the microphone, chance. Only faces name this room.

mod microphone;
mod secret;
mod zone;

pub use microphone::{Device, Ended, Microphone, MicrophoneFault};
pub use secret::{ask_secret, ask_yes};

pub use zone::zone;

use std::time::Duration;

use jiff::Timestamp;

/// The moment now, in UTC.
pub fn now() -> Timestamp {
    Timestamp::now()
}

/// A key nobody can guess: 128 bits from the system, as hex digits.
pub fn key() -> Result<String, String> {
    let mut bytes = [0_u8; 16];
    getrandom::fill(&mut bytes).map_err(|error| error.to_string())?;
    Ok(bytes.iter().map(|byte| format!("{byte:02x}")).collect())
}

/// Waits.
pub fn wait(time: Duration) {
    std::thread::sleep(time);
}
