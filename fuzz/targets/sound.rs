//! A recording of any kind: opened, read to its end, with decay times and a narrow history.
#![no_main]

use std::io::Cursor;

use libfuzzer_sys::fuzz_target;
use stillroom::sound::{Settings, analyse, open};

// A panic inside a decoder is caught and the file refused: only one that nobody caught ends the run.
fuzz_target!(init: std::panic::set_hook(Box::new(|panic| eprintln!("{panic}"))), |bytes: &[u8]| {
    if let Ok(recording) = open(Box::new(Cursor::new(bytes.to_vec())), "fuzz") {
        let settings = Settings { decay: true, ..Settings::default() };
        let _figures = analyse(recording, &settings, &mut |_share| ());
    }
});
