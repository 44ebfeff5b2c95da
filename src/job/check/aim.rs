//! What the mix should be, within the loop's limits: no tolerance lands outside them.

use super::{Refused, at::At};
use crate::engine::{
    fluid::Glycol,
    margin::{HIGH, HIGHEST, INHIBITOR_MINIMUM},
    mix::{Blend, Charge},
    plan::{PlanError, Target},
    property,
    quantity::{LabelFraction, Volume},
    range::held,
};
use crate::job::{
    file::{Aim, Loop, Quantity},
    limits as limit,
    message::{Refusal, Typed},
};

/// The lowest and highest strength the loop is kept within, as fractions.
pub(super) fn limits(at: &At, lp: &Loop) -> Result<(f64, f64), Refused> {
    let Some(l) = lp.limits else {
        return Ok((INHIBITOR_MINIMUM, HIGH));
    };
    let low = at.percent("limits.low", l.low)?.fraction();
    let high = at.percent("limits.high", l.high)?.fraction();
    if low >= high {
        let (low, high) = (l.low, l.high);
        return Err(at.refuse("limits", Refusal::LimitsCrossed { low, high }));
    }
    Ok((low, high))
}

/// The target of a loop that draws in what stands in its overflow bottle: both together should come to `target`, and
/// the loop stays within its limits.
pub(super) fn beside(
    target: &Target,
    bottle: &Charge,
    volume: Volume,
    blend: &Blend,
    (low, high): (f64, f64),
) -> Target {
    let apart = bottle.concentrate + bottle.water;
    let of_loop = |phi: f64| {
        let mut own = phi;
        // What the loop holds, measured apart, depends on its strength, but hardly.
        for _ in 0..4 {
            let holds = volume * blend.apart_per_mixed(LabelFraction::clamped(own));
            own = phi + ((apart * phi - bottle.concentrate) / holds).value;
        }
        held(own, low.min(phi), high.max(phi))
    };
    let aim = of_loop(target.aim.fraction());
    let (mut least, mut most) = (of_loop(target.low), of_loop(target.high));
    // Where the loop's limits stop it short, something is left to land on.
    if most - least < LEAST_WIDTH {
        if aim > target.aim.fraction() {
            least = most - LEAST_WIDTH;
        } else {
            most = least + LEAST_WIDTH;
        }
    }
    Target {
        aim: LabelFraction::clamped(aim),
        low: least,
        high: most,
        ..*target
    }
}

/// The least width of what counts as there beside a bottle, as a fraction: a point, the usual tolerance.
const LEAST_WIDTH: f64 = 0.01;

pub(super) fn target(
    at: &At,
    lp: &Loop,
    glycol: Glycol,
) -> Result<(Target, Option<LabelFraction>, f64), Refused> {
    let mut needed = None;
    let (low, high) = limits(at, lp)?;
    let outside = |aim: f64| {
        at.refuse(
            "aim",
            Refusal::Plan(PlanError::AimOutsideLimits { aim, low, high }),
        )
    };
    let target = match lp.aim {
        Aim::Percent { value, within } => {
            let aim = at.percent("aim.value", value)?;
            let within = within.map_or(Ok(1.0), |w| {
                at.within("aim.within", w, Typed::new(w, "points"), &limit::WITHIN)
            })? / 100.0;
            let phi = aim.fraction();
            Target {
                aim,
                low: (phi - within).max(low),
                high: (phi + within).min(high),
                most: HIGHEST,
                at_least: false,
            }
        }
        Aim::FreezingPoint { value, unit } => {
            let typed = Quantity { value, unit };
            let frost = at.temperature("aim.value", typed, &limit::FROST_AIM)?;
            let least = property::strength_for_freezing(glycol, frost).map_err(|error| {
                let typed = Typed::new(value, unit.text());
                at.refuse("aim", Refusal::FrostOutOfReach { error, typed })
            })?;
            needed = Some(least);
            // A mild frost needs less than the loop's lowest strength: the lowest serves.
            let aim = LabelFraction::clamped(least.fraction().max(low));
            Target {
                aim,
                low: aim.fraction(),
                // Past the turning point, where the tables end, more glycol protects less.
                high: high.min(property::freezing::range(glycol).high / 100.0),
                most: high.min(HIGHEST),
                at_least: true,
            }
        }
    };
    let phi = target.aim.fraction();
    if phi < low - 1e-9 || phi > high + 1e-9 {
        return Err(outside(phi));
    }
    Ok((target, needed, low))
}
