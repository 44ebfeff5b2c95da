//! From draws to a card: rounds in amounts that can be measured, each reckoned anew from what the one before really leaves.
//!
//! Rounding: a draw that lands to the nearest step and its neighbours, one before it up to a step, none above its limit;
//! the dose down; each pour but the last to the nearest step, the last one down so that the mark is never passed. A round
//! before the last is run full and pours what still lets the rest of the draws reach the goal, in the fewest stocks. In the
//! last round everything is tried: the steps around the least draw, and with each of them every stock, every two, and
//! short ones to the last step with one or two more. What rounding takes is made up for by a few steps more.
//!
//! Nothing here is proven: that it costs no more than a step is held against an independent search that measures
//! (`tests/laws/optimum.rs`), and a plan says so by its bound.

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

/// Places on the shelf, and how much of each.
type Amounts = Vec<(usize, Volume)>;

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
        // Of what was drained before and is full again, nothing comes out until it has run.
        rounds: match task.draw_is_limited() {
            true => rounds,
            false if task.drained && mark - task.held() < step => rounds.min(2),
            false => 1,
        },
    }
}

/// The loop as it stands.
pub(super) fn stage(task: &Task, bench: &Bench<'_>, step: Volume, whole: bool) -> Stage {
    let held = task.held();
    let cap = if task.drained {
        litres(0.0)
    } else {
        task.draw_cap(&task.now, task.drawn_since_run)
    };
    // A draw of all there is need not be a whole number of steps.
    let first = if cap >= held { held } else { down(cap, step) };
    // Above the mark by less than can be measured is at it.
    let over = held - task.volume.value;
    let (now, holds) = if over > litres(0.0) && over < step {
        let mark = task.volume.value;
        (task.now.kept((mark / held).value), mark)
    } else {
        (task.now, held)
    };
    Stage {
        now: State::of(&now),
        holds: in_litres(holds),
        have: (bench.shelf.iter())
            .map(|s| match whole && s.have.is_finite() {
                true => in_litres(down(litres(s.have), step)),
                false => s.have,
            })
            .collect(),
        first: in_litres(first),
    }
}

/// What lands without a draw.
pub(super) fn undrawn(task: &Task, want: &Want, step: Volume) -> Option<Course> {
    let mut passes = Vec::new();
    fills(task, litres(0.0), want, step, &mut passes);
    order(&mut passes, task, want);
    let others = passes.split_off(passes.len().min(1));
    (!passes.is_empty()).then_some(Course {
        passes,
        others,
        bound: 0.0,
    })
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
    let stage = stage(task, &bench, step, want.whole);
    let shelves = few(task, &bench, &stage, want, &found.draws, step);
    // What rounding takes is made up for by drawing a little more.
    let passes = EXTRA.into_iter().find_map(|extra| {
        let draws = with_more(&bench, &stage, &found.draws, extra, in_litres(step))?;
        let fewer = if extra > 0.0 { shelves.len() - 1 } else { 0 };
        (shelves.iter().skip(fewer)).find_map(|task| walk(&bench, task, draws.clone(), want, step))
    })?;
    Some(Course {
        passes,
        others: Vec::new(),
        bound,
    })
}

/// How often the draws are looked for anew on the way.
const MOST_AGAIN: usize = 3;

/// Steps that are drawn more, in turn, where it takes them.
const EXTRA: [f64; 5] = [0.0, 1.0, 2.0, 4.0, 8.0];

