//! `properties`: fluid properties for scripts, CSV in and CSV out.

use std::io::{Read, Write};
use std::process::ExitCode;

use anyhow::{Context, Result};

/// Rows on standard input, the same rows with value, unit and error on standard output. Exit code 2 where the
/// whole text was refused.
pub fn command(mut args: lexopt::Parser) -> Result<ExitCode> {
    if let Some(arg) = args.next()? {
        return Err(arg.unexpected().into());
    }
    let mut text = String::new();
    std::io::stdin()
        .read_to_string(&mut text)
        .context("reading standard input")?;
    match pourcard::job::properties::answer_csv(&text) {
        Ok(rows) => {
            std::io::stdout().write_all(rows.as_bytes())?;
            Ok(ExitCode::SUCCESS)
        }
        Err(refusal) => {
            eprintln!("properties: {refusal}");
            Ok(ExitCode::from(2))
        }
    }
}
