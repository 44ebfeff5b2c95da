//! `measure`: sizes and speeds, each with the command that makes it. Never part of `test`: clocks differ.

use std::process::ExitCode;

use anyhow::Result;

/// Prints the figures.
pub fn command(mut args: lexopt::Parser) -> Result<ExitCode> {
    if let Some(arg) = args.next()? {
        return Err(arg.unexpected().into());
    }
    crate::pack::dist()?;
    Ok(ExitCode::SUCCESS)
}
