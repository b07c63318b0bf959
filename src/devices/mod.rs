//! The machine itself: the clock. (The microphone will stand here too.) Only faces name this room.

use jiff::Timestamp;

/// The moment now, in UTC.
pub fn now() -> Timestamp {
    Timestamp::now()
}
