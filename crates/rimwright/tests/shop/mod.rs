//! A bench of files in a folder of its own, and the program run on them.
//!
//! The wheel and its readings are made up for these tests; nothing here is a check of numbers.

#![allow(dead_code, reason = "each test file takes what it needs")]

pub(crate) mod desk;
pub(crate) mod lines;

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

pub(crate) const GAUGE: &str =
    "format = 1\nlabel = \"G\"\nresolution = 0.5\nrepeatability = 0.25\n";

pub(crate) const POINTS: &str = "\
reading,force_kgf,u_force
15.0,60,0.5
18.0,75,0.5
20.5,90,0.5
22.5,105,0.5
24.0,118,0.5
25.5,132,0.5
";

pub(crate) const WHEEL: &str = r#"format = 1
name = "bench wheel"

[rim]
seats = 16
seat_diameter_mm = 594.0
sides = ["right", "left"]

[[kind]]
name = "plain"
wire_mm = 2.0

[right]
hole_circle_mm = 44.0
flange_offset_mm = 33.0
flange_mm = 3.0
crosses = 2
roles = ["trailing", "leading"]
heads = ["in", "out"]

[left]
hole_circle_mm = 44.0
flange_offset_mm = 33.0
flange_mm = 3.0
crosses = 2
roles = ["trailing", "leading"]
heads = ["in", "out"]

[measured]
flange_offset_u_mm = 0.3
dish_mm = 0.1
dish_u_mm = 0.2
"#;

pub(crate) const BARE: &str = "[[lap]]
takes = \"reading\"
state = \"bare\"
gauge = \"gauge.toml\"
readings = [22.5, 22.0, 22.5, 23.0, 22.0, 22.5, 22.5, 22.5, 23.0, 22.0, 22.5, 22.0, 22.5, 23.0, 22.5, 22.5]
";

pub(crate) const TYRED: &str = "[[lap]]
takes = \"reading\"
state = \"tyred\"
pressure_bar = 5.0
gauge = \"gauge.toml\"
readings = [21.5, 21.5, 21.5, 22.0, 21.0, 21.5, 21.5, 21.5, 22.0, 21.0, 21.5, 21.5, 21.5, 22.0, 21.5, 21.5]
";

pub(crate) const LIMIT: &str = "[[limit]]
part = \"rim\"
tension_kgf = 130
state = \"bare\"
source = \"sticker on the rim\"
noted = 2026-03-01
";

/// A folder with a wheel, a gauge, its points, and a visit of these blocks.
pub(crate) struct Bench {
    folder: tempfile::TempDir,
}

impl Bench {
    pub(crate) fn with(blocks: &[&str]) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let bench = Self { folder };
        bench.put("wheel.toml", WHEEL.as_bytes());
        bench.put("gauge.toml", GAUGE.as_bytes());
        bench.put("points.csv", POINTS.as_bytes());
        let head =
            "format = 1\nwheel = \"wheel.toml\"\ntaken = 2026-03-04T10:20:00+01:00\nby = \"M\"\n\n";
        let calibration = "[[calibration]]\nspoke = \"plain\"\ngauge = \"gauge.toml\"\npoints = \"points.csv\"\n\n";
        bench.put(
            "visit.toml",
            format!("{head}{calibration}{}", blocks.join("\n")).as_bytes(),
        );
        bench
    }

    pub(crate) fn put(&self, name: &str, bytes: &[u8]) {
        std::fs::write(self.path(name), bytes).expect("written");
    }

    pub(crate) fn change(&self, name: &str, change: impl Fn(&str) -> String) {
        let text = std::fs::read_to_string(self.path(name)).expect("a text");
        self.put(name, change(&text).as_bytes());
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub(crate) fn run(&self, arguments: &[&str]) -> Said {
        run_in(self.folder.path(), arguments, "")
    }

    pub(crate) fn run_with_input(&self, arguments: &[&str], input: &str) -> Said {
        run_in(self.folder.path(), arguments, input)
    }
}

/// What the program said.
pub(crate) struct Said {
    pub(crate) code: i32,
    pub(crate) out: String,
    pub(crate) err: String,
}

impl Said {
    pub(crate) fn json(&self) -> serde_json::Value {
        assert_eq!(self.code, 0, "{}", self.err);
        serde_json::from_str(&self.out).expect("one JSON object")
    }
}

/// The finding of this fixed word in an answer.
pub(crate) fn finding<'a>(
    json: &'a serde_json::Value,
    about: &str,
) -> Option<&'a serde_json::Value> {
    json["findings"]
        .as_array()?
        .iter()
        .find(|one| one["about"] == about)
}

fn run_in(folder: &Path, arguments: &[&str], input: &str) -> Said {
    use std::io::Write;
    use std::process::Stdio;
    let mut child = Command::new(env!("CARGO_BIN_EXE_rimwright"))
        .args(arguments)
        .current_dir(folder)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    child
        .stdin
        .take()
        .expect("a pipe")
        .write_all(input.as_bytes())
        .expect("the program reads");
    let Output {
        status,
        stdout,
        stderr,
    } = child.wait_with_output().expect("the program ends");
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("UTF-8");
    Said {
        code: status.code().expect("a code"),
        out: text(stdout),
        err: text(stderr),
    }
}
