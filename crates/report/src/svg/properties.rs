//! Laws of every drawing, whatever the numbers and words.

use super::lettering::Lettering;
use super::place::{Anchor, Area, Spot};
use crate::figure::{
    Beyond, CalibrationCurve, CurvePoint, Endurance, Figure, Interval, LacedSpoke, Lacing, Level,
    Loading, Mark, PairNames, Range, Reach, RigPoint, RimPoint, Runout, RunoutKind, RunoutTrace,
    SeatPlace, Series, StressSwing, StripLimit, StripMean, StripRunout, StripSpoke, UnrolledRim,
};
use proptest::prelude::*;
use proptest::sample::select;
use wheel::{Head, Side, SpokeIndex};

fn interval(number: impl Strategy<Value = f64> + Clone) -> impl Strategy<Value = Interval> {
    (number.clone(), number.clone(), number).prop_map(|(value, low, high)| Interval {
        value,
        low,
        high,
    })
}

fn level(number: impl Strategy<Value = f64> + Clone) -> impl Strategy<Value = Level> {
    prop_oneof![
        1 => Just(Level::NotRead),
        1 => Just(Level::NotYet),
        8 => interval(number.clone()).prop_map(Level::Read),
        1 => number.clone().prop_map(Level::MoreThan),
        1 => number.prop_map(Level::LessThan),
    ]
}

fn side() -> impl Strategy<Value = Side> + Clone {
    select(&Side::BOTH[..])
}

fn rim_points(number: impl Strategy<Value = f64> + Clone) -> impl Strategy<Value = Vec<RimPoint>> {
    let point = (number.clone(), number).prop_map(|(angle_deg, mm)| RimPoint { angle_deg, mm });
    prop::collection::vec(point, 0..12)
}

fn spokes(
    number: impl Strategy<Value = f64> + Clone,
    words: impl Strategy<Value = String> + Clone,
) -> impl Strategy<Value = Vec<StripSpoke>> {
    let marks = select(vec![
        Mark::Taken,
        Mark::Over,
        Mark::TakeAgain,
        Mark::CannotTell,
    ]);
    let spoke = (
        side(),
        number.clone(),
        level(number.clone()),
        prop::option::of(level(number)),
        marks,
        words,
    );
    prop::collection::vec(spoke, 0..72).prop_map(|spokes| {
        let spokes = spokes.into_iter().enumerate();
        let spoke = |(index, (side, angle_deg, level, second, mark, word))| StripSpoke {
            spoke: SpokeIndex(index),
            side,
            angle_deg,
            level,
            second,
            mark,
            word,
        };
        spokes.map(spoke).collect()
    })
}

fn strip(
    number: impl Strategy<Value = f64> + Clone,
    words: impl Strategy<Value = String> + Clone,
) -> impl Strategy<Value = Figure> {
    let series = select(vec![Series::First, Series::Second]);
    let mean =
        (side(), series, number.clone(), words.clone()).prop_map(|(side, series, value, words)| {
            StripMean {
                side,
                series,
                value,
                words,
            }
        });
    let reach = prop_oneof![Just(Reach::Both), side().prop_map(Reach::Only)];
    let limit = (
        reach,
        number.clone(),
        select(vec![Beyond::Above, Beyond::Below]),
        words.clone(),
    )
        .prop_map(|(reach, value, beyond, words)| StripLimit {
            reach,
            value,
            beyond,
            words,
        });
    let kind = select(vec![RunoutKind::Lateral, RunoutKind::Radial]);
    let runout =
        (kind, rim_points(number.clone()), words.clone()).prop_map(|(kind, points, words)| {
            StripRunout {
                kind,
                points,
                words,
            }
        });
    let pair =
        (words.clone(), words.clone()).prop_map(|(first, second)| PairNames { first, second });
    (
        (words.clone(), words.clone(), words.clone(), words.clone()),
        prop::option::of(number.clone()),
        spokes(number, words),
        prop::option::of(pair),
        prop::collection::vec(mean, 0..5),
        prop::collection::vec(limit, 0..4),
        prop::collection::vec(runout, 0..3),
    )
        .prop_map(
            |(
                (title, caption, quantity, unit),
                begins_at,
                spokes,
                pair,
                means,
                limits,
                runouts,
            )| {
                Figure::UnrolledRim(UnrolledRim {
                    title,
                    caption,
                    quantity,
                    unit,
                    begins_at,
                    spokes,
                    pair,
                    means,
                    limits,
                    runouts,
                })
            },
        )
}

