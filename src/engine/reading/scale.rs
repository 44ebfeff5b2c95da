//! Each instrument's scale, read both ways.

use super::super::error::OutOfRange;
use super::super::fluid::Glycol;
use super::super::property::{freezing, refractive_index, specific_gravity};
use super::super::quantity::{LabelFraction, ThermodynamicTemperature, celsius, in_celsius};
use super::super::range::Range;
use super::super::solve;
use super::super::uncertainty::combined;
use super::{
    GRAVITY, Instrument, PROPYLENE_GRAVITY, Reading, ReadingError, Side, Strength,
    TWO_SIDED_FROM_C, default,
};
use uom::si::ratio::ratio;

/// The strength a reading stands for.
///
/// A frost reading is turned into strength by whichever of the handbook's and the pure glycol's curves gives the lower
/// one. A value past plain water by no more than its half-width is plain water.
///
/// # Errors
/// [`ReadingError`]: off the scale, two answers, or a liquid temperature outside the property's range.
pub fn composition(glycol: Glycol, reading: &Reading) -> Result<Strength, ReadingError> {
    let found = read(glycol, reading)?;
    Ok(Strength {
        // Never less sure than not knowing at all.
        plus_minus: found.plus_minus.min(1.0),
        ..found
    })
}

fn read(glycol: Glycol, reading: &Reading) -> Result<Strength, ReadingError> {
    match *reading {
        Reading::Water => Ok(Strength {
            value: LabelFraction::WATER,
            plus_minus: 0.0,
        }),
        Reading::Percent {
            strength,
            plus_minus,
        } => Ok(Strength {
            value: strength,
            plus_minus: half_width(plus_minus, default::PERCENT)?,
        }),
        Reading::FreezingPoint {
            temperature,
            side,
            plus_minus,
        } => {
            let kelvin = half_width(plus_minus.map(|p| p.value), default::FROST_K)?;
            frost(glycol, in_celsius(temperature), side, kelvin)
        }
        Reading::SpecificGravity {
            value,
            temperature,
            plus_minus,
        } => gravity(glycol, value, temperature, half_width_if_given(plus_minus)?),
        Reading::RefractiveIndex {
            value,
            temperature,
            plus_minus,
        } => {
            let shown = half_width(plus_minus, default::REFRACTIVE_INDEX)?;
            index(glycol, value, temperature, shown)
        }
        Reading::Brix {
            value,
            temperature,
            plus_minus,
        } => {
            let brix = half_width(plus_minus, default::BRIX)?;
            let value = if value < 0.0 && value >= -brix {
                0.0
            } else {
                value
            };
            let n = refractive_index::of_brix(value)?.get::<ratio>();
            index(
                glycol,
                n,
                temperature,
                combined([brix * refractive_index::per_brix(value), BRIX_SCALE_ERROR]),
            )
        }
    }
}

/// Half of the finest division on a sugar scale, degrees Brix.
const FIRST_MARK_BRIX: f64 = 0.05;
/// Precision of the sugar scale itself, in refractive index.
const BRIX_SCALE_ERROR: f64 = 1e-4;

