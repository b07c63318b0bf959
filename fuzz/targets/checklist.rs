//! A checklist.
#![no_main]

use libfuzzer_sys::fuzz_target;
use stillroom::checklist::{decode, parse};

fuzz_target!(|bytes: &[u8]| {
    if let Ok(text) = decode(bytes, "fuzz.toml") {
        let _read = parse(text, "fuzz.toml");
    }
});
