//! What a user can do, in their words.

use super::{
    after::update::After,
    choice::{Brings, System},
    counter::Deal,
    field::Unit,
    model::{LoopModel, Model, Spot},
};
use crate::job::file::{Family, GlycolName, WaterLimits};

pub use super::form::picks::Pick;

/// One thing a user did.
#[derive(Debug, Clone, PartialEq)]
pub enum Action {
    /// Typed into a field: its whole text.
    Typed(Spot, String),
    /// Turned a number's sign.
    SignTurned(Spot),
    /// Chose another unit for one field.
    UnitChosen(Spot, Unit),
    /// Chose the units of the whole page.
    UnitsChosen(System),
    /// Chose from one of a loop's lists.
    Chosen(Pick),
    /// Put a stock on the shelf, or took it off.
    StockTicked(usize),
    /// Said which glycol a stock is.
    StockGlycolChosen(usize, GlycolName),
    /// Said what supplement a stock brings.
    StockBringsChosen(usize, Brings),
    /// Said of which inhibitor family a stock is.
    StockFamilyChosen(usize, Option<Family>),
    /// Said whose limits to judge the mixing water by.
    WaterLimitsChosen(WaterLimits),
    /// Asked for another row on the shelf.
    StockAdded,
    /// Removed a row.
    StockRemoved(usize),
    /// Ticked a step of the card, or took the tick back.
    StepTicked(String),
    /// Said whether what was poured at a step filled it to the mark, or ran out.
    AtMark(String, bool),
    /// Settled for what can be reached with all there is: so many percent.
    SettledFor(f64),
    /// Took back everything entered on the card.
    CardCleared,
    /// Looked at another loop.
    LoopChosen(usize),
    /// Asked for another loop.
    LoopAdded,
    /// Took the additive, its bottles and the cap of another loop for the loop in sight.
    LikeLoop(usize),
    /// Asked for a copy of the loop in sight.
    LoopDuplicated,
    /// Removed the loop in sight.
    LoopRemoved,
    /// Did something at the counter.
    Dealt(Deal),
    /// Put another job in its place: an import, an example, an empty page.
    JobOpened(Box<Model>),
    /// Did something in the fold of afterwards.
    After(After),
    /// Put another loop in the place of the one in sight, which it corrects.
    LoopCorrected(Box<LoopModel>),
    /// Took the last change back.
    Undone,
}
