//! Logs of drives: the lines against statsmodels and an open data set, verdicts from files, and how often they are wrong.

use crate::{normals::Normals, support::Table};
use pourcard::engine::{
    after::held::{Behaves, Side as At, Thermostat, Thermostats},
    log::{
        fit::{Case, Line, fit},
        steady::Steady,
        verdict::{Seen, Study, Verdict, judge},
    },
};
use pourcard::job::log::{
    columns::Said,
    compare::{Finding, Settings, Side, compare},
    read::Log,
    words::{self, Scale},
};

#[track_caller]
fn near(found: f64, expected: f64, within: f64) {
    assert!(
        (found - expected).abs() <= within,
        "{found}, expected {expected} ± {within}"
    );
}

/// The mixed model over invented drives by statsmodels (MixedLM, REML): line, errors, variances. Its own optimiser ends within
/// some 1e-4 of the likelihood's top.
#[test]
fn the_drive_is_a_random_effect_as_in_statsmodels() {
    let cases: Vec<Case> = Table::read("tests/reference/drives.csv")
        .rows()
        .map(|r| Case {
            drive: r.number("drive") as usize,
            after: r.number("after") > 0.5,
            x: r.number("ambient_C"),
            y: r.number("value_C"),
        })
        .collect();
    let table = Table::read("tests/reference/drives_fit.csv");
    for r in table.rows() {
        let (line, columns) = match r.text("line") {
            "means" => (Line::Means, 2),
            "one_slope" => (Line::OneSlope, 3),
            "two_slopes" => (Line::TwoSlopes, 4),
            _ => continue,
        };
        let found = fit(&cases, line).unwrap();
        for k in 0..columns {
            near(found.line[k], r.number(&format!("b{k}")), 2e-3);
            near(found.errors[k], r.number(&format!("e{k}")), 2e-3);
        }
        near(found.between, r.number("between"), 5e-3);
        near(found.within, r.number("within"), 2e-3);
        assert_eq!(found.freedom as usize, 9 - columns);
    }
    // What a verdict goes by is never surer than the drives' means alone, by statsmodels' OLS over them.
    let found = fit(&cases, Line::OneSlope).unwrap();
    let means = table
        .rows()
        .find(|r| r.text("line") == "means_of_drives")
        .unwrap();
    near(found.means_error.unwrap(), means.number("e1"), 1e-6);
    near(
        found.change_error(),
        means.number("e1").max(found.errors[1]),
        1e-9,
    );
}

/// Venables and Ripley, Modern Applied Statistics with S: weekly gas consumption over the outside temperature before and after
/// insulation. Separate lines give 6.8538 − 0.3932 T before, and a change of −2.1300 + 0.1153 T.
#[test]
fn whiteside_s_gas() {
    let cases: Vec<Case> = Table::read("tests/reference/whiteside.csv")
        .rows()
        .enumerate()
        .map(|(drive, r)| Case {
            drive,
            after: r.text("Insul") == "After",
            x: r.number("Temp"),
            y: r.number("Gas"),
        })
        .collect();
    assert_eq!(cases.len(), 56);
    let found = fit(&cases, Line::TwoSlopes).unwrap();
    for (b, printed) in found.line.iter().zip([6.8538, -2.1300, -0.3932, 0.1153]) {
        near(*b, printed, 5.1e-5);
    }
    // The same by statsmodels, in `regenerate.py`.
    for (e, kept) in found
        .errors
        .iter()
        .zip([0.135_964, 0.180_092, 0.022_487, 0.032_112])
    {
        near(*e, kept, 5.1e-7);
    }
    assert_eq!(found.freedom, 52);
}

/// A drive of ten minutes at 80 km/h: ambient, and the coolant's temperature.
fn drive(begin: f64, ambient: f64, coolant: f64, chance: &mut Normals) -> String {
    let mut text = String::new();
    for s in 0..600 {
        let value = coolant + 0.3 * chance.next();
        text += &format!("{},{value:.2},80,40,{ambient}\n", begin + f64::from(s));
    }
    text
}

const HEAD: &str = "time (s),coolant (°C),speed (km/h),load (%),ambient (°C)\n";

