//! What glycol costs in cooling. Two different things, neither a promise of degrees: a radiator's air side usually
//! governs, so the running temperature changes by less than either ratio.

use super::error::PropertyError;
use super::fluid::Glycol;
use super::property::{STRENGTH, checked, conductivity, density, specific_heat, viscosity};
use super::quantity::{LabelFraction, Ratio, ThermodynamicTemperature, in_celsius};
use super::range::Range;
use super::source::Source;
use uom::si::ratio::ratio;

/// Temperatures answered: where water is a liquid to compare with.
pub const TEMPERATURE: Range = Range {
    quantity: "temperature",
    low: 0.0,
    high: 125.0,
    unit: "degC",
};

/// Correlation and what it can say.
pub const FILM_SOURCE: Source = Source {
    citation: "Dittus–Boelter (Nu ∝ Re^0.8 Pr^0.4) with the properties of this engine",
    stated_error: "the ratio 3 %; turbulent flow in the same passage at the same speed only",
};
/// Properties and what they can say.
pub const CARRIED_SOURCE: Source = Source {
    citation: "density times specific heat, as under each",
    stated_error: "0.06 %",
};

/// The share of the film's ratio it may be off, as [`FILM_SOURCE`] states.
pub const FILM_ERROR: f64 = 0.03;
/// The same of the heat carried, as [`CARRIED_SOURCE`] states.
pub const CARRIED_ERROR: f64 = 0.0006;

/// Film coefficient against water at equal flow speed and temperature:
/// (ρ/ρw)^0.8 (k/kw)^0.6 (cp/cpw)^0.4 (μ/μw)^−0.4. About 0.5 at 50 vol% ethylene and 90 °C.
///
/// Range: 0 to 90 vol%, [`TEMPERATURE`]. Accuracy: [`FILM_SOURCE`].
///
/// # Errors
/// [`PropertyError`] outside the range.
pub fn film_vs_water(
    glycol: Glycol,
    strength: LabelFraction,
    temperature: ThermodynamicTemperature,
) -> Result<Ratio, PropertyError> {
    let (fraction, t) = liquid(glycol, strength, temperature)?;
    let rho = density::raw(glycol, fraction, t) / density::water(t);
    let k = conductivity::raw(glycol, fraction, t) / conductivity::water(t);
    let cp = specific_heat::raw(glycol, fraction, t) / specific_heat::water(t);
    let ln_mu = viscosity::ln_raw(glycol, fraction, t) - viscosity::ln_water(t);
    // The powers are fifths: 4, 3, 2 and −2.
    let product = (rho * rho * cp * k) * (rho * rho * cp * k) * k;
    Ok(Ratio::new::<ratio>(
        (0.2 * product.ln() - 0.4 * ln_mu).exp(),
    ))
}

/// Heat carried per litre and kelvin against water at the same temperature: ρ cp / (ρw cpw).
/// About 0.9 at 50 vol% ethylene and 90 °C.
///
/// Range: 0 to 90 vol%, [`TEMPERATURE`]. Accuracy: [`CARRIED_SOURCE`].
///
/// # Errors
/// [`PropertyError`] outside the range.
pub fn heat_carried_vs_water(
    glycol: Glycol,
    strength: LabelFraction,
    temperature: ThermodynamicTemperature,
) -> Result<Ratio, PropertyError> {
    let (fraction, t) = liquid(glycol, strength, temperature)?;
    let carried = density::raw(glycol, fraction, t) * specific_heat::raw(glycol, fraction, t);
    Ok(Ratio::new::<ratio>(
        carried / (density::water(t) * specific_heat::water(t)),
    ))
}

/// Fraction and °C where both the mix and water are liquids.
fn liquid(
    glycol: Glycol,
    strength: LabelFraction,
    temperature: ThermodynamicTemperature,
) -> Result<(f64, f64), PropertyError> {
    TEMPERATURE.check(in_celsius(temperature))?;
    checked(glycol, strength, temperature, &STRENGTH)
}
