//! Rig points, gauges and laps in their files: what is read, what is refused, and how it is said.

use files::{Source, gauge_file, laps, points};
use metrology::lap::{Reading, RunoutPoint};
use metrology::visit::{Loading, RigPoint};
use proptest::prelude::*;
use quantity::{Angle, Force, Length};
use wheel::SpokeIndex;

fn source(text: &str) -> Source {
    Source::from_bytes("rig.csv", text.as_bytes()).expect("text")
}

fn read(text: &str) -> Vec<RigPoint> {
    points::read(&source(text)).unwrap_or_else(|error| panic!("{error}"))
}

fn refused(text: &str) -> String {
    points::read(&source(text))
        .expect_err("refused")
        .to_string()
}

fn point(reading: f64, force: Force) -> RigPoint {
    RigPoint {
        reading,
        force,
        loading: None,
        u_reading: None,
        u_force: None,
    }
}

#[test]
fn points_are_read_in_the_order_of_their_rows() {
    let kgf = "reading,force_kgf\n13,95.8\n15,99.2\n";
    assert_eq!(
        read(kgf),
        [point(13.0, Force::kgf(95.8)), point(15.0, Force::kgf(99.2))]
    );
    assert_eq!(
        read("force_n,reading\n940,22.5\n"),
        [point(22.5, Force::n(940.0))]
    );
    assert_eq!(
        read("reading,force_lbf\n22.5,211\n"),
        [point(22.5, Force::lbf(211.0))]
    );
}

#[test]
fn optional_columns_may_stay_empty_in_a_row() {
    let text = "reading,force_kgf,direction,u_reading,u_force\n\
                22.5,95.8,up,0.25,0.3\n\
                22.0,95.8,down,,\n\
                21.0,90.0,,0.5,\n";
    let point = |reading, force, loading, u_reading, u_force: Option<f64>| RigPoint {
        reading,
        force: Force::kgf(force),
        loading,
        u_reading,
        u_force: u_force.map(Force::kgf),
    };
    assert_eq!(
        read(text),
        [
            point(22.5, 95.8, Some(Loading::Up), Some(0.25), Some(0.3)),
            point(22.0, 95.8, Some(Loading::Down), None, None),
            point(21.0, 90.0, None, Some(0.5), None),
        ]
    );
}

#[test]
fn a_byte_order_mark_crlf_comments_blanks_and_quotation_marks_change_nothing() {
    let plain = read("reading,force_kgf\n22.5,95.8\n24,101\n");
    for text in [
        "\u{FEFF}reading,force_kgf\n22.5,95.8\n24,101\n",
        "reading,force_kgf\r\n22.5,95.8\r\n24,101\r\n",
        "# rig of the back room\r\n#\r\n\r\nreading,force_kgf\r\n22.5,95.8\r\n\r\n24,101",
        "reading, force_kgf\n 22.5 ,\t95.8\n24,101\n   \n",
        "\"reading\",\"force_kgf\"\n\"22.5\",\"95.8\"\n24,\"101\"\n",
        "reading,force_kgf\n22.5,95.8\n# cell settled here\n24,101\n",
        "reading\tforce_kgf\n22.5\t95.8\n24\t101\n",
        "reading;force_kgf\n22.5;95.8\n24;101\n",
    ] {
        assert_eq!(read(text), plain, "{text:?}");
    }
}

#[test]
fn a_decimal_comma_is_read_where_another_sign_separates() {
    let plain = read("reading,force_kgf\n22.5,95.8\n");
    assert_eq!(read("reading;force_kgf\n22,5;95,8\n"), plain);
    assert_eq!(read("reading\tforce_kgf\n22,5\t95,8\n"), plain);
}

