//! The job and its answer as data: read, validated into checked types, answered, written.
//!
//! Invariants: raw ([`file`]) and checked are two types; an error names the key, the value and what was expected.
//! Absent on purpose: physics (the engine's), words for labels (the page's), storage and clocks.

pub mod after;
pub mod after_file;
pub mod answer;
pub mod bidi;
mod card;
mod check;
mod chemistry;
pub mod curve;
mod doses;
pub mod figure;
pub mod file;
pub mod fleet;
pub mod limits;
pub mod log;
pub mod message;
pub mod money;
mod only;
pub mod properties;
mod read;
pub mod record;
mod reply;
mod share;
mod sheet;
pub mod units;
pub mod water;

pub use read::{read, write, write_compact};
pub use reply::answer;

use answer::{Answer, Fault};

/// Reads a job file's text, answers it, and writes the answer as JSON; `true` where the file was refused.
pub fn answer_text(text: &str) -> (String, bool) {
    let answer = match read(text) {
        Ok(job) => {
            let mut answer = answer(&job);
            after::add(&job, &mut answer);
            answer
        }
        Err(fault) => refusal(fault),
    };
    let refused = answer.error.is_some();
    (
        serde_json::to_string_pretty(&answer).unwrap_or_default(),
        refused,
    )
}

fn refusal(fault: Fault) -> Answer {
    Answer {
        pourcard: file::VERSION,
        error: Some(fault),
        cautions: Vec::new(),
        left_out: Vec::new(),
        loops: Vec::new(),
        sheet: None,
        survey: None,
    }
}
