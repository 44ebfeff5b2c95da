//! The shelf: what can be poured, a row each.

use pourcard::app::{
    action::Action,
    choice::{Choice, GlycolName},
    model::{Spot, StockRow},
    page, view, words,
    words::Worded,
};
use yew::Html;

use super::{
    Context,
    field::{Size, view_more, view_select, view_spot},
    hand::{Deed, change, click},
    head::view_link,
    pattern::view_swatch,
    tag::{nothing, tag, text},
};

/// The rows, and another.
pub fn view_shelf(context: &Context) -> Vec<Html> {
    let shelf = &context.page.model.shelf;
    let mut rows = Vec::new();
    for (i, pattern) in page::patterns(shelf).into_iter().enumerate() {
        rows.push(view_stock(context, i, &shelf[i], pattern));
    }
    let none = shelf.iter().all(|row| !row.on);
    vec![
        if none {
            text("p", "hint", words::SHELF_EMPTY)
        } else {
            nothing()
        },
        tag("ul", "shelf").each(rows).html(),
        view_link(context, words::ADD_STOCK, Deed::Act(Action::StockAdded)),
    ]
}

fn view_stock(context: &Context, i: usize, row: &StockRow, pattern: u8) -> Html {
    let tick = tag("input", "")
        .set("type", "checkbox")
        .checked(row.on)
        .hand(change(context.send, Deed::Act(Action::StockTicked(i))));
    let label = tag("label", "stock-tick")
        .with(tick.html())
        .with(view_swatch(pattern))
        .with(text("span", "", &row.name));
    let line = tag("li", if row.on { "stock on" } else { "stock" }).with(label.html());
    if row.on {
        line.with(view_more_of(context, i, row)).html()
    } else {
        line.html()
    }
}

/// Strength and what there is, in a few words; opened, to be changed.
fn view_more_of(context: &Context, i: usize, row: &StockRow) -> Html {
    let of = [" ", &row.name].concat();
    let remove = tag("button", "link")
        .set("type", "button")
        .text(words::REMOVE)
        .with(view_more(&of))
        .hand(click(context.send, Deed::Act(Action::StockRemoved(i))));
    tag("details", "stock-more")
        .flag("open", row.added)
        .with(
            tag("summary", "")
                .text(&view::stock_digest(row))
                .with(view_more(&of))
                .html(),
        )
        .with(view_spot(context, Spot::StockPercent(i), Size::Small))
        .with(view_spot(context, Spot::StockHave(i), Size::Small))
        .with(view_spot(context, Spot::StockName(i), Size::Small))
        .with(if row.is_water() {
            nothing()
        } else {
            view_glycol(context, i, row.glycol)
        })
        .with(remove.html())
        .html()
}

fn view_glycol(context: &Context, i: usize, glycol: GlycolName) -> Html {
    let id = ["stock-glycol-", &i.to_string()].concat();
    let options: Vec<_> = GlycolName::ALL
        .iter()
        .map(|g| (g.code().to_owned(), g.words().to_owned()))
        .collect();
    let select = view_select(&id, "", glycol.code(), &options)
        .hand(change(context.send, Deed::ChooseGlycol(i)));
    tag("div", "field small")
        .with(
            tag("label", "")
                .set("for", &id)
                .text(words::STOCK_GLYCOL)
                .html(),
        )
        .with(tag("span", "entry").with(select.html()).html())
        .html()
}
