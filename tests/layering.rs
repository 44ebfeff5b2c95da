//! The arrows between the layers: ui → app → job → engine, and nothing the other way.

#![allow(clippy::unwrap_used, missing_docs)]

use std::path::{Path, PathBuf};

/// Every Rust file below `dir`.
fn sources(dir: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(dir).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(sources(&path));
        } else if path.extension().is_some_and(|e| e == "rs") {
            found.push(path);
        }
    }
    found
}

/// The lines of `layer` that name one of `forbidden`, comments left out.
fn trespasses(layer: &str, forbidden: &[&str]) -> Vec<String> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("src")
        .join(layer);
    let mut list = Vec::new();
    for path in sources(&root) {
        let text = std::fs::read_to_string(&path).unwrap();
        for (n, line) in text
            .lines()
            .enumerate()
            .filter(|(_, l)| !l.trim_start().starts_with("//"))
        {
            if forbidden.iter().any(|word| line.contains(word)) {
                list.push(format!("{}:{}: {}", path.display(), n + 1, line.trim()));
            }
        }
    }
    list
}

#[track_caller]
fn check(layer: &str, forbidden: &[&str]) {
    let list = trespasses(layer, forbidden);
    assert!(
        list.is_empty(),
        "{layer} reaches where it must not:\n{}",
        list.join("\n")
    );
}

#[test]
fn the_engine_knows_nothing_above_it() {
    check(
        "engine",
        &[
            "crate::job",
            "crate::app",
            "serde",
            "yew::",
            "web_sys",
            "gloo",
            "std::time",
            "println!",
        ],
    );
}

#[test]
fn the_job_knows_nothing_above_it() {
    check(
        "job",
        &["crate::app", "yew::", "web_sys", "gloo", "std::time"],
    );
}

#[test]
fn the_app_has_no_screen_and_leaves_the_plan_to_the_job() {
    check(
        "app",
        &[
            "yew::",
            "web_sys",
            "gloo",
            "js_sys",
            "engine::plan",
            "engine::mix",
            "engine::dose::",
            "std::time",
        ],
    );
}

#[test]
fn the_screen_only_draws_what_the_app_made() {
    for layer in ["ui", "browser"] {
        check(layer, &["pourcard::engine", "pourcard::job"]);
    }
}

#[test]
fn a_trespass_would_be_seen() {
    assert!(
        !trespasses("job", &["crate::engine"]).is_empty(),
        "the check itself finds nothing"
    );
}
