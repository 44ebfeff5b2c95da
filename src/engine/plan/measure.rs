//! From draws to a card: rounds in amounts that can be measured, each reckoned anew from what the one before really leaves.
//!
//! Rounding: a draw to the nearest step, never above its limit; the dose down; each pour but the last to the nearest step,
//! the last one down so that the mark is never passed. A round before the last pours whatever still lets the rest of the
//! draws reach the goal, in the fewest stocks. In the last round everything is tried: the steps around the least draw,
//! and with each of them every stock, every two, and short ones to the last step with one or two more.

use super::{
    ends::{Goal, Stage},
    search::{FEW_ENDS, Found, Search},
    state::{Bench, State},
    task::{Task, down, least, most, nearest, steps},
};
use crate::engine::{
    dose::{DoseOutcome, LabelRate, SLACK_LITRES},
    mix::Charge,
    order::in_order,
    quantity::{LabelFraction, Volume, in_litres, litres},
    range::held,
};

/// The most rounds a plan may take.
pub const MOST_ROUNDS: usize = 12;

/// The finest measure, litres.
pub(super) const FINEST: f64 = 1e-3;

/// Off the aim by less than this, as a fraction, is on it.
pub(super) const ON_THE_AIM: f64 = 0.005;

/// Short stocks that are tried to the last step, at most.
const MOST_CAPPED: usize = 6;

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

/// The draws that there can be.
pub(super) struct Draws {
    /// The most a later draw gives, in whole steps.
    pub later: f64,
    /// Rounds at most.
    pub rounds: usize,
}

/// The most that comes out later, and how often: with nothing to limit a draw there is no point in a second one.
pub(super) fn draws(task: &Task, step: Volume, rounds: usize) -> Draws {
    let mark = task.volume.value;
    let by_share = task.draw_limit.share.map_or(mark, |share| mark * share);
    let limit = least(by_share, task.draw_limit.volume.unwrap_or(mark));
    Draws {
        later: in_litres(down(limit, step)),
        rounds: if task.draw_is_limited() { rounds } else { 1 },
    }
}

/// The loop as it stands.
pub(super) fn stage(task: &Task, bench: &Bench<'_>, step: Volume) -> Stage {
    let held = task.held();
    let cap = if task.drained {
        litres(0.0)
    } else {
        task.draw_cap(&task.now, task.drawn_since_run)
    };
    // A draw of all there is need not be a whole number of steps.
    let first = if cap >= held { held } else { down(cap, step) };
    Stage {
        now: State::of(&task.now),
        holds: in_litres(held),
        have: bench.shelf.iter().map(|s| s.have).collect(),
        first: in_litres(first),
    }
}

/// Rounds that do what is wanted, with draws that were found for it.
pub(super) fn course(task: &Task, want: &Want, found: &Found, step: Volume) -> Option<Course> {
    let bound = found.bound;
    if found.draws.len() == 1 {
        let mut passes = last(task, found.draws[0], want, step);
        if !passes.is_empty() {
            let others = passes.split_off(1);
            return Some(Course {
                passes,
                others,
                bound,
            });
        }
    }
    let bench = Bench::new(task);
    let stage = stage(task, &bench, step);
    let shelves = few(task, &bench, &stage, want, &found.draws, step);
    let passes = shelves
        .into_iter()
        .find_map(|task| walk(&task, found.draws.clone(), want, step))?;
    Some(Course {
        passes,
        others: Vec::new(),
        bound,
    })
}

/// The task with one, two and three of its stocks, where these draws still do; then with all of them.
fn few(
    task: &Task,
    bench: &Bench<'_>,
    stage: &Stage,
    want: &Want,
    draws: &[f64],
    step: Volume,
) -> Vec<Task> {
    let count = task.shelf.len();
    let mut list = Vec::new();
    let step = in_litres(step);
    for size in 1..=3_u32.min(count as u32) {
        for bits in 0..1_u32 << count {
            if bits.count_ones() != size || list.len() > 1 {
                continue;
            }
            let uses = |i: usize| bits & (1 << i) != 0;
            let mut stage = stage.clone();
            for (i, have) in stage.have.iter_mut().enumerate() {
                if !uses(i) {
                    *have = 0.0;
                }
            }
            if slightly_more(bench, &stage, want, draws, step) <= NEAR {
                let mut fewer = task.clone();
                let mut place = 0..count;
                fewer.shelf.retain(|_| place.next().is_some_and(uses));
                list.push(fewer);
            }
        }
    }
    list.push(task.clone());
    list
}

