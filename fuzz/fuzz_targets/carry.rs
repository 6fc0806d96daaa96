//! What earlier rounds taught.
#![no_main]

use files::{carry, wheel_file};

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let (wheel, _) = wheel_file::read(&fuzz::wheel()).expect("a wheel");
    fuzz::reads_back(bytes, |source| carry::read(source, &wheel), |rounds| carry::write(rounds, &wheel));
});
