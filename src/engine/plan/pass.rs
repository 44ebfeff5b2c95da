//! One pass, what is wanted of it, and what it leaves.

use super::{
    ends::Goal,
    task::{Task, least, most},
};
use crate::engine::{
    dose::{DoseOutcome, SLACK_LITRES},
    mix::Charge,
    quantity::{LabelFraction, Volume, in_litres, litres},
};

/// The most rounds a plan may take.
pub const MOST_ROUNDS: usize = 12;

/// The finest measure, litres.
pub(super) const FINEST: f64 = 1e-3;

/// Off the aim by less than this, as a fraction, is on it.
pub(super) const ON_THE_AIM: f64 = 0.005;

/// Places on the shelf, and how much of each.
pub(super) type Amounts = Vec<(usize, Volume)>;

/// An amount of one stock.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pour {
    /// Its place on the shelf.
    pub stock: usize,
    /// How much.
    pub amount: Volume,
}

/// One pass, rounded.
#[derive(Debug, Clone, PartialEq)]
pub struct Pass {
    /// To take out; zero: nothing.
    pub draw: Volume,
    /// To dose, and why so much; `None` where nothing is dosed in this pass.
    pub dose: Option<DoseOutcome>,
    /// To put in, in order; the last one to the mark.
    pub pours: Vec<Pour>,
    /// What the loop holds afterwards.
    pub after: Charge,
    /// The measuring step the amounts are rounded to.
    pub step: Volume,
}

impl Pass {
    /// Additive put in.
    pub fn dosed(&self) -> Volume {
        self.dose.as_ref().map_or(litres(0.0), |d| d.amount)
    }

    /// Nothing to do at all.
    pub fn is_idle(&self) -> bool {
        self.draw == litres(0.0) && self.pours.is_empty() && self.dosed() == litres(0.0)
    }
}

/// What is wanted of a plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Want {
    pub goal: Goal,
    /// Landing on the aim, rather than anywhere that counts as there.
    pub on_aim: bool,
    /// Litres of old charge that are reckoned to stay beyond what was asked.
    pub slack: f64,
    /// Litres of it that may.
    pub met: f64,
    /// Of a short stock only whole steps are reckoned with.
    pub whole: bool,
}

/// Rounds that land.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Course {
    /// In order.
    pub passes: Vec<Pass>,
    /// Every other way to do them, where there is one pass.
    pub others: Vec<Pass>,
    /// Nothing that is wanted draws less, in litres.
    pub bound: f64,
}

impl Course {
    /// Litres drawn off in all.
    pub fn drawn(&self) -> f64 {
        self.passes.iter().map(|p| in_litres(p.draw)).sum()
    }

    /// The least amount drawn or poured.
    fn smallest(&self) -> Option<Volume> {
        let pours = self.passes.iter().flat_map(|p| &p.pours);
        let amounts = pours
            .map(|p| p.amount)
            .chain(self.passes.iter().map(|p| p.draw));
        amounts.filter(|&a| in_litres(a) > 1e-3).reduce(least)
    }

    /// A loop so small that a step is over a tenth of an amount.
    pub(super) fn wants_finer(&self, task: &Task) -> Option<Volume> {
        let small_loop = in_litres(task.volume.value) < 60.0 * in_litres(task.step);
        let smallest = self.smallest().filter(|_| small_loop)?;
        (task.step * 10.0 > smallest + litres(SLACK_LITRES)).then(|| smallest / 10.0)
    }
}

/// Finer measures down to 1 mL: halves and fifths, as measuring cups go (50, 25 or 20, 10, 5, 2, 1 mL).
pub(super) fn finer(step: Volume) -> impl Iterator<Item = Volume> {
    let litres_of_step = in_litres(step);
    [0.1, 0.05, 0.025, 0.02, 0.01, 0.005, 0.002, FINEST]
        .into_iter()
        .filter(move |&s| s < litres_of_step * 0.75)
        .map(litres)
}

/// Off the aim, as a fraction.
pub(super) fn off(task: &Task, after: &Charge) -> f64 {
    (after.strength().fraction() - task.target.aim.fraction()).abs()
}

/// How much of a stock fills the loop to the mark.
pub(super) fn fill(task: &Task, charge: &Charge, strength: LabelFraction) -> Volume {
    let mark = task.volume.value;
    let mut amount = most(mark - charge.volume(&task.blend), litres(0.0));
    for _ in 0..8 {
        let filled = charge.poured(&task.blend, amount, strength);
        let short = mark - filled.volume(&task.blend);
        amount = most(amount + short, litres(0.0));
        // Each pass leaves a fiftieth: this is far below what is told apart.
        if in_litres(short).abs() < 1e-11 {
            break;
        }
    }
    amount
}

/// The task once the pass is done and the loop has run.
pub(super) fn advance(task: &mut Task, pass: &Pass) {
    task.now = pass.after;
    task.drawn_since_run = litres(0.0);
    if let Some(have) = task.dosing.as_mut().and_then(|d| d.have.as_mut()) {
        *have = most(*have - pass.dosed(), litres(0.0));
    }
    for pour in &pass.pours {
        for usable in task.shelf.iter_mut().filter(|u| u.stock == pour.stock) {
            if let Some(have) = usable.have.as_mut() {
                *have = most(*have - pour.amount, litres(0.0));
            }
        }
    }
}
