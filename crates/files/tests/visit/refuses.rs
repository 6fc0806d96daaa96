//! What is wrong in a visit, where it stands, and the way to mend it.

use crate::files_held::{CALIBRATIONS, HEAD, held, read, read_with, refused, refused_whole};

const EIGHT: &str = "[22.5, 23.0, 22, 21.5, 22.5, 23.5, 22, 21]";

/// Why a lap with these keys is refused, behind the head and both calibrations.
fn refused_lap(keys: &str) -> String {
    refused(&format!("{CALIBRATIONS}\n[[lap]]\n{keys}\n"))
}

fn reading_lap(keys: &str) -> String {
    refused_lap(&format!(
        "takes = \"reading\"\nstate = \"bare\"\ngauge = \"gauge-2.toml\"\n{keys}"
    ))
}

fn refused_limit(keys: &str) -> String {
    refused(&format!("[[limit]]\n{keys}\n"))
}

/// Every text said in `shown`.
fn says(shown: &str, said: &[&str]) {
    for said in said {
        assert!(shown.contains(said), "{said}\nis not in\n{shown}");
    }
}

#[test]
fn one_reading_too_few_or_too_many() {
    let seven = reading_lap("readings = [22.5, 23.0, 22, 21.5, 22.5, 23.5, 22]");
    says(
        &seven,
        &[
            "visit.toml:20:12: 7 readings, but the wheel has 8 spokes: 1 too few",
            "If spokes were left out, put the lap into a CSV file with the columns `spoke`, `reading`",
        ],
    );
    let nine = reading_lap("readings = [22.5, 23.0, 22, 21.5, 22.5, 23.5, 22, 21, 22.5]");
    let torn = reading_lap("readings = [22,5,23,0,22,5,21,5,22,5,23,5,22,5,21,0]");
    says(
        &torn,
        &[
            "8 too many",
            "Decimal commas? Numbers take a point: `22.5`.",
        ],
    );
    says(
        &nine,
        &["9 readings, but the wheel has 8 spokes: 1 too many"],
    );
}

#[test]
fn numbers_that_nothing_shows() {
    for (number, said) in [
        ("nan", "`readings` is not a finite number"),
        ("inf", "`readings` is not a finite number"),
        ("-22.0", "`readings` must be at least 0"),
        ("22,5", "22,5"),
        ("\"22.5\"", "`readings` is text"),
    ] {
        let shown = reading_lap(&format!(
            "readings = [{number}, 23.0, 22, 21.5, 22.5, 23.5, 22, 21]"
        ));
        says(&shown, &["visit.toml:20:13: ", said]);
    }
}

#[test]
fn a_spoke_twice_in_a_lap_s_file_is_told_with_that_file_s_name() {
    let mut held = held();
    held.insert(
        "twice.csv".into(),
        b"spoke,reading\n1,22\n2,23\n1,22.5\n".to_vec(),
    );
    let text = format!(
        "{HEAD}[[lap]]\ntakes = \"reading\"\nstate = \"bare\"\ngauge = \"gauge-2.toml\"\nreadings = \"twice.csv\"\n"
    );
    let error = read_with(text.as_bytes(), held).expect_err("refused");
    assert_eq!(error.file(), "twice.csv");
    assert_eq!(
        error.to_string(),
        "twice.csv:4:1: spoke 1 was already taken in line 2\n    \
         1,22.5\n    \
         ^\n    \
         Delete one of the two rows; a second reading belongs in a lap of its own."
    );
}

#[test]
fn two_gauges_in_one_lap() {
    let both = refused_lap(&format!(
        "takes = \"reading\"\nstate = \"bare\"\ngauge = [\"gauge-2.toml\", \"gauge-3.toml\"]\nreadings = {EIGHT}"
    ));
    says(
        &both,
        &[
            "visit.toml:19:9: two gauges in one lap",
            "Make one block `[[lap]]` for each gauge",
        ],
    );
    let mut held = held();
    held.insert(
        "bare.csv".into(),
        b"spoke,reading,gauge\n1,22,G3\n2,23,G3\n".to_vec(),
    );
    let text = format!(
        "{HEAD}[[lap]]\ntakes = \"reading\"\nstate = \"bare\"\ngauge = \"gauge-2.toml\"\nreadings = \"bare.csv\"\n"
    );
    let shown = read_with(text.as_bytes(), held.clone())
        .expect_err("refused")
        .to_string();
    says(
        &shown,
        &["visit.toml:8:9: the rows of `bare.csv` name the gauge `G3`"],
    );
    for same in ["G2", "gauge-2.toml"] {
        let rows = format!("spoke,reading,gauge\n1,22,{same}\n2,23,{same}\n");
        held.insert("bare.csv".into(), rows.into_bytes());
        assert!(read_with(text.as_bytes(), held.clone()).is_ok(), "{same}");
    }
}

