//! From draws to a card: rounds in amounts that can be measured, each reckoned anew from what the one before really leaves.
//!
//! A draw before the last is rounded up to a step, none above its limit. A round before the last is run full and pours what
//! still lets the rest of the draws reach the goal, in the fewest stocks; [`super::last`] does the last. What rounding takes
//! is made up for by a few steps more.
//!
//! Nothing here is proven: that it costs no more than a step is held against an independent search that measures
//! (`tests/laws/optimum.rs`), and a plan says so by its bound.

use super::{
    ends::Stage,
    last::{aim, fills, last, of_two, order, poured},
    pass::{Amounts, Course, MOST_ROUNDS, Pass, Want, advance},
    search::{FEW_ENDS, Found, Search},
    state::{Bench, State},
    task::{Task, down, least, steps},
};
use crate::engine::{
    dose::{DoseOutcome, LabelRate, SLACK_LITRES},
    mix::Charge,
    quantity::{Volume, in_litres, litres},
    range::held,
};

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
