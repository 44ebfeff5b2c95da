//! Against the tables the engine reads.

use super::{GLYCOLS, freezing_c, percent};
use crate::support::Table;
use pourcard::engine::fluid::Glycol;
use pourcard::engine::property::*;
use pourcard::engine::quantity::*;
use uom::si::pressure::kilopascal;

/// Worst relative error, in percent, of one property over a table's rows.
fn worst(
    column: &str,
    value: impl Fn(Glycol, LabelFraction, ThermodynamicTemperature) -> f64,
) -> f64 {
    let mut worst = 0.0f64;
    for (glycol, name) in GLYCOLS {
        for row in Table::read(&format!("data/{name}_properties.csv")).rows() {
            let strength = percent(row.number("conc_vol_pct"));
            let found = value(glycol, strength, celsius(row.number("temp_C")));
            worst = worst.max((found / row.number(column) - 1.0).abs() * 100.0);
        }
    }
    worst
}

#[test]
fn density_within_0_01_percent() {
    let worst = worst("rho_kg_m3", |g, s, t| density(g, s, t).unwrap().value);
    println!("density {worst} %");
    assert!(worst <= 0.01, "{worst} %");
}

#[test]
fn specific_heat_within_0_05_percent() {
    let worst = worst("cp_J_kgK", |g, s, t| specific_heat(g, s, t).unwrap().value);
    println!("specific heat {worst} %");
    assert!(worst <= 0.05, "{worst} %");
}

#[test]
fn conductivity_within_0_7_percent() {
    let worst = worst("k_W_mK", |g, s, t| conductivity(g, s, t).unwrap().value);
    println!("conductivity {worst} %");
    assert!(worst <= 0.7, "{worst} %");
}

#[test]
fn viscosity_within_3_percent() {
    let worst = worst("mu_mPa_s", |g, s, t| {
        1000.0 * viscosity(g, s, t).unwrap().value
    });
    println!("viscosity {worst} %");
    assert!(worst <= 3.0, "{worst} %");
}

#[test]
fn freezing_within_0_3_kelvin_by_volume_and_by_mass() {
    let mut worst = [0.0f64; 2];
    for (glycol, name) in GLYCOLS {
        for row in Table::read(&format!("data/{name}_freezing.csv")).rows() {
            let by_volume = percent(row.number("vol_pct"));
            let mass = MassFraction::new(row.number("mass_pct") / 100.0).unwrap();
            let by_mass = label_fraction(glycol, mass);
            for (w, s) in worst.iter_mut().zip([by_volume, by_mass]) {
                *w = w.max((freezing_c(glycol, s) - row.number("freezing_C")).abs());
            }
        }
    }
    println!("freezing {worst:?} K");
    assert!(worst[0] <= 0.3 && worst[1] <= 0.3, "{worst:?} K");
}

#[test]
fn freezing_falls_with_strength_and_turns_back() {
    for glycol in Glycol::ALL {
        let mut before = 0.1;
        let most = freezing::range(glycol).high;
        for i in 0..=1000 {
            let s = percent(most * f64::from(i) / 1000.0);
            let t = freezing_c(glycol, s);
            assert!(t < before, "{glycol:?} {s:?}");
            before = t;
            let back = strength_for_freezing(glycol, celsius(t)).unwrap();
            assert!(
                (back.fraction() - s.fraction()).abs() < 1e-9,
                "{s:?} {back:?}"
            );
        }
    }
}

#[test]
fn pairs_within_0_1_point_and_both_ways() {
    let mut worst = 0.0f64;
    for (glycol, name) in GLYCOLS {
        for row in Table::read(&format!("data/{name}_freezing.csv")).rows() {
            let w = mass_fraction(glycol, percent(row.number("vol_pct")));
            worst = worst.max((100.0 * w.fraction() - row.number("mass_pct")).abs());
        }
        for i in 0..=1000 {
            let s = percent(f64::from(i) / 10.0);
            let back = label_fraction(glycol, mass_fraction(glycol, s));
            assert!(
                (back.fraction() - s.fraction()).abs() < 1e-13,
                "{s:?} {back:?}"
            );
        }
    }
    println!("pairs {worst} points");
    assert!(worst <= 0.1, "{worst} points");
}

// Kamihama et al. 2012, 101.3 kPa.
#[test]
fn boiling_ethylene_within_0_15_kelvin_to_75_mass_percent() {
    let mut worst = [0.0f64; 2];
    for row in Table::read("data/ethylene_boiling.csv").rows() {
        let mass = row.number("mass_pct_EG");
        let strength = label_fraction(Glycol::Ethylene, MassFraction::new(mass / 100.0).unwrap());
        let Ok(t) = boiling_point(
            Glycol::Ethylene,
            strength,
            Pressure::new::<kilopascal>(101.3),
        ) else {
            assert!(strength.percent() > boiling::range(Glycol::Ethylene).high);
            continue;
        };
        let error = (t.value - row.number("T_K")).abs();
        worst[usize::from(mass > 75.0)] = worst[usize::from(mass > 75.0)].max(error);
    }
    println!("boiling {worst:?} K");
    assert!(worst[0] <= 0.15 && worst[1] <= 0.4, "{worst:?} K");
}

// The bookkeeping's own figures: 1 L of concentrate and 1 L of water, worked from the densities of the tables
// (concentrate 1131.8 kg/m³ ethylene, about 1047 propylene, extrapolated).
#[test]
fn a_litre_and_a_litre_make_less_than_two() {
    for (glycol, rho, litres) in [
        (Glycol::Ethylene, 1131.8, 1.984),
        (Glycol::Propylene, 1047.0, 1.961),
    ] {
        let concentrate = concentrate_density(glycol).value;
        assert!((concentrate - rho).abs() < 0.2, "{concentrate}");
        let mass = concentrate + water_density_20c().value;
        let made = mass / density(glycol, percent(50.0), celsius(20.0)).unwrap().value;
        assert!((made - litres).abs() < 0.0005, "{made}");
        let undiluted = density(glycol, LabelFraction::CONCENTRATE, celsius(20.0))
            .unwrap()
            .value;
        assert!((undiluted - concentrate).abs() < 1e-9);
    }
}
