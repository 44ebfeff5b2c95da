//! The margins: three figures, the curve, the table.

use pourcard::app::{
    view::{Margins, Row, Tile, Why},
    words,
};
use yew::Html;

use super::{
    curve::view_curve,
    folds::{Open, WHYS, view_card_fold},
    tag::{nothing, tag, text},
};

/// The three figures.
pub fn view_margins(margins: &Margins) -> Html {
    let tiles = margins.tiles.iter().map(view_tile).collect();
    tag("section", "margins")
        .set("aria-label", words::MARGINS)
        .with(text("h3", "aside", words::MARGINS))
        .with(tag("div", "tiles").each(tiles).html())
        .with(match &margins.caps {
            Some((line, _)) => text("p", "says", line),
            None => nothing(),
        })
        .html()
}

/// A closer look: the curve, the table, the reasons.
pub fn view_closer(margins: &Margins, open: Open) -> Html {
    tag("div", "closer")
        .with(
            tag("details", "all-margins")
                .with(text("summary", "", words::CURVE))
                .with(view_curve(&margins.curve, open))
                .html(),
        )
        .with(view_table(
            words::ALL_MARGINS,
            [words::NOW, words::AFTER],
            &margins.rows,
        ))
        .with(match &margins.caps {
            Some((_, rows)) => view_table(
                words::CAPS_TABLE,
                [words::CAP_FITTED, words::CAP_OTHER],
                rows,
            ),
            None => nothing(),
        })
        .with(view_card_fold(
            open,
            WHYS,
            "all-margins reasons",
            words::WHY,
            &|| margins.whys.iter().map(view_why).collect(),
        ))
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

fn view_table(name: &str, heads: [&str; 2], rows: &[Row]) -> Html {
    let head = |words: &str| tag("th", "").set("scope", "col").text(words).html();
    let mut lines = vec![
        tag("tr", "")
            .with(tag("td", "").html())
            .with(head(heads[0]))
            .with(head(heads[1]))
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
        .with(text("summary", "", name))
        .with(
            tag("table", "")
                .with(tag("tbody", "").each(lines).html())
                .html(),
        )
        .html()
}

fn view_why(why: &Why) -> Html {
    let lines = why
        .lines
        .iter()
        .flat_map(|(head, words)| [text("dt", "", head), text("dd", "", words)]);
    tag("section", "why")
        .with(text("h4", "", why.name))
        .with(tag("dl", "").each(lines.collect()).html())
        .html()
}
