//! What families send: a pack without its seal, unpacked beside nothing.
#![no_main]

use libfuzzer_sys::fuzz_target;
use stillroom::case::unpack_plain;

fuzz_target!(|bytes: &[u8]| {
    let beside = tempfile::tempdir().expect("a folder");
    let _opened = unpack_plain(bytes, beside.path());
});
