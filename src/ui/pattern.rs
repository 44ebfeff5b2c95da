//! The patterns by which stocks are told apart, in ink alone.

use yew::Html;

use super::tag::{several, tag};

/// Name of a pattern, to fill with.
pub fn fill(pattern: u8) -> &'static str {
    match pattern {
        0 => "url(#p0)",
        1 => "url(#p1)",
        2 => "url(#p2)",
        3 => "url(#p3)",
        4 => "url(#p4)",
        _ => "url(#p5)",
    }
}

/// Patterns but for the first and the additive's: id, class and lines.
const LINES: [(&str, &str, &str); 7] = [
    ("p0", "pattern-solid", "M0 0h8v8h-8z"),
    ("p1", "pattern-line", "M-2 2 2-2M0 8 8 0M6 10 10 6"),
    ("p2", "pattern-thin", "M0 4h3M5 4h3"),
    ("p3", "pattern-line", "M0 0 8 8M0 8 8 0"),
    ("p4", "pattern-line", "M2 0v8M6 0v8"),
    ("p5", "pattern-line", "M0 2h8M0 6h8"),
    ("dosed", "pattern-dots", "M2 2h.01M6 6h.01"),
];

/// The patterns' definitions, once a page.
pub fn view_patterns() -> Html {
    let patterns = LINES.iter().map(|(id, class, d)| {
        tag("pattern", "")
            .set("id", id)
            .set("width", "8")
            .set("height", "8")
            .set("patternUnits", "userSpaceOnUse")
            .with(
                tag("path", "pattern-ground")
                    .set("d", "M0 0h8v8h-8z")
                    .html(),
            )
            .with(tag("path", class).set("d", d).html())
            .html()
    });
    tag("svg", "patterns")
        .set("width", "0")
        .set("height", "0")
        .set("aria-hidden", "true")
        .with(tag("defs", "").with(several(patterns.collect())).html())
        .html()
}

/// A stock's pattern in a little square.
pub fn view_swatch(pattern: u8) -> Html {
    tag("svg", "swatch")
        .set("width", "20")
        .set("height", "20")
        .set("aria-hidden", "true")
        .with(
            tag("path", "edge")
                .set("d", "M1 1h18v18h-18z")
                .set("fill", fill(pattern))
                .html(),
        )
        .html()
}
