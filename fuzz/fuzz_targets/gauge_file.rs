//! Gauge files, and rig files, which are made of the same keys.
#![no_main]

use files::gauge_file::{read, write};
use files::{Source, rig_file};

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    fuzz::reads_back(bytes, read, write);
    if let Ok(source) = Source::from_bytes("rig.toml", bytes) {
        let _ = rig_file::read(&source);
    }
});
