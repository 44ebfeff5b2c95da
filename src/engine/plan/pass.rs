//! One pass: draw, dose, pour to the mark, in amounts that can be measured.
//!
//! Rounding: the draw to the nearest step, never above its limit; the dose down; each pour but the last to the
//! nearest step, the last one down so that the mark is never passed; a stock that would give less than a step is
//! left out. Where that misses what the aim accepts, the neighbouring steps are tried, then a finer measure, then
//! drawing more.

use super::{
    exact::{Landing, blend_at, landings},
    task::{Target, Task, down, least, most, nearest, steps},
};
use crate::engine::{
    dose::{DoseOutcome, SLACK_LITRES},
    mix::Charge,
    order::in_order,
    quantity::{LabelFraction, Volume, in_litres, litres},
};

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

/// Everything a pass starts from.
pub(super) struct Start<'a> {
    pub task: &'a Task,
    pub charge: Charge,
    /// The most this pass may draw.
    pub cap: Volume,
    /// The least it must draw.
    pub floor: Volume,
}

impl Start<'_> {
    /// A loop that is right, of which nothing can be drained, and into which the user allows a dose all the same: that the
    /// dose dilutes it is no reason against it, down to the loop's lowest strength; but not past a frost it is to bear.
    fn only_dosed(&self, pass: &Pass, target: &Target) -> bool {
        let task = self.task;
        task.may_stand_above
            && self.cap < task.step
            && pass.draw <= litres(0.0)
            && pass.pours.is_empty()
            && !target.at_least
            && target.accepts(&self.charge)
            && pass.after.strength().fraction() >= task.lowest - 1e-9
    }

    /// How far above the mark it may stand after drawing so much: not at all, but for what stood above it already and is
    /// less than can be measured, and for a dose where nothing can be drained and the user allows it.
    fn above(&self, draw: Volume) -> Volume {
        let task = self.task;
        let nothing = litres(0.0);
        let stands = self.charge.volume(&task.blend) - task.volume.value;
        let dose = if task.may_stand_above && self.cap < task.step {
            task.fits_above
        } else {
            nothing
        };
        let stood = if draw <= nothing && stands < task.step {
            stands
        } else {
            nothing
        };
        most(dose, stood)
    }
}

/// Every rounded pass that lands, best first: least drawn (draws within one step count as equal, but for none), then the
/// fewest stocks, then as [`order`] says.
pub(super) fn landing_passes(start: &Start) -> Vec<Pass> {
    let target = start.task.target;
    let now = start.charge.strength();
    let mut found = at_the_least(start, &target, start.task.step);
    if found.is_empty() {
        found.extend(room_for_the_dose(start, &target));
    }
    let [low, high] = [target.low, target.high].map(LabelFraction::clamped);
    for aim in [target.landing(now), target.edge(now), low, high] {
        let least = in_litres(start.floor);
        let exact = landings(start.task, &start.charge, aim, least, in_litres(start.cap));
        found.extend(
            exact
                .iter()
                .filter_map(|landing| rounded(start, landing, aim, &target)),
        );
        if !found.is_empty() {
            break;
        }
    }
    if found.is_empty() {
        found = at_an_end(start, &target);
    }
    if found.is_empty() && !at_the_least(start, &target, litres(FINEST)).is_empty() {
        let finer = finer(start.task.step).flat_map(|step| at_the_least(start, &target, step));
        found.extend(finer.take(1));
    }
    order(&mut found, start.task);
    found
}

/// Puts the better pass first.
fn order(found: &mut Vec<Pass>, task: &Task) {
    let drawn = |p: &Pass| in_litres(p.draw);
    let Some(fewest) = found.iter().map(drawn).min_by(f64::total_cmp) else {
        return;
    };
    // Draws within a step count as equal; none at all is less than any.
    let step = if fewest > SLACK_LITRES {
        in_litres(task.step)
    } else {
        0.0
    };
    let near = fewest + step + SLACK_LITRES;
    let beyond = |p: &Pass| if drawn(p) <= near { 0.0 } else { drawn(p) };
    // A price that is not known decides nothing.
    let all_priced = found.iter().all(|p| cost(p, task).is_some());
    let price = |p: &Pass| cost(p, task).filter(|_| all_priced).unwrap_or(0.0);
    // A frost aim that is met already is best kept: what changes the mix least. Of what lands on a percentage to half a
    // point, the cheaper.
    let ideal = if task.target.at_least && task.target.accepts(&task.now) {
        task.now.strength()
    } else {
        task.target.aim
    };
    let off = |p: &Pass| (p.after.strength().fraction() - ideal.fraction()).abs();
    let clearly = |p: &Pass| match task.target.at_least {
        false if off(p) <= 0.005 => 0.0,
        _ => off(p),
    };
    in_order(found, |a, b| {
        beyond(a)
            .total_cmp(&beyond(b))
            .then(a.pours.len().cmp(&b.pours.len()))
            .then(clearly(a).total_cmp(&clearly(b)))
            .then(price(a).total_cmp(&price(b)))
            .then(off(a).total_cmp(&off(b)))
            .then(drawn(a).total_cmp(&drawn(b)))
    });
    found.dedup_by(|a, b| a.pours == b.pours && a.draw == b.draw);
}