/// A gap that rounding makes, in shares of the loop.
const NEAR: f64 = 1e-6;

/// The gap of these draws, or of up to three steps more in the last that can give them.
fn slightly_more(bench: &Bench<'_>, stage: &Stage, want: &Want, draws: &[f64], step: f64) -> f64 {
    let mut draws = draws.to_vec();
    if let Some(first) = draws.first_mut() {
        *first = first.min(stage.first);
    }
    let task = bench.task;
    let later = self::draws(task, litres(step), 2).later;
    let free = (0..draws.len()).rev().find(|&i| {
        let limit = if i == 0 { stage.first } else { later };
        draws[i] < limit - 1e-9
    });
    let mut gap = f64::INFINITY;
    for _ in 0..4 {
        gap = gap.min(bench.gap(stage, &draws, &want.goal, step));
        let Some(i) = free.filter(|_| gap > NEAR) else {
            break;
        };
        let limit = if i == 0 { stage.first } else { later };
        draws[i] = (draws[i] + step).min(limit);
    }
    gap
}

/// Round after round, from what each really leaves.
fn walk(task: &Task, mut draws: Vec<f64>, want: &Want, step: Volume) -> Option<Vec<Pass>> {
    let mut task = task.clone();
    let mut passes: Vec<Pass> = Vec::new();
    // Where nothing is left of a round by rounding, it is not one; but it is not looked for for ever.
    for _ in 0..2 * MOST_ROUNDS {
        if passes.len() == MOST_ROUNDS {
            return None;
        }
        let pass = {
            let bench = Bench::new(&task);
            let stage = stage(&task, &bench, step);
            let at_most = |rounds: usize| {
                let Draws { later, rounds } = self::draws(&task, step, rounds);
                let limits = (later, rounds);
                Search::new(&bench, &stage, want.goal, in_litres(step), limits, FEW_ENDS).least()
            };
            if draws.len() <= 1 {
                let planned = draws.first().copied().unwrap_or(0.0);
                let draw = at_most(1).map_or(planned.min(stage.first), |found| found.draws[0]);
                let found = last(&task, draw, want, step).into_iter().next();
                if let Some(pass) = found {
                    // What went before may have landed already.
                    if passes.is_empty() || !pass.is_idle() || pass.dose.is_some() {
                        passes.push(pass);
                    }
                    return Some(passes);
                }
                draws = at_most(MOST_ROUNDS - passes.len()).ok()?.draws;
                if draws.len() <= 1 {
                    return None;
                }
            } else if slightly_more(&bench, &stage, want, &draws, in_litres(step)) > NEAR
                && let Ok(found) = at_most(MOST_ROUNDS - passes.len())
            {
                draws = found.draws;
                if draws.len() <= 1 {
                    continue;
                }
            }
            between(&task, &bench, &stage, &draws, want, step)?
        };
        draws.remove(0);
        advance(&mut task, &pass);
        // One that only wants running before more can be drawn stands for nothing else.
        let begun = task.unmixed || task.drained;
        task.unmixed = false;
        task.drained = false;
        if !pass.is_idle() || begun {
            passes.push(pass);
        }
    }
    None
}

