//! Jobs with wild values: a sensible job, and any number of its values replaced by what a careless hand, another
//! program or an attacker might write.

use super::common::{additive, engine_loop, job as plain_job, litres, stock, van};
use pourcard::job::{file::*, record::Field, units::*};
use proptest::prelude::*;

/// A number: usually of a size that fits, now and then anything at all.
fn number() -> impl Strategy<Value = f64> {
    prop_oneof![
        6 => 0.0..60.0_f64,
        2 => -50.0..150.0_f64,
        1 => prop::sample::select(vec![
            0.0, -0.0, -1.0, 1e-9, 1e-300, 5e-324, 1e9, 1e300, f64::MAX, f64::MIN, f64::INFINITY,
            f64::NEG_INFINITY, f64::NAN, 0.2, 2000.0, 100.0, 57.85, 60.11, 70.0,
        ]),
        1 => prop::num::f64::ANY,
    ]
}

/// A name: plain, empty, long, or full of signs.
fn name() -> impl Strategy<Value = String> {
    prop_oneof![
        4 => "[A-Z][a-z]{0,9}",
        1 => Just(String::new()),
        1 => Just("Water".to_owned()),
        2 => "\\PC{0,40}",
        1 => Just("<img src=x onerror=alert(1)>\"\\\u{202e}\u{0}\n".to_owned()),
    ]
}

/// One value replaced: which, by what.
#[derive(Debug, Clone)]
struct Edit {
    what: usize,
    a: f64,
    b: f64,
    pick: usize,
    name: String,
}

fn edit() -> impl Strategy<Value = Edit> {
    (0..40_usize, number(), number(), 0..12_usize, name()).prop_map(|(what, a, b, pick, name)| {
        Edit {
            what,
            a,
            b,
            pick,
            name,
        }
    })
}

/// A job of one to three loops.
pub fn job() -> impl Strategy<Value = Job> {
    let shelf = prop::collection::vec((name(), number(), prop::option::of(number())), 0..5);
    let loops = prop::collection::vec((number(), number(), number()), 0..3);
    (
        any::<bool>(),
        shelf,
        loops,
        prop::collection::vec((0..3_usize, edit()), 0..14),
    )
        .prop_map(|(example, shelf, loops, edits)| {
            let mut job = if example {
                van()
            } else {
                plain_job(vec![stock("Concentrate", 100.0)], Vec::new())
            };
            for (name, percent, have) in shelf {
                let mut stock = stock(&name, percent);
                stock.have = have.map(litres);
                job.shelf.push(stock);
            }
            for (volume, now, aim) in loops {
                job.loops.push(engine_loop(volume, now, aim));
            }
            for (i, edit) in edits {
                apply(&mut job, i, edit);
            }
            job
        })
}

fn apply(job: &mut Job, i: usize, e: Edit) {
    let count = job.loops.len().max(1);
    match e.what {
        0 => {
            if let Some(stock) = job.shelf.first_mut() {
                stock.percent = e.a;
            }
        }
        1 => {
            if let Some(stock) = job.shelf.last_mut() {
                stock.have = Some(volume(&e));
            }
        }
        2 => {
            if let Some(stock) = job.shelf.last_mut() {
                stock.glycol = Some(glycol(&e));
            }
        }
        3 => job.title = e.name,
        _ => {
            if let Some(lp) = job.loops.get_mut(i % count) {
                of_loop(lp, e);
            }
        }
    }
}

fn of_loop(lp: &mut Loop, e: Edit) {
    match e.what {
        4 => lp.name = e.name,
        5 => {
            lp.kind = Some(
                [
                    Kind::Engine,
                    Kind::LowTemperature,
                    Kind::Battery,
                    Kind::FuelCell,
                ][e.pick % 4],
            )
        }
        6 => lp.glycol = glycol(&e),
        7 => (lp.volume.value, lp.volume.unit) = (e.a, volume(&e).unit),
        8 => lp.volume.plus_minus = Some(e.a),
        9 => lp.missing = Some(volume(&e).into()),
        10..=13 => lp.now = now(&e),
        14 => {
            lp.aim = Aim::Percent {
                value: e.a,
                within: Some(e.b),
            }
        }
        15 => {
            lp.aim = Aim::FreezingPoint {
                value: -e.a,
                unit: temperature(&e).unit,
            }
        }
        16 => {
            lp.limits = Some(Limits {
                low: e.a,
                high: e.b,
            })
        }
        17 => lp.draw_limit = Some(volume(&e)),
        18 => {
            lp.drains = Some(Share {
                fraction: e.a / 60.0,
            })
        }
        19 => {
            lp.renew = Some(Share {
                fraction: e.a / 60.0,
            })
        }
        20 => {
            lp.tank =
                Some([Tank::Pressurised, Tank::RecoveryBottle, Tank::BareRadiator][e.pick % 3])
        }
        21 => lp.tank_room = Some(volume(&e)),
        22 => lp.fill_temperature = Some(temperature(&e)),
        23 => {
            lp.peak_temperature = Some(Quantity {
                value: e.a + 70.0,
                ..temperature(&e)
            })
        }
        24 => lp.running_temperature = Some(temperature(&e)),
        25 => {
            lp.coldest = Some(Quantity {
                value: -e.a,
                ..temperature(&e)
            })
        }
        26 => {
            lp.coldest_margin = Some(Quantity {
                value: e.a,
                unit: IntervalUnit::K,
            })
        }
        27 => lp.cap = Some(pressure(&e)),
        28 => {
            lp.cap_low = Some(Share {
                fraction: e.a / 60.0,
            })
        }
        29 => lp.other_cap = Some(pressure(&e)),
        30 => {
            lp.altitude = Some(Quantity {
                value: e.a * 100.0,
                unit: [LengthUnit::M, LengthUnit::Ft][e.pick % 2],
            })
        }
        31 => {
            lp.measure_step = Some(Quantity {
                value: e.a / 60.0,
                unit: volume(&e).unit,
            })
        }
        32 => {
            lp.dose_step = Some(Quantity {
                value: e.a / 600.0,
                unit: VolumeUnit::L,
            })
        }
        33 => lp.additive = Some(additive(e.a, Some(e.b), None)),
        34 => lp.additive = Some(additive(e.a, None, Some(e.b / 60.0))),
        35 | 36 => {
            let mut wild = additive(30.0, None, Some(0.0));
            wild.rate = rate(&e);
            wild.limit = (e.pick > 6).then(|| {
                rate(&Edit {
                    a: e.b,
                    b: e.a,
                    ..e.clone()
                })
            });
            lp.additive = Some(wild);
        }
        _ => lp.done.push(Done {
            id: (e.pick + 1).to_string(),
            amount: (e.pick > 3).then(|| Quantity {
                value: e.a / 10.0,
                unit: VolumeUnit::L,
            }),
            at: (e.pick > 8).then(|| temperature(&e)),
            ..Done::blank()
        }),
    }
}