#[test]
fn tyred_without_pressure_and_bare_with_one() {
    let tyred = |pressure: &str, state: &str| {
        refused_lap(&format!(
            "takes = \"reading\"\nstate = \"{state}\"\n{pressure}\ngauge = \"gauge-2.toml\"\nreadings = {EIGHT}"
        ))
    };
    says(
        &tyred("", "tyred"),
        &[
            "visit.toml:18:9: a tyred lap does not say at what pressure",
            "write `pressure_bar = 6.0` or `pressure_psi = 87`",
        ],
    );
    says(
        &tyred("pressure_bar = 6\npressure_psi = 87", "tyred"),
        &["`pressure` is given in two units"],
    );
    says(
        &tyred("pressure_bar = 6", "bare"),
        &["a bare wheel has no pressure"],
    );
    says(
        &tyred("pressure_bar = 87", "tyred"),
        &[
            "visit.toml:19:16: a pressure of 87 bar, more than any tyre bears",
            "`pressure_psi`",
        ],
    );
    says(
        &tyred("pressure_bar = -6", "tyred"),
        &["`pressure_bar` must be at least 0"],
    );
}

#[test]
fn a_limit_without_condition_source_or_date() {
    let limit = |left_out: &str| {
        let keys = [
            "part = \"rim\"",
            "tension_n = 1250",
            "state = \"bare\"",
            "source = \"sticker on the rim\"",
            "noted = 2026-03-01",
        ];
        let kept: Vec<_> = keys
            .into_iter()
            .filter(|key| !key.starts_with(left_out))
            .collect();
        refused_limit(&kept.join("\n"))
    };
    says(
        &limit("state"),
        &[
            "visit.toml:5:1: the limit does not say whether it holds bare or tyred",
            "A tyre takes tension away, so the same number means something else with one on.",
        ],
    );
    says(
        &limit("source"),
        &[
            "the limit has no source",
            "It is worth as much as the place it stands in",
        ],
    );
    says(
        &limit("noted"),
        &[
            "the limit does not say when it was noted",
            "Makers change their limits",
        ],
    );
    says(&limit("part"), &["`part` is missing in [[limit]]"]);
    says(
        &limit("tension"),
        &["`tension_n` or `tension_kgf` or `tension_lbf`"],
    );
}

#[test]
fn a_unit_in_the_wrong_place() {
    let rest = "state = \"bare\"\nsource = \"sticker\"\nnoted = 2026-03-01";
    says(
        &refused_limit(&format!("part = \"rim\"\ntension_kg = 125\n{rest}")),
        &[
            "visit.toml:7:1: `tension_kg` gives a force in kg, but kg is a mass",
            "kgf or N? Write `tension_kgf` or `tension_n`, whichever the number is.",
        ],
    );
    says(
        &refused_limit(&format!("part = \"rim\"\ntension_kgf = 1250\n{rest}")),
        &["a limit of 12258 N (1250 kgf) is no limit of a spoke's tension"],
    );
    says(
        &refused_limit(&format!("part = \"rim\"\ntension_n = 125\n{rest}")),
        &[
            "a limit of 125 N (13 kgf) is no limit",
            "Is the number in another unit?",
        ],
    );
    says(
        &refused_limit(&format!(
            "part = \"rim\"\ntension_n = 1250\ntension_kgf = 127\n{rest}"
        )),
        &["visit.toml:8:15: `tension` is given in two units"],
    );
    says(
        &refused_limit(&format!("part = \"rim\"\ntension_n = -1250\n{rest}")),
        &["`tension_n` must be more than 0"],
    );
    says(
        &refused("[[weighing]]\ndress = []\nmass_kg = 0.812\n"),
        &[
            "visit.toml:7:1: `mass_kg` is given in kg",
            "Give it as `mass_g`, converting the number.",
        ],
    );
    says(
        &refused_lap(&format!(
            "takes = \"reading\"\nstate = \"bare\"\ngauge = \"gauge-2.toml\"\nreadings_kgf = {EIGHT}"
        )),
        &[
            "visit.toml:20:1: `readings_kgf` is given in kgf, but `readings` has no unit",
            "Give `readings` as it was read, without converting it.",
        ],
    );
    let mut held = held();
    held.insert(
        "gauge-2-bladed.csv".into(),
        b"reading_kgf,force_kgf\n1,2\n".to_vec(),
    );
    let shown = read_with(format!("{HEAD}{CALIBRATIONS}").as_bytes(), held).expect_err("refused");
    says(
        &shown.to_string(),
        &["gauge-2-bladed.csv:1:1: `reading_kgf` is given in kgf"],
    );
}

