//! The way taken, the runners-up, and, where there is none, how near one gets and what would change that.

use super::{
    ends::Goal,
    measure::{
        self, Course, Draws, FINEST, MOST_ROUNDS, ON_THE_AIM, Pass, Pour, Want, advance, course,
        fill, finer, off,
    },
    search::{FEW_ENDS, MOST_ENDS, Search},
    spread::{self, HowSure},
    state::Bench,
    task::{DrawLimit, Event, MOST_STOCKS, Task, UNKNOWN, Usable, down, least, most},
};
use crate::engine::{
    caution::Caution,
    dose::{DoseOutcome, SLACK_LITRES},
    mix::Charge,
    packs::Pourable,
    property,
    quantity::{LabelFraction, Volume, in_litres, litres},
};

/// How a plan goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// It is there already.
    Nothing,
    /// The same by the reading, but not at the worst end of its range: to be read again.
    Retest,
    /// Only what is missing is poured.
    TopUp,
    /// One draw, one pour.
    DrawAndPour,
    /// More than one of either, run in between.
    Rounds,
    /// After a drain or a flush.
    Refill,
}

/// A plan for what is left to do.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// How it goes, counting what was already done.
    pub way: Way,
    /// What is left to do, in order; run the loop between two passes. An idle one first: what was done only wants
    /// running.
    pub passes: Vec<Pass>,
    /// What it holds afterwards.
    pub after: Charge,
    /// How sure it is that nothing less will do.
    pub least: Least,
    /// How sure that is.
    pub how_sure: HowSure,
    /// The dose, in the last pass.
    pub dose: Option<DoseOutcome>,
    /// What the last pass may pour instead; `None` where it pours nothing, or a frost aim is met already.
    pub instead: Option<Instead>,
    /// Other ways, the one without a draw first.
    pub runners_up: Vec<RunnerUp>,
    /// What the plan itself has to say; margins are judged elsewhere.
    pub cautions: Vec<Caution>,
}

/// What a plan's last pass may pour, whatever it is mixed from, and end where the aim accepts. Before it all goes as planned.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Instead {
    /// With the plan's draw.
    pub planned: Pourable,
    /// With the least draw that is accepted; of several passes as planned.
    pub lesser: Pourable,
    /// With all that comes out; of several passes as planned.
    pub greatest: Pourable,
    /// With the plan's draw and with the least, filled no further than a measuring step below the mark.
    pub below_the_mark: [Pourable; 2],
}

/// The least there is to draw for what a plan does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Least {
    /// Nothing that ends where this plan does, on the aim or where it is accepted, draws less than this; of what is
    /// still to be drawn.
    pub bound: Volume,
    /// The plan draws no more than that and one measuring step: it is the least there is. Else the best that was found.
    pub proven: bool,
}

/// Another way.
#[derive(Debug, Clone, PartialEq)]
pub struct RunnerUp {
    /// How it goes.
    pub way: Way,
    /// What it draws.
    pub drawn: Volume,
    /// What it pours, in all.
    pub pours: Vec<Pour>,
    /// Rounds it takes.
    pub rounds: u32,
    /// What the loop holds afterwards.
    pub after: Charge,
}

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

/// The least wasteful way from where the task stands.
///
/// # Errors
/// [`PlanError`]: nothing to pour, too many stocks, or an aim that cannot be reached, with how near one gets and
/// what would help.
pub fn plan(task: &Task) -> Result<Plan, PlanError> {
    if task.shelf.len() > MOST_STOCKS {
        return Err(PlanError::TooManyStocks {
            stocks: task.shelf.len(),
        });
    }
    let solved = match solve(task, PLAN) {
        Ok(solved) if !task.shelf.is_empty() || solved.course.passes.iter().all(Pass::is_idle) => {
            solved
        }
        Ok(_) => return Err(PlanError::NothingToPour),
        Err(proven) => return Err(unreachable(task, proven)),
    };
    let course = &solved.course;
    let after = course.passes.last().map_or(task.now, |p| p.after);
    // Shared over rounds, it is still one dose.
    let dosed = course
        .passes
        .iter()
        .fold(litres(0.0), |sum, p| sum + p.dosed());
    let mut dose = course.passes.last().and_then(|p| p.dose.clone());
    if let Some(dose) = &mut dose {
        dose.unrounded += dosed - dose.amount;
        dose.amount = dosed;
    }
    let mut cautions = dose
        .as_ref()
        .map(|d| d.cautions.clone())
        .unwrap_or_default();
    cautions.extend(about_landing(task, course, &after));
    let step = course.passes.last().map_or(task.step, |p| p.step);
    let how_sure = spread::after(task, &course.passes);
    Ok(Plan {
        way: match way(task, &course.passes) {
            Way::Nothing if !survives(task, &after, how_sure.strength) => Way::Retest,
            way => way,
        },
        how_sure,
        least: least_of(task, course, step),
        instead: instead(task, &solved),
        runners_up: runners_up(task, &solved),
        passes: solved.course.passes,
        after,
        dose,
        cautions,
    })
}

