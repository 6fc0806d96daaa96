//! Visit files with the files they name.
#![no_main]

use files::{Source, visit_file};
use fuzz::{Folder, refused};

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let now = "2026-06-01T12:00:00Z".parse().expect("an instant");
    let mut folder = Folder::of(bytes);
    let source = Source::from_bytes("visit.toml", folder.first);
    let visit = match source.and_then(|source| visit_file::read(&source, now, &mut folder)) {
        Ok((visit, _)) => visit,
        Err(error) => return refused(&error),
    };
    let mut written = visit_file::write(&visit);
    let source = Source::from_bytes("written.toml", written.visit.as_bytes());
    match source.and_then(|source| visit_file::read(&source, now, &mut written)) {
        Ok((again, _)) => assert_eq!(again, visit, "written as\n{}", written.visit),
        Err(error) => panic!("what was written is refused: {error}\n{}", written.visit),
    }
});
