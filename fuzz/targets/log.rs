//! A table of sessions; one that reads is reviewed.
#![no_main]

use libfuzzer_sys::fuzz_target;
use stillroom::practice::{Options, parse, review};

fuzz_target!(|bytes: &[u8]| {
    if let Ok(text) = std::str::from_utf8(bytes)
        && let Ok(log) = parse(text, "fuzz.csv")
    {
        let _decision = review(&log, &Options::default());
    }
});
