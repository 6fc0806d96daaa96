//! The records out and in again by verbs, and parts that are called back, on either store.
//!
//! The exports are written here, by the guide; wheels and readings in them are made up.

mod shop;

use serde_json::{Value, json};
use shop::desk::{Desk, text};
use shop::lines::Lines;

#[test]
fn export_goes_into_other_records_and_out_again_byte_by_byte() {
    let (here, there, third) = (Desk::new(), Desk::new(), Desk::new());
    here.put(
        "by-hand.jsonl",
        include_bytes!("../../workshop/tests/exports/version-1.jsonl"),
    );
    here.done(&["import", "by-hand.jsonl"]);
    here.visit_in();
    let lines = here.exported("all.jsonl");
    there.put("from-there.jsonl", &lines);
    there.done(&["import", "from-there.jsonl"]);
    assert!(there.exported("again.jsonl") == lines);
    let printed = here.done(&["export"]);
    assert_eq!(printed.out.as_bytes(), lines);

    let all = String::from_utf8(lines).expect("UTF-8");
    third.visit_in(); // these records are used
    let own = third.exported("own.jsonl");
    let said = third.run_with_input(&["import", "-"], &all);
    assert_eq!(said.code, 0, "{}", said.err);
    let both = String::from_utf8(third.exported("both.jsonl")).expect("UTF-8");
    for line in String::from_utf8(own)
        .expect("UTF-8")
        .lines()
        .chain(all.lines())
    {
        let is_count = line.starts_with("{\"entries\":");
        assert!(
            is_count || both.lines().any(|other| other == line),
            "{line}"
        );
    }
    let again = third.json(&["import", "both.jsonl"]);
    assert_eq!(again["files"][0]["written"], 0);

    let rows = here.done(&["export", "--readings"]).out;
    let by_hand = include_str!("../../workshop/tests/exports/version-1.csv");
    for row in by_hand.lines() {
        assert!(rows.lines().any(|other| other == row), "{row}");
    }
    assert_eq!(
        rows.lines().count(),
        by_hand.lines().count() + 32,
        "and the visit's two laps of 16"
    );

    there.put(
        "broken.jsonl",
        all.replace("\"by\":\"M\"", "\"by\":7").as_bytes(),
    );
    let told = there.told(&["import", "broken.jsonl"]);
    assert!(
        told.contains("broken.jsonl:") && told.contains("`by` is 7"),
        "{told}"
    );
}

/// Whoever reads the output may have seen enough.
#[test]
fn export_ends_quietly_when_nobody_reads_any_more() {
    use std::process::{Command, Stdio};
    let desk = Desk::in_a_folder();
    desk.done(&["demo"]);
    let mut child = Command::new(env!("CARGO_BIN_EXE_rimwright"))
        .args(["export", "--data"])
        .arg(desk.path("data"))
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    drop(child.stdout.take());
    let said = child.wait_with_output().expect("the program ends");
    assert!(said.status.success() && said.stderr.is_empty(), "{said:?}");
}

/// Two shops that began with the same export and went on apart: what each says, and the rig both had.
fn apart() -> (Lines, Lines, String) {
    let mut base = Lines::new();
    base.wheel("K7M2QK", "Ines");
    let rig = |name: &str| json!({"name": name});
    let first = base.entry("rig", rig("the screw"));
    let (mut here, mut there) = (base.clone(), base);
    // Ids that both gave to other things; a label that both gave.
    here.correction(&first, "rig", rig("the long screw"));
    there.entry("rig", rig("the lever"));
    there.entry("rig", rig("the vice"));
    here.entry("rig", rig("the press"));
    here.wheel("32222R", "Oda");
    there.entry("setting", json!({"key": "decide_at", "value": "0.95"}));
    there.entry("rig", rig("the spring"));
    there.wheel("32222R", "Per");
    (here, there, first)
}

