//! The records in a folder when something goes wrong, as their user meets it: a full disk, a folder that is not to
//! be written, another program, a wrong clock, a first run, a broken file.

mod shop;

use serde_json::json;
use shop::desk::{Desk, text};
use shop::lines::Lines;
use std::fs;
use std::process::{Command, Output, Stdio};

const PROGRAM: &str = env!("CARGO_BIN_EXE_rimwright");
/// How often one looks whether a program has come so far: many seconds' worth, where it takes a part of one.
const LOOKS: u32 = 10_000_000;

/// The program as a command of its own in the desk's folder.
fn program(desk: &Desk) -> Command {
    let mut program = Command::new(PROGRAM);
    program.current_dir(desk.path(""));
    program
}

fn err(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

fn out(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned()
}

/// A text without its line breaks.
fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A verb on the records, where no file may grow beyond so many blocks of 512 bytes: to the program a disk that is
/// full. `SIGXFSZ` is ignored, so that the write fails instead.
fn cramped(desk: &Desk, blocks: u32, words: &[&str]) -> Output {
    let script = r#"trap '' XFSZ; ulimit -f "$1"; shift; exec "$@" --data data"#;
    Command::new("sh")
        .args(["-c", script, "sh", &blocks.to_string(), PROGRAM])
        .args(words)
        .current_dir(desk.path(""))
        .output()
        .expect("it ran")
}

#[test]
fn full_disk_is_told_and_the_next_run_goes_on() {
    let desk = Desk::in_a_folder();
    desk.visit_in();
    let before = desk.exported("before.jsonl");
    let mut lines = Lines::new();
    const RIGS: usize = 3000;
    for number in 0..RIGS {
        lines.entry(
            "rig",
            json!({"name": format!("rig {number}"), "note": "a".repeat(400)}),
        );
    }
    desk.put("many.jsonl", lines.text().as_bytes());

    let full = cramped(&desk, 2048, &["import", "many.jsonl"]);
    let said = err(&full);
    assert_eq!(full.status.code(), Some(3), "{said}");
    assert!(said.contains("nothing of this was recorded"), "{said}");
    assert!(said.contains("its disk full"), "{said}");
    let went_in = said
        .lines()
        .find(|line| line.contains("went in before that and stay"));
    let went_in = went_in.and_then(|line| line.split_whitespace().next()?.parse::<u64>().ok());
    let went_in = went_in.unwrap_or_else(|| panic!("{said}"));
    assert!(went_in > 0 && went_in < RIGS as u64, "{said}");
    assert_eq!(said.matches("went in before").count(), 1, "{said}");

    let after = String::from_utf8(desk.exported("after.jsonl")).expect("UTF-8");
    for line in String::from_utf8(before).expect("UTF-8").lines() {
        assert!(
            line.starts_with("{\"entries\":") || after.contains(line),
            "nothing is lost: {line}"
        );
    }
    assert!(
        desk.verdicts()
            .contains(&("integrity".into(), "well".into()))
    );
    let again = desk.json(&["import", "many.jsonl"]);
    let file = &again["files"][0];
    assert_eq!(
        (&file["known"], &file["written"]),
        (&json!(went_in), &json!(RIGS as u64 - went_in))
    );

    // Neither half a backup nor half an export is left behind.
    for (words, place) in [
        (["backup", "copy"].as_slice(), "copy"),
        (&["export", "-o", "all.jsonl"], "all.jsonl"),
    ] {
        let full = cramped(&desk, 512, words);
        assert_eq!(full.status.code(), Some(3), "{words:?}: {}", err(&full));
        assert!(!err(&full).is_empty());
        for name in [place.to_owned(), format!("{place}.part")] {
            assert!(!desk.path(&name).exists(), "{name}: {}", err(&full));
        }
    }
    desk.done(&["backup", "copy"]);
}

/// An export is put in by hundreds of entries; the photo comes after the first of them.
#[test]
fn photo_for_which_there_is_no_room_is_told_with_what_went_in_before_it() {
    let desk = Desk::in_a_folder();
    let mut lines = Lines::new();
    for number in 1..=600 {
        lines.entry("rig", json!({"name": format!("rig {number}")}));
    }
    let wheel = lines.wheel("K7M2QK", "Ines");
    let visit = json!({"wheel": wheel, "taken": "2026-03-04T09:20:00Z", "taken_zone": "+01:00", "not_checked": ""});
    let visit = lines.entry("visit", visit);
    let hash = lines.zeros(1_000_000);
    let photo =
        json!({"visit": visit, "hash": hash, "media_type": "image/jpeg", "length": 3_000_000});
    lines.entry("photo", photo);
    desk.put("all.jsonl", lines.text().as_bytes());
    let full = cramped(&desk, 4096, &["import", "all.jsonl"]);
    let said = err(&full);
    assert_eq!(full.status.code(), Some(3), "{said}");
    assert!(said.contains("its disk full"), "{said}");
    assert!(
        said.contains("500 entries of the export went in before that and stay"),
        "{said}"
    );
    let again = desk.json(&["import", "all.jsonl"]);
    let file = &again["files"][0];
    assert_eq!(
        (&file["known"], &file["written"]),
        (&json!(500), &json!(103))
    );
    let after = desk.exported("after.jsonl");
    let count = |text: &[u8]| text.iter().filter(|byte| **byte == b'\n').count();
    assert_eq!(
        count(&after),
        count(lines.text().as_bytes()),
        "all is there"
    );
}

/// Permissions bind everybody but the superuser, who first becomes nobody.
#[test]
fn folder_that_is_only_to_be_read_is_told_and_a_backup_in_one_is_read() {
    let desk = Desk::in_a_folder();
    let label = desk.visit_in();
    let before = desk.exported("before.jsonl");
    desk.done(&["backup", "copy"]);
    desk.done(&["import", "before.jsonl"]); // nothing new; whoever writes closes it down to one file
    // The test's own folder is closed to others: a copy of the program lies beside the data.
    fs::copy(PROGRAM, desk.path("program")).expect("copied");
    let shut = "chmod 755 . && chmod 555 data copy && chmod 444 data/rimwright.* copy/*";
    assert!(sh(&desk, shut).status.success());
    let is_superuser = out(&sh(&desk, "id -u")).trim() == "0";
    let nobody = |words: &[&str]| {
        let script = match is_superuser {
            true => "exec setpriv --reuid=65534 --regid=65534 --clear-groups ./program \"$@\"",
            false => "exec ./program \"$@\"",
        };
        Command::new("sh")
            .args(["-c", script, "sh"])
            .args(words)
            .current_dir(desk.path(""))
            .output()
            .expect("it ran")
    };
    let told = nobody(&["import", "wheel.toml", "--by", "M", "--data", "data"]);
    assert_eq!(told.status.code(), Some(3), "{}", err(&told));
    assert!(
        err(&told).contains("the data folder data cannot be written"),
        "{}",
        err(&told)
    );
    assert!(
        err(&told).contains("Choose another with `--data`"),
        "{}",
        err(&told)
    );
    // Reading what is in use needs an index beside it; a backup needs nothing beside it.
    for words in [["survey", &label].as_slice(), &["export"], &["doctor"]] {
        let told = nobody(&[words, &["--data", "data"]].concat());
        assert_eq!(told.status.code(), Some(3), "{}", err(&told));
        assert!(
            err(&told).contains("cannot be read where nothing may be written beside it"),
            "{}",
            err(&told)
        );
        assert!(err(&told).contains("or read a backup"), "{}", err(&told));
    }
    assert!(
        sh(&desk, "chmod 000 data/rimwright.sqlite3")
            .status
            .success()
    );
    let told = nobody(&["doctor", "--data", "data"]);
    assert_eq!(told.status.code(), Some(3), "{}", err(&told));
    assert!(
        err(&told).contains("rimwright.sqlite3 cannot be read: Permission denied"),
        "{}",
        err(&told)
    );
    let read = nobody(&["export", "--data", "copy"]);
    assert!(read.stdout == before, "{}", err(&read));
    let survey = nobody(&["survey", &label, "--data", "copy"]);
    assert_eq!(survey.status.code(), Some(0), "{}", err(&survey));
    assert!(sh(&desk, "chmod -R u+w data copy").status.success());
    assert!(desk.exported("after.jsonl") == before);
}

fn sh(desk: &Desk, script: &str) -> Output {
    let mut sh = Command::new("sh");
    sh.args(["-c", script]).current_dir(desk.path(""));
    sh.output().expect("it ran")
}

#[test]
fn second_program_on_the_same_folder_is_told_and_may_read() {
    let desk = Desk::in_a_folder();
    desk.visit_in();
    let log = desk.path("data/rimwright.sqlite3-wal");
    assert!(!log.exists(), "whoever wrote closed it down to one file");
    // It holds the folder while it waits for what will come through its pipe.
    let mut first = program(&desk)
        .args(["import", "-", "--data", "data"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("it starts");
    // The log is there once the database is open, and before that the folder is locked.
    let is_open = (0..LOOKS).any(|_| {
        std::thread::yield_now();
        assert_eq!(first.try_wait().expect("asked"), None, "it ended early");
        log.exists()
    });
    assert!(is_open, "it never opened the records");
    let told = desk.told(&["import", "wheel.toml", "--by", "M"]);
    assert!(
        told.contains("another program has the ledger in data open for writing"),
        "{told}"
    );
    assert!(told.contains("Reading beside it is no trouble"), "{told}");
    let told = desk.told(&["restore", "nowhere"]);
    assert!(told.contains("there is no ledger in nowhere"), "{told}");
    desk.done(&["doctor"]);
    desk.done(&["backup", "meanwhile"]);
    let told = desk.told(&["restore", "meanwhile"]);
    assert!(told.contains("another program"), "{told}");
    let before = desk.exported("before.jsonl");

    drop(first.stdin.take());
    let ended = first.wait_with_output().expect("it ends");
    assert_eq!(
        ended.status.code(),
        Some(3),
        "an export broken off: {}",
        err(&ended)
    );
    assert!(desk.exported("after.jsonl") == before);
    desk.done(&["import", "wheel.toml", "--by", "M"]);
}

/// The clock is the machine's own; the ledger already has an entry of a time that has not come.
#[test]
fn clock_that_was_set_back_is_told_and_the_order_of_entries_stands() {
    let desk = Desk::in_a_folder();
    let mut lines = Lines::new();
    lines.entry_at("2199-12-31T12:00:00Z", "rig", json!({"name": "the screw"}));
    desk.put("from-tomorrow.jsonl", lines.text().as_bytes());
    desk.done(&["import", "from-tomorrow.jsonl"]);
    let said = desk.done(&["import", "wheel.toml", "--by", "M"]).out;
    let said = one_line(&said);
    for words in [
        "the newest entry was made at 2199-12-31T1",
        "after the others. Set the clock right.",
    ] {
        assert!(said.contains(words), "{said}");
    }
    let doctor = one_line(&desk.done(&["doctor"]).out);
    assert!(doctor.contains("? clock: An entry was made"), "{doctor}");
    let lines = String::from_utf8(desk.exported("all.jsonl")).expect("UTF-8");
    let kinds: Vec<&str> = ["\"rig\"", "\"wheel\""]
        .into_iter()
        .filter(|kind| lines.contains(kind))
        .collect();
    assert_eq!(kinds.len(), 2);
    assert!(
        lines.find("\"rig\"") < lines.find("\"wheel\""),
        "the order is that of cause: {lines}"
    );
}

#[test]
fn first_run_in_an_empty_home_sets_itself_up_and_without_a_home_it_asks() {
    let desk = Desk::in_a_folder();
    let at_home = |words: &[&str], home: Option<&str>| {
        let mut program = desk.homeless();
        program.args(words);
        program.envs(home.map(|home| ("HOME", desk.path(home))));
        program.output().expect("it ran")
    };
    fs::create_dir(desk.path("home")).expect("a home");
    let none = at_home(&["doctor"], Some("home"));
    assert_eq!(none.status.code(), Some(3));
    assert!(
        err(&none).contains("there is no ledger in"),
        "{}",
        err(&none)
    );
    assert!(
        err(&none).contains("A ledger is made when something is first entered"),
        "{}",
        err(&none)
    );
    let made = fs::read_dir(desk.path("home")).expect("the home").count();
    assert_eq!(made, 0, "looking makes nothing");
    for (words, code) in [
        (["import", "visit.toml"].as_slice(), 0),
        (&["doctor"], 0),
        (&["backup"], 0),
        (&["export", "-o", "all.jsonl"], 0),
    ] {
        let done = at_home(words, Some("home"));
        assert_eq!(done.status.code(), Some(code), "{words:?}: {}", err(&done));
    }
    for words in [
        ["doctor"].as_slice(),
        &["import", "visit.toml"],
        &["backup", "copy"],
    ] {
        let lost = at_home(words, None);
        assert_eq!(lost.status.code(), Some(2), "{words:?}: {}", err(&lost));
        assert!(
            err(&lost).contains("Say `--data DIR`, or set RIMWRIGHT_DATA"),
            "{}",
            err(&lost)
        );
    }
    let named = at_home(&["import", "visit.toml", "--data", "data"], None);
    assert_eq!(named.status.code(), Some(0), "{}", err(&named));
    let missing = at_home(&["import", "visit.toml"], Some("no/such/home"));
    assert_eq!(
        missing.status.code(),
        Some(0),
        "folders are made: {}",
        err(&missing)
    );
}

#[test]
fn backup_is_whole_and_a_broken_one_is_not_restored() {
    let desk = Desk::in_a_folder();
    let label = desk.visit_in();
    let before = desk.exported("before.jsonl");
    let json = desk.json(&["backup", "copy"]);
    assert!(json["newest"].is_string());
    let again = desk.told(&["backup", "copy"]);
    assert!(again.contains("is there already"), "{again}");

    desk.done(&["demo"]);
    let with_demo = desk.exported("with-demo.jsonl");
    fs::create_dir(desk.path("broken")).expect("a folder");
    let database = fs::read(desk.path("copy/rimwright.sqlite3")).expect("a database");
    fs::write(
        desk.path("broken/rimwright.sqlite3"),
        &database[..database.len() / 2],
    )
    .expect("written");
    for place in ["broken", "nowhere"] {
        let told = desk.told(&["restore", place]);
        assert!(told.contains(place), "{told}");
        assert!(
            desk.exported("still.jsonl") == with_demo,
            "the old one is there"
        );
    }

    let json = desk.json(&["restore", "copy"]);
    assert!(desk.exported("restored.jsonl") == before);
    let kept = text(&json["replaced"]);
    let old = desk.bench.run(&["export", "--data", &kept]);
    assert!(
        old.out.as_bytes() == with_demo,
        "what was replaced is kept: {}",
        old.err
    );
    desk.done(&["survey", &label]);
}

#[test]
fn doctor_looks_at_everything_and_says_what_is_wrong() {
    let desk = Desk::in_a_folder();
    desk.visit_in();
    let found = desk.verdicts();
    let has = |about: &str, verdict: &str| found.contains(&(about.into(), verdict.into()));
    assert!(
        has("integrity", "well") && has("clock", "well") && !has("room", "unknown"),
        "{found:?}"
    );
    assert!(has("backup", "look") && has("gauge", "look"), "{found:?}");
    desk.done(&["backup"]);
    assert!(desk.verdicts().contains(&("backup".into(), "well".into())));
    fs::remove_dir_all(desk.path("data/backups")).expect("removed");
    let said = desk.done(&["doctor"]).out;
    assert!(said.contains("? backup: The last one is not at"), "{said}");

    // A check that failed is wrong, and so is a page in the middle of the file that is not what was written.
    let mut lines = Lines::new();
    let gauge = lines.entry(
        "gauge",
        json!({"label": "G9", "file": "format = 1\nlabel = \"G9\"\n"}),
    );
    lines.entry(
        "rod_check",
        json!({"gauge": gauge, "raw": "27", "reading": 27.0, "expected": 25.0, "tolerance": 0.5}),
    );
    desk.put("fell.jsonl", lines.text().as_bytes());
    desk.done(&["import", "fell.jsonl"]);
    let told = desk.run(&["doctor"]);
    assert_eq!(told.code, 3, "{}", told.out);
    assert!(
        told.out.contains("! gauge: G9: its last check read 27"),
        "{}",
        told.out
    );
    let place = desk.path("data/rimwright.sqlite3");
    let mut bytes = fs::read(&place).expect("a database");
    let from = bytes.len() / 2;
    bytes[from..from + 2000].fill(0xA5);
    fs::write(&place, bytes).expect("written");
    let told = desk.run(&["doctor"]);
    assert_eq!(told.code, 3, "{}", told.out);
    assert!(
        told.out.contains("! integrity") || told.err.contains("damaged"),
        "{}{}",
        told.out,
        told.err
    );
}
