//! Several passes: where one draw gives too little, draw, pour, run and repeat; the last round is adjusted to land.
//!
//! For a given dilution, unequal draws waste less than equal ones: all but one draw all they can. What is poured in
//! between is whatever brings the mix furthest towards the aim. Of what goes in early a part is drawn off again, so a
//! short stock is best kept for the last rounds, and the lesser draw then comes first; or last, with so much less kept
//! for it. Both are tried over their whole range.

use std::cmp::Ordering;

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
    fn nowhere() -> Self {
        Self {
            passes: Vec::new(),
            others: Vec::new(),
            lands: false,
        }
    }

    /// Litres drawn off in all.
    pub fn drawn(&self) -> Volume {
        self.passes.iter().fold(litres(0.0), |sum, p| sum + p.draw)
    }

    /// How well it lands: not at all, where the aim accepts, on the aim.
    fn rank(&self, task: &Task) -> u8 {
        match self.passes.last() {
            _ if !self.lands => 0,
            Some(last) if !on_the_aim(task, &last.after) => 1,
            _ => 2,
        }
    }

    /// Itself, or another that lands with less drawn. One that lands on the aim is not given up for one that only
    /// lands where the aim accepts.
    fn or_better(self, other: Self, task: &Task) -> Self {
        let less = in_litres(other.drawn()) < in_litres(self.drawn()) - SLACK_LITRES;
        match other.rank(task).cmp(&self.rank(task)) {
            Ordering::Greater => other,
            Ordering::Equal if other.lands && less => other,
            _ => self,
        }
    }
}

/// On the aim itself, to half a point; a frost aim is met wherever it accepts.
pub(super) fn on_the_aim(task: &Task, after: &Charge) -> bool {
    let off = (after.strength().fraction() - task.target.aim.fraction()).abs();
    task.target.at_least || off <= 0.005
}

/// How the rounds are gone about where all that can be drawn and poured each time does not land, or a stock is short.
#[derive(Clone, Copy)]
struct Habit {
    /// The most rounds.
    rounds: usize,
    /// The first draw, as a share of what comes out.
    first: f64,
    /// Of a short stock all that later rounds can take is kept for them, of the last one this share; `None`: nothing
    /// is kept.
    last: Option<f64>,
    /// A round that can land but for the dose does, and only the dose and its room are left to the next.
    dose_alone: bool,
}

impl Habit {
    fn plain(rounds: usize) -> Self {
        Self {
            rounds,
            first: 1.0,
            last: None,
            dose_alone: false,
        }
    }

    fn dose_alone(rounds: usize) -> Self {
        Self {
            dose_alone: true,
            ..Self::plain(rounds)
        }
    }

    fn first(rounds: usize, first: f64) -> Self {
        Self {
            first,
            last: Some(1.0),
            ..Self::plain(rounds)
        }
    }

    fn last(rounds: usize, last: f64) -> Self {
        Self {
            last: Some(last),
            ..Self::plain(rounds)
        }
    }
}

/// The shares a scan begins with, and how often it halves the distance around the best of them.
const SCANNED: f64 = 8.0;
const HALVINGS: usize = 6;

/// The course that lands with the least drawn, or the furthest one gets: in the fewest rounds that land, with the
/// first draw and what is kept for the last tried over their whole range.
pub(super) fn course(task: &Task, most_rounds: usize) -> Course {
    let plain = follow(task, Habit::plain(most_rounds));
    if !task.draw_is_limited() || plain.lands && plain.passes.len() < 2 {
        return plain;
    }
    let plain = if task.dosing.is_some() {
        plain.or_better(follow(task, Habit::dose_alone(most_rounds)), task)
    } else {
        plain
    };
    let most = if plain.lands {
        plain.passes.len()
    } else {
        most_rounds
    };
    let task = &with_plenty(task, most);
    if task.shelf.iter().all(|u| u.have.is_none()) {
        return if plain.lands {
            plain
        } else {
            // The first round may have gone past the aim, with all of the dose still to go in: it draws less.
            scanned(task, plain, |share| Habit::first(most_rounds, share))
        };
    }
    let landing = |rounds: usize| {
        SHARES
            .into_iter()
            .map(|last| follow(task, Habit::last(rounds, last)))
            .find(|course| course.lands)
    };
    // What many rounds and few cannot do, those between will not either.
    let samples = [most, most / 2, 3, 2];
    if !plain.lands && samples.into_iter().all(|rounds| landing(rounds).is_none()) {
        return plain;
    }
    for rounds in (2..=MOST_ROUNDS).chain(BEYOND).filter(|&n| n <= most) {
        if let Some(found) = landing(rounds) {
            let best = if plain.lands && plain.passes.len() <= found.passes.len() {
                plain.or_better(found, task)
            } else {
                found
            };
            let best = scanned(task, best, |share| Habit::first(rounds, share));
            return scanned(task, best, |share| Habit::last(rounds, share));
        }
    }
    plain
}

