//! `answer FILE`: a job file in, its answer out.

use std::io::Write;
use std::path::PathBuf;
use std::process::ExitCode;

use anyhow::{Context, Result};
use lexopt::prelude::*;

/// Prints the answer as JSON. Exit code 2 where the file was refused; the answer then says why.
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
    // Bytes that are no text become U+FFFD, and the job file's own reader refuses them with its reason.
    let (answer, refused) = pourcard::job::answer_text(&String::from_utf8_lossy(&bytes));
    writeln!(std::io::stdout(), "{}", answer.trim_end())?;
    Ok(if refused {
        ExitCode::from(2)
    } else {
        ExitCode::SUCCESS
    })
}
