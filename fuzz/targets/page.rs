//! A request to the page: the first line is the address, the second the kind of its form, the rest the form.
#![no_main]

use std::cell::RefCell;

use jiff::{Timestamp, tz::TimeZone};
use libfuzzer_sys::fuzz_target;
use stillroom::language::Language;
use stillroom::page::Carried;

thread_local! {
    static ROOM: RefCell<(tempfile::TempDir, usize)> = RefCell::new((tempfile::tempdir().expect("a folder"), 0));
}

fuzz_target!(|bytes: &[u8]| {
    let mut parts = bytes.splitn(3, |byte| *byte == b'\n');
    let (Some(address), Some(kind), Some(body)) = (parts.next(), parts.next(), parts.next()) else { return };
    let (Ok(address), Ok(kind)) = (std::str::from_utf8(address), std::str::from_utf8(kind)) else { return };
    ROOM.with_borrow_mut(|(folder, asked)| {
        // A new case now and then, so that what was stored does not slow the run down.
        if *asked % 500 == 0 {
            *folder = tempfile::tempdir().expect("a folder");
        }
        *asked += 1;
        let mut page = Carried::new(folder.path(), Language::English, TimeZone::UTC, || Timestamp::UNIX_EPOCH);
        let _answer = page.answer(!body.is_empty(), address, kind, body.to_vec());
    });
});