fn file(name: &str, after: bool, drives: &[(f64, f64)], chance: &mut Normals) -> Side {
    let mut log = Log::new(Said::default(), Steady::default());
    log.feed(HEAD.as_bytes());
    for (i, (ambient, coolant)) in drives.iter().enumerate() {
        log.feed(drive(i as f64 * 5000.0, *ambient, *coolant, chance).as_bytes());
    }
    let read = log.end().unwrap();
    assert_eq!(read.drives.len(), drives.len());
    Side {
        name: name.to_owned(),
        after,
        read,
    }
}

const FULL: Option<Thermostat> = Some(Thermostat {
    opens_c: 82.0,
    full_open_c: 95.0,
    side: At::Outlet,
});

fn told(before: &[(f64, f64)], after: &[(f64, f64)], thermostat: Option<Thermostat>) -> Finding {
    let mut chance = Normals::from(5);
    let sides = [
        file("before.csv", false, before, &mut chance),
        file("after.csv", true, after, &mut chance),
    ];
    compare(
        &sides,
        &Settings {
            accuracy_k: 2.0,
            planned: None,
            thermostats: Thermostats {
                before: thermostat,
                after: thermostat,
            },
        },
    )
}

fn verdict(found: &Finding) -> &'static str {
    assert_eq!(found.signals.len(), 1, "{found:?}");
    found.signals[0].verdict
}

/// A coolant that follows the air by 1 K a kelvin above full open, and is 8 K cooler after.
#[test]
fn a_free_coolant_is_compared_at_equal_ambient() {
    let line = |air: f64, off: f64| (air, 80.0 + air + off);
    let before: Vec<_> = [22.0, 26.0, 30.0, 34.0, 24.0]
        .map(|a| line(a, 0.3 * (a % 4.0 - 1.0)))
        .into();
    let after: Vec<_> = [28.0, 32.0, 36.0, 26.0, 33.0]
        .map(|a| line(a, -8.0 + 0.2 * (a % 3.0)))
        .into();
    let found = told(&before, &after, FULL);
    assert_eq!(verdict(&found), "cooler", "{found:?}");
    let signal = &found.signals[0];
    assert_eq!((signal.behaves, signal.drives), ("free", (5, 5)));
    near(signal.difference_k.unwrap(), -8.0, 0.7);
    near(signal.slope.unwrap(), 1.0, 0.1);
    assert!(
        words::verdict(signal, Scale { fahrenheit: false })
            .starts_with("Coolant, above full open: cooler by ")
    );
    // The same air tells no slope, and is compared as it is.
    let same = |off: f64| [0.0, 0.1, 0.2, 0.3].map(|w| (30.0, 110.0 + off + w));
    assert_eq!(verdict(&told(&same(0.0), &same(-8.0), FULL)), "cooler");
}

/// The thermostat holds it whatever the air does, on cold days and on warm ones.
#[test]
fn a_held_coolant_is_no_cooler_on_a_warm_day() {
    let before: Vec<_> = [5.0, 14.0, 9.0, 18.0]
        .map(|a| (a, 90.0 + a % 2.0 / 5.0))
        .into();
    let after: Vec<_> = [10.0, 19.0, 16.0, 22.0]
        .map(|a| (a, 90.1 - a % 3.0 / 5.0))
        .into();
    let found = told(&before, &after, FULL);
    assert_eq!(
        (verdict(&found), found.signals[0].behaves),
        ("none_seen", "held")
    );
    // Nobody knows of a thermostat: as it stands nothing changed, as a rise it is 7 K.
    assert_eq!(verdict(&told(&before, &after, None)), "air_differed");
}

/// One log each, two drives each, ranges apart, and no column for ambient.
#[test]
fn what_logs_cannot_say() {
    let one = told(&[(20.0, 100.0)], &[(20.0, 90.0)], FULL);
    let line = words::verdict(&one.signals[0], Scale { fahrenheit: false });
    // 100 °C is above full open, 90 °C is held: they are never in one line.
    assert_eq!(one.signals.len(), 2);
    assert!(line.contains("no steady stretch of both sides"), "{line}");
    let one = told(&[(20.0, 100.0)], &[(20.0, 90.0)], None);
    assert_eq!(verdict(&one), "two_drives");
    let line = words::verdict(&one.signals[0], Scale { fahrenheit: true });
    assert!(
        line.contains("these two drives differ: after it was 18.0\u{a0}°F cooler"),
        "{line}"
    );
    let two = told(&[(20.0, 100.0); 2], &[(20.0, 90.0); 3], None);
    assert_eq!(verdict(&two), "few_drives");
    let apart = |air: f64, t: f64| [0.0, 1.0, 2.0, 3.0].map(|a| (air + a, t + a));
    let found = told(&apart(0.0, 110.0), &apart(25.0, 120.0), FULL);
    assert_eq!(verdict(&found), "air_apart");
}

