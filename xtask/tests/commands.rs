//! The commands as they are run: what they do with bytes that are no text, and with readers that go away.

#![allow(clippy::unwrap_used, clippy::panic, missing_docs)] // a test may panic

use std::fs;
use std::io::{Read, Write};
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

const VAN: &str = include_str!("../../data/demo/bakery_van.json");
const ORCHARD: &str = include_str!("../../data/demo/orchard_fleet.json");
const FLEET: &str = include_str!("../../data/demo/orchard_fleet.csv");
const PROPERTIES: &str = include_str!("../../data/demo/properties.csv");

/// A file of this test's own, in the folder cargo keeps for tests.
fn file(name: &str, bytes: &[u8]) -> PathBuf {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    fs::write(&path, bytes).unwrap();
    path
}

fn xtask(words: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_xtask"));
    command.args(words);
    command
}

/// Run with these bytes on standard input.
fn run(mut command: Command, input: &[u8]) -> Output {
    command
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped());
    let mut child = command.spawn().unwrap();
    let mut stdin = child.stdin.take().unwrap();
    let input = input.to_vec();
    // Beside the reading: a pipe holds only so much. Whoever refuses its input may not read all of it.
    let writer = std::thread::spawn(move || drop(stdin.write_all(&input)));
    let output = child.wait_with_output().unwrap();
    writer.join().unwrap();
    output
}