/// What the last pass may pour, with the draw of the plan and, where there is one pass, with the least that is accepted:
/// anything that ends where the aim accepts; but where a frost aim is met already, only what changes it least.
fn instead(task: &Task, solved: &Solved) -> Option<Instead> {
    let target = &task.target;
    let passes = &solved.course.passes;
    let last = passes.last().filter(|p| !p.pours.is_empty())?;
    if target.at_least && target.accepts(&task.now) {
        return None;
    }
    let before = match passes.len() {
        1 => task.now,
        more => passes[more - 2].after,
    };
    let held = before.volume(&task.blend);
    let for_draw = |draw: Volume, full: Volume| {
        let left = task.dosed(&before.drawn(draw, held), last.dosed());
        let there = left.concentrate + left.water;
        // So much in all, and of it so much glycol, ends there.
        let ends = |end: f64| {
            let mix = full - left.additive;
            let mut all = mix;
            for _ in 0..3 {
                let glycol = left.glycol_for(end, all);
                let strength = LabelFraction::clamped((glycol / all).value);
                all = mix * task.blend.apart_per_mixed(strength);
            }
            (all - there, left.glycol_for(end, all) - left.concentrate)
        };
        let strongest = (1.0 - (left.additive / task.volume.value).value) * target.most;
        let (weak, strong) = (
            ends(target.low),
            ends(target.high.min(strongest.max(target.low))),
        );
        let strength = |(all, glycol): (Volume, Volume)| {
            LabelFraction::clamped((glycol / most(all, litres(SLACK_LITRES))).value)
        };
        Pourable {
            apart: most(least(weak.0, strong.0), litres(SLACK_LITRES)),
            weakest: strength(weak),
            strongest: strength(strong),
        }
    };
    let mark = task.volume.value;
    let (lesser, greatest) = match passes.len() {
        1 => (
            least(litres(solved.accepted), last.draw),
            task.draw_cap(&task.now, task.drawn_since_run),
        ),
        _ => (last.draw, last.draw),
    };
    let greatest = if task.drained {
        last.draw
    } else {
        most(last.draw, greatest)
    };
    // The mark is met within a measuring step below it.
    Some(Instead {
        planned: for_draw(last.draw, mark),
        lesser: for_draw(lesser, mark),
        greatest: for_draw(greatest, mark),
        below_the_mark: [last.draw, lesser].map(|draw| for_draw(draw, mark - last.step)),
    })
}

/// Draws are measured: no total is between two steps, unless one takes all there is.
fn least_of(task: &Task, course: &Course, step: Volume) -> Least {
    let (bound, step) = (course.bound, in_litres(step));
    let whole = (bound / step - 1e-3).ceil().max(0.0) * step;
    let all = (bound..=whole).contains(&in_litres(task.held()));
    let bound = if all { bound } else { bound.max(whole) };
    Least {
        bound: litres(bound),
        proven: course.drawn() <= bound + step + SLACK_LITRES,
    }
}

/// Does the worst end of the range survive the coldest?
fn survives(task: &Task, after: &Charge, plus_minus: f64) -> bool {
    task.coldest.is_none_or(|coldest| {
        let worst = property::freezes_first(task.blend.glycol(), after.strength(), plus_minus);
        worst.is_ok_and(|worst| worst.below(coldest).value >= 0.0)
    })
}