/// Speed and load that differ are said, idling is left out beside driving.
#[test]
fn unlike_drives_are_said() {
    let mut chance = Normals::from(1);
    let mut slow = file("a", false, &[(20.0, 100.0)], &mut chance);
    let mut idle = slow.clone();
    for b in &mut slow.read.drives[0].blocks {
        b.mean.speed = 60.0;
    }
    for b in &mut idle.read.drives[0].blocks {
        b.mean.speed = 0.0;
    }
    let fast = file("b", true, &[(20.0, 100.0)], &mut chance);
    let settings = Settings {
        accuracy_k: 2.0,
        planned: None,
        thermostats: Thermostats::default(),
    };
    let found = compare(&[slow, idle, fast], &settings);
    near(found.speed_differs.unwrap(), 20.0, 1e-6);
    assert_eq!((found.load_differs, found.standing), (None, 4));
    assert_eq!(words::notes(&found).len(), 2);
}

/// Studies: how many drives a side, how many blocks a drive, what a drive scatters beside a block, and a look after each drive.
#[test]
fn at_most_one_study_in_twenty_is_wrong() {
    let said = std::env::var("POURCARD_STUDIES").ok();
    let studies: u32 = said.map_or(400, |s| s.parse().unwrap());
    for (seed, drive_sd, kind) in [
        (1, 0.0, Behaves::Free),
        (2, 1.0, Behaves::Free),
        (3, 1.0, Behaves::Held),
        (4, 1.0, Behaves::Unknown),
    ] {
        let mut chance = Normals::from(seed);
        let (mut wrong, mut covered, mut power) = (0, 0, 0);
        for _ in 0..studies {
            let mut seen: Vec<Seen> = Vec::new();
            for drive in 0..24 {
                let after = drive % 2 == 1;
                let (height, air) = (drive_sd * chance.next(), 15.0 + 10.0 * chance.uniform());
                let blocks = 2 + (6.0 * chance.uniform()) as usize;
                for _ in 0..blocks {
                    let ambient = air + 0.5 * chance.next();
                    let slope = match kind {
                        Behaves::Free => 1.0,
                        _ => 0.0,
                    };
                    seen.push(Seen {
                        drive,
                        after,
                        ambient,
                        value: 90.0 + slope * ambient + height + chance.next(),
                    });
                }
            }
            let study = Study {
                accuracy_k: 0.0,
                planned: None,
                thermostats: Thermostats::default(),
                together: 1,
            };
            let look = |drives: usize, change: f64| {
                let of: Vec<Seen> = seen
                    .iter()
                    .filter(|s| s.drive < drives)
                    .map(|s| Seen {
                        value: s.value + if s.after { change } else { 0.0 },
                        ..*s
                    })
                    .collect();
                judge(kind, &of, &study)
            };
            let told = |v: Verdict| matches!(v, Verdict::Cooler | Verdict::Warmer);
            // After each drive, up to twelve a side; then at twelve.
            wrong += u32::from((6..=24).any(|n| told(look(n, 0.0).verdict)));
            let last = look(24, 0.0);
            covered += u32::from(last.difference_k.unwrap().abs() <= last.plus_minus_k.unwrap());
            power += u32::from(look(24, -4.0).verdict == Verdict::Cooler);
        }
        let share = |n: u32| f64::from(n) / f64::from(studies);
        let reach = 2.75 * (0.05 * 0.95 / f64::from(studies)).sqrt();
        println!(
            "{kind:?} {drive_sd}: wrong {:.4}, covered {:.4}, power {:.3}",
            share(wrong),
            share(covered),
            share(power)
        );
        assert!(
            share(wrong) <= 0.05 + reach,
            "{kind:?} {drive_sd}: {}",
            share(wrong)
        );
        if kind != Behaves::Unknown {
            assert!(
                share(covered) >= 0.95 - 1.5 * reach,
                "{kind:?} {drive_sd}: {}",
                share(covered)
            );
        }
        // Four kelvin are some seven standard errors of the drives' means.
        assert!(
            kind == Behaves::Unknown || share(power) > 0.95,
            "{}",
            share(power)
        );
    }
}
