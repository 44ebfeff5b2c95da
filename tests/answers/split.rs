//! Two systems, one short shelf: where any way of parting it serves both, both are served.
//!
//! The ways are enumerated: every short product in tenths to the one and the rest to the other, each planned for alone.

use crate::common::{engine_loop, job, litres, stock};
use pourcard::job::{self, file::*};
use proptest::prelude::*;

/// Parts that a short product is parted in.
const PARTS: u32 = 10;

fn a_loop() -> impl Strategy<Value = Loop> {
    let within = prop::sample::select(vec![1.0, 2.0, 3.0]);
    let limit = prop::option::of(3..8_u32);
    (
        40..120_u32,
        35..60_u32,
        44..56_u32,
        within,
        0..35_u32,
        limit,
    )
        .prop_map(|(tenths, now, aim, within, missing, limit)| {
            let volume = f64::from(tenths) / 10.0;
            let step = |share: f64| litres((volume * share / 0.05).round() * 0.05);
            let mut lp = engine_loop(volume, f64::from(now), f64::from(aim));
            lp.aim = Aim::Percent {
                value: f64::from(aim),
                within: Some(within),
            };
            lp.missing = Some(step(f64::from(missing) / 100.0).into());
            lp.draw_limit = limit.map(|tenths| step(f64::from(tenths) / 10.0));
            lp
        })
}

fn a_job() -> impl Strategy<Value = Job> {
    let have = || prop::sample::select(vec![None, Some(0.4), Some(0.9), Some(1.6), Some(2.5)]);
    let premix = prop::sample::select(vec![33.5, 50.0, 60.0, 70.0]);
    let loops = prop::collection::vec(a_loop(), 2..3);
    (have(), premix, have(), loops).prop_map(|(concentrate, percent, premix, loops)| {
        let mut shelf = vec![
            stock("Concentrate", 100.0),
            stock("Premix", percent),
            stock("Water", 0.0),
        ];
        shelf[0].have = concentrate.map(litres);
        shelf[1].have = premix.map(litres);
        job(shelf, loops)
    })
}

/// Is each loop served by itself from its part, so many tenths of each product to the first?
fn serves(job: &Job, of_first: [u32; 2]) -> bool {
    (0..2).all(|i| {
        let mut one = job.clone();
        one.loops = vec![job.loops[i].clone()];
        for (stock, of_first) in one.shelf.iter_mut().zip(of_first) {
            if let Some(have) = &mut stock.have {
                let tenths = if i == 0 { of_first } else { PARTS - of_first };
                have.value *= f64::from(tenths) / f64::from(PARTS);
            }
        }
        job::answer(&one).loops[0].way.is_some()
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn what_can_serve_both_does(job in a_job()) {
        let answer = job::answer(&job);
        let is_served = answer.loops.iter().all(|lp| lp.way.is_some());
        if !is_served {
            for first in 0..=PARTS {
                for second in 0..=PARTS {
                    prop_assert!(
                        !serves(&job, [first, second]),
                        "{first} and {second} tenths to the first would do\n{}",
                        job::write_compact(&job)
                    );
                }
            }
        }
    }
}
