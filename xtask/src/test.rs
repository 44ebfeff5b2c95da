//! `test`: every check, in the order in which a failure is cheapest to meet; what takes long and leaves a core idle goes on
//! beside the others.
//!
//! Without `--deep` nothing is left to chance: the same tree passes, or fails, every time.

use std::path::PathBuf;
use std::process::ExitCode;

use anyhow::{Context, Result, ensure};
use lexopt::prelude::*;

use crate::bundle::File;
use crate::project::{cargo, dist, root, run, say, scratch};
use crate::steps::{Begun, Steps};
use crate::{browser, compile, deep, dependencies, pack, python, sizes};

/// Jobs that the laws are tried on in the gate: enough that each way of planning is met many times.
const JOBS: &str = "2000";
/// Jobs of `--deep`, which draws others each time.
const DEEP_JOBS: &str = "1000000";
/// Jobs of `--deep` that the independent search is held against.
const OPTIMUM_JOBS: &str = "100000";
/// Wins over the seed that `.cargo/config.toml` fixes.
const SEED: &str = "PROPTEST_RNG_SEED";
/// Names of the laws that are worth many jobs.
const LAWS: [&str; 5] = [
    "a_card_replayed",
    "the_rest_lands",
    "no_number_breaks",
    "what_would_help",
    "hostile",
];

/// `test [--deep [--seed N]]`.
pub fn command(mut args: lexopt::Parser) -> Result<ExitCode> {
    let (mut deep, mut seed) = (false, None);
    while let Some(arg) = args.next()? {
        match arg {
            Long("deep") => deep = true,
            Long("seed") => seed = Some(args.value()?.parse()?),
            other => return Err(other.unexpected().into()),
        }
    }
    ensure!(
        deep || seed.is_none(),
        "nothing is left to chance without --deep: --seed goes with it"
    );
    let mut steps = Steps::new()?;
    let tools = steps.begin("what the browser tests need", tools);
    let reference =
        python::is_there().then(|| steps.begin("reference rows computed again", reference));
    let page = in_rust(&mut steps);
    in_the_browser(&mut steps, tools, page);
    match reference {
        Some(reference) => drop(steps.join(reference)),
        None => steps.leave_out("reference rows computed again", python::LACKS),
    }
    if deep {
        by_chance(&mut steps, seed.unwrap_or_else(deep::any_seed));
        if browser::has_webkit() {
            steps.take("the page in WebKit", in_webkit);
        } else {
            steps.leave_out("the page in WebKit", browser::LACKS_WEBKIT);
        }
        steps.take("a second build has the same bytes", same_bytes);
    }
    Ok(steps.sum_up())
}

/// Everything without a browser. The page is compiled beside the tests: most of that takes one core only.
fn in_rust(steps: &mut Steps) -> Begun<Page> {
    steps.take("format", || run(cargo().args(["fmt", "--all", "--check"])));
    steps.take("lints", || {
        let all = [
            "--workspace",
            "--all-targets",
            "--features",
            "pourcard/page",
        ];
        run(cargo()
            .args(["clippy", "--quiet"])
            .args(all)
            .args(["--", "--deny", "warnings"]))
    });
    steps.take("licences and doubles of what ships", dependencies::check);
    steps.take("tests in Rust, compiled", || {
        rust_tests(&["--no-run"], None)
    });
    let page = steps.begin("build", build);
    steps.take("tests in Rust", || rust_tests(&[], None));
    steps.take("laws over many jobs", || {
        run(cargo()
            .args(["test", "--quiet", "--test", "laws", "--"])
            .args(LAWS)
            .env("PROPTEST_CASES", JOBS))
    });
    page
}

/// Every test in Rust. A package at a time, as these tasks themselves were compiled: for the whole workspace cargo would
/// compile all that both of them need a second time, with the features of either.
fn rust_tests(words: &[&str], seed: Option<u32>) -> Result<()> {
    for package in ["pourcard", "xtask"] {
        let mut command = cargo();
        command.args(["test", "--quiet", "--package", package]);
        if let Some(seed) = seed {
            command.env(SEED, seed.to_string());
        }
        run(command.args(words))?;
    }
    Ok(())
}

