//! The level column, to scale.

use pourcard::app::{
    view::{BandKind, Column, Place},
    words,
};
use yew::Html;

use super::{
    pattern::fill,
    tag::{several, tag},
};

/// Height of the drawing that stands for the whole column, and where it begins.
const HEIGHT: i32 = 300;
const TOP: i32 = 16;
/// The column's sides.
const LEFT: i32 = 84;
const RIGHT: i32 = 142;
/// From one line beside it to the next.
const LINE: i32 = 15;

/// From 0 … 1000 to the drawing.
fn y(at: i32) -> i32 {
    TOP + at * HEIGHT / 1000
}

/// A way through points, as SVG writes it.
pub fn path(class: &'static str, steps: &[(&str, i32)]) -> Html {
    let mut d = String::new();
    for (step, n) in steps {
        d.push_str(step);
        d.push_str(&n.to_string());
    }
    tag("path", class).set("d", &d).html()
}

/// A text at a place.
pub fn label(class: &'static str, x: i32, y: i32, text: &str) -> Html {
    tag("text", class)
        .set("x", &x.to_string())
        .set("y", &y.to_string())
        .text(text)
        .html()
}

/// The column.
pub fn view_column(column: &Column) -> Html {
    let mut parts = Vec::new();
    for band in &column.bands {
        parts.push(view_band(band.kind, y(band.top), y(band.bottom)));
    }
    if let Some((up, down)) = column.hot_band {
        parts.push(path(
            "hot-band",
            &[
                ("M", LEFT),
                (" ", y(up)),
                ("H", RIGHT),
                ("V", y(down)),
                ("H", LEFT),
            ],
        ));
    }
    // Open at the top, unless the top of the tank is known.
    let closed = column.marks.iter().any(|m| m.place == Place::Top);
    let mut walls = vec![
        ("M", LEFT),
        (" ", TOP),
        ("V", TOP + HEIGHT),
        ("H", RIGHT),
        ("V", TOP),
    ];
    if closed {
        walls.push(("H", LEFT));
    }
    parts.push(path("wall", &walls));
    for (at, figure) in &column.scale {
        let length = if figure.is_some() { 8 } else { 5 };
        parts.push(path(
            "tick-line",
            &[("M", RIGHT), (" ", y(*at)), ("h", length)],
        ));
        if let Some(figure) = figure {
            parts.push(label("tick-figure", RIGHT + 11, y(*at) + 4, figure));
        }
    }
    parts.push(view_drawn(column));
    for mark in &column.marks {
        let (level, name) = match mark.place {
            Place::Top => ("level top", "label level-top"),
            Place::Hot => ("level hot", "label level-hot"),
            Place::Mark | Place::Minimum => ("level mark", "label level-mark"),
            Place::Coldest => ("level hot", "label level-hot"),
        };
        parts.push(path(
            level,
            &[("M", LEFT - 8), (" ", y(mark.at)), ("H", RIGHT + 8)],
        ));
        parts.push(view_label(y(mark.at), y(mark.label_at), &mark.label, name));
    }
    for band in &column.bands {
        parts.push(view_label(
            (y(band.top) + y(band.bottom)) / 2,
            y(band.label_at),
            &band.label,
            "label",
        ));
    }
    let drawing = tag("svg", "")
        .set("viewBox", "0 0 340 332")
        .set("role", "img")
        .set("aria-label", &[words::COLUMN, ": ", &column.words].concat());
    tag("figure", "column")
        .with(drawing.each(parts).html())
        .html()
}

fn view_band(kind: BandKind, top: i32, bottom: i32) -> Html {
    let (class, paint) = match kind {
        BandKind::Stays => ("band stays", ""),
        BandKind::Dosed => ("band", "url(#dosed)"),
        BandKind::Stock(pattern) => ("band", fill(pattern)),
    };
    let band = tag("rect", class)
        .set("x", &LEFT.to_string())
        .set("y", &top.to_string())
        .set("width", &(RIGHT - LEFT).to_string())
        .set("height", &(bottom - top).max(1).to_string());
    if paint.is_empty() {
        band.html()
    } else {
        band.set("fill", paint).html()
    }
}

fn view_drawn(column: &Column) -> Html {
    let x = LEFT - 20;
    if let Some((from, to, lines)) = &column.drawn {
        let (from, to) = (y(*from), y(*to));
        let mut parts = vec![path(
            "drawn",
            &[("M", LEFT - 6), (" ", from), ("h", -8), ("V", to), ("h", 8)],
        )];
        let mut at = (from + to) / 2 + 5;
        at -= LINE * (lines.len() as i32 - 1) / 2;
        at = at.max(TOP);
        for line in lines {
            parts.push(label("label drawn-label", x, at, line));
            at += LINE;
        }
        return several(parts);
    }
    let Some(stood) = column.stood.map(y) else {
        return super::tag::nothing();
    };
    several(vec![
        path("stood", &[("M", LEFT - 14), (" ", stood), ("H", LEFT)]),
        label("label drawn-label", x, stood + 4, words::STOOD),
    ])
}

fn view_label(at: i32, label_at: i32, text: &str, class: &'static str) -> Html {
    several(vec![
        path(
            "leader",
            &[
                ("M", RIGHT + 32),
                (" ", at),
                ("L", RIGHT + 42),
                (" ", label_at),
            ],
        ),
        label(class, RIGHT + 46, label_at + 4, text),
    ])
}