fn now(e: &Edit) -> Now {
    let at = Quantity {
        value: e.b,
        unit: TemperatureUnit::DegC,
    };
    match e.pick % 10 {
        0 => Now::FreezingPoint {
            value: -e.a,
            unit: TemperatureUnit::DegC,
            plus_minus: None,
            side: None,
        },
        1 => Now::FreezingPoint {
            value: -e.a,
            unit: TemperatureUnit::DegF,
            plus_minus: Some(e.b),
            side: Some(if e.b > 10.0 { Side::Thin } else { Side::Thick }),
        },
        2 => Now::SpecificGravity {
            value: 1.0 + e.a / 500.0,
            at,
            plus_minus: Some(e.b),
        },
        3 => Now::RefractiveIndex {
            value: 1.33 + e.a / 600.0,
            at,
            plus_minus: None,
        },
        4 => Now::Brix {
            value: e.a,
            at,
            plus_minus: Some(e.b),
        },
        5 => Now::Water {},
        6 => Now::Flushed {
            left_behind: volume(e),
            percent: e.b,
        },
        7 => Now::Empty {},
        8 => Now::Unknown {},
        _ => Now::Percent {
            value: e.a,
            plus_minus: Some(e.b),
        },
    }
}

fn rate(e: &Edit) -> Rate {
    let level = |value| Quantity {
        value,
        unit: [LevelUnit::Ppm, LevelUnit::UnitsPerUsGal][e.pick % 2],
    };
    match e.pick % 6 {
        0 => Rate::Percent { value: e.a },
        1 => Rate::Parts {
            one_in: Some(e.a),
            one_to: None,
        },
        2 => Rate::Parts {
            one_in: None,
            one_to: Some(e.a),
        },
        3 => Rate::Bottle {
            size: litres(e.a / 20.0),
            treats_from: None,
            whole_down_to: None,
            treats_to: litres(e.b),
        },
        4 => Rate::Bottle {
            size: litres(e.a / 20.0),
            treats_from: Some(litres(e.b / 2.0)),
            whole_down_to: None,
            treats_to: litres(e.b),
        },
        _ => Rate::Reading {
            now: level(e.a),
            aim: level(e.b),
            raises: level(e.a * e.b),
            of: None,
        },
    }
}

fn glycol(e: &Edit) -> GlycolName {
    [GlycolName::Ethylene, GlycolName::Propylene][e.pick % 2]
}

fn volume(e: &Edit) -> Quantity<VolumeUnit> {
    let units = [
        VolumeUnit::L,
        VolumeUnit::L,
        VolumeUnit::L,
        VolumeUnit::Ml,
        VolumeUnit::UsGal,
        VolumeUnit::UsQt,
        VolumeUnit::UsFlOz,
        VolumeUnit::ImpGal,
        VolumeUnit::ImpQt,
        VolumeUnit::ImpPt,
        VolumeUnit::ImpFlOz,
    ];
    Quantity {
        value: e.a / 10.0,
        unit: units[e.pick % units.len()],
    }
}

fn temperature(e: &Edit) -> Quantity<TemperatureUnit> {
    Quantity {
        value: e.a,
        unit: [TemperatureUnit::DegC, TemperatureUnit::DegF][e.pick % 2],
    }
}

fn pressure(e: &Edit) -> Quantity<PressureUnit> {
    let (value, unit) = [
        (e.a / 40.0, PressureUnit::Bar),
        (e.a * 3.0, PressureUnit::KPa),
        (e.a / 2.0, PressureUnit::Psi),
    ][e.pick % 3];
    Quantity { value, unit }
}
