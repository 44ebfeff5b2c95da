//! The arrows between the layers: ui → app → job → engine, and nothing the other way.

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

/// Every path of a `use` declaration, written out: `a::{b, c::{d, e}}` is `a::b`, `a::c::d`, `a::c::e`.
fn written_out(tree: &str) -> Vec<String> {
    let Some((head, rest)) = tree.split_once('{') else {
        return vec![tree.trim().to_owned()];
    };
    let inside = rest.trim_end().strip_suffix('}').unwrap();
    let (mut depth, mut branches) = (0, vec![String::new()]);
    for c in inside.chars() {
        match c {
            '{' => depth += 1,
            '}' => depth -= 1,
            ',' if depth == 0 => {
                branches.push(String::new());
                continue;
            }
            _ => {}
        }
        branches.last_mut().unwrap().push(c);
    }
    let full = branches.iter().filter(|branch| !branch.trim().is_empty());
    full.flat_map(|branch| written_out(branch))
        .map(|path| format!("{}{path}", head.trim()))
        .collect()
}

/// What a source imports: the line its declaration begins in, and the path.
fn imports(text: &str) -> Vec<(usize, String)> {
    let (mut list, mut open): (Vec<(usize, String)>, bool) = (Vec::new(), false);
    for (n, line) in text.lines().enumerate() {
        let line = line.split("//").next().unwrap().trim();
        let declared = line
            .split_once("use ")
            .filter(|(before, _)| ["", "pub ", "pub(crate) ", "pub(super) "].contains(before));
        if open {
            list.last_mut().unwrap().1.push_str(line);
        } else if let Some((_, tree)) = declared {
            list.push((n + 1, tree.to_owned()));
        } else {
            continue;
        }
        open = !line.ends_with(';');
    }
    let trees = list.into_iter();
    trees
        .flat_map(|(n, tree)| {
            let paths = written_out(tree.trim_end_matches(';'));
            paths.into_iter().map(move |path| (n, path))
        })
        .collect()
}

/// The lines and imports of `layer` that name one of `forbidden`, comments left out.
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
        for (n, import) in imports(&text) {
            if forbidden.iter().any(|word| import.contains(word)) {
                list.push(format!("{}:{n}: {import}", path.display()));
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
    // In a list over several lines, as rustfmt writes them.
    let list = trespasses("job", &["crate::engine::plan"]);
    assert!(list.iter().any(|l| l.contains("card.rs")), "{list:?}");
    let nested = imports("use crate::{\n    engine::{plan::Plan, mix},\n    job,\n};\n");
    let paths: Vec<&str> = nested.iter().map(|(_, path)| path.as_str()).collect();
    let full = [
        "crate::engine::plan::Plan",
        "crate::engine::mix",
        "crate::job",
    ];
    assert_eq!(paths, full);
}
