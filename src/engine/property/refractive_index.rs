//! Refractive index at the sodium D line, relative to air.

use super::super::error::PropertyError;
use super::super::fluid::Glycol;
use super::super::quantity::{LabelFraction, Ratio, ThermodynamicTemperature};
use super::super::range::Range;
use super::super::source::Source;
use super::coefficients::{
    REFRACTIVE_ETHYLENE_20C, REFRACTIVE_PROPYLENE_25C, REFRACTIVE_SUCROSE_20C,
};
use super::column::{Isotherm, polynomial};
use super::{density, liquid};
use uom::si::ratio::ratio;

/// Strengths answered.
pub const RANGE: Range = liquid::STRENGTH;

/// Temperatures answered: what the density carries for ethylene, what was measured for propylene.
pub const fn temperature_range(glycol: Glycol) -> Range {
    *temperatures(glycol)
}

const fn temperatures(glycol: Glycol) -> &'static Range {
    const ETHYLENE: Range = Range {
        low: 0.0,
        high: 60.0,
        ..liquid::TEMPERATURE
    };
    const PROPYLENE: Range = Range {
        low: 15.0,
        high: 35.0,
        ..liquid::TEMPERATURE
    };
    match glycol {
        Glycol::Ethylene => &ETHYLENE,
        Glycol::Propylene => &PROPYLENE,
    }
}

/// Degrees Brix of the scale on a sugar refractometer.
pub const BRIX: Range = Range {
    quantity: "Brix",
    low: 0.0,
    high: 70.0,
    unit: "degBx",
};

/// Data and what they can say.
pub const fn source(glycol: Glycol) -> Source {
    match glycol {
        Glycol::Ethylene => Source {
            citation: "CRC Handbook 102nd ed. (2021), Concentrative Properties of Aqueous Solutions, 20 °C to 60 mass %, and the \
                       pure glycol; other temperatures by Lorentz–Lorenz with the density",
            stated_error: "1e-4 at 20 °C; by water's own, 4e-4 at 0 and 60 °C; above 60 mass % only the pure glycol fixes it",
        },
        Glycol::Propylene => Source {
            citation: "MacBeth and Thompson, Anal. Chem. 1951 (25 °C); Gerke, Abbe refractometer (20, 25, 30 °C); between \
                       temperatures by Lorentz–Lorenz with the density",
            stated_error: "3e-4 at 25 °C, 5e-4 from 15 to 35 °C",
        },
    }
}

/// The sugar scale.
pub const BRIX_SOURCE: Source = Source {
    citation: "CRC Handbook 102nd ed. (2021), Concentrative Properties of Aqueous Solutions, sucrose at 20 °C",
    stated_error: "1e-4",
};

/// The model's own error at 95 %, for readings.
pub(crate) const fn model_error(glycol: Glycol) -> f64 {
    match glycol {
        Glycol::Ethylene => 1e-4,
        Glycol::Propylene => 3e-4,
    }
}

/// Densities where the index was measured.
static ETHYLENE_20C: Isotherm<11> = density::isotherm(Glycol::Ethylene, 20.0);
static PROPYLENE_25C: Isotherm<11> = density::isotherm(Glycol::Propylene, 25.0);

/// Refractive index of the mix.
///
/// Range: [`RANGE`], [`temperature_range`]. Accuracy: [`source`].
///
/// # Errors
/// [`PropertyError`] outside the range or below the mix's freezing point.
pub fn refractive_index(
    glycol: Glycol,
    strength: LabelFraction,
    temperature: ThermodynamicTemperature,
) -> Result<Ratio, PropertyError> {
    let (fraction, t) = liquid::checked(glycol, strength, temperature, &RANGE)?;
    let t = temperatures(glycol).check(t)?;
    let (reference, n) = match glycol {
        Glycol::Ethylene => (
            &ETHYLENE_20C,
            polynomial(&REFRACTIVE_ETHYLENE_20C, fraction),
        ),
        Glycol::Propylene => (
            &PROPYLENE_25C,
            polynomial(&REFRACTIVE_PROPYLENE_25C, fraction),
        ),
    };
    // Lorentz–Lorenz: (n²−1)/(n²+2) goes with the density. Here it is a/b.
    let a = (n * n - 1.0) * density::raw(glycol, fraction, t);
    let b = (n * n + 2.0) * reference.across(fraction);
    Ok(Ratio::new::<ratio>(((b + 2.0 * a) / (b - a)).sqrt()))
}

/// The refractive index at 20 °C that a sugar scale shows as this many degrees Brix (mass % of sucrose).
///
/// Range: [`BRIX`]. Accuracy: [`BRIX_SOURCE`].
///
/// # Errors
/// [`PropertyError::OutOfRange`].
pub fn of_brix(brix: f64) -> Result<Ratio, PropertyError> {
    let brix = BRIX.check(brix)?;
    Ok(Ratio::new::<ratio>(polynomial(
        &REFRACTIVE_SUCROSE_20C,
        brix / 100.0,
    )))
}

/// What one more degree Brix adds to [`of_brix`].
pub(crate) fn per_brix(brix: f64) -> f64 {
    let [_, b, c, d] = REFRACTIVE_SUCROSE_20C;
    let x = brix / 100.0;
    (b + x * (2.0 * c + x * 3.0 * d)) / 100.0
}
