//! Vapour pressure of water and of the pure glycols.

use super::super::error::PropertyError;
use super::super::fluid::Glycol;
use super::super::quantity::{Pressure, ThermodynamicTemperature};
use super::super::range::Range;
use super::super::source::Source;

/// Temperatures of the water equation.
pub const WATER_RANGE: Range = Range {
    quantity: "temperature",
    low: 273.15,
    high: 647.096,
    unit: "K",
};
/// Pressures of its inverse.
pub const WATER_PRESSURE_RANGE: Range = Range {
    quantity: "pressure",
    low: 0.611_213,
    high: 22_064.0,
    unit: "kPa",
};
/// Temperatures of the glycol equations.
pub const GLYCOL_RANGE: Range = Range {
    quantity: "temperature",
    low: 260.15,
    high: 626.0,
    unit: "K",
};

/// Water.
pub const WATER_SOURCE: Source = Source {
    citation: "IAPWS R7-97(2012), IAPWS-IF97 region 4, equations 29 to 31",
    stated_error: "0.01 K to IAPWS-95 between 50 and 350 kPa",
};
/// Glycols.
pub const GLYCOL_SOURCE: Source = Source {
    citation: "Perry's Chemical Engineers' Handbook, 8th ed., table 2-8",
    stated_error: "1 to 3 % near the normal boiling point",
};

const N: [f64; 10] = [
    0.11670521452767e4,
    -0.72421316703206e6,
    -0.17073846940092e2,
    0.12020824702470e5,
    -0.32325550322333e7,
    0.14915108613530e2,
    -0.48232657361591e4,
    0.40511340542057e6,
    -0.23855557567849,
    0.65017534844798e3,
];

/// Saturation pressure of water.
///
/// Check value: 300 K gives 3.53658941 kPa. Range [`WATER_RANGE`], accuracy [`WATER_SOURCE`].
///
/// # Errors
/// [`PropertyError::OutOfRange`].
pub fn water_saturation_pressure(
    temperature: ThermodynamicTemperature,
) -> Result<Pressure, PropertyError> {
    let t = WATER_RANGE.check(temperature.value)?;
    Ok(pascals(water_pa(t)))
}

/// Saturation temperature of water.
///
/// Check value: 0.1 MPa gives 372.755919 K. Range [`WATER_PRESSURE_RANGE`], accuracy [`WATER_SOURCE`].
///
/// # Errors
/// [`PropertyError::OutOfRange`].
pub fn water_saturation_temperature(
    pressure: Pressure,
) -> Result<ThermodynamicTemperature, PropertyError> {
    let kpa = WATER_PRESSURE_RANGE.check(pressure.value / 1000.0)?;
    Ok(kelvin(water_k(kpa * 1000.0)))
}

/// Vapour pressure of the pure glycol.
///
/// Range [`GLYCOL_RANGE`], accuracy [`GLYCOL_SOURCE`].
///
/// # Errors
/// [`PropertyError::OutOfRange`].
pub fn glycol_saturation_pressure(
    glycol: Glycol,
    temperature: ThermodynamicTemperature,
) -> Result<Pressure, PropertyError> {
    let t = GLYCOL_RANGE.check(temperature.value)?;
    Ok(pascals(glycol_pa(glycol, t)))
}

/// Pa at K.
pub(super) fn water_pa(t: f64) -> f64 {
    let theta = t + N[8] / (t - N[9]);
    let a = theta * (theta + N[0]) + N[1];
    let b = theta * (N[2] * theta + N[3]) + N[4];
    let c = theta * (N[5] * theta + N[6]) + N[7];
    let root = 2.0 * c / (-b + (b * b - 4.0 * a * c).sqrt());
    let square = root * root;
    1e6 * square * square
}

/// K at Pa.
pub(super) fn water_k(p: f64) -> f64 {
    let beta = (p * 1e-6).sqrt().sqrt();
    let e = beta * (beta + N[2]) + N[5];
    let f = beta * (N[0] * beta + N[3]) + N[6];
    let g = beta * (N[1] * beta + N[4]) + N[7];
    let d = 2.0 * g / (-f - (f * f - 4.0 * e * g).sqrt());
    let sum = N[9] + d;
    0.5 * (sum - (sum * sum - 4.0 * (N[8] + N[9] * d)).sqrt())
}

/// Pa at K: ln p = C1 + C2/T + C3 ln T + C4 T^C5.
pub(super) fn glycol_pa(glycol: Glycol, t: f64) -> f64 {
    let (c1, c2, c3, last) = match glycol {
        Glycol::Ethylene => (
            84.09,
            -10_411.0,
            -8.1976,
            1.6536e-18 * (t * t * t) * (t * t * t),
        ),
        Glycol::Propylene => (212.8, -15_420.0, -28.109, 2.1564e-5 * t * t),
    };
    (c1 + c2 / t + c3 * t.ln() + last).exp()
}

fn pascals(p: f64) -> Pressure {
    Pressure::new::<uom::si::pressure::pascal>(p)
}

fn kelvin(t: f64) -> ThermodynamicTemperature {
    ThermodynamicTemperature::new::<uom::si::thermodynamic_temperature::kelvin>(t)
}
