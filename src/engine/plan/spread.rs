//! How sure a plan's end is: first order, as JCGM 100:2008 section 5.1, by sending loops that differ in one input each
//! through the work as it is really done. The last pour of a pass goes *to the mark*: to the true one, whatever the
//! loop holds and however much that takes, and not to the amount on the card.
//!
//! What may be off, each independent of the others (95 % half-width; u is half of it):
//!
//! | input | distribution | half-width |
//! | --- | --- | --- |
//! | the loop's volume at the mark | normal | as given; 5 % of it |
//! | the strength before | normal, within 0 to 100 % | the reading's |
//! | how far below the mark it stands | normal | as given; a fifth of it, at least half a measuring step |
//! | what stayed behind in a flush | moves with the volume, for what came out is what was measured; besides, normal | half a measuring step |
//! | a stock's label percentage, of one product once for the whole job | normal | as given; 1 point; water 0 |
//! | an amount drawn or poured | rectangular, half a measuring step either way | u is half a step / √3 |
//! | the level at the mark, by eye | rectangular, half a measuring step either way | u is half a step / √3 |
//!
//! Of a concentrate, 101 % is one that holds a hundredth more glycol than it should. What is drawn to the last drop is
//! not measured. A dose is too small to count. Amounts on the card are rounded down to stay below the mark, and the work
//! is not: by so much is the end shown off the middle of what comes of it, and [`about`] widens the interval for it.
//!
//! What this covers is drawn in `tests/answers/how_sure.rs`.

use super::{
    pass::Pass,
    task::{Event, Task},
};
use crate::engine::{
    dose::SLACK_LITRES,
    mix::Charge,
    quantity::{Measured, Volume, in_litres, litres},
    range::held,
    uncertainty::{about, rectangular},
};

/// A loop as it may really be.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Real {
    /// What is in it.
    charge: Charge,
    /// What it holds at its mark.
    mark: Volume,
    /// The stock whose label is off, and by how much, as a fraction.
    label: Option<(usize, f64)>,
}

/// The two loops that one input makes, one standard uncertainty either way.
type Pair = [Real; 2];

/// Loops that went through what happened so far: the one with every input at its best value, and a pair for each
/// input. Nothing before anything happened.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Spread(Option<(Real, Vec<Pair>)>);

/// How sure the end is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HowSure {
    /// 95 % half-width of the strength, as a fraction.
    pub strength: f64,
    /// How far above what is counted it stands, seen from the mark, with its 95 % half-width.
    pub above: Measured<Volume>,
}

/// The loops of a task once `event` happened to it, its amount measured to `step`.
pub(super) fn carried(task: &Task, event: Event, step: Volume) -> Spread {
    let mut loops = Loops::of(task);
    loops.send(event, step);
    Spread(Some((loops.middle, loops.pairs)))
}

/// How sure it is what `passes` come to.
pub(super) fn after(task: &Task, passes: &[Pass]) -> HowSure {
    let mut loops = Loops::of(task);
    let counted = passes.last().map_or(task.now, |pass| pass.after);
    for pass in passes {
        loops.send(Event::Drew(pass.draw), pass.step);
        loops.send(Event::Dosed(pass.dosed()), pass.step);
        if let Some((last, first)) = pass.pours.split_last() {
            for pour in first {
                loops.send(Event::Poured(pour.stock, pour.amount), pass.step);
            }
            loops.send(Event::Filled(last.stock, last.amount), pass.step);
        }
    }
    let strength = |real: &Real| real.charge.strength().fraction();
    let above = |real: &Real| in_litres(real.charge.volume(&task.blend) - real.mark);
    let off = strength(&loops.middle) - counted.strength().fraction();
    let stands = in_litres(counted.volume(&task.blend) - task.volume.value);
    HowSure {
        strength: about(off, loops.uncertainty(strength)),
        above: Measured {
            value: litres(above(&loops.middle) - stands),
            plus_minus: litres(2.0 * loops.uncertainty(above)),
        },
    }
}

/// A task's loops on their way.
struct Loops<'a> {
    task: &'a Task,
    middle: Real,
    pairs: Vec<Pair>,
}

impl<'a> Loops<'a> {
    fn of(task: &'a Task) -> Self {
        let (middle, pairs) = task.spread.0.clone().unwrap_or_else(|| begin(task));
        Self {
            task,
            middle,
            pairs,
        }
    }

    /// Standard uncertainty of a figure of the loop.
    fn uncertainty(&self, of: impl Fn(&Real) -> f64) -> f64 {
        let squares = self.pairs.iter().map(|[a, b]| (of(a) - of(b)).powi(2));
        squares.sum::<f64>().sqrt() / 2.0
    }

