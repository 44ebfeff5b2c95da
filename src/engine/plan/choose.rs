//! The way taken, with what there is to say of it, and the runners-up.

use super::{
    instead::{Instead, instead},
    pass::{Course, ON_THE_AIM, Pass, Pour, off},
    refuse::{PlanError, furthest_fill, unreachable},
    solve::{PLAN, Solved, solve},
    spread::{self, HowSure},
    task::{MOST_STOCKS, Task},
};
use crate::engine::{
    caution::Caution,
    dose::{DoseOutcome, SLACK_LITRES},
    mix::Charge,
    property,
    quantity::{Volume, in_litres, litres},
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
            // What fails by the reading itself is no matter of how sure it is.
            Way::Nothing
                if survives(task, &after, 0.0) && !survives(task, &after, how_sure.strength) =>
            {
                Way::Retest
            }
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