/// What an instrument should show for a strength: [`composition`] of it gives the strength back.
///
/// # Errors
/// [`ReadingError`] where the instrument's property has no value, or its scale no unique answer.
pub fn expected(
    glycol: Glycol,
    strength: LabelFraction,
    instrument: Instrument,
) -> Result<Reading, ReadingError> {
    Ok(match instrument {
        Instrument::Percent => Reading::Percent {
            strength,
            plus_minus: None,
        },
        Instrument::FreezingPoint => {
            let fraction = freezing::range(glycol).check(strength.percent())? / 100.0;
            let t = frost_c(glycol, fraction);
            let side = two_sided(glycol, t).then_some(Side::Thin);
            Reading::FreezingPoint {
                temperature: celsius(t),
                side,
                plus_minus: None,
            }
        }
        Instrument::SpecificGravity(at) => {
            if glycol == Glycol::Propylene {
                PROPYLENE_GRAVITY.check(strength.percent())?;
            }
            let value = specific_gravity::specific_gravity(glycol, strength, at)?.get::<ratio>();
            Reading::SpecificGravity {
                value,
                temperature: at,
                plus_minus: None,
            }
        }
        Instrument::RefractiveIndex(at) => {
            let value = refractive_index::refractive_index(glycol, strength, at)?.get::<ratio>();
            Reading::RefractiveIndex {
                value,
                temperature: at,
                plus_minus: None,
            }
        }
        Instrument::Brix(at) => {
            let n = refractive_index::refractive_index(glycol, strength, at)?.get::<ratio>();
            let brix = |b: f64| refractive_index::of_brix(b).map_or(f64::NAN, |n| n.get::<ratio>());
            let scale = refractive_index::BRIX;
            let below = (brix(scale.low) - n) / refractive_index::per_brix(scale.low);
            let value = if below > 0.0 {
                // Warm weak mixes fall off the scale; a hair below its first mark is the first mark.
                scale.check(if below < FIRST_MARK_BRIX { 0.0 } else { -below })?
            } else {
                invert(brix, n, scale.low, scale.high)?
            };
            Reading::Brix {
                value,
                temperature: at,
                plus_minus: None,
            }
        }
    })
}

/// What a frost scale shows: the colder of the two fluids' curves, which is the weaker strength for a reading.
fn frost_c(glycol: Glycol, fraction: f64) -> f64 {
    freezing::curve_c(glycol, fraction).min(freezing::pure_c(glycol, fraction))
}

fn two_sided(glycol: Glycol, t: f64) -> bool {
    glycol == Glycol::Ethylene && t <= TWO_SIDED_FROM_C
}

fn frost(
    glycol: Glycol,
    t: f64,
    side: Option<Side>,
    kelvin: f64,
) -> Result<Strength, ReadingError> {
    let most = freezing::range(glycol).high / 100.0;
    if side == Some(Side::Thick) {
        return Err(ReadingError::FarSide {
            beyond: LabelFraction::clamped(most),
        });
    }
    let scale = Range {
        quantity: "freezing point",
        low: frost_c(glycol, most),
        high: 0.0,
        unit: "degC",
    };
    let t = scale.check(if t > 0.0 && t <= kelvin { 0.0 } else { t })?;
    let fraction = invert(|f| frost_c(glycol, f), t, 0.0, most)?;
    let thin = LabelFraction::clamped(fraction);
    if side.is_none() && two_sided(glycol, t) {
        return Err(ReadingError::AskSide {
            thin,
            thick_beyond: LabelFraction::clamped(most),
        });
    }
    let instrument = kelvin / slope(|f| frost_c(glycol, f), fraction, most).abs();
    // On the other fluid's scale it is stronger, always to the same side: that adds to what the instrument is off.
    let other = |f| freezing::curve_c(glycol, f).max(freezing::pure_c(glycol, f));
    let apart = if other(most) < t {
        invert(other, t, 0.0, most)? - fraction
    } else {
        most - fraction
    };
    Ok(Strength {
        value: thin,
        plus_minus: combined([instrument, default::FROST_SCALE]).max(apart + instrument),
    })
}

