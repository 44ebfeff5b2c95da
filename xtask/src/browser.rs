//! What the browser tests need: their npm packages and a Chromium, installed where they are missing.

use std::path::{Path, PathBuf};
use std::process::Command;

use anyhow::{Context, Result, bail};

use crate::bundle::digest;
use crate::project::{is_installed, node_tool, output, program, root, run, say, scratch};

/// A Chromium by any of the names it is installed under.
const NAMES: [&str; 6] = [
    "chromium",
    "chromium-browser",
    "google-chrome-stable",
    "google-chrome",
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
];

/// Where the browser tests live.
pub fn folder() -> PathBuf {
    root().join("tests").join("browser")
}

/// The packages of the lock file, exactly; skipped where they already stand.
pub fn packages() -> Result<()> {
    if !is_installed(&mut program("node")) {
        bail!("the browser tests need Node 20 or newer: install it from your system's packages");
    }
    let lock = digest(&std::fs::read(folder().join("package-lock.json"))?);
    let mark = folder().join("node_modules").join(".pourcard-lock");
    if std::fs::read_to_string(&mark).is_ok_and(|installed| installed == lock) {
        say("The packages of the lock file stand.");
        return Ok(());
    }
    let mut install = node_tool("npm");
    install
        .current_dir(folder())
        .args(["ci", "--ignore-scripts", "--no-audit", "--no-fund"]);
    run(&mut install)?;
    std::fs::write(mark, lock)?;
    Ok(())
}

/// A Chromium to drive, found or installed.
pub fn chromium() -> Result<PathBuf> {
    if let Some(found) = find() {
        return Ok(found);
    }
    say("No Chromium found: installing one.");
    if let Err(error) = install() {
        say(&format!("{error:#}"));
    }
    find().context(
        "no Chromium: install one from your system's packages, or name one in POURCARD_CHROMIUM, and run this again",
    )
}

fn find() -> Option<PathBuf> {
    if let Some(named) = std::env::var_os("POURCARD_CHROMIUM") {
        return Some(PathBuf::from(named));
    }
    let known = NAMES.iter().find(|name| is_installed(&mut program(name)));
    known.map(PathBuf::from).map(on_path).or_else(of_playwright)
}

/// The full place of a program found by its bare name.
fn on_path(name: PathBuf) -> PathBuf {
    let folders = std::env::var_os("PATH").unwrap_or_default();
    std::env::split_paths(&folders)
        .map(|folder| folder.join(&name))
        .find(|path| path.is_file())
        .unwrap_or(name)
}

/// Playwright's own, where it has been fetched before.
fn of_playwright() -> Option<PathBuf> {
    let script =
        "import('@playwright/test').then(({ chromium }) => console.log(chromium.executablePath()))";
    let place = output(
        program("node")
            .current_dir(folder())
            .args(["--eval", script]),
    )
    .ok()?;
    let place = PathBuf::from(place.trim());
    place.is_file().then_some(place)
}

/// Why a machine has no Firefox to drive.
pub const LACKS_FIREFOX: &str =
    "no Firefox: Debian package firefox-esr, or name one in POURCARD_FIREFOX";

/// A Firefox to drive, found or installed; `None` where it cannot be.
pub fn firefox() -> Option<PathBuf> {
    const NAMES: [&str; 3] = [
        "firefox-esr",
        "firefox",
        "/Applications/Firefox.app/Contents/MacOS/firefox",
    ];
    let find = || {
        let mut known = NAMES.iter().map(PathBuf::from).map(on_path);
        known.find(|path| path.is_file())
    };
    if let Some(named) = std::env::var_os("POURCARD_FIREFOX") {
        return Some(PathBuf::from(named));
    }
    find().or_else(|| {
        let can = is_debian() && is_root();
        (can && install_packages(&["firefox-esr", "fonts-liberation"]).is_ok())
            .then(find)
            .flatten()
    })
}

/// Why a machine has no WebKit to drive.
pub const LACKS_WEBKIT: &str =
    "no WebKitWebDriver and xvfb-run: Debian packages webkit2gtk-driver, xvfb and xauth";

/// Whether WebKit can be driven here; installed where it can be.
pub fn has_webkit() -> bool {
    let there = || {
        ["WebKitWebDriver", "xvfb-run"]
            .iter()
            .all(|name| on_path(PathBuf::from(name)).is_file())
    };
    let packages = ["webkit2gtk-driver", "xvfb", "xauth", "fonts-liberation"];
    there() || (is_debian() && is_root() && install_packages(&packages).is_ok() && there())
}

fn install() -> Result<()> {
    if is_debian() && is_root() {
        // Its fonts are only recommended, and a page without fonts is no page.
        return install_packages(&["chromium", "fonts-liberation"]);
    }
    run(node_tool("npx")
        .current_dir(folder())
        .args(["playwright", "install", "chromium"]))
}

fn install_packages(names: &[&str]) -> Result<()> {
    run(program("apt-get").args(["update", "--quiet"]))?;
    let mut install = program("apt-get");
    install
        .args(["install", "--yes", "--quiet", "--no-install-recommends"])
        .args(names);
    run(install.env("DEBIAN_FRONTEND", "noninteractive"))
}

fn is_debian() -> bool {
    std::fs::read_to_string("/etc/os-release")
        .is_ok_and(|text| text.lines().any(|line| line == "ID=debian"))
}

fn is_root() -> bool {
    output(program("id").arg("--user")).is_ok_and(|user| user.trim() == "0")
}

/// A command in the tests' folder that knows which server, pages and browser to use.
pub fn tool(name: &str, chromium: &Path, dist: &Path) -> Result<Command> {
    let mut command = plain_tool(name, dist)?;
    command.env("POURCARD_CHROMIUM", chromium);
    Ok(command)
}

/// The same without a Chromium.
pub fn plain_tool(name: &str, dist: &Path) -> Result<Command> {
    let mut command = if name == "node" {
        program(name)
    } else {
        node_tool(name)
    };
    command
        .current_dir(folder())
        .env("POURCARD_XTASK", std::env::current_exe()?)
        .env("POURCARD_DIST", dist)
        .env("POURCARD_RESULTS", scratch("browser-results")?);
    Ok(command)
}
