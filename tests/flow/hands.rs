//! A user's hands: typing and choosing, one line each.

use pourcard::app::{
    action::{Action, Pick},
    field::Field,
    model::{Model, Spot},
    page::Page,
    view::{self, Card},
};

/// The example.
pub fn van() -> Page {
    Page::new(Model::demo())
}

/// Nothing typed.
pub fn empty() -> Page {
    Page::new(Model::empty(pourcard::app::choice::System::Metric))
}

/// What a user can do to a page.
pub trait Hands {
    fn types(self, field: Field, text: &str) -> Page;
    fn picks(self, pick: Pick) -> Page;
    fn does(self, action: Action) -> Page;
}

impl Hands for Page {
    fn types(self, field: Field, text: &str) -> Page {
        self.act(Action::Typed(Spot::Loop(field), text.into()))
    }

    fn picks(self, pick: Pick) -> Page {
        self.act(Action::Chosen(pick))
    }

    fn does(self, action: Action) -> Page {
        self.act(action)
    }
}

/// The answer in one line, with plain spaces.
pub fn line(page: &Page) -> String {
    plain(&view::line(&card(page)))
}

pub fn card(page: &Page) -> Card {
    view::card(page)
}

/// No-break spaces made plain.
pub fn plain(text: &str) -> String {
    text.replace('\u{a0}', " ")
}

/// What a field says is wrong.
pub fn error(page: &Page, field: Field) -> Option<String> {
    view::field(page, &Spot::Loop(field)).error
}

pub fn text(page: &Page, field: Field) -> String {
    view::field(page, &Spot::Loop(field)).text
}
