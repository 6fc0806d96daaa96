use super::{Range, Read, Table, positive, read};
use crate::Source;
use proptest::prelude::*;

fn source(text: &str) -> Source {
    Source::from_bytes("part.toml", text.as_bytes()).expect("text")
}

/// Reads one `[part]` with a few keys of every kind.
fn part(text: &str) -> Result<(f64, Option<f64>), crate::Error> {
    read(&source(text), 1, |root| {
        let part = root.table("part")?;
        let wire = part.length_mm("wire_mm", positive(10.0));
        let tension = part.force("tension", Range::within(0.0, 1e4));
        let mass = part.optional_mass_g("mass_g", positive(1e5));
        let _: Read<Option<String>> = part.optional_text("material");
        let _ = part
            .optional("blade_mm")
            .map(|value| value.array::<2>(Range::ANY, "thin, wide"));
        part.close();
        root.close();
        let _ = tension?;
        Ok((wire?.to_mm(), mass?.map(quantity::Mass::to_g)))
    })
}

fn refused(lines: &str) -> String {
    part(&format!("format = 1\n[part]\n{lines}"))
        .expect_err("refused")
        .to_string()
}

const GOOD: &str = "wire_mm = 2.0\ntension_n = 1000\n";

#[test]
fn a_good_file_is_read() {
    let text = format!("format = 1\n[part]\n{GOOD}");
    assert_eq!(part(&text).expect("read"), (2.0, None));
    assert_eq!(
        part(&text.replace('\n', "\r\n")).expect("read"),
        (2.0, None)
    );
}

#[test]
fn a_mistyped_key_is_one_trouble_and_names_the_key_that_was_meant() {
    assert_eq!(
        refused("wire_mn = 2.0\ntension_n = 1000"),
        "part.toml:3:1: unknown key `wire_mn` in [part]\n    \
         wire_mn = 2.0\n    \
         ^^^^^^^\n    \
         Did you mean `wire_mm`?"
    );
}

#[test]
fn a_key_like_no_other_gets_the_list_of_known_keys() {
    let shown = refused(&format!("{GOOD}zzz = 1"));
    assert!(shown.contains("unknown key `zzz` in [part]"), "{shown}");
    assert!(
        shown.contains("Known here: `blade_mm`, `mass_g`, `material`, "),
        "{shown}"
    );
}

#[test]
fn a_force_in_kg_is_refused_with_the_question_which_is_meant() {
    assert_eq!(
        refused("wire_mm = 2.0\ntension_kg = 100"),
        "part.toml:4:1: `tension_kg` gives a force in kg, but kg is a mass\n    \
         tension_kg = 100\n    \
         ^^^^^^^^^^\n    \
         kgf or N? Write `tension_kgf` or `tension_n`, whichever the number is."
    );
}

#[test]
fn a_key_in_another_unit_or_without_one_is_told_its_unit() {
    let shown = refused("wire_cm = 0.2\ntension = 1000");
    assert!(shown.contains("`wire_cm` is given in cm"), "{shown}");
    assert!(
        shown.contains("Give it as `wire_mm`, converting the number."),
        "{shown}"
    );
    assert!(shown.contains("`tension` does not say its unit"), "{shown}");
    assert!(
        shown.contains("Give it as `tension_n` or `tension_kgf` or `tension_lbf`."),
        "{shown}"
    );
}

#[test]
fn what_is_missing_is_said_at_the_header() {
    assert_eq!(
        refused("tension_n = 1000"),
        "part.toml:2:1: `wire_mm` is missing in [part]\n    [part]\n    ^^^^^^\n    Add the line."
    );
    assert!(
        refused("wire_mm = 2").contains("`tension_n` or `tension_kgf` or `tension_lbf` is missing")
    );
}

#[test]
fn several_troubles_are_reported_at_once() {
    let shown = refused("wire_mm = -2.0\ntension_n = \"much\"\nmass_g = nan\nblade_mm = [1.0]");
    for said in [
        "part.toml:3:11: `wire_mm` must be more than 0 and at most 10",
        "part.toml:4:13: `tension_n` is text",
        "part.toml:5:10: `mass_g` is not a finite number",
        "part.toml:6:12: `blade_mm` has 1 numbers where 2 are wanted",
    ] {
        assert!(shown.contains(said), "{shown}");
    }
}

#[test]
fn infinite_and_immense_numbers_are_refused() {
    for number in ["inf", "-inf", "+nan", "1e999"] {
        let shown = refused(&format!("{GOOD}mass_g = {number}"));
        assert!(
            shown.contains("`mass_g` is not a finite number"),
            "{number}: {shown}"
        );
    }
}

