//! Why there is no plan: how near one gets, and what would change that, each tried out.

use super::{
    ends::Goal,
    measure::{self, Draws},
    pass::{MOST_ROUNDS, Pass, Pour, advance, fill},
    search::{FEW_ENDS, Search},
    solve::{HELP, solve},
    state::Bench,
    task::{DrawLimit, Task, UNKNOWN, Usable, down, least},
};
use crate::engine::{
    dose::SLACK_LITRES,
    mix::Charge,
    quantity::{LabelFraction, Volume, in_litres, litres},
};

/// The nearest to the aim that can be reached.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Best {
    /// What the loop would hold.
    pub after: Charge,
    /// What would be drawn for it.
    pub drawn: Volume,
    /// Rounds it would take; 0: as it stands.
    pub rounds: u32,
}

/// What would make the aim reachable.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Remedy {
    /// Drain so much more before pouring.
    DrainMore(Volume),
    /// Let the dose stand so far above the mark.
    StandAboveMark(Volume),
    /// So many rounds in all, more than a plan is made for.
    MoreRounds(u32),
    /// More of what is on the shelf.
    MoreOfAStock,
    /// A stronger stock (concentrate).
    StrongerStock,
    /// A weaker stock (water).
    WeakerStock,
    /// Say what supplement the stocks bring: with it in them there may be less to dose, or nothing.
    SayWhatIsBrought,
    /// Both of them, and so much drained before.
    BothStocks {
        /// Where more has to come out as well.
        drain: Option<Volume>,
    },
}

/// Why there is no plan.
#[derive(Debug, Clone, PartialEq)]
pub enum PlanError {
    /// The aim lies outside the loop's limits. Fractions.
    AimOutsideLimits {
        /// Aimed for.
        aim: f64,
        /// Lowest admitted.
        low: f64,
        /// Highest admitted.
        high: f64,
    },
    /// Nothing on the shelf suits this loop.
    NothingToPour,
    /// More stocks than the exact search takes.
    TooManyStocks {
        /// How many there are.
        stocks: usize,
    },
    /// No way lands on the aim.
    Unreachable {
        /// Without the dose there is one: it is the dose that finds no room.
        for_the_dose: bool,
        /// How near one gets.
        best: Option<Best>,
        /// What would help.
        remedies: Vec<Remedy>,
        /// Nothing whatever reaches it; else nothing was found that does.
        proven: bool,
    },
    /// The aim can be landed on, but not with so much of the old charge replaced.
    Unrenewed {
        /// The share to replace.
        asked: f64,
        /// The rounds that can be made, up to what a plan may take, and the share they replace.
        replaced: Option<(u32, f64)>,
        /// What would help.
        remedies: Vec<Remedy>,
        /// Nothing whatever reaches it; else nothing was found that does.
        proven: bool,
    },
}

pub(super) fn unreachable(task: &Task, proven: bool) -> PlanError {
    if task.shelf.is_empty() {
        return PlanError::NothingToPour;
    }
    let passes = furthest(task);
    let remedies = remedies(task);
    let without = |change: &dyn Fn(&mut Task)| {
        let mut changed = task.clone();
        change(&mut changed);
        solve(&changed, HELP).is_ok()
    };
    let replaced = replaced(task, &passes);
    // Where enough is replaced and it still does not land, the strength is what cannot be had.
    if replaced.is_none_or(|(_, share)| share < task.renew - 1e-9)
        && task.renew > 0.0
        && without(&|t| t.renew = 0.0)
    {
        return PlanError::Unrenewed {
            asked: task.renew,
            replaced,
            remedies,
            proven,
        };
    }
    let above = Task {
        may_stand_above: true,
        ..task.clone()
    };
    let mut remedies = remedies;
    if !task.may_stand_above && task.dosing.is_some() && task.fits_above > litres(0.0) {
        let solved = solve(&above, HELP).ok();
        let last = solved.as_ref().and_then(|s| s.course.passes.last());
        let stands = |pass: &Pass| pass.after.volume(&task.blend) - task.volume.value;
        remedies.extend(last.map(stands).map(Remedy::StandAboveMark));
    }
    PlanError::Unreachable {
        for_the_dose: task.dosing.is_some() && without(&|t| t.dosing = None),
        best: nearest(task, &passes),
        remedies,
        proven,
    }
}

