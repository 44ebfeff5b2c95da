//! The margins: three figures, the strip, the table.

use pourcard::app::{
    view::{Margins, Row, Strip, StripBar, Tile, Why},
    words,
};
use yew::Html;

use super::{
    column::{label, path},
    tag::{nothing, several, tag, text},
};

/// All of them.
pub fn view_margins(margins: &Margins) -> Html {
    let tiles = margins.tiles.iter().map(view_tile).collect();
    tag("section", "margins")
        .set("aria-labelledby", "margins-title")
        .with(
            tag("h3", "aside")
                .set("id", "margins-title")
                .text(words::MARGINS)
                .html(),
        )
        .with(tag("div", "tiles").each(tiles).html())
        .with(margins.strip.as_ref().map_or(nothing(), view_strip))
        .with(view_table(&margins.rows))
        .with(view_whys(&margins.whys))
        .html()
}

fn view_tile(tile: &Tile) -> Html {
    tag("div", if tile.bad { "tile bad" } else { "tile" })
        .with(text("p", "figure", &tile.figure))
        .with(text("p", "note", &tile.note))
        .with(match &tile.before {
            Some(before) => text("p", "was", &[words::NOW, " ", before].concat()),
            None => nothing(),
        })
        .html()
}

fn view_table(rows: &[Row]) -> Html {
    let head = |words: &str| tag("th", "").set("scope", "col").text(words).html();
    let mut lines = vec![
        tag("tr", "")
            .with(tag("td", "").html())
            .with(head(words::NOW))
            .with(head(words::AFTER))
            .html(),
    ];
    for row in rows {
        lines.push(
            tag("tr", "")
                .with(tag("th", "").set("scope", "row").text(&row.name).html())
                .with(text("td", "", &row.before))
                .with(text("td", "", &row.after))
                .html(),
        );
    }
    tag("details", "all-margins")
        .with(text("summary", "", words::ALL_MARGINS))
        .with(
            tag("table", "")
                .with(tag("tbody", "").each(lines).html())
                .html(),
        )
        .html()
}

fn view_whys(whys: &[Why]) -> Html {
    let sheets = whys.iter().map(|why| {
        let lines = why
            .lines
            .iter()
            .flat_map(|(head, words)| [text("dt", "", head), text("dd", "", words)]);
        tag("section", "why")
            .with(text("h4", "", why.name))
            .with(tag("dl", "").each(lines.collect()).html())
            .html()
    });
    tag("details", "all-margins")
        .with(text("summary", "", words::WHY))
        .each(sheets.collect())
        .html()
}

/// Width a mark's label may take.
const LABEL: i32 = 112;
/// Width of the drawing that stands for the whole span, and where it begins.
const LEFT: i32 = 56;
const WIDTH: i32 = 248;

fn x(at: i32) -> i32 {
    LEFT + at * WIDTH / 1000
}

fn view_strip(strip: &Strip) -> Html {
    let mut words = [words::STRIP, ":"].concat();
    let mut parts = Vec::new();
    let last = strip.bars.len() - 1;
    for (i, bar) in strip.bars.iter().enumerate() {
        words.push_str(&[" ", bar.name, " ", &bar.low, " \u{2026} ", &bar.high, ","].concat());
        parts.push(view_bar(bar, 6 + 26 * i as i32, i == last));
    }
    let height = 26 * strip.bars.len() as i32;
    let mut last_label = i32::MIN / 2;
    for mark in &strip.marks {
        words.push_str(&[" ", &mark.text, ","].concat());
        let at = x(mark.at);
        parts.push(path("strip-mark", &[("M", at), (" 0V", height + 14)]));
        // Kept inside the drawing, and on a line of its own where it would touch its neighbour.
        let middle = at.max(LABEL / 2).min(360 - LABEL / 2);
        let line = if middle - last_label < LABEL { 48 } else { 32 };
        last_label = middle;
        parts.push(label("strip-label", middle, height + line, &mark.text));
    }
    let drawing = tag("svg", "")
        .set(
            "viewBox",
            &["0 0 360 ", &(height + 54).to_string()].concat(),
        )
        .set("role", "img")
        .set("aria-label", words.trim_end_matches(','));
    tag("figure", "strip")
        .with(text("figcaption", "", words::STRIP))
        .with(drawing.each(parts).html())
        .html()
}

fn view_bar(bar: &StripBar, y: i32, last: bool) -> Html {
    let (from, to) = (x(bar.from), x(bar.to));
    let class = if last { "span after" } else { "span" };
    several(vec![
        path(
            class,
            &[
                ("M", from),
                (" ", y),
                ("H", to),
                ("v", 20),
                ("H", from),
                ("v", -20),
            ],
        ),
        label("span-end", from - 6, y + 15, &bar.low),
        label("span-name", (from + to) / 2, y + 15, bar.name),
        label("span-end high", to + 6, y + 15, &bar.high),
    ])
}
