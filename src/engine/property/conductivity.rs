//! Thermal conductivity.

use super::super::error::PropertyError;
use super::super::fluid::Glycol;
use super::super::quantity::{LabelFraction, ThermalConductivity, ThermodynamicTemperature};
use super::super::range::Range;
use super::super::source::Source;
use super::coefficients::{CONDUCTIVITY, WATER_CONDUCTIVITY};
use super::column::{across, inverse, polynomial};
use super::liquid;
use uom::si::thermal_conductivity::watt_per_meter_kelvin;

/// Strengths answered.
pub const RANGE: Range = liquid::STRENGTH;

/// Tables and what they can say.
pub const SOURCE: Source = Source {
    citation: "ASHRAE Handbook: Fundamentals, Physical Properties of Secondary Coolants, thermal conductivity of aqueous \
               inhibited glycols; water: IAPWS R15-11, below 0 °C IAPWS SR6-08",
    stated_error: "0.7 % at the rows, which are printed to 0.001 W/(m K)",
};

/// Thermal conductivity of the mix.
///
/// Range: [`RANGE`] and −35 to 125 °C where liquid. Accuracy: [`SOURCE`].
///
/// # Errors
/// [`PropertyError`] outside the range or below the mix's freezing point.
pub fn conductivity(
    glycol: Glycol,
    strength: LabelFraction,
    temperature: ThermodynamicTemperature,
) -> Result<ThermalConductivity, PropertyError> {
    let (fraction, t) = liquid::checked(glycol, strength, temperature, &RANGE)?;
    Ok(ThermalConductivity::new::<watt_per_meter_kelvin>(raw(
        glycol, fraction, t,
    )))
}

/// W/(m K) at a fraction and °C already known to be in range.
pub(crate) fn raw(glycol: Glycol, fraction: f64, t: f64) -> f64 {
    across(
        fraction,
        t / 100.0,
        || water(t),
        &CONDUCTIVITY[glycol.index()],
    )
}

/// Water, W/(m K), −20 to 125 °C.
pub(crate) fn water(t: f64) -> f64 {
    polynomial(&WATER_CONDUCTIVITY, inverse(t))
}
