//! Melinder, Properties of Secondary Working Fluids (IIR, 2010): pure glycols by mass, a source of its own.
//!
//! These are agreements between two sources, not accuracies: the tables the engine reads are of inhibited product,
//! Melinder's of pure glycol. The bands are regression pins.

use super::{by_mass, freezing_c, within};
use crate::support::Table;
use pourcard::engine::fluid::Glycol::{self, Ethylene, Propylene};
use pourcard::engine::quantity::*;

/// Centres of the polynomials: mass fraction and K, from the file's own heading.
fn centre(fluid: &str) -> (f64, f64) {
    match fluid {
        "MEG" => (0.308_462, 304.878),
        _ => (0.307_031, 305.8583),
    }
}

struct Polynomial {
    fluid: &'static str,
    exponential: bool,
    terms: Vec<(i32, i32, f64)>,
}

impl Polynomial {
    fn read(fluid: &'static str, property: &str) -> Self {
        let table = Table::read("tests/reference/melinder2010_coefficients.csv");
        let rows = || {
            table
                .rows()
                .filter(|r| r.text("fluid") == fluid && r.text("property") == property)
        };
        let terms: Vec<_> = rows()
            .map(|r| {
                (
                    r.number("i_T") as i32,
                    r.number("j_x") as i32,
                    r.number("coef"),
                )
            })
            .collect();
        assert!(terms.len() >= 6, "{fluid} {property}");
        Self {
            fluid,
            exponential: rows().any(|r| r.text("type") == "exppolynomial"),
            terms,
        }
    }

    fn at(&self, mass_percent: f64, t: f64) -> f64 {
        let (x0, t0) = centre(self.fluid);
        let (x, dt) = (mass_percent / 100.0 - x0, t + 273.15 - t0);
        let sum: f64 = self
            .terms
            .iter()
            .map(|(i, j, c)| c * dt.powi(*i) * x.powi(*j))
            .sum();
        if self.exponential { sum.exp() } else { sum }
    }
}

/// Deviations in percent, 10 to 60 mass %, −30 to 100 °C where liquid.
fn deviations(
    fluid: &'static str,
    property: &str,
    value: impl Fn(Glycol, LabelFraction, ThermodynamicTemperature) -> Option<f64>,
) -> Vec<f64> {
    let glycol = if fluid == "MEG" { Ethylene } else { Propylene };
    let theirs = Polynomial::read(fluid, property);
    let mut all = Vec::new();
    for mass in (10..=60).step_by(5).map(f64::from) {
        for t in (-30..=100).step_by(5).map(f64::from) {
            if let Some(ours) = value(glycol, by_mass(glycol, mass), celsius(t)) {
                all.push(100.0 * (ours / theirs.at(mass, t) - 1.0));
            }
        }
    }
    assert!(all.len() > 200);
    all
}

// Inhibitors and the label's other ingredients make the product up to 1.1 % heavier.
#[test]
fn density() {
    let ours = |g, s, t| {
        pourcard::engine::property::density(g, s, t)
            .ok()
            .map(|d| d.value)
    };
    within(
        "ethylene density, %",
        deviations("MEG", "density", ours),
        -0.05,
        1.1,
    );
    within(
        "propylene density, %",
        deviations("MPG", "density", ours),
        -0.1,
        0.8,
    );
}

#[test]
fn specific_heat() {
    let ours = |g, s, t| {
        pourcard::engine::property::specific_heat(g, s, t)
            .ok()
            .map(|c| c.value)
    };
    // The two part in the cold, where the handbook's columns are straight lines.
    within(
        "ethylene specific heat, %",
        deviations("MEG", "specific_heat", ours),
        -2.5,
        6.0,
    );
    within(
        "propylene specific heat, %",
        deviations("MPG", "specific_heat", ours),
        -0.4,
        0.5,
    );
}

#[test]
fn conductivity() {
    let ours = |g, s, t| {
        pourcard::engine::property::conductivity(g, s, t)
            .ok()
            .map(|k| k.value)
    };
    within(
        "ethylene conductivity, %",
        deviations("MEG", "conductivity", ours),
        -6.0,
        0.5,
    );
    within(
        "propylene conductivity, %",
        deviations("MPG", "conductivity", ours),
        -5.5,
        1.2,
    );
}

#[test]
fn viscosity() {
    let ours = |g, s, t| {
        pourcard::engine::property::viscosity(g, s, t)
            .ok()
            .map(|m| m.value)
    };
    within(
        "ethylene viscosity, %",
        deviations("MEG", "viscosity", ours),
        -19.0,
        4.0,
    );
    within(
        "propylene viscosity, %",
        deviations("MPG", "viscosity", ours),
        -20.0,
        10.0,
    );
}

// Melinder's propylene freezes warmer by up to 1.4 K, ethylene colder by up to 2.8 K, inside the ± 2 K stated for the
// first and the 2 to 4 K between sources stated for both.
#[test]
fn freezing() {
    for (fluid, glycol, low, high) in [("MEG", Ethylene, 0.0, 2.9), ("MPG", Propylene, -1.4, 0.2)] {
        let theirs = Polynomial::read(fluid, "T_freeze");
        let all = (5..=60)
            .map(f64::from)
            .map(|mass| freezing_c(glycol, by_mass(glycol, mass)) - (theirs.at(mass, 0.0) - 273.15))
            .collect();
        within("freezing less Melinder, K", all, low, high);
    }
}

// The same author's figures as re-tabulated elsewhere: ethylene is the polynomial to its rounding, propylene's table
// runs colder towards 57 mass %, by up to 1.8 K. The frost scale of the readings is drawn from the table.
#[test]
fn freezing_table() {
    for (code, fluid, low, high) in [("eg", "MEG", -0.15, 0.15), ("pg", "MPG", -0.1, 1.9)] {
        let polynomial = Polynomial::read(fluid, "T_freeze");
        let all = Table::read("data/pure_freezing.csv")
            .rows()
            .filter(|r| r.text("glycol") == code)
            .map(|r| polynomial.at(r.number("mass_pct"), 0.0) - 273.15 - r.number("freezing_C"))
            .collect();
        within("Melinder's polynomial less the table, K", all, low, high);
    }
}
