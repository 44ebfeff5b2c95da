//! How sure the strength after a plan is: first order, as JCGM 100:2008 section 5.1.2, by replaying the plan with
//! each input moved to both ends of its 95 % interval.
//!
//! Inputs: the strength before, the loop's volume (what is missing is measured down from the mark, so only what it
//! holds moves), and every amount by half a measuring step. Taken as independent.

use super::{pass::Pass, task::Task};
use crate::engine::{
    mix::Charge,
    quantity::{Volume, in_litres, litres},
    range::held,
};

/// 95 % half-width of the strength after `passes`, as a fraction.
pub(super) fn after(task: &Task, passes: &[Pass]) -> f64 {
    let held = in_litres(task.held());
    let old = if held > 0.0 {
        in_litres(task.now.old) / held
    } else {
        0.0
    };
    let replayed = |charge: Charge, moved: Option<(usize, f64)>| {
        replay(task, charge, passes, moved).strength().fraction()
    };
    let half = |a: f64, b: f64| (a - b).abs() / 2.0;
    let mut squares = half(
        replayed(stronger(&task.now, task.plus_minus * old), None),
        replayed(stronger(&task.now, -task.plus_minus * old), None),
    )
    .powi(2);
    if held > 0.0 {
        let share = in_litres(task.volume.plus_minus) * old / held;
        squares += half(
            replayed(task.now.kept(1.0 + share), None),
            replayed(task.now.kept((1.0 - share).max(0.0)), None),
        )
        .powi(2);
    }
    for k in 0..amounts(passes) {
        let step = passes.first().map_or(0.0, |p| in_litres(p.step)) / 2.0;
        squares += half(
            replayed(task.now, Some((k, step))),
            replayed(task.now, Some((k, -step))),
        )
        .powi(2);
    }
    squares.sqrt()
}

fn stronger(charge: &Charge, by: f64) -> Charge {
    let total = charge.concentrate + charge.water;
    let concentrate = held(
        in_litres(charge.concentrate) + by * in_litres(total),
        0.0,
        in_litres(total),
    );
    Charge {
        concentrate: litres(concentrate),
        water: total - litres(concentrate),
        ..*charge
    }
}

fn amounts(passes: &[Pass]) -> usize {
    passes.iter().map(|p| 1 + p.pours.len()).sum()
}

/// The charge after the passes, amount number `moved.0` (draws and pours in order) being off by `moved.1` litres.
fn replay(task: &Task, mut charge: Charge, passes: &[Pass], moved: Option<(usize, f64)>) -> Charge {
    let mut k = 0;
    let mut real = |amount: Volume| {
        let off = moved
            .filter(|m| m.0 == k && amount > litres(0.0))
            .map_or(0.0, |m| m.1);
        k += 1;
        litres((in_litres(amount) + off).max(0.0))
    };
    for pass in passes {
        charge = charge
            .drawn(real(pass.draw), charge.volume(&task.blend))
            .dosed(pass.dosed());
        for pour in &pass.pours {
            let amount = real(pour.amount);
            if let Some(usable) = task.shelf.iter().find(|u| u.stock == pour.stock) {
                charge = charge.poured(&task.blend, amount, usable.strength);
            }
        }
    }
    charge
}
