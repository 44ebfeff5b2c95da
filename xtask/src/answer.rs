//! `answer FILE`: a job file in, its answer out.

use std::path::PathBuf;
use std::process::ExitCode;

use anyhow::{Context, Result};
use lexopt::prelude::*;

use crate::text;

/// Prints the answer as JSON. Exit code 2 where the file was refused; the answer then says why, or, where it is no text
/// at all, standard error does.
pub fn command(mut args: lexopt::Parser) -> Result<ExitCode> {
    let mut file = None;
    while let Some(arg) = args.next()? {
        match arg {
            Value(path) if file.is_none() => file = Some(PathBuf::from(path)),
            other => return Err(other.unexpected().into()),
        }
    }
    let file = file.context("answer needs a job file: `cargo xtask answer FILE`")?;
    let bytes = std::fs::read(&file).with_context(|| format!("reading {}", file.display()))?;
    let job = match text::read(&file.display().to_string(), bytes) {
        Ok(job) => job,
        Err(words) => return Ok(text::refuse("answer", &words)),
    };
    let (answer, refused) = pourcard::job::answer_text(&job);
    text::print(&format!("{}\n", json(answer.trim_end())))?;
    Ok(if refused {
        ExitCode::from(2)
    } else {
        ExitCode::SUCCESS
    })
}

/// JSON escapes the first control characters by itself; the others, which steer some terminals, it lets stand.
fn json(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\u{7f}'..='\u{9f}' => out += &format!("\\u{:04x}", c as u32),
            _ => out.push(c),
        }
    }
    out
}
