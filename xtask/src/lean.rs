//! Scripts and styles without what only readers of the source need: comments and indentation.
//!
//! Whole lines only, so that nothing has to be parsed: a line keeps its end, a comment that shares its line with code
//! stays. A minifier that shortens names would save another kilobyte in brotli, and cost every cold build of these
//! tasks more than a minute; it did not pay.

use anyhow::{Result, ensure};

/// `text` without lines that are blank or hold nothing but a comment, each line without the blanks around it.
///
/// # Errors
/// When a template literal runs over a line's end: its blanks would mean something.
pub fn lean(text: &str) -> Result<String> {
    let mut out = String::with_capacity(text.len());
    let mut in_comment = false;
    for line in text.lines().map(str::trim) {
        if in_comment {
            in_comment = !line.ends_with("*/");
            continue;
        }
        if line.starts_with("/*") && (line.ends_with("*/") || !line.contains("*/")) {
            in_comment = !line.ends_with("*/");
            continue;
        }
        if line.is_empty() || line.starts_with("//") {
            continue;
        }
        let literals = line.bytes().filter(|b| *b == b'`').count();
        ensure!(
            literals % 2 == 0,
            "a template literal runs over its line: {line}"
        );
        out += line;
        out.push('\n');
    }
    Ok(out)
}

#[cfg(test)]
mod tests {
    use super::lean;

    #[test]
    fn only_whole_lines_of_comment_go() {
        let cases = [
            ("  a();\n\n  b();\n", "a();\nb();\n"),
            ("// said\na(); // kept\n", "a(); // kept\n"),
            ("/** said\n * on\n */\na();\n", "a();\n"),
            ("/* said */\na();\n", "a();\n"),
            ("/* said */ a();\n", "/* said */ a();\n"),
            ("\"//not\"\n", "\"//not\"\n"),
            ("a { b: c; } /* kept */\n", "a { b: c; } /* kept */\n"),
        ];
        for (text, expected) in cases {
            assert_eq!(lean(text).unwrap(), expected, "{text:?}");
        }
    }

    #[test]
    fn a_literal_over_two_lines_is_refused() {
        assert!(lean("a(`one\n  two`);\n").is_err());
    }
}
