//! `fleet JOB.json`: a table of vehicles and loops in, a table of plans out.

use std::io::{Read, Write};
use std::path::PathBuf;
use std::process::ExitCode;

use anyhow::{Context, Result};
use lexopt::prelude::*;
use pourcard::job::{self, fleet::Fleet};

/// Rows on standard input, plans on standard output; what was wrong, and the sums, on standard error. Exit code 2
/// where the job file or the whole table was refused.
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
    let table = String::from_utf8_lossy(&table).into_owned();
    let fleet = job::read(&String::from_utf8_lossy(&bytes))
        .map_err(|fault| fault.message)
        .and_then(|job| Fleet::planned(&job, table));
    match fleet {
        Ok(fleet) => {
            std::io::stdout().write_all(fleet.csv().as_bytes())?;
            for line in fleet.report() {
                eprintln!("{line}");
            }
            for line in fleet.summary() {
                eprintln!("{line}");
            }
            Ok(ExitCode::SUCCESS)
        }
        Err(refusal) => {
            eprintln!("fleet: {refusal}");
            Ok(ExitCode::from(2))
        }
    }
}
