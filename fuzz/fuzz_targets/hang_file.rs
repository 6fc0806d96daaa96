//! Hang tests.
#![no_main]

use files::{hang_file, wheel_file};

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let (wheel, _) = wheel_file::read(&fuzz::wheel()).expect("a wheel");
    fuzz::is_read(bytes, |source| hang_file::read(source, &wheel));
});
