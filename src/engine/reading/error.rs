//! Why a reading gives no strength.

use super::super::error::{OutOfRange, PropertyError};
use super::super::quantity::LabelFraction;

/// Why a reading gives no strength.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ReadingError {
    /// Off the scale.
    OutOfRange(OutOfRange),
    /// The temperature of the liquid, or the mix itself, is outside what the property knows.
    Property(PropertyError),
    /// Two strengths freeze here: say which side of the turning point.
    AskSide {
        /// The weaker of the two.
        thin: LabelFraction,
        /// The stronger is beyond this.
        thick_beyond: LabelFraction,
    },
    /// The strong side was said: no table tells how strong.
    FarSide {
        /// The tables end here.
        beyond: LabelFraction,
    },
    /// Two strengths show this gravity: no answer.
    TwoAnswers {
        /// One answer only up to this strength.
        above: LabelFraction,
        /// What the hydrometer shows there.
        reads: f64,
    },
    /// A half-width that is negative or not a number.
    BadPlusMinus(f64),
}

impl From<OutOfRange> for ReadingError {
    fn from(e: OutOfRange) -> Self {
        Self::OutOfRange(e)
    }
}

impl From<PropertyError> for ReadingError {
    fn from(e: PropertyError) -> Self {
        match e {
            PropertyError::OutOfRange(e) => Self::OutOfRange(e),
            e => Self::Property(e),
        }
    }
}
