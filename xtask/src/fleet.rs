//! `fleet JOB.json`: a table of vehicles and loops in, a table of plans out.

use std::io::Read;
use std::path::PathBuf;
use std::process::ExitCode;

use anyhow::{Context, Result};
use lexopt::prelude::*;
use pourcard::job::{self, fleet::Fleet};

use crate::text;

/// Rows on standard input, plans on standard output; what was wrong, and the sums, on standard error. Exit code 2
/// where the job file or the whole table was refused, 1 where the table was longer than what is read of one.
pub fn command(mut args: lexopt::Parser) -> Result<ExitCode> {
    let mut file = None;
    while let Some(arg) = args.next()? {
        match arg {
            Value(path) if file.is_none() => file = Some(PathBuf::from(path)),
            other => return Err(other.unexpected().into()),
        }
    }
    let file = file.context(
        "fleet needs a job file for shelf and settings: `cargo xtask fleet JOB.json < FLEET.csv > PLANS.csv`",
    )?;
    let bytes = std::fs::read(&file).with_context(|| format!("reading {}", file.display()))?;
    let mut table = Vec::new();
    std::io::stdin()
        .read_to_end(&mut table)
        .context("reading standard input")?;
    let fleet = text::read(&file.display().to_string(), bytes)
        .and_then(|text| job::read(&text).map_err(|fault| fault.message))
        .and_then(|job| Fleet::planned(&job, text::read("the table", table)?));
    let fleet = match fleet {
        Ok(fleet) => fleet,
        Err(refusal) => return Ok(text::refuse("fleet", &refusal)),
    };
    text::print(&text::shown(&fleet.csv()))?;
    for line in fleet.report().chain(fleet.summary()) {
        text::complain(&line);
    }
    Ok(if fleet.cut.is_some() {
        ExitCode::FAILURE
    } else {
        ExitCode::SUCCESS
    })
}
