//! The shelf: what can be poured, a row each.

use pourcard::app::{
    action::Action,
    choice::{Brings, Choice, Family, GlycolName},
    form::layout,
    model::{Spot, StockRow},
    page, view, words,
    words::Worded,
};
use yew::Html;

use super::{
    Context,
    field::{Size, view_more, view_select, view_spot},
    folds::{self, STOCKS, WATER, is_open},
    form::view_parts,
    hand::{Deed, change},
    head::{view_link, view_named},
    pattern::view_swatch,
    questions::view_aside,
    tag::{Tag, nothing, tag, text},
};

/// The rows, and another.
pub fn view_shelf(context: &Context, water: &str) -> Vec<Html> {
    let shelf = &context.page.model.shelf;
    let mut rows = Vec::new();
    for (i, pattern) in page::patterns(shelf).into_iter().enumerate() {
        rows.push(view_stock(context, i, &shelf[i], pattern));
    }
    vec![
        tag("ul", "shelf").each(rows).html(),
        view_link(context, words::ADD_STOCK, Deed::Act(Action::StockAdded)),
        view_aside(context, WATER, words::WATER, water, &|| {
            view_parts(context, layout::WATER)
        }),
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
    let more = tag("details", "stock-more")
        .set("id", &[&folds::id(STOCKS), "-", &i.to_string()].concat())
        .flag("open", row.added)
        .with(
            tag("summary", "")
                .text(&view::stock_line(row))
                .with(view_more(&of))
                .html(),
        );
    if !row.added && !is_open(context.open, STOCKS) {
        return more.html();
    }
    let remove = Deed::Act(Action::StockRemoved(i));
    more.with(view_spot(context, Spot::StockPercent(i), Size::Small))
        .with(if row.is_water() {
            nothing()
        } else {
            view_spot(context, Spot::StockSpread(i), Size::Small)
        })
        .with(view_spot(context, Spot::StockHave(i), Size::Small))
        .with(view_spot(context, Spot::StockName(i), Size::Small))
        .with(if row.is_water() {
            nothing()
        } else {
            view_glycol(context, i, row.glycol)
        })
        .with(if row.is_water() {
            nothing()
        } else {
            view_family(context, i, row.family)
        })
        .with(if row.is_water() {
            nothing()
        } else {
            view_brings(context, i, row.brings)
        })
        .with(if row.brings.test().is_some() {
            view_spot(context, Spot::StockLevel(i), Size::Small)
        } else {
            nothing()
        })
        .with(view_named(context, words::REMOVE, &row.name, remove))
        .html()
}

fn view_glycol(context: &Context, i: usize, glycol: GlycolName) -> Html {
    let id = ["stock-glycol-", &i.to_string()].concat();
    let options = options(GlycolName::ALL);
    let select = view_select(&id, "", glycol.code(), &options)
        .hand(change(context.send, Deed::ChooseGlycol(i)));
    view_choice(&id, words::STOCK_GLYCOL, select)
}

/// The supplement in it; nitrite in no form only where a file has it.
fn view_brings(context: &Context, i: usize, brings: Brings) -> Html {
    let id = ["stock-brings-", &i.to_string()].concat();
    let shown = Brings::ALL.len() - usize::from(brings != Brings::Nitrite);
    let options = options(&Brings::ALL[..shown]);
    let select = view_select(&id, "", brings.code(), &options)
        .hand(change(context.send, Deed::ChooseBrings(i)));
    view_choice(&id, words::BRINGS, select)
}

fn view_family(context: &Context, i: usize, family: Option<Family>) -> Html {
    let id = ["stock-family-", &i.to_string()].concat();
    let mut options = options(Family::ALL);
    options.insert(0, (String::new(), words::FAMILY_UNKNOWN.to_owned()));
    let chosen = family.map_or("", Choice::code);
    let select =
        view_select(&id, "", chosen, &options).hand(change(context.send, Deed::ChooseFamily(i)));
    view_choice(&id, words::FAMILY, select)
}

/// A list's codes and words.
pub fn options<C: Choice + Worded>(list: &[C]) -> Vec<(String, String)> {
    let option = |c: &C| (c.code().to_owned(), c.words().to_owned());
    list.iter().map(option).collect()
}

/// A list to choose from, under its label.
pub fn view_choice(id: &str, label: &str, select: Tag) -> Html {
    tag("div", "field small")
        .with(tag("label", "").set("for", id).text(label).html())
        .with(tag("span", "entry").with(select.html()).html())
        .html()
}
