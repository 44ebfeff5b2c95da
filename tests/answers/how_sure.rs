//! How sure the answer is of itself, against Monte Carlo (JCGM 101:2008): the loop that is really there differs from the
//! one that was typed, the card is followed on it with a real jug, and its strength and levels are looked at.

use crate::common::{self, Balance, litres};
use crate::normals::{Normals, half_width};
use pourcard::engine::{
    caution::Caution,
    fluid::Glycol,
    heat,
    level::{FILL_K, GROWTH_SHARE, ROOM_SHARE},
    property::density,
    quantity::{LabelFraction, celsius},
};
use pourcard::job::{self, answer::*, file::*, record::Field};

const DRAWS: usize = 20_000;

/// What one really following of the card comes to.
struct Real {
    percent: f64,
    litres: f64,
    hot: f64,
    room: f64,
    film: f64,
    carried: f64,
}

/// The card followed on a loop drawn at random around the typed one; standard uncertainties are half of the half-widths.
fn followed(job: &Job, answer: &LoopAnswer, normals: &mut Normals) -> Real {
    let typed = &job.loops[0];
    let finer = answer.cautions.iter().find_map(|c| match c.0 {
        Caution::FinerStep { step_litres } => Some(step_litres),
        _ => None,
    });
    let half_step = 0.5 * finer.unwrap_or(typed.measure_step.map_or(0.05, |q| q.value));
    let mut off = |half_width: f64| 0.5 * half_width * normals.next();
    let mut lp = typed.clone();
    let moved = off(typed.volume.plus_minus.unwrap());
    lp.volume.value += moved;
    match &mut lp.now {
        Now::Percent { value, plus_minus } => {
            *value = (*value + off(plus_minus.unwrap())).max(0.0);
            let missing = typed.missing.map_or(0.0, |q| q.value);
            lp.missing = Some(litres(missing + off(half_step)));
        }
        // What came out was measured, so what stayed is the rest of the loop that is really there.
        Now::Flushed { left_behind, .. } => left_behind.value += moved,
        other => panic!("not drawn here: {other:?}"),
    }
    let mut balance = Balance::before(&lp);
    // By eye to the mark, or to where the card ends below it.
    let short = typed.volume.value - answer.after.unwrap().litres + off(half_step);
    for step in answer.so_far.iter().chain(&answer.steps) {
        match (step.what, step.litres) {
            (Do::Draw, Some(amount)) => balance.draw(amount + off(half_step)),
            (Do::Pour, Some(_)) if step.to_the_mark => {
                let name = step.stock.as_deref().unwrap();
                let stock = job.shelf.iter().find(|s| s.name == name).unwrap();
                for _ in 0..4 {
                    balance.pour(lp.volume.value - short - balance.litres(), stock.percent);
                }
            }
            (Do::Pour, Some(amount)) => {
                let mut real = step.clone();
                real.litres = Some(amount + off(half_step));
                balance.step(&real, &job.shelf);
            }
            _ => balance.step(step, &job.shelf),
        }
    }
    let glycol = match typed.glycol {
        GlycolName::Ethylene => Glycol::Ethylene,
        GlycolName::Propylene => Glycol::Propylene,
    };
    let strength = LabelFraction::from_percent(balance.percent()).unwrap();
    let rho = |t: f64| density(glycol, strength, celsius(t)).unwrap().value;
    let fill = typed.fill_temperature.map_or(20.0, |q| q.value) + off(FILL_K);
    let peak = typed.peak_temperature.unwrap().value;
    let hot = balance.litres() * rho(fill) / rho(peak) * (1.0 + off(GROWTH_SHARE));
    let room = typed.tank_room.unwrap().value;
    let running = celsius(typed.running_temperature.map_or(90.0, |q| q.value));
    let film = heat::film_vs_water(glycol, strength, running)
        .unwrap()
        .value;
    let carried = heat::heat_carried_vs_water(glycol, strength, running)
        .unwrap()
        .value;
    Real {
        percent: balance.percent(),
        litres: balance.litres(),
        hot,
        room: lp.volume.value + room + off(ROOM_SHARE * room) - hot,
        film: film * (1.0 + off(heat::FILM_ERROR)),
        carried: carried * (1.0 + off(heat::CARRIED_ERROR)),
    }
}