#[test]
fn contradictions_are_listed_one_by_one_and_ours_is_kept_when_they_are_left_out() {
    let desk = Desk::new();
    let (ours, mut theirs, rig) = apart();
    let wheel = theirs.wheel("HARBRE", "Uno");
    let other = theirs.wheel("K7M2QK", "Sif"); // the label of a wheel of ours
    theirs.entry(
        "visit",
        json!({"wheel": other, "taken": "2026-03-04T09:20:00Z", "taken_zone": "+01:00", "not_checked": ""}),
    );
    theirs.rim(&wheel, json!({"serial": "FL-1"}));
    theirs.correction(&rig, "rig", json!({"name": "the short screw"}));
    desk.put("ours.jsonl", ours.text().as_bytes());
    desk.put("theirs.jsonl", theirs.text().as_bytes());
    desk.done(&["import", "ours.jsonl"]);
    let before = desk.exported("before.jsonl");

    let told = desk.told(&["import", "theirs.jsonl"]);
    let listed = [
        (
            "line 4, rig ",
            "is in the ledger with other content; an entry is never changed",
        ),
        ("line 5, rig ", "is in the ledger with other content"),
        ("line 6, setting ", "is in the ledger with other content"),
        ("line 8, wheel ", "the label 32222R is on another wheel"),
        ("line 10, wheel ", "the label K7M2QK is on another wheel"),
        ("line 13, rig ", "was changed meanwhile by M"),
    ];
    let lines: Vec<&str> = told
        .lines()
        .filter(|line| line.starts_with("line "))
        .collect();
    assert_eq!(lines.len(), listed.len(), "{told}");
    for (line, (at, says)) in lines.iter().zip(listed) {
        assert!(line.starts_with(at) && line.contains(says), "{line}");
    }
    assert!(
        told.contains("Nothing was written; `--leave-conflicts`"),
        "{told}"
    );
    let refused = desk.run(&["import", "theirs.jsonl", "--json"]);
    assert_eq!(refused.code, 3, "{}", refused.out);
    let data: Value = serde_json::from_str(&refused.out).expect("one JSON object");
    let file = &data["files"][0];
    let at = |file: &Value| -> Vec<u64> {
        let conflicts = file["conflicts"].as_array().expect("a list").iter();
        conflicts.filter_map(|one| one["line"].as_u64()).collect()
    };
    assert_eq!(
        (at(file), &file["written"], &file["kind"]),
        (vec![4, 5, 6, 8, 10, 13], &json!(0), &json!("export"))
    );
    assert!(desk.exported("still.jsonl") == before);

    let done = desk.json(&["import", "theirs.jsonl", "--leave-conflicts"]);
    let file = &done["files"][0];
    assert_eq!(
        at(file),
        [4, 5, 6, 8, 10, 11, 13],
        "the visit hangs on a wheel that was left out"
    );
    assert_eq!((&file["known"], &file["written"]), (&json!(2), &json!(3)));
    let after = String::from_utf8(desk.exported("after.jsonl")).expect("UTF-8");
    for line in String::from_utf8(before).expect("UTF-8").lines() {
        assert!(
            line.starts_with("{\"entries\":") || after.contains(line),
            "ours is as it was: {line}"
        );
    }
    assert!(!after.contains("Sif") && !after.contains("the lever") && after.contains("Uno"));
    let twice = desk.json(&["import", "theirs.jsonl", "--leave-conflicts"]);
    assert_eq!(
        (&twice["files"][0]["known"], &twice["files"][0]["written"]),
        (&json!(5), &json!(0))
    );
}

