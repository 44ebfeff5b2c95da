//! Laboratory rows the tables know nothing of. Pure glycols, so these are agreements between sources: regression pins,
//! each with what makes the difference.

use super::{by_mass, freezing_c, percent, within};
use crate::support::{Row, Table};
use pourcard::engine::fluid::Glycol::{self, Ethylene, Propylene};
use pourcard::engine::property::*;
use pourcard::engine::quantity::*;

fn rows_to_90(
    file: &str,
    glycol: Glycol,
    keep: impl Fn(&Row) -> bool,
    deviation: impl Fn(&Row, LabelFraction) -> f64,
) -> Vec<f64> {
    Table::read(file)
        .rows()
        .filter(|r| keep(r) && r.number("temp_C") <= 125.0)
        .map(|r| (by_mass(glycol, r.number("mass_pct")), r))
        .filter(|(s, _)| s.percent() <= 90.0)
        .map(|(s, r)| deviation(&r, s))
        .collect()
}

// Nakanishi 1967, MacBeth 1951, George and Sastry 2003, Sun and Teja 2004: pure propylene glycol is lighter than the
// inhibited product, by up to 1 %.
#[test]
fn propylene_density() {
    let all = rows_to_90(
        "data/propylene_density.csv",
        Propylene,
        |_| true,
        |r, s| {
            let ours = density(Propylene, s, celsius(r.number("temp_C")))
                .unwrap()
                .value;
            100.0 * (ours / r.number("rho_kg_m3") - 1.0)
        },
    );
    within("propylene density, %", all, -0.05, 1.0);
}

// Pure propylene glycol. The rows scatter: George and Sastry's stand 16 % above the others at 25 °C and 20 % below at
// 35 °C for the same mixtures; Gerke's, Tanaka's and Sun and Teja's agree with the tables to 9 %.
#[test]
fn propylene_viscosity() {
    let file = "tests/reference/pg_viscosity_experimental.csv";
    let ours = |r: &Row, s: LabelFraction| {
        let mu = 1000.0
            * viscosity(Propylene, s, celsius(r.number("temp_C")))
                .unwrap()
                .value;
        100.0 * (mu / r.number("mu_mPa_s") - 1.0)
    };
    let george = |r: &Row| r.text("source") == "George2003";
    within(
        "propylene viscosity, %",
        rows_to_90(file, Propylene, |r| !george(r), ours),
        -5.0,
        9.0,
    );
    within(
        "the same, George and Sastry, %",
        rows_to_90(file, Propylene, george, ours),
        -17.0,
        22.0,
    );
}

// Sun and Teja 2003, Tsierkezos and Molinou 2006 (whose rows at 80 and 90 mass % look inconsistent with the others: left
// out here, and said). Above 100 °C Sun and Teja's are up to 17 % higher.
#[test]
fn ethylene_viscosity() {
    let suspect = |r: &Row| r.text("source") == "Tsierkezos2006" && r.number("mass_pct") >= 80.0;
    let all = rows_to_90(
        "tests/reference/eg_viscosity_experimental.csv",
        Ethylene,
        |r| !suspect(r),
        |r, s| {
            let mu = 1000.0
                * viscosity(Ethylene, s, celsius(r.number("temp_C")))
                    .unwrap()
                    .value;
            100.0 * (mu / r.number("mu_mPa_s") - 1.0)
        },
    );
    within("ethylene viscosity, %", all, -17.0, 7.0);
}

// Li et al. 2009, pure propylene glycol by DSC, from 51 mass % on.
#[test]
fn propylene_specific_heat() {
    let all = Table::read("tests/reference/pg_cp_li2009.csv")
        .rows()
        .filter_map(|r| {
            let moles = r.number("x_PG");
            let (glycol, water) = (moles * 76.094_42, (1.0 - moles) * 18.015_28);
            let s = by_mass(Propylene, 100.0 * glycol / (glycol + water));
            let ours = specific_heat(Propylene, s, celsius(r.number("temp_C")))
                .ok()?
                .value;
            Some(100.0 * (ours / r.number("cp_J_kgK") - 1.0))
        })
        .collect();
    within("propylene specific heat, %", all, -5.0, 3.5);
}

// CRC, pure ethylene glycol at 20 °C: density as printed; inhibitors make the table's product up to 0.7 % heavier, and
// the table's viscosity is lower below 40 mass %.
#[test]
fn ethylene_concentrative_table() {
    let (mut rho, mut mu, mut frost) = (Vec::new(), Vec::new(), Vec::new());
    for r in Table::read("data/ethylene_concentrative.csv").rows() {
        let s = by_mass(Ethylene, r.number("mass_pct"));
        let t = celsius(20.0);
        rho.push(
            100.0
                * (density(Ethylene, s, t).unwrap().value / (1000.0 * r.number("rho20_g_cm3"))
                    - 1.0),
        );
        mu.push(
            100.0
                * (1000.0 * viscosity(Ethylene, s, t).unwrap().value / r.number("mu20_mPa_s")
                    - 1.0),
        );
        frost.push(freezing_c(Ethylene, s) + r.number("freezing_depression_K"));
    }
    within("ethylene density over CRC, %", rho, -0.01, 0.7);
    within("ethylene viscosity over CRC, %", mu, -9.0, 4.0);
    // CRC freezes colder, by up to 2.9 K.
    within("ethylene freezing over CRC, K", frost, -0.1, 2.9);
}

// Lange's Handbook, 15th ed., table 5.13, pure propylene glycol: gravity below the inhibited product's by no more than
// the inhibitors' share; frost inside the stated ± 2 K.
#[test]
fn propylene_table_of_lange() {
    let (mut gravity, mut frost) = (Vec::new(), Vec::new());
    for r in Table::read("tests/reference/lange_pg_freezing_sg.csv").rows() {
        let s = percent(r.number("vol_pct"));
        let ours = specific_gravity(Propylene, s, celsius(15.6)).unwrap().value;
        gravity.push(ours - r.number("sg_15.6C"));
        frost.push(freezing_c(Propylene, s) - r.number("freezing_C"));
    }
    within("propylene gravity over Lange", gravity, 0.0, 0.008);
    within("propylene freezing over Lange, K", frost, -2.0, 2.0);
}

// Weng, Li and Zuo 2011, DSC liquidus: inside the stated ± 2 K.
#[test]
fn propylene_freezing_of_weng() {
    let all = Table::read("tests/reference/weng2011_pg_freezing.csv")
        .rows()
        .map(|r| {
            freezing_c(Propylene, by_mass(Propylene, r.number("mass_pct")))
                - (r.number("T_K") - 273.15)
        })
        .collect();
    within("propylene freezing over Weng, K", all, -2.0, 2.0);
}
