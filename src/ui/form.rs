//! Draws the parts of a form.

use pourcard::app::{
    form::layout::{self, Part},
    model::Spot,
};
use yew::Html;

use super::{
    Context,
    choice::view_chips,
    field::{Size, view_row, view_spot},
    tag::{nothing, text},
};

/// A list of parts.
pub fn view_parts(context: &Context, parts: &[Part]) -> Vec<Html> {
    let small = |spot| view_spot(context, spot, Size::Small);
    let model = &context.page.model;
    let part = |part: &Part| match part {
        Part::Choose(list) => {
            let chips = layout::list(model, *list);
            if chips.options.is_empty() {
                return nothing();
            }
            view_chips(context, chips.name, chips.legend, chips.seen, chips.options)
        }
        Part::Fields(fields) => {
            let asked = layout::asked(model.current(), fields);
            view_row(
                "row",
                asked.into_iter().map(|f| small(Spot::Loop(f))).collect(),
            )
        }
        Part::Water(fields) => view_row(
            "row",
            fields.iter().map(|f| small(Spot::Water(*f))).collect(),
        ),
        Part::Other(spot) => view_row("row", vec![small(spot.clone())]),
        Part::Heading(words) => text("h3", "", words),
    };
    parts.iter().map(part).collect()
}
