//! Fuzzing for `test --deep`: cargo-fuzz where a nightly compiler can be had, else the blind loop on stable.
//!
//! Seeds are in `tests/fuzz/corpus/`; what a run finds on top of them goes to the scratch folder, not into the tree.

use std::time::SystemTime;

use anyhow::{Context, Result};

use crate::project::{cargo, program, root, run, say, scratch, succeeds};

/// How long each target runs.
const SECONDS: u32 = 60;
const NIGHTLY: &str = "nightly";

/// A seed that no earlier run is likely to have had: of the clock.
pub fn any_seed() -> u32 {
    let now = SystemTime::now().duration_since(SystemTime::UNIX_EPOCH);
    let now = now.unwrap_or_default();
    (now.as_secs() as u32 ^ now.subsec_nanos()).max(1) // for the fuzzer, 0 means any
}

/// Every target for [`SECONDS`], by the better of the two ways this machine has.
pub fn fuzz(seed: u32) -> Result<()> {
    if has_nightly() && has_cargo_fuzz() {
        return guided(seed);
    }
    say(&format!(
        "No nightly compiler with cargo-fuzz here: seeds are mutated blindly, {SECONDS} s each."
    ));
    run(cargo()
        .args(["test", "--release", "--quiet", "--test", "laws", "--"])
        .args(["mutated_seeds", "--nocapture"])
        .env("POURCARD_FUZZ_SEED", seed.to_string())
        .env("POURCARD_FUZZ_SECONDS", SECONDS.to_string()))
}

/// cargo-fuzz, which keeps what reaches new code.
fn guided(seed: u32) -> Result<()> {
    let folder = root().join("tests").join("fuzz");
    let mut names = Vec::new();
    for entry in std::fs::read_dir(folder.join("bins"))? {
        let name = entry?.path();
        let name = name.file_stem().context("a target without a name")?;
        names.push(name.to_string_lossy().into_owned());
    }
    names.sort();
    for name in names {
        say(&format!("\n{name}, {SECONDS} s"));
        let found = scratch("fuzz")?.join(&name);
        std::fs::create_dir_all(&found)?;
        run(nightly(&["fuzz", "run", "--fuzz-dir"])
            .arg(&folder)
            .arg("--target-dir")
            .arg(scratch("fuzz-target")?)
            .arg(&name)
            .arg(&found)
            .arg(folder.join("corpus").join(&name))
            .arg("--")
            .arg(format!("-seed={seed}"))
            .arg(format!("-max_total_time={SECONDS}"))
            .args(["-verbosity=0", "-print_final_stats=1"]))?;
    }
    Ok(())
}

/// cargo of the nightly toolchain, whatever runs us.
fn nightly(args: &[&str]) -> std::process::Command {
    let mut command = program("cargo");
    command
        .env("RUSTUP_TOOLCHAIN", NIGHTLY)
        .env_remove("CARGO")
        .args(args);
    command
}

fn has_nightly() -> bool {
    let there = || succeeds(&mut nightly(&["--version"]));
    there()
        || succeeds(program("rustup").args([
            "toolchain",
            "install",
            NIGHTLY,
            "--profile",
            "minimal",
            "--no-self-update",
        ])) && there()
}

fn has_cargo_fuzz() -> bool {
    let there = || succeeds(&mut nightly(&["fuzz", "--version"]));
    there() || succeeds(&mut nightly(&["install", "cargo-fuzz", "--locked"])) && there()
}
