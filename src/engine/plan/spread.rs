//! How sure the strength after a plan is: first order, as JCGM 100:2008 section 5.1.2, by carrying through everything
//! that was done and is to be done what the loop would hold with each input at both ends of its 95 % interval.
//!
//! Inputs: the strength before, the loop's volume (what is missing is measured down from the mark, so only what it
//! holds moves), and every amount by half a measuring step. Taken as independent.

use super::{
    pass::Pass,
    task::{Event, Task},
};
use crate::engine::{
    mix::Charge,
    quantity::{Volume, in_litres, litres},
    range::held,
};

/// What a loop holds with one input at either end of its interval.
pub type Ends = (Charge, Charge);

/// For every input so far, once `event` happened to the loop as it stands in `task`, its amount measured to `step`.
pub(super) fn carried(task: &Task, event: Event, step: Volume) -> Vec<Ends> {
    through(task, &task.now, ends(task), event, step)
}

/// 95 % half-width of the strength after `passes`, as a fraction.
pub(super) fn after(task: &Task, passes: &[Pass]) -> f64 {
    let (mut charge, mut list) = (task.now, ends(task));
    for pass in passes {
        let first = [Event::Drew(pass.draw), Event::Dosed(pass.dosed())];
        let pours = pass.pours.iter().map(|p| Event::Poured(p.stock, p.amount));
        for event in first.into_iter().chain(pours) {
            list = through(task, &charge, list, event, pass.step);
            charge = task.happened(&charge, event);
        }
    }
    let half = |(a, b): &Ends| (a.strength().fraction() - b.strength().fraction()) / 2.0;
    list.iter().map(|e| half(e).powi(2)).sum::<f64>().sqrt()
}

/// Those of the task so far; before anything happened: of the strength and of the volume.
fn ends(task: &Task) -> Vec<Ends> {
    if !task.ends.is_empty() {
        return task.ends.clone();
    }
    let held = in_litres(task.held());
    if held <= 0.0 {
        return Vec::new();
    }
    let old = in_litres(task.now.old) / held;
    let off = task.plus_minus * old;
    let share = in_litres(task.volume.plus_minus) * old / held;
    vec![
        (stronger(&task.now, off), stronger(&task.now, -off)),
        (
            task.now.kept(1.0 + share),
            task.now.kept((1.0 - share).max(0.0)),
        ),
    ]
}

/// Each end carried through what happened to `charge`, and those of the amount itself beside them.
fn through(
    task: &Task,
    charge: &Charge,
    mut list: Vec<Ends>,
    event: Event,
    step: Volume,
) -> Vec<Ends> {
    for (a, b) in &mut list {
        (*a, *b) = (task.happened(a, event), task.happened(b, event));
    }
    let moved = |by: f64| {
        let off = |amount: Volume| litres((in_litres(amount) + by).max(0.0));
        let event = match event {
            Event::Drew(amount) if amount > litres(0.0) => Event::Drew(off(amount)),
            Event::Poured(stock, amount) if amount > litres(0.0) => {
                Event::Poured(stock, off(amount))
            }
            _ => return None,
        };
        Some(task.happened(charge, event))
    };
    let half = in_litres(step) / 2.0;
    list.extend(moved(half).zip(moved(-half)));
    list
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
