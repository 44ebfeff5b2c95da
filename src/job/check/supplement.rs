//! What a supplement's test shows, of the loop and of what is poured, in one measure.
//!
//! A level is booked per litre: label units per US gallon, or mg/L. Parts per million are by mass, so they go by the
//! density of the mix they were read in. Nitrite is said as NO2 or as sodium nitrite, which differ by half.

use super::{Refused, at::At, shelf::Stock};
use crate::engine::{
    dose::Dosing,
    fluid::Glycol,
    plan::Usable,
    property,
    quantity::{LabelFraction, celsius},
};
use crate::job::{
    file::{Loop, Quantity, Rate, Substance, Supplement},
    limits,
    message::{Refusal, Typed},
    units::LevelUnit,
};

/// g/mol of NO2 and of NaNO2: N 14.007, O 15.999, Na 22.990 (IUPAC's abridged standard atomic weights).
const NO2: f64 = 14.007 + 2.0 * 15.999;
const NANO2: f64 = NO2 + 22.990;

/// What is measured; of nitrite, how much NO2 one of it is.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Measured {
    Label,
    Mass,
    Nitrite(f64),
    Molybdate,
}

/// The measure of a level, where it is one.
fn measured(unit: LevelUnit, of: Option<Substance>) -> Result<Measured, Refusal> {
    match (of, unit) {
        (Some(Substance::Nitrite), _) => Err(Refusal::NitriteUnclear),
        (Some(_), LevelUnit::UnitsPerUsGal) => Err(Refusal::LevelUnitUnfit),
        (Some(Substance::No2), _) => Ok(Measured::Nitrite(1.0)),
        (Some(Substance::NaNo2), _) => Ok(Measured::Nitrite(NO2 / NANO2)),
        (Some(Substance::Molybdate), _) => Ok(Measured::Molybdate),
        (None, LevelUnit::UnitsPerUsGal) => Ok(Measured::Label),
        (None, LevelUnit::Ppm | LevelUnit::MgPerL) => Ok(Measured::Mass),
    }
}

/// What one of a unit is per litre, in a mix of this strength.
pub(in crate::job) fn per_litre(unit: LevelUnit, glycol: Glycol, strength: LabelFraction) -> f64 {
    match unit {
        LevelUnit::UnitsPerUsGal | LevelUnit::MgPerL => 1.0,
        LevelUnit::Ppm => {
            property::density(glycol, strength, celsius(20.0)).map_or(1.0, |d| d.value / 1000.0)
        }
    }
}

/// Is the level of a rate one that can be understood?
pub(super) fn is_clear(unit: LevelUnit, of: Option<Substance>) -> Result<(), Refusal> {
    measured(unit, of).map(|_| ())
}

/// The supplement of a stock, within its limits.
pub(super) fn stocks_own(at: &At, supplement: Option<Supplement>) -> Result<(), Refused> {
    let Some(Supplement::Level { value, unit, of }) = supplement else {
        return Ok(());
    };
    let typed = Typed::new(value, unit.text());
    at.within("supplement.value", value, typed, &limits::LEVEL)?;
    is_clear(unit, of).map_err(|why| at.refuse("supplement", why))
}

/// Says of each stock for the loop what it brings.
pub(super) fn brings(
    at: &At,
    lp: &Loop,
    dosing: Option<Dosing>,
    shelf: &[Stock],
    usable: &mut [Usable],
    glycol: Glycol,
) -> Result<(), Refused> {
    let Some((dosing, additive)) = dosing.zip(lp.additive.as_ref()) else {
        return Ok(());
    };
    for one in usable {
        let stock = &shelf[one.stock];
        let Some(Supplement::Level { value, unit, of }) = stock.supplement else {
            continue;
        };
        one.level = match additive.rate {
            Rate::Reading {
                raises: Quantity { unit: own, .. },
                of: own_of,
                ..
            } => {
                let refuse = |why| at.refuse("additive.rate", why);
                let own = measured(own, own_of).map_err(refuse)?;
                let its = measured(unit, of).map_err(refuse)?;
                let per = match (its, own) {
                    (Measured::Nitrite(its), Measured::Nitrite(own)) => its / own,
                    (its, own) if its == own => 1.0,
                    _ => {
                        let stock = stock.name.clone();
                        return Err(refuse(Refusal::TestsDiffer { stock }));
                    }
                };
                value * per * per_litre(unit, glycol, one.strength)
            }
            _ if dosing.supplement && value > 0.0 => 1.0,
            _ => 0.0,
        };
    }
    Ok(())
}
