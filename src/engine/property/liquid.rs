//! Where the mixture is a liquid the tables speak of.

use super::super::error::{OutOfRange, PropertyError};
use super::super::fluid::Glycol;
use super::super::quantity::{LabelFraction, ThermodynamicTemperature, in_celsius};
use super::super::range::Range;
use super::coefficients::COLDEST_ROW_C;
use super::freezing::{Freezing, freezing_point};

/// Temperatures of the property tables.
pub const TEMPERATURE: Range = Range {
    quantity: "temperature",
    low: -35.0,
    high: 125.0,
    unit: "degC",
};
/// Strengths of the property tables.
pub const STRENGTH: Range = Range {
    quantity: "strength",
    low: 0.0,
    high: 90.0,
    unit: "vol%",
};
/// Strengths of density alone, which concentrate stock needs.
pub const STRENGTH_TO_CONCENTRATE: Range = Range {
    high: 100.0,
    ..STRENGTH
};

/// Freezing point of pure ethylene glycol, °C (CRC Handbook, Physical Constants of Organic Compounds).
const ETHYLENE_GLYCOL_MELTS_C: f64 = -13.0;

/// Strength as a fraction and temperature in °C, both in range and the mix a liquid.
#[inline]
pub(crate) fn checked(
    glycol: Glycol,
    strength: LabelFraction,
    temperature: ThermodynamicTemperature,
    strengths: &Range,
) -> Result<(f64, f64), PropertyError> {
    // The fraction itself, which a hair's breadth past the range (see `check`) does not hurt.
    strengths.check(strength.percent())?;
    let fraction = strength.fraction();
    let t = TEMPERATURE.check(in_celsius(temperature))?;
    // Glycol only lowers the freezing point of water.
    if t >= 0.0 {
        return Ok((fraction, t));
    }
    not_ice(glycol, strength, t)?;
    Ok((fraction, t))
}

/// Below 0 °C a mix is a liquid down to its own freezing point, or as far as the tables go.
fn not_ice(glycol: Glycol, strength: LabelFraction, t: f64) -> Result<(), PropertyError> {
    match freezing_point(glycol, strength) {
        Ok(Freezing::At(point)) => {
            let freezing_point_c = in_celsius(point);
            if t < freezing_point_c - 1e-9 {
                return Err(PropertyError::Frozen {
                    temperature_c: t,
                    freezing_point_c,
                });
            }
        }
        Ok(Freezing::AtOrBelow(_)) | Err(_) => {
            let low = floor_c(glycol, strength.fraction());
            if t < low - 1e-9 {
                return Err(OutOfRange {
                    range: Range { low, ..TEMPERATURE },
                    value: t,
                }
                .into());
            }
        }
    }
    Ok(())
}

/// Above the freezing tables: the coldest cell the property tables fill in. The ethylene column at 90 vol% starts at
/// −25 °C; beyond it the line to the pure glycol's freezing point.
fn floor_c(glycol: Glycol, fraction: f64) -> f64 {
    match glycol {
        Glycol::Ethylene if fraction > 0.9 => {
            -25.0 + (ETHYLENE_GLYCOL_MELTS_C + 25.0) * (fraction - 0.9) / 0.1
        }
        Glycol::Ethylene if fraction > 0.8 => -35.0 + 10.0 * (fraction - 0.8) / 0.1,
        _ => TEMPERATURE.low,
    }
}

/// Whether a property asked for here lies past the source's rows (colder than the table begins, or above 90 vol%)
/// and is the continuation of its curves: up to 12 K, down to the freezing point of mixes under 50 vol%.
pub fn extrapolated(
    glycol: Glycol,
    strength: LabelFraction,
    temperature: ThermodynamicTemperature,
) -> bool {
    if strength.percent() > STRENGTH.high + 1e-9 {
        return true;
    }
    let coldest = &COLDEST_ROW_C[glycol.index()];
    let place = crate::engine::range::held(strength.fraction() * 10.0 - 1.0, 0.0, 8.0);
    let i = (place as usize).min(7);
    let first_row = coldest[i] + (coldest[i + 1] - coldest[i]) * (place - i as f64);
    let weak = (strength.fraction() * 10.0).min(1.0);
    // Below 10 vol% the line to water, whose table is whole.
    let first_row = if weak < 1.0 {
        coldest[0] * weak
    } else {
        first_row
    };
    in_celsius(temperature) < first_row - 1e-9
}
