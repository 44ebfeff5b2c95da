//! `answer FILE`: a job file in, its answer out.

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
    let text =
        std::fs::read_to_string(&file).with_context(|| format!("reading {}", file.display()))?;
    let (answer, refused) = pourcard::job::answer_text(&text);
    println!("{}", answer.trim_end());
    Ok(if refused {
        ExitCode::from(2)
    } else {
        ExitCode::SUCCESS
    })
}