#[test]
fn a_date_in_the_future_or_none_at_all() {
    let whole = |taken: &str| {
        refused_whole(&format!(
            "format = 1\nwheel = \"front.toml\"\nby = \"M\"\ntaken = {taken}\n"
        ))
    };
    says(
        &whole("2062-03-04T10:20:00+01:00"),
        &[
            "visit.toml:4:9: 2062-03-04T10:20:00+01:00 is in the future",
            "Correct the date, the time or the zone.",
        ],
    );
    says(&whole("2026-03-05T09:06:00Z"), &["is in the future"]);
    says(
        &whole("0202-03-04T10:20:00+01:00"),
        &["the year 202 is long before any gauge"],
    );
    says(
        &whole("2026-03-04T10:20:00"),
        &["It should be a date and time with its zone"],
    );
    says(
        &whole("2026-03-04"),
        &["It should be a date and time with its zone"],
    );
    says(
        &whole("\"2026-03-04T10:20:00+01:00\""),
        &["It should be a date and time with its zone"],
    );
    let noted = |noted: &str| {
        refused_limit(&format!(
            "part = \"rim\"\ntension_n = 1250\nstate = \"bare\"\nsource = \"sticker\"\nnoted = {noted}"
        ))
    };
    says(
        &noted("2026-03-07"),
        &["visit.toml:10:9: 2026-03-07 is in the future"],
    );
    says(&noted("2026-02-30"), &["visit.toml:10:"]);
    says(
        &noted("\"2026-03-01\""),
        &["It should be a date without quotation marks"],
    );
}

#[test]
fn a_watch_may_be_a_little_ahead_and_a_date_may_be_tomorrow_s_elsewhere() {
    let text = "format = 1\nwheel = \"front.toml\"\nby = \"M\"\ntaken = 2026-03-05T09:04:00Z\n\
                [[limit]]\npart = \"rim\"\ntension_n = 1250\nstate = \"bare\"\nsource = \"sticker\"\n\
                noted = 2026-03-05\n";
    assert!(read_with(text.as_bytes(), held()).is_ok());
}

#[test]
fn bytes_that_are_no_text_an_empty_file_and_a_huge_one() {
    let latin = format!("{HEAD}asked = \"M\u{E4}rz\"\n").replace('\u{E4}', "@");
    let latin: Vec<u8> = latin
        .bytes()
        .map(|byte| if byte == b'@' { 0xE4 } else { byte })
        .collect();
    let shown = read_with(&latin, held()).expect_err("refused").to_string();
    says(
        &shown,
        &[
            "visit.toml:5:11: the byte 0xE4 is not UTF-8 text",
            "In Latin-1 it would be `ä`.",
        ],
    );
    let empty = read_with(b"", held()).expect_err("refused").to_string();
    says(&empty, &["visit.toml:1:1: the file is empty"]);
    let mut held = held();
    let row = b"1,22.5\n";
    held.insert(
        "bare.csv".into(),
        row.iter().copied().cycle().take(50_000_000).collect(),
    );
    let text = format!(
        "{HEAD}[[lap]]\ntakes = \"reading\"\nstate = \"bare\"\ngauge = \"gauge-2.toml\"\nreadings = \"bare.csv\"\n"
    );
    let shown = read_with(text.as_bytes(), held)
        .expect_err("refused")
        .to_string();
    says(
        &shown,
        &[
            "bare.csv:1:1: the file has more than 16 MB",
            "Is it the right file?",
        ],
    );
}

