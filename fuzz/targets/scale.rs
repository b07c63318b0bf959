//! A scale of one's own.
#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    if let Ok(text) = std::str::from_utf8(bytes) {
        let _scale = stillroom::load::Scale::parse(text, "fuzz.toml");
    }
});
