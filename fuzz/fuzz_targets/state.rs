//! A wheel's state on the stand.
#![no_main]

use files::{state, wheel_file};

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let (wheel, _) = wheel_file::read(&fuzz::wheel()).expect("a wheel");
    fuzz::is_read(bytes, |source| state::read(source, &wheel));
});
