//! How often the survey is wrong, by simulation: studies with nothing to find, and with something.
//!
//! A false verdict is one of "cooler" or "warmer" where nothing changed, at any look. At most 5 % of studies and the reach of
//! chance may have one, in every mode: of 10^4 that is 5.6 %. `POURCARD_STUDIES` sets how many there are (`cargo xtask test
//! --deep`: ten thousand); the seed is fixed.

use crate::normals::Normals;
use pourcard::engine::after::{
    equal::Reading,
    held::{Side, Thermostats},
    power::Sought,
    survey::{Place, Stop, Study, Verdict, compare},
};

/// In `cargo test` and in the gate.
const STUDIES: u32 = 600;

fn studies() -> u32 {
    let said = std::env::var("POURCARD_STUDIES").ok();
    said.map_or(STUDIES, |s| s.parse().unwrap())
}

/// How far chance reaches in so many studies: 0.6 points in ten thousand, for each of a few modes.
fn reach(share: f64) -> f64 {
    2.75 * (share * (1.0 - share) / f64::from(studies())).sqrt()
}

/// How a study goes.
#[derive(Clone, Copy)]
struct Mode {
    name: &'static str,
    paired: bool,
    /// Places judged together.
    places: usize,
    /// Standard deviation of a drive (both runs of a pair share it), before and after; of a run within it is 1.
    drive: f64,
    /// Of the runs before, where it is another.
    before: f64,
    /// Readings at each stop.
    readings: usize,
    /// Looks: runs before and after at each, and what was planned then.
    looks: &'static [(usize, usize, Option<u32>)],
}

const USUAL: Mode = Mode {
    name: "",
    paired: false,
    places: 1,
    drive: 0.0,
    before: 1.0,
    readings: 1,
    looks: AFTER_EACH,
};
/// After every run, first one side and then the other.
const AFTER_EACH: &[(usize, usize, Option<u32>)] = &[
    (3, 3, None),
    (4, 3, None),
    (4, 4, None),
    (5, 4, None),
    (5, 5, None),
    (6, 5, None),
    (6, 6, None),
    (7, 7, None),
    (8, 8, None),
    (9, 9, None),
    (10, 10, None),
    (11, 11, None),
    (12, 12, None),
];
const PLANNED: &[(usize, usize, Option<u32>)] = &[
    (3, 3, Some(5)),
    (4, 4, Some(5)),
    (5, 5, Some(5)),
    (6, 6, Some(5)),
    (7, 7, Some(5)),
    (8, 8, Some(5)),
    (9, 9, Some(5)),
    (10, 10, Some(5)),
];
const LOOKS_THEN_PLANS: &[(usize, usize, Option<u32>)] = &[
    (3, 3, None),
    (4, 4, None),
    (5, 5, None),
    (10, 10, Some(10)),
    (11, 11, Some(10)),
    (12, 12, Some(10)),
];
const ONE_SIDE: &[(usize, usize, Option<u32>)] = &[
    (12, 3, None),
    (12, 4, None),
    (12, 5, None),
    (12, 6, None),
    (12, 8, None),
    (12, 10, None),
    (12, 12, None),
];

const MODES: &[Mode] = &[
    Mode {
        name: "sides apart, a look after each run",
        ..USUAL
    },
    Mode {
        name: "pairs, a look after each",
        paired: true,
        ..USUAL
    },
    Mode {
        name: "a drive as large as the scatter within it",
        drive: 1.0,
        readings: 3,
        ..USUAL
    },
    Mode {
        name: "the same in pairs",
        drive: 1.0,
        readings: 3,
        paired: true,
        ..USUAL
    },
    Mode {
        name: "one side scatters tenfold",
        before: 10.0,
        ..USUAL
    },
    Mode {
        name: "all before, then a look after each run after",
        before: 0.1,
        looks: ONE_SIDE,
        ..USUAL
    },
    Mode {
        name: "planned, and looks on",
        looks: PLANNED,
        ..USUAL
    },
    Mode {
        name: "pairs planned, and looks on",
        looks: PLANNED,
        paired: true,
        ..USUAL
    },
    Mode {
        name: "looks, then plans",
        looks: LOOKS_THEN_PLANS,
        paired: true,
        ..USUAL
    },
    Mode {
        name: "six places",
        places: 6,
        ..USUAL
    },
    Mode {
        name: "six places in pairs",
        places: 6,
        paired: true,
        ..USUAL
    },
];