/// The task where nothing counts as short that so many rounds cannot use up.
fn with_plenty(task: &Task, rounds: usize) -> Task {
    let mut task = task.clone();
    let missing = task.volume.value - task.held();
    let used = missing + comes_out(&task) * rounds as f64;
    for usable in &mut task.shelf {
        usable.have = usable.have.filter(|&have| have < used);
    }
    task
}

/// The most that comes out in one round.
fn comes_out(task: &Task) -> Volume {
    let held = task.volume.value;
    let by_share = task.draw_limit.share.map_or(held, |share| held * share);
    least(by_share, task.draw_limit.volume.unwrap_or(held))
}

/// Shares kept for the last round that are tried to see whether so many rounds land at all.
const SHARES: [f64; 5] = [1.0, 0.0, 0.5, 0.25, 0.75];

/// Numbers of rounds to try beyond what a plan may take.
const BEYOND: [usize; 4] = [16, 24, 36, 60];

/// `best`, or a better one over a share from 0 to 1: on a grid, then nearer and nearer to where it begins or ceases to
/// land, and around the best.
fn scanned(task: &Task, mut best: Course, habit: impl Fn(f64) -> Habit) -> Course {
    let mut at = None;
    let mut take = |share: f64, at: &mut Option<f64>| {
        let before = best.drawn();
        let found = follow(task, habit(share));
        let rank = found.rank(task);
        best = std::mem::replace(&mut best, Course::nowhere()).or_better(found, task);
        if best.drawn() != before {
            *at = Some(share);
        }
        rank
    };
    let grid = [0, 1, 2, 3, 4, 5, 6, 7, 8].map(|k: u8| {
        let share = f64::from(k) / SCANNED;
        (share, take(share, &mut at))
    });
    for pair in grid.windows(2) {
        let [(mut low, low_rank), (mut high, high_rank)] = *pair else {
            continue;
        };
        for _ in 0..if low_rank == high_rank { 0 } else { HALVINGS } {
            let middle = low.midpoint(high);
            if take(middle, &mut at) == low_rank {
                low = middle;
            } else {
                high = middle;
            }
        }
    }
    let mut apart = 0.5 / SCANNED;
    for _ in 0..HALVINGS {
        if let Some(middle) = at {
            take((middle - apart).max(0.0), &mut at);
            take((middle + apart).min(1.0), &mut at);
        }
        apart *= 0.5;
    }
    best
}

