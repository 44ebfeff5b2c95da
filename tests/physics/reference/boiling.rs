//! Boiling of the mixes against other models, and what the excess enthalpies say about it.

use super::by_mass;
use super::within;
use crate::support::Table;
use pourcard::engine::fluid::Glycol::{self, Ethylene, Propylene};
use pourcard::engine::property::*;
use pourcard::engine::quantity::*;

fn boils_c(glycol: Glycol, mass_percent: f64, kpa: f64) -> f64 {
    in_celsius(boiling_point(glycol, by_mass(glycol, mass_percent), kilopascals(kpa)).unwrap())
}

fn deviations(glycol: Glycol, file: &str, column: &str) -> Vec<f64> {
    Table::read(file)
        .rows()
        .map(|r| boils_c(glycol, r.number("mass_pct"), r.number("P_kPa_abs")) - r.number(column))
        .collect()
}

// The same equations solved by other code (general-purpose libraries: IAPWS-95 water, the same vapour pressure of
// ethylene glycol, A = −0.0948; another one of propylene glycol). 0.05 K: A here is −0.0967, and IF97 is 0.01 K from IAPWS-95.
#[test]
fn solved_as_another_solver_does() {
    within(
        "ethylene, Margules elsewhere, K",
        deviations(
            Ethylene,
            "tests/reference/bubble_oracle_eg.csv",
            "T_Margules_A-0.0948_C",
        ),
        -0.05,
        0.05,
    );
    within(
        "propylene, Margules elsewhere, K",
        deviations(
            Propylene,
            "tests/reference/bubble_oracle_pg.csv",
            "T_Margules_A0.6_C_ESTIMATE",
        ),
        -0.05,
        0.05,
    );
}

// UNIFAC (modified Dortmund) with the diol group, which reproduces Kamihama's measurements to 0.15 K at 101.3 kPa:
// an estimate at the other pressures, and inside the ± 0.6 K stated for them (0.5 found).
#[test]
fn ethylene_within_half_a_kelvin_of_group_contribution_under_pressure() {
    within(
        "ethylene, UNIFAC diol, K",
        deviations(
            Ethylene,
            "tests/reference/bubble_oracle_eg.csv",
            "T_UNIFAC_DO_DOH_C",
        ),
        -0.5,
        0.5,
    );
}

// For propylene nothing is measured. What the estimates can say: an ideal mixture boils highest, group contribution
// without a diol group lowest, and A = 0.6 lies between them everywhere.
#[test]
fn propylene_lies_between_the_estimates() {
    let file = "tests/reference/bubble_oracle_pg.csv";
    within(
        "propylene over ideal, K",
        deviations(Propylene, file, "T_Raoult_C"),
        -3.0,
        0.01,
    );
    within(
        "propylene over UNIFAC, K",
        deviations(Propylene, file, "T_UNIFAC_orig_C"),
        -0.01,
        4.0,
    );
}

// Gibbs–Helmholtz: the Margules A changes between two temperatures by −h/(R x₁ x₂) (1/T₁ − 1/T₂), h the excess
// enthalpy (Zehioua et al. 2009 at 25 °C; it shrinks with heat, so this is the most). A is fitted at the temperatures of
// 101.3 kPa and kept to 350 kPa: the error this makes is inside the stated ± 0.6 K to 75 mass %.
#[test]
fn a_constant_margules_costs_less_than_stated_under_pressure() {
    const GAS: f64 = 8.314_462_618;
    let mut checked = 0;
    for row in Table::read("tests/reference/he_eg_water_298K.csv").rows() {
        let (x_water, h) = (row.number("x_water"), row.number("HE_J_mol"));
        let x_glycol = 1.0 - x_water;
        let moles = [x_water * 18.015_28, x_glycol * 62.067_84];
        let mass = 100.0 * moles[1] / (moles[0] + moles[1]);
        assert!(h < 0.0, "mixing warms at every composition");
        if mass > 75.0 {
            continue;
        }
        let (cool, hot) = (
            boils_c(Ethylene, mass, 101.325) + 273.15,
            boils_c(Ethylene, mass, 350.0) + 273.15,
        );
        let change = -h / (GAS * x_water * x_glycol) * (1.0 / cool - 1.0 / hot);
        // d ln p / dT of the mix, by two pressures.
        let steep = (boils_c(Ethylene, mass, 350.0) - boils_c(Ethylene, mass, 343.0))
            / (350.0f64 / 343.0).ln();
        let kelvin = change * x_glycol * x_glycol * steep;
        println!("{mass:.1} mass %: A + {change:.3}, {kelvin:.2} K");
        assert!((0.0..=0.6).contains(&kelvin), "{mass} {kelvin}");
        checked += 1;
    }
    assert!(checked >= 3);
}

// Excess enthalpy of propylene glycol and water, 25 °C: negative throughout, so the mixture departs further from
// ideal (towards positive) with heat. It cannot give A itself, only agree that A at boiling exceeds A at 25 °C.
#[test]
fn propylene_mixing_warms_at_every_composition() {
    let rows: Vec<f64> = Table::read("tests/reference/he_pg_water_298K.csv")
        .rows()
        .map(|r| r.number("HE_J_mol"))
        .collect();
    within("propylene excess enthalpy, J/mol", rows, -1000.0, -1.0);
}