/// The draws with so many steps more in the last that can give them.
fn with_more(
    bench: &Bench<'_>,
    stage: &Stage,
    draws: &[f64],
    extra: f64,
    step: f64,
) -> Option<Vec<f64>> {
    let mut draws = draws.to_vec();
    let later = self::draws(bench.task, litres(step), 2).later;
    let mut more = extra * step;
    for i in (0..draws.len()).rev() {
        let limit = if i == 0 { stage.first } else { later };
        let adds = held(limit - draws[i], 0.0, more);
        draws[i] += adds;
        more -= adds;
    }
    (more < 0.5 * step).then_some(draws)
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
            let (gap, more) = slightly_more(bench, &stage, want, draws, step);
            if gap <= NEAR && more <= 1.0 {
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

/// The gap of these draws, or of up to twelve steps more in the last that can give them; and how many more.
fn slightly_more(
    bench: &Bench<'_>,
    stage: &Stage,
    want: &Want,
    draws: &[f64],
    step: f64,
) -> (f64, f64) {
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
    let (mut gap, mut steps) = (f64::INFINITY, 0.0);
    for more in [0.0, 1.0, 1.0, 2.0, 4.0, 4.0] {
        if let Some(i) = free {
            let limit = if i == 0 { stage.first } else { later };
            draws[i] = (draws[i] + more * step).min(limit);
        }
        steps += more;
        gap = gap.min(bench.gap(stage, &draws, &want.goal, want.slack));
        if gap <= NEAR || free.is_none() {
            break;
        }
    }
    (gap.max(NEAR), steps)
}

/// Round after round, from what each really leaves.
fn walk(
    bench: &Bench<'_>,
    task: &Task,
    mut draws: Vec<f64>,
    want: &Want,
    step: Volume,
) -> Option<Vec<Pass>> {
    let mut task = task.clone();
    let mut passes: Vec<Pass> = Vec::new();
    let mut again = 0..MOST_AGAIN;
    // Where nothing is left of a round by rounding, it is not one; but it is not looked for for ever.
    for _ in 0..2 * MOST_ROUNDS {
        if passes.len() == MOST_ROUNDS {
            return None;
        }
        let pass = {
            let bench = bench.of(&task);
            let stage = stage(&task, &bench, step, want.whole);
            let at_most = |rounds: usize| {
                let Draws { later, rounds } = self::draws(&task, step, rounds);
                let limits = (later, rounds);
                Search::new(
                    &bench,
                    &stage,
                    (want.goal, want.slack),
                    in_litres(step),
                    limits,
                    FEW_ENDS,
                )
                .least()
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
                again.next()?;
                draws = at_most(MOST_ROUNDS - passes.len()).ok()?.draws;
                if draws.len() <= 1 {
                    // One round just does, and no longer once it is rounded.
                    let Draws { later, rounds } = self::draws(&task, step, 2);
                    if rounds < 2 || later <= 0.0 {
                        return None;
                    }
                    draws = vec![stage.first, in_litres(step)];
                    continue;
                }
            } else if slightly_more(&bench, &stage, want, &draws, in_litres(step)).0 > NEAR
                && again.next().is_some()
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
        if pass.is_idle() && !begun {
            return None;
        }
        passes.push(pass);
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
    let (doses, _) = bench.doses(stage, draws, &[]);
    let draw = match draws[0] {
        all if all >= stage.first - 1e-9 => litres(stage.first),
        some => least(
            steps((some / in_litres(step) - 1e-3).ceil(), step),
            litres(stage.first),
        ),
    };
    let left = task.now.drawn(draw, task.held());
    let dose = part_of_dose(task, &left, doses[0]);
    let dosed = dose.as_ref().map_or(litres(0.0), |d| d.amount);
    let start = task.dosed(&left, dosed);
    let mut ways: Vec<Amounts> = Vec::new();
    let all = litres(bench.mark);
    for i in 0..task.shelf.len() {
        ways.push(vec![(i, all)]);
        for j in i + 1..task.shelf.len() {
            if let Some(amount) = of_two(task, &start, (i, j), aim(task, want, &start)) {
                ways.push(vec![(i, amount), (j, all)]);
            }
        }
    }
    let ends = [true, false].map(|strongest| bench.dosed_end(stage, draws, strongest).0);
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
        let mut way: Amounts = Vec::new();
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
    // Run full, where that can be; the rest within reach; the fewest stocks; as near as that leaves it.
    type Rank = (bool, (f64, f64), usize, f64);
    let mut best: Option<(Rank, Pass)> = None;
    let consider = |best: &mut Option<(Rank, Pass)>, way: &[(usize, Volume)]| {
        let (after, pours) = poured(task, &start, way, step);
        if is_too_strong(task, &after) {
            return;
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
        let next_bench = bench.of(&next);
        let next_stage = self::stage(&next, &next_bench, step, want.whole);
        let gap = slightly_more(&next_bench, &next_stage, want, &draws[1..], in_litres(step));
        let off = (after.strength().fraction() - wanted).abs();
        let low = task.volume.value - after.volume(&task.blend) > step * 2.0;
        let rank = (low, gap, pass.pours.len(), off);
        if best.as_ref().is_none_or(|(before, _)| rank < *before) {
            *best = Some((rank, pass));
        }
    };
    for way in ways {
        consider(&mut best, &way);
    }
    // Where none of these lets the rest reach it, two stocks by eighths.
    if best
        .as_ref()
        .is_none_or(|((low, gap, ..), _)| *low || gap.0 > NEAR)
    {
        let room = all - least(start.volume(&task.blend), all);
        for i in 0..task.shelf.len() {
            for j in (0..task.shelf.len()).filter(|&j| j != i) {
                for eighths in 1..8 {
                    consider(
                        &mut best,
                        &[(i, room * (f64::from(eighths) / 8.0)), (j, all)],
                    );
                }
            }
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

/// Every last pass that lands, the best first: the draw that was found to the nearest step and its neighbours, then more.
fn last(task: &Task, draw: f64, want: &Want, step: Volume) -> Vec<Pass> {
    let held = task.held();
    let cap = if task.drained {
        litres(0.0)
    } else {
        task.draw_cap(&task.now, task.drawn_since_run)
    };
    let all = (cap >= held && litres(draw) > held - step && held > litres(0.0)).then_some(held);
    let near = if want.on_aim {
        nearest(litres(draw), step)
    } else {
        steps((draw / in_litres(step) + 1e-3).floor(), step)
    };
    let near = (near / step).value.round();
    let drawn = |k: f64| {
        let draw = steps(near + k, step);
        (near + k >= 0.0 && draw <= cap + litres(SLACK_LITRES) && draw <= held).then_some(draw)
    };
    let moves: &[f64] = if want.on_aim {
        &[0.0, 1.0, -1.0, 2.0]
    } else {
        &[0.0, 1.0]
    };
    let mut found: Vec<Pass> = Vec::new();
    for draw in all
        .into_iter()
        .chain(moves.iter().filter_map(|&k| drawn(k)))
    {
        let mut here = Vec::new();
        fills(task, draw, want, step, &mut here);
        // Of the same stocks, the draw that was found before its neighbours, but for what lands on the aim.
        for pass in here {
            let on = is_on(&pass, task, want);
            match found.iter_mut().find(|other| same_stocks(other, &pass)) {
                None => found.push(pass),
                Some(other) if on && !is_on(other, task, want) => *other = pass,
                Some(other) if !want.on_aim && pass.draw < other.draw => *other = pass,
                Some(_) => {}
            }
        }
    }
    if found.is_empty() {
        // One that is only just reached, and lost in rounding: more, by doubling and halving.
        let at = |k: f64| {
            let mut here = Vec::new();
            if let Some(draw) = drawn(k) {
                fills(task, draw, want, step, &mut here);
            }
            here
        };
        let most = ((cap + litres(SLACK_LITRES)) / step).value.floor() - near;
        let (mut short, mut enough) = (moves.last().copied().unwrap_or(0.0), 3.0_f64);
        while found.is_empty() && short < most {
            enough = enough.min(most);
            found = at(enough);
            if found.is_empty() {
                (short, enough) = (enough, 2.0 * enough);
            }
        }
        while !found.is_empty() && enough - short > 1.0 {
            let half = (0.5 * (short + enough)).floor();
            let nearer = at(half);
            if nearer.is_empty() {
                short = half;
            } else {
                (found, enough) = (nearer, half);
            }
        }
    }
    order(&mut found, task, want);
    found
}

/// On the aim, where that is wanted?
fn is_on(pass: &Pass, task: &Task, want: &Want) -> bool {
    !want.on_aim || off(task, &pass.after) <= ON_THE_AIM
}

fn same_stocks(a: &Pass, b: &Pass) -> bool {
    a.pours.len() == b.pours.len()
        && a.pours
            .iter()
            .all(|p| b.pours.iter().any(|q| p.stock == q.stock))
}

/// What can be poured after a draw so that it lands: nothing, one stock, two, or short ones to the last step and up to two
/// more; no more stocks than it takes.
fn fills(task: &Task, draw: Volume, want: &Want, step: Volume, found: &mut Vec<Pass>) {
    let left = task.now.drawn(draw, task.held());
    let dosed = |dose: &Option<DoseOutcome>| {
        let amount = dose.as_ref().map_or(litres(0.0), |d| d.amount);
        let start = task.dosed(&left, amount);
        let over = start.volume(&task.blend) - task.volume.value;
        (over <= above(task, draw) + litres(SLACK_LITRES)).then_some(start)
    };
    // What is poured brings of what is dosed.
    let brings = task.shelf.iter().any(|u| u.level > 0.0);
    let dose = task.dose(&left, &[]);
    let Some(start) = dosed(&dose).or_else(|| brings.then_some(left)) else {
        return;
    };
    let wanted = aim(task, want, &start);
    let count = task.shelf.len();
    let attempt = |way: &[(usize, Volume)], found: &mut Vec<Pass>| {
        let mut dose = dose.clone();
        let begin = if brings { &left } else { &start };
        let (mut after, mut pours) = poured(task, begin, way, step);
        // The dose leaves less room to pour, too: settled by repetition.
        for _ in 0..if brings { 4 } else { 0 } {
            let place = |stock| task.shelf.iter().position(|u| u.stock == stock);
            let went = pours.iter();
            let went: Vec<_> = went
                .filter_map(|p: &Pour| Some((place(p.stock)?, in_litres(p.amount))))
                .collect();
            dose = task.dose(&left, &went);
            let Some(start) = dosed(&dose) else {
                return false;
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
        if pass.pours.len() != way.len() || !lands(task, &pass, want) {
            return false;
        }
        let landed = is_on(&pass, task, want);
        found.push(pass);
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
        let mut bases: Vec<(Amounts, Charge, Vec<usize>)> = Vec::new();
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
                    'orders: for (i, j) in [(a, b), (b, a)] {
                        let Some(amount) = of_two(task, charge, (i, j), wanted) else {
                            continue;
                        };
                        let amount = nearest(amount, step);
                        for amount in [amount, amount + step, most(amount - step, litres(0.0))] {
                            way.extend([(i, amount), (j, task.volume.value)]);
                            let landed = attempt(way, found);
                            way.truncate(way.len() - 2);
                            if landed {
                                done = true;
                                break 'orders;
                            }
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

/// A loop that is right, of which nothing can be drained, and into which the user allows a dose all the same: that the
/// dose dilutes it is no reason against it, down to the loop's lowest strength; but not past a frost it is to bear.
fn only_dosed(task: &Task, pass: &Pass) -> bool {
    task.may_stand_above
        && nothing_comes_out(task)
        && pass.draw <= litres(0.0)
        && pass.pours.is_empty()
        && !task.target.at_least
        && task.target.accepts(&task.now)
        && pass.after.strength().fraction() >= task.lowest - 1e-9
}

fn nothing_comes_out(task: &Task) -> bool {
    task.drained || task.draw_cap(&task.now, task.drawn_since_run) < task.step
}

/// How far above the mark it may stand after drawing so much: not at all, but for what stood above it already and is
/// less than can be measured, and for a dose where nothing can be drained and the user allows it.
fn above(task: &Task, draw: Volume) -> Volume {
    let nothing = litres(0.0);
    let stands = task.held() - task.volume.value;
    let dose = if task.may_stand_above && nothing_comes_out(task) {
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

/// Does the pass end where the aim accepts, at the mark within a step, with enough renewed (within a step)?
fn lands(task: &Task, pass: &Pass, want: &Want) -> bool {
    let short = task.volume.value - pass.after.volume(&task.blend);
    (task.target.accepts(&pass.after) || only_dosed(task, pass))
        && short >= litres(-SLACK_LITRES) - above(task, pass.draw)
        && in_litres(short) < in_litres(pass.step) + 10.0 * SLACK_LITRES
        && (task.renew <= 0.0
            || in_litres(pass.after.old) <= in_litres(task.old_allowed()) + want.met + SLACK_LITRES)
}

/// Puts the better pass first: least drawn (draws within one step count as equal, but for none), on the aim where that is wanted, then
/// the fewest stocks, then what changes a frost aim that is met already the least, else the nearest to the aim, then the
/// least cost.
fn order(found: &mut Vec<Pass>, task: &Task, want: &Want) {
    let drawn = |p: &Pass| in_litres(p.draw);
    let Some(fewest) = found.iter().map(drawn).min_by(f64::total_cmp) else {
        return;
    };
    // Draws within a step count as equal; none at all is less than any.
    let equal = |p: &Pass| {
        if fewest > SLACK_LITRES {
            in_litres(p.step)
        } else {
            0.0
        }
    };
    let near = |p: &Pass| fewest + equal(p) + SLACK_LITRES;
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
    let is_off = |p: &Pass| !is_on(p, task, want);
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
