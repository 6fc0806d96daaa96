//! What earlier rounds taught.
#![no_main]

use files::carry;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    fuzz::reads_back(bytes, |source| carry::read(source, &fuzz::WHEEL), |rounds| carry::write(rounds, &fuzz::WHEEL));
});
