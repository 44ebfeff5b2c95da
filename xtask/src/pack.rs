//! `build`: the finished folder.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use anyhow::{Context, Result, ensure};
use lexopt::prelude::*;

use crate::bundle::{self, File};
use crate::project::say;
use crate::{compile, compress, notices, policy, project, sizes};

/// `build [--out FOLDER] [--stamp TEXT]`.
pub fn command(mut args: lexopt::Parser) -> Result<ExitCode> {
    let mut out = project::dist();
    let mut stamp = String::new();
    while let Some(arg) = args.next()? {
        match arg {
            Long("out") => out = PathBuf::from(args.value()?),
            Long("stamp") => stamp = args.value()?.string()?,
            other => return Err(other.unexpected().into()),
        }
    }
    let modules = compile::this_page()?;
    let files = write(&modules, &out, &stamp)?;
    sizes::report(&files)?;
    Ok(ExitCode::SUCCESS)
}

/// Compile and fill `dist/`.
pub fn dist() -> Result<()> {
    let modules = compile::this_page()?;
    let files = write(&modules, &project::dist(), "")?;
    sizes::report(&files)
}

/// Fill `out` from a compiled module, replacing what was there.
pub fn write(modules: &compile::Modules, out: &Path, stamp: &str) -> Result<Vec<File>> {
    ensure!(
        stamp
            .bytes()
            .all(|b| b.is_ascii_alphanumeric() || b"-._ ".contains(&b)),
        "a stamp holds letters, digits, points, dashes and spaces"
    );
    let files = bundle::page(&project::root(), modules, stamp, &notices::text()?)?;
    clear(out)?;
    for file in &files {
        let path = out.join(&file.name);
        fs::write(&path, &file.bytes)?;
        if file.kind() != "png" {
            fs::write(suffixed(&path, "br"), compress::brotli(&file.bytes)?)?;
            fs::write(suffixed(&path, "gz"), compress::gzip(&file.bytes)?)?;
        }
    }
    fs::write(
        out.join("_headers"),
        policy::headers_file(files.iter().map(|file| file.name.as_str())),
    )?;
    say(&format!("{} files in {}", files.len(), out.display()));
    Ok(files)
}

/// Empty the folder. One that is not ours (no worker in it) is left alone.
fn clear(out: &Path) -> Result<()> {
    if out.is_dir() {
        let ours = out.join("sw.js").is_file() || fs::read_dir(out)?.next().is_none();
        ensure!(
            ours,
            "{} holds something that no build made; it is left alone",
            out.display()
        );
        fs::remove_dir_all(out)?;
    }
    fs::create_dir_all(out).with_context(|| format!("making {}", out.display()))
}

fn suffixed(path: &Path, suffix: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(".");
    name.push(suffix);
    PathBuf::from(name)
}
