//! Yew components. They draw what the layer below made ready, and compute nothing.
//!
//! One reducer at the root over [`pourcard::app::desk::Desk`]; everything below is a plain `fn view_x(…) -> Html`
//! that is given the page and a way to send what the user did. Absent on purpose: numbers, words, decisions.

mod card;
mod choice;
mod column;
mod field;
mod folds;
mod head;
mod jobs;
mod keeping;
mod margin;
mod pattern;
mod questions;
mod shelf;

use std::rc::Rc;

use gloo::timers::callback::Timeout;
use pourcard::app::{
    action::Action,
    desk::{Desk, DeskAction},
    page::Page as PageState,
    view, words,
};
use yew::{
    Callback, Html, Reducible, UseReducerHandle, component, html, use_effect_with, use_memo,
    use_reducer_eq, use_state,
};

/// How long an answer rests before it is spoken, milliseconds: long enough for a number to be typed.
const SPOKEN_AFTER_MS: u32 = 1200;

/// The desk behind the page.
#[derive(Debug, Clone, PartialEq)]
struct State(Desk);

impl Reducible for State {
    type Action = DeskAction;

    fn reduce(self: Rc<Self>, action: DeskAction) -> Rc<Self> {
        Rc::new(Self(self.0.act(action)))
    }
}

/// What every part of the page is given.
#[derive(Clone)]
struct Context {
    page: PageState,
    send: Callback<DeskAction>,
}

impl Context {
    /// Sends what a user did on the page.
    fn act(&self, action: Action) {
        self.send.emit(DeskAction::On(action));
    }

    /// A callback that sends the same action each time, whatever the event.
    fn on<E: 'static>(&self, action: Action) -> Callback<E> {
        self.on_desk(DeskAction::On(action))
    }

    /// The same for the desk.
    fn on_desk<E: 'static>(&self, action: DeskAction) -> Callback<E> {
        let send = self.send.clone();
        Callback::from(move |_| send.emit(action.clone()))
    }
}

/// The root component.
#[component]
pub fn Page() -> Html {
    let state: UseReducerHandle<State> = use_reducer_eq(|| State(keeping::desk()));
    let send = {
        let dispatcher = state.dispatcher();
        Callback::from(move |action| dispatcher.dispatch(action))
    };
    keeping::use_keeping(&state.0, &send);
    let context = Context {
        page: state.0.page.clone(),
        send,
    };
    let card = use_memo(state.0.page.clone(), view::card);
    let spoken = use_spoken(view::spoken(&card));
    html! {
        <>
            { pattern::view_patterns() }
            { head::view_head(&context, &state.0) }
            <main>
                <div class="asked">
                    { head::view_loops(&context) }
                    { questions::view_questions(&context) }
                    { folds::view_folds(&context, &state.0) }
                </div>
                { card::view_card(&context, &card) }
            </main>
            <a class="bar" href="#card" data-standing={card::standing_code(&card)}>
                <span class="bar-line">{ view::line(&card) }</span>
                <span class="bar-go">{ words::TO_CARD }</span>
            </a>
            <p class="aside" role="status" aria-live="polite">{ (*spoken).clone() }</p>
        </>
    }
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
