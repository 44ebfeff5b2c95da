//! The level before and after the job, two columns beside each other, to scale.

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
/// The sides of the column before the job.
const NOW_LEFT: i32 = 74;
const NOW_RIGHT: i32 = 112;
/// Of that after it.
const LEFT: i32 = 130;
const RIGHT: i32 = 168;
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
    parts.push(view_now(column));
    for (left, right, words) in [
        (NOW_LEFT, NOW_RIGHT, words::NOW),
        (LEFT, RIGHT, words::AFTER),
    ] {
        let mut walls = vec![
            ("M", left),
            (" ", TOP),
            ("V", TOP + HEIGHT),
            ("H", right),
            ("V", TOP),
        ];
        if closed {
            walls.push(("H", left));
        }
        parts.push(path("wall", &walls));
        parts.push(label(
            "label when",
            (left + right) / 2,
            TOP + HEIGHT + LINE + 3,
            words,
        ));
    }
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
            // What was there before the job has only the mark and the minimum.
            &[
                (
                    "M",
                    match mark.place {
                        Place::Mark | Place::Minimum => NOW_LEFT - 6,
                        _ => LEFT - 8,
                    },
                ),
                (" ", y(mark.at)),
                ("H", RIGHT + 8),
            ],
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
        .set("viewBox", "0 0 366 340")
        .set("role", "img")
        .set("aria-label", &[words::COLUMN, ": ", &column.words].concat());
    tag("figure", "column")
        .with(drawing.each(parts).html())
        .html()
}

fn view_rect(class: &'static str, left: i32, top: i32, bottom: i32) -> super::tag::Tag {
    tag("rect", class)
        .set("x", &left.to_string())
        .set("y", &top.to_string())
        .set("width", &(RIGHT - LEFT).to_string())
        .set("height", &(bottom - top).max(1).to_string())
}

fn view_band(kind: BandKind, top: i32, bottom: i32) -> Html {
    let (class, paint) = match kind {
        BandKind::Stays => ("band stays", ""),
        BandKind::Dosed => ("band", "url(#dosed)"),
        BandKind::Stock(pattern) => ("band", fill(pattern)),
    };
    let band = view_rect(class, LEFT, top, bottom);
    if paint.is_empty() {
        band.html()
    } else {
        band.set("fill", paint).html()
    }
}

/// What was in it before the job.
fn view_now(column: &Column) -> Html {
    match column.stood.map(y) {
        Some(stood) => view_rect("band stays", NOW_LEFT, stood, TOP + HEIGHT).html(),
        None => super::tag::nothing(),
    }
}

/// What comes out of that first, and what is said of it.
fn view_drawn(column: &Column) -> Html {
    let x = NOW_LEFT - 10;
    if let Some((from, to, lines)) = &column.drawn {
        let (from, to) = (y(*from), y(*to));
        let mut parts = vec![view_rect("drawn", NOW_LEFT, from, to).html()];
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
        path(
            "stood",
            &[("M", NOW_LEFT - 6), (" ", stood), ("H", NOW_LEFT)],
        ),
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