/// Price of what is poured; `None` where a price is unknown.
fn cost(pass: &Pass, task: &Task) -> Option<f64> {
    let priced = |p: &Pour| {
        let price = task
            .shelf
            .iter()
            .find(|u| u.stock == p.stock)
            .and_then(|u| u.price)?;
        Some(price * in_litres(p.amount))
    };
    pass.pours.iter().map(priced).sum()
}

/// What can be done with the least draw there must be (mostly none) and at most one stock: it need not land on the
/// aim, only where the aim accepts.
fn at_the_least(start: &Start, target: &Target, step: Volume) -> Vec<Pass> {
    let draw = least_draw(start, step);
    let supports =
        std::iter::once(Vec::new()).chain((0..start.task.shelf.len()).map(|i| vec![(i, 0.0)]));
    supports
        .filter_map(|pours| {
            let landing = Landing {
                draw: in_litres(draw),
                pours,
            };
            attempt(start, &landing, target.aim, step, draw, 0).filter(|pass| {
                pass.pours.len() == landing.pours.len() && lands(start, pass, target)
            })
        })
        .collect()
}

/// Short stocks may only fill the loop in ways that all land where the aim accepts, none of them on it or at its edge:
/// the two ends of those ways, with the least draw. One pours the strongest first, the other the weakest.
fn at_an_end(start: &Start, target: &Target) -> Vec<Pass> {
    let task = start.task;
    let draw = least_draw(start, task.step);
    let all = |i: usize| {
        (
            i,
            in_litres(task.shelf[i].have.unwrap_or(task.volume.value)),
        )
    };
    let strongest: Vec<_> = (0..task.shelf.len()).map(all).collect();
    let weakest = strongest.iter().rev().copied().collect();
    [strongest, weakest]
        .into_iter()
        .filter_map(|pours| {
            let landing = Landing {
                draw: in_litres(draw),
                pours,
            };
            attempt(start, &landing, target.aim, task.step, draw, 0)
                .filter(|pass| lands(start, pass, target))
        })
        .collect()
}

/// The least that must be drawn, in whole steps.
fn least_draw(start: &Start, step: Volume) -> Volume {
    let up = ((in_litres(start.floor) - SLACK_LITRES) / in_litres(step)).ceil();
    match steps(up, step) {
        draw if draw <= start.cap => draw,
        // All there is need not be a whole number of steps.
        _ if start.cap >= start.charge.volume(&start.task.blend) => start.cap,
        _ => down(start.cap, step),
    }
}

/// A loop that is right but full: drawing what the dose needs, and no more, where the aim accepts what that leaves.
fn room_for_the_dose(start: &Start, target: &Target) -> Option<Pass> {
    let task = start.task;
    let held = start.charge.volume(&task.blend);
    let mut draw = litres(0.0);
    for _ in 0..4 {
        let dose = task.dose(&start.charge.drawn(draw, held), &[])?.amount;
        draw = most(held + dose - task.volume.value, litres(0.0));
    }
    if draw > start.cap {
        return None;
    }
    let landing = Landing {
        draw: in_litres(draw),
        pours: Vec::new(),
    };
    rounded(start, &landing, target.aim, target)
}

/// Does the pass end where the aim accepts, at the mark within a step?
fn lands(start: &Start, pass: &Pass, target: &Target) -> bool {
    let short = start.task.volume.value - pass.after.volume(&start.task.blend);
    (target.accepts(&pass.after) || start.only_dosed(pass, target))
        && short >= litres(-SLACK_LITRES) - start.above(pass.draw)
        && in_litres(short) < in_litres(pass.step) + 10.0 * SLACK_LITRES
        && pass.after.old <= start.task.old_allowed() + litres(SLACK_LITRES)
}

