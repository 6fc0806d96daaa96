//! Plainly invented values: they show every shape a figure knows, and are no check of anything.

#![allow(dead_code, reason = "each test file uses its own part")]

use report::document::{
    Block, Document, Fact, Notice, OnPaper, Section, Signature, SignatureLine, Standing, Text,
    Verdict, Weight,
};
use report::figure::{
    Beyond, CalibrationCurve, CurvePoint, Endurance, Figure, Interval, LacedSpoke, Lacing, Level,
    Loading, Mark, PairNames, Range, Reach, RigPoint, RimPoint, Runout, RunoutKind, RunoutTrace,
    SeatPlace, Series, StressSwing, StripLimit, StripMean, StripRunout, StripSpoke, UnrolledRim,
};
use report::table::{
    BeforeAfter, BeforeAfterRow, Bound, Column, Judged, Limit, Row, Stated, Table,
};
use wheel::{Head, Side, SpokeIndex};

/// A number in [−1, 1] that looks like chance and is always the same.
fn wobble(index: usize, salt: f64) -> f64 {
    let x = (index as f64 + 1.0) * 12.9898 + salt * 78.233;
    (x.sin() * 43758.5453).fract() * 2.0 % 1.0
}

fn angle(index: usize, count: usize) -> f64 {
    (index as f64 + 0.5) * 360.0 / count as f64
}

fn runout_points(count: usize, size: f64, phase: f64) -> Vec<RimPoint> {
    (0..count)
        .map(|index| {
            let turn = angle(index, count).to_radians();
            let mm = size * ((turn + phase).sin() + 0.35 * (2.0 * turn + 1.3 * phase).cos())
                + 0.1 * size * wobble(index, phase);
            RimPoint {
                angle_deg: angle(index, count),
                mm,
            }
        })
        .collect()
}

/// A strip of `count` spokes, right and left in turn.
pub(crate) fn strip(count: usize) -> UnrolledRim {
    let spokes = (0..count)
        .map(|index| {
            let side = if index % 2 == 0 {
                Side::Right
            } else {
                Side::Left
            };
            let mean = if side == Side::Right { 113.0 } else { 71.0 };
            StripSpoke {
                spoke: SpokeIndex(index),
                side,
                angle_deg: angle(index, count),
                level: Level::Read(Interval::around(mean + 6.0 * wobble(index, 0.3), 5.0)),
                second: None,
                mark: Mark::Taken,
                word: String::new(),
            }
        })
        .collect();
    UnrolledRim {
        title: "All spokes in wheel order, bare".into(),
        caption: "Tyre off, 19 °C, gauge G2 on bladed spokes.".into(),
        quantity: "tension".into(),
        unit: "kgf".into(),
        begins_at: None,
        spokes,
        pair: None,
        means: vec![
            StripMean {
                side: Side::Right,
                series: Series::First,
                value: 113.0,
                words: "mean 113 ± 2".into(),
            },
            StripMean {
                side: Side::Left,
                series: Series::First,
                value: 71.0,
                words: "mean 71 ± 2".into(),
            },
        ],
        limits: vec![StripLimit {
            reach: Reach::Both,
            value: 125.0,
            beyond: Beyond::Above,
            words: "over the rim maker’s 125 kgf, bare".into(),
        }],
        runouts: vec![
            StripRunout {
                kind: RunoutKind::Lateral,
                points: runout_points(count, 0.12, 0.4),
                words: "0.31 mm".into(),
            },
            StripRunout {
                kind: RunoutKind::Radial,
                points: runout_points(count, 0.08, 2.2),
                words: "0.22 mm".into(),
            },
        ],
    }
}