/// The passes of the same plan alone, where there is one: what the rest of a card is while more entries follow.
pub fn rest(task: &Task) -> Option<Vec<Pass>> {
    if task.shelf.len() > MOST_STOCKS {
        return None;
    }
    let passes = solve(task, PLAN).ok()?.course.passes;
    (!task.shelf.is_empty() || passes.iter().all(Pass::is_idle)).then_some(passes)
}

/// What is spent on a plan, and on a question beside it.
#[derive(Clone, Copy)]
struct Effort {
    /// Ends worked out at most, in one search.
    ends: u32,
    /// A renewal is met to the drop: what is advised has room to spare.
    to_the_drop: bool,
}

const PLAN: Effort = Effort {
    ends: MOST_ENDS,
    to_the_drop: false,
};
const HELP: Effort = Effort {
    ends: FEW_ENDS,
    to_the_drop: true,
};

/// A plan, and the one that draws less by landing where the aim accepts.
struct Solved {
    course: Course,
    lesser: Option<Course>,
    /// Nothing that ends where the aim accepts draws less, in litres.
    accepted: f64,
}

/// The plan in amounts that can be measured; a finer measure where the usual one is too coarse for it, or finds none. The
/// error says whether there is none whatever.
fn solve(task: &Task, effort: Effort) -> Result<Solved, bool> {
    let lowered = lowered(task);
    if lowered.is_empty() && task.unstirred {
        let over = task.held() - task.volume.value;
        let solved = solve_at_the_mark(task, effort);
        let draws = |s: &Solved| s.course.passes.first().is_some_and(|p| p.draw >= task.step);
        if over >= task.step || solved.as_ref().is_ok_and(|s| !draws(s)) {
            return solved;
        }
        // It is run first, and then drawn of.
        let run = task.after(Event::Ran, task.step);
        let idle = Pass {
            draw: litres(0.0),
            dose: None,
            pours: Vec::new(),
            after: task.now,
            step: task.step,
        };
        let rest = solve_at_the_mark(&run, effort)?;
        let begun = |course: Course| Course {
            passes: std::iter::once(idle.clone()).chain(course.passes).collect(),
            others: Vec::new(),
            bound: course.bound,
        };
        return Ok(Solved {
            course: begun(rest.course),
            lesser: rest.lesser.map(begun),
            accepted: rest.accepted,
        });
    }
    if let Some(last) = lowered.last() {
        // What comes out before it is at the mark comes out whatever is poured then.
        let mut task = task.clone();
        for pass in &lowered {
            advance(&mut task, pass);
        }
        task.now = last.after;
        (task.unmixed, task.unstirred) = (false, false);
        let first: f64 = lowered.iter().map(|p| in_litres(p.draw)).sum();
        let begun = |course: Course| Course {
            passes: lowered.iter().cloned().chain(course.passes).collect(),
            others: Vec::new(),
            bound: course.bound + first,
        };
        let rest = solve_at_the_mark(&task, effort)?;
        return Ok(Solved {
            course: begun(rest.course),
            lesser: rest.lesser.map(begun),
            accepted: rest.accepted + first,
        });
    }
    solve_at_the_mark(task, effort)
}

/// What stands further above the mark than comes out at once is drawn first, and nothing poured, in as many rounds as that
/// takes but the last.
fn lowered(task: &Task) -> Vec<Pass> {
    let mut task = task.clone();
    let mut passes = Vec::new();
    while passes.len() < MOST_ROUNDS && !task.drained {
        let cap = down(task.draw_cap(&task.now, task.drawn_since_run), task.step);
        let over = task.held() - task.volume.value;
        if cap < task.step || over < task.step || over <= cap + litres(SLACK_LITRES) {
            break;
        }
        let pass = Pass {
            draw: cap,
            dose: None,
            pours: Vec::new(),
            after: task.now.drawn(cap, task.held()),
            step: task.step,
        };
        advance(&mut task, &pass);
        passes.push(pass);
    }
    passes
}

