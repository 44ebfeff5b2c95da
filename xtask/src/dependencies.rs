//! What others' code ships in the page: its licences, and that no crate ships twice.

use std::collections::{BTreeMap, BTreeSet};

use anyhow::{Context, Result, ensure};
use serde_json::Value;
use spdx::{Expression, ParseMode};

use crate::compile::TARGET;
use crate::project::{cargo, output, say};

/// Licences that ask for no more than their notice.
const ALLOWED: [&str; 7] = [
    "MIT",
    "Apache-2.0",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "Unicode-3.0",
    "Unlicense",
    "Zlib",
];

/// Crates that may stand twice, and why.
const TWICE: [(&str, &str); 1] = [(
    "thiserror",
    "gloo 0.11 is written against 1, newer crates against 2; it is gone after compiling",
)];

/// Check both.
pub fn check() -> Result<()> {
    let shipped = shipped()?;
    let mut versions: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    let mut faults = Vec::new();
    for Shipped {
        name,
        version,
        licence,
        ..
    } in &shipped
    {
        versions.entry(name).or_default().push(version);
        match is_allowed(licence) {
            Ok(true) => {}
            Ok(false) => faults.push(format!(
                "{name} {version}: the licence {licence} is not on the list"
            )),
            Err(error) => faults.push(format!("{name} {version}: {error:#}")),
        }
    }
    for (name, versions) in versions {
        if versions.len() > 1 && TWICE.iter().all(|(known, _)| *known != name) {
            faults.push(format!("{name} would ship as {}", versions.join(" and ")));
        }
    }
    say(&format!("{} crates in the page", shipped.len()));
    ensure!(faults.is_empty(), "{}", faults.join("\n"));
    Ok(())
}

/// One crate whose code is in the page.
pub struct Shipped {
    /// Its name.
    pub name: String,
    /// Its version.
    pub version: String,
    /// Its licence, as an SPDX expression.
    pub licence: String,
    /// Who wrote it.
    pub authors: Vec<String>,
    /// Where its sources are.
    pub folder: String,
}

/// Every crate reached from the page by ordinary dependencies; macros run in the compiler and stay behind.
pub fn shipped() -> Result<Vec<Shipped>> {
    let mut command = cargo();
    command.args(["metadata", "--format-version", "1", "--locked"]);
    command.args(["--features", "page", "--filter-platform", TARGET]);
    let metadata: Value = serde_json::from_str(&output(&mut command)?)?;
    let list = |value: &Value| value.as_array().cloned().unwrap_or_default();
    let text = |value: &Value| value.as_str().unwrap_or_default().to_owned();

    let packages: BTreeMap<_, _> = list(&metadata["packages"])
        .into_iter()
        .map(|p| (text(&p["id"]), p))
        .collect();
    let nodes: BTreeMap<_, _> = list(&metadata["resolve"]["nodes"])
        .into_iter()
        .map(|n| (text(&n["id"]), n))
        .collect();
    let page = packages
        .iter()
        .find(|(_, p)| p["name"] == "pourcard")
        .context("no package pourcard")?;

    let mut seen = BTreeSet::new();
    let mut open = vec![page.0.clone()];
    while let Some(id) = open.pop() {
        let kinds = list(&packages[&id]["targets"])
            .into_iter()
            .flat_map(|t| list(&t["kind"]))
            .collect::<Vec<_>>();
        if kinds.iter().any(|kind| kind == "proc-macro") || !seen.insert(id.clone()) {
            continue;
        }
        for dependency in list(&nodes[&id]["deps"]) {
            if list(&dependency["dep_kinds"])
                .iter()
                .any(|kind| kind["kind"].is_null())
            {
                open.push(text(&dependency["pkg"]));
            }
        }
    }
    let shipped = seen.iter().map(|id| &packages[id]).map(|p| Shipped {
        name: text(&p["name"]),
        version: text(&p["version"]),
        licence: text(&p["license"]),
        authors: list(&p["authors"]).iter().map(text).collect(),
        folder: text(&p["manifest_path"])
            .trim_end_matches("Cargo.toml")
            .to_owned(),
    });
    Ok(shipped.collect())
}

fn is_allowed(licence: &str) -> Result<bool> {
    let expression = Expression::parse_mode(licence, ParseMode::LAX)
        .with_context(|| format!("licence {licence:?}"))?;
    Ok(expression.evaluate(|wanted| {
        wanted
            .license
            .id()
            .is_some_and(|id| ALLOWED.contains(&id.name))
    }))
}

#[cfg(test)]
mod tests {
    use super::is_allowed;

    #[test]
    fn licences() {
        let cases = [
            ("MIT OR Apache-2.0", true),
            ("Unlicense/MIT", true),
            ("(MIT OR Apache-2.0) AND Unicode-3.0", true),
            ("GPL-3.0-only", false),
            ("MIT AND GPL-3.0-only", false),
            ("GPL-3.0-only OR MIT", true),
        ];
        for (licence, allowed) in cases {
            assert_eq!(is_allowed(licence).unwrap(), allowed, "{licence}");
        }
        assert!(is_allowed("").is_err());
    }
}
