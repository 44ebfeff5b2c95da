//! Where things are, and how other programs are run.

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

/// Run to the end, its words on our own output.
///
/// # Errors
/// When it cannot start or ends with a failure.
pub fn run(command: &mut Command) -> Result<()> {
    let said = said(command);
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
    let output = command
        .stdin(Stdio::null())
        .stderr(Stdio::inherit())
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
