//! Answering a job: each loop checked, planned, judged. [`super::share`] says what is on the shelf for which.

use super::{
    answer::{
        Answer, Best, Bottles, Caps, CautionEntry, Do, Dose, Fault, Least, LoopAnswer, RunnerUp,
        State, Step, UnderCap, Used, Way,
    },
    card::{Card, measured},
    check::{self, At, Checked, Stock},
    chemistry,
    file::{self, Job},
    message::Refusal,
    only, sheet,
    units::{PressureUnit, TemperatureUnit},
    water,
};
use crate::engine::{
    cap::Under,
    caution::Caution,
    dose::SLACK_LITRES,
    fluid::Glycol,
    margin::{self, Condition, NoFigure, Wanted},
    mix::Charge,
    order::in_order,
    plan::{self, Plan, PlanError, Pour, Remedy},
    quantity::{Measured, Volume, in_celsius, in_litres, litres},
};

/// Answers a job. A bad value on the shelf or of the money refuses the whole; each loop carries its own error.
pub fn answer(job: &Job) -> Answer {
    let mut reply = Answer {
        pourcard: file::VERSION,
        error: None,
        cautions: Vec::new(),
        left_out: Vec::new(),
        loops: Vec::new(),
        sheet: None,
        survey: None,
    };
    if let Err(fault) = answer_all(job, &mut reply) {
        reply.error = Some(*fault);
    }
    reply
}

fn answer_all(job: &Job, reply: &mut Answer) -> Result<(), check::Refused> {
    check::counts(job)?;
    let terms = check::terms(job)?;
    let shelf = check::shelf(job, &terms)?;
    let bottles = check::bottles(job, &terms)?;
    let (mut cautions, left_out) = water::cautions(job.water.as_ref());
    if !left_out.is_empty() {
        cautions.push(Caution::LeftOut);
    }
    (reply.cautions, reply.left_out) = (entries(cautions), left_out);
    (reply.loops, reply.sheet) = sheet::serve(job, &shelf, &bottles, &terms);
    Ok(())
}

/// One loop by itself, from what is on the shelf for it.
pub(super) fn one_loop(job: &Job, i: usize, shelf: &[Stock]) -> LoopAnswer {
    let lp = &job.loops[i];
    if only::is_asked(lp) {
        return only::answer(job, i);
    }
    let mut reply = LoopAnswer::empty(&lp.name);
    let path = ["loops[", &i.to_string(), "]"].concat();
    let mut checked = match check::checked(job, i, shelf) {
        Ok(checked) => checked,
        Err(fault) => {
            reply.error = Some(*fault);
            return reply;
        }
    };
    reply.before = Some(before(&checked));
    reply.left_out.clone_from(&checked.left_out);
    if let Some(stop) = no_plan(&checked) {
        reply.cautions.push(CautionEntry(stop));
        return reply;
    }
    let mut card = Card::new(&checked, shelf);
    if let Err(fault) = card.follow(lp, &path, shelf) {
        reply.error = Some(*fault);
        return reply;
    }
    reply.corrected = card.corrected();
    if reply.corrected.is_some() {
        let per_filled = (checked.mark.value / checked.task.volume.value).value;
        (checked.task.before, checked.task.volume) = (card.task.before, card.task.volume);
        checked.mark = Measured {
            value: checked.task.volume.value * per_filled,
            plus_minus: checked.task.volume.plus_minus * per_filled,
        };
        reply.before = Some(before(&checked));
    }
    fill_in(&mut reply, &checked, card, shelf, lp, &path);
    reply
}

/// Has a loop a plan with this shelf? One of which something happened already may have.
pub(super) fn can_be_planned(job: &Job, i: usize, shelf: &[Stock]) -> bool {
    !job.loops[i].done.is_empty()
        || check::checked(job, i, shelf).is_ok_and(|c| plan::rest(&c.task).is_some())
}

/// The loops that get no plan at all.
fn no_plan(checked: &Checked) -> Option<Caution> {
    if checked.low_conductivity {
        return Some(Caution::LowConductivityLoop);
    }
    checked.above_highest.then(|| Caution::AboveSeventy {
        percent: checked.task.target.aim.percent(),
    })
}

