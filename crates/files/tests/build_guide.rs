//! The examples of the guide to the build sheet, as a person will copy them.

use files::{Source, hang_file, wheel_file};
use mechanics::hang_test::Way;
use quantity::{Force, Length};

const GUIDE: &str = include_str!("../../../docs/guide/build.md");
const WHEELS: &str = include_str!("../../../docs/guide/wheel-file.md");

fn source(text: &str) -> Source {
    Source::from_bytes("guide.toml", text.as_bytes()).expect("text")
}

fn examples(guide: &str) -> Vec<&str> {
    let after = guide.split("```toml\n").skip(1);
    after.filter_map(|rest| rest.split("```").next()).collect()
}

#[test]
fn the_drawn_section_and_the_hang_tests_of_the_guide_are_read() {
    let [section, hangs] = examples(GUIDE)[..] else {
        panic!("two examples");
    };
    let first = examples(WHEELS)[0];
    let (wheel, _) = wheel_file::read(&source(&format!("{first}\n{section}"))).expect("a wheel");
    assert!(wheel.rim.torsion.is_some());
    let hangs = hang_file::read(&source(hangs), &wheel).expect("hang tests");
    assert_eq!(hangs.len(), 2);
    assert_eq!((hangs[0].way, hangs[1].way), (Way::Lateral, Way::Radial));
    assert_eq!(hangs[0].force, Force::n(20.0 * 9.806_65));
    assert_eq!(hangs[1].moved, Length::mm(0.14));
    let at = wheel.spokes[0].seat_angle();
    assert_eq!(hangs[0].at, at);
}

#[test]
fn a_hang_test_without_its_place_or_pull_is_refused_with_the_way_to_mend_it() {
    let (wheel, _) = wheel_file::read(&source(examples(WHEELS)[0])).expect("a wheel");
    let hangs = examples(GUIDE)[1];
    for (from, to, said) in [
        ("at_spoke = 1 ", "# ", "where the weight hangs"),
        ("mass_kg = 20 ", "# ", "the pull is not given"),
        ("at_spoke = 1 ", "at_spoke = 99 ", "from 1 to 32"),
        ("u_mm = 0.02 ", "u_mm = 0 ", "more than 0"),
        ("mass_kg = 20 ", "force_kg = 20 ", "force_kg"),
    ] {
        assert!(hangs.contains(from), "{from}");
        let shown = hang_file::read(&source(&hangs.replacen(from, to, 1)), &wheel)
            .expect_err("no test")
            .to_string();
        assert!(shown.contains(said), "{said}: {shown}");
    }
}
