//! Laps of the gauge, of the ear and of the runout dial.
#![no_main]

use files::laps;

/// Spokes of the wheel.
const SPOKES: usize = 32;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let readings =
        |source: &files::Source| laps::read_readings(source, SPOKES).map(|lap| lap.readings);
    fuzz::reads_back(bytes, readings, |readings| laps::write_readings(readings));
    let pitches = |source: &files::Source| laps::read_pitches(source, SPOKES);
    fuzz::reads_back(bytes, pitches, |pitches| laps::write_pitches(pitches));
    fuzz::reads_back(bytes, laps::read_runout, |points| laps::write_runout(points));
});
