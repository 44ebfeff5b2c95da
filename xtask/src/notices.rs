//! The notices that the licences of what ships in the page ask for, as one text.
//!
//! Taken from the crates as cargo holds them, with nothing fetched; the same crates make the same text. Where a crate
//! lets one choose, MIT is chosen, and only its text goes in. One that brings no text of its own gets its licence's
//! from the SPDX list, under the names of its authors.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::Command;

use anyhow::{Context, Result};

use crate::dependencies::{Shipped, shipped};
use crate::project::output;

/// How files with a notice in them begin, in small letters.
const NAMES: [&str; 6] = [
    "license",
    "licence",
    "notice",
    "copying",
    "copyright",
    "unlicense",
];

/// What in such a name says that it is another licence than the one chosen.
const OTHERS: [&str; 4] = ["apache", "boost", "bsl", "unlicense"];

/// The text.
///
/// # Errors
/// When cargo cannot tell what ships, or a licence is not on the SPDX list.
pub fn text() -> Result<String> {
    let crates = shipped()?;
    let mut by_text: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for one in &crates {
        let name = format!("{} {} ({})", one.name, one.version, one.licence);
        for notice in notices(one)? {
            by_text.entry(notice).or_default().push(name.clone());
        }
    }
    let rustc = output(Command::new("rustc").arg("--version"))?;
    let library = format!(
        "The Rust standard library of {} (MIT OR Apache-2.0), copyright The Rust Project Developers",
        rustc.trim()
    );
    by_text.entry(listed("MIT")?).or_default().push(library);
    by_text
        .entry(listed("Unicode-3.0")?)
        .or_default()
        .push("The Unicode data in the Rust standard library".to_owned());

    // In the order of what comes first in each.
    let mut parts: Vec<(Vec<String>, String)> = by_text
        .into_iter()
        .map(|(text, mut of)| {
            of.dedup();
            (of, text)
        })
        .collect();
    parts.sort();
    let mut out = "Pourcard, and what it is built from. Each notice stands under the names of what it is for.\n".to_owned();
    for (of, text) in parts {
        out += &format!("\n{}\n{}\n\n{text}\n", "=".repeat(78), of.join("\n"));
    }
    Ok(out)
}

/// A crate's own notices, or its licence's text with its authors.
fn notices(one: &Shipped) -> Result<Vec<String>> {
    let mut names: Vec<String> = fs::read_dir(&one.folder)
        .with_context(|| format!("reading the sources of {}", one.name))?
        .filter_map(|entry| Some(entry.ok()?.file_name().to_string_lossy().into_owned()))
        .filter(|name| NAMES.iter().any(|n| name.to_lowercase().starts_with(n)))
        .collect();
    names.sort();
    let mit = one.licence.contains("MIT") && names.iter().any(|name| name.contains("MIT"));
    if mit {
        names.retain(|name| {
            let name = name.to_lowercase();
            !OTHERS.iter().any(|other| name.contains(other)) && name != "copying"
        });
    }
    let mut list = Vec::new();
    for name in &names {
        let text = fs::read_to_string(Path::new(&one.folder).join(name))?;
        list.push(tidy(&text));
    }
    if list.is_empty() {
        let licence = if one.licence.contains("MIT") {
            "MIT"
        } else {
            &one.licence
        };
        let authors = one.authors.join(", ");
        list.push(format!("Copyright (c) {authors}\n\n{}", listed(licence)?));
    }
    Ok(list)
}

/// A licence's text from the SPDX list.
fn listed(licence: &str) -> Result<String> {
    let id = spdx::license_id(licence).with_context(|| format!("no licence {licence}"))?;
    Ok(tidy(id.text()))
}

/// One kind of line end, no blanks at a line's end or around the whole.
fn tidy(text: &str) -> String {
    let lines: Vec<&str> = text
        .trim_start_matches('\u{feff}')
        .lines()
        .map(str::trim_end)
        .collect();
    lines.join("\n").trim_matches('\n').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_crate_that_ships_has_its_notice() {
        let text = text().unwrap();
        for one in shipped().unwrap() {
            assert!(
                text.contains(&format!("{} {} (", one.name, one.version)),
                "{}",
                one.name
            );
        }
        // One that brings a text, one that brings none, one under another licence, and the library.
        for part in [
            "Copyright (c) 2015 Andrew Gallant",
            "Copyright (c) Project Nayuki",
            "This software is provided 'as-is'",
            "The Rust Project Developers",
            "UNICODE LICENSE V3",
        ] {
            assert!(text.contains(part), "{part}");
        }
        assert!(!text.contains(env!("CARGO_MANIFEST_DIR")));
    }

    #[test]
    fn the_same_crates_make_the_same_text() {
        assert_eq!(text().unwrap(), text().unwrap());
    }
}
