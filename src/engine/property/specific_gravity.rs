//! Specific gravity: density over that of water at the same temperature.

use super::super::error::PropertyError;
use super::super::fluid::Glycol;
use super::super::quantity::{LabelFraction, Ratio, ThermodynamicTemperature};
use super::super::range::Range;
use super::super::source::Source;
use super::coefficients::INHIBITOR_GRAVITY;
use super::{density, liquid};
use uom::si::ratio::ratio;

/// Strengths answered.
pub const RANGE: Range = liquid::STRENGTH;

/// Temperatures answered: where water is a liquid to compare with.
pub const TEMPERATURE: Range = Range {
    low: 0.0,
    ..liquid::TEMPERATURE
};

/// Tables and what they can say.
pub const SOURCE: Source = Source {
    citation: "the density of the mix over that of water, as under density",
    stated_error: "0.01 % for inhibited product; pure glycol reads lower, by about 0.012 times \
                   the strength",
};

/// Specific gravity of the mix.
///
/// Range: [`RANGE`], [`TEMPERATURE`]. Accuracy: [`SOURCE`].
///
/// # Errors
/// [`PropertyError`] outside the range.
pub fn specific_gravity(
    glycol: Glycol,
    strength: LabelFraction,
    temperature: ThermodynamicTemperature,
) -> Result<Ratio, PropertyError> {
    let (fraction, t) = liquid::checked(glycol, strength, temperature, &RANGE)?;
    let t = TEMPERATURE.check(t)?;
    Ok(Ratio::new::<ratio>(
        density::raw(glycol, fraction, t) / density::water(t),
    ))
}

/// What inhibitors add to the gravity of this much glycol: how far a fluid without them reads lower.
pub(crate) fn inhibitor_share(glycol: Glycol, fraction: f64) -> f64 {
    INHIBITOR_GRAVITY[glycol.index()] * fraction
}
