//! Rig points.
#![no_main]

use files::points::{read, write};

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| fuzz::reads_back(bytes, read, |points| write(points)));
