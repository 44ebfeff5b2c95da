//! One of several: a group of radio buttons drawn as chips.

use pourcard::app::{action::Action, choice::Choice, words::Worded};
use yew::Html;

use super::{
    Context,
    hand::{Deed, change},
    tag::tag,
};

/// A chip: its code, its words, whether it is chosen, and what choosing it does.
pub type Chip = (&'static str, &'static str, bool, Action);

/// The chips of a list.
pub fn chips<C: Choice + Worded>(
    options: &[C],
    chosen: Option<C>,
    action: fn(C) -> Action,
) -> Vec<Chip> {
    options
        .iter()
        .map(|&c| (c.code(), c.words(), chosen == Some(c), action(c)))
        .collect()
}

/// A group of chips under a heading that is seen, or only heard.
pub fn view_chips(
    context: &Context,
    name: &str,
    legend: &str,
    seen: bool,
    chips: Vec<Chip>,
) -> Html {
    let mut row = Vec::new();
    for (code, words, checked, action) in chips {
        let radio = tag("input", "")
            .set("type", "radio")
            .set("name", name)
            .set("value", code)
            .checked(checked)
            .hand(change(context.send, Deed::Act(action)));
        row.push(
            tag("label", "chip")
                .with(radio.html())
                .with(tag("span", "").text(words).html())
                .html(),
        );
    }
    tag("fieldset", "chips")
        .with(
            tag("legend", if seen { "" } else { "aside" })
                .text(legend)
                .html(),
        )
        .with(tag("div", "chip-row").each(row).html())
        .html()
}
