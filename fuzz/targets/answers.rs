//! The answers to a shipped checklist; those that read are scored.
#![no_main]

use std::sync::LazyLock;

use libfuzzer_sys::fuzz_target;
use stillroom::checklist::{Checklist, decode, parse, parse_answers, score, shipped};

static LIST: LazyLock<Checklist> = LazyLock::new(|| {
    let (name, text) = shipped()[0];
    parse(text, name).expect("a shipped list reads")
});

fuzz_target!(|bytes: &[u8]| {
    if let Ok(text) = decode(bytes, "fuzz.toml")
        && let Ok(answers) = parse_answers(text, "fuzz.toml", &LIST)
    {
        let _scores = score(&LIST, &answers);
    }
});
