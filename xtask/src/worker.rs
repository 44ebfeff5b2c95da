//! The offline worker, written from the finished folder.

use anyhow::{Result, ensure};

use crate::bundle::{File, Load, digest};

/// The worker's source with the list of files and the list's own digest filled in.
///
/// The list holds every file the page needs; `index.html` goes by `./`, the address people open.
pub fn from_template(template: &str, files: &[File]) -> Result<String> {
    let mut list: Vec<_> = files
        .iter()
        .filter(|file| file.load != Load::Apart)
        .collect();
    list.sort_by(|a, b| a.name.cmp(&b.name));
    let content: String = list
        .iter()
        .map(|file| format!("{} {}\n", file.name, digest(&file.bytes)))
        .collect();
    let names: Vec<_> = list.iter().map(|file| address(&file.name)).collect();
    let filled = template
        .replace(
            "\"{{digest}}\"",
            &serde_json::to_string(&digest(content.as_bytes()))?,
        )
        .replace("[\"{{files}}\"]", &serde_json::to_string(&names)?);
    ensure!(
        !filled.contains("{{"),
        "the worker's template has a blank that nothing fills"
    );
    Ok(filled)
}

fn address(name: &str) -> String {
    if name == "index.html" {
        "./".into()
    } else {
        format!("./{name}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn file(name: &str, bytes: &str, load: Load) -> File {
        File {
            name: name.into(),
            bytes: bytes.into(),
            load,
        }
    }

    const TEMPLATE: &str = "const DIGEST = \"{{digest}}\"; const FILES = [\"{{files}}\"];";

    #[test]
    fn lists_what_the_page_needs_and_nothing_else() {
        let files = [
            file("b.js", "1", Load::Later),
            file("index.html", "2", Load::First),
            file("screenshot.png", "3", Load::Apart),
        ];
        let worker = from_template(TEMPLATE, &files).unwrap();
        assert!(
            worker.ends_with(r#"const FILES = ["./b.js","./"];"#),
            "{worker}"
        );
    }

    #[test]
    fn any_changed_byte_makes_another_worker() {
        let one = from_template(TEMPLATE, &[file("index.html", "a", Load::First)]).unwrap();
        let two = from_template(TEMPLATE, &[file("index.html", "b", Load::First)]).unwrap();
        assert_ne!(one, two);
    }
}