fn solve_at_the_mark(task: &Task, effort: Effort) -> Result<Solved, bool> {
    let usual = solved_at(task, task.step, effort);
    let Ok(mut solved) = usual else {
        let finest = solved_at(task, litres(FINEST), effort);
        let finest = finest.map_err(|proven| proven && usual.is_err_and(|p| p))?;
        let between = finer(task.step).find_map(|step| solved_at(task, step, effort).ok());
        return Ok(between.unwrap_or(finest));
    };
    if let Some(wanted) = solved.course.wants_finer(task) {
        for step in finer(task.step) {
            // A finer measure can miss where a coarser one landed: the dose keeps its own step.
            solved = solved_at(task, step, effort).unwrap_or(solved);
            if step <= wanted || in_litres(step) < 2e-3 {
                break;
            }
        }
    }
    Ok(solved)
}

fn solved_at(task: &Task, step: Volume, effort: Effort) -> Result<Solved, bool> {
    let target = &task.target;
    let met = if effort.to_the_drop {
        0.0
    } else {
        in_litres(step)
    };
    let within = Want {
        goal: Goal {
            low: target.low,
            high: target.high,
            most: target.most,
        },
        on_aim: false,
        slack: 0.0,
        met,
        whole: true,
    };
    let aim = target.aim.fraction();
    let on_aim = Want {
        goal: Goal {
            low: aim,
            high: aim,
            most: target.most,
        },
        on_aim: true,
        whole: false,
        ..within
    };
    // What lands without a draw draws least.
    if let Some(course) = measure::undrawn(task, &within, step) {
        return Ok(Solved {
            course,
            lesser: None,
            accepted: 0.0,
        });
    }
    let bench = Bench::new(task);
    let stages = [false, true].map(|whole| measure::stage(task, &bench, step, whole));
    let Draws { later, rounds } = measure::draws(task, step, MOST_ROUNDS);
    let search = |want: &Want| {
        let wanted = (want.goal, want.slack);
        let stage = &stages[usize::from(want.whole)];
        let limits = (later, rounds);
        Search::new(&bench, stage, wanted, in_litres(step), limits, effort.ends)
    };
    // A renewal is met within a step: where that saves more than one, or a round, it is made use of.
    let found = |want: Want| {
        let exact = search(&want).least();
        if task.renew <= 0.0 || met <= 0.0 {
            return (want, exact);
        }
        let slack = met;
        let nearly = Want { slack, ..want };
        match (exact, search(&nearly).least()) {
            (exact, Err(_)) => (want, exact),
            (Ok(exact), Ok(less))
                if exact.draws.len() <= less.draws.len()
                    && exact.total() <= less.total() + 1.02 * slack =>
            {
                (want, Ok(exact))
            }
            (_, less) => (nearly, less),
        }
    };
    let (within, accepted) = found(within);
    let landing = match &accepted {
        Ok(accepted) if !target.at_least => {
            // What has to be drawn whatever the mix: renewing, and room for the dose.
            let whatever = Want {
                goal: Goal {
                    low: 0.0,
                    high: 1.0,
                    most: 1.0,
                },
                ..within
            };
            let forced = search(&whatever).bound().unwrap_or(0.0);
            let needs_more = accepted.total() > forced + 1e-4;
            // On the aim itself, or as near as counts as on it.
            let near = Want {
                goal: Goal {
                    low: target.low.max(aim - 0.9 * ON_THE_AIM),
                    high: target.high.min(aim + 0.9 * ON_THE_AIM),
                    most: target.most,
                },
                whole: true,
                ..on_aim
            };
            let exact = [on_aim, near].into_iter().find_map(|want| {
                let (want, exact) = found(want);
                exact.ok().map(|exact| (want, exact))
            });
            exact.filter(|(_, exact)| needs_more && exact.draws.len() <= accepted.draws.len())
        }
        _ => None,
    };
    let least_accepted = accepted.as_ref().map_or(0.0, |found| found.bound);
    let anywhere = || course(task, &within, accepted.as_ref().ok()?, step);
    let landed = landing.and_then(|(on_aim, exact)| course(task, &on_aim, &exact, step));
    if let Some(course) = landed {
        let saves = in_litres(step) + SLACK_LITRES;
        let less = accepted
            .as_ref()
            .is_ok_and(|a| a.total() < course.drawn() - saves);
        let lesser = anywhere().filter(|lesser| less && lesser.drawn() < course.drawn() - saves);
        return Ok(Solved {
            course,
            lesser,
            accepted: least_accepted,
        });
    }
    match anywhere() {
        Some(course) => Ok(Solved {
            course,
            lesser: None,
            accepted: least_accepted,
        }),
        None => Err(matches!(accepted, Err(None))),
    }
}

