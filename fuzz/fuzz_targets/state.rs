//! A wheel's state on the stand.
#![no_main]

use files::state;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    fuzz::is_read(bytes, |source| state::read(source, &fuzz::WHEEL));
});
