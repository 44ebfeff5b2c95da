//! Yew components. They draw what the layer below made ready, and compute nothing.
//!
//! One reducer at the root over [`pourcard::app::desk::Desk`]; everything below is a plain `fn view_x(…) -> Html`
//! that is given the page and a way to send what the user did. Absent on purpose: numbers, words, decisions.

mod card;
mod choice;
mod column;
mod field;
mod folds;
mod hand;
mod head;
mod jobs;
mod keeping;
mod margin;
mod pattern;
mod questions;
mod shelf;
mod tag;

use std::rc::Rc;

use gloo::timers::callback::Timeout;
use pourcard::app::{
    desk::{Desk, DeskAction},
    page::Page as PageState,
    view, words,
};
use yew::{
    Callback, Html, Reducible, UseReducerHandle, component, use_effect_with, use_reducer, use_state,
};

use hand::Send;
use tag::{several, tag, text};

/// How long an answer rests before it is spoken, milliseconds: long enough for a number to be typed.
const SPOKEN_AFTER_MS: u32 = 1200;

/// The desk behind the page.
#[derive(Debug)]
struct State(Desk);

impl Reducible for State {
    type Action = DeskAction;

    fn reduce(self: Rc<Self>, action: DeskAction) -> Rc<Self> {
        Rc::new(Self(self.0.act(action)))
    }
}

/// What every part of the page is given.
struct Context<'a> {
    page: &'a PageState,
    send: Send,
}

/// The root component.
#[component]
pub fn Page() -> Html {
    let state: UseReducerHandle<State> = use_reducer(|| State(keeping::desk()));
    let dispatcher = state.dispatcher();
    let send = Callback::from(move |action| dispatcher.dispatch(action));
    keeping::use_keeping(&state.0, &send);
    let card = view::card(&state.0.page);
    let spoken = use_spoken(view::spoken(&card));
    let context = Context {
        page: &state.0.page,
        send,
    };
    let asked = tag("div", "asked")
        .with(head::view_loops(&context))
        .with(questions::view_questions(&context))
        .with(folds::view_folds(&context, &state.0));
    let bar = tag("a", "bar")
        .set("href", "#card")
        .set("data-standing", card::standing_code(&card))
        .with(text("span", "bar-line", &view::line(&card)))
        .with(text("span", "bar-go", words::TO_CARD));
    several(vec![
        pattern::view_patterns(),
        head::view_head(&context, &state.0),
        tag("main", "")
            .with(asked.html())
            .with(card::view_card(&context, &card))
            .html(),
        bar.html(),
        tag("p", "aside")
            .set("role", "status")
            .set("aria-live", "polite")
            .text(&spoken)
            .html(),
    ])
}

/// The answer as a screen reader is to hear it: only once it has rested, and not at all on arrival.
#[yew::hook]
fn use_spoken(line: String) -> Rc<String> {
    let spoken = use_state(|| Rc::new(String::new()));
    let arrived = use_state(|| line.clone());
    {
        let spoken = spoken.clone();
        use_effect_with(line, move |line| {
            let line = line.clone();
            let quiet = **spoken == line || (spoken.is_empty() && *arrived == line);
            let timeout =
                (!quiet).then(|| Timeout::new(SPOKEN_AFTER_MS, move || spoken.set(Rc::new(line))));
            move || drop(timeout)
        });
    }
    (*spoken).clone()
}
