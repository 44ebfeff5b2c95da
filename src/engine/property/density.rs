//! Density.

use super::super::error::PropertyError;
use super::super::fluid::Glycol;
use super::super::quantity::{LabelFraction, MassDensity, ThermodynamicTemperature, kg_per_m3};
use super::super::range::Range;
use super::super::source::Source;
use super::coefficients::{DENSITY, WATER_DENSITY};
use super::column::{Isotherm, across, inverse, polynomial};
use super::liquid;

/// Strengths answered: to 90 vol% from the table, above it extrapolated for concentrate stock.
pub const RANGE: Range = liquid::STRENGTH_TO_CONCENTRATE;

/// Tables and what they can say.
pub const SOURCE: Source = Source {
    citation: "ASHRAE Handbook: Fundamentals, Physical Properties of Secondary Coolants, density of aqueous inhibited \
               glycols; water: IAPWS-95, below 0 °C IAPWS SR6-08",
    stated_error: "0.01 % at the rows; propylene at 80 to 90 vol% 0.6 % (the table disagrees with itself); above 90 vol% \
                   extrapolated",
};

/// Density of concentrate at 20 °C, kg/m³: the cubic through the columns 60 to 90 vol%, continued to 100.
const fn concentrate_20c(glycol: Glycol) -> f64 {
    let at = &DENSITY[glycol.index()];
    4.0 * at_20c(&at[8]) - 6.0 * at_20c(&at[7]) + 4.0 * at_20c(&at[6]) - at_20c(&at[5])
}

const fn at_20c(c: &[f64; 3]) -> f64 {
    polynomial(c, 0.2)
}

/// kg/m³ of the columns 0 to 100 vol% at one temperature, °C; the refractive index's own.
pub(super) const fn isotherm(glycol: Glycol, t: f64) -> Isotherm<11> {
    let table = &TO_CONCENTRATE[glycol.index()];
    let mut columns = [water(t); 11];
    let mut i = 1;
    while i < 11 {
        columns[i] = polynomial(&table[i - 1], t / 100.0);
        i += 1;
    }
    Isotherm::of(&columns)
}

/// The table with a column for undiluted concentrate: the 90 vol% column, denser by what 20 °C says at every
/// temperature.
const TO_CONCENTRATE: [[[f64; 3]; 10]; 2] = [
    to_concentrate(Glycol::Ethylene),
    to_concentrate(Glycol::Propylene),
];

const fn to_concentrate(glycol: Glycol) -> [[f64; 3]; 10] {
    let table = &DENSITY[glycol.index()];
    let denser = concentrate_20c(glycol) / at_20c(&table[8]);
    let mut columns = [[0.0; 3]; 10];
    let mut i = 0;
    while i < 9 {
        columns[i] = table[i];
        i += 1;
    }
    columns[9] = [
        denser * table[8][0],
        denser * table[8][1],
        denser * table[8][2],
    ];
    columns
}

/// Density of the mix at ambient pressure (above its boiling point, at saturation).
///
/// Range: [`RANGE`] and −35 to 125 °C where liquid. Accuracy: [`SOURCE`].
///
/// # Errors
/// [`PropertyError`] outside the range or below the mix's freezing point.
pub fn density(
    glycol: Glycol,
    strength: LabelFraction,
    temperature: ThermodynamicTemperature,
) -> Result<MassDensity, PropertyError> {
    let (fraction, t) = liquid::checked(glycol, strength, temperature, &RANGE)?;
    Ok(kg_per_m3(raw(glycol, fraction, t)))
}

/// kg/m³ at a fraction and °C already known to be in range.
pub(crate) fn raw(glycol: Glycol, fraction: f64, t: f64) -> f64 {
    across(
        fraction,
        t / 100.0,
        || water(t),
        &TO_CONCENTRATE[glycol.index()],
    )
}

/// Water, kg/m³, −20 to 125 °C.
pub(crate) const fn water(t: f64) -> f64 {
    polynomial(&WATER_DENSITY, inverse(t))
}

/// Density of undiluted concentrate at 20 °C, extrapolated from the columns 60 to 90 vol%: 1131.8 kg/m³ ethylene,
/// 1047 propylene.
pub fn concentrate_density(glycol: Glycol) -> MassDensity {
    kg_per_m3(concentrate_20c(glycol))
}

/// Density of water at 20 °C (IAPWS-95: 998.207 kg/m³).
pub fn water_density_20c() -> MassDensity {
    kg_per_m3(water(20.0))
}
