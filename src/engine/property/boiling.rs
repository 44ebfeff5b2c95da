//! Boiling (bubble) point at a pressure.

use super::super::error::{OutOfRange, PropertyError};
use super::super::fluid::{Glycol, WATER_MOLAR_MASS};
use super::super::quantity::{LabelFraction, MassFraction, Pressure, ThermodynamicTemperature};
use super::super::range::Range;
use super::super::solve;
use super::super::source::Source;
use super::coefficients::MARGULES_ETHYLENE;
use super::fraction::mass_fraction;
use super::saturation::{glycol_pa, water_k, water_pa};
use uom::si::thermodynamic_temperature::kelvin;

/// Absolute pressures answered.
pub const PRESSURE: Range = Range {
    quantity: "pressure",
    low: 50.0,
    high: 350.0,
    unit: "kPa",
};

/// Strengths answered: propylene to 70 mass % (70.31 vol%), above which nothing backs the estimate.
pub const fn range(glycol: Glycol) -> Range {
    let high = match glycol {
        Glycol::Ethylene => 90.0,
        Glycol::Propylene => 70.35,
    };
    Range {
        quantity: "strength",
        low: 0.0,
        high,
        unit: "vol%",
    }
}

/// Equations, data and what they can say.
pub const fn source(glycol: Glycol) -> Source {
    match glycol {
        Glycol::Ethylene => Source {
            citation: "Bubble point with one-parameter Margules on Kamihama et al., J. Chem. Eng. Data 57 (2012) 339–344; water \
                       IAPWS-IF97, glycol Perry 8th ed. table 2-8",
            stated_error: "0.15 K to 75 mass % and 0.4 K above at 101.3 kPa, ± 0.6 K to 350 kPa",
        },
        Glycol::Propylene => Source {
            citation: "Bubble point with one-parameter Margules A = 0.6, a judgement: no vapour–liquid data found; water \
                       IAPWS-IF97, glycol Perry 8th ed. table 2-8",
            stated_error: "± 0.7 K; a NIST-UNIFAC estimate is 0.65 K lower",
        },
    }
}

/// Margules A of water + propylene glycol: between ideal (0) and what group contribution gives; a judgement.
const MARGULES_PROPYLENE: f64 = 0.6;

/// Boiling point of the mix at an absolute pressure: x_w γ_w p_w(T) + x_g γ_g p_g(T) = p, ideal vapour.
///
/// Range: [`range`], [`PRESSURE`]. Accuracy: [`source`].
///
/// # Errors
/// [`PropertyError::OutOfRange`].
pub fn boiling_point(
    glycol: Glycol,
    strength: LabelFraction,
    pressure: Pressure,
) -> Result<ThermodynamicTemperature, PropertyError> {
    let fraction = range(glycol).check(strength.percent())? / 100.0;
    let p = 1000.0 * PRESSURE.check(pressure.value / 1000.0)?;
    let a = match glycol {
        Glycol::Ethylene => MARGULES_ETHYLENE,
        Glycol::Propylene => MARGULES_PROPYLENE,
    };
    let x_water = water_mole_fraction(
        glycol,
        mass_fraction(glycol, LabelFraction::clamped(fraction)),
    );
    let x_glycol = 1.0 - x_water;
    let water = x_water * (a * x_glycol * x_glycol).exp();
    let glycol_part = x_glycol * (a * x_water * x_water).exp();
    // Glycol lifts the boiling point above water's; its own vapour keeps it below water's at p/(x γ).
    let (low, high) = (water_k(p), water_k(p / water));
    if high - low < 1e-9 {
        return Ok(ThermodynamicTemperature::new::<kelvin>(low));
    }
    // The logarithm of pressure is almost a straight line in 1/T.
    let excess = |inverse: f64| {
        let t = 1.0 / inverse;
        ((water * water_pa(t) + glycol_part * glycol_pa(glycol, t)) / p).ln()
    };
    let found = solve::root(excess, 1.0 / high, 1.0 / low, 1e-12);
    found
        .map(|inverse| ThermodynamicTemperature::new::<kelvin>(1.0 / inverse))
        .ok_or(
            OutOfRange {
                range: PRESSURE,
                value: p / 1000.0,
            }
            .into(),
        )
}

/// Moles of water in a mole of mix.
pub fn water_mole_fraction(glycol: Glycol, mass: MassFraction) -> f64 {
    let water = (1.0 - mass.fraction()) / WATER_MOLAR_MASS;
    let glycol = mass.fraction() / glycol.molar_mass();
    water / (water + glycol)
}