fn study(planned: Option<u32>) -> Study {
    Study {
        accuracy_k: 0.0,
        sought_k: None,
        planned,
        thermostats: Thermostats::default(),
    }
}

/// Twelve runs of each side at every place; `change`: what the change brings.
fn drawn(mode: &Mode, change: f64, chance: &mut Normals) -> Vec<Vec<Stop>> {
    let most = 12;
    let drives: Vec<f64> = (0..2 * most).map(|_| mode.drive * chance.next()).collect();
    let place = |chance: &mut Normals| {
        let mut stops = Vec::new();
        for i in 0..2 * most {
            let after = i >= most;
            let pair = i % most;
            let drive = drives[if mode.paired { pair } else { i }];
            let scatter = if after { 1.0 } else { mode.before };
            let change = if after { change } else { 0.0 };
            let mut one = || Reading {
                minutes: None,
                spot_c: 90.0 + change + drive + scatter * chance.next(),
                ambient_c: 20.0,
                stretch: 1.0,
            };
            stops.push(Stop {
                after,
                pair: mode.paired.then_some(pair as u32),
                readings: (0..mode.readings).map(|_| one()).collect(),
            });
        }
        stops
    };
    (0..mode.places).map(|_| place(chance)).collect()
}

/// The first so many of each side.
fn looked(all: &[Vec<Stop>], before: usize, after: usize) -> Vec<Place> {
    let place = |stops: &Vec<Stop>| Place {
        stops: [&stops[..before], &stops[12..12 + after]].concat(),
        side: Some(Side::Air),
        mirrors: false,
    };
    all.iter().map(place).collect()
}

fn told(verdict: Verdict) -> bool {
    matches!(verdict, Verdict::Cooler | Verdict::Warmer)
}

#[test]
fn at_most_one_study_in_twenty_is_wrong_in_any_mode() {
    for (seed, mode) in (1..).zip(MODES) {
        let mut chance = Normals::from(seed);
        let mut wrong = 0;
        for _ in 0..studies() {
            let all = drawn(mode, 0.0, &mut chance);
            let any = mode.looks.iter().any(|&(before, after, planned)| {
                let found = compare(&looked(&all, before, after), &study(planned));
                found.spots.iter().any(|s| told(s.verdict))
            });
            wrong += u32::from(any);
        }
        let share = f64::from(wrong) / f64::from(studies());
        println!("{:.4}  {}", share, mode.name);
        assert!(share <= 0.05 + reach(0.05), "{}: {share}", mode.name);
    }
}

/// The 95 % range holds the truth at least so often, at a size that was stated beforehand.
#[test]
fn the_range_holds_the_truth() {
    for (seed, mode) in (1..).zip(MODES) {
        for (before, after) in [(3, 3), (4, 7), (12, 12)] {
            let mut chance = Normals::from(100 + seed);
            let mut held = 0;
            for _ in 0..studies() {
                let all = drawn(mode, -3.0, &mut chance);
                let spot = compare(&looked(&all, before, after), &study(None))
                    .spots
                    .remove(0);
                let (k, half) = (
                    spot.difference.unwrap().value,
                    spot.plus_minus.unwrap().value,
                );
                held += u32::from((k + 3.0).abs() <= half);
            }
            let share = f64::from(held) / f64::from(studies());
            // Thirty-three shares: the worst of them is further off.
            assert!(
                share >= 0.95 - 1.5 * reach(0.05),
                "{} {before} {after}: {share}",
                mode.name
            );
        }
    }
}

/// With something to find, it is found as often as was promised.
#[test]
fn power_is_as_predicted() {
    for (seed, paired, change, runs) in [(1, false, 1.8, 6), (2, true, 2.2, 6), (3, false, 1.2, 12)]
    {
        let mode = Mode { paired, ..USUAL };
        let sought = Sought {
            difference_k: change,
            // The difference of two runs scatters √2 times as much as a run.
            scatter_k: if paired { 2f64.sqrt() } else { 1.0 },
            paired,
            chance: 0.025,
        };
        let predicted = sought.power(runs as u32);
        let mut chance = Normals::from(200 + seed);
        let mut found = 0;
        for _ in 0..studies() {
            let all = drawn(&mode, -change, &mut chance);
            let spot = compare(&looked(&all, runs, runs), &study(Some(runs as u32)))
                .spots
                .remove(0);
            found += u32::from(spot.verdict == Verdict::Cooler);
        }
        let share = f64::from(found) / f64::from(studies());
        assert!(
            (share - predicted).abs() <= reach(predicted) + 0.003,
            "{share}, predicted {predicted}"
        );
    }
}
