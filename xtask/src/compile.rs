//! From Rust to a WebAssembly module and its glue script.

use std::path::{Path, PathBuf};

use anyhow::{Context, Result, bail};

use crate::project::{cargo, is_installed, output, program, run, say, target};

/// What the page is compiled for.
pub const TARGET: &str = "wasm32-unknown-unknown";
/// Wins over every other place cargo takes flags from; with a target given, it leaves what runs here alone.
const RUSTFLAGS: &str = "CARGO_ENCODED_RUSTFLAGS";

/// What the page is made of.
pub struct Modules {
    /// The page itself.
    pub page: Module,
    /// Long work, in a thread of its own.
    pub background: Module,
}

/// What the compiler and wasm-bindgen make of one of them.
pub struct Module {
    /// The module, ready for the browser.
    pub wasm: Vec<u8>,
    /// The script that loads it (an ES module whose default export starts it).
    pub glue: String,
}

/// Compile the page in the sources under `root`, in the target folder `target`.
pub fn page(root: &Path, target: &Path) -> Result<Modules> {
    let page = ["--bin", "pourcard", "--features", "page"];
    let background = ["--package", "pourcard-background"];
    Ok(Modules {
        page: module(root, target, &page, "pourcard")?,
        background: module(root, target, &background, "pourcard_background")?,
    })
}

fn module(root: &Path, target: &Path, what: &[&str], name: &str) -> Result<Module> {
    let compiled = compile(root, target, what, name)?;
    let out = target.join("xtask").join(name);
    let module = bind(&compiled, &out)?;
    keeps_no_path(&module, root)?;
    check(&out.join(format!("{name}_bg.wasm")))?;
    Ok(module)
}

/// Compile the answer alone (`tests/same/`), as the page is compiled; the folder with its module and glue.
pub fn answer() -> Result<PathBuf> {
    let (root, target) = (crate::project::root(), target()?);
    let compiled = compile(
        &root,
        &target,
        &["--package", "pourcard-same"],
        "pourcard_same",
    )?;
    let out = target.join("xtask").join("same");
    bind(&compiled, &out)?;
    Ok(out)
}

fn compile(root: &Path, target: &Path, what: &[&str], name: &str) -> Result<PathBuf> {
    add_target()?;
    let mut command = cargo();
    command
        .current_dir(root)
        .arg("build")
        .args(what)
        .args(["--profile", "page", "--target", TARGET])
        .arg("--target-dir")
        .arg(target)
        .env(RUSTFLAGS, remaps(root)?);
    run(&mut command)?;
    Ok(target
        .join(TARGET)
        .join("page")
        .join(name)
        .with_extension("wasm"))
}

/// Compile this project's page.
pub fn this_page() -> Result<Modules> {
    page(&crate::project::root(), &target()?)
}

/// The target's own library, added where it is missing (automatic installs may be switched off).
pub fn add_target() -> Result<()> {
    let library = sysroot()?
        .join("lib")
        .join("rustlib")
        .join(TARGET)
        .join("lib");
    if library.is_dir() {
        return Ok(());
    }
    run(program("rustup").args(["target", "add", TARGET]))
        .context("adding the WebAssembly target with rustup")
}

/// Flags that take the builder's folders, and the registry's, out of the module.
fn remaps(root: &Path) -> Result<String> {
    let home = cargo_home()?;
    let mut folders = vec![
        (root.to_path_buf(), "pourcard".to_owned()),
        (home.clone(), "cargo".to_owned()),
        (sysroot()?.join("lib/rustlib/src/rust"), library_name()?),
    ];
    // The compiler takes the last that fits. One folder a registry: crates by name and version only.
    let registries = std::fs::read_dir(home.join("registry").join("src"));
    for registry in registries.into_iter().flatten() {
        folders.push((registry?.path(), "crates".to_owned()));
    }
    let flags = folders
        .iter()
        .map(|(from, to)| format!("--remap-path-prefix={}={to}", from.display()));
    Ok(flags.collect::<Vec<_>>().join("\x1f")) // not a space: folders may have one in their name
}

/// What the standard library's sources are called where they are not installed: the same name then where they are.
fn library_name() -> Result<String> {
    let version = output(program("rustc").arg("-vV"))?;
    let commit = version
        .lines()
        .find_map(|line| line.strip_prefix("commit-hash: "));
    Ok(format!(
        "/rustc/{}",
        commit.context("rustc names no commit")?
    ))
}

/// Where the toolchain is installed.
fn sysroot() -> Result<PathBuf> {
    let path = output(program("rustc").args(["--print", "sysroot"]))?;
    Ok(PathBuf::from(path.trim()))
}

fn cargo_home() -> Result<PathBuf> {
    if let Some(home) = std::env::var_os("CARGO_HOME") {
        return Ok(PathBuf::from(home));
    }
    let home = std::env::home_dir().context("no home folder and no CARGO_HOME")?;
    Ok(home.join(".cargo"))
}

fn bind(compiled: &Path, out: &Path) -> Result<Module> {
    let mut bindgen = wasm_bindgen_cli_support::Bindgen::new();
    bindgen
        .input_path(compiled)
        .web(true)?
        .typescript(false)
        .remove_name_section(true)
        .remove_producers_section(true)
        .omit_default_module_path(true);
    let mut bound = bindgen
        .generate_output()
        .context("binding the module to its glue")?;
    let mut scripts = bound
        .snippets()
        .iter()
        .filter(|(_, scripts)| !scripts.is_empty())
        .map(|(name, _)| name);
    if let Some(name) = scripts.next().or(bound.local_modules().keys().next()) {
        bail!("{name} brings a script of its own; the page is packed as one glue file");
    }
    if out.is_dir() {
        std::fs::remove_dir_all(out)?;
    }
    bound.emit(out)?;
    let name = compiled
        .file_stem()
        .context("a module without a name")?
        .to_string_lossy();
    Ok(Module {
        wasm: std::fs::read(out.join(format!("{name}_bg.wasm")))?,
        glue: std::fs::read_to_string(out.join(format!("{name}.js")))?,
    })
}

/// No builder's folder may ship.
fn keeps_no_path(module: &Module, root: &Path) -> Result<()> {
    for folder in [root.to_path_buf(), cargo_home()?, sysroot()?] {
        let folder = folder.to_string_lossy().into_owned();
        let found = module
            .wasm
            .windows(folder.len())
            .any(|bytes| bytes == folder.as_bytes());
        if found || module.glue.contains(&folder) {
            bail!("the module holds the builder's folder {folder}");
        }
    }
    Ok(())
}

/// Have a real engine compile the module, where Node is installed.
fn check(wasm: &Path) -> Result<()> {
    if !is_installed(&mut program("node")) {
        say("Node is not installed: the module was not compiled for a check.");
        return Ok(());
    }
    let script = "new WebAssembly.Module(require('fs').readFileSync(process.argv[1]))";
    run(program("node").arg("--eval").arg(script).arg(wasm)).context("the module does not compile")
}