fn curve(
    number: impl Strategy<Value = f64> + Clone,
    words: impl Strategy<Value = String> + Clone,
) -> impl Strategy<Value = Figure> {
    let on_curve = (number.clone(), interval(number.clone()))
        .prop_map(|(reading, force)| CurvePoint { reading, force });
    let loading = select(vec![Loading::NotNoted, Loading::Up, Loading::Down]);
    let point = (interval(number.clone()), interval(number.clone()), loading).prop_map(
        |(reading, force, loading)| RigPoint {
            reading,
            force,
            loading,
        },
    );
    let range = (number.clone(), number).prop_map(|(from, to)| Range { from, to });
    (
        prop::array::uniform6(words),
        prop::collection::vec(on_curve, 0..20),
        prop::collection::vec(point, 0..15),
        range.clone(),
        prop::option::of(range),
    )
        .prop_map(
            |(
                [
                    title,
                    caption,
                    reading_unit,
                    force_unit,
                    fence_words,
                    used_words,
                ],
                band,
                points,
                fence,
                used,
            )| {
                Figure::CalibrationCurve(CalibrationCurve {
                    title,
                    caption,
                    reading_unit,
                    force_unit,
                    band,
                    points,
                    fence,
                    fence_words,
                    used,
                    used_words,
                })
            },
        )
}

fn runout(
    number: impl Strategy<Value = f64> + Clone,
    words: impl Strategy<Value = String> + Clone,
) -> impl Strategy<Value = Figure> {
    let kind = select(vec![RunoutKind::Lateral, RunoutKind::Radial]);
    let trace = (
        kind,
        rim_points(number.clone()),
        prop::array::uniform4(words.clone()),
    )
        .prop_map(
            |(kind, points, [face, highest_words, lowest_words, full_words])| RunoutTrace {
                kind,
                face,
                points,
                highest_words,
                lowest_words,
                full_words,
            },
        );
    let seat = (0..72_usize, side(), number).prop_map(|(index, side, angle_deg)| SeatPlace {
        spoke: SpokeIndex(index),
        side,
        angle_deg,
    });
    (
        words.clone(),
        words,
        prop::collection::vec(trace, 0..5),
        prop::collection::vec(seat, 0..40),
    )
        .prop_map(|(title, caption, traces, seats)| {
            Figure::Runout(Runout {
                title,
                caption,
                traces,
                seats,
            })
        })
}

fn lacing(
    number: impl Strategy<Value = f64> + Clone,
    words: impl Strategy<Value = String> + Clone,
) -> impl Strategy<Value = Figure> {
    let head = select(vec![Head::In, Head::Out, Head::Straight]);
    let spoke = (0..72_usize, side(), number.clone(), number, head).prop_map(
        |(index, side, seat_deg, hole_deg, head)| LacedSpoke {
            spoke: SpokeIndex(index),
            side,
            seat_deg,
            hole_deg,
            head,
        },
    );
    let spokes = prop::collection::vec(spoke, 0..72);
    let key = prop::option::of((0..72_usize).prop_map(SpokeIndex));
    (words.clone(), words, spokes, key).prop_map(|(title, caption, spokes, key)| {
        Figure::Lacing(Lacing {
            title,
            caption,
            spokes,
            key,
        })
    })
}

fn endurance(
    number: impl Strategy<Value = f64> + Clone,
    words: impl Strategy<Value = String> + Clone,
) -> impl Strategy<Value = Figure> {
    let swing = (words.clone(), number.clone(), number.clone(), any::<bool>()).prop_map(
        |(words, mean, amplitude, beyond)| StressSwing {
            words,
            mean,
            amplitude,
            beyond,
        },
    );
    let swings = prop::collection::vec(swing, 0..4);
    let texts = (words.clone(), words);
    (texts, number.clone(), number, swings).prop_map(
        |((title, caption), amplitude, strength, swings)| {
            Figure::Endurance(Endurance {
                title,
                caption,
                unit: "MPa".into(),
                amplitude,
                strength,
                swings,
            })
        },
    )
}

fn figure(
    number: impl Strategy<Value = f64> + Clone + 'static,
    words: impl Strategy<Value = String> + Clone + 'static,
) -> impl Strategy<Value = Figure> {
    prop_oneof![
        strip(number.clone(), words.clone()),
        curve(number.clone(), words.clone()),
        runout(number.clone(), words.clone()),
        lacing(number.clone(), words.clone()),
        endurance(number, words)
    ]
}

fn any_finite() -> impl Strategy<Value = f64> + Clone {
    any::<f64>().prop_filter("finite", |number| number.is_finite())
}