fn fill_in(
    reply: &mut LoopAnswer,
    checked: &Checked,
    card: Card,
    shelf: &[Stock],
    lp: &file::Loop,
    path: &str,
) {
    reply.so_far = card.so_far;
    let plan = match card.plan {
        Ok(plan) => plan,
        Err(mut error) => {
            if let PlanError::Unreachable {
                for_the_dose: true,
                remedies,
                ..
            } = &mut error
                && chemistry::unsaid(&checked.task, shelf)
            {
                remedies.push(Remedy::SayWhatIsBrought);
            }
            let key = [path, ".aim"].concat();
            let fault: Fault = Refusal::Plan(error).fault_in(&key, lp.volume.unit);
            reply.error = Some(fault);
            reply.cautions = entries(left_on_shelf(checked, shelf));
            return;
        }
    };
    let task = &checked.task;
    let after = margin::condition(
        &task.blend,
        &plan.after,
        plan.how_sure.strength,
        checked.mark,
        plan.how_sure.above,
        &checked.around,
    );
    let mut cautions = plan.cautions.clone();
    cautions.extend(card.cautions);
    let together = checked.bottle.map(|b| plan.after.beside(&b));
    cautions.extend(margin::cautions(
        &together.map_or(after, |both| {
            after.at_worst(task.blend.glycol(), both.strength(), &checked.around)
        }),
        task.blend.glycol(),
        &checked.around,
    ));
    cautions.extend(about_bottle(checked, together));
    let blank = margin::no_figures(&after, task.blend.glycol(), &checked.around);
    reply
        .left_out
        .extend(blank.iter().map(|n| no_figure(*n, lp, path)));
    cautions.extend((!checked.left_out.is_empty()).then_some(Caution::LeftOut));
    cautions.extend((!blank.is_empty()).then_some(Caution::NoFigure));
    cautions.extend(left_on_shelf(checked, shelf));
    cautions.extend(about_loop(checked, lp, shelf, &plan, &reply.so_far));
    let found = chemistry::of(checked, lp, shelf, &reply.so_far, &card.steps);
    cautions.extend(found.cautions);
    cautions.extend(check::coolant_test(&At(path.to_owned()), lp).unwrap_or_default());
    reply.way = Some(way(&plan, checked));
    reply.caps = caps(&after);
    reply.steps = card.steps;
    reply.used = used(reply, shelf);
    reply.dispose_litres = drawn(reply);
    reply.instead = plan.instead;
    let film = reply.before.as_ref().and_then(|b| b.film_vs_water);
    reply.after = Some(State {
        old_percent: Some((plan.after.old / plan.after.volume(&task.blend)).value * 100.0),
        foreign_percent: found.foreign.map(|share| share * 100.0),
        together_percent: together.map(|both| both.strength().percent()),
        ..state(&after, film)
    });
    cautions.extend(reply.after.and_then(filled_warm));
    reply.dose = plan.dose.as_ref().map(|d| Dose {
        litres: measured(d.amount),
        limit_litres: d.limit.map(measured),
        carried_over_litres: d.carried_over.map(measured),
        level: chemistry::level(checked, lp, &plan),
        bottles: lp.additive.as_ref().and_then(|a| bottles(a, d.amount)),
    });
    reply.least = Some(Least {
        bound_litres: measured(plan.least.bound),
        proven: plan.least.proven,
    });
    reply.runners_up = if checked.unknown {
        Vec::new()
    } else {
        plan.runners_up
            .iter()
            .map(|r| runner_up(r, shelf))
            .collect()
    };
    reply.cautions = entries(cautions);
}

/// What is drawn back from an overflow bottle, or that nobody said what stands in it.
fn about_bottle(checked: &Checked, together: Option<Charge>) -> Option<Caution> {
    let Some((bottle, together)) = checked.bottle.zip(together) else {
        let behind = checked.around.tank == Some(margin::Tank::RecoveryBottle);
        return behind.then_some(Caution::BottleUnknown);
    };
    let litres = in_litres(bottle.volume(&checked.task.blend));
    (litres > SLACK_LITRES).then(|| Caution::BottleDrawnIn {
        litres,
        percent: bottle.strength().percent(),
        together: together.strength().percent(),
    })
}

