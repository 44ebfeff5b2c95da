//! Yew components. They draw what the layer below made ready, and compute nothing.
//!
//! One component at the root over [`pourcard::app::desk::Desk`], whose messages are the desk's actions; everything
//! below is a plain `fn view_x(…) -> Html` that is given the page and a way to send what the user did. A struct, not
//! a function with hooks: each hook is a few kB of its own, and there is nothing here to share. Absent on purpose: numbers, words, decisions.

mod after;
mod card;
mod choice;
mod column;
mod counter;
mod curve;
mod field;
mod fleet;
mod folds;
mod form;
mod hand;
mod head;
mod jobs;
mod keeping;
mod link;
mod logs;
mod margin;
mod pattern;
mod questions;
mod sheet;
mod shelf;
mod survey;
mod tag;

use std::{cell::Cell, rc::Rc};

use gloo::{events::EventListener, timers::callback::Timeout};
use pourcard::app::{
    desk::{Desk, DeskAction},
    page::Page as PageState,
    view::{self, Card},
    words,
};
use wasm_bindgen::JsCast;
use web_sys::HtmlElement;
use yew::{Component, Context as Scope, Html, Properties};

use crate::browser::{address, clipboard, storage};
use hand::Send;
use tag::{several, tag, text};

/// How long an answer rests before it is spoken, milliseconds: long enough for a number to be typed.
const SPOKEN_AFTER_MS: u32 = 1200;

/// What happens to the page.
pub enum Message {
    /// Something a user did.
    Did(DeskAction),
    /// Something another tab did.
    Elsewhere(keeping::Elsewhere),
    /// An answer has rested.
    Rested,
    /// A fold was opened or closed.
    Folded(folds::Open, bool),
}

/// The desk as it is when the page opens; none once another tab kept something in the meantime.
#[derive(Properties)]
pub struct Opened {
    desk: Rc<Cell<Option<Desk>>>,
    _elsewhere: EventListener,
}

impl Opened {
    /// As it was left, or as the address asks.
    pub fn now() -> Self {
        let desk = Rc::new(Cell::new(Some(keeping::desk())));
        let stale = desk.clone();
        Self {
            desk,
            _elsewhere: storage::watch(move |_, _| stale.set(None)),
        }
    }
}

/// A page opens once.
impl PartialEq for Opened {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

/// The root component.
pub struct Page {
    desk: Desk,
    send: Send,
    keeping: keeping::Keeping,
    _elsewhere: [EventListener; 4],
    /// The folds that are open.
    open: folds::Open,
    /// The card of the loop in sight, made once a change.
    card: Card,
    /// The answer as a screen reader is to hear it.
    line: String,
    /// The same as a screen reader last heard it; empty on arrival.
    spoken: String,
    resting: Option<Timeout>,
    /// Plans a fleet.
    planner: fleet::Planner,
    /// What gets the focus once it is drawn.
    then: Option<String>,
}

/// What every part of the page is given.
struct Context<'a> {
    page: &'a PageState,
    send: &'a Send,
    open: folds::Open,
}

impl Component for Page {
    type Message = Message;
    type Properties = Opened;

    fn create(scope: &Scope<Self>) -> Self {
        words::write_money_as(&clipboard::money_sample());
        let desk = scope.props().desk.take().unwrap_or_else(keeping::desk);
        let card = view::card(&desk.page);
        let send = scope.link().callback(Message::Did);
        if let Some(fragment) = address::fragment() {
            link::take(&send, &fragment);
            address::clear();
        }
        if let Some(texts) = desk.link_wanted() {
            link::make(&send, texts);
        }
        let link = scope.link().clone();
        let [kept, seen] = keeping::watch(move |what| link.send_message(Message::Elsewhere(what)));
        Self {
            line: view::spoken(&card),
            card,
            keeping: keeping::Keeping::new(&desk),
            _elsewhere: [kept, seen, link::watch(&send), {
                let link = scope.link().clone();
                folds::watch(move |fold, open| link.send_message(Message::Folded(fold, open)))
            }],
            open: 0,
            send,
            spoken: String::new(),
            resting: None,
            planner: None,
            then: None,
            desk,
        }
    }

