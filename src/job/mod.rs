//! The job and its answer as data: read, validated into checked types, answered, written.
//!
//! Invariants: raw ([`file`]) and checked are two types; an error names the key, the value and what was expected.
//! Absent on purpose: physics (the engine's), words for labels (the page's), storage and clocks.

pub mod answer;
pub mod file;
mod read;
pub mod units;

pub use read::{read, write};

use answer::{Answer, Fault};

/// Answers a job. Never fails as a whole: each loop carries its own error.
pub fn answer(job: &file::Job) -> Answer {
    Answer {
        pourcard: job.pourcard,
        error: None,
        cautions: Vec::new(),
        loops: Vec::new(),
    }
}

/// Reads a job file's text, answers it, and writes the answer as JSON; `true` where the file was refused.
pub fn answer_text(text: &str) -> (String, bool) {
    let (answer, refused) = match read(text) {
        Ok(job) => (answer(&job), false),
        Err(fault) => (refusal(fault), true),
    };
    let json = serde_json::to_string_pretty(&answer).unwrap_or_default();
    (json, refused)
}

fn refusal(fault: Fault) -> Answer {
    Answer {
        pourcard: file::VERSION,
        error: Some(fault),
        cautions: Vec::new(),
        loops: Vec::new(),
    }
}