fn gravity(
    glycol: Glycol,
    shown: f64,
    at: ThermodynamicTemperature,
    plus_minus: Option<f64>,
) -> Result<Strength, ReadingError> {
    let shown = GRAVITY.check(shown)?;
    specific_gravity::TEMPERATURE.check(in_celsius(at))?;
    let most = match glycol {
        Glycol::Ethylene => specific_gravity::RANGE.high,
        Glycol::Propylene => PROPYLENE_GRAVITY.high,
    } / 100.0;
    let reads = |f: f64| {
        specific_gravity::specific_gravity(glycol, LabelFraction::clamped(f), at)
            .map_or(f64::NAN, |g| g.get::<ratio>())
    };
    let high = reads(most);
    if shown > high + 1e-9 && glycol == Glycol::Propylene {
        return Err(ReadingError::TwoAnswers {
            above: LabelFraction::clamped(most),
            reads: high,
        });
    }
    // 4 K of frost is 0.004 or more of gravity: a hydrometer may show that much less than 1 in water.
    let slack = plus_minus.unwrap_or(0.004);
    let scale = Range {
        low: 1.0,
        high,
        ..GRAVITY
    };
    let shown = scale.check(if shown < 1.0 && shown >= 1.0 - slack {
        1.0
    } else {
        shown
    })?;
    let fraction = invert(reads, shown, 0.0, most)?;
    let per_fraction = slope(reads, fraction, most);
    let instrument = match plus_minus {
        Some(gravity) => gravity / per_fraction,
        None => {
            let most = freezing::range(glycol).high / 100.0;
            default::HYDROMETER_K
                / slope(|f| freezing::curve_c(glycol, f), fraction.min(most), most).abs()
        }
    };
    let inhibitors = specific_gravity::inhibitor_share(glycol, fraction) / per_fraction;
    Ok(Strength {
        value: LabelFraction::clamped(fraction),
        // A fluid with fewer inhibitors is stronger than it reads, never weaker: that adds to what the instrument is off.
        plus_minus: instrument + inhibitors,
    })
}

fn index(
    glycol: Glycol,
    shown: f64,
    at: ThermodynamicTemperature,
    plus_minus: f64,
) -> Result<Strength, ReadingError> {
    refractive_index::temperature_range(glycol).check(in_celsius(at))?;
    let most = refractive_index::RANGE.high / 100.0;
    let reads = |f: f64| {
        refractive_index::refractive_index(glycol, LabelFraction::clamped(f), at)
            .map_or(f64::NAN, |n| n.get::<ratio>())
    };
    let all = combined([plus_minus, refractive_index::model_error(glycol)]);
    let scale = Range {
        quantity: "refractive index",
        low: reads(0.0),
        high: reads(most),
        unit: "",
    };
    let shown = scale.check(if shown < scale.low && shown >= scale.low - all {
        scale.low
    } else {
        shown
    })?;
    let fraction = invert(reads, shown, 0.0, most)?;
    Ok(Strength {
        value: LabelFraction::clamped(fraction),
        plus_minus: all / slope(reads, fraction, most).abs(),
    })
}

/// Where a monotone scale shows `shown`, a value between its ends.
fn invert(scale: impl Fn(f64) -> f64, shown: f64, low: f64, high: f64) -> Result<f64, OutOfRange> {
    let (first, last) = (scale(low), scale(high));
    // At an end to within rounding, no crossing need be left to find.
    if (shown - first) * (last - first) <= 0.0 {
        return Ok(low);
    }
    if (shown - last) * (first - last) <= 0.0 {
        return Ok(high);
    }
    solve::root(|x| scale(x) - shown, low, high, 1e-13).ok_or(OutOfRange {
        range: Range {
            quantity: "reading",
            low: first.min(last),
            high: first.max(last),
            unit: "",
        },
        value: shown,
    })
}

/// Change of a scale per label fraction.
fn slope(scale: impl Fn(f64) -> f64, fraction: f64, most: f64) -> f64 {
    let (low, high) = ((fraction - 0.005).max(0.0), (fraction + 0.005).min(most));
    (scale(high) - scale(low)) / (high - low)
}

fn half_width(given: Option<f64>, default: f64) -> Result<f64, ReadingError> {
    Ok(half_width_if_given(given)?.unwrap_or(default))
}

fn half_width_if_given(given: Option<f64>) -> Result<Option<f64>, ReadingError> {
    match given {
        Some(p) if !(p >= 0.0 && p.is_finite()) => Err(ReadingError::BadPlusMinus(p)),
        other => Ok(other),
    }
}