/// Twice as many spokes on the right, two kinds there, unequal gaps, and one of every shape.
pub(crate) fn every_shape() -> UnrolledRim {
    let mut rim = strip(24);
    for (index, spoke) in rim.spokes.iter_mut().enumerate() {
        let left = index % 3 == 2;
        spoke.side = if left { Side::Left } else { Side::Right };
        let kind = if index % 3 == 0 { 108.0 } else { 117.0 };
        let mean = if left { 114.0 } else { kind };
        spoke.level = Level::Read(Interval::around(mean + 4.0 * wobble(index, 1.0), 4.5));
        spoke.angle_deg = (index / 3) as f64 * 45.0 + [9.0, 18.0, 32.0][index % 3];
    }
    let mut change = |number: usize, level: Level, mark: Mark, word: &str| {
        let spoke = &mut rim.spokes[number - 1];
        (spoke.level, spoke.mark, spoke.word) = (level, mark, word.to_owned());
    };
    change(
        5,
        Level::Read(Interval::around(131.0, 4.5)),
        Mark::Over,
        "131 over",
    );
    change(
        7,
        Level::Read(Interval::around(129.0, 4.5)),
        Mark::CannotTell,
        "",
    );
    change(
        8,
        Level::Read(Interval::around(130.0, 4.5)),
        Mark::Over,
        "130 over",
    );
    change(
        12,
        Level::Read(Interval::around(84.0, 4.5)),
        Mark::TakeAgain,
        "take again?",
    );
    change(13, Level::NotRead, Mark::Taken, "");
    change(16, Level::MoreThan(133.0), Mark::Over, "more than 133");
    change(
        18,
        Level::MoreThan(133.0),
        Mark::CannotTell,
        "more than 133",
    );
    change(20, Level::LessThan(70.0), Mark::TakeAgain, "less than 70");
    rim.title = "Every shape on one strip".into();
    rim.means = vec![
        StripMean {
            side: Side::Right,
            series: Series::First,
            value: 108.0,
            words: "bladed, mean 108 ± 2".into(),
        },
        StripMean {
            side: Side::Right,
            series: Series::First,
            value: 117.0,
            words: "round 2.0 mm, mean 117 ± 3".into(),
        },
        StripMean {
            side: Side::Left,
            series: Series::First,
            value: 114.0,
            words: "bladed, mean 114 ± 2".into(),
        },
    ];
    rim.limits = vec![
        StripLimit {
            reach: Reach::Only(Side::Right),
            value: 128.0,
            beyond: Beyond::Above,
            words: "over the rim maker’s 128 kgf, bare".into(),
        },
        StripLimit {
            reach: Reach::Only(Side::Left),
            value: 130.0,
            beyond: Beyond::Above,
            words: "over the nipple maker’s 130 kgf".into(),
        },
    ];
    rim.runouts.truncate(1);
    rim
}

/// Bare against tyred.
pub(crate) fn pair() -> UnrolledRim {
    let mut rim = strip(36);
    for (index, spoke) in rim.spokes.iter_mut().enumerate() {
        let loss = if spoke.side == Side::Right {
            0.89
        } else {
            0.88
        };
        let Level::Read(bare) = spoke.level else {
            continue;
        };
        let tyred = bare.value * loss + 1.5 * wobble(index, 7.0);
        spoke.second = Some(Level::Read(Interval::around(tyred, 5.0)));
    }
    rim.title = "Bare against tyred".into();
    rim.caption = "The same gauge and hand; tyre 30 mm at 5.0 bar.".into();
    rim.pair = Some(PairNames {
        first: "bare".into(),
        second: "tyred, 5.0 bar".into(),
    });
    rim.means.extend([
        StripMean {
            side: Side::Right,
            series: Series::Second,
            value: 100.6,
            words: "tyred 101 ± 2".into(),
        },
        StripMean {
            side: Side::Left,
            series: Series::Second,
            value: 62.5,
            words: "tyred 62 ± 2".into(),
        },
    ]);
    rim.runouts.clear();
    rim
}

pub(crate) fn curve() -> CalibrationCurve {
    let force = |reading: f64| 20.0 + 0.19 * reading * reading;
    CalibrationCurve {
        title: "What a reading of G2 means on bladed spokes".into(),
        caption: "Twelve rig points of 3 March, spoke batch 7; curve: gauge physics.".into(),
        reading_unit: "divisions".into(),
        force_unit: "kgf".into(),
        band: (0..=40)
            .map(|step| {
                let reading = 11.0 + 0.4 * f64::from(step);
                let middle = (reading - 19.0).abs();
                CurvePoint {
                    reading,
                    force: Interval::around(force(reading), 2.0 + 0.08 * middle * middle),
                }
            })
            .collect(),
        points: (0..12)
            .map(|index| {
                let reading = 12.0 + 2.5 * (index % 6) as f64;
                let loading = if index < 6 {
                    Loading::Up
                } else {
                    Loading::Down
                };
                RigPoint {
                    reading: Interval::around(reading, 0.3),
                    force: Interval::around(force(reading) + 4.0 * wobble(index, 4.0), 5.0),
                    loading,
                }
            })
            .collect(),
        fence: Range {
            from: 12.0,
            to: 24.5,
        },
        fence_words: "points from 12.0 to 24.5 divisions".into(),
        used: Some(Range {
            from: 16.5,
            to: 22.5,
        }),
        used_words: "readings of this visit, 16.5 to 22.5".into(),
    }
}

