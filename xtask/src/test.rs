//! `test`: every check, in the order in which a failure is cheapest to meet.
//!
//! A step that fails does not stop the ones that can still say something; one that needs a failed step is left out
//! and counted as failed. The last line sums up.

use std::path::PathBuf;
use std::process::ExitCode;
use std::time::{Duration, Instant};

use anyhow::{Context, Result, ensure};
use lexopt::prelude::*;

use crate::bundle::File;
use crate::project::{cargo, dist, root, run, scratch};
use crate::{browser, compile, dependencies, pack, python, sizes};

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
    if python::is_there() {
        steps.take("reference rows computed again", reference);
    } else {
        steps.leave_out("reference rows computed again", python::LACKS);
    }
    if deep {
        if browser::has_webkit() {
            steps.take("the page in WebKit", in_webkit);
        } else {
            steps.leave_out("the page in WebKit", browser::LACKS_WEBKIT);
        }
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
    steps.take("licences and doubles of what ships", dependencies::check);
    steps.take("tests in Rust", || {
        run(cargo().args(["test", "--workspace", "--quiet"]))
    });
    let jobs = if deep { "1000000" } else { "20000" };
    steps.take("laws over random jobs", || {
        run(cargo()
            .args(["test", "--release", "--quiet", "--test", "laws", "--"])
            .args(["a_card_replayed", "the_rest_lands", "no_number_breaks"])
            .env("PROPTEST_CASES", jobs))
    });
    steps.take("hostile jobs", || {
        run(cargo()
            .args(["test", "--release", "--quiet", "--test", "hostile"])
            .env("PROPTEST_CASES", jobs))
    });
    if deep {
        steps.take("fuzzing", crate::deep::fuzz);
    }
}

fn clippy(args: &[&str]) -> Result<()> {
    let mut command = cargo();
    command.args(["clippy", "--quiet"]).args(args);
    run(command.args(["--", "--deny", "warnings"]))
}

fn in_the_browser(steps: &mut Steps) {
    let (next, files) = steps.take("build", build).unzip();
    steps.take("weight", || {
        sizes::report(files.as_ref().context("needs the build")?)
    });
    let packages = steps.take("packages of the browser tests", browser::packages);
    let chromium = packages.and_then(|()| steps.take("a Chromium", browser::chromium));
    let ready = next.zip(chromium);
    let same = steps.take("the answer as the page has it", compile::answer);
    steps.take("tests in a browser", || {
        let same = same.as_ref().context("needs the answer's module")?;
        let (next, chromium) = ready.as_ref().context("needs the build and a Chromium")?;
        let mut tests = browser::tool("npx", chromium, &dist())?;
        run(tests
            .args(["playwright", "test"])
            .env("POURCARD_SAME", same)
            .env("POURCARD_NEXT", next))
    });
    steps.take("Lighthouse", || {
        let (_, chromium) = ready.as_ref().context("needs the build and a Chromium")?;
        run(browser::tool("node", chromium, &dist())?.arg("lighthouse.mjs"))
    });
}

/// Another engine, in less depth.
fn in_webkit() -> Result<()> {
    run(browser::plain_tool("node", &dist())?.arg("webkit.mjs"))
}

/// One compilation, packed twice: `dist/`, and the build that the update test swaps in.
fn build() -> Result<(PathBuf, Vec<File>)> {
    let module = compile::this_page()?;
    let files = pack::write(&module, &dist(), "")?;
    let next = scratch("next")?;
    pack::write(&module, &next, "next")?;
    Ok((next, files))
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

/// The reference rows that open libraries can compute, computed again and compared.
fn reference() -> Result<()> {
    run(python::prepared()?.arg("tests/reference/regenerate.py"))
}

/// How a step ended.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Outcome {
    Passed,
    Failed,
    Skipped,
}

impl Outcome {
    fn word(self) -> &'static str {
        match self {
            Self::Passed => "passed",
            Self::Failed => "FAILED",
            Self::Skipped => "skipped",
        }
    }
}

/// The steps taken so far.
#[derive(Default)]
struct Steps {
    taken: Vec<(&'static str, Duration, Outcome)>,
}

impl Steps {
    /// Take one step and hand on what it made; `None` where it failed.
    fn take<T>(&mut self, name: &'static str, step: impl FnOnce() -> Result<T>) -> Option<T> {
        println!("\n== {name}");
        let begun = Instant::now();
        let made = step();
        let took = begun.elapsed();
        if let Err(error) = &made {
            println!("{name}: {error:#}");
        }
        let outcome = if made.is_ok() {
            Outcome::Passed
        } else {
            Outcome::Failed
        };
        println!(
            "== {name}: {} in {:.1} s",
            outcome.word(),
            took.as_secs_f64()
        );
        self.taken.push((name, took, outcome));
        made.ok()
    }

    /// A step this machine cannot take, and why.
    fn leave_out(&mut self, name: &'static str, why: &str) {
        println!("\n== {name}: skipped: {why}");
        self.taken.push((name, Duration::ZERO, Outcome::Skipped));
    }

    fn sum_up(&self) -> ExitCode {
        println!();
        for (name, took, outcome) in &self.taken {
            println!(
                "{:>8.1} s  {:<7}  {name}",
                took.as_secs_f64(),
                outcome.word()
            );
        }
        let all: Duration = self.taken.iter().map(|(_, took, _)| *took).sum();
        println!("{:>8.1} s  all steps", all.as_secs_f64());
        let count = |wanted| {
            self.taken
                .iter()
                .filter(|(_, _, outcome)| *outcome == wanted)
                .count()
        };
        let (failed, skipped) = (count(Outcome::Failed), count(Outcome::Skipped));
        let skipped = if skipped > 0 {
            format!(", {skipped} skipped")
        } else {
            String::new()
        };
        println!(
            "{} passed, {failed} failed{skipped}",
            count(Outcome::Passed)
        );
        if failed == 0 {
            ExitCode::SUCCESS
        } else {
            ExitCode::FAILURE
        }
    }
}
