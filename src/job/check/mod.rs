//! From what a file says to what the engine takes: every value looked at once, in the order of the file.
//!
//! A checked loop exists only after all its checks; the first value that fails is named by its key's path.
//! Reading order: [`at`] (where a value stands), [`shelf`], [`contents`] (what a loop holds), [`aim`], [`around`]
//! (what surrounds it), [`additive`], [`money`], [`bottles`] (additives to be bought), and here the whole; [`counts`] before all of them.
//! Never done here: planning.

mod additive;
mod aim;
mod around;
mod at;
mod bottles;
mod contents;
mod coolant;
mod counts;
mod money;
mod shelf;
mod supplement;

use super::{
    answer::Fault,
    file::{Job, Kind},
    limits,
    message::Refusal,
};
use crate::engine::{
    dose::SLACK_LITRES,
    fluid::Glycol,
    level,
    levels::AtEnds,
    margin::{HIGHEST, Surroundings},
    mix::{Blend, Carrier, Charge},
    plan::{DrawLimit, Task, spread::Spread},
    property,
    quantity::{LabelFraction, Measured, Volume, celsius, in_litres, litres},
};
pub(super) use at::At;
pub(super) use contents::{instrument, too_much, unread};
pub(super) use coolant::test as coolant_test;
pub(super) use supplement::per_litre;

pub use bottles::{Bottled, bottles};
pub use counts::counts;
pub use money::terms;
pub use shelf::{Stock, shelf};

/// A refusal, worded, with the path of its key. Boxed: it is rare, and every check passes it on.
pub type Refused = Box<Fault>;

/// A loop, checked: a task for the planner, and what surrounds it.
#[derive(Debug, Clone, PartialEq)]
pub struct Checked {
    /// For the planner.
    pub task: Task,
    /// For the margins.
    pub around: Surroundings,
    /// Nobody knows what is in it.
    pub unknown: bool,
    /// Emptied, or drained before the card begins.
    pub refill: bool,
    /// Battery or fuel cell: no plan.
    pub low_conductivity: bool,
    /// The aim is above what any plan is made for.
    pub above_highest: bool,
    /// The strength a mild frost would need, where the loop's lowest was planned instead.
    pub raised_from: Option<LabelFraction>,
    /// What the loop holds at its mark, at the temperature it is filled at; the task's volume is that as of 20 °C.
    pub mark: Measured<Volume>,
    /// What stands in its overflow bottle.
    pub bottle: Option<Charge>,
    /// Values outside their limits that only blank what depends on them.
    pub left_out: Vec<Fault>,
}