/// A pass before the last.
fn between(
    task: &Task,
    bench: &Bench<'_>,
    stage: &Stage,
    draws: &[f64],
    want: &Want,
    step: Volume,
) -> Option<Pass> {
    let (doses, _) = bench.doses(stage, draws);
    let draw = match draws[0] {
        all if all >= stage.first - 1e-9 => litres(stage.first),
        some => least(nearest(litres(some), step), litres(stage.first)),
    };
    let left = task.now.drawn(draw, task.held());
    let dose = part_of_dose(task, &left, doses[0]);
    let dosed = dose.as_ref().map_or(litres(0.0), |d| d.amount);
    let start = task.dosed(&left, dosed);
    let mut ways: Vec<Vec<(usize, Volume)>> = Vec::new();
    let all = litres(bench.mark);
    for i in 0..task.shelf.len() {
        ways.push(vec![(i, all)]);
        for j in i + 1..task.shelf.len() {
            if let Some(amount) = of_two(task, &start, (i, j), aim(task, want, &start)) {
                ways.push(vec![(i, amount), (j, all)]);
            }
        }
    }
    let ends = [true, false].map(|strongest| bench.end(stage, draws, &doses, strongest));
    let [strong, weak] = [&ends[0], &ends[1]].map(|end| bench.strength(&end.after));
    let wanted = held(
        aim(task, want, &start).fraction(),
        want.goal.low.max(weak),
        want.goal.high.min(strong),
    );
    let share = if strong > weak {
        held((wanted - weak) / (strong - weak), 0.0, 1.0)
    } else {
        1.0
    };
    for share in [1.0, 0.0, share] {
        let mut way: Vec<(usize, Volume)> = Vec::new();
        for i in 0..task.shelf.len() {
            let of = |k: usize| -> f64 {
                let lots = ends[k].lots.iter();
                lots.filter(|l| l.round == 0 && l.source == i)
                    .map(|l| l.amount)
                    .sum()
            };
            let amount = of(0) * share + of(1) * (1.0 - share);
            if amount > SLACK_LITRES {
                way.push((i, litres(amount)));
            }
        }
        ways.push(way);
    }
    let mut best: Option<((f64, usize, f64), Pass)> = None;
    for way in ways {
        let (after, pours) = poured(task, &start, &way, step);
        if is_too_strong(task, &after) {
            continue;
        }
        let pass = Pass {
            draw,
            dose: dose.clone(),
            pours,
            after,
            step,
        };
        let mut next = task.clone();
        advance(&mut next, &pass);
        (next.unmixed, next.drained) = (false, false);
        let next_bench = Bench::new(&next);
        let next_stage = self::stage(&next, &next_bench, step);
        let gap = slightly_more(&next_bench, &next_stage, want, &draws[1..], in_litres(step));
        let off = (after.strength().fraction() - wanted).abs();
        let rank = (gap.max(NEAR), pass.pours.len(), off);
        if best.as_ref().is_none_or(|(before, _)| rank < *before) {
            best = Some((rank, pass));
        }
    }
    best.map(|(_, pass)| pass)
}

/// Above 70 % and stronger than it was: never in between.
fn is_too_strong(task: &Task, after: &Charge) -> bool {
    let undiluted = after.undiluted();
    undiluted.fraction() > crate::engine::margin::HIGHEST + 1e-9 && undiluted > task.now.undiluted()
}

/// The strength to reckon for.
fn aim(task: &Task, want: &Want, charge: &Charge) -> LabelFraction {
    if want.on_aim {
        task.target.aim
    } else {
        task.target.landing(charge.strength())
    }
}

/// So much of the dose as has to go in before the last pass, in whole measures.
fn part_of_dose(task: &Task, left: &Charge, amount: f64) -> Option<DoseOutcome> {
    if amount <= SLACK_LITRES {
        return None;
    }
    let mut dose = task.dose(left, &[])?;
    let measure = match task.dosing.map(|d| (d.rate, d.step))? {
        (
            LabelRate::Level {
                unit: Some(unit), ..
            },
            _,
        ) => unit,
        (_, step) => step,
    };
    let room = task.volume.value - left.volume(&task.blend);
    let up = steps(
        ((amount - SLACK_LITRES) / in_litres(measure)).ceil(),
        measure,
    );
    dose.amount = least(down(least(up, room), measure), dose.amount);
    dose.unrounded = dose.amount;
    (dose.amount > litres(0.0)).then_some(dose)
}

/// What these amounts come to, none over what there is or what there is room for.
fn poured(
    task: &Task,
    start: &Charge,
    way: &[(usize, Volume)],
    step: Volume,
) -> (Charge, Vec<Pour>) {
    let mut charge = *start;
    let mut pours = Vec::new();
    for (k, &(place, amount)) in way.iter().enumerate() {
        let stock = &task.shelf[place];
        let room = fill(task, &charge, stock.strength);
        let wanted = if k + 1 == way.len() {
            room
        } else {
            nearest(amount, step)
        };
        let amount = down(least(wanted, least(room, stock.have.unwrap_or(room))), step);
        if amount >= step * 0.5 {
            charge = task.poured(&charge, stock, amount, k + 1 == way.len());
            pours.push(Pour {
                stock: stock.stock,
                amount,
            });
        }
    }
    (charge, pours)
}