/// At the mark and warm: what stands there, and what that is as of 20 °C.
fn filled_warm(after: State) -> Option<Caution> {
    let stands_litres = after.litres_filled?;
    Some(Caution::FilledWarm {
        stands_litres,
        holds_litres: after.litres,
    })
}

/// A figure that is blank: which, why, and the key it hangs on.
fn no_figure(blank: NoFigure, lp: &file::Loop, path: &str) -> Fault {
    let pressure = |q: Option<file::Quantity<PressureUnit>>| q.map_or("kPa", |q| q.unit.text());
    let degrees = |q: Option<file::Quantity<TemperatureUnit>>| q.map_or("degC", |q| q.unit.text());
    let (key, figure, unit) = match blank.figure {
        Wanted::Boiling => (
            "cap",
            "boiling at the cap's rating, on top of the air's,",
            pressure(lp.cap),
        ),
        Wanted::BoilingWeakest => (
            "cap",
            "boiling at the weakest the cap may be",
            pressure(lp.cap),
        ),
        Wanted::BoilingOpen => ("altitude", "boiling with the cap off", "kPa"),
        Wanted::BoilingOtherCap => (
            "other_cap",
            "boiling under the other cap",
            pressure(lp.other_cap),
        ),
        Wanted::Hot => (
            "peak_temperature",
            "the hot level",
            degrees(lp.peak_temperature),
        ),
        Wanted::Coldest => (
            "coldest",
            "the level on the coldest night",
            degrees(lp.coldest),
        ),
        Wanted::Filled => (
            "fill_temperature",
            "any level but the one as of 20 degC",
            degrees(lp.fill_temperature),
        ),
        Wanted::Heat => (
            "running_temperature",
            "the heat it carries",
            degrees(lp.running_temperature),
        ),
    };
    let refusal = Refusal::NoFigure {
        figure,
        error: blank.error,
        unit: unit.into(),
    };
    refusal.fault(&[path, ".", key].concat())
}

/// Bottles for a dose: of the size the label speaks of, else of the smallest pack.
fn bottles(additive: &file::Additive, dose: Volume) -> Option<Bottles> {
    let of_label = match additive.rate {
        file::Rate::Bottle { size, .. } => Some(size),
        _ => None,
    };
    let litres_of = |q: file::Quantity<super::units::VolumeUnit>| q.value * q.unit.litres();
    let packs = additive.packs.iter().map(|p| litres_of(p.size));
    let size = of_label
        .map(litres_of)
        .or_else(|| packs.min_by(f64::total_cmp))?;
    let dose = in_litres(dose);
    let count = ((dose - SLACK_LITRES) / size).ceil().max(0.0);
    Some(Bottles {
        count: count as u32,
        size_litres: size,
        left_litres: measured(litres((count * size - dose).max(0.0))),
    })
}

/// Heaviest first; one of each kind, unless they speak of different things.
fn entries(mut cautions: Vec<Caution>) -> Vec<CautionEntry> {
    in_order(&mut cautions, |a, b| a.weight().cmp(&b.weight()));
    cautions.dedup();
    cautions.into_iter().map(CautionEntry).collect()
}

fn before(checked: &Checked) -> State {
    let task = &checked.task;
    let condition = margin::condition(
        &task.blend,
        &task.before,
        task.plus_minus,
        checked.mark,
        Measured {
            value: litres(0.0),
            plus_minus: task.level_plus_minus,
        },
        &checked.around,
    );
    let mut before = state(&condition, None);
    let held = condition.level.cold.value;
    if checked.unknown || held <= litres(0.0) {
        before = State {
            litres: in_litres(held),
            ..State::default()
        };
    }
    before
}

fn left_on_shelf(checked: &Checked, shelf: &[Stock]) -> Vec<Caution> {
    let glycol = checked.task.blend.glycol();
    let other = |s: &Stock| s.glycol.is_some_and(|g| g != glycol);
    (0..shelf.len())
        .filter(|&i| other(&shelf[i]))
        .map(|stock| Caution::DifferentGlycol { stock })
        .collect()
}

