//! A stated range: checked by the code, pointed to by the docs.

use super::error::OutOfRange;

/// A closed range of one quantity, in the unit its `unit` names.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range {
    /// What is limited, as an identifier (`temperature`, `strength`, …).
    pub quantity: &'static str,
    /// Lowest admitted value.
    pub low: f64,
    /// Highest admitted value.
    pub high: f64,
    /// Unit of both; empty for a plain number.
    pub unit: &'static str,
}

impl Range {
    /// `Ok` inside, to within 1e-9 of the limits; else an error naming quantity, value and limits.
    ///
    /// # Errors
    /// [`OutOfRange`], also for a value that is not a number.
    pub fn check(&self, value: f64) -> Result<f64, OutOfRange> {
        if value >= self.low - 1e-9 && value <= self.high + 1e-9 {
            Ok(held(value, self.low, self.high))
        } else {
            Err(OutOfRange {
                range: *self,
                value,
            })
        }
    }
}

/// `value` held between two limits. Unlike the standard clamp it cannot panic on crossed limits, whose message alone
/// puts a float printer into the page.
pub fn held(value: f64, low: f64, high: f64) -> f64 {
    value.max(low).min(high)
}