#[test]
fn a_decimal_comma_among_commas_is_refused_with_a_hint() {
    assert_eq!(
        refused("reading,force_kgf\n22,5,95,8\n"),
        "rig.csv:2:1: 4 cells in this row, but the header names 2 columns\n    \
         22,5,95,8\n    \
         ^^^^^^^^^\n    \
         If it has decimal commas, write `.` instead, or separate all columns by `;`."
    );
    let torn = refused("reading,force_kgf,u_reading,u_force\n22,5,95,8\n");
    assert!(
        torn.contains("rig.csv:2:6: `u_reading` is very large; are there decimal commas"),
        "{torn}"
    );
    assert!(torn.contains("separate all columns by `;`"), "{torn}");
    let torn = refused("reading,force_kgf,u_reading\n22,95,8\n");
    assert!(torn.contains("decimal commas"), "{torn}");
    let meant = read("reading,force_kgf,u_reading,u_force\n22,5,95.0,8.0\n");
    assert_eq!(meant[0].u_reading, Some(95.0));
    let quoted = refused("reading,force_kgf\n\"22,5\",\"95,8\"\n");
    assert!(quoted.contains("decimal commas"), "{quoted}");
}

#[test]
fn numbers_that_could_be_misread_are_refused() {
    let mixed = refused("reading;force_kgf\n22.5;95.8\n24,5;101\n");
    assert!(
        mixed.contains("rig.csv:3:1: `24,5` could be misread: line 2 has `22.5`"),
        "{mixed}"
    );
    let thousands = refused("reading;force_n\n22,5;1.024,5\n");
    assert!(
        thousands.contains("`1.024,5` has a point and a comma"),
        "{thousands}"
    );
    let twice = refused("reading;force_n\n22,5;1,024,5\n");
    assert!(twice.contains("is not a number"), "{twice}");
}

#[test]
fn a_force_in_kg_is_refused_with_the_question_which_is_meant() {
    assert_eq!(
        refused("reading,force_kg\n22.5,95.8\n"),
        "rig.csv:1:9: `force_kg` gives a force in kg, but kg is a mass\n    \
         reading,force_kg\n            \
         ^^^^^^^^\n    \
         kgf or N? Write `force_kgf` or `force_n`, whichever the number is."
    );
}

#[test]
fn headings_are_checked() {
    for (header, said) in [
        (
            "reading,forse_kgf",
            "rig.csv:1:9: unknown column `forse_kgf` in the header",
        ),
        ("reading,forse_kgf", "Did you mean `force_kgf`?"),
        ("reading,force", "`force` does not say its unit"),
        (
            "reading_kgf,force_kgf",
            "`reading_kgf` is given in kgf, but `reading` has no unit",
        ),
        ("force_kgf", "there is no column `reading`"),
        ("reading,direction", "there is no column of forces"),
        (
            "reading,direction",
            "Name one column force_kgf or force_n or force_lbf.",
        ),
        (
            "reading,force_kgf,force_n",
            "rig.csv:1:19: `force_n` stands beside `force_kgf`",
        ),
        (
            "reading,reading,force_n",
            "rig.csv:1:9: the column `reading` stands here twice",
        ),
        ("reading,force_n,", "unknown column `` in the header"),
    ] {
        let shown = refused(&format!("{header}\n1,2,3\n"));
        assert!(shown.contains(said), "{header}: {shown}");
    }
}

#[test]
fn cells_that_hold_no_number_are_refused_where_they_stand() {
    for (row, said) in [
        (
            "NaN,95.8,up",
            "rig.csv:2:1: `reading`: `NaN` is nothing that was read",
        ),
        (
            "22.5,inf,up",
            "rig.csv:2:6: `force_kgf`: `inf` is nothing that was read",
        ),
        ("22.5,-Infinity,up", "nothing that was read"),
        ("22.5,1e999,up", "`1e999` is too large for any number"),
        ("22.5,-95.8,up", "rig.csv:2:6: `force_kgf` is negative"),
        ("22.5,−95.8,up", "starts with a dash, not a minus"),
        ("-22.5,95.8,up", "rig.csv:2:1: `reading` is negative"),
        (
            "22.5,95.8 kgf,up",
            "Write only the number; its unit stands in the column's name.",
        ),
        ("22.5,,up", "rig.csv:2:6: no `force_kgf` in this row"),
        ("22.5,95.8,upward", "`direction` cannot be `upward`"),
        ("22.5,940,up", "9218 N is more than any spoke bears"),
        ("22.5,940,up", "Then its name is `force_n`."),
        (
            "22.5,95.8",
            "2 cells in this row, but the header names 3 columns",
        ),
        ("0x10,95.8,up", "`0x10` is not a number"),
    ] {
        let shown = refused(&format!("reading,force_kgf,direction\n{row}\n"));
        assert!(shown.contains(said), "{row}: {shown}");
    }
    let negative = refused("reading,force_kgf,u_force\n22.5,95.8,-0.3\n");
    assert!(
        negative.contains("An uncertainty has no sign."),
        "{negative}"
    );
}

