//! What the page's elements do when they are touched: one listener for all of them.

use std::rc::Rc;

use pourcard::app::{
    action::{Action, Pick},
    after::update::List,
    choice::{Brings, Choice, Family, GlycolName},
    counter::{Deal, per},
    desk::DeskAction,
    field::Unit,
    fleet::FleetAction,
    model::Spot,
};
use wasm_bindgen::JsCast;
use web_sys::{Event, HtmlInputElement, HtmlSelectElement};
use yew::{
    Callback,
    virtual_dom::{Listener, ListenerKind},
};

use super::keeping::new_id;
use crate::browser;

/// Where what a user did is sent.
pub type Send = Callback<DeskAction>;

/// What touching an element does.
pub enum Deed {
    /// Sends an action.
    Act(Action),
    /// Sends one about jobs.
    Desk(DeskAction),
    /// Sends one that needs a name for a new job.
    NewJob(fn(String) -> DeskAction),
    /// Deletes a job.
    Delete(String),
    /// Sends a field's text.
    Type(Spot),
    /// Sends the unit chosen for a field.
    ChooseUnit(Spot),
    /// Sends the inhibitor family chosen for a stock; none where its code is empty.
    ChooseFamily(usize),
    /// Sends a choice of the loop in sight: of the list kept under this key.
    Choose(&'static str),
    /// A stock's supplement.
    ChooseBrings(usize),
    /// Sends the glycol chosen for a stock.
    ChooseGlycol(usize),
    /// Reads the files chosen.
    Import,
    /// Reads the table chosen.
    ChooseTable,
    /// Opens a row of the fleet as a job.
    OpenRow(u32),
    /// Reads the price list chosen.
    ImportPrices,
    /// Offers a file: its name and its text.
    Save(&'static str, String),
    /// Looks for a job by the field's text.
    Seek,
    /// Copies a text, and sends what to tell of it.
    Copy(String, DeskAction),
    /// Hands a text to the system's share sheet: its title and itself.
    Share(String, String),
    /// Sends what was chosen from a list of the fold of afterwards.
    ChooseAfter(List),
    /// Hands the logs chosen to the reader, with what it is to do: before, or (`true`) after.
    ChooseLogs(String, bool),
    /// Has them compared again.
    CompareLogs(String),
    /// Prints the page: the part of it that has this name.
    Print(&'static str),
    /// Sends what the charge chosen counts.
    ChoosePer(usize),
}

struct Hand {
    send: Send,
    touch: Touch,
    deed: Deed,
}

/// How an element is touched.
#[derive(Clone, Copy)]
enum Touch {
    Click,
    Change,
    Input,
}

/// What answers to a click.
pub fn click(send: &Send, deed: Deed) -> Rc<dyn Listener> {
    hand(send, Touch::Click, deed)
}

/// What answers to a choice.
pub fn change(send: &Send, deed: Deed) -> Rc<dyn Listener> {
    hand(send, Touch::Change, deed)
}

/// What answers to typing.
pub fn input(send: &Send, deed: Deed) -> Rc<dyn Listener> {
    hand(send, Touch::Input, deed)
}

fn hand(send: &Send, touch: Touch, deed: Deed) -> Rc<dyn Listener> {
    Rc::new(Hand {
        send: send.clone(),
        touch,
        deed,
    })
}

impl Listener for Hand {
    fn kind(&self) -> ListenerKind {
        match self.touch {
            Touch::Click => ListenerKind::onclick,
            Touch::Change => ListenerKind::onchange,
            Touch::Input => ListenerKind::oninput,
        }
    }

    fn passive(&self) -> bool {
        false
    }

    fn handle(&self, event: Event) {
        if let Some(action) = self.action(&event) {
            self.send.emit(action);
        }
    }
}

impl Hand {
    /// What to send at once.
    fn action(&self, event: &Event) -> Option<DeskAction> {
        Some(match &self.deed {
            Deed::Act(action) => DeskAction::On(action.clone()),
            Deed::Desk(action) => action.clone(),
            Deed::NewJob(make) => make(new_id()),
            Deed::Delete(id) => DeskAction::Deleted(id.clone(), new_id()),
            Deed::Type(spot) => DeskAction::On(Action::Typed(
                spot.clone(),
                target::<HtmlInputElement>(event)?.value(),
            )),
            Deed::ChooseUnit(spot) => {
                let code = target::<HtmlSelectElement>(event)?.value();
                let unit = Unit::from_code(spot.measure()?, &code)?;
                DeskAction::On(Action::UnitChosen(spot.clone(), unit))
            }
            Deed::ChooseGlycol(row) => {
                let code = target::<HtmlSelectElement>(event)?.value();
                DeskAction::On(Action::StockGlycolChosen(
                    *row,
                    GlycolName::from_code(&code)?,
                ))
            }
            Deed::ChooseAfter(list) => {
                let code = target::<HtmlSelectElement>(event)?.value();
                DeskAction::On(Action::After(list.chosen(&code)?))
            }
            Deed::ChooseFamily(row) => {
                let code = target::<HtmlSelectElement>(event)?.value();
                DeskAction::On(Action::StockFamilyChosen(*row, Family::from_code(&code)))
            }
            Deed::Choose(key) => {
                let code = target::<HtmlSelectElement>(event)?.value();
                DeskAction::On(Action::Chosen(Pick::from_code(key, &code)?))
            }
            Deed::ChooseBrings(row) => {
                let code = target::<HtmlSelectElement>(event)?.value();
                let brings = Brings::from_code(&code)?;
                DeskAction::On(Action::StockBringsChosen(*row, brings))
            }
            Deed::Import => {
                import(&self.send, target(event)?);
                return None;
            }
            Deed::ChooseTable => {
                table(&self.send, target(event)?);
                return None;
            }
            Deed::OpenRow(row) => DeskAction::FleetRow(*row, new_id()),
            Deed::ImportPrices => {
                import_prices(&self.send, target(event)?);
                return None;
            }
            Deed::Save(name, text) => {
                // Denied: nothing is lost, it is still here.
                let _ = save(name, text);
                return None;
            }
            Deed::Seek => DeskAction::Sought(target::<HtmlInputElement>(event)?.value()),
            Deed::Share(title, text) => {
                let (title, text) = (title.clone(), text.clone());
                // Refused or thought better of: nothing is lost.
                wasm_bindgen_futures::spawn_local(async move {
                    _ = browser::clipboard::share(&title, &text).await;
                });
                return None;
            }
            Deed::Copy(text, copied) => {
                copy(&self.send, text.clone(), copied.clone());
                return None;
            }
            Deed::ChooseLogs(order, after) => {
                let input = target::<HtmlInputElement>(event)?;
                super::logs::hand_over(&self.send, order, *after, Some(&input));
                return None;
            }
            Deed::CompareLogs(order) => {
                super::logs::hand_over(&self.send, order, false, None);
                return None;
            }
            Deed::Print(part) => {
                // Denied only where there is nothing to print on.
                let _ = browser::clipboard::print(part);
                return None;
            }
            Deed::ChoosePer(row) => {
                let code = target::<HtmlSelectElement>(event)?.value();
                DeskAction::On(Action::Dealt(Deal::ChargedPer(*row, per(&code)?)))
            }
        })
    }
}

/// Offers a file of JSON.
pub fn save(name: &str, text: &str) -> Option<()> {
    let kind = if name.ends_with(".csv") {
        "text/csv"
    } else {
        "application/json"
    };
    browser::file::save(name, kind, text)
}

fn target<T: JsCast>(event: &Event) -> Option<T> {
    event.target()?.dyn_into().ok()
}

fn import(send: &Send, input: HtmlInputElement) {
    let send = send.clone();
    wasm_bindgen_futures::spawn_local(async move {
        let files = browser::file::open(&input).await;
        if !files.is_empty() {
            let named = files.into_iter().map(|f| (f.name, f.text, new_id()));
            send.emit(DeskAction::Imported(named.collect()));
        }
    });
}

fn table(send: &Send, input: HtmlInputElement) {
    let send = send.clone();
    wasm_bindgen_futures::spawn_local(async move {
        if let Some(file) = browser::file::open(&input).await.pop() {
            send.emit(DeskAction::Fleet(FleetAction::Chosen(file.name, file.text)));
        }
    });
}

fn import_prices(send: &Send, input: HtmlInputElement) {
    let send = send.clone();
    wasm_bindgen_futures::spawn_local(async move {
        for file in browser::file::open(&input).await {
            send.emit(DeskAction::PricesImported(file.text));
        }
    });
}

fn copy(send: &Send, text: String, copied: DeskAction) {
    let send = send.clone();
    wasm_bindgen_futures::spawn_local(async move {
        let done = browser::clipboard::copy(&text).await;
        send.emit(done.map_or(DeskAction::NotCopied, |()| copied));
    });
}