/// However many there are, none is left untold.
#[test]
fn every_contradiction_is_listed() {
    let desk = Desk::new();
    let (mut ours, mut theirs) = (Lines::new(), Lines::new());
    for number in 1..=30 {
        ours.entry("rig", json!({"name": format!("our rig {number}")}));
        theirs.entry("rig", json!({"name": format!("their rig {number}")}));
    }
    desk.put("ours.jsonl", ours.text().as_bytes());
    desk.put("theirs.jsonl", theirs.text().as_bytes());
    desk.done(&["import", "ours.jsonl"]);
    let told = desk.run(&["import", "theirs.jsonl", "--json"]);
    assert_eq!(told.code, 3, "{}", told.out);
    let listed = told.err.lines().filter(|line| line.starts_with("line "));
    assert_eq!(listed.count(), 30, "{}", told.err);
    let data: Value = serde_json::from_str(&told.out).expect("one JSON object");
    let conflicts = data["files"][0]["conflicts"].as_array();
    assert_eq!(conflicts.map(Vec::len), Some(30));
}

/// What contradicts itself, or names what is in neither, would go in by halves.
#[test]
fn export_that_does_not_hold_together_is_refused_before_anything_is_written() {
    let desk = Desk::new();
    let mut whole = Lines::new();
    let gauge = whole.entry("gauge", json!({"label": "G", "file": "format = 1\n"}));
    let check =
        json!({"gauge": gauge, "raw": "25", "reading": 25.0, "expected": 25.0, "tolerance": 0.5});
    type Spoils = fn(&mut Lines, &str);
    let cases: [(Spoils, &str); 5] = [
        (
            |lines, _| {
                lines.wheel("K7M2QK", "Ines");
                lines.wheel("K7M2QK", "Oda");
            },
            "is on another wheel",
        ),
        (
            |lines, gauge| {
                for label in ["G1", "G2"] {
                    lines.correction(
                        gauge,
                        "gauge",
                        json!({"label": label, "file": "format = 1\n"}),
                    );
                }
            },
            "was changed meanwhile by M",
        ),
        (
            |lines, gauge| {
                lines.rim(gauge, json!({}));
            },
            "that is a gauge, and may be wheel",
        ),
        (
            |lines, _| {
                lines.rim("019cb878-0000-7000-8000-00000000ffff", json!({}));
            },
            "which is not in the ledger",
        ),
        (
            |lines, gauge| {
                lines.correction(gauge, "rig", json!({"name": "screw"}));
            },
            "that is a gauge, and may be rig",
        ),
    ];
    for (spoils, says) in cases {
        let mut lines = whole.clone();
        lines.entry("rod_check", check.clone());
        spoils(&mut lines, &gauge);
        desk.put("spoilt.jsonl", lines.text().as_bytes());
        let told = desk.told(&["import", "spoilt.jsonl"]);
        assert!(
            told.contains(says) && told.contains("Nothing was written"),
            "{told}"
        );
        assert_eq!(
            desk.exported("none.jsonl")
                .split(|byte| *byte == b'\n')
                .count(),
            3,
            "{says}"
        );
    }
    // Two lines changed places.
    whole.entry("rod_check", check);
    let text = whole.text();
    let mut lines: Vec<&str> = text.lines().collect();
    lines.swap(1, 2);
    desk.put("spoilt.jsonl", lines.join("\n").as_bytes());
    let told = desk.told(&["import", "spoilt.jsonl"]);
    assert!(
        told.contains("spoilt.jsonl:3:1: entries stand in the order of their ids"),
        "{told}"
    );
}

/// The labels of what a trace found to be so certain.
fn found(json: &Value, certainty: &str) -> Vec<String> {
    let all = json["found"].as_array().expect("a list").iter();
    let of = all.filter(|one| one["certainty"] == certainty);
    of.map(|one| text(&one["wheel"]["label"])).collect()
}