fn about_loop(
    checked: &Checked,
    lp: &file::Loop,
    shelf: &[Stock],
    plan: &Plan,
    so_far: &[Step],
) -> Vec<Caution> {
    let mut list = Vec::new();
    if checked.unknown {
        list.push(Caution::UnknownContents);
    }
    if let Some(needed) = checked.raised_from {
        list.push(Caution::RaisedToMinimum {
            needed_percent: needed.percent(),
            minimum: checked.task.target.aim.percent(),
        });
    }
    if checked.task.dosing.is_some() {
        list.push(Caution::AskMakerAdditive);
    }
    if checked.task.blend.glycol() == Glycol::Propylene && plan.after.strength().fraction() > 0.05 {
        list.push(Caution::BoilingEstimated);
    }
    let propylene = checked.task.blend.glycol() == Glycol::Propylene;
    if propylene && checked.task.before.strength().fraction() > margin::HIGHEST {
        list.push(Caution::DensityUncertain);
    }
    let done = so_far.iter().filter_map(|step| {
        let name = step.stock.as_ref()?;
        shelf.iter().position(|s| s.name == *name)
    });
    let poured = plan.passes.iter().flat_map(|p| &p.pours).map(|p| p.stock);
    // What is in there after the job: of the old charge, if any of it stays, and of everything poured.
    let stays = plan.after.old > litres(SLACK_LITRES);
    let mut family = lp.family.filter(|_| stays);
    for stock in done.chain(poured) {
        let own = shelf[stock].family;
        let differs = own.zip(family).is_some_and(|(a, b)| a != b);
        let caution = Caution::DifferentFamily { stock };
        if differs && !list.contains(&caution) {
            list.push(caution);
        }
        family = family.or(own);
    }
    list
}

fn way(plan: &Plan, checked: &Checked) -> Way {
    match plan.way {
        plan::Way::Rounds => Way::Rounds,
        _ if checked.refill => Way::Refill,
        plan::Way::Refill => Way::Refill,
        plan::Way::Nothing => Way::Nothing,
        plan::Way::Retest => Way::Retest,
        plan::Way::TopUp => Way::TopUp,
        plan::Way::DrawAndPour => Way::DrawAndPour,
    }
}

fn all_steps(reply: &LoopAnswer) -> impl Iterator<Item = &Step> {
    reply.so_far.iter().chain(&reply.steps)
}

fn used(reply: &LoopAnswer, shelf: &[Stock]) -> Used {
    let poured = |name: &str| -> f64 {
        all_steps(reply)
            .filter(|s| s.stock.as_deref() == Some(name))
            .filter_map(|s| s.litres)
            .sum()
    };
    Used(
        shelf
            .iter()
            .map(|s| (s.name.clone(), measured(litres(poured(&s.name)))))
            .filter(|(_, l)| *l > 0.0)
            .collect(),
    )
}

fn drawn(reply: &LoopAnswer) -> f64 {
    // From 0.0: the sum of none is -0.0.
    let sum = all_steps(reply)
        .filter(|s| s.what == Do::Draw)
        .filter_map(|s| s.litres)
        .fold(0.0, |sum, l| sum + l);
    measured(litres(sum))
}

fn runner_up(r: &plan::RunnerUp, shelf: &[Stock]) -> RunnerUp {
    let amount = |i: usize| -> Volume {
        r.pours
            .iter()
            .filter(|p: &&Pour| p.stock == i)
            .fold(litres(0.0), |sum, p| sum + p.amount)
    };
    RunnerUp {
        way: match r.way {
            plan::Way::Nothing | plan::Way::Retest => Way::Nothing,
            plan::Way::TopUp => Way::TopUp,
            plan::Way::DrawAndPour => Way::DrawAndPour,
            plan::Way::Rounds => Way::Rounds,
            plan::Way::Refill => Way::Refill,
        },
        percent: r.after.strength().percent(),
        drawn_litres: measured(r.drawn),
        rounds: r.rounds,
        used: Used(
            (0..shelf.len())
                .map(|i| (shelf[i].name.clone(), measured(amount(i))))
                .filter(|(_, l)| *l > 0.0)
                .collect(),
        ),
    }
}

