//! What a loop holds, and how that is known.

use super::{Refused, at::At};
use crate::engine::{
    fluid::Glycol,
    mix::{Blend, Carrier, Charge},
    plan::{Target, task::UNKNOWN},
    quantity::{LabelFraction, Measured, Volume, in_litres, kelvins, litres},
    reading::{self, Reading},
};
use crate::job::{
    file::{Loop, Missing, Now, Quantity, Side, Tank},
    limits,
    message::{Refusal, Typed},
    units::{TemperatureUnit, VolumeUnit},
};

/// What a loop holds, and how that is known.
pub(super) struct Contents {
    pub(super) held: Volume,
    pub(super) strength: LabelFraction,
    pub(super) plus_minus: f64,
    /// Of how far below the mark it stands, or of what stayed behind.
    pub(super) level_plus_minus: Volume,
    pub(super) drained: bool,
    pub(super) empty: bool,
    pub(super) unknown: bool,
}

pub(super) fn sized(at: &At, lp: &Loop) -> Result<Measured<Volume>, Refused> {
    let value = at.volume(
        "volume",
        Quantity {
            value: lp.volume.value,
            unit: lp.volume.unit,
        },
        &limits::VOLUME,
    )?;
    let spread = match lp.volume.plus_minus {
        None => limits::USUAL_VOLUME_SHARE,
        Some(p) => at.within(
            "volume.plus_minus",
            p / lp.volume.value,
            Typed::new(p, lp.volume.unit.text()),
            &limits::VOLUME_SPREAD,
        )?,
    };
    Ok(Measured {
        value,
        plus_minus: value * spread,
    })
}

pub(super) fn contents(
    at: &At,
    lp: &Loop,
    glycol: Glycol,
    volume: Measured<Volume>,
    step: Volume,
) -> Result<Contents, Refused> {
    let missing = lp.missing.map_or(Ok(litres(0.0)), |q| {
        let Missing { value, unit, .. } = q;
        at.volume("missing", Quantity { value, unit }, &limits::MISSING)
    })?;
    let by_eye = missing.abs() * limits::USUAL_MISSING_SHARE;
    let half_step = step * 0.5;
    let given = lp.missing.and_then(|q| Some((q.plus_minus?, q.unit)));
    let level_plus_minus = match given {
        None if by_eye > half_step => by_eye,
        None => half_step,
        Some((value, unit)) => {
            let q = Quantity { value, unit };
            at.volume("missing.plus_minus", q, &limits::MISSING_SPREAD)?
        }
    };
    let (what, above_or_below) = if missing < litres(0.0) {
        ("what stands above the mark", -missing)
    } else {
        ("what is missing", missing)
    };
    if above_or_below > volume.value {
        return Err(at.refuse(
            "missing",
            too_much(
                what,
                above_or_below,
                volume.value,
                lp.missing.map_or(VolumeUnit::L, |q| q.unit),
            ),
        ));
    }
    let standing = Contents {
        held: volume.value - missing,
        strength: LabelFraction::WATER,
        plus_minus: 0.0,
        level_plus_minus,
        drained: false,
        empty: false,
        unknown: false,
    };
    match lp.now {
        Now::Water {} => Ok(standing),
        Now::Unknown {} => Ok(Contents {
            plus_minus: UNKNOWN,
            unknown: true,
            ..standing
        }),
        Now::Empty {} => Ok(Contents {
            held: litres(0.0),
            level_plus_minus: litres(0.0),
            drained: true,
            empty: true,
            ..standing
        }),
        Now::Flushed {
            left_behind,
            percent,
        } => {
            let held = at.volume("now.left_behind", left_behind, &limits::LEFT_BEHIND)?;
            if held > volume.value {
                return Err(at.refuse(
                    "now.left_behind",
                    too_much("what was left behind", held, volume.value, left_behind.unit),
                ));
            }
            let strength = at.percent("now.percent", percent)?;
            let plus_minus = if percent > 0.0 { 0.02 } else { 0.0 };
            Ok(Contents {
                held,
                strength,
                plus_minus,
                // By what came out.
                level_plus_minus: half_step,
                drained: true,
                ..standing
            })
        }
        _ => {
            let found =
                reading::composition(glycol, &instrument(&At([&at.0, ".now"].concat()), lp.now)?)
                    .map_err(|error| at.refuse("now", unread(error, lp.now)))?;
            Ok(Contents {
                strength: found.value,
                plus_minus: found.plus_minus,
                ..standing
            })
        }
    }
}

