//! Gauge files.
#![no_main]

use files::gauge_file::{read, write};

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| fuzz::reads_back(bytes, read, write));