/// Something else than the card said was done, measured and entered; the rest by the card made anew.
fn check_entered(name: &str, job: &Job, times: f64) {
    let card = job::answer(job).loops.remove(0);
    let step = &card.steps[0];
    let mut entered = job.clone();
    entered.loops[0].done.push(Done {
        id: step.id.clone(),
        amount: step.litres.map(|l| litres(l * times)),
        ..Done::blank()
    });
    let answer = job::answer(&entered).loops.remove(0);
    let after = answer
        .after
        .unwrap_or_else(|| panic!("{name}: {:?}", answer.error));
    assert!(!answer.so_far.is_empty() && answer.steps.iter().any(|s| s.litres.is_some()));
    let mut normals = Normals::from(11);
    let strengths = (0..DRAWS).map(|_| followed(job, &answer, &mut normals).percent);
    let (said, drawn) = (after.plus_minus.unwrap(), half_width(strengths.collect()));
    println!("{name}, entered: says {said:.4}, drawn {drawn:.4}");
    assert!(
        (said - drawn).abs() < 0.1 * drawn,
        "{name}, entered: says {said}, drawn {drawn}"
    );
}

fn check(name: &str, job: &Job) {
    let card = job::answer(job).loops.remove(0);
    let after = card
        .after
        .unwrap_or_else(|| panic!("{name}: {:?}", card.error));
    let mut normals = Normals::from(7);
    let real: Vec<Real> = (0..DRAWS)
        .map(|_| followed(job, &card, &mut normals))
        .collect();
    type Figure = (&'static str, Option<f64>, fn(&Real) -> f64);
    let figures: [Figure; 6] = [
        ("percent", after.plus_minus, |r| r.percent),
        ("litres", after.litres_plus_minus, |r| r.litres),
        ("hot", after.hot_litres_plus_minus, |r| r.hot),
        ("room", after.tank_room_litres_plus_minus, |r| r.room),
        ("film", after.film_vs_water_plus_minus, |r| r.film),
        ("heat", after.heat_carried_vs_water_plus_minus, |r| {
            r.carried
        }),
    ];
    for (figure, said, of) in figures {
        let (said, drawn) = (said.unwrap(), half_width(real.iter().map(of).collect()));
        println!("{name}, {figure}: says {said:.4}, drawn {drawn:.4}");
        assert!(
            (said - drawn).abs() < 0.1 * drawn,
            "{name}, {figure}: says {said}, drawn {drawn}"
        );
    }
    // Ticked one by one, at last all of it: what was done is no surer than what was to be done.
    let drawn = half_width(real.iter().map(|r| r.percent).collect());
    let mut ticked = job.clone();
    // The rest of a card that asks for a finer measure may do with the usual one, and is then less sure: not followed.
    if card
        .cautions
        .iter()
        .any(|c| matches!(c.0, Caution::FinerStep { .. }))
    {
        return;
    }
    for step in &card.steps {
        ticked.loops[0].done.push(Done {
            id: step.id.clone(),
            amount: step.litres.map(litres),
            ..Done::blank()
        });
        let answer = job::answer(&ticked).loops.remove(0);
        let said = answer.after.unwrap().plus_minus.unwrap();
        assert!(
            (said - drawn).abs() < 0.1 * drawn,
            "{name}, step {} done: says {said}, drawn {drawn}",
            step.id
        );
    }
}

// JCGM 101:2008, 8: within a tenth of the half-width.
#[test]
fn strength_and_levels_are_as_sure_as_they_say() {
    let van = common::van();
    check("the van", &van);

    let mut unsure = van.clone();
    unsure.loops[0].volume.plus_minus = Some(0.8);
    unsure.loops[0].tank_room = Some(litres(0.9));
    check("an unsure volume", &unsure);

    let mut coarse = van.clone();
    coarse.loops[0].measure_step = Some(litres(0.25));
    check("a finer jug than usual asked for", &coarse);
    coarse.loops[0].volume.value = 42.0;
    coarse.loops[0].missing = Some(litres(3.0));
    coarse.loops[0].draw_limit = None;
    check("a coarse jug", &coarse);

    let mut propylene = van.clone();
    propylene.loops[0].glycol = GlycolName::Propylene;
    for stock in &mut propylene.shelf {
        stock.glycol = stock.glycol.map(|_| GlycolName::Propylene);
    }
    check("propylene", &propylene);

    let mut thin = van.clone();
    thin.loops[0].volume.plus_minus = Some(0.8);
    thin.loops[0].now = Now::Percent {
        value: 6.0,
        plus_minus: Some(0.5),
    };
    thin.loops[0].draw_limit = Some(litres(6.0));
    check("a thin mix and an unsure volume", &thin);

    for times in [0.6, 1.6] {
        check_entered("the van", &common::van(), times);
        check_entered("a thin mix and an unsure volume", &thin, times);
    }

    let mut flushed = van;
    flushed.loops[0].missing = None;
    flushed.loops[0].now = Now::Flushed {
        left_behind: litres(1.9),
        percent: 0.0,
    };
    check("flushed", &flushed);
}
