//! The finished files in memory: named by their bytes, each knowing the others by those names.
//!
//! Sources name each other by their place in the repository (`styles/page.css` in index.html). Here each such name
//! is replaced by the finished one, from the leaves up: module, glue, style, icons, start script, manifest, index.

use std::fs;
use std::path::Path;

use anyhow::{Context, Result, bail, ensure};
use sha2::{Digest, Sha256};

use crate::compile::Modules;
use crate::lean::lean;
use crate::worker;

/// One finished file.
pub struct File {
    /// Name in the folder.
    pub name: String,
    /// Its bytes.
    pub bytes: Vec<u8>,
    /// When it is fetched.
    pub load: Load,
}

/// When a file is fetched.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Load {
    /// Before the page can be used; kept on the device.
    First,
    /// When it is first needed; kept on the device with the rest, so that it is there without a signal.
    Later,
    /// By a browser, a host or a reader, never by the page.
    Apart,
}

impl File {
    /// What follows the last dot of the name.
    pub fn kind(&self) -> &str {
        self.name.rsplit('.').next().unwrap_or_default()
    }
}

/// The start script, index and manifest, and how the first two speak of the compiled module.
const INDEX: &str = "index.html";
const START: &str = "src/browser/start.js";
const WORKER: &str = "src/browser/worker.js";
const MANIFEST: &str = "src/browser/app.webmanifest";
const STYLE: &str = "styles/page.css";
const ICONS: &str = "styles/icons";
const SCREENSHOTS: &str = "styles/screenshots";
const GLUE: &str = "pourcard.js";
const WASM: &str = "pourcard_bg.wasm";
/// The same of the second module, which works in a thread of its own.
const BACKGROUND: &str = "src/browser/background.js";
const BACKGROUND_GLUE: &str = "pourcard_background.js";
const BACKGROUND_WASM: &str = "pourcard_background_bg.wasm";
/// Written by the build, and linked at the page's foot.
const NOTICES: &str = "notices.txt";

/// The page from the sources under `root`; `stamp` goes into index.html's `build` meta element, `notices` beside it.
pub fn page(root: &Path, modules: &Modules, stamp: &str, notices: &str) -> Result<Vec<File>> {
    let read =
        |path: &str| fs::read_to_string(root.join(path)).with_context(|| format!("reading {path}"));
    let mut bundle = Bundle::default();

    let [page, background] = [&modules.page, &modules.background];
    bundle.add(WASM, page.wasm.clone(), Load::First);
    bundle.add(GLUE, lean(&page.glue)?.into_bytes(), Load::First);
    bundle.add(BACKGROUND_WASM, background.wasm.clone(), Load::Later);
    bundle.add(
        BACKGROUND_GLUE,
        lean(&background.glue)?.into_bytes(),
        Load::Later,
    );
    let thread = bundle.rewrite(&lean(&read(BACKGROUND)?)?);
    bundle.add(BACKGROUND, thread.into_bytes(), Load::Later);
    bundle.add(STYLE, lean(&style(root, STYLE)?)?.into_bytes(), Load::First);
    for path in files_in(root, ICONS)? {
        let bytes = fs::read(root.join(&path))?;
        bundle.add(&path, bytes, Load::First);
    }
    for path in files_in(root, SCREENSHOTS)? {
        let bytes = fs::read(root.join(&path))?;
        bundle.add(&path, bytes, Load::Apart);
    }
    bundle.add(NOTICES, notices.as_bytes().to_vec(), Load::Later);
    let start = bundle.rewrite(&lean(&read(START)?)?);
    bundle.add(START, start.into_bytes(), Load::First);
    let manifest = bundle.rewrite(&read(MANIFEST)?);
    serde_json::from_str::<serde_json::Value>(&manifest).context("the manifest is not JSON")?;
    bundle.add(MANIFEST, manifest.into_bytes(), Load::First);

    let index = bundle
        .rewrite(&without_comments(&read(INDEX)?)?)
        .replace("{{build}}", stamp);
    bundle.files.push(File {
        name: INDEX.into(),
        bytes: index.into_bytes(),
        load: Load::First,
    });
    let worker = worker::from_template(&lean(&read(WORKER)?)?, &bundle.files)?;
    bundle.files.push(File {
        name: "sw.js".into(),
        bytes: worker.into_bytes(),
        load: Load::First, // fetched with the page, though the worker does not keep itself
    });
    bundle.hangs_together()?;
    Ok(bundle.files)
}

#[derive(Default)]
struct Bundle {
    files: Vec<File>,
    /// Source name and finished name.
    names: Vec<(String, String)>,
}

impl Bundle {
    fn add(&mut self, source: &str, bytes: Vec<u8>, load: Load) {
        let file = source.rsplit('/').next().unwrap_or(source);
        let (stem, kind) = file.rsplit_once('.').unwrap_or((file, ""));
        let name = format!("{stem}.{}.{kind}", digest(&bytes));
        self.names.push((source.to_owned(), name.clone()));
        self.files.push(File { name, bytes, load });
    }

