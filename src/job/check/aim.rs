//! What the mix should be, within the loop's limits: no tolerance lands outside them.

use super::{Refused, at::At};
use crate::engine::{
    fluid::Glycol,
    margin::{HIGH, HIGHEST, INHIBITOR_MINIMUM},
    plan::{PlanError, Target},
    property,
    quantity::LabelFraction,
};
use crate::job::{
    file::{Aim, Loop, Quantity},
    limits,
    message::{Refusal, Typed},
};

pub(super) fn target(
    at: &At,
    lp: &Loop,
    glycol: Glycol,
) -> Result<(Target, Option<LabelFraction>, f64), Refused> {
    let mut needed = None;
    let (low, high) = match lp.limits {
        None => (INHIBITOR_MINIMUM, HIGH),
        Some(l) => {
            let low = at.percent("limits.low", l.low)?.fraction();
            let high = at.percent("limits.high", l.high)?.fraction();
            if low >= high {
                return Err(at.refuse(
                    "limits",
                    Refusal::LimitsCrossed {
                        low: l.low,
                        high: l.high,
                    },
                ));
            }
            (low, high)
        }
    };
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
                at.within("aim.within", w, Typed::new(w, "points"), &limits::WITHIN)
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
            let frost = at.temperature("aim.value", typed, &limits::FROST_AIM)?;
            let least = property::strength_for_freezing(glycol, frost)
                .map_err(|e| at.refuse("aim", Refusal::FrostOutOfReach(e)))?;
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
