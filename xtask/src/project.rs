//! Where things are, and how other programs are run.

use std::cell::RefCell;
use std::fs::File;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use anyhow::{Context, Result, bail};

/// The top of the repository.
pub fn root() -> PathBuf {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    here.parent().unwrap_or(here).to_path_buf()
}

/// The finished page.
pub fn dist() -> PathBuf {
    root().join("dist")
}

/// Cargo's target folder, wherever the machine keeps it.
pub fn target() -> Result<PathBuf> {
    let text = output(cargo().args(["metadata", "--no-deps", "--format-version", "1"]))?;
    let metadata: serde_json::Value =
        serde_json::from_str(&text).context("reading cargo metadata")?;
    let folder = metadata["target_directory"]
        .as_str()
        .context("cargo metadata names no target folder")?;
    Ok(PathBuf::from(folder))
}

/// Our own scratch folder under the target folder.
pub fn scratch(name: &str) -> Result<PathBuf> {
    Ok(target()?.join("xtask").join(name))
}

/// The cargo that runs us.
pub fn cargo() -> Command {
    let mut command = Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()));
    command.current_dir(root());
    command
}

/// Any other program, run at the top of the repository.
pub fn program(name: &str) -> Command {
    let mut command = Command::new(name);
    command.current_dir(root());
    command
}

/// npm or npx, which have another file name on Windows.
pub fn node_tool(name: &str) -> Command {
    program(&if cfg!(windows) {
        format!("{name}.cmd")
    } else {
        name.to_owned()
    })
}

/// Whether `name --version` runs.
pub fn is_installed(command: &mut Command) -> bool {
    succeeds(command.arg("--version"))
}

/// Whether it runs to a good end; its words are dropped.
pub fn succeeds(command: &mut Command) -> bool {
    command
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .is_ok_and(|status| status.success())
}

thread_local! {
    /// Where this thread's words go, and those of what it runs; `None`: to our own output.
    static LOG: RefCell<Option<File>> = const { RefCell::new(None) };
}

/// Have what `work` says, and what it runs, written to `log` instead of our own output.
///
/// # Errors
/// When the log cannot be written.
pub fn logged<T>(log: &Path, work: impl FnOnce() -> T) -> Result<T> {
    let file = File::create(log).with_context(|| format!("writing {}", log.display()))?;
    let before = LOG.replace(Some(file));
    let made = work();
    LOG.replace(before);
    Ok(made)
}

/// A handle on this thread's log, for a program to write to.
fn log() -> Result<Option<File>> {
    LOG.with_borrow(|log| log.as_ref().map(File::try_clone).transpose())
        .context("sharing the log")
}

/// A line on our own output, or in the log. What can no longer be written is dropped: whoever read it is gone.
pub fn say(line: &str) {
    LOG.with_borrow_mut(|log| {
        let _ = match log {
            Some(file) => writeln!(file, "{line}"),
            None => writeln!(std::io::stdout(), "{line}"),
        };
    });
}

/// Run to the end, its words on our own output or in the log.
///
/// # Errors
/// When it cannot start or ends with a failure.
pub fn run(command: &mut Command) -> Result<()> {
    let said = said(command);
    if let Some(file) = log()? {
        command.stdout(file.try_clone()?).stderr(file);
    }
    let status = command
        .stdin(Stdio::null())
        .status()
        .with_context(|| format!("starting {said}"))?;
    if !status.success() {
        bail!("{said} failed ({status})");
    }
    Ok(())
}

/// Run to the end and hand back what it printed.
///
/// # Errors
/// When it cannot start, ends with a failure, or prints something that is not UTF-8.
pub fn output(command: &mut Command) -> Result<String> {
    let said = said(command);
    let words = log()?.map_or_else(Stdio::inherit, Stdio::from);
    let output = command
        .stdin(Stdio::null())
        .stderr(words)
        .output()
        .with_context(|| format!("starting {said}"))?;
    if !output.status.success() {
        bail!("{said} failed ({})", output.status);
    }
    String::from_utf8(output.stdout).with_context(|| format!("reading what {said} printed"))
}

/// The command as one would type it, for messages.
pub fn said(command: &Command) -> String {
    let words = std::iter::once(command.get_program()).chain(command.get_args());
    let words: Vec<_> = words.map(|w| w.to_string_lossy()).collect();
    words.join(" ")
}
