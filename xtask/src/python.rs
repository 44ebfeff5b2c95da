//! A Python with the libraries that references are checked against, in an environment of its own.

use std::process::Command;

use anyhow::{Context, Result};

use crate::project::{program, root, run, scratch, succeeds};

/// What a machine without it is told.
pub const LACKS: &str = "no Python with venv and pip here";

/// Is there one that can make an environment?
pub fn is_there() -> bool {
    name().is_some()
}

fn name() -> Option<&'static str> {
    let can = |name: &str| {
        let mut probe = program(name);
        probe.args(["-c", "import venv, ensurepip"]);
        succeeds(&mut probe)
    };
    ["python3", "python"].into_iter().find(|name| can(name))
}

/// Python with what `tests/reference/requirements.txt` pins, working at the project's top.
pub fn prepared() -> Result<Command> {
    let venv = scratch("venv")?;
    let inside = venv.join(if cfg!(windows) {
        "Scripts/python.exe"
    } else {
        "bin/python"
    });
    if !inside.is_file() {
        let name = name().context(LACKS)?;
        run(program(name).args(["-m", "venv"]).arg(&venv))?;
    }
    let mut install = Command::new(&inside);
    install.args([
        "-m",
        "pip",
        "install",
        "--quiet",
        "--disable-pip-version-check",
        "--requirement",
    ]);
    run(install.arg(
        root()
            .join("tests")
            .join("reference")
            .join("requirements.txt"),
    ))?;
    let mut python = Command::new(inside);
    python.current_dir(root());
    Ok(python)
}
