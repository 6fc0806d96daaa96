//! Rig files.
#![no_main]

use files::rig_file;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    fuzz::is_read(bytes, rig_file::read);
});