    /// Every loop through what happened, and a pair more for how it was measured.
    fn send(&mut self, event: Event, step: Volume) {
        let task = self.task;
        let by_eye = matches!(event, Event::Filled(..));
        let amount = match event {
            Event::Drew(amount) | Event::Dosed(amount) => amount,
            Event::Poured(stock, amount) | Event::Filled(stock, amount) => {
                self.know(stock);
                amount
            }
            Event::Ran | Event::Checked => return,
        };
        let before = self.middle;
        let all = before.charge.volume(&task.blend) - litres(SLACK_LITRES);
        let drained = matches!(event, Event::Drew(_)) && amount >= all;
        if amount <= litres(0.0) {
            return;
        }
        let done = |real: &Real, more: f64| Real {
            charge: match event {
                Event::Drew(_) if drained => real.charge.kept(0.0),
                Event::Filled(stock, _) => filled(task, real, stock, more),
                Event::Poured(stock, amount) => poured(task, real, stock, in_litres(amount) + more),
                Event::Drew(amount) => {
                    task.happened(&real.charge, Event::Drew(amount + litres(more)))
                }
                other => task.happened(&real.charge, other),
            },
            ..*real
        };
        self.middle = done(&before, 0.0);
        for real in self.pairs.iter_mut().flatten() {
            *real = done(real, 0.0);
        }
        // A level is not seen any finer for a finer jug.
        let u = rectangular(in_litres(if by_eye { task.step } else { step }) / 2.0);
        if !drained && !matches!(event, Event::Dosed(_)) {
            self.pairs.push([u, -u].map(|more| done(&before, more)));
        }
    }

    /// One product is one input, however often it is poured.
    fn know(&mut self, stock: usize) {
        let is_known = |pair: &Pair| pair[0].label.is_some_and(|(i, _)| i == stock);
        let usable = self.task.shelf.iter().find(|u| u.stock == stock);
        let Some(u) = usable.map(|u| u.plus_minus / 2.0).filter(|&u| u > 0.0) else {
            return;
        };
        if !self.pairs.iter().any(is_known) {
            let pair = [u, -u].map(|by| Real {
                label: Some((stock, by)),
                ..self.middle
            });
            self.pairs.push(pair);
        }
    }
}

/// The loops before anything happened.
fn begin(task: &Task) -> (Real, Vec<Pair>) {
    let middle = Real {
        charge: task.now,
        mark: task.volume.value,
        label: None,
    };
    let there = in_litres(task.held());
    // What is measured down from the mark, and what stayed of it, moves with it.
    let with = |mark: f64, more: f64| Real {
        charge: match there > 0.0 {
            true => task.now.kept(((there + mark + more) / there).max(0.0)),
            false => task.now,
        },
        mark: task.volume.value + litres(mark),
        label: None,
    };
    let stronger = |by: f64| Real {
        charge: stronger(&task.now, by),
        ..middle
    };
    let [strength, volume, level] = [
        task.plus_minus,
        in_litres(task.volume.plus_minus),
        in_litres(task.level_plus_minus),
    ]
    .map(|half_width| half_width / 2.0);
    let mut pairs = vec![[with(volume, 0.0), with(-volume, 0.0)]];
    if there > 0.0 {
        pairs.push([stronger(strength), stronger(-strength)]);
        pairs.push([with(0.0, level), with(0.0, -level)]);
    }
    (middle, pairs)
}

/// What is in a loop once so many litres of a stock went in, of the strength it really has.
fn poured(task: &Task, real: &Real, stock: usize, amount: f64) -> Charge {
    let amount = litres(amount.max(0.0));
    let charge = task.happened(&real.charge, Event::Poured(stock, amount));
    match real.label {
        Some((off, by)) if off == stock => {
            let apart =
                charge.concentrate + charge.water - real.charge.concentrate - real.charge.water;
            Charge {
                concentrate: charge.concentrate + apart * by,
                water: charge.water - apart * by,
                ..charge
            }
        }
        _ => charge,
    }
}

/// What is in a loop once it was filled to `more` litres above its own mark; as it is, where it stands higher.
fn filled(task: &Task, real: &Real, stock: usize, more: f64) -> Charge {
    let mark = in_litres(real.mark) + more;
    let (mut amount, mut charge) = (0.0, real.charge);
    // Each repetition leaves a fiftieth: what mixing shrinks.
    for _ in 0..4 {
        amount += mark - in_litres(charge.volume(&task.blend));
        charge = poured(task, real, stock, amount);
    }
    charge
}

fn stronger(charge: &Charge, by: f64) -> Charge {
    let apart = charge.concentrate + charge.water;
    let concentrate = held(
        in_litres(charge.concentrate) + by * in_litres(apart + charge.additive),
        0.0,
        in_litres(apart),
    );
    Charge {
        concentrate: litres(concentrate),
        water: apart - litres(concentrate),
        ..*charge
    }
}