#[test]
fn every_wrong_cell_is_told_at_once() {
    let shown = refused("reading,force_kgf\nx,95.8\n22.5,y\n1,2,3\n");
    for place in ["rig.csv:2:1", "rig.csv:3:6", "rig.csv:4:1"] {
        assert!(shown.contains(place), "{shown}");
    }
}

#[test]
fn a_file_without_rows_without_header_or_with_too_many_rows_is_refused() {
    assert!(refused("reading,force_kgf\n").contains("there are no rows"));
    assert!(refused("# nothing yet\n").contains("there is no header, only comments"));
    let long = "1,2\n".repeat(100_001);
    assert!(refused(&format!("reading,force_n\n{long}")).contains("more than 100000 rows"));
}

#[test]
fn a_reading_twice_with_different_forces_is_for_the_calibration_to_judge() {
    assert_eq!(read("reading,force_kgf\n22.5,95.8\n22.5,90\n").len(), 2);
}

fn lap(text: &str) -> Result<laps::Readings, String> {
    laps::read_readings(&source(text), 32).map_err(|error| error.to_string())
}

#[test]
fn a_lap_keeps_its_order_and_may_have_gaps() {
    let read = lap("spoke,reading\n32,22.5\n3,21\n1,0\n").expect("read");
    let numbers: Vec<_> = read
        .readings
        .iter()
        .map(|reading| (reading.spoke.number(), reading.divisions))
        .collect();
    assert_eq!(numbers, [(32, 22.5), (3, 21.0), (1, 0.0)]);
    assert_eq!(read.gauge, None);
}

#[test]
fn a_lap_with_a_spoke_twice_an_unknown_spoke_or_two_gauges_is_refused() {
    for (text, said) in [
        (
            "spoke,reading\n1,22\n2,23\n1,22.5\n",
            "rig.csv:4:1: spoke 1 was already taken in line 2",
        ),
        (
            "spoke,reading\n33,22\n",
            "rig.csv:2:1: `33` is no spoke of this wheel",
        ),
        (
            "spoke,reading\n33,22\n",
            "Spokes count from 1, the first after the valve hole, to 32",
        ),
        ("spoke,reading\n0,22\n", "`0` is no spoke of this wheel"),
        ("spoke,reading\n-1,22\n", "`-1` is no spoke of this wheel"),
        ("spoke,reading\n1.5,22\n", "`1.5` is no spoke of this wheel"),
        (
            "spoke,reading,gauge\n1,22,G1\n2,22,G2\n",
            "rig.csv:3:6: two gauges in one lap: `G1` and `G2`",
        ),
        (
            "spoke,reading,gauge\n1,22,G1\n2,22,\n",
            "rig.csv:3:6: no `gauge` in this row",
        ),
        ("spoke,reading\n1,22,5\n", "If it has decimal commas"),
        (
            "spoke,reading\n1,-22\n",
            "rig.csv:2:3: `reading` is negative",
        ),
        (
            "spoke,tension_n\n1,900\n",
            "unknown column `tension_n` in the header",
        ),
    ] {
        let shown = lap(text).expect_err(text);
        assert!(shown.contains(said), "{text}: {shown}");
    }
    let one = lap("spoke,reading,gauge\n1,22,G1\n2,22,G1\n").expect("read");
    assert_eq!(one.gauge.as_deref(), Some("G1"));
}