/// The boxes of all words, by the widths that the layout itself trusts.
fn boxes(drawing: &roxmltree::Document) -> Vec<(String, Area)> {
    let texts = drawing
        .descendants()
        .filter(|node| node.has_tag_name(("http://www.w3.org/2000/svg", "text")));
    texts
        .map(|node| {
            let place = |name| {
                node.attribute(name)
                    .and_then(|x| x.parse::<f64>().ok())
                    .expect("a place")
            };
            let lettering = match node
                .attribute("class")
                .and_then(|class| class.split(' ').next())
            {
                Some("plain") => Lettering::PLAIN,
                Some("bold") => Lettering::BOLD,
                Some("small") => Lettering::SMALL,
                class => panic!("unknown lettering {class:?}"),
            };
            let anchor = match node.attribute("text-anchor") {
                Some("start") => Anchor::Start,
                Some("middle") => Anchor::Middle,
                Some("end") => Anchor::End,
                anchor => panic!("unknown anchor {anchor:?}"),
            };
            let words = node.text().unwrap_or_default().to_owned();
            let spot = match node.attribute("transform") {
                None => Spot::new(place("x"), place("y"), anchor),
                Some(_) => Spot::upward(place("x"), place("y"), anchor),
            };
            let area = spot.area(lettering, &words);
            (words, area)
        })
        .collect()
}

fn drawn(figure: &Figure) -> String {
    super::draw(figure, "f")
        .expect("finite numbers")
        .into_string()
}

fn sheet_of(drawing: &roxmltree::Document) -> Area {
    let view = drawing
        .root_element()
        .attribute("viewBox")
        .expect("a view box");
    let ends: Vec<f64> = view
        .split(' ')
        .map(|end| end.parse().expect("a number"))
        .collect();
    Area {
        left: ends[0],
        top: ends[1],
        right: ends[2],
        bottom: ends[3],
    }
}

/// Rounding of places to a tenth of a pixel.
const SLACK: f64 = 0.2;

fn assert_inside(drawing: &roxmltree::Document) {
    let sheet = sheet_of(drawing);
    for (words, area) in boxes(drawing) {
        assert!(
            sheet.left - SLACK <= area.left
                && area.right <= sheet.right + SLACK
                && sheet.top - SLACK <= area.top
                && area.bottom <= sheet.bottom + SLACK,
            "“{words}” at {area:?} leaves {sheet:?}"
        );
    }
}

/// Every place in a drawing is a number and lies near the sheet.
fn assert_numbers(drawing: &roxmltree::Document) {
    for node in drawing.descendants() {
        for name in [
            "x", "y", "x1", "x2", "y1", "y2", "cx", "cy", "r", "width", "height", "d",
        ] {
            let Some(value) = node.attribute(name) else {
                continue;
            };
            let numbers = value.split(|letter: char| letter.is_ascii_alphabetic() || letter == ' ');
            for number in numbers.filter(|number| !number.is_empty()) {
                let number: f64 = number
                    .parse()
                    .unwrap_or_else(|_| panic!("{name}=“{value}”"));
                assert!(number.abs() < 5000.0, "{name}=“{value}”");
            }
            assert!(
                !value.contains("NaN") && !value.contains("inf"),
                "{name}=“{value}”"
            );
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, ..ProptestConfig::default() })]

    #[test]
    fn any_finite_figure_is_well_formed_and_keeps_its_words_on_the_sheet(figure in figure(any_finite(), prop_oneof![any::<String>(), "\\PC{0,200}"])) {
        let drawing = drawn(&figure);
        let drawing = roxmltree::Document::parse(&drawing).expect("well-formed");
        assert_numbers(&drawing);
        assert_inside(&drawing);
        let title = drawing.descendants().find(|node| node.tag_name().name() == "title").expect("a title");
        prop_assert_eq!(title.text().unwrap_or_default(), crate::words::fit(figure.title()));
    }

    #[test]
    fn words_never_overlap_on_a_usual_figure(figure in figure(0.0..300.0_f64, "[a-z]{0,9} [0-9]{1,3} ± [0-9]")) {
        let drawing = drawn(&figure);
        let drawing = roxmltree::Document::parse(&drawing).expect("well-formed");
        let boxes = boxes(&drawing);
        for (index, (words, area)) in boxes.iter().enumerate() {
            for (other_words, other) in &boxes[..index] {
                let apart = area.right <= other.left + SLACK || other.right <= area.left + SLACK
                    || area.bottom <= other.top + SLACK || other.bottom <= area.top + SLACK;
                prop_assert!(apart, "“{}” meets “{}”", words, other_words);
            }
        }
    }

    #[test]
    fn a_number_that_is_not_finite_is_refused(figure in figure(select(vec![f64::NAN, f64::INFINITY, f64::NEG_INFINITY]), "[a-z]{1,5}")) {
        let empty = matches!(&figure, Figure::UnrolledRim(rim) if rim.numbers().is_empty())
            || matches!(&figure, Figure::Runout(runout) if runout.numbers().is_empty())
            || matches!(&figure, Figure::Lacing(lacing) if lacing.numbers().is_empty());
        prop_assert_eq!(super::draw(&figure, "f").is_ok(), empty);
    }
}