/// Of two stocks that fill it to a strength between what either alone makes, how much of the first.
fn of_two(
    task: &Task,
    start: &Charge,
    (i, j): (usize, usize),
    wanted: LabelFraction,
) -> Option<Volume> {
    let (first, second) = (task.shelf[i].strength, task.shelf[j].strength);
    let all = fill(task, start, first);
    let made = |amount: Volume| {
        let charge = start.poured(&task.blend, amount, first);
        let rest = fill(task, &charge, second);
        charge
            .poured(&task.blend, rest, second)
            .strength()
            .fraction()
    };
    let (none_of_it, all_of_it) = (made(litres(0.0)), made(all));
    let wide = all_of_it - none_of_it;
    let share = (wanted.fraction() - none_of_it) / wide;
    if wide.abs() < 1e-9 || !(0.0..=1.0).contains(&share) {
        return None;
    }
    // Nearly straight: what the line is off by is a few thousandths of it.
    let off = wanted.fraction() - made(all * share);
    Some(all * held(share + off / wide, 0.0, 1.0))
}

/// Every last pass that lands, the best first: the steps from the least draw on.
fn last(task: &Task, draw: f64, want: &Want, step: Volume) -> Vec<Pass> {
    let bench_step = in_litres(step);
    let held = task.held();
    let cap = if task.drained {
        litres(0.0)
    } else {
        task.draw_cap(&task.now, task.drawn_since_run)
    };
    let base = (draw / bench_step + 1e-6).floor();
    let in_steps = (0..24)
        .map(|k| steps(base + f64::from(k), step))
        .filter(|d| *d <= cap + litres(SLACK_LITRES) && *d <= held);
    let all = (cap >= held && litres(draw) > held - step && held > litres(0.0)).then_some(held);
    let mut found: Vec<Pass> = Vec::new();
    for (k, draw) in in_steps.chain(all).enumerate() {
        let enough = if want.on_aim { k >= 2 } else { k >= 1 };
        if enough && !found.is_empty() {
            break;
        }
        fills(task, draw, want, step, &mut found);
    }
    order(&mut found, task, want);
    found
}

/// What can be poured after a draw so that it lands: nothing, one stock, two, or short ones to the last step and up to two
/// more; no more stocks than it takes.
fn fills(task: &Task, draw: Volume, want: &Want, step: Volume, found: &mut Vec<Pass>) {
    let left = task.now.drawn(draw, task.held());
    let dosed = |dose: &Option<DoseOutcome>| {
        let amount = dose.as_ref().map_or(litres(0.0), |d| d.amount);
        let start = task.dosed(&left, amount);
        let over = start.volume(&task.blend) - task.volume.value;
        (over <= litres(SLACK_LITRES)).then_some(start)
    };
    // What is poured brings of what is dosed.
    let brings = task.shelf.iter().any(|u| u.level > 0.0);
    let dose = task.dose(&left, &[]);
    let Some(start) = dosed(&dose).or_else(|| brings.then_some(left)) else {
        return;
    };
    let wanted = aim(task, want, &start);
    let count = task.shelf.len();
    let mut landed = false;
    let mut attempt = |way: &[(usize, Volume)], found: &mut Vec<Pass>| {
        let (mut after, mut pours) = poured(task, &start, way, step);
        let mut dose = dose.clone();
        // The dose leaves less room to pour, too: settled by repetition.
        for _ in 0..if brings { 3 } else { 0 } {
            let place = |stock| task.shelf.iter().position(|u| u.stock == stock);
            let went = pours.iter();
            let went: Vec<_> = went
                .filter_map(|p: &Pour| Some((place(p.stock)?, in_litres(p.amount))))
                .collect();
            dose = task.dose(&left, &went);
            let Some(start) = dosed(&dose) else {
                return landed;
            };
            (after, pours) = poured(task, &start, way, step);
        }
        let pass = Pass {
            draw,
            dose,
            pours,
            after,
            step,
        };
        if pass.pours.len() == way.len() && lands(task, &pass) {
            landed |= !want.on_aim || off(task, &pass.after) <= ON_THE_AIM;
            found.push(pass);
        }
        landed
    };
    if attempt(&[], found) {
        return;
    }
    // Short stocks to the last step, none first, then one, two, …
    let short: Vec<usize> = (0..count)
        .filter(|&i| task.shelf[i].have.is_some())
        .collect();
    let short = &short[..short.len().min(MOST_CAPPED)];
    for capped in 0..=short.len() as u32 {
        let mut bases: Vec<(Vec<(usize, Volume)>, Charge, Vec<usize>)> = Vec::new();
        for bits in (0..1_u32 << short.len()).filter(|b| b.count_ones() == capped) {
            let taken = |i: usize| {
                short
                    .iter()
                    .position(|&s| s == i)
                    .is_some_and(|k| bits & (1 << k) != 0)
            };
            let (mut way, mut charge) = (Vec::new(), start);
            for i in (0..count).filter(|&i| taken(i)) {
                let amount = down(task.shelf[i].have.unwrap_or(litres(0.0)), step);
                charge = charge.poured(&task.blend, amount, task.shelf[i].strength);
                way.push((i, amount));
            }
            if charge.volume(&task.blend) <= task.volume.value + litres(SLACK_LITRES) {
                bases.push((way, charge, (0..count).filter(|&i| !taken(i)).collect()));
            }
        }
        let mut done = false;
        for (way, _, free) in &mut bases {
            if capped > 0 {
                done |= attempt(way, found);
            }
            for &i in free.iter() {
                way.push((i, task.volume.value));
                done |= attempt(way, found);
                way.pop();
            }
        }
        if done {
            return;
        }
        for (way, charge, free) in &mut bases {
            for (k, &a) in free.iter().enumerate() {
                for &b in &free[k + 1..] {
                    for (i, j) in [(a, b), (b, a)] {
                        let Some(amount) = of_two(task, charge, (i, j), wanted) else {
                            continue;
                        };
                        let amount = nearest(amount, step);
                        for amount in [amount, amount + step, most(amount - step, litres(0.0))] {
                            way.extend([(i, amount), (j, task.volume.value)]);
                            done |= attempt(way, found);
                            way.truncate(way.len() - 2);
                        }
                    }
                }
            }
        }
        if done {
            return;
        }
    }
}