/// Loop number `i` of the job, checked against the shelf.
///
/// # Errors
/// The first value that fails.
pub fn checked(job: &Job, i: usize, shelf: &[Stock]) -> Result<Checked, Refused> {
    let lp = &job.loops[i];
    let at = At(["loops[", &i.to_string(), "]"].concat());
    let glycol = Glycol::from(lp.glycol);
    let blend = Blend::of(glycol);
    let volume = contents::sized(&at, lp)?;
    let step = lp
        .measure_step
        .map_or(Ok(litres(limits::USUAL_STEP_LITRES)), |q| {
            at.volume("measure_step", q, &limits::MEASURE_STEP)
        })?;
    let mut contents = contents::contents(&at, lp, glycol, volume, step)?;
    let (target, needed, lowest) = aim::target(&at, lp, glycol)?;
    let (mut around, left_out) = around::surroundings(&at, lp);
    around.lowest = lowest;
    // At the mark stands less, as of 20 °C, where it is filled warm.
    let mark = volume;
    let as_of_twenty = |strength| {
        let filled = level::growth(glycol, strength, celsius(20.0), around.fill);
        filled
            .filter(|_| !around.blank.fill)
            .map_or(1.0, |g| 1.0 / g)
    };
    let filled = as_of_twenty(target.aim);
    let volume = Measured {
        value: mark.value * filled,
        plus_minus: mark.plus_minus * filled,
    };
    if !contents.drained {
        contents.held *= if contents.unknown {
            filled
        } else {
            as_of_twenty(contents.strength)
        };
    }
    let draw_limit = DrawLimit {
        volume: lp
            .draw_limit
            .map(|q| at.volume("draw_limit", q, &limits::DRAW_LIMIT))
            .transpose()?,
        share: at.share("drains.fraction", lp.drains, &limits::DRAINS)?,
    };
    at.share("foreign_limit.fraction", lp.foreign_limit, &limits::FOREIGN)?;
    coolant::test(&at, lp)?;
    let renew = at
        .share("renew.fraction", lp.renew, &limits::RENEW)?
        .unwrap_or(0.0);
    let bottle = contents::bottle(&at, lp, &blend, &contents, &target)?;
    let asked = target.aim;
    let target = match &bottle {
        Some(bottle) => aim::beside(&target, bottle, volume.value, &blend, aim::limits(&at, lp)?),
        None => target,
    };
    let fits_above = fits_above(glycol, target.aim, &mark, step, &around);
    let may_stand_above = lp.additive.as_ref().is_some_and(|a| a.above_mark);
    let strength = if contents.unknown {
        target.aim
    } else {
        contents.strength
    };
    let dosing = additive::dosing(&at, lp, contents.empty, glycol, [strength, target.aim])?;
    let mut usable = shelf::usable(shelf, glycol);
    supplement::brings(&at, lp, dosing, shelf, &mut usable, glycol)?;
    let carried = dosing.and_then(|d| d.already);
    // Of an additive no more can be left than of the coolant it was in.
    if let Some(already) = carried.filter(|a| *a > contents.held + litres(SLACK_LITRES)) {
        let unit = lp.additive.as_ref().and_then(|a| a.already);
        let refusal = Refusal::MoreThanHeld {
            what: "what was dosed before",
            value: in_litres(already),
            held: in_litres(contents.held),
            unit: unit.map_or(lp.volume.unit, |q| q.unit),
        };
        return Err(at.refuse("additive.already", refusal));
    }
    let before_additive = dosing.and_then(|d| d.before()).unwrap_or(litres(0.0));
    let level = dosing.and_then(|d| d.level()).map_or(0.0, |(now, _)| now);
    let carrier = dosing.map_or(Carrier::Water, |d| d.carrier);
    let before = Charge {
        levels: AtEnds::of(level),
        ..Charge::standing(&blend, contents.held, strength, before_additive, carrier)
    };
    let limited = draw_limit.volume.is_some_and(|v| v < contents.held)
        || draw_limit.share.is_some_and(|s| s < 1.0);
    let renew = match (contents.unknown, limited) {
        (true, false) => 1.0,
        (true, true) => renew.max(0.9),
        (false, _) => renew,
    };
    let task = Task {
        blend,
        volume,
        before,
        now: before,
        plus_minus: contents.plus_minus,
        level_plus_minus: contents.level_plus_minus,
        spread: Spread::default(),
        drained: contents.drained,
        target,
        coldest: around.coldest,
        draw_limit,
        renew,
        renew_of: if contents.drained {
            volume.value
        } else {
            contents.held
        },
        shelf: usable,
        dosing,
        fits_above: fits_above.unwrap_or(litres(0.0)) * filled,
        lowest,
        may_stand_above,
        step,
        drawn_since_run: litres(0.0),
        drawn_so_far: litres(0.0),
        rounds_so_far: 0,
        unmixed: false,
        unstirred: false,
        unchecked: false,
        checked: false,
    };
    Ok(Checked {
        task,
        around,
        unknown: contents.unknown,
        refill: contents.drained || contents.unknown,
        low_conductivity: matches!(lp.kind, Some(Kind::Battery | Kind::FuelCell)),
        above_highest: target.aim.fraction() > HIGHEST + 1e-9,
        raised_from: needed.filter(|n| *n < asked),
        mark,
        bottle,
        left_out,
    })
}

/// How far above the mark it may stand, as it is filled, and still fit when hot, at the unlucky end; where no peak was
/// given, at the hottest the density model goes to. `None` where nobody said what room there is.
fn fits_above(
    glycol: Glycol,
    strength: LabelFraction,
    mark: &Measured<Volume>,
    step: Volume,
    around: &Surroundings,
) -> Option<Volume> {
    let hottest = celsius(property::TEMPERATURE.high);
    let peak = around.peak.unwrap_or(hottest);
    let hot = Surroundings {
        peak: Some(peak),
        ..*around
    };
    let grown = level::growth(glycol, strength, around.fill, peak)?;
    let at_the_mark = Measured {
        value: litres(0.0),
        plus_minus: step / 2.0,
    };
    let held = mark.value * level::growth(glycol, strength, around.fill, celsius(20.0))?;
    let room = level::level(glycol, strength, 0.0, held, *mark, at_the_mark, &hot).room?;
    let left = room.value - room.plus_minus;
    (left > litres(0.0)).then(|| left / grown)
}