fn said(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

fn answer(name: &str, bytes: &[u8]) -> Output {
    let path = file(name, bytes);
    run(xtask(&["answer", path.to_str().unwrap()]), b"")
}

#[test]
fn a_byte_order_mark_is_taken_by_all() {
    let mark = "\u{feff}";
    let plain = answer("plain.json", VAN.as_bytes());
    let marked = answer("marked.json", [mark, VAN].concat().as_bytes());
    assert_eq!(
        (marked.status.code(), &marked.stdout),
        (Some(0), &plain.stdout)
    );

    let job = file("marked_orchard.json", [mark, ORCHARD].concat().as_bytes());
    let job = job.to_str().unwrap();
    let table = [mark, FLEET].concat();
    let fleet = run(xtask(&["fleet", job]), table.as_bytes());
    assert_eq!(fleet.status.code(), Some(0), "{}", said(&fleet));

    let rows = [mark, PROPERTIES].concat();
    let marked = run(xtask(&["properties"]), rows.as_bytes());
    let plain = run(xtask(&["properties"]), PROPERTIES.as_bytes());
    assert_eq!(
        (marked.status.code(), &marked.stdout),
        (Some(0), &plain.stdout)
    );
}

/// "Mühle" as ISO 8859-1 has it: an umlaut would be lost by a guess.
#[test]
fn what_is_not_utf_8_is_refused_and_said() {
    let latin = |text: &str| -> Vec<u8> {
        let mut bytes = text.as_bytes().to_vec();
        bytes.extend(b"M\xfchle");
        bytes
    };
    let job = file("orchard.json", ORCHARD.as_bytes());
    let of_fleet = run(xtask(&["fleet", job.to_str().unwrap()]), &latin(FLEET));
    let of_properties = run(xtask(&["properties"]), &latin(PROPERTIES));
    let of_answer = answer("latin.json", &latin(VAN));
    for output in [of_fleet, of_properties, of_answer] {
        assert_eq!(output.status.code(), Some(2), "{}", said(&output));
        assert!(said(&output).contains("not UTF-8"), "{}", said(&output));
        assert!(output.stdout.is_empty());
    }
}

/// Neither a terminal's escape (U+001B) nor its one-character form (U+009B) comes out as it went in.
#[test]
fn no_control_character_is_echoed() {
    let steering = |output: &Output| {
        let text = [&output.stdout[..], &output.stderr].concat();
        let text = String::from_utf8(text).unwrap();
        let plain = ['\n', '\r', '\t'];
        text.chars().find(|c| c.is_control() && !plain.contains(c))
    };
    let named = VAN.replacen("\"name\": \"", "\"name\": \"\\u001b[2J\\u009b\\u007f", 1);
    assert_ne!(named, VAN);
    let broken = [r#"{"pourcard": 1, "a"#, "\\u001b\\u009b", r#"": 1}"#].concat();
    let mut outputs = vec![
        answer("steering.json", named.as_bytes()),
        answer("steering_key.json", broken.as_bytes()),
        run(xtask(&["answer", "no\u{1b}such\u{9b}file"]), b""),
        run(xtask(&["properties"]), b"\x1b\xc2\x9b\n"),
        run(
            xtask(&["properties"]),
            [PROPERTIES, "\u{1b}\u{9b},,,,,\n"].concat().as_bytes(),
        ),
    ];
    let job = file("steered_orchard.json", ORCHARD.as_bytes());
    let table = "vehicle,volume,now\n\u{1b}[2J\u{9b},8 L,42 %\n\u{1b}]0;\u{7},8 L,x\u{1b}\n";
    outputs.push(run(
        xtask(&["fleet", job.to_str().unwrap()]),
        table.as_bytes(),
    ));
    let job = file("steering_job.json", broken.as_bytes());
    outputs.push(run(
        xtask(&["fleet", job.to_str().unwrap()]),
        table.as_bytes(),
    ));
    for output in outputs {
        assert_eq!(steering(&output), None, "{output:?}");
    }
}

/// As `| head -c 1` does: more is written than a pipe holds, and nobody reads it.
#[test]
fn a_broken_pipe_ends_quietly() {
    let rows = PROPERTIES.lines().last().unwrap();
    let table = [PROPERTIES, &[rows, "\n"].concat().repeat(20_000)].concat();
    let mut child = xtask(&["properties"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut stdin = child.stdin.take().unwrap();
    let writer = std::thread::spawn(move || drop(stdin.write_all(table.as_bytes())));
    let mut first = [0];
    let mut stdout = child.stdout.take().unwrap();
    stdout.read_exact(&mut first).unwrap();
    drop(stdout);
    writer.join().unwrap();
    let output = child.wait_with_output().unwrap();
    assert_eq!(
        (output.status.code(), said(&output).as_str()),
        (Some(0), "")
    );
}

/// A device with no room: said, and exit code 1; where nothing can be said either, still no panic (101).
#[cfg(target_os = "linux")]
#[test]
fn a_full_device_is_a_failure_and_no_panic() {
    let full = || {
        fs::OpenOptions::new()
            .write(true)
            .open("/dev/full")
            .unwrap()
    };
    let van = file("van_full.json", VAN.as_bytes());
    let job = file("orchard_full.json", ORCHARD.as_bytes());
    let commands: [(&[&str], &str); 4] = [
        (&["answer", van.to_str().unwrap()], ""),
        (&["fleet", job.to_str().unwrap()], FLEET),
        (&["properties"], PROPERTIES),
        (&["--help"], ""),
    ];
    for (words, input) in commands {
        let input = file("full_input.csv", input.as_bytes());
        let mut command = xtask(words);
        command
            .stdin(fs::File::open(&input).unwrap())
            .stdout(full())
            .stderr(Stdio::piped());
        let output = command.spawn().unwrap().wait_with_output().unwrap();
        assert_eq!(output.status.code(), Some(1), "{words:?}");
        assert!(
            said(&output).contains("standard output"),
            "{}",
            said(&output)
        );

        let status = xtask(words)
            .stdin(fs::File::open(&input).unwrap())
            .stdout(full())
            .stderr(full())
            .status();
        assert_eq!(status.unwrap().code(), Some(1), "{words:?}");
    }
    let refused = xtask(&["properties"])
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(full())
        .status();
    assert_eq!(refused.unwrap().code(), Some(2));
}

#[test]
fn a_fleet_cut_short_ends_with_1() {
    let job = file("orchard_cut.json", ORCHARD.as_bytes());
    let words = ["fleet", job.to_str().unwrap()];
    let rows = pourcard::job::fleet::MOST_ROWS + 1;
    let table = ["volume,now\n", &"x,x\n".repeat(rows)].concat();
    let cut = run(xtask(&words), table.as_bytes());
    assert_eq!(cut.status.code(), Some(1));
    let out = String::from_utf8(cut.stdout).unwrap();
    assert!(out.lines().last().unwrap().contains("INCOMPLETE"));
}

/// The demo's logs: invented, with a change of −6 K, above full open. What refuses a log is named, with exit code 2.
#[test]
fn logs_are_compared() {
    let demo = |name: &str| {
        Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("../data/demo")
            .join(name)
    };
    let (before, after) = (demo("tractor_before.csv"), demo("tractor_after.csv"));
    let compare = |words: &[&str]| {
        let mut command = xtask(&["compare"]);
        command.args([&before, &after]).args(words);
        run(command, b"")
    };
    let told = compare(&["--opens", "82"]);
    let text = String::from_utf8(told.stdout).unwrap();
    assert!(told.status.success(), "{text}");
    assert!(
        text.contains("drives: 4") && text.contains("coolant from"),
        "{text}"
    );
    assert!(
        text.contains("Coolant, above full open: cooler by "),
        "{text}"
    );
    let told = compare(&["--opens", "82", "--json"]);
    let found: serde_json::Value = serde_json::from_slice(&told.stdout).unwrap();
    let signal = &found["signals"][0];
    let (k, half) = (
        signal["difference_k"].as_f64().unwrap(),
        signal["plus_minus_k"].as_f64().unwrap(),
    );
    assert!((k + 6.0).abs() <= half, "{signal}");
    assert!(!compare(&["--column", "nothing=x"]).status.success());
    let bare = file("bare.csv", b"time,rpm\n1,2\n");
    let mut command = xtask(&["compare"]);
    command.args([&bare, &after]);
    let told = run(command, b"");
    assert_eq!(told.status.code(), Some(2));
    assert!(
        String::from_utf8(told.stderr)
            .unwrap()
            .contains("no column for a temperature")
    );
}