/// Rounds, as the habit has them, until one lands.
fn follow(task: &Task, habit: Habit) -> Course {
    let mut task = task.clone();
    let mut passes = Vec::new();
    let mut first = habit.first;
    for round in 1..=habit.rounds {
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
        // What stands above the mark comes off first.
        let over = task.held() - task.volume.value;
        let floor = if over >= task.step {
            most(floor, over)
        } else {
            floor
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
        let share = if cap > litres(0.0) {
            std::mem::replace(&mut first, 1.0)
        } else {
            1.0
        };
        let undosed = if habit.dose_alone && task.dosing.is_some() {
            but_for_the_dose(&task, cap, floor)
        } else {
            Vec::new()
        };
        let pass = (undosed.into_iter().next())
            .or_else(|| in_between(&task, cap * share, kept(&task, habit, round)));
        let Some(pass) = pass else { break };
        // An idle pass is a round that only wants running before more can be drawn.
        if pass.is_idle() && !task.unmixed {
            break;
        }
        let idle = pass.is_idle();
        advance(&mut task, &pass);
        passes.push(pass);
        // With nothing to limit a draw there is no point in a second one.
        if !task.draw_is_limited() && !idle {
            break;
        }
    }
    Course {
        passes,
        ..Course::nowhere()
    }
}

/// What the rounds after this one can take of a short stock, the last of them as the habit has it.
fn kept(task: &Task, habit: Habit, round: usize) -> Option<Volume> {
    let last = habit.last?;
    let comes_out = comes_out(task);
    let Some(before_last) = habit.rounds.checked_sub(round + 1) else {
        return Some(litres(0.0));
    };
    // The dose goes in before the last pour, and takes room there.
    let dose = task.dose(&task.now, &[]).map_or(litres(0.0), |d| d.amount);
    let last = most(comes_out - dose, litres(0.0)) * last;
    Some(comes_out * before_last as f64 + last)
}

/// A pass between two others: the draw, filled to the mark; on the aim where that is possible (it is when the charge
/// is being renewed), else as far towards it as the shelf allows. Where something is kept, no more is drawn than the
/// rest makes up for.
fn in_between(task: &Task, draw: Volume, keep: Option<Volume>) -> Option<Pass> {
    let mut draw = down(draw, task.step);
    if let Some(pass) = on_aim(task, draw) {
        return Some(pass);
    }
    let filled = |draw| furthest(task, task.now.drawn(draw, task.held()), keep);
    if keep.is_some() {
        let after = filled(draw).map_or(task.now.drawn(draw, task.held()), |(after, _)| after);
        let short = task.volume.value - after.volume(&task.blend);
        if short > task.step {
            draw = down(most(draw - short, litres(0.0)), task.step);
        }
    }
    let (after, pours) = filled(draw)?;
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
    let renewed = Task {
        renew: 0.0,
        ..task.clone()
    };
    let mut found = but_for_the_dose(&renewed, draw, draw).into_iter();
    found.find(|p| p.draw == draw)
}

/// The passes that land on the aim, best first, without the dose.
fn but_for_the_dose(task: &Task, cap: Volume, floor: Volume) -> Vec<Pass> {
    let undosed = Task {
        dosing: None,
        ..task.clone()
    };
    let start = Start {
        task: &undosed,
        charge: task.now,
        cap,
        floor,
    };
    let mut found = landing_passes(&start);
    found.retain(|pass| on_the_aim(task, &pass.after));
    found
}

/// Fills to the mark with what brings the strength nearest to the aim, stock after stock where there is too little of
/// one.
pub(super) fn furthest_fill(task: &Task, charge: Charge) -> Option<(Charge, Vec<Pour>)> {
    furthest(task, charge, None)
}

/// The same, with so much of what brings it nearest kept for later rounds, where it goes further: what there is beyond
/// that, stock after stock.
fn furthest(task: &Task, charge: Charge, keep: Option<Volume>) -> Option<(Charge, Vec<Pour>)> {
    let landing = task.target.landing(charge.strength()).fraction();
    let rising = charge.strength().fraction() <= landing;
    let is_dry = in_litres(charge.volume(&task.blend)) < SLACK_LITRES;
    let mut order: Vec<_> = task
        .shelf
        .iter()
        .filter(|u| is_dry || (u.strength >= charge.strength()) == rising)
        .collect();
    if !rising {
        order.reverse();
    }
    if order.is_empty() {
        order = task.shelf.iter().collect();
    }
    let mut keep = keep.unwrap_or(litres(0.0));
    let (mut charge, mut pours) = (charge, Vec::new());
    for usable in order {
        let mut amount = fill(task, &charge, usable.strength);
        if let Some(have) = usable.have {
            amount = least(amount, most(have - keep, litres(0.0)));
            keep = most(keep - have, litres(0.0));
        } else {
            keep = litres(0.0);
        }
        let amount = down(amount, task.step);
        if amount >= task.step * 0.5 {
            charge = task.poured(&charge, usable, amount, false);
            pours.push(Pour {
                stock: usable.stock,
                amount,
            });
        }
    }
    (full(task, &charge) || !pours.is_empty()).then_some((charge, pours))
}

/// Is it filled to the mark, give or take two steps?
pub(super) fn full(task: &Task, charge: &Charge) -> bool {
    task.volume.value - charge.volume(&task.blend) < task.step * 2.0
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
