//! The way taken, the runners-up, and, where there is none, how near one gets and what would change that.

use super::{
    pass::{Pass, Pour},
    rounds::{self, Course, MOST_ROUNDS, course, full, furthest_fill},
    spread::{self, HowSure},
    task::{DrawLimit, MOST_STOCKS, Task, UNKNOWN, Usable, down, least},
};
use crate::engine::{
    caution::Caution,
    dose::{DoseOutcome, SLACK_LITRES},
    mix::Charge,
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
    /// How sure that is.
    pub how_sure: HowSure,
    /// The dose, in the last pass.
    pub dose: Option<DoseOutcome>,
    /// Other ways, the one without a draw first.
    pub runners_up: Vec<RunnerUp>,
    /// What the plan itself has to say; margins are judged elsewhere.
    pub cautions: Vec<Caution>,
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
    },
    /// The aim can be landed on, but not with so much of the old charge replaced.
    Unrenewed {
        /// The share to replace.
        asked: f64,
        /// The rounds that can be made, up to what a plan may take, and the share they replace.
        replaced: Option<(u32, f64)>,
        /// What would help.
        remedies: Vec<Remedy>,
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
    let (course, longer) = found(task);
    if !course.lands {
        return Err(unreachable(task, &course, longer));
    }
    let after = course.passes.last().map_or(task.now, |p| p.after);
    let dose = course.passes.last().and_then(|p| p.dose.clone());
    let mut cautions = dose
        .as_ref()
        .map(|d| d.cautions.clone())
        .unwrap_or_default();
    cautions.extend(about_landing(task, &course, &after));
    let how_sure = spread::after(task, &course.passes);
    Ok(Plan {
        way: match way(task, &course.passes) {
            Way::Nothing if !survives(task, &after, how_sure.strength) => Way::Retest,
            way => way,
        },
        how_sure,
        runners_up: runners_up(task, &course),
        passes: course.passes,
        after,
        dose,
        cautions,
    })
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
    let (course, _) = found(task);
    course.lands.then_some(course.passes)
}

/// The course, and what a longer one would do where none lands.
fn found(task: &Task) -> (Course, Option<Remedy>) {
    let course = course(task, MOST_ROUNDS);
    if course.lands || !task.draw_is_limited() {
        return (course, None);
    }
    let tried = rounds::course(task, 5 * MOST_ROUNDS);
    match tried.passes.len() {
        _ if !tried.lands => (course, None),
        // With more rounds to look ahead, the short stocks fell so that fewer do.
        few if few <= MOST_ROUNDS => (tried, None),
        many => (course, Some(Remedy::MoreRounds(many as u32))),
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
    if !rounds::on_the_aim(task, after) && !idle {
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

fn runners_up(task: &Task, course: &Course) -> Vec<RunnerUp> {
    let mut list = Vec::new();
    let draws = in_litres(course.drawn()) > SLACK_LITRES;
    if draws
        && let Some((after, pours)) = furthest_fill(task, task.now).or(Some((task.now, Vec::new())))
    {
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
    if let [chosen] = &course.passes[..] {
        let differs = |p: &&Pass| p.draw != chosen.draw || p.pours != chosen.pours;
        let others = course.others.iter().filter(differs);
        list.extend(others.take(3).map(|pass| RunnerUp {
            way: way(task, std::slice::from_ref(pass)),
            drawn: pass.draw,
            pours: pass.pours.clone(),
            rounds: 1,
            after: pass.after,
        }));
    }
    list
}

fn unreachable(task: &Task, course: &Course, longer: Option<Remedy>) -> PlanError {
    if task.shelf.is_empty() {
        return PlanError::NothingToPour;
    }
    let remedies = remedies(task, longer);
    let unrenewed = Task {
        renew: 0.0,
        ..task.clone()
    };
    let replaced = replaced(task, course);
    // Where enough is replaced and it still does not land, the strength is what cannot be had.
    if replaced.is_none_or(|(_, share)| share < task.renew - 1e-9)
        && task.renew > 0.0
        && rounds::course(&unrenewed, MOST_ROUNDS).lands
    {
        return PlanError::Unrenewed {
            asked: task.renew,
            replaced,
            remedies,
        };
    }
    let undosed = Task {
        dosing: None,
        ..task.clone()
    };
    let above = Task {
        may_stand_above: true,
        ..task.clone()
    };
    let mut remedies = remedies;
    if !task.may_stand_above && task.dosing.is_some() && task.fits_above > litres(0.0) {
        let course = rounds::course(&above, MOST_ROUNDS);
        let stands = |pass: &Pass| pass.after.volume(&task.blend) - task.volume.value;
        let over = course.passes.last().filter(|_| course.lands).map(stands);
        remedies.extend(over.map(Remedy::StandAboveMark));
    }
    PlanError::Unreachable {
        for_the_dose: task.dosing.is_some() && rounds::course(&undosed, MOST_ROUNDS).lands,
        best: nearest(task, course),
        remedies,
    }
}

/// The rounds up to the last that fills the loop, and the share of the old charge they replace.
fn replaced(task: &Task, course: &Course) -> Option<(u32, f64)> {
    let last = course.passes.iter().rposition(|p| full(task, &p.after))?;
    let share = 1.0 - (course.passes[last].after.old / task.renew_of).value;
    Some((last as u32 + 1, share))
}

/// The nearest one comes to the aim (to a tenth of a point), with least drawn: filled without a draw, as it stands, after
/// one draw that what there is can fill again, or after rounds that draw all they can and leave it full. A loop that
/// nothing fills is told of as the rounds leave it, and one of unknown contents not at all.
fn nearest(task: &Task, course: &Course) -> Option<Best> {
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
    for (i, pass) in course.passes.iter().enumerate() {
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
    let draw = down(draw, task.step);
    let left = task.now.drawn(draw, task.held());
    let (after, _) = furthest_fill(task, left).filter(|(after, _)| full(task, after))?;
    (draw >= task.step).then_some((after, draw))
}

/// What would help: each change by itself, tried out; where none does, several together.
fn remedies(task: &Task, longer: Option<Remedy>) -> Vec<Remedy> {
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
        let course = course(&changed, MOST_ROUNDS);
        course.lands.then_some(course)
    };
    let drained = with(&free).map(|course| course.drawn());
    list.extend(
        drained
            .filter(|&drawn| in_litres(drawn) > SLACK_LITRES)
            .map(Remedy::DrainMore),
    );
    list.extend(longer);
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
        } else if let Some(course) = drained() {
            let drain = Some(course.drawn());
            list.push(Remedy::BothStocks { drain });
        }
    }
    list
}
