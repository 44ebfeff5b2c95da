//! Several passes: where one draw gives too little, draw, pour, run and repeat; the last round is adjusted to land.
//!
//! Every round but the last draws all it can: for a given dilution, unequal draws waste less than equal ones. What
//! is poured between is whatever brings the mix furthest towards the aim; of a short stock as much as leaves enough
//! to land with, since what goes in early is in part drawn off again.

use super::{
    pass::{Pass, Pour, Start, fill, landing_passes},
    task::{Task, down, least, most},
};
use crate::engine::{
    dose::SLACK_LITRES,
    mix::Charge,
    quantity::{Volume, in_litres, litres},
};

/// The most rounds a plan may take.
pub const MOST_ROUNDS: usize = 12;

/// What the rounds come to, whether or not they land.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Course {
    /// In order.
    pub passes: Vec<Pass>,
    /// Every other way to do the last pass.
    pub others: Vec<Pass>,
    /// Whether the last one lands.
    pub lands: bool,
}

impl Course {
    /// Litres drawn off in all.
    pub fn drawn(&self) -> Volume {
        self.passes.iter().fold(litres(0.0), |sum, p| sum + p.draw)
    }

    /// Itself, or another that lands with less drawn.
    fn or_better(self, other: Self) -> Self {
        let less = in_litres(other.drawn()) < in_litres(self.drawn()) - SLACK_LITRES;
        if other.lands && (!self.lands || less) {
            other
        } else {
            self
        }
    }
}

/// Halvings in the search for how much of a short stock may go in early: to a sixty-fourth of it.
const HALVINGS: usize = 6;

/// Shares to try where neither all of it early lands nor none: with too much too little is left, with too little it
/// takes too many rounds. Beside each the next above it that is known to fail by then.
const SHARES: [(f64, f64); 7] = [
    (0.5, 1.0),
    (0.25, 0.5),
    (0.75, 1.0),
    (0.125, 0.25),
    (0.375, 0.5),
    (0.625, 0.75),
    (0.875, 1.0),
];

/// The course that lands with the least drawn, or the furthest one gets. The more of a short stock goes in early the
/// less is drawn, until too little is left to land with: that point is found by halving.
pub(super) fn course(task: &Task, most_rounds: usize) -> Course {
    let mut best = follow(task, 1.0, most_rounds);
    if best.lands && best.passes.len() < 2 || task.shelf.iter().all(|u| u.have.is_none()) {
        return best;
    }
    let kept_for_last = follow(task, 0.0, most_rounds);
    if best.lands {
        return best.or_better(kept_for_last);
    }
    let (mut lands, mut fails) = (0.0, 1.0);
    if kept_for_last.lands {
        best = kept_for_last;
    } else {
        for (share, above) in SHARES {
            let tried = follow(task, share, most_rounds);
            if tried.lands {
                (best, lands, fails) = (tried, share, above);
                break;
            }
        }
        if !best.lands {
            return best;
        }
    }
    for _ in 0..HALVINGS {
        let half = 0.5 * (lands + fails);
        let tried = follow(task, half, most_rounds);
        if tried.lands {
            lands = half;
        } else {
            fails = half;
        }
        best = best.or_better(tried);
    }
    best
}

