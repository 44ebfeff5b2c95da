//! What the page shows, as ready strings and geometry. The screen draws this and decides nothing.

mod after;
mod card;
mod column;
mod curve;
mod field;
mod input;
mod margin;
mod record;
mod sheet;
mod step;
mod survey;
mod then;
mod verdict;
mod why;

pub use after::{AfterView, Finding, Plot, after, after_digest};
pub use card::{
    Card, CautionView, Notice, Standing, StepView, card, current_verdict, line, other_cards, spoken,
};
pub use column::{Band, BandKind, Column, Mark, Place};
pub use curve::{At, Curve, Reading};
pub use field::{
    FieldView, UnitView, alike, field, fold_digest, more_digests, needs, quick, stock_digest,
    stock_line,
};
pub use margin::{Margins, Row, Tile};
pub use sheet::{LineView, SheetView, TakeView, money_digest, sheet, sheet_digest};
pub use survey::{SideChart, SpotChart, SpotView};
pub use then::{CARD, NAME, then};
pub use verdict::Verdict;
pub use why::Why;
