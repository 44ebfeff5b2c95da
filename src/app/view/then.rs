//! Where the focus goes after an action: to what it brought, so that it never falls to the page's body.

use super::field::id;
use crate::app::{
    action::Action,
    counter::{self, Deal, Place},
    desk::{Desk, DeskAction},
    field::Field,
    form::Form,
    model::Spot,
};

/// What the card goes by.
pub const CARD: &str = "card";

/// What the page's name goes by.
pub const NAME: &str = "name";

/// The element that gets the focus once an action is done on this desk; `None`: it stays.
pub fn then(desk: &Desk, action: &DeskAction) -> Option<String> {
    let model = &desk.page.model;
    let spot = match action {
        DeskAction::LinkTaken(Ok(_), _) => return Some(CARD.to_owned()),
        // To be read first: no field, which would open a phone's keyboard.
        DeskAction::Example(_)
        | DeskAction::ExampleKept
        | DeskAction::Opened(_)
        | DeskAction::Duplicated(_)
        | DeskAction::Undeleted => return Some(NAME.to_owned()),
        DeskAction::Empty(_)
        | DeskAction::Deleted(..)
        | DeskAction::On(Action::LoopAdded | Action::LoopDuplicated | Action::LoopRemoved) => {
            return Some(Field::Volume.row().key.to_owned());
        }
        DeskAction::On(Action::CardCleared | Action::SettledFor(_)) => {
            return Some(CARD.to_owned());
        }
        DeskAction::On(Action::StockAdded) => Spot::StockPercent(model.shelf.len()),
        DeskAction::On(Action::Dealt(Deal::PackAdded(owner))) => {
            let next = counter::packs(model, *owner).len();
            Spot::Counter(Place::PackSize(*owner, next))
        }
        DeskAction::On(Action::Dealt(Deal::Wanted(row, _))) => {
            let owner = counter::Owner::Stock(*row);
            let next = counter::packs(model, owner).len();
            Spot::Counter(Place::PackPrice(owner, next))
        }
        DeskAction::On(Action::Dealt(Deal::ChargeAdded)) => {
            Spot::Counter(Place::ChargeName(model.counter.charges.len()))
        }
        _ => return None,
    };
    Some(id(&spot))
}