pub(crate) fn runout() -> Runout {
    let trace = |kind, face: &str, size, phase, words: [&str; 3]| RunoutTrace {
        kind,
        face: face.into(),
        points: runout_points(36, size, phase),
        highest_words: words[0].into(),
        lowest_words: words[1].into(),
        full_words: words[2].into(),
    };
    Runout {
        title: "True and round over one turn".into(),
        caption: "Dial 0.01 mm; bearing play checked first: none felt.".into(),
        traces: vec![
            trace(
                RunoutKind::Lateral,
                "right face",
                0.12,
                0.4,
                ["+0.15", "−0.16", "0.31 mm from end to end"],
            ),
            trace(
                RunoutKind::Lateral,
                "left face",
                0.10,
                0.6,
                ["+0.13", "−0.13", "0.26 mm from end to end"],
            ),
            trace(
                RunoutKind::Radial,
                "bead seat",
                0.08,
                2.2,
                ["+0.11", "−0.11", "0.22 mm from end to end"],
            ),
        ],
        seats: (0..36)
            .map(|index| SeatPlace {
                spoke: SpokeIndex(index),
                side: if index % 2 == 0 {
                    Side::Right
                } else {
                    Side::Left
                },
                angle_deg: angle(index, 36),
            })
            .collect(),
    }
}

fn stated(value: f64, half: f64, words: &str) -> Option<Stated> {
    Some(Stated {
        interval: Interval::around(value, half),
        words: words.into(),
    })
}

pub(crate) fn before_after() -> BeforeAfter {
    let limit = |value: f64, words: &str, source: &str| Limit {
        value,
        words: Text::from(words).source(source),
    };
    let sticker = "sticker on the rim, noted 1 March 2026";
    BeforeAfter {
        caption: "The numbers that matter".into(),
        before: "as received".into(),
        after: Some("after truing".into()),
        rows: vec![
            BeforeAfterRow {
                quantity: "Tightest spoke, bare".into(),
                before: stated(131.0, 5.0, "131 ± 5 kgf"),
                after: stated(121.0, 5.0, "121 ± 5 kgf"),
                bound: Bound::AtMost(limit(
                    127.5,
                    "at most 1250 N (127 kgf), bare: the rim maker’s",
                    sticker,
                )),
                judged: Judged::After,
                mark: Mark::Taken,
                verdict: "under, P = 0.99".into(),
            },
            BeforeAfterRow {
                quantity: "Mean of the left side, bare".into(),
                before: stated(66.0, 2.0, "66 ± 2 kgf"),
                after: stated(71.0, 2.0, "71 ± 2 kgf"),
                bound: Bound::AtLeast(limit(
                    70.0,
                    "at least 70 kgf: the shop’s own floor",
                    "workshop rule",
                )),
                judged: Judged::After,
                mark: Mark::CannotTell,
                verdict: "cannot tell, P = 0.84".into(),
            },
            BeforeAfterRow {
                quantity: "Loss of tension with the tyre on".into(),
                before: None,
                after: stated(11.2, 0.9, "11.2 ± 0.9 %"),
                bound: Bound::AtMost(limit(
                    8.0,
                    "at most 8 %: the maker’s claim",
                    "maker’s leaflet, page 4, edition 2025",
                )),
                judged: Judged::After,
                mark: Mark::Over,
                verdict: "refuted, P < 0.01".into(),
            },
            BeforeAfterRow {
                quantity: "Tightest spoke against its thread".into(),
                before: stated(131.0, 5.0, "131 ± 5 kgf"),
                after: stated(121.0, 5.0, "121 ± 5 kgf"),
                bound: Bound::Unknown("no limit known: ask the spoke’s maker".into()),
                judged: Judged::After,
                mark: Mark::CannotTell,
                verdict: "no limit known".into(),
            },
        ],
    }
}

fn section(heading: &str, blocks: Vec<Block>) -> Section {
    Section {
        heading: heading.into(),
        on_paper: OnPaper::Follows,
        blocks,
    }
}

