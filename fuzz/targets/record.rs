//! A record of a case.
#![no_main]

use libfuzzer_sys::fuzz_target;
use stillroom::contract::read_record;

fuzz_target!(|bytes: &[u8]| {
    if let Ok(text) = std::str::from_utf8(bytes) {
        let _record = read_record(text);
    }
});