#[test]
fn a_decimal_comma_is_recognised_wherever_it_hides() {
    let shown = refused("wire_mm = 2,0\ntension_n = 1000");
    assert_eq!(
        shown,
        "part.toml:3:11: a decimal comma in `2,0`\n    \
         wire_mm = 2,0\n              \
         ^^^\n    \
         Numbers take a point: `2.0`."
    );
    assert!(refused("wire_mm = \"2,0\"\ntension_n = 9").contains("text with a decimal comma"));
    let shown = refused(&format!("{GOOD}blade_mm = [0,9, 2,2]"));
    assert!(
        shown.contains("`0,9` may be two numbers or one with a decimal comma"),
        "{shown}"
    );
    let shown = refused(&format!("{GOOD}blade_mm = [0,9,2,2]"));
    assert!(
        shown.contains("A decimal comma? Numbers take a point."),
        "{shown}"
    );
}

#[test]
fn broken_syntax_is_explained() {
    let cases = [
        (
            "wire_mm = 2.0 mm",
            "A number stands alone, its unit is part of the key: `2.0`.",
        ),
        (
            "material = steel",
            "Text stands in quotation marks: `\"steel\"`.",
        ),
        (
            "wire_mm = 2\nwire_mm = 3",
            "`wire_mm` stands here a second time",
        ),
        ("material = \"steel", "Here should come `\"`."),
    ];
    for (line, said) in cases {
        let shown = refused(line);
        assert!(shown.contains(said), "{line}: {shown}");
    }
}

#[test]
fn the_wrong_file_is_told_in_a_screenful() {
    let unknown: String = (0..10_000)
        .map(|line| format!("zzz{line} = {line}\n"))
        .collect();
    let endless = format!("material = {}", "x".repeat(10_000));
    for lines in [format!("{GOOD}{unknown}"), "]\n".repeat(10_000), endless] {
        let shown = refused(&lines);
        assert!(shown.lines().count() <= 62 && shown.len() < 6000, "{shown}");
    }
}

#[test]
fn a_missing_or_newer_format_is_refused() {
    let shown = part("[part]\nwire_mm = 2\n")
        .expect_err("refused")
        .to_string();
    assert!(
        shown.starts_with("part.toml:1:1: `format` is missing in the file"),
        "{shown}"
    );
    let shown = part("format = 2\n").expect_err("refused").to_string();
    assert!(
        shown.contains("this file is of format 2, newer than the format 1 read here"),
        "{shown}"
    );
}

#[test]
fn a_block_written_once_where_several_may_stand_is_told_so() {
    let shown = read(&source("format = 1\n[lap]\na = 1\n"), 1, |root| {
        root.tables("lap").map(drop)
    })
    .expect_err("refused")
    .to_string();
    assert!(shown.contains("Write `[[lap]]` above each."), "{shown}");
}

#[test]
fn dates_and_instants_are_read_without_quotation_marks() {
    let text = "format = 1\nnoted = 2026-03-01\ntaken = 2026-03-04T10:20:00+01:00\n";
    let (noted, (taken, offset)) = read(&source(text), 1, |root| {
        let noted = root.required("noted")?.date();
        let taken = root.required("taken")?.instant();
        root.close();
        Ok((noted?, taken?))
    })
    .expect("read");
    assert_eq!(noted.to_string(), "2026-03-01");
    assert_eq!(taken.to_string(), "2026-03-04T09:20:00Z");
    assert_eq!(offset.seconds(), 3600);
}

/// Asks every question of every key, whatever is there.
fn ask_everything(table: &Table<'_>) {
    for value in table.entries() {
        let _ = (
            value.text(),
            value.number(positive(10.0)),
            value.count(1, 9),
            value.flag(),
        );
        let _ = (value.date(), value.instant(), value.numbers(Range::ANY));
        let _ = value.array::<3>(Range::ANY, "x, y, z");
        if let Ok(inner) = value.table() {
            ask_everything(&inner);
            inner.close();
        }
    }
}

proptest! {
    /// Arbitrary text, and text made of the pieces that TOML is made of.
    #[test]
    fn no_text_makes_the_reader_panic(
        noise in "\\PC*",
        pieces in proptest::collection::vec("[\\[\\]{}=,.\"'#\n\r\ta-f0-9é輪-]{1,4}|format = 1\n|inf|nan|2,5", 0..40),
    ) {
        for text in [noise, pieces.concat(), format!("format = 1\n{}", pieces.concat())] {
            let Ok(source) = Source::from_bytes("noise", text.as_bytes()) else { continue };
            let read = read(&source, 1, |root| { ask_everything(root); root.close(); Ok(()) });
            if let Err(error) = read {
                prop_assert!(!error.troubles().is_empty());
                prop_assert!(error.to_string().starts_with("noise:"));
            }
        }
    }
}
