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

impl std::fmt::Display for OutOfRange {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let Range {
            quantity,
            low,
            high,
            unit,
        } = self.range;
        write!(
            f,
            "{quantity} {} {unit} is outside {low} to {high} {unit}",
            self.value
        )
    }
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

impl std::fmt::Display for PropertyError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::OutOfRange(e) => e.fmt(f),
            Self::Frozen {
                temperature_c,
                freezing_point_c,
            } => {
                write!(
                    f,
                    "temperature {temperature_c} degC is below this mix's freezing point {freezing_point_c:.1} degC"
                )
            }
            Self::NoData(why) => f.write_str(why),
        }
    }
}
