//! What is dosed, from any form a label uses.

use super::{Refused, at::At, supplement};
use crate::engine::{
    dose::{Dosing, LabelRate, WHOLE_DOWN_TO},
    fluid::Glycol,
    mix,
    quantity::{LabelFraction, in_litres, litres},
};
use crate::job::{
    file::{AdditiveKind, Carrier, Loop, Quantity, Rate},
    limits,
    message::{Refusal, Typed},
    units::{LevelUnit, VolumeUnit},
};

/// `strengths`: before the job, and aimed for; parts per million are by mass, and go by them.
pub(super) fn dosing(
    at: &At,
    lp: &Loop,
    empty: bool,
    glycol: Glycol,
    strengths: [LabelFraction; 2],
) -> Result<Option<Dosing>, Refused> {
    let Some(additive) = &lp.additive else {
        return Ok(None);
    };
    let volume = |key: &str, q: Option<Quantity<VolumeUnit>>| {
        q.map(|q| at.volume(&["additive.", key, ""].concat(), q, &limits::HAVE))
            .transpose()
    };
    let already = volume("already", additive.already)?;
    Ok(Some(Dosing {
        rate: rate(at, "additive.rate", &additive.rate, glycol, strengths)?,
        limit: additive
            .limit
            .as_ref()
            .map(|r| rate(at, "additive.limit", r, glycol, strengths))
            .transpose()?,
        carrier: match additive.carrier {
            None | Some(Carrier::Water) => mix::Carrier::Water,
            Some(Carrier::Glycol) => mix::Carrier::Glycol,
        },
        already: if empty {
            Some(already.unwrap_or(litres(0.0)))
        } else {
            already
        },
        // Of what is sold, more can be bought.
        have: volume("have", additive.have)?.filter(|_| additive.packs.is_empty()),
        step: lp.dose_step.map_or(Ok(litres(0.005)), |q| {
            at.volume("dose_step", q, &limits::DOSE_STEP)
        })?,
        supplement: match additive.kind {
            Some(kind) => kind == AdditiveKind::Supplement,
            None => matches!(additive.rate, Rate::Reading { .. }),
        },
    }))
}

fn rate(
    at: &At,
    key: &str,
    rate: &Rate,
    glycol: Glycol,
    [before, aimed]: [LabelFraction; 2],
) -> Result<LabelRate, Refused> {
    let share = |share: f64, typed: Typed| {
        at.within(key, share, typed, &limits::RATE)
            .map(LabelRate::Share)
    };
    match *rate {
        Rate::Ratio { value, unit } => {
            share(value * unit.fraction(), Typed::new(value, unit.text()))
        }
        Rate::Percent { value } => share(value / 100.0, Typed::new(value, "%")),
        Rate::Parts { one_in, one_to } => {
            let parts = |n: f64| at.within(key, n, Typed::new(n, ""), &limits::PARTS);
            match (one_in, one_to) {
                (Some(n), None) => Ok(LabelRate::Share(1.0 / parts(n)?)),
                (None, Some(n)) => Ok(LabelRate::Share(1.0 / (parts(n)? + 1.0))),
                _ => Err(at.refuse(key, Refusal::PartsUnclear)),
            }
        }
        Rate::Bottle {
            size,
            treats_from,
            treats_to,
            whole_down_to,
        } => {
            let size = at.volume(&[key, ".size"].concat(), size, &limits::BOTTLE)?;
            let to = at.volume(&[key, ".treats_to"].concat(), treats_to, &limits::TREATS)?;
            let from = treats_from
                .map(|q| at.volume(&[key, ".treats_from"].concat(), q, &limits::TREATS))
                .transpose()?;
            if from.is_some_and(|from| from > to) {
                return Err(at.refuse(key, Refusal::TreatsCrossed));
            }
            share(
                in_litres(size) / in_litres(to),
                Typed::new(in_litres(size) / in_litres(to), ""),
            )?;
            let whole = at.share(
                &[key, ".whole_down_to.fraction"].concat(),
                whole_down_to,
                &limits::WHOLE_DOWN_TO,
            )?;
            Ok(LabelRate::Bottle {
                size,
                from,
                to,
                whole: whole.unwrap_or(WHOLE_DOWN_TO),
            })
        }
        Rate::Reading {
            now,
            aim,
            raises,
            of,
        } => {
            supplement::is_clear(raises.unit, of).map_err(|why| at.refuse(key, why))?;
            if now.unit != aim.unit || now.unit != raises.unit {
                return Err(at.refuse(key, Refusal::LevelUnitsDiffer));
            }
            let level = |name: &str, q: Quantity<LevelUnit>, limit| {
                at.within(
                    &[key, ".", name].concat(),
                    q.value,
                    Typed::new(q.value, q.unit.text()),
                    limit,
                )
            };
            let (now, aim) = (
                level("now", now, &limits::LEVEL)?,
                level("aim", aim, &limits::LEVEL)?,
            );
            let raises_per_ml = level("raises", raises, &limits::RAISES)?;
            // One unit raises a US gallon by one unit: so many mL as a gallon has litres, over what 1 mL/L raises.
            let unit = (raises.unit == LevelUnit::UnitsPerUsGal)
                .then(|| litres(VolumeUnit::UsGal.litres() / raises_per_ml / 1000.0));
            for level in [now, aim] {
                share(
                    level / (raises_per_ml * 1000.0),
                    Typed::new(level, raises.unit.text()),
                )?;
            }
            let [read, wanted] =
                [before, aimed].map(|s| supplement::per_litre(raises.unit, glycol, s));
            Ok(LabelRate::Level {
                now: now * read,
                aim: aim * wanted,
                raises: raises_per_ml * 1000.0 * wanted,
                unit,
            })
        }
    }
}
