//! A plan in amounts that can be measured: from the search to a card, on the aim or where it is accepted, and with a finer
//! measure where the usual one is too coarse.

use super::{
    ends::Goal,
    measure::{self, Draws, course},
    pass::{Course, FINEST, MOST_ROUNDS, ON_THE_AIM, Pass, Want, advance, finer},
    search::{FEW_ENDS, MOST_ENDS, Search},
    state::Bench,
    task::{Event, Task, down},
};
use crate::engine::{
    dose::SLACK_LITRES,
    quantity::{Volume, in_litres, litres},
};

/// What is spent on a plan, and on a question beside it.
#[derive(Clone, Copy)]
pub(super) struct Effort {
    /// Ends worked out at most, in one search.
    ends: u32,
    /// A renewal is met to the drop: what is advised has room to spare.
    to_the_drop: bool,
}

pub(super) const PLAN: Effort = Effort {
    ends: MOST_ENDS,
    to_the_drop: false,
};

pub(super) const HELP: Effort = Effort {
    ends: FEW_ENDS,
    to_the_drop: true,
};

/// A plan, and the one that draws less by landing where the aim accepts.
pub(super) struct Solved {
    pub course: Course,
    pub lesser: Option<Course>,
    /// Nothing that ends where the aim accepts draws less, in litres.
    pub accepted: f64,
}

/// The plan in amounts that can be measured; a finer measure where the usual one is too coarse for it, or finds none. The
/// error says whether there is none whatever.
pub(super) fn solve(task: &Task, effort: Effort) -> Result<Solved, bool> {
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
