//! Wheel files, laced and explicit.
#![no_main]

use files::wheel_file::{read, write};

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    fuzz::reads_back(bytes, |source| read(source).map(|(wheel, _)| wheel), write);
});
