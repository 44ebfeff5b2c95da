//! Dynamic viscosity.

use super::super::error::PropertyError;
use super::super::fluid::Glycol;
use super::super::quantity::{DynamicViscosity, LabelFraction, ThermodynamicTemperature};
use super::super::range::Range;
use super::super::source::Source;
use super::coefficients::{LN_VISCOSITY, WATER_LN_VISCOSITY};
use super::column::{across, inverse, polynomial};
use super::liquid;
use uom::si::dynamic_viscosity::millipascal_second;

/// Strengths answered.
pub const RANGE: Range = liquid::STRENGTH;

/// Tables and what they can say.
pub const SOURCE: Source = Source {
    citation: "ASHRAE Handbook: Fundamentals, Physical Properties of Secondary Coolants, viscosity of aqueous inhibited \
               glycols; water: IAPWS R12-08, below 0 °C IAPWS SR6-08",
    stated_error: "3 % at the rows and between their temperatures; between the columns the table itself scatters, to about \
                   10 % below 0 °C",
};

/// Dynamic viscosity of the mix: its logarithm is interpolated.
///
/// Range: [`RANGE`] and −35 to 125 °C where liquid. Accuracy: [`SOURCE`].
///
/// # Errors
/// [`PropertyError`] outside the range or below the mix's freezing point.
pub fn viscosity(
    glycol: Glycol,
    strength: LabelFraction,
    temperature: ThermodynamicTemperature,
) -> Result<DynamicViscosity, PropertyError> {
    let (fraction, t) = liquid::checked(glycol, strength, temperature, &RANGE)?;
    Ok(DynamicViscosity::new::<millipascal_second>(
        ln_raw(glycol, fraction, t).exp(),
    ))
}

/// ln(mPa s) at a fraction and °C already known to be in range.
pub(crate) fn ln_raw(glycol: Glycol, fraction: f64, t: f64) -> f64 {
    across(
        fraction,
        inverse(t),
        || ln_water(t),
        &LN_VISCOSITY[glycol.index()],
    )
}

/// Water, ln(mPa s), −20 to 125 °C.
pub(crate) fn ln_water(t: f64) -> f64 {
    polynomial(&WATER_LN_VISCOSITY, inverse(t))
}
