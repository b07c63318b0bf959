//! A ladder's plan; one that reads and is small is planned.
#![no_main]

use libfuzzer_sys::fuzz_target;
use stillroom::ladder::{parse, plan};

/// More rooms than this take longer than a fuzz run likes; the search itself has its own tests.
const ROOMS: usize = 20_000;

fuzz_target!(|bytes: &[u8]| {
    if let Ok(text) = std::str::from_utf8(bytes)
        && let Ok(input) = parse(text, "fuzz.toml")
        && input
            .distractors
            .iter()
            .map(|one| one.levels.len() + 1)
            .try_fold(1usize, usize::checked_mul)
            .is_some_and(|rooms| rooms < ROOMS)
    {
        let _ladder = plan(&input);
    }
});
