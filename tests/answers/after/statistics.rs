//! Student, lines, emissivity.

use super::near;
use crate::support::Table;
use pourcard::engine::after::{
    equal::Reading,
    held::{Side, Thermostats},
    level, power, student, survey,
};
use pourcard::engine::fluid::Glycol;
use pourcard::engine::quantity::{LabelFraction, celsius, in_celsius, in_litres, litres};

/// NIST/SEMATECH e-Handbook 1.3.6.7.2 to its three decimals, SciPy to nine.
#[test]
fn t_is_the_published_table() {
    for r in Table::read("tests/reference/student_t.csv").rows() {
        let freedom = r.number("freedom") as u32;
        let t = student::t_95(freedom);
        near(t, r.number("t_975_published"), 5.1e-4);
        near(t, r.number("t_975_scipy"), 1e-9);
        near(
            student::two_sided(3.0, freedom),
            r.number("p_of_3_scipy"),
            1e-11,
        );
    }
}

/// Student's own example: ten patients under two drugs (figures of every textbook, and of SciPy).
#[test]
fn the_paired_test_on_students_own_data() {
    let rows = Table::read("tests/reference/student_sleep.csv");
    let stop = |after: bool, pair: usize, value: f64| survey::Stop {
        after,
        pair: Some(pair as u32),
        readings: vec![Reading {
            minutes: None,
            spot_c: value,
            ambient_c: 0.0,
            stretch: 1.0,
        }],
    };
    let stops = rows.rows().enumerate().flat_map(|(i, r)| {
        [
            stop(false, i, r.number("second")),
            stop(true, i, r.number("first")),
        ]
    });
    let place = survey::Place {
        stops: stops.collect(),
        side: Some(Side::Air),
        mirrors: false,
    };
    let study = survey::Study {
        accuracy_k: 0.1,
        sought_k: None,
        planned: Some(10),
        thermostats: Thermostats::default(),
    };
    let judged = survey::compare(&[place], &study).spots.remove(0);
    let (mean, half) = (
        judged.difference.unwrap().value,
        judged.plus_minus.unwrap().value,
    );
    near(mean, -1.58, 1e-12);
    near(mean - half, -2.459_885_8, 1e-6);
    near(mean + half, -0.700_114_2, 1e-6);
    near(judged.probability.unwrap(), 0.002_833, 5e-7);
    assert_eq!(judged.verdict, survey::Verdict::Cooler);
}

/// SciPy's noncentral t, and its chi-square for the standard deviation's upper bound.
#[test]
fn so_many_runs_would_tell() {
    for r in Table::read("tests/reference/survey_power.csv").rows() {
        let sought = power::Sought {
            difference_k: r.number("difference"),
            scatter_k: 1.0,
            paired: r.text("kind") == "pairs",
            chance: r.number("chance"),
        };
        let runs = r.number("runs") as u32;
        near(sought.power(runs), r.number("power"), 2e-5);
        assert_eq!(sought.runs(), Some(r.number("needed") as u32), "{sought:?}");
        let bound = r.number("upper_80");
        near(power::upper_80(runs), bound, 0.01 * bound);
    }
}

#[test]
fn the_line_through_levels_is_scipys() {
    let table = Table::read("tests/reference/level_line.csv");
    let looks: Vec<level::Look> = table
        .rows()
        .map(|r| level::Look {
            day: r.number("day"),
            below: litres(r.number("below_L")),
            added: litres(0.0),
            at: Some(celsius(20.0)),
            strength: None,
        })
        .collect();
    let lp = level::Looked {
        vented: false,
        glycol: Glycol::Ethylene,
        strength: LabelFraction::from_percent(50.0).unwrap(),
        volume: litres(8.4),
        step: litres(0.05),
    };
    let found = level::levels(&lp, &looks);
    let row = table.rows().next().unwrap();
    near(in_litres(found.lost), row.number("lost_L"), 1e-9);
    near(
        in_litres(found.plus_minus),
        row.number("plus_minus_L"),
        1e-9,
    );
    assert_eq!(found.course, level::Course::Leak);
}

#[test]
fn a_surface_is_what_balances_the_radiation() {
    for r in Table::read("tests/reference/emissivity.csv").rows() {
        let shown = celsius(r.number("shown_C"));
        let reflected = celsius(r.number("reflected_C"));
        let (setting, emissivity) = (r.number("setting"), r.number("emissivity"));
        let t = survey::surface(shown, reflected, setting, emissivity).unwrap();
        near(in_celsius(t), r.number("surface_C"), 1e-6);
        // The stretch is the slope.
        let up = survey::surface(
            celsius(r.number("shown_C") + 0.01),
            reflected,
            setting,
            emissivity,
        );
        let slope = (up.unwrap().value - t.value) / 0.01;
        near(
            survey::stretch(shown, t, setting, emissivity),
            slope.max(1.0),
            1e-3,
        );
    }
}

/// With nothing to mirror, a total-radiation thermometer set to 1 shows T ε^(1/4): the textbook's form (Michalski et
/// al., Temperature Measurement, ch. 8; from memory).
#[test]
fn with_cold_surroundings_it_is_the_fourth_root() {
    for emissivity in [0.3, 0.6, 0.95] {
        let t = survey::surface(celsius(100.0), celsius(-273.15), 1.0, emissivity).unwrap();
        near(t.value, 373.15 / f64::powf(emissivity, 0.25), 1e-9);
    }
}
