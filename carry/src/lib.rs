//! The binding: what a browser's script calls. Bytes go in through one buffer and come out through another; time and
//! randomness are handed in. All unsafe code of the project stands in this file.
//!
//! The script calls [`room`] for as many bytes as it will hand in, writes them there, calls a function that takes them, and
//! reads what was told at [`told`], [`told_bytes`] long. There is one thread, so nothing can come between.

use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicI64, Ordering};
use std::sync::{Mutex, MutexGuard, PoisonError};

use jiff::Timestamp;
use jiff::tz::{Offset, TimeZone};
use stillroom::language::Language;
use stillroom::page::{Answered, Carried, document};

/// What goes in, what comes out, and the pages.
struct Hall {
    given: Vec<u8>,
    told: Vec<u8>,
    pages: Option<Carried>,
}

static HALL: Mutex<Hall> = Mutex::new(Hall { given: Vec::new(), told: Vec::new(), pages: None });

/// The moment, in milliseconds since 1970, as the script told it last.
static MOMENT: AtomicI64 = AtomicI64::new(0);

fn hall() -> MutexGuard<'static, Hall> {
    HALL.lock().unwrap_or_else(PoisonError::into_inner)
}

fn clock() -> Timestamp {
    Timestamp::from_millisecond(MOMENT.load(Ordering::Relaxed)).unwrap_or(Timestamp::UNIX_EPOCH)
}

fn set_clock(milliseconds: f64) {
    MOMENT.store(milliseconds as i64, Ordering::Relaxed);
}

impl Hall {
    /// The first `count` bytes of what was given, as text; the rest stays.
    fn text(&mut self, count: usize) -> String {
        let rest = self.given.split_off(count.min(self.given.len()));
        let text = std::mem::replace(&mut self.given, rest);
        String::from_utf8_lossy(&text).into_owned()
    }

    fn tell_text(&mut self, text: &[u8]) {
        self.told.extend_from_slice(&u32::try_from(text.len()).unwrap_or(u32::MAX).to_le_bytes());
        self.told.extend_from_slice(text);
    }
}

// SAFETY: of the names below: they are ours alone; no other crate of the module exports one like it.

/// Makes room for so many bytes and says where.
#[unsafe(no_mangle)]
pub extern "C" fn room(bytes: usize) -> *mut u8 {
    let mut hall = hall();
    hall.given = vec![0; bytes];
    hall.given.as_mut_ptr()
}

/// Where what was told last stands.
#[unsafe(no_mangle)]
pub extern "C" fn told() -> *const u8 {
    hall().told.as_ptr()
}

/// How many bytes it has.
#[unsafe(no_mangle)]
pub extern "C" fn told_bytes() -> usize {
    hall().told.len()
}

/// Lets go of what was told, so that memory does not hold it twice.
#[unsafe(no_mangle)]
pub extern "C" fn forget() {
    hall().told = Vec::new();
}

/// Puts a file there as it was kept; given: its path, then its bytes.
#[unsafe(no_mangle)]
pub extern "C" fn put(path_bytes: usize) -> bool {
    let mut hall = hall();
    let path = hall.text(path_bytes);
    let bytes = std::mem::take(&mut hall.given);
    stillroom::files::put(Path::new(&path), bytes).is_ok()
}

/// Opens the pages; given: the language's tag.
#[unsafe(no_mangle)]
pub extern "C" fn open(milliseconds: f64, minutes_east: i32) {
    set_clock(milliseconds);
    let mut hall = hall();
    let bytes = hall.given.len();
    let language = Language::of_locale(&hall.text(bytes)).unwrap_or(Language::English);
    let zone = Offset::from_seconds(minutes_east.saturating_mul(60)).map_or(TimeZone::UTC, TimeZone::fixed);
    hall.pages = Some(Carried::new(&PathBuf::from("/"), language, zone, clock));
}

/// Takes in the records that the file carries; given: the archive. How many were added, or -1 and why is told.
#[unsafe(no_mangle)]
pub extern "C" fn take_in() -> i32 {
    let mut hall = hall();
    let archive = std::mem::take(&mut hall.given);
    let taken = hall.pages.as_ref().map(|pages| pages.take_in(&archive));
    hall.told = Vec::new();
    match taken {
        Some(Ok(added)) => i32::try_from(added).unwrap_or(i32::MAX),
        Some(Err(refusal)) => {
            hall.told = refusal.message.into_bytes();
            -1
        }
        None => -1,
    }
}

/// Answers; given: the address, the content type, the body. Told: status, content type, where to go instead, body.
#[unsafe(no_mangle)]
pub extern "C" fn answer(changes: bool, address_bytes: usize, kind_bytes: usize, milliseconds: f64) {
    set_clock(milliseconds);
    let mut hall = hall();
    let (address, kind) = (hall.text(address_bytes), hall.text(kind_bytes));
    let body = std::mem::take(&mut hall.given);
    hall.told = Vec::new();
    let Some(answered) = hall.pages.as_mut().map(|pages| pages.answer(changes, &address, &kind, body)) else { return };
    let Answered { status, kind, to, body } = answered;
    hall.told.extend_from_slice(&u32::from(status).to_le_bytes());
    hall.tell_text(kind.as_bytes());
    hall.tell_text(to.unwrap_or_default().as_bytes());
    hall.told.extend_from_slice(&body);
}

/// Tells the files that were changed: for each whether it is there, its path, its bytes.
#[unsafe(no_mangle)]
pub extern "C" fn changes() {
    let mut hall = hall();
    hall.told = Vec::new();
    for (path, content) in stillroom::files::taken_changes() {
        hall.told.push(u8::from(content.is_some()));
        hall.tell_text(path.to_string_lossy().as_bytes());
        hall.tell_text(&content.unwrap_or_default());
    }
}

/// Tells the words that the script says, as JSON.
#[unsafe(no_mangle)]
pub extern "C" fn words() {
    let mut hall = hall();
    hall.told = hall.pages.as_ref().map(Carried::words).unwrap_or_default().into_bytes();
}

/// Tells what the terminal prints with `--format json` of a file; given: `photo`, `sound` or `ladder`, the file's name, its
/// bytes. False where it is refused, and why is told.
#[unsafe(no_mangle)]
pub extern "C" fn figures(what_bytes: usize, name_bytes: usize) -> bool {
    let mut hall = hall();
    let (what, name) = (hall.text(what_bytes), hall.text(name_bytes));
    let bytes = std::mem::take(&mut hall.given);
    let read = document(&what, &name, bytes);
    let done = read.is_ok();
    hall.told = read.unwrap_or_else(|refusal| refusal.code.to_owned()).into_bytes();
    done
}

#[link(wasm_import_module = "stillroom")]
unsafe extern "C" {
    /// Fills so many bytes from there with randomness of the browser.
    fn random(at: *mut u8, bytes: usize);
}

#[unsafe(no_mangle)]
unsafe extern "Rust" fn __getrandom_v03_custom(at: *mut u8, bytes: usize) -> Result<(), getrandom::Error> {
    // SAFETY: getrandom hands over memory of its own, as long as it says.
    unsafe { random(at, bytes) };
    Ok(())
}

fn random_02(into: &mut [u8]) -> Result<(), getrandom_02::Error> {
    // SAFETY: the script fills the slice and no byte more.
    unsafe { random(into.as_mut_ptr(), into.len()) };
    Ok(())
}

getrandom_02::register_custom_getrandom!(random_02);