    fn update(&mut self, scope: &Scope<Self>, message: Message) -> bool {
        match message {
            Message::Rested => self.spoken.clone_from(&self.line),
            Message::Folded(fold, true) => self.open |= fold,
            Message::Folded(fold, false) => self.open &= !fold,
            Message::Did(DeskAction::AllWanted) => {
                // Denied: nothing is lost, it is still here.
                let _ = hand::save(words::ALL_FILE_NAME, &self.desk.all_jobs());
            }
            Message::Did(action) => {
                let open = self.desk.open.clone();
                self.then = view::then(&self.desk, &action);
                let fleet = match &action {
                    DeskAction::Fleet(action) => Some(action.clone()),
                    _ => None,
                };
                let is_logs = matches!(action, DeskAction::Logs(_));
                self.desk.take(action);
                fleet::follow(
                    &self.send,
                    &mut self.planner,
                    fleet.as_ref(),
                    &mut self.desk,
                );
                if (fleet.is_some() || is_logs) && open == self.desk.open {
                    return true; // nothing else has changed
                }
                self.changed(scope, true);
            }
            Message::Elsewhere(what) => {
                self.keeping.heed(&what, &mut self.desk);
                self.changed(scope, false);
            }
        }
        true
    }

    fn rendered(&mut self, _: &Scope<Self>, _: bool) {
        let Some(id) = self.then.take() else { return };
        let found = gloo::utils::document().get_element_by_id(&id);
        if let Some(found) = found.and_then(|e| e.dyn_into::<HtmlElement>().ok()) {
            // Denied only where it is not drawn.
            let _ = found.focus();
            if id == view::CARD {
                found.scroll_into_view();
            }
        }
    }

    fn view(&self, _scope: &Scope<Self>) -> Html {
        let context = Context {
            page: &self.desk.page,
            send: &self.send,
            open: self.open,
        };
        let card = &self.card;
        let asked = tag("div", "asked")
            .with(head::view_loops(&context))
            .with(questions::view_questions(&context))
            .with(head::view_more_loops(&context))
            .with(folds::view_folds(&context, &self.desk));
        let mut papers = tag("div", "papers").with(card::view_card(&context, card));
        for other in view::other_cards(context.page) {
            papers = papers.with(card::view_paper(&context, &other));
        }
        if let Some(sheet) = view::sheet(context.page, &keeping::today()) {
            papers = papers.with(sheet::view_sheet(&context, &self.desk, &sheet));
        }
        let bar = tag("a", "bar")
            .set("href", "#card")
            .set("data-standing", card::standing_code(card))
            .with(
                tag("span", "bar-lines")
                    .with(
                        view::current_verdict(card).map_or(tag::nothing(), |verdict| {
                            text("span", "bar-verdict", &verdict.short)
                        }),
                    )
                    .with(text("span", "bar-line", &view::line(card)))
                    .html(),
            )
            .with(text("span", "bar-go", words::TO_CARD));
        several(vec![
            pattern::view_patterns(),
            head::view_head(&context, &self.desk),
            head::view_told(&context, &self.desk),
            tag("main", "")
                .with(asked.html())
                .with(papers.html())
                .html(),
            fleet::view_fleet(&context, &self.desk),
            bar.html(),
            tag("p", "aside")
                .set("role", "status")
                .set("aria-live", "polite")
                .text(&self.spoken)
                .html(),
        ])
    }
}

impl Page {
    /// Keeps the desk, and makes what is shown of it.
    fn changed(&mut self, scope: &Scope<Self>, acted: bool) {
        self.keeping.keep(&mut self.desk, acted);
        if let Some(texts) = self.desk.link_wanted() {
            link::make(&self.send, texts);
        }
        self.card = view::card(&self.desk.page);
        self.let_rest(scope);
    }

    /// Speaks a new answer once it has rested; a newer one starts the rest anew.
    fn let_rest(&mut self, scope: &Scope<Self>) {
        let line = view::spoken(&self.card);
        if line != self.line {
            self.line = line;
            let link = scope.link().clone();
            self.resting = Some(Timeout::new(SPOKEN_AFTER_MS, move || {
                link.send_message(Message::Rested)
            }));
        }
    }
}
