//! The shelf: what can be poured, a row each.

use pourcard::app::{
    action::Action,
    choice::{Choice, GlycolName},
    model::{Spot, StockRow},
    page, words,
    words::Worded,
};
use web_sys::HtmlSelectElement;
use yew::{Callback, Event, Html, TargetCast, classes, html};

use super::{
    Context,
    field::{Size, view_spot},
    pattern::view_swatch,
};

/// The rows, and another.
pub fn view_shelf(context: &Context) -> Html {
    let shelf = &context.page.model.shelf;
    let none = shelf.iter().all(|row| !row.on);
    let patterns = page::patterns(shelf);
    html! {
        <>
            if none {
                <p class="hint">{ words::SHELF_EMPTY }</p>
            }
            <ul class="shelf">
                { for shelf.iter().zip(patterns).enumerate().map(|(i, (row, pattern))| view_stock(context, i, row, pattern)) }
            </ul>
            <button type="button" class="link" onclick={context.on(Action::StockAdded)}>{ words::ADD_STOCK }</button>
        </>
    }
}

fn view_stock(context: &Context, i: usize, row: &StockRow, pattern: u8) -> Html {
    html! {
        <li class={classes!("stock", row.on.then_some("on"))}>
            <label class="stock-tick">
                <input type="checkbox" checked={row.on} onchange={context.on(Action::StockTicked(i))} />
                { view_swatch(pattern) }
                <span>{ row.name.clone() }</span>
            </label>
            if row.on {
                <div class="stock-more">
                    { view_spot(context, Spot::StockPercent(i), Size::Small) }
                    { view_spot(context, Spot::StockHave(i), Size::Small) }
                    <details class="stock-edit">
                        <summary>{ words::STOCK_MORE }<span class="aside">{ [" ", &row.name].concat() }</span></summary>
                        { view_spot(context, Spot::StockName(i), Size::Small) }
                        if !row.is_water() {
                            { view_glycol(context, i, row.glycol) }
                        }
                        <button type="button" class="link" onclick={context.on(Action::StockRemoved(i))}>
                            { words::REMOVE }<span class="aside">{ [" ", &row.name].concat() }</span>
                        </button>
                    </details>
                </div>
            }
        </li>
    }
}

fn view_glycol(context: &Context, i: usize, glycol: GlycolName) -> Html {
    let id = ["stock-glycol-", &i.to_string()].concat();
    let context = context.clone();
    let onchange = Callback::from(move |event: Event| {
        let code = event
            .target_dyn_into::<HtmlSelectElement>()
            .map(|s| s.value());
        if let Some(glycol) = code.and_then(|c| GlycolName::from_code(&c)) {
            context.act(Action::StockGlycolChosen(i, glycol));
        }
    });
    html! {
        <div class="field small">
            <label for={id.clone()}>{ words::STOCK_GLYCOL }</label>
            <span class="entry">
                <select {id} class="unit" ~value={glycol.code()} {onchange}>
                    { for GlycolName::ALL.iter().map(|g| html! {
                        <option value={g.code()} selected={*g == glycol}>{ g.words() }</option>
                    }) }
                </select>
            </span>
        </div>
    }
}
