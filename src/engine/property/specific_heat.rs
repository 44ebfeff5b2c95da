//! Specific heat at constant pressure.

use super::super::error::PropertyError;
use super::super::fluid::Glycol;
use super::super::quantity::{LabelFraction, SpecificHeatCapacity, ThermodynamicTemperature};
use super::super::range::Range;
use super::super::source::Source;
use super::coefficients::{SPECIFIC_HEAT, WATER_SPECIFIC_HEAT};
use super::column::{across, inverse, polynomial};
use super::liquid;
use uom::si::specific_heat_capacity::joule_per_kilogram_kelvin;

/// Strengths answered.
pub const RANGE: Range = liquid::STRENGTH;

/// Tables and what they can say.
pub const SOURCE: Source = Source {
    citation: "ASHRAE Handbook: Fundamentals, Physical Properties of Secondary Coolants, specific heat of aqueous inhibited \
               glycols; water: IAPWS-95, below 0 °C IAPWS SR6-08",
    stated_error: "0.05 % at the rows",
};

/// Specific heat of the mix.
///
/// Range: [`RANGE`] and −35 to 125 °C where liquid. Accuracy: [`SOURCE`].
///
/// # Errors
/// [`PropertyError`] outside the range or below the mix's freezing point.
pub fn specific_heat(
    glycol: Glycol,
    strength: LabelFraction,
    temperature: ThermodynamicTemperature,
) -> Result<SpecificHeatCapacity, PropertyError> {
    let (fraction, t) = liquid::checked(glycol, strength, temperature, &RANGE)?;
    Ok(SpecificHeatCapacity::new::<joule_per_kilogram_kelvin>(raw(
        glycol, fraction, t,
    )))
}

/// J/(kg K) at a fraction and °C already known to be in range.
pub(crate) fn raw(glycol: Glycol, fraction: f64, t: f64) -> f64 {
    across(
        fraction,
        t / 100.0,
        || water(t),
        &SPECIFIC_HEAT[glycol.index()],
    )
}

/// Water, J/(kg K), −20 to 125 °C.
pub(crate) fn water(t: f64) -> f64 {
    polynomial(&WATER_SPECIFIC_HEAT, inverse(t))
}
