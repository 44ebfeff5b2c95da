//! What the engine refuses, as data. Words are chosen above.

use super::range::Range;

/// A value outside the range its model can stand behind.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OutOfRange {
    /// The range that was left.
    pub range: Range,
    /// The value offered, in the range's unit.
    pub value: f64,
}

/// Why a property has no value here.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PropertyError {
    /// Outside the model's range.
    OutOfRange(OutOfRange),
    /// Below the mix's own freezing point: no longer a liquid. Both in °C.
    Frozen {
        /// Temperature asked for.
        temperature_c: f64,
        /// Where this mix freezes.
        freezing_point_c: f64,
    },
    /// No data: the reason as an identifier-free phrase, one of a closed list in the property's file.
    NoData(&'static str),
}

impl From<OutOfRange> for PropertyError {
    fn from(e: OutOfRange) -> Self {
        Self::OutOfRange(e)
    }
}