/// A landing in measurable amounts, with a finer step where the usual one is too coarse.
pub(super) fn rounded(
    start: &Start,
    landing: &Landing,
    aim: LabelFraction,
    target: &Target,
) -> Option<Pass> {
    let usual = start.task.step;
    let first = if too_coarse(start.task, landing) {
        finer(usual).next()?
    } else {
        usual
    };
    let wanted = smallest(landing).map_or(litres(0.0), |a| a / 10.0);
    let mut last_good = None;
    for step in std::iter::once(first).chain(finer(first)) {
        // A finer measure can miss where a coarser one landed: the dose keeps its own step.
        last_good = at_step(start, landing, aim, target, step).or(last_good);
        let fine_enough = first == usual || step <= wanted || in_litres(step) < 2e-3;
        if last_good.is_some() && fine_enough {
            break;
        }
    }
    let more = |step| drawing_more(start, landing, aim, target, step);
    // Where the finest measure cannot, those between will not.
    last_good.or_else(|| more(usual)).or_else(|| {
        let finest = more(litres(FINEST))?;
        finer(usual).find_map(more).or(Some(finest))
    })
}

/// A landing that is only just reached, and lost in rounding to what can be measured: the least more to draw that
/// makes up for it, by doubling and halving.
fn drawing_more(
    start: &Start,
    landing: &Landing,
    aim: LabelFraction,
    target: &Target,
    step: Volume,
) -> Option<Pass> {
    let from = nearest(litres(landing.draw), step);
    let most = ((start.cap + litres(SLACK_LITRES) - from) / step).value as u32;
    let lands = |more: u32| {
        let draw = steps((from / step).value.round() + f64::from(more), step);
        landing_at(start, landing, aim, target, step, draw)
    };
    let (mut short, mut enough) = (0, 1);
    let mut found = None;
    while found.is_none() && short < most {
        enough = (enough * 2).min(most);
        found = lands(enough);
        if found.is_none() {
            short = enough;
        }
    }
    found.as_ref()?;
    while enough - short > 1 {
        let half = short.midpoint(enough);
        match lands(half) {
            None => short = half,
            nearer => (found, enough) = (nearer, half),
        }
    }
    found
}

fn at_step(
    start: &Start,
    landing: &Landing,
    aim: LabelFraction,
    target: &Target,
    step: Volume,
) -> Option<Pass> {
    let base = nearest(litres(landing.draw), step);
    let cap = down(start.cap, step);
    let draws = [0.0, 1.0, -1.0, 2.0]
        .map(|k| litres(in_litres(base) + k * in_litres(step)))
        .map(|d| steps((in_litres(d) / in_litres(step)).round(), step))
        .map(|d| least(d, cap));
    // A draw of all there is need not be a whole number of steps.
    let all = (start.cap >= start.charge.volume(&start.task.blend)
        && litres(landing.draw + SLACK_LITRES) >= start.cap)
        .then_some(start.cap);
    all.into_iter().chain(draws).find_map(|draw| {
        (draw >= start.floor - litres(SLACK_LITRES))
            .then(|| landing_at(start, landing, aim, target, step, draw))
            .flatten()
    })
}

/// With exactly this draw, the first of several pours moved by a step where that helps.
fn landing_at(
    start: &Start,
    landing: &Landing,
    aim: LabelFraction,
    target: &Target,
    step: Volume,
    draw: Volume,
) -> Option<Pass> {
    [0, 1, -1]
        .into_iter()
        .filter_map(|nudge| attempt(start, landing, aim, step, draw, nudge))
        .find(|pass| lands(start, pass, target))
}

/// A loop so small that a step is over a tenth of an amount.
fn too_coarse(task: &Task, landing: &Landing) -> bool {
    let small_loop = in_litres(task.volume.value) < 60.0 * in_litres(task.step);
    small_loop
        && smallest(landing).is_some_and(|amount| task.step * 10.0 > amount + litres(SLACK_LITRES))
}

fn smallest(landing: &Landing) -> Option<Volume> {
    let amounts = landing.pours.iter().map(|&(_, a)| a).chain([landing.draw]);
    amounts
        .filter(|&a| a > 1e-3)
        .min_by(f64::total_cmp)
        .map(litres)
}

/// The finest measure, litres.
const FINEST: f64 = 1e-3;

