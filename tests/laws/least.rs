//! No plan draws more than the best of the grid search, and what is refused cannot be done on the grid at all: one draw,
//! rounds, two stocks blended, short stocks, refills, and a dose that takes up room.

use crate::{
    SLACK,
    common::{self, additive, engine_loop, litres, stock},
    jobs::any_job,
    search::{Ending, Search},
};
use pourcard::job::{
    self,
    file::{self, *},
};
use proptest::prelude::*;

/// What is measured to, litres: far finer than the grid.
const STEP: f64 = 0.01;

/// The job with its loop shrunk to `small` litres and the rest in proportion. An additive, where there is one, has no
/// limit and nothing in there before, so that what is dosed is the label's rate.
fn shrunk(mut job: Job, small: f64) -> Job {
    let lp = &mut job.loops[0];
    let scale = small / lp.volume.value;
    let scaled = |q: Option<Quantity<_>>| q.map(|q| litres(q.value * scale));
    lp.volume.value = small;
    if let Some(missing) = &mut lp.missing {
        missing.value *= scale;
    }
    lp.draw_limit = scaled(lp.draw_limit);
    lp.measure_step = Some(litres(STEP));
    if let Now::Flushed { left_behind, .. } = &mut lp.now {
        left_behind.value *= scale;
    }
    if let Some(Additive {
        rate: Rate::Ratio { value, .. },
        ..
    }) = lp.additive
    {
        lp.additive = Some(additive(value, None, Some(0.0)));
    }
    job.shelf.iter_mut().for_each(|s| s.have = scaled(s.have));
    job
}

/// The label's rate for the whole loop, down to a step of 5 mL.
fn dose(job: &Job) -> f64 {
    match &job.loops[0].additive {
        Some(Additive {
            rate: Rate::Ratio { value, .. },
            ..
        }) => (value / 1000.0 * job.loops[0].volume.value / 0.005 + 1e-4).floor() * 0.005,
        _ => 0.0,
    }
}

/// Rounds the planner may take: one, where nothing limits a draw and there is nothing more to come out.
fn rounds(job: &Job, most: usize) -> usize {
    let lp = &job.loops[0];
    let limited = lp.draw_limit.is_some() || lp.drains.is_some_and(|s| s.fraction < 1.0);
    let refill = matches!(lp.now, Now::Flushed { .. } | Now::Empty {});
    if refill && !limited { 1 } else { most }
}

fn check(job: &Job, most_rounds: usize, grid: f64) {
    let answer = job::answer(job);
    let one = &answer.loops[0];
    let search = |ending| Search {
        job,
        dose: dose(job),
        grid,
        ending,
        whole: None,
    };
    let rounds = rounds(job, most_rounds);
    match &one.error {
        None => {
            let best = search(Ending::Reaches).least(rounds);
            let drawn = one.dispose_litres;
            // Each round is rounded to a step, and the last of them makes up for the others.
            let slack = STEP * (1 + rounds) as f64 + SLACK;
            assert!(
                best.is_none_or(|best| drawn <= best + slack),
                "draws {drawn}, the grid finds {best:?}\n{:?}\n{}",
                one.steps,
                job::write(job)
            );
        }
        Some(error) if error.code == "aim_unreachable" => {
            let found = search(Ending::Within(0.9)).least(rounds);
            assert!(
                found.is_none(),
                "refused, but drawing {found:?} lands\n{}",
                job::write(job)
            );
        }
        Some(error) if error.code == "renewal_unreachable" => {
            let found = search(Ending::Within(0.9)).least(rounds);
            assert!(
                found.is_none(),
                "refused, but drawing {found:?} renews it\n{}",
                job::write(job)
            );
        }
        Some(error) => assert_eq!(error.code, "nothing_to_pour", "{error:?}"),
    }
}

/// One of the random jobs that once failed: stocks by their percentage and the litres there are of each. What is expected
/// comes from the search, as for all the others.
fn check_found(mut lp: file::Loop, shelf: &[(f64, Option<f64>)], rounds: usize, parts: f64) {
    lp.measure_step = Some(litres(STEP));
    let shelf = shelf.iter().map(|&(percent, have)| {
        let mut stock = stock(&format!("{percent} %"), percent);
        stock.glycol = stock.glycol.map(|_| lp.glycol);
        stock.have = have.map(litres);
        stock
    });
    let (shelf, grid) = (shelf.collect(), lp.volume.value / parts);
    check(&common::job(shelf, vec![lp]), rounds, grid);
}

/// The water just gets there, to the edge of what counts, and less so once it is rounded to what can be measured.
#[test]
fn a_landing_lost_in_rounding_is_looked_for_further_in() {
    let lp = engine_loop(1.0, 63.94, 57.72);
    check_found(lp, &[(63.64, None), (0.0, Some(0.0819))], 1, 150.0);
}

