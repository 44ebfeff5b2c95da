//! Project tasks: `cargo xtask COMMAND`.
//!
//! Each command installs what it lacks, prints what it does, and exits with 0 (done), 1 (failed) or 2 (the input
//! was refused). Absent on purpose: anything the page itself needs; this is for people and CI.

mod answer;
mod browser;
mod bundle;
mod compare;
mod compile;
mod compress;
mod deep;
mod dependencies;
mod fleet;
mod lean;
mod measure;
mod notices;
mod pack;
mod policy;
mod project;
mod properties;
mod python;
mod serve;
mod sizes;
mod steps;
mod test;
mod text;
mod worker;

use std::process::ExitCode;

use anyhow::{Result, bail};
use lexopt::prelude::*;

const HELP: &str = "\
cargo xtask COMMAND

  serve [--port N]       build the page and serve it on this machine (port 8080; 0 picks a free one)
        [--no-build]     … the folder as it stands
        [--dir FOLDER]   … another folder than dist/
  build                  make dist/, the folder to put on any web server
        [--out FOLDER]   … in another folder
        [--stamp TEXT]   … marked with TEXT, so that two builds of one source can be told apart
  test                   every check, real browsers included: the same verdict every time
       [--deep]          … and the long ones, some of them by chance
       [--seed N]        … by the chance of an earlier run
  measure                sizes and speeds, each with the command that makes it
  properties             fluid properties: CSV on standard input, CSV on standard output
  answer FILE            a job file's answer as JSON (exit 2: the file was refused)
  fleet FILE             a table of vehicles on standard input, their plans on standard output (CSV), for the
                         shelf and settings of a job file
  compare BEFORE AFTER   logs of drives before and after a change (CSV); more of each: A B --after C D
          [--column coolant=HEADING] [--unit coolant=degF] [--opens 82] [--full-open 95] [--opens-after 77]
          [--full-open-after 90] [--accuracy 2] [--planned 5] [--fahrenheit] [--json]
";

fn main() -> ExitCode {
    match run() {
        Ok(code) => code,
        Err(error) => {
            text::complain(&format!("xtask: {error:#}"));
            ExitCode::FAILURE
        }
    }
}

fn run() -> Result<ExitCode> {
    let mut args = lexopt::Parser::from_env();
    let Some(first) = args.next()? else {
        text::print(HELP)?;
        return Ok(ExitCode::FAILURE);
    };
    let command = match first {
        Long("help") | Short('h') => {
            text::print(HELP)?;
            return Ok(ExitCode::SUCCESS);
        }
        Value(name) => name.string()?,
        other => return Err(other.unexpected().into()),
    };
    if command == "help" || std::env::args().any(|word| ["--help", "-h"].contains(&word.as_str())) {
        text::print(HELP)?;
        return Ok(ExitCode::SUCCESS);
    }
    match command.as_str() {
        "serve" => serve::command(args),
        "build" => pack::command(args),
        "test" => test::command(args),
        "measure" => measure::command(args),
        "properties" => properties::command(args),
        "answer" => answer::command(args),
        "fleet" => fleet::command(args),
        "compare" => compare::command(args),
        other => bail!("no command {other:?}\n\n{HELP}"),
    }
}
