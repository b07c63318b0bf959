//! A photo of any kind.
#![no_main]

use libfuzzer_sys::fuzz_target;

// A panic inside a decoder is caught and the file refused: only one that nobody caught ends the run.
fuzz_target!(init: std::panic::set_hook(Box::new(|panic| eprintln!("{panic}"))), |bytes: &[u8]| {
    let _figures = stillroom::photo::measure(bytes);
});
