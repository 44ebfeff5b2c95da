//! Air pressure at a height.

use super::super::error::PropertyError;
use super::super::quantity::{Length, Pressure, kilopascals};
use super::super::range::Range;
use super::super::source::Source;

/// Heights answered: below the lowest road and above the highest.
pub const RANGE: Range = Range {
    quantity: "altitude",
    low: -500.0,
    high: 6000.0,
    unit: "m",
};

/// The standard.
pub const SOURCE: Source = Source {
    citation: "ICAO Doc 7488/3 (1993), ISO 2533, troposphere",
    stated_error: "exact for the standard day; weather moves it by about 3 %",
};

/// Pressure of the standard atmosphere: 101.325 kPa (1 − 0.0065 H/288.15)^(g₀/(R L)), H the geopotential height.
///
/// Check value: 1500 m gives 84.55599 kPa.
///
/// # Errors
/// [`PropertyError::OutOfRange`] outside [`RANGE`].
pub fn air_pressure(altitude: Length) -> Result<Pressure, PropertyError> {
    const LAPSE: f64 = 0.0065;
    const EXPONENT: f64 = 9.80665 / (287.052_87 * LAPSE);
    let h = RANGE.check(altitude.value)?;
    Ok(kilopascals(
        101.325 * (1.0 - LAPSE * h / 288.15).powf(EXPONENT),
    ))
}
