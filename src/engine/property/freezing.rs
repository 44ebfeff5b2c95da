//! Freezing point, and the strength that reaches one.

use super::super::error::{OutOfRange, PropertyError};
use super::super::fluid::Glycol;
use super::super::quantity::{
    LabelFraction, TemperatureInterval, ThermodynamicTemperature, celsius, difference, in_celsius,
};
use super::super::range::Range;
use super::super::solve;
use super::super::source::Source;
use super::coefficients::{FREEZING_C, FREEZING_PURE_C};
use super::column::polynomial;

/// Strengths with a freezing point: the tables end at 60 mass %, 57.8 vol% ethylene and 60 vol% propylene, where the
/// mass and volume columns agree to 0.1 point.
pub const fn range(glycol: Glycol) -> Range {
    let high = match glycol {
        Glycol::Ethylene => 57.85,
        Glycol::Propylene => 60.11,
    };
    Range {
        quantity: "strength",
        low: 0.0,
        high,
        unit: "vol%",
    }
}

/// Ethylene from the table's end to here is only known to freeze at [`ETHYLENE_BELOW_C`] or lower.
pub const ETHYLENE_BOUND: Range = Range {
    quantity: "strength",
    low: 0.0,
    high: 70.0,
    unit: "vol%",
};
/// One published protection table has this at both 57 and 80 vol% ethylene, °C.
pub const ETHYLENE_BELOW_C: f64 = -45.0;

/// Ethylene that one published protection table has at [`ETHYLENE_BELOW_C`] or lower.
const ETHYLENE_BELOW: Range = Range {
    high: 80.0,
    ..ETHYLENE_BOUND
};

/// Table and what it can say.
pub const SOURCE: Source = Source {
    citation: "ASHRAE Handbook: Fundamentals (2001 SI), Freezing and Boiling Points of Aqueous Solutions of Ethylene Glycol, \
               and of Propylene Glycol",
    stated_error: "0.3 K to the table; sources differ by 2 to 4 K, so ± 2 K",
};

/// Where a mix starts to freeze.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Freezing {
    /// At this temperature.
    At(ThermodynamicTemperature),
    /// Not known closer than: at this temperature or colder.
    AtOrBelow(ThermodynamicTemperature),
}

impl Freezing {
    /// How far below `coldest` that is; negative: it freezes first.
    pub fn below(self, coldest: ThermodynamicTemperature) -> TemperatureInterval {
        let (Self::At(t) | Self::AtOrBelow(t)) = self;
        difference(coldest, t)
    }
}

/// Freezing point of the mix.
///
/// Range: [`range`]; ethylene to [`ETHYLENE_BOUND`] as a bound only. Accuracy: [`SOURCE`].
///
/// # Errors
/// [`PropertyError::OutOfRange`] above that: no table reaches there, and protection gets worse again.
pub fn freezing_point(glycol: Glycol, strength: LabelFraction) -> Result<Freezing, PropertyError> {
    let percent = strength.percent();
    match range(glycol).check(percent) {
        Ok(inside) => Ok(Freezing::At(celsius(curve_c(glycol, inside / 100.0)))),
        Err(beyond) => match glycol {
            Glycol::Ethylene => {
                ETHYLENE_BOUND.check(percent)?;
                Ok(Freezing::AtOrBelow(celsius(ETHYLENE_BELOW_C)))
            }
            Glycol::Propylene => Err(beyond.into()),
        },
    }
}

/// Where the end of a range of strengths that freezes first does: the weak one, and past the turning point the strong
/// one. `plus_minus`: half of the range, as a fraction.
///
/// # Errors
/// [`PropertyError::OutOfRange`] where one of the ends has no figure. The strong end of propylene needs none (its
/// protection does not turn within any mix a table has); that of ethylene is at or below [`ETHYLENE_BELOW_C`] up to 80 %.
pub fn freezes_first(
    glycol: Glycol,
    strength: LabelFraction,
    plus_minus: f64,
) -> Result<Freezing, PropertyError> {
    let [weak, strong] =
        [-1.0, 1.0].map(|way| LabelFraction::clamped(strength.fraction() + way * plus_minus));
    let weak_end = freezing_point(glycol, weak)?;
    if glycol == Glycol::Propylene {
        return Ok(weak_end);
    }
    let strong_end = match range(glycol).check(strong.percent()) {
        Ok(_) => freezing_point(glycol, strong)?,
        Err(_) => {
            ETHYLENE_BELOW.check(strong.percent())?;
            Freezing::AtOrBelow(celsius(ETHYLENE_BELOW_C))
        }
    };
    let at = |f: Freezing| match f {
        Freezing::At(t) | Freezing::AtOrBelow(t) => in_celsius(t),
    };
    Ok(if at(strong_end) > at(weak_end) {
        strong_end
    } else {
        weak_end
    })
}

/// The least strength whose freezing point is `wanted` or colder; plain water at 0 °C and above.
///
/// # Errors
/// [`PropertyError::OutOfRange`] colder than the end of the table.
pub fn strength_for_freezing(
    glycol: Glycol,
    wanted: ThermodynamicTemperature,
) -> Result<LabelFraction, PropertyError> {
    let t = in_celsius(wanted);
    if t >= 0.0 {
        return Ok(LabelFraction::WATER);
    }
    let most = range(glycol).high / 100.0;
    let low = curve_c(glycol, most);
    let reach = Range {
        quantity: "freezing point",
        low,
        high: 0.0,
        unit: "degC",
    };
    let t = reach.check(t)?;
    let found = solve::root(|f| curve_c(glycol, f) - t, 0.0, most, 1e-12);
    // The curve falls from 0 at water to `low`: a root lies between.
    found.map(LabelFraction::clamped).ok_or(
        OutOfRange {
            range: reach,
            value: t,
        }
        .into(),
    )
}

/// °C of the handbook's curve at a fraction in range.
pub(crate) fn curve_c(glycol: Glycol, fraction: f64) -> f64 {
    fraction * polynomial(&FREEZING_C[glycol.index()], fraction)
}

/// °C of the glycol without inhibitors, at a fraction in range: CRC (ethylene), Melinder (propylene).
pub(crate) fn pure_c(glycol: Glycol, fraction: f64) -> f64 {
    fraction * polynomial(&FREEZING_PURE_C[glycol.index()], fraction)
}