#[test]
fn files_that_are_missing_or_wrong_in_themselves() {
    says(
        &refused_whole(
            "format = 1\nwheel = \"rear.toml\"\ntaken = 2026-03-04T10:20:00Z\nby = \"M\"\n",
        ),
        &["visit.toml:2:9: `rear.toml` cannot be read: there is no such file"],
    );
    let mut held = held();
    held.insert(
        "gauge-2.toml".into(),
        b"format = 1\nlabel = \"G2\"\nresolution = 0.5\n".to_vec(),
    );
    let error = read_with(format!("{HEAD}{CALIBRATIONS}").as_bytes(), held).expect_err("refused");
    assert_eq!(error.file(), "gauge-2.toml");
    says(
        &error.to_string(),
        &["`repeatability` is missing in a gauge", "Take ten readings"],
    );
}

#[test]
fn gauges_and_calibrations_that_cannot_be_told_apart() {
    let mut held = held();
    held.insert("gauge-3.toml".into(), held["gauge-2.toml"].clone());
    let lines = "[[calibration]]\nspoke = \"round\"\ngauge = \"gauge-3.toml\"\npoints = \"gauge-2-round.csv\"\n";
    let text = format!("{HEAD}{CALIBRATIONS}\n{lines}");
    let shown = read_with(text.as_bytes(), held)
        .expect_err("refused")
        .to_string();
    says(
        &shown,
        &["`gauge-3.toml` and `gauge-2.toml` are both labelled G2"],
    );
    let twice = lines.replace("gauge-3", "gauge-2");
    says(
        &refused(&format!("{CALIBRATIONS}\n{twice}")),
        &["visit.toml:16:1: a second calibration of G2 on `round`"],
    );
    says(
        &refused(&lines.replace("round\"\ngauge", "flat\"\ngauge")),
        &[
            "`spoke` cannot be \"flat\"",
            "It is \"bladed\" or \"round\".",
        ],
    );
}

#[test]
fn keys_that_do_not_fit() {
    says(
        &refused_lap("takes = \"tension\"\n"),
        &["`takes` cannot be \"tension\""],
    );
    says(
        &reading_lap(&format!("start = 9\nreadings = {EIGHT}")),
        &["from 1 to 8"],
    );
    says(
        &reading_lap(&format!("counted = \"back\"\nreadings = {EIGHT}")),
        &["\"up\" or \"down\""],
    );
    says(
        &reading_lap("reading = [1, 2]"),
        &["unknown key `reading` in [[lap]]", "`readings`"],
    );
    says(
        &refused("waight = 3\n"),
        &["unknown key `waight` in the file"],
    );
    says(
        &refused("[[claim]]\ntext = \"light\"\nquantity = \"mass_g\"\ndress = []\n"),
        &["`at_most` or `at_least` is missing in [[claim]]"],
    );
    says(
        &refused("[[claim]]\ntext = \"x\"\nquantity = \"mass_g\"\nat_least = 9\nat_most = 8\n"),
        &["at least 9 and at most 8 cannot both hold"],
    );
    says(
        &refused(
            "[[claim]]\ntext = \"x\"\nquantity = \"evenness_percent\"\nat_most = 8\nside = \"left\"\nwhole = true\n",
        ),
        &["the claim speaks of one side and of the whole wheel"],
    );
    says(
        &refused_limit(
            "part = \"rim\"\ntension_n = 1250\npressure_bar = 5\nsource = \"x\"\nnoted = 2026-03-01",
        ),
        &["a limit of tension and of pressure in one block"],
    );
    says(
        &refused("[shop]\ndecide_at = 1.0\n"),
        &["`decide_at` must be"],
    );
    says(
        &refused("[[advice]]\ntext = \"x\"\nanswer = \"maybe\"\n"),
        &["\"taken\" or \"refused\" or \"open\""],
    );
}

#[test]
fn all_troubles_of_a_visit_are_told_at_once() {
    let shown = refused(
        "bearing_play = \"little\"\n[[weighing]]\ndress = []\nmass_kg = 1\n[[limit]]\npart = \"rim\"\ntension_kg = 1\n\
         state = \"bare\"\nsource = \"x\"\nnoted = 2026-03-01\n",
    );
    says(
        &shown,
        &["visit.toml:5:16", "visit.toml:8:1", "visit.toml:11:1"],
    );
}

#[test]
fn what_is_right_is_not_refused() {
    read(&format!(
        "{CALIBRATIONS}\n[[lap]]\ntakes = \"reading\"\nstate = \"bare\"\ngauge = \"gauge-2.toml\"\nreadings = {EIGHT}\n"
    ));
}
