//! `measure`: sizes and speeds, each with the command that makes it. Never part of `test`: clocks differ.

use std::process::{Command, ExitCode};

use anyhow::Result;

use crate::project::{cargo, dist, root, run, said};
use crate::{browser, pack};

/// Prints the figures.
pub fn command(mut args: lexopt::Parser) -> Result<ExitCode> {
    if let Some(arg) = args.next()? {
        return Err(arg.unexpected().into());
    }
    heading("Weight", "cargo xtask build");
    pack::dist()?;

    if root().join("tests").join("benches").is_dir() {
        let mut benches = cargo();
        benches.args(["bench", "--package", "pourcard"]);
        figures("Speed of the engine", &mut benches)?;
    }

    browser::packages()?;
    let chromium = browser::chromium()?;
    let mut lighthouse = browser::tool("node", &chromium, &dist())?;
    figures(
        "Lighthouse, as a phone",
        lighthouse.args(["lighthouse.mjs", "performance", "5"]),
    )?;
    Ok(ExitCode::SUCCESS)
}

fn figures(title: &str, command: &mut Command) -> Result<()> {
    heading(title, &said(command));
    run(command)
}

fn heading(title: &str, command: &str) {
    println!("\n== {title}\n$ {command}");
}
