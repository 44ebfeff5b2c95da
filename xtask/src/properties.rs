//! `properties`: fluid properties for scripts, CSV in and CSV out.

use std::io::Read;
use std::process::ExitCode;

use anyhow::{Context, Result};

use crate::text;

/// Rows on standard input, the same rows with value, unit and error on standard output. Exit code 2 where the
/// whole text was refused.
pub fn command(mut args: lexopt::Parser) -> Result<ExitCode> {
    if let Some(arg) = args.next()? {
        return Err(arg.unexpected().into());
    }
    let mut bytes = Vec::new();
    std::io::stdin()
        .read_to_end(&mut bytes)
        .context("reading standard input")?;
    let answered = text::read("standard input", bytes)
        .and_then(|text| pourcard::job::properties::answer_csv(&text).map_err(|e| e.to_string()));
    match answered {
        Ok(rows) => {
            text::print(&text::shown(&rows))?;
            Ok(ExitCode::SUCCESS)
        }
        Err(refusal) => Ok(text::refuse("properties", &refusal)),
    }
}