/// What is drawn afresh each time; the seed brings it back.
fn by_chance(steps: &mut Steps, seed: u32) {
    say(&format!(
        "by chance, seed {seed}: `cargo xtask test --deep --seed {seed}` draws the same"
    ));
    steps.take("tests in Rust, by chance", || rust_tests(&[], Some(seed)));
    steps.take("laws over a million jobs, by chance", || {
        run(cargo()
            .args(["test", "--release", "--quiet", "--test", "laws", "--"])
            .args(LAWS)
            .env(SEED, seed.to_string())
            .env("PROPTEST_CASES", DEEP_JOBS))
    });
    steps.take(
        "the least plan over a hundred thousand jobs, by chance",
        || {
            run(cargo()
                .args(["test", "--release", "--quiet", "--test", "laws", "--"])
                .args(["optimum", "--nocapture"])
                .env(SEED, seed.to_string())
                .env("POURCARD_OPTIMUM_JOBS", OPTIMUM_JOBS))
        },
    );
    steps.take("verdicts over ten thousand studies", || {
        run(cargo()
            .args(["test", "--release", "--quiet", "--test", "answers", "--"])
            .args(["coverage", "logs::", "--nocapture"])
            .env("POURCARD_STUDIES", "10000"))
    });
    steps.take("fuzzing, by chance", || deep::fuzz(seed));
}

/// What the browser tests need, fetched while the machine compiles.
struct Tools {
    chromium: PathBuf,
    firefox: Option<PathBuf>,
}

fn tools() -> Result<Tools> {
    compile::add_target()?;
    browser::packages()?;
    Ok(Tools {
        chromium: browser::chromium()?,
        firefox: browser::firefox(),
    })
}

fn in_the_browser(steps: &mut Steps, tools: Begun<Tools>, page: Begun<Page>) {
    let page = steps.join(page);
    steps.take("weight", || {
        sizes::report(&page.as_ref().context("needs the build")?.files)
    });
    let tools = steps.join(tools);
    let ready = || {
        let page = page.as_ref().context("needs the build")?;
        let tools = tools
            .as_ref()
            .context("needs what the browser tests need")?;
        anyhow::Ok((page, tools))
    };
    steps.take("tests in a browser", || {
        let (page, tools) = ready()?;
        let mut tests = browser::tool("npx", &tools.chromium, &dist())?;
        run(tests
            .args(["playwright", "test"])
            .env("POURCARD_SAME", &page.same)
            .env("POURCARD_NEXT", &page.next))
    });
    steps.take("Lighthouse", || {
        let (_, tools) = ready()?;
        run(browser::tool("node", &tools.chromium, &dist())?.arg("lighthouse.mjs"))
    });
    const FIREFOX: &str = "the page in Firefox";
    if tools.as_ref().is_some_and(|tools| tools.firefox.is_none()) {
        steps.leave_out(FIREFOX, browser::LACKS_FIREFOX);
        return;
    }
    steps.take(FIREFOX, || {
        let (_, tools) = ready()?;
        let firefox = tools.firefox.as_ref().context("needs a Firefox")?;
        run(browser::plain_tool("node", &dist())?
            .arg("firefox.mjs")
            .env("POURCARD_FIREFOX", firefox))
    });
}

/// Another engine, in less depth.
fn in_webkit() -> Result<()> {
    run(browser::plain_tool("node", &dist())?.arg("webkit.mjs"))
}

/// The page as the browser tests want it.
struct Page {
    files: Vec<File>,
    /// The build that the update test swaps in.
    next: PathBuf,
    /// The answer alone, as the page has it.
    same: PathBuf,
}

/// One compilation, packed twice, and the answer alone.
fn build() -> Result<Page> {
    let modules = compile::this_page()?;
    let files = pack::write(&modules, &dist(), "")?;
    let next = scratch("next")?;
    pack::write(&modules, &next, "next")?;
    Ok(Page {
        files,
        next,
        same: compile::answer()?,
    })
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
    for (first, second) in [
        (first.page, second.page),
        (first.background, second.background),
    ] {
        ensure!(
            first.wasm == second.wasm,
            "a module differs between two builds"
        );
        ensure!(
            first.glue == second.glue,
            "a module's glue differs between two builds"
        );
    }
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
