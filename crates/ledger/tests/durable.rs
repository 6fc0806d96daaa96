//! What was acknowledged is there, whatever happens to the process that acknowledged it.

mod shop;

use ledger::entry::Outcome;
use ledger::state::{Things, WheelRecord};
use ledger::{Access, Body, Id, Ledger, Moment, Place, Trouble, Unopened};
use std::collections::BTreeSet;
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Command, Stdio};

/// How often the process is killed in the ordinary tests.
const KILLS: u64 = 30;
/// Sets another number, for the lane that does it many times.
const KILLS_ASKED: &str = "RIMWRIGHT_KILLS";
/// Acknowledgements before a kill, at most; some kills come before the first one.
const MOST: u64 = 120;

fn hand(folder: &Path) -> Command {
    let mut hand = Command::new(env!("CARGO_BIN_EXE_ledger-hand"));
    hand.arg(folder).stdin(Stdio::null());
    hand
}

/// A sequence of numbers that looks random and is the same each time (SplitMix64).
fn scrambled(seed: u64) -> u64 {
    let mut z = seed.wrapping_add(1).wrapping_mul(0x9e37_79b9_7f4a_7c15);
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

/// The process writes into one folder; it is killed after some acknowledgement, with other readings on their way;
/// the next one goes on in the same folder, without anybody mending anything.
#[tokio::test]
async fn no_acknowledged_reading_is_missing_after_a_kill_and_none_is_half_written() {
    let kills = std::env::var(KILLS_ASKED).map_or(KILLS, |asked| asked.parse().expect("a number"));
    let desk = tempfile::tempdir().expect("a folder");
    let folder = desk.path().join("data");
    let mut acknowledged: BTreeSet<Id> = BTreeSet::new();
    for kill in 0..kills {
        let mut child = hand(&folder)
            .stdout(Stdio::piped())
            .spawn()
            .expect("a process");
        let lines = BufReader::new(child.stdout.take().expect("its output")).lines();
        let mut until = scrambled(kill) % MOST;
        // After the kill the rest of its output is read as well: what it had said is acknowledged.
        for line in lines {
            acknowledged.insert(line.expect("a line").parse().expect("an id"));
            if until == 0 {
                child.kill().expect("killed");
            }
            until = until.wrapping_sub(1);
        }
        assert!(
            !child.wait().expect("ended").success(),
            "it was killed, it did not end"
        );
        let ledger = shop::open(&Place::Folder(folder.clone())).await;
        let all = shop::everything(&ledger).await;
        let there: BTreeSet<Id> = all.iter().map(|entry| entry.id).collect();
        let missing: Vec<_> = acknowledged.difference(&there).collect();
        assert!(missing.is_empty(), "kill {kill}: {missing:?}");
        for entry in &all {
            if let Body::Reading(reading) = &entry.body {
                let (raw, value) = (reading.raw.as_str(), reading.value);
                assert_eq!(
                    (raw, value, reading.outcome),
                    ("22,5", Some(22.5), Outcome::Taken)
                );
            }
        }
        ledger.close().await;
    }
    assert!(
        acknowledged.len() as u64 > kills,
        "there was something to lose"
    );
    let ledger = shop::open(&Place::Folder(folder)).await;
    assert_eq!(ledger.check().await.expect("looked through").faults, []);
    let all = shop::everything(&ledger).await;
    let wheels = all
        .iter()
        .filter(|entry| matches!(entry.body, Body::Wheel(_)));
    for wheel in wheels.map(|entry| entry.id) {
        let life: Things = ledger
            .life(wheel)
            .await
            .expect("read")
            .into_iter()
            .collect();
        let record = WheelRecord::of(&life, wheel).expect("the wheel");
        assert_eq!(
            record.visits.len(),
            1,
            "wheel and visit were put in together"
        );
    }
}

/// A file may not grow beyond a size: the disk of this process is full. `SIGXFSZ` is ignored, so that the
/// write fails instead.
#[tokio::test]
async fn full_disk_is_told_and_loses_nothing() {
    let desk = tempfile::tempdir().expect("a folder");
    let folder = desk.path().join("data");
    let limited = |blocks: &str| {
        let mut shell = Command::new("sh");
        shell
            .args([
                "-c",
                r#"trap '' XFSZ; ulimit -f "$1"; exec "$2" "$3""#,
                "sh",
                blocks,
            ])
            .arg(env!("CARGO_BIN_EXE_ledger-hand"))
            .arg(&folder);
        shell.output().expect("it ran")
    };
    let full = limited("2048"); // blocks of 512 bytes
    let said = String::from_utf8_lossy(&full.stderr);
    assert!(!full.status.success());
    assert!(said.contains("nothing of this was recorded"), "{said}");
    let acknowledged = String::from_utf8(full.stdout).expect("text");
    let acknowledged: Vec<Id> = acknowledged
        .lines()
        .map(|line| line.parse().expect("an id"))
        .collect();
    assert!(acknowledged.len() > 20);
    let ledger = shop::open(&Place::Folder(folder)).await;
    let there = ledger.entries(&acknowledged).await.expect("read");
    assert_eq!(there.len(), acknowledged.len());
    assert_eq!(ledger.check().await.expect("looked through").faults, []);
}

#[tokio::test]
async fn second_process_is_told_and_may_read() {
    let desk = tempfile::tempdir().expect("a folder");
    let folder = desk.path().join("data");
    let place = Place::Folder(folder.clone());
    let missing = Ledger::open(&place, Access::Read)
        .await
        .expect_err("there is none");
    assert!(matches!(missing, Unopened::Missing { .. }));
    assert!(!folder.exists(), "reading makes nothing");
    let ledger = shop::open(&place).await;
    let wheel = shop::wheel(
        ledger.free_label(shop::at(0)).await.expect("one"),
        "rear",
        "Ines",
    );
    let wheel = shop::put(&ledger, &shop::stamp(0), wheel).await;
    let second = hand(&folder).output().expect("it ran");
    let said = String::from_utf8_lossy(&second.stderr);
    assert!(said.contains("another program has the ledger in"), "{said}");
    assert!(second.stdout.is_empty());
    let reading = Ledger::open(&place, Access::Read)
        .await
        .expect("to be read");
    assert_eq!(reading.life(wheel).await.expect("read").len(), 1);
    ledger.close().await;
    assert!(
        hand(&folder)
            .arg("3")
            .output()
            .expect("it ran")
            .status
            .success()
    );
    assert_eq!(
        reading.newest().await.expect("read").map(|(_, at)| at),
        Some(shop::at(0))
    );
}

/// A folder whose place is taken by a file can be written by nobody, the superuser included.
#[tokio::test]
async fn folder_that_cannot_be_written_is_told() {
    let desk = tempfile::tempdir().expect("a folder");
    let taken = desk.path().join("a-file");
    std::fs::write(&taken, "mine").expect("written");
    for folder in [taken.clone(), taken.join("data")] {
        let refused = Ledger::open(&Place::Folder(folder.clone()), Access::Write).await;
        let refused = refused.expect_err("no folder");
        assert!(matches!(refused, Unopened::Folder { .. }), "{refused}");
        assert!(refused.to_string().contains(&folder.display().to_string()));
    }
    assert_eq!(std::fs::read_to_string(&taken).expect("read"), "mine");
}

/// Permissions bind everybody but the superuser, who first becomes nobody.
#[test]
fn read_only_folder_is_told() {
    let desk = tempfile::tempdir().expect("a folder");
    let folder = desk.path().join("data");
    assert!(
        hand(&folder)
            .arg("3")
            .output()
            .expect("it ran")
            .status
            .success()
    );
    let before = std::fs::read(folder.join("rimwright.sqlite3")).expect("read");
    // The test's own folder is closed to others: a copy of the program lies beside the data.
    let program = desk.path().join("hand");
    std::fs::copy(env!("CARGO_BIN_EXE_ledger-hand"), &program).expect("copied");
    let shut = r#"chmod 755 "$1" && chmod 555 "$2" && chmod 444 "$2"/*"#;
    let shut = Command::new("sh")
        .args(["-c", shut, "sh"])
        .arg(desk.path())
        .arg(&folder)
        .status();
    assert!(shut.expect("it ran").success());
    let superuser = Command::new("id")
        .arg("-u")
        .output()
        .expect("it ran")
        .stdout
        == b"0\n";
    let mut hand = match superuser {
        true => {
            let mut nobody = Command::new("setpriv");
            nobody
                .args(["--reuid=65534", "--regid=65534", "--clear-groups"])
                .arg(&program);
            nobody
        }
        false => Command::new(&program),
    };
    let refused = hand.arg(&folder).output().expect("it ran");
    let said = String::from_utf8_lossy(&refused.stderr);
    assert!(
        said.contains("cannot be written") && said.contains("--data"),
        "{said}"
    );
    let open = r#"chmod 755 "$1" && chmod 644 "$1"/*"#;
    let open = Command::new("sh")
        .args(["-c", open, "sh"])
        .arg(&folder)
        .status();
    assert!(open.expect("it ran").success());
    assert_eq!(
        std::fs::read(folder.join("rimwright.sqlite3")).expect("read"),
        before
    );
}

#[tokio::test]
async fn file_that_is_no_ledger_is_told_and_left_alone() {
    let desk = tempfile::tempdir().expect("a folder");
    let file = desk.path().join("rimwright.sqlite3");
    std::fs::write(&file, "a shopping list, ".repeat(1000)).expect("written");
    let before = std::fs::read(&file).expect("read");
    for access in [Access::Write, Access::Read] {
        let place = Place::Folder(desk.path().into());
        let refused = Ledger::open(&place, access).await.expect_err("no ledger");
        let Unopened::Store { trouble, .. } = &refused else {
            panic!("{refused}")
        };
        assert!(matches!(trouble, Trouble::Damaged { .. }), "{refused}");
        assert_eq!(std::fs::read(&file).expect("read"), before);
    }
}

#[tokio::test]
async fn clock_that_jumps_back_is_told_and_changes_no_order() {
    let desk = tempfile::tempdir().expect("a folder");
    let ledger = shop::open(&Place::Folder(desk.path().into())).await;
    let mut order = Vec::new();
    // An hour forward, a year back, and on from there.
    for (minutes, jumps) in [(0, false), (60, false), (-525_600, true), (-525_599, false)] {
        let stamp = shop::stamp(minutes);
        let id = ledger.next_id(stamp.at);
        let setting = ledger::entry::Setting {
            key: "k".into(),
            value: minutes.to_string(),
        };
        let entry = ledger::Entry::new(id, &stamp, setting);
        let receipt = ledger.append(vec![entry.clone()]).await.expect("put in");
        let told: Vec<_> = receipt.findings;
        match jumps {
            false => assert_eq!(told, []),
            true => {
                let (newest, told_now) = (shop::at(60), shop::at(minutes));
                let finding = ledger::Finding::ClockBehind {
                    newest,
                    told: told_now,
                };
                assert_eq!(told, [finding]);
            }
        }
        order.push(entry);
    }
    assert_eq!(
        shop::everything(&ledger).await,
        order,
        "in the order of entry, each with the time as told"
    );
    // What is taken over from elsewhere is old, and no fault of the clock.
    let id = ledger.next_id(Moment::from_micros(0));
    let setting = ledger::entry::Setting {
        key: "k".into(),
        value: "old".into(),
    };
    let old = ledger::Entry::new(id, &shop::stamp(-9_999_999), setting);
    assert_eq!(
        ledger
            .take_over(vec![old])
            .await
            .expect("taken over")
            .findings,
        []
    );
}