/// Rounds in which at most the share `early` of a short stock goes in before the last.
fn follow(task: &Task, early: f64, most_rounds: usize) -> Course {
    let mut task = task.clone();
    let mut passes = Vec::new();
    for round in 0..most_rounds {
        let mut cap = task.draw_cap(&task.now, task.drawn_since_run);
        if task.drained {
            cap = litres(0.0);
        }
        let allowed = task.old_allowed();
        let floor = if task.now.old > allowed + litres(SLACK_LITRES) {
            task.held() * (1.0 - (allowed / task.now.old).value)
        } else {
            litres(0.0)
        };
        let start = Start {
            task: &task,
            charge: task.now,
            cap,
            floor,
        };
        let mut found = landing_passes(&start);
        if !found.is_empty() {
            let last = found.remove(0);
            // What went before may have landed already.
            if passes.is_empty() || !last.is_idle() || last.dose.is_some() {
                passes.push(last);
            }
            return Course {
                passes,
                others: found,
                lands: true,
            };
        }
        let Some(pass) = in_between(&task, cap, early) else {
            break;
        };
        // An idle pass is a round that only wants running before more can be drawn.
        if pass.is_idle() && !task.unmixed {
            break;
        }
        advance(&mut task, &pass);
        passes.push(pass);
        // With nothing to limit a draw there is no point in a second one.
        if round + 1 == most_rounds || !task.draw_is_limited() {
            break;
        }
    }
    Course {
        passes,
        others: Vec::new(),
        lands: false,
    }
}

/// A pass between two others: all that can be drawn, filled to the mark; on the aim where that is possible (it is
/// when the charge is being renewed), else as far towards it as the shelf allows.
fn in_between(task: &Task, cap: Volume, early: f64) -> Option<Pass> {
    let draw = down(cap, task.step);
    if let Some(pass) = on_aim(task, draw) {
        return Some(pass);
    }
    let left = task.now.drawn(draw, task.held());
    let (after, pours) = furthest(task, left, early)?;
    Some(Pass {
        draw,
        dose: None,
        pours,
        after,
        step: task.step,
    })
}

/// A pass that lands on the aim with exactly this draw, without the dose (that goes in last).
fn on_aim(task: &Task, draw: Volume) -> Option<Pass> {
    let undosed = Task {
        dosing: None,
        renew: 0.0,
        ..task.clone()
    };
    let start = Start {
        task: &undosed,
        charge: task.now,
        cap: draw,
        floor: draw,
    };
    landing_passes(&start).into_iter().find(|p| p.draw == draw)
}

/// Fills to the mark with what brings the strength nearest to the aim without passing it, stock after stock where
/// there is too little of one.
pub(super) fn furthest_fill(task: &Task, charge: Charge) -> Option<(Charge, Vec<Pour>)> {
    furthest(task, charge, 1.0)
}

fn furthest(task: &Task, charge: Charge, early: f64) -> Option<(Charge, Vec<Pour>)> {
    let landing = task.target.landing(charge.strength()).fraction();
    let rising = charge.strength().fraction() <= landing;
    let is_dry = in_litres(charge.volume(&task.blend)) < SLACK_LITRES;
    let mut order: Vec<_> = task
        .shelf
        .iter()
        .filter(|u| early > 0.0 || u.have.is_none())
        .filter(|u| is_dry || (u.strength >= charge.strength()) == rising)
        .collect();
    if !rising {
        order.reverse();
    }
    if order.is_empty() {
        order = task.shelf.iter().collect();
    }
    let (mut charge, mut pours) = (charge, Vec::new());
    for usable in order {
        let room = fill(task, &charge, usable.strength);
        let have = usable.have.map_or(room, |have| have * early);
        let amount = down(least(room, have), task.step);
        if amount >= task.step * 0.5 {
            charge = charge.poured(&task.blend, amount, usable.strength);
            pours.push(Pour {
                stock: usable.stock,
                amount,
            });
        }
    }
    let full = task.volume.value - charge.volume(&task.blend) < task.step * 2.0;
    (full || !pours.is_empty()).then_some((charge, pours))
}

/// The task once the pass is done and the loop has run.
fn advance(task: &mut Task, pass: &Pass) {
    task.now = pass.after;
    task.drawn_since_run = litres(0.0);
    task.drained = false;
    task.unmixed = false;
    for pour in &pass.pours {
        for usable in task.shelf.iter_mut().filter(|u| u.stock == pour.stock) {
            if let Some(have) = usable.have.as_mut() {
                *have = most(*have - pour.amount, litres(0.0));
            }
        }
    }
}