/// Off the aim, as a fraction.
pub(super) fn off(task: &Task, after: &Charge) -> f64 {
    (after.strength().fraction() - task.target.aim.fraction()).abs()
}

/// Does the pass end where the aim accepts, at the mark within a step, with enough renewed?
fn lands(task: &Task, pass: &Pass) -> bool {
    let short = task.volume.value - pass.after.volume(&task.blend);
    task.target.accepts(&pass.after)
        && short >= litres(-SLACK_LITRES)
        && in_litres(short) < in_litres(pass.step) + 10.0 * SLACK_LITRES
        && (task.renew <= 0.0
            || pass.after.old <= task.old_allowed() + pass.step + litres(SLACK_LITRES))
}

/// Puts the better pass first: least drawn (draws within one step count as equal), on the aim where that is wanted, then
/// the fewest stocks, then what changes a frost aim that is met already the least, else the nearest to the aim, then the
/// least cost.
fn order(found: &mut Vec<Pass>, task: &Task, want: &Want) {
    let drawn = |p: &Pass| in_litres(p.draw);
    let Some(fewest) = found.iter().map(drawn).min_by(f64::total_cmp) else {
        return;
    };
    let near = |p: &Pass| fewest + in_litres(p.step) + SLACK_LITRES;
    let beyond = |p: &Pass| if drawn(p) <= near(p) { 0.0 } else { drawn(p) };
    // A price that is not known decides nothing.
    let all_priced = found.iter().all(|p| cost(p, task).is_some());
    let price = |p: &Pass| cost(p, task).filter(|_| all_priced).unwrap_or(0.0);
    let ideal = if task.target.at_least && task.target.accepts(&task.now) {
        task.now.strength()
    } else {
        task.target.aim
    };
    let off_ideal = |p: &Pass| (p.after.strength().fraction() - ideal.fraction()).abs();
    // Of what lands on a percentage to half a point, the cheaper.
    let clearly = |p: &Pass| match task.target.at_least {
        false if off_ideal(p) <= ON_THE_AIM => 0.0,
        _ => off_ideal(p),
    };
    let is_off = |p: &Pass| want.on_aim && off(task, &p.after) > ON_THE_AIM;
    in_order(found, |a, b| {
        beyond(a)
            .total_cmp(&beyond(b))
            .then(is_off(a).cmp(&is_off(b)))
            .then(a.pours.len().cmp(&b.pours.len()))
            .then(clearly(a).total_cmp(&clearly(b)))
            .then(price(a).total_cmp(&price(b)))
            .then(off_ideal(a).total_cmp(&off_ideal(b)))
            .then(drawn(a).total_cmp(&drawn(b)))
    });
    found.dedup_by(|a, b| a.pours == b.pours && a.draw == b.draw);
}

/// Price of what is poured; `None` where a price is unknown.
fn cost(pass: &Pass, task: &Task) -> Option<f64> {
    let priced = |p: &Pour| {
        let found = task.shelf.iter().find(|u| u.stock == p.stock)?;
        Some(found.price? * in_litres(p.amount))
    };
    pass.pours.iter().map(priced).sum()
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