    /// Every quoted source name, with or without `./` before it, becomes the finished name.
    fn rewrite(&self, text: &str) -> String {
        self.names
            .iter()
            .fold(text.to_owned(), |text, (source, name)| {
                text.replace(&format!("\"{source}\""), &format!("\"{name}\""))
                    .replace(&format!("\"./{source}\""), &format!("\"./{name}\""))
            })
    }

    /// Nothing in the page may name a file that is not there.
    fn hangs_together(&self) -> Result<()> {
        let index = self
            .files
            .iter()
            .find(|file| file.name == INDEX)
            .context("no index")?;
        let index = String::from_utf8_lossy(&index.bytes);
        for attribute in ["href=\"", "src=\""] {
            for rest in index.split(attribute).skip(1) {
                let target = rest.split('"').next().unwrap_or_default();
                let known =
                    target.starts_with('#') || self.files.iter().any(|file| file.name == target);
                ensure!(
                    known,
                    "index.html names {target:?}, which is not in the finished folder"
                );
            }
        }
        for file in self
            .files
            .iter()
            .filter(|file| ["html", "js", "webmanifest", "css"].contains(&file.kind()))
        {
            let text = String::from_utf8_lossy(&file.bytes);
            for (source, _) in self.names.iter().filter(|(source, _)| source.contains('/')) {
                ensure!(
                    !text.contains(source.as_str()),
                    "{} still speaks of {source}",
                    file.name
                );
            }
        }
        Ok(())
    }
}

/// The first sixteen hexadecimal digits of the bytes' SHA-256.
pub fn digest(bytes: &[u8]) -> String {
    Sha256::digest(bytes)
        .iter()
        .take(8)
        .map(|byte| format!("{byte:02x}"))
        .collect()
}

/// A style sheet with its imports (`@import "other.css";`, one a line) put in their place.
fn style(root: &Path, path: &str) -> Result<String> {
    let text = fs::read_to_string(root.join(path)).with_context(|| format!("reading {path}"))?;
    let folder = path.rsplit_once('/').map_or("", |(folder, _)| folder);
    let mut out = String::new();
    for line in text.lines() {
        let import = line
            .trim()
            .strip_prefix("@import \"")
            .and_then(|rest| rest.strip_suffix("\";"));
        match import {
            Some(other) => out += &style(root, &format!("{folder}/{other}"))?,
            None => {
                out += line;
                out.push('\n');
            }
        }
    }
    Ok(out)
}

/// Comments are for readers of the source.
fn without_comments(html: &str) -> Result<String> {
    let mut out = String::new();
    let mut rest = html;
    while let Some((before, after)) = rest.split_once("<!--") {
        out += before;
        let Some((_, after)) = after.split_once("-->") else {
            bail!("a comment in index.html never ends")
        };
        rest = after;
    }
    out += rest;
    let lines = out.lines().map(str::trim).filter(|line| !line.is_empty());
    Ok(lines.collect::<Vec<_>>().join("\n") + "\n")
}

/// The files of a folder in name order; none where there is no such folder.
fn files_in(root: &Path, folder: &str) -> Result<Vec<String>> {
    let Ok(entries) = fs::read_dir(root.join(folder)) else {
        return Ok(Vec::new());
    };
    let mut paths = Vec::new();
    for entry in entries {
        let entry = entry?;
        if entry.file_type()?.is_file() {
            paths.push(format!("{folder}/{}", entry.file_name().to_string_lossy()));
        }
    }
    paths.sort();
    Ok(paths)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::compile::Module;

    fn finished(stamp: &str) -> Vec<File> {
        let module = |name: &str| Module {
            wasm: name.into(),
            glue: format!("export default {name:?};"),
        };
        let modules = Modules {
            page: module("page"),
            background: module("background"),
        };
        page(&crate::project::root(), &modules, stamp, "notices").unwrap()
    }

    #[test]
    fn every_file_but_the_index_and_the_worker_is_named_by_its_bytes() {
        for file in finished("") {
            match file.name.as_str() {
                "index.html" | "sw.js" => {}
                name => {
                    assert!(crate::policy::is_hashed(name), "{name}");
                    assert!(name.contains(&digest(&file.bytes)), "{name}");
                }
            }
        }
    }

    #[test]
    fn a_stamp_changes_the_index_and_the_worker_only() {
        let (one, two) = (finished("one"), finished("two"));
        let changed: Vec<_> = one
            .iter()
            .filter(|a| two.iter().all(|b| a.bytes != b.bytes))
            .map(|a| &*a.name)
            .collect();
        assert_eq!(changed, ["index.html", "sw.js"]);
    }

    #[test]
    fn the_index_holds_no_script_or_style_of_its_own() {
        let index = fs::read_to_string(crate::project::root().join(INDEX)).unwrap();
        for tag in [
            "<style",
            "style=\"",
            "javascript:",
            " onclick",
            " onload",
            " onerror",
        ] {
            assert!(!index.contains(tag), "{tag}");
        }
        for script in index.split("<script").skip(1) {
            let tag = script.split('>').next().unwrap_or_default();
            assert!(tag.contains("src=\""), "<script{tag}>");
        }
    }
}
