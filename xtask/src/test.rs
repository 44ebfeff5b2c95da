//! `test`: every check, in the order in which a failure is cheapest to meet.
//!
//! A step that fails does not stop the ones that can still say something; one that needs a failed step is left out
//! and counted as failed. The last line sums up.

use std::path::PathBuf;
use std::process::{Command, ExitCode};
use std::time::{Duration, Instant};

use anyhow::{Context, Result, ensure};
use lexopt::prelude::*;

use crate::project::{cargo, dist, is_installed, program, root, run, scratch};
use crate::{browser, compile, pack, sizes};

/// Set for `cargo test` under `--deep`: the long form of the laws.
const DEEP: &str = "POURCARD_DEEP";

/// `test [--deep]`.
pub fn command(mut args: lexopt::Parser) -> Result<ExitCode> {
    let mut deep = false;
    while let Some(arg) = args.next()? {
        match arg {
            Long("deep") => deep = true,
            other => return Err(other.unexpected().into()),
        }
    }
    let mut steps = Steps::default();
    in_rust(&mut steps, deep);
    in_the_browser(&mut steps);
    steps.take("reference data regenerate", reference);
    if deep {
        steps.take("a second build has the same bytes", same_bytes);
    }
    Ok(steps.sum_up())
}

fn in_rust(steps: &mut Steps, deep: bool) {
    steps.take("format", || run(cargo().args(["fmt", "--all", "--check"])));
    steps.take("lints", || clippy(&["--workspace", "--all-targets"]));
    steps.take("lints of the page", || {
        compile::add_target()?;
        clippy(&[
            "--bin",
            "pourcard",
            "--features",
            "page",
            "--target",
            compile::TARGET,
        ])
    });
    steps.take("tests in Rust", || {
        let mut tests = cargo();
        tests.args(["test", "--workspace", "--quiet"]);
        if deep {
            tests.env(DEEP, "1");
        }
        run(&mut tests)
    });
}

fn clippy(args: &[&str]) -> Result<()> {
    let mut command = cargo();
    command.args(["clippy", "--quiet"]).args(args);
    run(command.args(["--", "--deny", "warnings"]))
}

fn in_the_browser(steps: &mut Steps) {
    let built = steps.take("build", build);
    let packages = steps.take("packages of the browser tests", browser::packages);
    let chromium = packages.and_then(|()| steps.take("a Chromium", browser::chromium));
    let ready = built.zip(chromium);
    steps.take("tests in a browser", || {
        let (next, chromium) = ready.as_ref().context("needs the build and a Chromium")?;
        let mut tests = browser::tool("npx", chromium, &dist())?;
        run(tests
            .args(["playwright", "test"])
            .env("POURCARD_NEXT", next))
    });
    steps.take("Lighthouse", || {
        let (_, chromium) = ready.as_ref().context("needs the build and a Chromium")?;
        run(browser::tool("node", chromium, &dist())?.arg("lighthouse.mjs"))
    });
}

/// One compilation, packed twice: `dist/`, and the build that the update test swaps in.
fn build() -> Result<PathBuf> {
    let module = compile::this_page()?;
    sizes::report(&pack::write(&module, &dist(), "")?)?;
    let next = scratch("next")?;
    pack::write(&module, &next, "next")?;
    Ok(next)
}

/// Compile the committed sources again from another folder, and compare.
fn same_bytes() -> Result<()> {
    let first = compile::this_page()?;
    let copy = scratch("again")?;
    if copy.is_dir() {
        std::fs::remove_dir_all(&copy)?;
    }
    copy_sources(&root(), &copy.join("sources"))?;
    let second = compile::page(&copy.join("sources"), &copy.join("target"))?;
    ensure!(
        first.wasm == second.wasm,
        "the module differs between two builds"
    );
    ensure!(
        first.glue == second.glue,
        "the glue differs between two builds"
    );
    Ok(())
}

/// What the compiler reads, and nothing it wrote.
fn copy_sources(from: &std::path::Path, to: &std::path::Path) -> Result<()> {
    std::fs::create_dir_all(to)?;
    for entry in std::fs::read_dir(from)? {
        let entry = entry?;
        let name = entry.file_name();
        if ["target", "dist", ".git", "node_modules"]
            .iter()
            .any(|skip| name == *skip)
        {
            continue;
        }
        if entry.file_type()?.is_dir() {
            copy_sources(&entry.path(), &to.join(name))?;
        } else {
            std::fs::copy(entry.path(), to.join(name))?;
        }
    }
    Ok(())
}

/// The reference rows that can be computed from open libraries, computed again and compared.
fn reference() -> Result<()> {
    let script = root().join("tests").join("reference").join("regenerate.py");
    if !script.is_file() {
        println!("There is no tests/reference/regenerate.py.");
        return Ok(());
    }
    let Some(python) = ["python3", "python"]
        .into_iter()
        .find(|name| is_installed(&mut program(name)))
    else {
        println!("Python is not installed: the reference rows were not computed again.");
        return Ok(());
    };
    let venv = scratch("venv")?;
    let inside = venv.join(if cfg!(windows) {
        "Scripts/python.exe"
    } else {
        "bin/python"
    });
    if !inside.is_file() {
        run(program(python).args(["-m", "venv"]).arg(&venv))?;
    }
    let wanted = root()
        .join("tests")
        .join("reference")
        .join("requirements.txt");
    if wanted.is_file() {
        let mut install = Command::new(&inside);
        install.args([
            "-m",
            "pip",
            "install",
            "--quiet",
            "--disable-pip-version-check",
            "--requirement",
        ]);
        run(install.arg(wanted))?;
    }
    run(Command::new(&inside).current_dir(root()).arg(script))
}

/// The steps taken so far.
#[derive(Default)]
struct Steps {
    taken: Vec<(&'static str, Duration, bool)>,
}

impl Steps {
    /// Take one step and hand on what it made; `None` where it failed.
    fn take<T>(&mut self, name: &'static str, step: impl FnOnce() -> Result<T>) -> Option<T> {
        println!("\n== {name}");
        let begun = Instant::now();
        let outcome = step();
        let took = begun.elapsed();
        if let Err(error) = &outcome {
            println!("{name}: {error:#}");
        }
        println!(
            "== {name}: {} in {:.1} s",
            if outcome.is_ok() { "passed" } else { "FAILED" },
            took.as_secs_f64()
        );
        self.taken.push((name, took, outcome.is_ok()));
        outcome.ok()
    }

    fn sum_up(&self) -> ExitCode {
        println!();
        for (name, took, passed) in &self.taken {
            println!(
                "{:>8.1} s  {}  {name}",
                took.as_secs_f64(),
                if *passed { "passed" } else { "FAILED" }
            );
        }
        let all: Duration = self.taken.iter().map(|(_, took, _)| *took).sum();
        println!("{:>8.1} s  all steps", all.as_secs_f64());
        let failed = self.taken.iter().filter(|(_, _, passed)| !passed).count();
        println!("{} passed, {failed} failed", self.taken.len() - failed);
        if failed == 0 {
            ExitCode::SUCCESS
        } else {
            ExitCode::FAILURE
        }
    }
}
