//! A recording of any kind: opened, read to its end, with decay times and a narrow history.
#![no_main]

use std::io::Cursor;

use libfuzzer_sys::fuzz_target;
use stillroom::sound::{Settings, analyse, open};

fuzz_target!(|bytes: &[u8]| {
    if let Ok(recording) = open(Box::new(Cursor::new(bytes.to_vec())), "fuzz") {
        let settings = Settings { decay: true, ..Settings::default() };
        let _figures = analyse(recording, &settings, &mut |_share| ());
    }
});