fn way(task: &Task, passes: &[Pass]) -> Way {
    let idle = matches!(passes, [pass] if pass.is_idle());
    let rounds = if idle { 0 } else { passes.len() } + task.rounds_so_far as usize;
    let drawn = passes.iter().fold(task.drawn_so_far, |sum, p| sum + p.draw);
    let begun = task.unmixed || task.unchecked || task.rounds_so_far > 0;
    match rounds {
        0 | 1 if task.drained => Way::Refill,
        0 if !begun => Way::Nothing,
        0 | 1 if in_litres(drawn) <= SLACK_LITRES => Way::TopUp,
        0 | 1 => Way::DrawAndPour,
        _ => Way::Rounds,
    }
}

fn about_landing(task: &Task, course: &Course, after: &Charge) -> Vec<Caution> {
    let mut cautions = Vec::new();
    if let Some(step) = course
        .passes
        .iter()
        .map(|p| p.step)
        .find(|&s| s < task.step)
    {
        cautions.push(Caution::FinerStep {
            step_litres: in_litres(step),
        });
    }
    let idle = course.passes.iter().all(Pass::is_idle);
    let is_on_it = task.target.at_least || off(task, after) <= ON_THE_AIM;
    if !is_on_it && !idle {
        cautions.push(Caution::LandsWithin {
            percent: after.strength().percent(),
            aim: task.target.aim.percent(),
        });
    }
    let above = after.volume(&task.blend) - task.volume.value;
    let dosed = course.passes.iter().any(|p| p.dosed() > litres(0.0));
    if dosed && above > litres(SLACK_LITRES) {
        cautions.push(Caution::DoseAboveMark {
            over_litres: in_litres(above),
        });
    }
    let over = task.held() - task.volume.value;
    if over >= task.step {
        cautions.push(Caution::OverfillCold {
            over_litres: in_litres(over),
        });
    }
    cautions
}

fn runners_up(task: &Task, solved: &Solved) -> Vec<RunnerUp> {
    let mut list = Vec::new();
    let course = &solved.course;
    if course.drawn() > SLACK_LITRES {
        let (after, pours) =
            furthest_fill(task, task.now).unwrap_or_else(|| (task.now, Vec::new()));
        let way = if pours.is_empty() {
            Way::Nothing
        } else {
            Way::TopUp
        };
        list.push(RunnerUp {
            way,
            drawn: litres(0.0),
            pours,
            rounds: 1,
            after,
        });
    }
    list.extend(
        solved
            .lesser
            .iter()
            .map(|lesser| runner_up(task, &lesser.passes)),
    );
    let mut said = vec![runner_up(task, &course.passes)];
    said.extend(list.iter().cloned());
    for pass in &course.others {
        let other = runner_up(task, std::slice::from_ref(pass));
        if said.len() < list.len() + 4 && said.iter().all(|s| differ(s, &other)) {
            said.push(other);
        }
    }
    list.extend(said.split_off(list.len() + 1));
    list
}

/// Do two ways draw or pour other amounts, in whatever order?
fn differ(a: &RunnerUp, b: &RunnerUp) -> bool {
    a.drawn != b.drawn
        || a.pours.len() != b.pours.len()
        || a.pours.iter().any(|pour| !b.pours.contains(pour))
}

fn runner_up(task: &Task, passes: &[Pass]) -> RunnerUp {
    RunnerUp {
        way: way(task, passes),
        drawn: passes.iter().fold(litres(0.0), |sum, p| sum + p.draw),
        pours: passes
            .iter()
            .flat_map(|p| p.pours.iter().copied())
            .collect(),
        rounds: passes.len() as u32,
        after: passes.last().map_or(task.now, |p| p.after),
    }
}

fn unreachable(task: &Task, proven: bool) -> PlanError {
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
fn furthest_fill(task: &Task, charge: Charge) -> Option<(Charge, Vec<Pour>)> {
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
