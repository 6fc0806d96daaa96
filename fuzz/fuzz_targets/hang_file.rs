//! Hang tests.
#![no_main]

use files::hang_file;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    fuzz::is_read(bytes, |source| hang_file::read(source, &fuzz::WHEEL));
});
