//! Reviewed pictures: each was opened and looked at, in light, in dark and in grey.

#[allow(clippy::unwrap_used, clippy::cast_precision_loss)]
mod sample;

use report::Figure;

fn drawn(figure: Figure) -> String {
    let drawing = report::svg::draw(&figure, "figure")
        .expect("finite numbers")
        .into_string();
    drawing.replace("><", ">\n<")
}

#[test]
fn every_shape_on_one_strip() {
    insta::assert_snapshot!(drawn(Figure::UnrolledRim(sample::every_shape())));
}

#[test]
fn bare_against_tyred() {
    insta::assert_snapshot!(drawn(Figure::UnrolledRim(sample::pair())));
}

#[test]
fn few_spokes() {
    insta::assert_snapshot!(drawn(Figure::UnrolledRim(sample::strip(12))));
}

#[test]
fn many_spokes_on_a_cut_axis() {
    let mut rim = sample::strip(72);
    rim.begins_at = Some(50.0);
    insta::assert_snapshot!(drawn(Figure::UnrolledRim(rim)));
}

/// The worst wheel to letter: eighteen words on one side.
#[test]
fn one_side_all_over() {
    let mut rim = sample::strip(36);
    rim.limits[0].value = 100.0;
    rim.limits[0].words = "over the hub maker’s 100 kgf, bare".into();
    for spoke in rim.spokes.iter_mut().step_by(2) {
        let report::figure::Level::Read(interval) = spoke.level else {
            continue;
        };
        (spoke.mark, spoke.word) = (report::Mark::Over, format!("{:.0} over", interval.value));
    }
    insta::assert_snapshot!(drawn(Figure::UnrolledRim(rim)));
}

#[test]
fn calibration_curve() {
    insta::assert_snapshot!(drawn(Figure::CalibrationCurve(sample::curve())));
}

#[test]
fn runout_over_one_turn() {
    insta::assert_snapshot!(drawn(Figure::Runout(sample::runout())));
}

/// A rear wheel: crossed three times, heads in and out in turn; its left side radial.
#[test]
fn lacing_of_both_sides() {
    insta::assert_snapshot!(drawn(Figure::Lacing(sample::lacing())));
}

/// One spoke well inside the line, one beyond it.
#[test]
fn swings_against_a_published_line() {
    insta::assert_snapshot!(drawn(Figure::Endurance(sample::endurance())));
}

/// What a screen reader says of a drawing.
fn told(figure: Figure) -> String {
    let file = report::svg::file(&figure).expect("finite numbers");
    let tree = roxmltree::Document::parse(&file).expect("well-formed");
    let desc = tree
        .descendants()
        .find(|node| node.tag_name().name() == "desc");
    desc.and_then(|desc| desc.text())
        .unwrap_or_default()
        .to_owned()
}

#[test]
fn the_text_alternative_says_the_numbers_that_matter() {
    let strip = told(Figure::UnrolledRim(sample::every_shape()));
    for words in [
        "spoke 5: 131 over",
        "spoke 7: cannot tell",
        "spoke 13: not read",
        "spoke 16: more than 133",
        "bladed, mean 108 ± 2",
        "over the rim maker’s 128 kgf, bare",
        "Lateral runout: 0.31 mm",
    ] {
        assert!(strip.contains(words), "“{words}” is missing from: {strip}");
    }
    let curve = told(Figure::CalibrationCurve(sample::curve()));
    assert!(
        curve.contains("12 rig points") && curve.contains("12.0 to 24.5 divisions"),
        "{curve}"
    );
    let runout = told(Figure::Runout(sample::runout()));
    assert!(
        runout.contains("0.31 mm") && runout.contains("−0.16"),
        "{runout}"
    );
}

/// The fonts are left out of the snapshot; `page.rs` proves them by their fingerprint.
#[test]
fn whole_document() {
    let file = report::html::write(&sample::document()).expect("finite numbers");
    let mut shown = String::new();
    for (index, part) in file.split("base64,").enumerate() {
        let rest = if index == 0 {
            part
        } else {
            part.split_once(')').expect("a url ends").1
        };
        shown.push_str(rest);
    }
    insta::assert_snapshot!(shown.replace("><", ">\n<"));
}