/// Finer measures down to 1 mL: halves and fifths, as measuring cups go (50, 25 or 20, 10, 5, 2, 1 mL).
fn finer(step: Volume) -> impl Iterator<Item = Volume> {
    let litres_of_step = in_litres(step);
    [0.1, 0.05, 0.025, 0.02, 0.01, 0.005, 0.002, FINEST]
        .into_iter()
        .filter(move |&s| s < litres_of_step * 0.75)
        .map(litres)
}

/// The rounded amounts for one draw; `nudge` moves the first of several pours by so many steps.
fn attempt(
    start: &Start,
    landing: &Landing,
    aim: LabelFraction,
    step: Volume,
    draw: Volume,
    nudge: i32,
) -> Option<Pass> {
    let task = start.task;
    let blend = &task.blend;
    let left = start.charge.drawn(draw, start.charge.volume(blend));
    let amounts = reckoned(start, landing, aim, in_litres(draw));
    let pour = |dose| poured_out(start, &left, &amounts, (step, draw, nudge), dose);
    if amounts
        .iter()
        .all(|&(place, _)| task.shelf[place].level <= 0.0)
    {
        return pour(task.dose(&left, &amounts));
    }
    // What is poured brings of what is dosed, and the dose leaves less room to pour: settled by repetition.
    let mut pass = pour(None)?;
    for _ in 0..3 {
        let place = |stock| task.shelf.iter().position(|u| u.stock == stock);
        let went = pass.pours.iter();
        let went: Vec<_> = went
            .filter_map(|p| Some((place(p.stock)?, in_litres(p.amount))))
            .collect();
        let dosed = pass.dosed();
        pass = pour(task.dose(&left, &went))?;
        if pass.dosed() == dosed {
            break;
        }
    }
    Some(pass)
}

/// What is left once this was drawn, dosed and filled with these amounts, the last to the mark. `None` where the dose
/// finds no room.
fn poured_out(
    start: &Start,
    left: &Charge,
    amounts: &[(usize, f64)],
    (step, draw, nudge): (Volume, Volume, i32),
    dose: Option<DoseOutcome>,
) -> Option<Pass> {
    let task = start.task;
    let blend = &task.blend;
    let mut charge = task.dosed(left, dose.as_ref().map_or(litres(0.0), |d| d.amount));
    let most_held = task.volume.value + start.above(draw);
    if in_litres(charge.volume(blend)) > in_litres(most_held) + SLACK_LITRES {
        return None;
    }
    let mut pours = Vec::new();
    for (k, &(place, amount)) in amounts.iter().enumerate() {
        let stock = &task.shelf[place];
        let room = fill(task, &charge, stock.strength);
        let last = k + 1 == amounts.len();
        let wanted = if last {
            room
        } else {
            let moved = if k == 0 {
                f64::from(nudge) * in_litres(step)
            } else {
                0.0
            };
            nearest(litres((amount + moved).max(0.0)), step)
        };
        let amount = down(least(wanted, least(room, stock.have.unwrap_or(room))), step);
        if amount >= step * 0.5 {
            charge = task.poured(&charge, stock, amount, last);
            pours.push(Pour {
                stock: stock.stock,
                amount,
            });
        }
    }
    Some(Pass {
        draw,
        dose,
        pours,
        after: charge,
        step,
    })
}

/// The amounts of a landing's stocks once the draw is another: two free ones are blended anew, a single one makes up
/// for it, those that are poured to the last drop stay.
fn reckoned(start: &Start, landing: &Landing, aim: LabelFraction, draw: f64) -> Vec<(usize, f64)> {
    let task = start.task;
    let is_full = |&(i, amount): &(usize, f64)| {
        task.shelf[i]
            .have
            .is_some_and(|h| amount >= in_litres(h) - SLACK_LITRES)
    };
    let (fixed, free): (Vec<_>, Vec<_>) = landing.pours.iter().copied().partition(is_full);
    let mut amounts = landing.pours.clone();
    if let [(a, _), (b, _)] = free[..]
        && let Some((pa, pb)) = blend_at(task, &start.charge, aim, (a, b), &fixed, draw)
    {
        for (place, amount) in &mut amounts {
            if *place == a {
                *amount = pa.max(0.0);
            } else if *place == b {
                *amount = pb.max(0.0);
            }
        }
    } else if let [(only, _)] = free[..] {
        for (_, amount) in amounts.iter_mut().filter(|(place, _)| *place == only) {
            *amount = (*amount + draw - landing.draw).max(0.0);
        }
    }
    amounts
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
