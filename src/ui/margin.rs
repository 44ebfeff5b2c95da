//! The margins: three figures, the strip, the table.

use pourcard::app::{
    view::{Margins, Strip, StripBar, StripMark, Tile},
    words,
};
use yew::{Html, classes, html};

/// All of them.
pub fn view_margins(margins: &Margins) -> Html {
    html! {
        <section class="margins" aria-labelledby="margins-title">
            <h3 id="margins-title" class="aside">{ words::MARGINS }</h3>
            <div class="tiles">{ for margins.tiles.iter().map(view_tile) }</div>
            if let Some(strip) = &margins.strip {
                { view_strip(strip) }
            }
            <details class="all-margins">
                <summary>{ words::ALL_MARGINS }</summary>
                <table>
                    <thead>
                        <tr><td></td><th scope="col">{ words::NOW }</th><th scope="col">{ words::AFTER }</th></tr>
                    </thead>
                    <tbody>
                        { for margins.rows.iter().map(|row| html! {
                            <tr>
                                <th scope="row">{ row.name.clone() }</th>
                                <td>{ row.before.clone() }</td>
                                <td>{ row.after.clone() }</td>
                            </tr>
                        }) }
                    </tbody>
                </table>
            </details>
        </section>
    }
}

fn view_tile(tile: &Tile) -> Html {
    html! {
        <div class={classes!("tile", tile.bad.then_some("bad"))}>
            <p class="figure">{ tile.figure.clone() }</p>
            <p class="note">{ tile.note.clone() }</p>
            if let Some(before) = &tile.before {
                <p class="was">{ [words::NOW, " ", before].concat() }</p>
            }
        </div>
    }
}

/// Width of the drawing that stands for the whole span, and where it begins.
const LEFT: i32 = 8;
const WIDTH: i32 = 484;

fn x(at: i32) -> String {
    (LEFT + at * WIDTH / 1000).to_string()
}

fn view_strip(strip: &Strip) -> Html {
    let words: Vec<String> = strip
        .bars
        .iter()
        .map(|bar| [bar.name, " ", &bar.low, " \u{2026} ", &bar.high].concat())
        .chain(strip.marks.iter().map(|mark| mark.text.clone()))
        .collect();
    let height = 26 * strip.bars.len() as i32;
    let label = [words::STRIP, ": ", &words.join(", ")].concat();
    html! {
        <figure class="strip">
            <figcaption>{ words::STRIP }</figcaption>
            <svg viewBox={["0 0 500 ", &(height + 40).to_string()].concat()} role="img" aria-label={label}>
                { for strip.bars.iter().zip(0..).map(|(bar, i)| view_bar(bar, 6 + 26 * i, i + 1 == strip.bars.len() as i32)) }
                { for strip.marks.iter().map(|mark| view_strip_mark(mark, height)) }
            </svg>
        </figure>
    }
}

fn view_bar(bar: &StripBar, y: i32, last: bool) -> Html {
    let width = (bar.to - bar.from) * WIDTH / 1000;
    let inside = LEFT + bar.from * WIDTH / 1000;
    html! {
        <>
            <rect class={classes!("span", last.then_some("after"))} x={x(bar.from)} y={y.to_string()}
                width={width.to_string()} height="20" />
            <text class="span-end" x={(inside + 6).to_string()} y={(y + 15).to_string()}>{ bar.low.clone() }</text>
            <text class="span-name" x={(inside + width / 2).to_string()} y={(y + 15).to_string()}>{ bar.name }</text>
            <text class="span-end high" x={(inside + width - 6).to_string()} y={(y + 15).to_string()}>{ bar.high.clone() }</text>
        </>
    }
}

fn view_strip_mark(mark: &StripMark, height: i32) -> Html {
    let at = x(mark.at);
    let class = if mark.low {
        "strip-label low"
    } else {
        "strip-label"
    };
    html! {
        <>
            <path class="strip-mark" d={["M", &at, " 0V", &(height + 14).to_string()].concat()} />
            <text {class} x={at} y={(height + 32).to_string()}>{ mark.text.clone() }</text>
        </>
    }
}
