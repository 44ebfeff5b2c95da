//! The last pass: everything that lands, in amounts that can be measured.
//!
//! Rounding: the draw that lands, to the nearest step, and its neighbours; the dose down; each pour but the last to the nearest
//! step, the last one down so that the mark is never passed. With each draw every stock is tried, every two, and short ones
//! to the last step with one or two more. Of what lands the order of [`super`] takes the first.

use super::{
    pass::{Amounts, ON_THE_AIM, Pass, Pour, Want, fill, off},
    task::{Task, down, least, most, nearest, steps},
};
use crate::engine::{
    dose::{DoseOutcome, SLACK_LITRES},
    mix::Charge,
    order::in_order,
    quantity::{LabelFraction, Volume, in_litres, litres},
    range::held,
};

/// Short stocks that are tried to the last step, at most.
const MOST_CAPPED: usize = 6;

/// Every last pass that lands, the best first: the draw that was found to the nearest step and its neighbours, then more.
pub(super) fn last(task: &Task, draw: f64, want: &Want, step: Volume) -> Vec<Pass> {
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

/// What can be poured after a draw so that it lands: nothing, one stock, two, or short ones to the last step and up to two
/// more; no more stocks than it takes.
pub(super) fn fills(task: &Task, draw: Volume, want: &Want, step: Volume, found: &mut Vec<Pass>) {
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

/// What these amounts come to, none over what there is or what there is room for.
pub(super) fn poured(
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
pub(super) fn of_two(
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

/// The strength to reckon for.
pub(super) fn aim(task: &Task, want: &Want, charge: &Charge) -> LabelFraction {
    if want.on_aim {
        task.target.aim
    } else {
        task.target.landing(charge.strength())
    }
}

/// Does the pass end where the aim accepts, at the mark within a step, with enough renewed (within a step)?
pub(super) fn lands(task: &Task, pass: &Pass, want: &Want) -> bool {
    let short = task.volume.value - pass.after.volume(&task.blend);
    (task.target.accepts(&pass.after) || only_dosed(task, pass))
        && short >= litres(-SLACK_LITRES) - above(task, pass.draw)
        && in_litres(short) < in_litres(pass.step) + 10.0 * SLACK_LITRES
        && (task.renew <= 0.0
            || in_litres(pass.after.old) <= in_litres(task.old_allowed()) + want.met + SLACK_LITRES)
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

fn nothing_comes_out(task: &Task) -> bool {
    task.drained || task.draw_cap(&task.now, task.drawn_since_run) < task.step
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

/// Puts the better pass first: least drawn (draws within one step count as equal, but for none), on the aim where that is wanted, then
/// the fewest stocks, then what changes a frost aim that is met already the least, else the nearest to the aim, then the
/// least cost.
pub(super) fn order(found: &mut Vec<Pass>, task: &Task, want: &Want) {
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
