//! The level column, to scale.

use pourcard::app::{
    view::{BandKind, Column, Place},
    words,
};
use yew::{Html, classes, html};

use super::pattern::fill;

/// Height of the drawing that stands for the whole column, and where it begins.
const HEIGHT: i32 = 300;
const TOP: i32 = 16;
/// The column's sides.
const LEFT: i32 = 84;
const RIGHT: i32 = 152;

/// From 0 … 1000 to the drawing.
fn y(at: i32) -> i32 {
    TOP + at * HEIGHT / 1000
}

/// A line or a label's place, as an attribute.
fn px(n: i32) -> String {
    n.to_string()
}

/// The column with its caption.
pub fn view_column(column: &Column) -> Html {
    html! {
        <figure class="column">
            <svg viewBox="0 0 340 332" role="img" aria-label={[words::COLUMN, ": ", &column.words].concat()}>
                { for column.bands.iter().map(|band| view_band(band.kind, y(band.top), y(band.bottom))) }
                { view_walls(column) }
                { for column.scale.iter().map(|(at, figure)| view_tick(y(*at), figure.as_deref())) }
                { view_drawn(column) }
                { for column.marks.iter().map(|mark| view_mark(mark.place, y(mark.at))) }
                { for column.marks.iter().map(|mark| view_label(y(mark.at), y(mark.label_at), &mark.label, mark_class(mark.place))) }
                { for column.bands.iter().map(|band| {
                    view_label((y(band.top) + y(band.bottom)) / 2, y(band.label_at), &band.label, "label")
                }) }
            </svg>
        </figure>
    }
}

fn view_band(kind: BandKind, top: i32, bottom: i32) -> Html {
    let (class, paint) = match kind {
        BandKind::Stays => ("band stays", None),
        BandKind::Dosed => ("band", Some("url(#dosed)")),
        BandKind::Stock(pattern) => ("band", Some(fill(pattern))),
    };
    html! {
        <rect {class} x={px(LEFT)} y={px(top)} width={px(RIGHT - LEFT)} height={px((bottom - top).max(1))} fill={paint} />
    }
}

/// The loop's walls: open at the top, unless the top of the tank is known.
fn view_walls(column: &Column) -> Html {
    let closed = column.marks.iter().any(|m| m.place == Place::Top);
    let (l, r, t, b) = (px(LEFT), px(RIGHT), px(TOP), px(TOP + HEIGHT));
    let mut d = ["M", &l, " ", &t, "V", &b, "H", &r, "V", &t].concat();
    if closed {
        d.push('Z');
    }
    html! { <path class="wall" {d} /> }
}

fn view_tick(at: i32, figure: Option<&str>) -> Html {
    let length = if figure.is_some() { 8 } else { 5 };
    html! {
        <>
            <path class="tick-line" d={["M", &px(RIGHT), " ", &px(at), "h", &px(length)].concat()} />
            if let Some(figure) = figure {
                <text class="tick-figure" x={px(RIGHT + 11)} y={px(at + 4)}>{ figure }</text>
            }
        </>
    }
}

fn view_drawn(column: &Column) -> Html {
    let edge = px(LEFT - 6);
    html! {
        <>
            if let Some((from, to, amount)) = &column.drawn {
                <path class="drawn" d={["M", &edge, " ", &px(y(*from)), "h-8V", &px(y(*to)), "h8"].concat()} />
                <text class="label drawn-label" x={px(LEFT - 20)} y={px((y(*from) + y(*to)) / 2 - 2)}>{ words::DRAWN }</text>
                <text class="label drawn-label" x={px(LEFT - 20)} y={px((y(*from) + y(*to)) / 2 + 13)}>{ amount }</text>
            } else if let Some(stood) = column.stood {
                <path class="stood" d={["M", &px(LEFT - 14), " ", &px(y(stood)), "H", &px(LEFT)].concat()} />
                <text class="label drawn-label" x={px(LEFT - 20)} y={px(y(stood) + 4)}>{ words::STOOD }</text>
            }
        </>
    }
}

const fn mark_class(place: Place) -> &'static str {
    match place {
        Place::Top => "label level-top",
        Place::Hot => "label level-hot",
        Place::Mark => "label level-mark",
    }
}

fn view_mark(place: Place, at: i32) -> Html {
    let class = match place {
        Place::Top => "level top",
        Place::Hot => "level hot",
        Place::Mark => "level mark",
    };
    html! { <path class={classes!(class)} d={["M", &px(LEFT - 8), " ", &px(at), "H", &px(RIGHT + 8)].concat()} /> }
}

fn view_label(at: i32, label_at: i32, text: &str, class: &'static str) -> Html {
    let (from, to) = (px(RIGHT + 32), px(RIGHT + 42));
    html! {
        <>
            <path class="leader" d={["M", &from, " ", &px(at), "L", &to, " ", &px(label_at)].concat()} />
            <text {class} x={px(RIGHT + 46)} y={px(label_at + 4)}>{ text.to_owned() }</text>
        </>
    }
}