#[test]
fn trace_lists_the_range_with_owners_and_what_nobody_noted_as_unknown() {
    let desk = Desk::new();
    let mut lines = Lines::new();
    let labels = ["222222", "32222R", "K7M2QK", "HARBRE", "42222D", "52222W"];
    let owners = ["Ines", "Oda", "Per", "Uno", "Sif", "Tor"];
    let wheels: Vec<String> = labels
        .iter()
        .zip(owners)
        .map(|(label, owner)| lines.wheel(label, owner))
        .collect();
    lines.rim(&wheels[0], json!({"serial": "FL-9", "lot": "L6"}));
    lines.rim(
        &wheels[1],
        json!({"serial": "FL-0042", "lot": "L7", "model": "Breakwater 45", "note": "red"}),
    );
    lines.rim(&wheels[2], json!({"serial": "fl-100", "lot": "L10"}));
    lines.rim(&wheels[3], json!({"note": "the sticker is gone"}));
    lines.entry(
        "part",
        json!({"wheel": wheels[4], "what": "rim", "maker": "Gannet", "serial": "FL-50"}),
    );
    lines.entry(
        "part",
        json!({"wheel": wheels[5], "what": "rim", "serial": "FL-50"}),
    );
    let visit = json!({"wheel": wheels[1], "taken": "2026-03-04T09:20:00Z", "taken_zone": "+01:00", "not_checked": "", "asked": "It ticks."});
    let visit = lines.entry("visit", visit);
    lines.entry(
        "look",
        json!({"visit": visit, "spoke": 7, "finding": "a crack at the seat"}),
    );
    lines.entry(
        "turn",
        json!({"about": visit, "spoke": 3, "turns": 0.25, "state": "done"}),
    );
    let plan = lines.entry("plan", json!({"visit": visit, "text": "spokes 3 and 5"}));
    for (spoke, state) in [(3, "done"), (5, "undone")] {
        let turn = json!({"about": plan, "spoke": spoke, "turns": -0.125, "state": state});
        lines.entry("turn", turn);
    }
    lines.entry(
        "advice",
        json!({"visit": visit, "text": "A new rim.", "answer": "refused", "reply": "Next month."}),
    );
    desk.put("all.jsonl", lines.text().as_bytes());
    desk.done(&["import", "all.jsonl"]);

    let json = desk.json(&["trace", "fjordline", "--serial", "FL-10", "FL-0100"]);
    assert_eq!(
        found(&json, "in range"),
        ["32222R", "K7M2QK"],
        "as one counts, not as one spells"
    );
    assert_eq!(found(&json, "unknown"), ["HARBRE"]);
    let seen = &json["found"][0];
    assert_eq!(
        (&seen["wheel"]["owner"], &seen["lot"]),
        (&json!("Oda"), &json!("L7"))
    );
    let done = &seen["done"][0];
    assert_eq!(done["asked"], "It ticks.");
    assert_eq!(
        (&done["looks"], &done["turns"]),
        (&json!(["a crack at the seat"]), &json!(2))
    );
    assert!(text(&done["advice"][0]).contains("refused"), "{done}");

    let lots = desk.json(&["trace", "Fjordline", "--lot", "L7", "L10"]);
    assert_eq!(found(&lots, "in range"), ["32222R", "K7M2QK"]);
    let one = desk.json(&["trace", "Fjordline", "--lot", "l6"]);
    assert_eq!(found(&one, "in range"), ["222222"]);
    let all = desk.json(&["trace", "Fjordline"]);
    assert_eq!(found(&all, "in range").len(), 4);

    let said = desk
        .done(&["trace", "Fjordline", "--serial", "FL-10", "FL-100"])
        .out;
    for line in [
        "Affected",
        "32222R rear: rim, Breakwater 45, lot L7, serial FL-0042, of Oda, by the slip",
        "seen: a crack at the seat",
        "advised: A new rim. (refused)",
        "Unknown: no serial was noted; take them for affected until somebody looks",
        "HARBRE rear: rim, of Uno, by the slip",
        "Parts whose maker nobody noted are not among these.",
    ] {
        assert!(said.contains(line), "{line}: {said}");
    }
    let none = desk.done(&["trace", "Gannet", "--serial", "FL-60"]).out;
    assert_eq!(none.matches("  none\n").count(), 2, "{none}");
    desk.told(&["trace", " "]);
}
