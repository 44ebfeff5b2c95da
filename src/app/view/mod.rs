//! What the page shows, as ready strings and geometry. The screen draws this and decides nothing.

mod card;
mod column;
mod curve;
mod field;
mod input;
mod margin;
mod step;
mod why;

pub use card::{Card, CautionView, Notice, Standing, StepView, card, line, spoken};
pub use column::{Band, BandKind, Column, Mark, Place};
pub use curve::{At, Curve, Reading};
pub use field::{FieldView, UnitView, aside_digests, field, fold_digest, needs, stock_digest};
pub use margin::{Margins, Row, Tile};
pub use why::Why;
