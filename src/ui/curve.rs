//! The frost-and-boil curve, to scale. Each place that can be read out holds its own words, which the style shows when
//! it is touched, pointed at or focused: no script runs for it.

use pourcard::app::{
    view::{At, Curve, Reading},
    words,
};
use yew::Html;

use super::{
    column::{label, path},
    folds::{CURVE_TABLE, Open, view_card_fold},
    tag::{several, tag, text},
};

/// The drawing's edges.
const LEFT: i32 = 50;
const WIDTH: i32 = 300;
const TOP: i32 = 8;
const HEIGHT: i32 = 264;
const BOTTOM: i32 = TOP + HEIGHT;
/// So near an edge, in thousandths of the drawing, a name stands on the side away from it.
const INSIDE: i32 = 140;
/// How far below the middle of its line a name stands, and the later one below the earlier.
const NAME_AT: i32 = 24;
const NAME_LINE: i32 = 18;
/// Where what is read out stands.
const READ_AT: i32 = 116;

/// From 0 … 1000 to the drawing.
fn x(at: i32) -> i32 {
    LEFT + at * WIDTH / 1000
}

fn y(at: i32) -> i32 {
    TOP + at * HEIGHT / 1000
}

/// A line through places, in tenths of the drawing's unit: a slope in whole ones would be a stair.
fn line(class: &'static str, places: &[(i32, i32)]) -> Html {
    let mut steps = Vec::new();
    let mut step = "M";
    for (across, down) in places {
        steps.push((step, LEFT * 10 + across * WIDTH / 100));
        steps.push((" ", TOP * 10 + down * HEIGHT / 100));
        step = "L";
    }
    path(class, &steps)
}

fn in_tenths(lines: Vec<Html>) -> Html {
    tag("g", "fine")
        .set("transform", "scale(.1)")
        .each(lines)
        .html()
}

/// The curve and its table.
pub fn view_curve(curve: &Curve, open: Open) -> Html {
    let mut parts = Vec::new();
    for (down, figure) in &curve.down {
        parts.push(path("grid", &[("M", LEFT), (" ", y(*down)), ("h", WIDTH)]));
        parts.push(label("axis", LEFT - 6, y(*down) + 4, figure));
    }
    for (across, figure) in &curve.across {
        parts.push(path(
            "tick-line",
            &[("M", x(*across)), (" ", BOTTOM), ("v", 5)],
        ));
        parts.push(label("axis strength", x(*across), BOTTOM + 18, figure));
    }
    parts.push(label(
        "axis strength",
        LEFT + WIDTH / 2,
        BOTTOM + 34,
        words::CURVE_STRENGTH,
    ));
    parts.push(in_tenths(vec![
        line("curve-band", &curve.frost_band),
        line("curve-band", &curve.boil_band),
        line("curve-line", &curve.frost),
        line("curve-line at-most", &curve.frost_at_most),
        line("curve-line", &curve.boil),
    ]));
    for (down, name, above) in &curve.levels {
        let at = y(*down);
        parts.push(path("level hot", &[("M", LEFT), (" ", at), ("h", WIDTH)]));
        let beside = if *above { -5 } else { 15 };
        parts.push(label("curve-name", LEFT + 4, at + beside, name));
    }
    // Read out over 5 points each; the last and the first reach to the edge and no further.
    for reading in &curve.readings {
        parts.push(view_reading(reading));
    }
    // The stronger has its name on the right, the weaker on the left; at the drawing's edges both have it inside.
    let strength = |i: usize| curve.states.get(i).map_or(-1, |s| s.span[1]);
    for (i, state) in curve.states.iter().enumerate() {
        let (own, other, i) = (strength(i), strength(i ^ 1), i as i32);
        let right = (own + i > other || own < INSIDE) && own <= 1000 - INSIDE;
        parts.push(view_state(state, right, NAME_AT + i * NAME_LINE));
    }
    let drawing = tag("svg", "")
        .set("viewBox", "0 0 360 310")
        .set("role", "group")
        .set("aria-label", words::CURVE);
    tag("figure", "curve")
        .with(drawing.each(parts).html())
        .with(text("p", "note", words::CURVE_HINT))
        .with(view_card_fold(
            open,
            CURVE_TABLE,
            "all-margins",
            words::AS_TABLE,
            &|| vec![view_table(curve)],
        ))
        .html()
}

/// What is read out: a group that holds its place, its dots and its words.
fn group(words: &str, order: &str, inside: Vec<Html>) -> Html {
    tag("g", "read")
        .set("tabindex", order)
        .set("role", "img")
        .set("aria-label", words)
        .each(inside)
        .html()
}

fn read_out(words: &str) -> Html {
    label("read-out", LEFT + WIDTH / 2, READ_AT, words)
}

fn view_reading(reading: &Reading) -> Html {
    let middle = x(reading.across);
    let half = WIDTH * 5 / 70 / 2 + 1;
    let (left, right) = ((middle - half).max(LEFT), (middle + half).min(LEFT + WIDTH));
    let mut inside = vec![
        path(
            "read-ground",
            &[
                ("M", left),
                (" ", TOP),
                ("H", right),
                ("V", BOTTOM),
                ("H", left),
            ],
        ),
        path("read-line", &[("M", middle), (" ", TOP), ("V", BOTTOM)]),
    ];
    for dot in &reading.dots {
        inside.push(path("read-dot", &[("M", middle), (" ", y(*dot)), ("h", 0)]));
    }
    inside.push(read_out(&reading.words));
    group(&reading.words, "-1", inside)
}

/// The loop at one time: its strength's range as a band, and the span in which it is liquid.
fn view_state(at: &At, right: bool, name_at: i32) -> Html {
    let [from, middle, to] = at.span.map(x);
    let [frost, boil] = at.liquid.map(y);
    let (class, side) = if right {
        ("curve-name state", 6)
    } else {
        ("curve-name state end", -6)
    };
    let inside = vec![
        path(
            "state-band",
            &[
                ("M", from),
                (" ", boil),
                ("H", to),
                ("V", frost),
                ("H", from),
            ],
        ),
        path("state-line", &[("M", middle), (" ", boil), ("V", frost)]),
        path("state-dot", &[("M", middle), (" ", boil), ("h", 0)]),
        path("state-dot", &[("M", middle), (" ", frost), ("h", 0)]),
        label(class, middle + side, (frost + boil) / 2 + name_at, at.name),
        read_out(&at.words),
    ];
    group(&at.words, "0", inside)
}

fn view_table(curve: &Curve) -> Html {
    let head = words::CURVE_HEADS.map(|h| tag("th", "").set("scope", "col").text(h).html());
    let mut rows = vec![several(vec![tag("tr", "").each(head.into()).html()])];
    for [strength, freezes, boils] in &curve.table {
        rows.push(
            tag("tr", "")
                .with(tag("th", "").set("scope", "row").text(strength).html())
                .with(text("td", "", freezes))
                .with(text("td", "", boils))
                .html(),
        );
    }
    tag("table", "")
        .with(tag("tbody", "").each(rows).html())
        .html()
}
