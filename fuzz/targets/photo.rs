//! A photo of any kind.
#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let _figures = stillroom::photo::measure(bytes);
});
