//! Random jobs.

use crate::common::{additive, engine_loop, job, litres, stock};
use pourcard::job::{file, file::*};
use proptest::prelude::*;

pub fn any_glycol() -> impl Strategy<Value = GlycolName> {
    prop_oneof![Just(GlycolName::Ethylene), Just(GlycolName::Propylene)]
}

/// Concentrate, a premix, water: each there or not, plenty of it or not.
pub fn any_shelf(glycol: GlycolName, short: bool) -> impl Strategy<Value = Vec<Stock>> {
    let have = move || {
        if short {
            prop_oneof![2 => Just(None), 1 => (0.0..6.0_f64).prop_map(Some)].boxed()
        } else {
            Just(None).boxed()
        }
    };
    (
        prop::option::weighted(0.8, have()),
        prop::option::weighted(0.6, (30.0..65.0_f64, have())),
        prop::option::weighted(0.8, have()),
    )
        .prop_map(move |(concentrate, premix, water)| {
            let mut shelf = Vec::new();
            let mut put = |name: &str, percent: f64, have: Option<f64>| {
                let mut s = stock(name, percent);
                s.glycol = s.glycol.map(|_| glycol);
                s.have = have.map(litres);
                shelf.push(s);
            };
            if let Some(have) = concentrate {
                put("Concentrate", 100.0, have);
            }
            if let Some((percent, have)) = premix {
                put("Premix", percent, have);
            }
            if let Some(have) = water {
                put("Water", 0.0, have);
            }
            shelf
        })
}

pub fn any_now(volume: f64) -> impl Strategy<Value = Now> {
    prop_oneof![
        6 => (0.0..65.0_f64).prop_map(|value| Now::Percent { value, plus_minus: None }),
        1 => Just(Now::Water {}),
        1 => Just(Now::Empty {}),
        2 => (0.0..0.5_f64, prop_oneof![Just(0.0), 10.0..50.0_f64]).prop_map(move |(share, percent)| Now::Flushed {
            left_behind: litres(volume * share),
            percent,
        }),
    ]
}

prop_compose! {
    pub fn any_loop(glycol: GlycolName)(volume in 1.0..60.0_f64)(
        volume in Just(volume),
        missing in prop_oneof![Just(0.0), 0.0..0.3_f64],
        now in any_now(volume),
        aim in 40.0..60.0_f64,
        limit in prop_oneof![
            Just((None, None)),
            (0.1..0.7_f64).prop_map(move |s| (Some(s * volume), None)),
            prop_oneof![Just(0.4), Just(0.8), Just(1.0)].prop_map(|f| (None, Some(f))),
        ],
        renew in prop_oneof![4 => Just(None), 1 => (0.05..1.0_f64).prop_map(Some), 1 => Just(Some(1.0))],
        dose in prop::option::of((5.0..60.0_f64, prop::option::of(5.0..80.0_f64), prop::option::of(0.0..0.5_f64))),
    ) -> file::Loop {
        let mut lp = engine_loop(volume, 0.0, aim);
        lp.glycol = glycol;
        lp.missing = Some(litres(missing * volume).into());
        lp.now = now;
        lp.draw_limit = limit.0.map(litres);
        lp.drains = limit.1.map(|fraction| Share { fraction });
        lp.renew = renew.map(|fraction| Share { fraction });
        lp.additive = dose.map(|(rate, most, already)| additive(rate, most, already.map(|a| a * volume * 0.05)));
        lp
    }
}

pub fn any_job(short: bool) -> impl Strategy<Value = Job> {
    any_glycol()
        .prop_flat_map(move |glycol| (any_shelf(glycol, short), any_loop(glycol)))
        .prop_map(|(shelf, lp)| job(shelf, vec![lp]))
}

pub fn aim_of(lp: &file::Loop) -> f64 {
    match lp.aim {
        Aim::Percent { value, .. } => value,
        Aim::FreezingPoint { .. } => unreachable!("these jobs aim at a percentage"),
    }
}
