//! A supplement's level by test, as the loop's volume is given and as it may be.
//!
//! A level is a concentration: the test reads it whatever the loop holds. Drawing leaves it as it is; what is poured or
//! dosed is mixed into more or less than the book says. So each level is carried three times.
//! Never done here: what a label asks for.

use super::quantity::{Volume, in_litres};

/// A figure with the volume at the mark as given, at its low and at its high end.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct AtEnds {
    /// As given.
    pub nominal: f64,
    /// At the low end.
    pub low: f64,
    /// At the high end.
    pub high: f64,
}

impl AtEnds {
    /// The same whatever the volume.
    pub const fn of(value: f64) -> Self {
        Self {
            nominal: value,
            low: value,
            high: value,
        }
    }

    /// Litres that are `off` less at the low end and more at the high end; never less than none.
    pub fn litres(held: Volume, off: Volume) -> Self {
        let (held, off) = (in_litres(held), in_litres(off));
        Self {
            nominal: held,
            low: (held - off).max(0.0),
            high: held + off,
        }
    }

    /// Each with its like.
    pub fn with(self, other: Self, f: impl Fn(f64, f64) -> f64) -> Self {
        Self {
            nominal: f(self.nominal, other.nominal),
            low: f(self.low, other.low),
            high: f(self.high, other.high),
        }
    }

    /// This level in `held` litres once `amount` litres of another came to them.
    pub fn mixed(self, held: Self, level: f64, amount: Self) -> Self {
        let content = self.with(held, |level, litres| level * litres);
        let content = content.with(amount, |content, litres| content + level * litres);
        let volume = held.with(amount, |a, b| a + b);
        let level = content.with(volume, |content, litres| content / litres);
        // Nothing in nothing has no level.
        level.with(
            self,
            |level, was| if level.is_finite() { level } else { was },
        )
    }
}