#[test]
fn runout_and_pitch_have_their_own_columns() {
    let runout = laps::read_runout(&source("angle_deg,mm\n0,0.02\n11.25,-0.05\n360,0.02\n"));
    let at = |deg, mm| RunoutPoint {
        at: Angle::deg(deg),
        displacement: Length::mm(mm),
    };
    assert_eq!(
        runout.expect("read"),
        [at(0.0, 0.02), at(11.25, -0.05), at(360.0, 0.02)]
    );
    for (text, said) in [
        (
            "angle_deg,mm\n361,0\n",
            "`angle_deg` is not between 0 and 360",
        ),
        ("angle_deg,mm\n-1,0\n", "Count from the valve hole"),
        (
            "angle_deg,mm\n1,250\n",
            "Is the number in hundredths of a millimetre?",
        ),
        ("angle_rad,mm\n1,0\n", "`angle_rad` is given in rad"),
        ("angle_deg,um\n1,0\n", "unknown column `um`"),
    ] {
        let shown = laps::read_runout(&source(text))
            .expect_err(text)
            .to_string();
        assert!(shown.contains(said), "{text}: {shown}");
    }
    let pitch = laps::read_pitches(&source("spoke,pitch_hz\n2,398\n1,402.5\n"), 32);
    assert_eq!(
        pitch.expect("read"),
        [(SpokeIndex(1), 398.0), (SpokeIndex(0), 402.5)]
    );
    let silent = laps::read_pitches(&source("spoke,pitch_hz\n2,0\n"), 32);
    assert!(
        silent
            .expect_err("refused")
            .to_string()
            .contains("Leave the row out")
    );
}

#[test]
fn a_gauge_says_what_it_resolves_and_how_it_repeats() {
    let text = "format = 1\nlabel = \"G2\"\nsupport_span_mm = 120.0\nspring_n_per_mm = 4.5\n\
                resolution = 0.5\nrepeatability = 0.25\nrises_with_tension = true\n";
    let gauge = gauge_file::read(&source(text)).expect("read");
    assert_eq!(gauge.label, "G2");
    assert_eq!(gauge.support_span, Some(Length::mm(120.0)));
    assert_eq!(
        gauge.spring.map(quantity::Stiffness::to_n_per_mm),
        Some(4.5)
    );
    assert_eq!((gauge.resolution, gauge.repeatability), (0.5, 0.25));
    assert_eq!(gauge.rises_with_tension, Some(true));
    assert_eq!(
        gauge_file::read(&source(&gauge_file::write(&gauge))),
        Ok(gauge)
    );
}

#[test]
fn a_gauge_without_its_scatter_is_refused_with_the_way_to_find_it() {
    let refused = |lines: &str| {
        let text = format!("format = 1\nlabel = \"G2\"\n{lines}\n");
        gauge_file::read(&source(&text))
            .expect_err("refused")
            .to_string()
    };
    for (lines, said) in [
        ("resolution = 0.5", "`repeatability` is missing in a gauge"),
        ("resolution = 0.5", "Take ten readings of one spoke"),
        (
            "repeatability = 0.25",
            "Write the smallest step the gauge shows",
        ),
        (
            "resolution = -0.5\nrepeatability = 0.25",
            "`resolution` must be at least 0",
        ),
        (
            "resolution = nan\nrepeatability = 0.25",
            "`resolution` is not a finite number",
        ),
        (
            "resolution = 0\nrepeatability = 0",
            "no gauge reads exactly",
        ),
        (
            "resolution = 0.5\nrepeatability_kgf = 1",
            "`repeatability` has no unit",
        ),
        (
            "resolution = 0,5\nrepeatability = 0.25",
            "Numbers take a point: `0.5`.",
        ),
        (
            "resolution = 0.5\nrepeatability = 0.2\nsupport_span_m = 0.12",
            "Give it as `support_span_mm`",
        ),
    ] {
        let shown = refused(lines);
        assert!(shown.contains(said), "{lines}: {shown}");
    }
}

