//! The last net: a fault of the program itself ends in a plain message and exit 1, never in a torn-off line.
//!
//! Decoders of other people's formats may panic inside the sound room and the photo room, which catch that and refuse the file; so the
//! hook that prints a panic is silent, and only a panic that nobody caught is told.

use std::ffi::OsString;
use std::panic::{AssertUnwindSafe, catch_unwind, set_hook};
use std::sync::{Mutex, PoisonError};

use super::{REFUSED, World, run};

/// Where the newest panic came from.
static NEWEST: Mutex<String> = Mutex::new(String::new());

/// Runs one command line; whatever happens, there is an exit code and a message.
pub fn guarded(words: impl IntoIterator<Item = OsString>, world: &mut World<'_>) -> u8 {
    set_hook(Box::new(|panic| {
        *NEWEST.lock().unwrap_or_else(PoisonError::into_inner) = panic.to_string();
    }));
    catch_unwind(AssertUnwindSafe(|| run(words, world))).unwrap_or_else(|_| {
        let newest = NEWEST.lock().unwrap_or_else(PoisonError::into_inner);
        world.say(&format!(
            "error: stillroom itself has a fault: {newest}\nhint: nothing was stored halfway; please report this command and this line"
        ));
        REFUSED
    })
}