/// Both caps, where one is to be fitted.
fn caps(c: &Condition) -> Option<Caps> {
    let caps = c.caps?;
    let under = |u: Under| UnderCap {
        kpa: u.rating.0.value / 1000.0,
        rated_c: u.rated.map(in_celsius),
        new_c: u.new.map(in_celsius),
        unknown_age_c: u.old.map(in_celsius),
        weakest_c: u.weakest.map(in_celsius),
        room_k: u.room.map(|k| k.value),
        room_soaked_k: u.room_soaked.map(|k| k.value),
    };
    let (rated, weakest) = caps.lower();
    Some(Caps {
        fitted: under(caps.fitted),
        to_be_fitted: under(caps.other),
        open_c: caps.open.map(in_celsius),
        lower_rated_k: rated.map(|k| k.value),
        lower_weakest_k: weakest.map(|k| k.value),
        soaked_c: caps.soaked.map(in_celsius),
    })
}

fn state(c: &Condition, film_before: Option<f64>) -> State {
    State {
        percent: Some(c.strength.percent()),
        plus_minus: Some(c.plus_minus * 100.0),
        litres: measured(c.level.cold.value),
        litres_filled: c.level.filled.map(measured),
        litres_plus_minus: Some(measured(c.level.cold.plus_minus)),
        concentrate_litres: Some(measured(c.charge.concentrate)),
        water_litres: Some(measured(c.charge.water)),
        additive_litres: Some(measured(c.charge.additive)),
        freezing_point_c: c.freezing_c(),
        freezing_at_most_c: c.freezing_at_most_c(),
        freezing_point_worst_c: c.freezing_worst_c(),
        freezing_at_most_worst_c: c.freezing_worst_at_most_c(),
        boiling_point_c: c.boiling.map(in_celsius),
        boiling_point_weakest_c: c.boiling_weakest.map(in_celsius),
        boiling_point_open_c: c.boiling_open.map(in_celsius),
        boiling_point_other_cap_c: c.boiling_other_cap.map(in_celsius),
        air_pressure_kpa: c.air.map(|p| p.value / 1000.0),
        pressure_weakest_kpa: c.pressure_weakest.map(|p| p.value / 1000.0),
        hot_litres: c.level.hot.map(|v| measured(v.value)),
        hot_litres_plus_minus: c.level.hot.map(|v| measured(v.plus_minus)),
        coldest_litres: c.level.coldest.map(|v| measured(v.value)),
        coldest_litres_plus_minus: c.level.coldest.map(|v| measured(v.plus_minus)),
        above_minimum_litres: c.level.above_minimum.map(|v| measured(v.value)),
        above_minimum_litres_plus_minus: c.level.above_minimum.map(|v| measured(v.plus_minus)),
        together_percent: None,
        film_vs_water: c.film_vs_water.map(|r| r.value),
        film_vs_water_plus_minus: c.film_vs_water.map(|r| r.plus_minus),
        film_vs_now: c
            .film_vs_water
            .zip(film_before)
            .map(|(after, before)| after.value / before),
        heat_carried_vs_water: c.heat_carried_vs_water.map(|r| r.value),
        heat_carried_vs_water_plus_minus: c.heat_carried_vs_water.map(|r| r.plus_minus),
        freeze_room_k: c.freeze_room.map(|k| k.value),
        boil_room_k: c.boil_room.map(|k| k.value),
        tank_room_litres: c.level.room.map(|v| measured(v.value)),
        tank_room_litres_plus_minus: c.level.room.map(|v| measured(v.plus_minus)),
        old_percent: None,
        foreign_percent: None,
        specific_gravity_20c: c.specific_gravity,
        refractive_index_20c: c.refractive_index,
    }
}

impl LoopAnswer {
    /// Nothing said yet.
    pub(super) fn empty(name: &str) -> Self {
        Self {
            name: name.to_owned(),
            error: None,
            way: None,
            steps: Vec::new(),
            so_far: Vec::new(),
            corrected: None,
            used: Used::default(),
            instead: None,
            dispose_litres: 0.0,
            before: None,
            after: None,
            dose: None,
            least: None,
            runners_up: Vec::new(),
            caps: None,
            cautions: Vec::new(),
            left_out: Vec::new(),
            check_back: None,
            levels: None,
        }
    }
}

impl Best {
    /// From what the planner found.
    pub fn of(after: &Charge, drawn: Volume, rounds: u32) -> Self {
        Self {
            percent: after.strength().percent(),
            drawn_litres: in_litres(drawn),
            rounds,
        }
    }
}
