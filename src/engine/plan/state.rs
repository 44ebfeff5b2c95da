//! What a loop holds while a plan is made, as plain litres measured apart: a few thousand of these are tried for one plan.
//!
//! The same balance as [`crate::engine::mix::Charge`], whose shrinkage it takes from a table of straight lines, to 2e-6 of
//! the volume. What a plan says in the end is reckoned with the charge itself.

use super::task::{Task, Usable};
use crate::engine::{
    mix::{Carrier, Charge},
    quantity::{LabelFraction, in_litres, litres},
    range::held,
};

/// Straight lines in the table of the shrinkage.
const LINES: usize = 64;

/// What a loop holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct State {
    /// Concentrate.
    pub c: f64,
    /// Water.
    pub w: f64,
    /// Additive.
    pub a: f64,
    /// Of all, what was there before the job.
    pub old: f64,
}

impl State {
    pub(super) fn of(charge: &Charge) -> Self {
        Self {
            c: in_litres(charge.concentrate),
            w: in_litres(charge.water),
            a: in_litres(charge.additive),
            old: in_litres(charge.old),
        }
    }

    /// The share `stays` of it.
    pub(super) fn kept(self, stays: f64) -> Self {
        Self {
            c: self.c * stays,
            w: self.w * stays,
            a: self.a * stays,
            old: self.old * stays,
        }
    }
}

/// A stock while a plan is made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Source {
    /// Its strength, 0 to 1.
    pub strength: f64,
    /// Litres apart in a litre of it.
    pub apart: f64,
    /// Litres of it; infinite: enough.
    pub have: f64,
}

/// A loop with its shelf.
#[derive(Debug)]
pub(super) struct Bench<'a> {
    pub task: &'a Task,
    /// Filled to the mark, litres.
    pub mark: f64,
    /// 1 where the additive counts as glycol, else 0.
    pub glycol: f64,
    /// As the task's shelf, strongest first.
    pub shelf: Vec<Source>,
    shrink: [f64; LINES + 1],
}

impl<'a> Bench<'a> {
    pub(super) fn new(task: &'a Task) -> Self {
        let apart = |fraction: f64| task.blend.apart_per_mixed(LabelFraction::clamped(fraction));
        let mut shrink = [1.0; LINES + 1];
        for (i, at) in shrink.iter_mut().enumerate() {
            *at = apart(i as f64 / LINES as f64);
        }
        Self::with(task, shrink)
    }

    /// The same for the task further on.
    pub(super) fn of<'b>(&self, task: &'b Task) -> Bench<'b> {
        Bench::with(task, self.shrink)
    }

    fn with(task: &'a Task, shrink: [f64; LINES + 1]) -> Self {
        let source = |u: &Usable| Source {
            strength: u.strength.fraction(),
            apart: task.blend.apart_per_mixed(u.strength),
            have: u.have.map_or(f64::INFINITY, in_litres),
        };
        Self {
            mark: in_litres(task.volume.value),
            glycol: match task.now.carrier {
                Carrier::Water => 0.0,
                Carrier::Glycol => 1.0,
            },
            shelf: task.shelf.iter().map(source).collect(),
            shrink,
            task,
        }
    }

    /// Litres apart in a litre of a mix.
    pub(super) fn apart(&self, fraction: f64) -> f64 {
        let x = held(fraction, 0.0, 1.0) * LINES as f64;
        let line = (x as usize).min(LINES - 1);
        let part = x - line as f64;
        self.shrink[line] + part * (self.shrink[line + 1] - self.shrink[line])
    }

    pub(super) fn volume(&self, s: &State) -> f64 {
        let apart = s.c + s.w;
        if apart <= 0.0 {
            return s.a;
        }
        apart / self.apart(s.c / apart) + s.a
    }

    /// Strength, the additive counted.
    pub(super) fn strength(&self, s: &State) -> f64 {
        let all = s.c + s.w + s.a;
        if all > 0.0 {
            (s.c + self.glycol * s.a) / all
        } else {
            0.0
        }
    }

    /// The strength at which it would be undiluted `most`, with the additive it has.
    pub(super) fn strength_at_most(&self, s: &State, most: f64) -> f64 {
        let all = s.c + s.w + s.a;
        if all > 0.0 {
            most * (s.c + s.w + self.glycol * s.a) / all
        } else {
            most
        }
    }

    pub(super) fn poured(&self, s: &State, source: usize, amount: f64) -> State {
        let Source {
            strength, apart, ..
        } = self.shelf[source];
        State {
            c: s.c + amount * apart * strength,
            w: s.w + amount * apart * (1.0 - strength),
            ..*s
        }
    }

    /// How much of a stock fills it to the mark.
    pub(super) fn fill(&self, s: &State, source: usize) -> f64 {
        let mut amount = (self.mark - self.volume(s)).max(0.0);
        // Each repetition leaves a fiftieth.
        for _ in 0..4 {
            let short = self.mark - self.volume(&self.poured(s, source, amount));
            amount = (amount + short).max(0.0);
            if short.abs() < 1e-8 {
                break;
            }
        }
        amount
    }

    /// Litres of additive for what stays after the last draw, and before these pours (places on the shelf, litres).
    pub(super) fn dose(&self, s: &State, pours: &[(usize, f64)]) -> f64 {
        if self.task.dosing.is_none() {
            return 0.0;
        }
        let charge = self.charge(s);
        let dose = self.task.dose(&charge, pours);
        dose.map_or(0.0, |d| in_litres(d.amount))
    }

    /// Does what is poured bring of what is dosed?
    pub(super) fn brings(&self) -> bool {
        self.task.dosing.is_some() && self.task.shelf.iter().any(|u| u.level > 0.0)
    }

    pub(super) fn charge(&self, s: &State) -> Charge {
        Charge {
            concentrate: litres(s.c),
            water: litres(s.w),
            additive: litres(s.a),
            old: litres(s.old),
            ..self.task.now
        }
    }
}