/// All that may be drawn, filled with concentrate, goes past the aim before there was room for the dose.
#[test]
fn a_first_round_that_goes_past_the_aim_draws_less() {
    let mut lp = engine_loop(1.0, 29.4806, 41.7641);
    lp.missing = Some(litres(0.02858).into());
    lp.draw_limit = Some(litres(0.161_976));
    lp.additive = Some(additive(55.4485, None, Some(0.0)));
    check_found(lp, &[(100.0, None)], 2, 14.0);
}

/// There is more of each stock than both rounds together can take: nothing needs to be kept.
#[test]
fn a_stock_that_cannot_run_out_is_not_kept() {
    let mut lp = engine_loop(1.0, 4.5794, 43.8871);
    lp.drains = Some(Share { fraction: 0.4 });
    lp.additive = Some(additive(20.8636, None, Some(0.0)));
    let shelf = [
        (100.0, Some(3.3114)),
        (30.0, Some(4.8877)),
        (0.0, Some(2.975)),
    ];
    check_found(lp, &shelf, 2, 14.0);
}

/// The first round can land but for the dose, whose room the second makes; filled up with concentrate it draws less
/// than it may.
#[test]
fn a_round_that_lands_but_for_the_dose_draws_no_more_than_that_takes() {
    let mut lp = engine_loop(2.9974, 46.5283, 51.1945);
    lp.glycol = GlycolName::Propylene;
    lp.draw_limit = Some(litres(0.342_733));
    lp.additive = Some(additive(52.6846, None, Some(0.0)));
    check_found(lp, &[(100.0, None), (58.643, None), (0.0, None)], 2, 14.0);
}

/// Both stocks are short, and a full draw in the first round would leave too little for the second.
#[test]
fn a_first_round_draws_no_more_than_short_stocks_make_up_for() {
    let mut lp = engine_loop(5.15246, 20.1308, 46.3157);
    lp.glycol = GlycolName::Propylene;
    lp.draw_limit = Some(litres(2.236_587));
    let shelf = [(100.0, Some(1.466_857)), (37.7739, Some(1.164_568))];
    check_found(lp, &shelf, 3, 6.0);
}

/// There is more concentrate than the last round takes: the rest of it goes in early, before the premix does.
#[test]
fn what_is_beyond_the_last_round_of_the_strong_one_goes_in_early() {
    let mut lp = engine_loop(3.21882, 5.568_912, 47.020_603);
    lp.glycol = GlycolName::Propylene;
    lp.missing = Some(litres(0.613_977).into());
    lp.draw_limit = Some(litres(0.925_831));
    let shelf = [
        (100.0, Some(1.215_859)),
        (50.840_347, Some(1.275_103)),
        (0.0, Some(3.455_025)),
    ];
    check_found(lp, &shelf, 2, 14.0);
}

/// All the premix, and concentrate to the mark, ends a quarter of a point above the aim: no blend lands on it.
#[test]
fn short_stocks_that_fill_it_near_enough_are_poured() {
    let mut lp = engine_loop(4.386_746, 57.139_847, 58.814_957);
    lp.glycol = GlycolName::Propylene;
    lp.missing = Some(litres(0.871_427).into());
    lp.additive = Some(additive(39.267_776, None, Some(0.0)));
    let shelf = [(100.0, Some(0.218_752)), (58.739_928, Some(0.531_522))];
    check_found(lp, &shelf, 1, 150.0);
}

/// All that comes out, filled up, is a quarter of a point short of the aim, and the dose alone is left to the second
/// round; less in the first would be at the edge of what counts.
#[test]
fn a_round_that_gets_nearer_than_the_edge_is_filled_up() {
    let mut lp = engine_loop(5.59689, 0.0, 42.003_721);
    lp.now = Now::Water {};
    lp.missing = Some(litres(1.167_173).into());
    lp.draw_limit = Some(litres(2.37033));
    lp.additive = Some(additive(54.93041, None, Some(0.0)));
    check_found(lp, &[(100.0, Some(0.487_194)), (60.576_152, None)], 2, 14.0);
}

macro_rules! searched {
    ($($(#[$doc:meta])* $name:ident: $cases:literal jobs, $rounds:literal rounds, $parts:literal parts;)+) => { $(
        proptest! {
            #![proptest_config(ProptestConfig { cases: $cases, failure_persistence: None, ..ProptestConfig::default() })]

            $(#[$doc])*
            #[test]
            fn $name(job in any_job(true), small in 1.0..6.0_f64) {
                check(&shrunk(job, small), $rounds, small / f64::from($parts));
            }
        }
    )+ };
}

searched! {
    /// One round, on a fine grid.
    no_way_draws_less: 150 jobs, 1 rounds, 150 parts;
    /// Two, on a coarser one.
    no_two_rounds_draw_less: 60 jobs, 2 rounds, 14 parts;
    /// Three, on a coarse one.
    no_three_rounds_draw_less: 24 jobs, 3 rounds, 6 parts;
}
