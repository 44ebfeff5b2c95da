//! `measure`: sizes and speeds, each with the command that makes it. Never part of `test`: clocks differ.

use std::process::{Command, ExitCode};

use anyhow::Result;

use crate::project::{cargo, dist, run, said, say, target};
use crate::{browser, pack, python};

/// Prints the figures.
pub fn command(mut args: lexopt::Parser) -> Result<ExitCode> {
    if let Some(arg) = args.next()? {
        return Err(arg.unexpected().into());
    }
    heading("Weight", "cargo xtask build");
    pack::dist()?;

    let mut benches = cargo();
    benches.args(["bench", "--package", "pourcard"]);
    figures("Speed of the engine", &mut benches)?;
    peers()?;

    browser::packages()?;
    let chromium = browser::chromium()?;
    figures(
        "Speed of the page",
        browser::tool("node", &chromium, &dist())?.arg("speed.mjs"),
    )?;
    let mut lighthouse = browser::tool("node", &chromium, &dist())?;
    figures(
        "Lighthouse, as a phone",
        lighthouse.args(["lighthouse.mjs", "performance", "5"]),
    )?;
    Ok(ExitCode::SUCCESS)
}

/// General-purpose libraries at the same queries, where there is a Python to ask them with.
fn peers() -> Result<()> {
    if !python::is_there() {
        say(&format!("\n== Peers: left out: {}", python::LACKS));
        return Ok(());
    }
    let mut peers = python::prepared()?;
    peers
        .arg("tests/benches/peers.py")
        .arg(target()?.join("criterion"));
    figures("Peers", &mut peers)
}

fn figures(title: &str, command: &mut Command) -> Result<()> {
    heading(title, &said(command));
    run(command)
}

fn heading(title: &str, command: &str) {
    say(&format!("\n== {title}\n$ {command}"));
}