pub(crate) fn document() -> Document {
    let mut figures = section(
        "Pictures",
        vec![
            Block::Figure(Figure::UnrolledRim(pair())),
            Block::Figure(Figure::Runout(runout())),
            Block::Figure(Figure::CalibrationCurve(curve())),
        ],
    );
    figures.on_paper = OnPaper::NewPage;
    Document {
        lang: "en".into(),
        title: "Wheel K7Q2MX: rear, 36 spokes, taken 4 March 2026".into(),
        about: vec![
            Fact::new("Wheel", "rear, 36 spokes crossed three, asymmetric rim"),
            Fact::new("Asked", "Is it even, and does the maker’s claim about the tyre hold?"),
            Fact::new("Taken", "4 March 2026, 10:20 (UTC+1), by M"),
            Fact::new("State", "out: bare, trued, not ridden"),
        ],
        verdict: Verdict {
            sentence: "Every spoke is under the rim maker’s limit; whether the left side is tight enough cannot be told, and the claim of at most 8 % loss is refuted.".into(),
            standing: Standing::Open,
            grounds: vec![
                "36 readings bare and 36 tyred with gauge G2, calibrated on this spoke batch.".into(),
                "One more lap of the left side (4 minutes) would probably settle it.".into(),
            ],
        },
        sections: vec![
            section("Before and after", vec![Block::BeforeAfter(before_after()), Block::Figure(Figure::UnrolledRim(every_shape()))]),
            figures,
            section(
                "Measured with",
                vec![
                    Block::Facts(vec![
                        Fact::new("Gauge", "G2, smallest step 0.5 division, rod check passed on 3 March 2026"),
                        Fact::new("Curve", "12 rig points from 12.0 to 24.5 divisions; readings used 16.5 to 22.5"),
                    ]),
                    Block::Table(Table {
                        caption: "Sides and kinds".into(),
                        columns: vec![
                            Column::words("Side and kind"),
                            Column::numbers("Bare", "kgf"),
                            Column::numbers("Tyred", "kgf"),
                            Column::numbers("Spread, noise removed", "%"),
                        ],
                        rows: vec![
                            ["right, bladed", "113 ± 2", "101 ± 2", "3.1 ± 0.8"].into(),
                            Row { mark: Some(Mark::CannotTell), ..["left, bladed", "71 ± 2", "62 ± 2", "5.6 ± 1.4"].into() },
                        ],
                    }),
                ],
            ),
            section("Not checked", vec![Block::List(vec!["Inner layers of the rim.".into(), "Bearing fit under load.".into()])]),
            section(
                "Advice",
                vec![
                    Block::Steps(vec!["Take the left side again before riding.".into(), "Check the tension after 160 km.".into()]),
                    Block::Paragraph("Refused by the customer: a new rim tape.".into()),
                ],
            ),
            section(
                "Cautions",
                vec![
                    Block::Notice(Notice {
                        weight: Weight::Caution,
                        heading: "Evidence, not permission to ride".into(),
                        says: "Makers’ instructions and limits prevail. Measured on this day, in this state; a qualified mechanic decides.".into(),
                    }),
                    Block::Notice(Notice {
                        weight: Weight::Finding,
                        heading: "Spoke 12 reads low".into(),
                        says: "It lies 24 kgf under its side on a true stretch of rim: look for a twisted blade and take it again.".into(),
                    }),
                ],
            ),
        ],
        signature: Some(Signature {
            statement: "The readings and the work above are as described.".into(),
            lines: vec![
                SignatureLine { role: "Measured and written by".into(), name: "M".into(), date: "4 March 2026".into(), place: "Harbour workshop".into() },
                SignatureLine { role: "Second pair of eyes".into(), name: String::new(), date: String::new(), place: String::new() },
            ],
        }),
        code_line: "RW1 K7Q2MX 2026-03-04T09:20:00Z sample-0000".into(),
    }
}

/// A rear wheel of 28 spokes, the right side crossed, the left radial.
pub(crate) fn lacing() -> Lacing {
    let spoke = |place: usize| {
        let seat_deg = 360.0 * (place as f64 + 0.5) / 28.0;
        let crossed = 3.0 * 360.0 / 14.0;
        let (side, turn, head) = match place % 4 {
            0 => (Side::Right, -crossed, Head::In),
            2 => (Side::Right, crossed, Head::Out),
            _ => (Side::Left, 0.0, Head::Out),
        };
        LacedSpoke {
            spoke: SpokeIndex(place),
            side,
            seat_deg,
            hole_deg: seat_deg + turn,
            head,
        }
    };
    Lacing {
        title: "Lacing".into(),
        caption: "Right three times crossed, left radial.".into(),
        spokes: (0..28).map(spoke).collect(),
        key: Some(SpokeIndex(0)),
    }
}

/// Two spokes of one material, the second swinging too far.
pub(crate) fn endurance() -> Endurance {
    let swing = |words: &str, mean, amplitude, beyond| StressSwing {
        words: words.into(),
        mean,
        amplitude,
        beyond,
    };
    Endurance {
        title: "Fatigue through a turn".into(),
        caption: "Made for a picture.".into(),
        unit: "MPa".into(),
        amplitude: 400.0,
        strength: 1600.0,
        swings: vec![
            swing("spoke 7: 40 % of the line", 320.0, 80.0, false),
            swing("spoke 8: 115 % of the line", 1040.0, 200.0, true),
        ],
    }
}
