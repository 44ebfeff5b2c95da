//! Fleets: a table of vehicles in, plans, sums and a report out.
//!
//! What a plan should be comes from three sides: three rows worked by hand, an independent mass balance that replays
//! every card (`tests/common`), and the project's own answer to one job of all the loops. Tables are written and read
//! back with the csv crate.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)] // a test may panic

#[path = "../common/mod.rs"]
mod common;

mod cells;
mod plans;
mod whole;

use pourcard::job::{self, file::Job, fleet::*};

const JOB: &str = include_str!("../../data/demo/orchard_fleet.json");
const FLEET: &str = include_str!("../../data/demo/orchard_fleet.csv");

/// The orchard's shelf and settings.
fn orchard() -> Job {
    job::read(JOB).unwrap()
}

fn planned(job: &Job, table: &str) -> Fleet {
    Fleet::planned(job, table.to_owned()).unwrap()
}

fn report(fleet: &Fleet) -> Vec<String> {
    fleet.report().collect()
}

/// The rows of a table out, by the csv crate.
fn rows_of(text: &str, separator: u8) -> Vec<Vec<String>> {
    let text = text.strip_prefix('\u{feff}').expect("a byte order mark");
    assert!(
        text.replace("\r\n", "")
            .bytes()
            .all(|b| b != b'\n' && b != b'\r'),
        "CRLF only"
    );
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(separator)
        .has_headers(false)
        .from_reader(text.as_bytes());
    let rows = reader
        .records()
        .map(|r| r.unwrap().iter().map(str::to_owned).collect());
    rows.collect()
}

fn plan(row: &Row) -> &Plan {
    row.outcome
        .as_ref()
        .unwrap_or_else(|wrong| panic!("line {}: {wrong:?}", row.line))
}

/// The orchard's job with nothing for sale, so that what is there is all there is.
fn unsold() -> Job {
    let mut job = orchard();
    job.shelf.iter_mut().for_each(|stock| stock.packs.clear());
    job.loops[0].additive.as_mut().unwrap().packs.clear();
    job
}

/// The same without an additive or a draw limit; it aims at 50 ± 2 % and measures in 0.1 L.
fn plain_job() -> Job {
    let mut job = unsold();
    job.loops[0].additive = None;
    job.loops[0].drains = None;
    job
}

/// A table of many rows, every way of knowing what is in a loop.
fn many(rows: usize) -> String {
    let mut table = "vehicle;loop;glycol;volume [L];missing [L];now;sample [degC];aim [%];drains [%];left_behind [L]\r\n".to_owned();
    for i in 0..rows {
        let volume = 3.0 + (i * 37 % 230) as f64 / 10.0;
        let missing = volume * (i % 5) as f64 / 40.0;
        let reading = i * 7 % 60;
        let now = match i % 9 {
            0 => "water".to_owned(),
            1 => "unknown".to_owned(),
            2 => "flushed".to_owned(),
            3 => format!("{} degC", -3 - (reading as i32) / 2),
            4 => format!("1,0{:02} SG", 10 + reading / 2),
            5 => "empty".to_owned(),
            _ => format!("{reading} %"),
        };
        let line = format!(
            "Truck {i};Engine;ethylene;{volume:.1};{missing:.2};{now};20;{};{};{:.1}\r\n",
            42 + i % 14,
            if i % 4 == 0 { "" } else { "80" },
            volume * 0.2,
        );
        let (head, tail) = line.split_at(line.rfind("ethylene").unwrap());
        table += head;
        table += &tail.replace('.', ",");
    }
    table
}
