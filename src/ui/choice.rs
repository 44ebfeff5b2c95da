//! One of several: a group of radio buttons drawn as chips.

use pourcard::app::{
    action::{Action, Pick},
    choice::Choice,
    words::Worded,
};
use yew::{Callback, Event, Html, classes, html};

use super::Context;

/// A group of chips.
pub struct Chips<'a, C> {
    /// Unique on the page.
    pub name: &'static str,
    /// Heading of the group.
    pub legend: &'static str,
    /// Is the heading seen, or only heard?
    pub seen: bool,
    /// What can be chosen.
    pub options: &'a [C],
    /// What is.
    pub chosen: Option<C>,
}

/// A group of chips that sends a choice made for the loop in sight.
pub fn view_chips<C: Choice + Worded>(
    context: &Context,
    chips: &Chips<C>,
    pick: fn(C) -> Pick,
) -> Html {
    view_options(context, chips, |choice| Action::Chosen(pick(choice)))
}

/// A group of chips that sends any action.
pub fn view_options<C: Choice + Worded>(
    context: &Context,
    chips: &Chips<C>,
    action: impl Fn(C) -> Action,
) -> Html {
    let options = chips.options.iter().map(|&option| {
        let checked = chips.chosen == Some(option);
        view_chip(
            chips.name,
            option.code(),
            option.words(),
            checked,
            context.on(action(option)),
        )
    });
    view_group(chips.legend, chips.seen, options.collect())
}

/// One chip.
pub fn view_chip(
    name: &'static str,
    code: &'static str,
    words: &'static str,
    checked: bool,
    onchange: Callback<Event>,
) -> Html {
    html! {
        <label class="chip">
            <input type="radio" {name} value={code} {checked} {onchange} />
            <span>{ words }</span>
        </label>
    }
}

/// Chips under a heading.
pub fn view_group(legend: &'static str, seen: bool, chips: Html) -> Html {
    html! {
        <fieldset class="chips">
            <legend class={classes!((!seen).then_some("aside"))}>{ legend }</legend>
            <div class="chip-row">{ chips }</div>
        </fieldset>
    }
}