/// All that comes out each time, and what brings it nearest to the aim poured in its place.
fn furthest(task: &Task) -> Vec<Pass> {
    let mut task = task.clone();
    let mut passes = Vec::new();
    let rounds = if task.draw_is_limited() {
        MOST_ROUNDS
    } else {
        1
    };
    for _ in 0..rounds {
        let mut draw = down(task.draw_cap(&task.now, task.drawn_since_run), task.step);
        if task.drained {
            draw = litres(0.0);
        }
        let left = task.now.drawn(draw, task.held());
        let Some((after, pours)) = furthest_fill(&task, left) else {
            break;
        };
        let pass = Pass {
            draw,
            dose: None,
            pours,
            after,
            step: task.step,
        };
        if pass.is_idle() && !task.unmixed && !task.drained {
            break;
        }
        advance(&mut task, &pass);
        (task.unmixed, task.drained) = (false, false);
        passes.push(pass);
    }
    passes
}

/// Fills to the mark with what brings the strength nearest to the aim, stock after stock where there is too little of one.
pub(super) fn furthest_fill(task: &Task, charge: Charge) -> Option<(Charge, Vec<Pour>)> {
    let landing = task.target.landing(charge.strength());
    let rising = charge.strength() <= landing;
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
    let (mut charge, mut pours) = (charge, Vec::new());
    for usable in order {
        let room = fill(task, &charge, usable.strength);
        let amount = down(least(room, usable.have.unwrap_or(room)), task.step);
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
fn full(task: &Task, charge: &Charge) -> bool {
    task.volume.value - charge.volume(&task.blend) < task.step * 2.0
}

/// The rounds up to the last that fills the loop, and the share of the old charge they replace.
fn replaced(task: &Task, passes: &[Pass]) -> Option<(u32, f64)> {
    let last = passes.iter().rposition(|p| full(task, &p.after))?;
    let share = 1.0 - (passes[last].after.old / task.renew_of).value;
    Some((last as u32 + 1, share))
}

/// The nearest one comes to the aim (to a tenth of a point), with least drawn: filled without a draw, as it stands, after
/// one draw that what there is can fill again, or after rounds that draw all they can and leave it full. A loop that
/// nothing fills is told of as the rounds leave it, and one of unknown contents not at all.
fn nearest(task: &Task, passes: &[Pass]) -> Option<Best> {
    if task.plus_minus >= UNKNOWN {
        return None;
    }
    let nothing = litres(0.0);
    let mut ways = Vec::new();
    if let Some((after, pours)) = furthest_fill(task, task.now)
        && full(task, &after)
        && !pours.is_empty()
    {
        ways.push(Best {
            after,
            drawn: nothing,
            rounds: 1,
        });
    }
    if task.held() > nothing {
        ways.push(Best {
            after: task.now,
            drawn: nothing,
            rounds: 0,
        });
    }
    if let Some((after, drawn)) = exchanged(task) {
        ways.push(Best {
            after,
            drawn,
            rounds: 1,
        });
    }
    let (filled, empty) = (!ways.is_empty(), task.held() <= nothing);
    let mut drawn = nothing;
    for (i, pass) in passes.iter().enumerate() {
        drawn += pass.draw;
        if full(task, &pass.after) || empty && !filled {
            ways.push(Best {
                after: pass.after,
                drawn,
                rounds: i as u32 + 1,
            });
        }
    }
    let off = |way: &Best| {
        let phi = way.after.strength();
        (phi.fraction() - task.target.edge(phi).fraction()).abs()
    };
    let smallest = ways.iter().map(off).min_by(f64::total_cmp)?;
    ways.into_iter().find(|way| off(way) <= smallest + 0.001)
}

/// How often a draw is made less by what mixing shrinks: each time leaves a fiftieth.
const SHRINKS: usize = 4;

/// One draw of no more than the short stocks can fill again, and what the loop then holds.
fn exchanged(task: &Task) -> Option<(Charge, Volume)> {
    let now = task.now.strength();
    let rising = now < task.target.edge(now);
    let helpful = task.shelf.iter().filter(|u| (u.strength > now) == rising);
    let there = helpful.map(|u| u.have).sum::<Option<Volume>>()?;
    let missing = task.volume.value - task.held();
    let draw = least(
        task.draw_cap(&task.now, task.drawn_since_run),
        there - missing,
    );
    let mut draw = down(draw, task.step);
    for _ in 0..SHRINKS {
        let left = task.now.drawn(draw, task.held());
        let (after, _) = furthest_fill(task, left)?;
        if full(task, &after) {
            return (draw >= task.step).then_some((after, draw));
        }
        // Mixing takes less room than what was poured.
        draw = down(
            draw - (task.volume.value - after.volume(&task.blend)),
            task.step,
        );
    }
    None
}

/// What would help: each change by itself, tried out; where none does, several together.
fn remedies(task: &Task) -> Vec<Remedy> {
    let mut list = Vec::new();
    let free = |task: &mut Task| {
        task.draw_limit = DrawLimit::default();
        task.drained = false;
    };
    let fill = |task: &mut Task| task.shelf.iter_mut().for_each(|u| u.have = None);
    let add = |task: &mut Task, strength: f64| {
        let place = if strength > 0.5 { 0 } else { task.shelf.len() };
        let bought = Usable {
            stock: usize::MAX,
            strength: LabelFraction::clamped(strength),
            plus_minus: 0.0,
            have: None,
            price: None,
            level: 0.0,
        };
        task.shelf.insert(place, bought);
    };
    let with = |change: &dyn Fn(&mut Task)| {
        let mut changed = task.clone();
        change(&mut changed);
        let passes = solve(&changed, HELP).ok()?.course.passes;
        Some(passes.iter().fold(litres(0.0), |sum, p| sum + p.draw))
    };
    list.extend(
        with(&free)
            .filter(|&drawn| in_litres(drawn) > SLACK_LITRES)
            .map(Remedy::DrainMore),
    );
    list.extend(longer(task));
    if task.shelf.iter().any(|u| u.have.is_some()) && with(&fill).is_some() {
        list.push(Remedy::MoreOfAStock);
    }
    // More of what is there already has been tried.
    let has = |fits: fn(f64) -> bool| task.shelf.iter().any(|u| fits(u.strength.fraction()));
    if !has(|phi| phi > 0.999) && with(&|t| add(t, 1.0)).is_some() {
        list.push(Remedy::StrongerStock);
    }
    if !has(|phi| phi < 0.001) && with(&|t| add(t, 0.0)).is_some() {
        list.push(Remedy::WeakerStock);
    }
    if list.is_empty() {
        let both = |t: &mut Task| {
            add(t, 1.0);
            add(t, 0.0);
        };
        let drained = || {
            with(&|t| {
                both(t);
                free(t);
            })
        };
        if with(&both).is_some() {
            list.push(Remedy::BothStocks { drain: None });
        } else if let Some(drawn) = drained() {
            let drain = Some(drawn);
            list.push(Remedy::BothStocks { drain });
        }
    }
    list
}

/// More rounds than a plan is made for, where so many would do.
fn longer(task: &Task) -> Option<Remedy> {
    if !task.draw_is_limited() {
        return None;
    }
    let bench = Bench::new(task);
    let stage = measure::stage(task, &bench, task.step, true);
    let goal = Goal {
        low: task.target.low,
        high: task.target.high,
        most: task.target.most,
    };
    let Draws { later, rounds } = measure::draws(task, task.step, 5 * MOST_ROUNDS);
    let limits = (later, rounds);
    let step = in_litres(task.step);
    let found = Search::new(&bench, &stage, (goal, 0.0), step, limits, FEW_ENDS)
        .least()
        .ok()?;
    let rounds = found.draws.len();
    (rounds > MOST_ROUNDS).then_some(Remedy::MoreRounds(rounds as u32))
}