/// What stands in the overflow bottle; as strong as the loop, or as it should be, where nobody said.
pub(super) fn bottle(
    at: &At,
    lp: &Loop,
    blend: &Blend,
    contents: &Contents,
    target: &Target,
) -> Result<Option<Charge>, Refused> {
    let Some(bottle) = lp.bottle.filter(|_| lp.tank == Some(Tank::RecoveryBottle)) else {
        return Ok(None);
    };
    let q = Quantity {
        value: bottle.value,
        unit: bottle.unit,
    };
    let stands = at.volume("bottle", q, &limits::OVERFLOW)?;
    let strength = match bottle.percent {
        Some(percent) => at.percent("bottle.percent", percent)?,
        None if contents.unknown || contents.empty => target.aim,
        None => contents.strength,
    };
    let nothing = litres(0.0);
    Ok(Some(Charge::standing(
        blend,
        stands,
        strength,
        nothing,
        Carrier::Water,
    )))
}

pub(in crate::job) fn too_much(
    what: &'static str,
    value: Volume,
    volume: Volume,
    unit: VolumeUnit,
) -> Refusal {
    Refusal::MoreThanVolume {
        what,
        value: in_litres(value),
        volume: in_litres(volume),
        unit,
    }
}

/// A reading without an answer, in the scale it was typed in.
pub(in crate::job) fn unread(error: reading::ReadingError, now: Now) -> Refusal {
    let scale = match now {
        Now::FreezingPoint { unit, .. } => unit,
        Now::SpecificGravity { at, .. }
        | Now::RefractiveIndex { at, .. }
        | Now::Brix { at, .. } => at.unit,
        _ => TemperatureUnit::DegC,
    };
    Refusal::Reading { error, scale }
}

/// The reading at this place as the engine takes it.
pub(in crate::job) fn instrument(at: &At, now: Now) -> Result<Reading, Refused> {
    let spread = |spread: Option<f64>, one: f64, unit: &'static str, limit: &limits::Limit| {
        spread
            .map(|p| at.within("plus_minus", p * one, Typed::new(p, unit), limit))
            .transpose()
    };
    let shown = |value, limit: &limits::Limit| {
        at.within("value", value, Typed::new(value, limit.unit), limit)
    };
    Ok(match now {
        Now::Percent { value, plus_minus } => Reading::Percent {
            strength: at.percent("value", value)?,
            plus_minus: spread(plus_minus, 1.0, "points", &limits::PERCENT_SPREAD)?
                .map(|p| p / 100.0),
        },
        Now::FreezingPoint {
            value,
            unit,
            plus_minus,
            side,
        } => Reading::FreezingPoint {
            temperature: at.temperature("value", Quantity { value, unit }, &limits::FROST)?,
            plus_minus: spread(plus_minus, degree(unit), unit.text(), &limits::FROST_SPREAD)?
                .map(kelvins),
            side: side.map(|s| match s {
                Side::Thin => reading::Side::Thin,
                Side::Thick => reading::Side::Thick,
            }),
        },
        Now::SpecificGravity {
            value,
            at: t,
            plus_minus,
        } => Reading::SpecificGravity {
            value: shown(value, &limits::GRAVITY)?,
            temperature: at.temperature("at", t, &limits::SAMPLE_AT)?,
            plus_minus: spread(plus_minus, 1.0, "", &limits::GRAVITY_SPREAD)?,
        },
        Now::RefractiveIndex {
            value,
            at: t,
            plus_minus,
        } => Reading::RefractiveIndex {
            value: shown(value, &limits::INDEX)?,
            temperature: at.temperature("at", t, &limits::SAMPLE_AT)?,
            plus_minus: spread(plus_minus, 1.0, "", &limits::INDEX_SPREAD)?,
        },
        Now::Brix {
            value,
            at: t,
            plus_minus,
        } => Reading::Brix {
            value: shown(value, &limits::BRIX)?,
            temperature: at.temperature("at", t, &limits::SAMPLE_AT)?,
            plus_minus: spread(plus_minus, 1.0, "degrees Brix", &limits::BRIX_SPREAD)?,
        },
        Now::Water {} | Now::Flushed { .. } | Now::Empty {} | Now::Unknown {} => Reading::Percent {
            strength: LabelFraction::WATER,
            plus_minus: Some(0.0),
        },
    })
}

/// K in one degree of a scale.
pub(super) fn degree(unit: TemperatureUnit) -> f64 {
    match unit {
        TemperatureUnit::DegC => 1.0,
        TemperatureUnit::DegF => 1.0 / 1.8,
    }
}