/// A force as a person writes it, in any of the three units.
fn force() -> impl Strategy<Value = Force> {
    (0.0..400.0_f64, 0..3_u8).prop_map(|(value, unit)| match unit {
        0 => Force::kgf((value * 10.0).round() / 10.0),
        1 => Force::n(value),
        _ => Force::lbf(value),
    })
}

prop_compose! {
    fn rig_point()(
        reading in 0.0..1e4_f64,
        force in force(),
        loading in proptest::option::of(prop_oneof![Just(Loading::Up), Just(Loading::Down)]),
        u_reading in proptest::option::of(prop_oneof![0.0..9.0_f64, Just(0.0), Just(8.0)]),
        u_force in proptest::option::of(prop_oneof![force(), Just(Force::kgf(8.0))]),
    ) -> RigPoint {
        RigPoint { reading, force, loading, u_reading, u_force }
    }
}

proptest! {
    #[test]
    fn points_written_and_read_are_the_same(rows in proptest::collection::vec(rig_point(), 1..20)) {
        prop_assert_eq!(read(&points::write(&rows)), rows);
    }

    #[test]
    fn laps_written_and_read_are_the_same(
        order in Just((0..32).collect::<Vec<usize>>()).prop_shuffle(),
        divisions in proptest::collection::vec(0.0..1e3_f64, 1..32),
        runout in proptest::collection::vec((0.0..=360.0_f64, -9.0..9.0_f64), 1..40),
    ) {
        let spokes = order.iter().map(|&place| SpokeIndex(place)).zip(divisions);
        let pitches: Vec<_> = spokes.clone().map(|(spoke, value)| (spoke, value + 1.0)).collect();
        let readings: Vec<_> =
            spokes.map(|(spoke, divisions)| Reading { spoke, divisions }).collect();
        let read = lap(&laps::write_readings(&readings)).expect("read");
        prop_assert_eq!(read.readings, readings);
        let read = laps::read_pitches(&source(&laps::write_pitches(&pitches)), 32);
        prop_assert_eq!(read.expect("read"), pitches);
        let points: Vec<_> = runout
            .into_iter()
            .map(|(deg, mm)| RunoutPoint { at: Angle::deg(deg), displacement: Length::mm(mm) })
            .collect();
        let read = laps::read_runout(&source(&laps::write_runout(&points)));
        prop_assert_eq!(read.expect("read"), points);
    }

    /// Arbitrary bytes, and rows made of what rows are made of: no panic, and what is read reads back.
    #[test]
    fn no_bytes_make_a_reader_panic_or_a_value_that_does_not_read_back(
        noise in proptest::collection::vec(any::<u8>(), 0..200),
        header in "(\u{FEFF}|\r|\n|#x\n)?(reading[,;\t]force_(kgf|n)([,;]u_reading)?|spoke,reading|angle_deg;mm)",
        rows in "[0-9,;.\t\"\r\n#e+\u{FEFF} ü-]{0,60}",
    ) {
        for bytes in [noise, format!("{header}\n{rows}").into_bytes()] {
            let Ok(source) = Source::from_bytes("noise", &bytes) else { continue };
            if let Ok(points) = points::read(&source) {
                prop_assert_eq!(read(&points::write(&points)), points);
            }
            if let Ok(lap) = laps::read_readings(&source, 9) {
                let again = Source::from_bytes("again", laps::write_readings(&lap.readings).as_bytes());
                let again = laps::read_readings(&again.expect("text"), 9);
                prop_assert_eq!(again.expect("read").readings, lap.readings);
            }
            if let Ok(points) = laps::read_runout(&source) {
                let again = Source::from_bytes("again", laps::write_runout(&points).as_bytes());
                prop_assert_eq!(laps::read_runout(&again.expect("text")).expect("read"), points);
            }
            let _ = (laps::read_pitches(&source, 9), gauge_file::read(&source));
        }
    }
}
