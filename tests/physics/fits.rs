//! The coefficients the engine carries are the least-squares fit of the tables in `data/`, and nothing else:
//! this refits them and compares. `UPDATE_FITS=1 cargo test --test physics fits` rewrites the file;
//! run it twice after a change of density or of the pairs, which later fits use.
mod curves;

use crate::support::{Table, Tabled, between_rows, evaluate, path, polynomial};
use curves::*;
use std::fmt::Write as _;

const FILE: &str = "src/engine/property/coefficients.rs";

fn constants() -> Vec<Constant> {
    vec![
        per_column(
            "DENSITY",
            "Density, kg/m³: a quadratic in T/100 °C a column.",
            Tabled::Density,
        ),
        per_column(
            "SPECIFIC_HEAT",
            "Specific heat, J/(kg K): linear in T/100 °C a column.",
            Tabled::SpecificHeat,
        ),
        per_column(
            "CONDUCTIVITY",
            "Conductivity, W/(m K): a quadratic in T/100 °C a column.",
            Tabled::Conductivity,
        ),
        per_column(
            "LN_VISCOSITY",
            "ln(viscosity / mPa s): a quintic in 100/(T + 150 °C) − 1/2 a column.",
            Tabled::Viscosity,
        ),
        first_rows(),
        water(
            "WATER_DENSITY",
            "Water, kg/m³, in 100/(T + 150 °C) − 1/2.",
            "rho_kg_m3",
            false,
        ),
        water(
            "WATER_SPECIFIC_HEAT",
            "Water, J/(kg K), in 100/(T + 150 °C) − 1/2.",
            "cp_J_kgK",
            false,
        ),
        water(
            "WATER_CONDUCTIVITY",
            "Water, W/(m K), in 100/(T + 150 °C) − 1/2.",
            "k_W_mK",
            false,
        ),
        water(
            "WATER_LN_VISCOSITY",
            "Water, ln(mPa s), in 100/(T + 150 °C) − 1/2.",
            "mu_mPa_s",
            true,
        ),
        freezing(),
        pairs(),
        margules(),
        freezing_pure(),
        refractive_ethylene(),
        refractive_propylene(),
        sucrose(),
        inhibitor_gravity(),
    ]
}

/// Eleven significant digits: more than any table here carries, and the same on every machine.
fn number(value: f64) -> String {
    let rounded: f64 = format!("{value:.10e}").parse().unwrap();
    format!("{rounded:?}")
}

fn literal(c: &Constant) -> String {
    let inner: Vec<Vec<String>> = c
        .values
        .iter()
        .map(|g| {
            g.iter()
                .map(|row| {
                    let row = row
                        .iter()
                        .map(|v| number(*v))
                        .collect::<Vec<_>>()
                        .join(", ");
                    if c.shape == "f64" {
                        row
                    } else {
                        format!("[{row}]")
                    }
                })
                .collect()
        })
        .collect();
    let glycol = |rows: &Vec<String>| {
        if rows.len() == 1 {
            rows[0].clone()
        } else {
            format!("[\n        {},\n    ]", rows.join(",\n        "))
        }
    };
    if inner.len() == 1 {
        glycol(&inner[0])
    } else {
        format!(
            "[\n    {},\n]",
            inner.iter().map(glycol).collect::<Vec<_>>().join(",\n    ")
        )
    }
}

fn source(constants: &[Constant]) -> String {
    let mut out = String::from(
        "//! Fitted coefficients, written by `UPDATE_FITS=1 cargo test --test physics fits` from the tables in `data/`.\n\
         //! First index: ethylene, propylene; second: the columns 10 to 90 vol%; last: rising powers.\n",
    );
    for c in constants {
        write!(
            out,
            "\n/// {}\npub(super) const {}: {} = {};\n",
            c.doc,
            c.name,
            c.shape,
            literal(c)
        )
        .unwrap();
    }
    out
}

/// Every number of the file in order, its words between them dropped.
fn numbers(text: &str) -> Vec<f64> {
    text.lines()
        .filter(|l| !l.starts_with("//"))
        .flat_map(|l| {
            l.split_once(" = ")
                .map_or(l, |(_, v)| v)
                .split([',', '[', ']', ';', ' '])
        })
        .filter_map(|w| w.parse().ok())
        .collect()
}

#[test]
fn coefficients_are_the_fit_of_the_data() {
    let fresh = source(&constants());
    if std::env::var_os("UPDATE_FITS").is_some() {
        std::fs::write(path(FILE), &fresh).unwrap();
    }
    let kept = std::fs::read_to_string(path(FILE)).unwrap();
    let words = |s: &str| {
        s.lines()
            .filter(|l| l.starts_with("//"))
            .collect::<Vec<_>>()
            .join("\n")
    };
    assert_eq!(
        words(&kept),
        words(&fresh),
        "{FILE} is stale: UPDATE_FITS=1 cargo test --test physics fits"
    );
    let (kept, fresh) = (numbers(&kept), numbers(&fresh));
    assert_eq!(kept.len(), fresh.len());
    for (k, f) in kept.iter().zip(&fresh) {
        // Rounding of the last digit may differ between machines; a changed data row moves far more than this.
        assert!(
            (k - f).abs() <= 1e-7 * f.abs().max(1e-3),
            "{FILE} has {k}, the data give {f}"
        );
    }
}

#[test]
fn least_squares_finds_a_known_polynomial() {
    let x: Vec<f64> = (0..30).map(|i| -0.3 + 0.02 * f64::from(i)).collect();
    let c = [3.0, -2.0, 0.5, 7.0, -11.0, 4.0];
    let y: Vec<f64> = x.iter().map(|x| evaluate(&c, *x)).collect();
    for (found, exact) in polynomial(&x, &y, 5).iter().zip(c) {
        assert!((found - exact).abs() < 1e-8, "{found} {exact}");
    }
}

// The data files themselves: a slipped digit shows as a changed count or column sum (regression pins, summed with awk).
#[test]
fn data_tables_are_whole() {
    for (name, rows, sums) in [
        ("ethylene", 204, [214_780.97, 679_148.0, 81.671, 2050.96]),
        ("propylene", 203, [206_275.63, 715_586.0, 75.644, 14_146.74]),
    ] {
        let table = Table::read(&format!("data/{name}_properties.csv"));
        assert_eq!(table.rows().count(), rows, "{name}");
        let columns = table.columns(&["rho_kg_m3", "cp_J_kgK", "k_W_mK", "mu_mPa_s"]);
        for (column, sum) in columns.iter().zip(sums) {
            assert!(
                (column.iter().sum::<f64>() - sum).abs() < 1e-6 * sum,
                "{name} {sum}"
            );
        }
    }
}

#[test]
fn leaving_every_other_temperature_out() {
    for (property, limit) in [
        (Tabled::Density, 0.01),
        (Tabled::SpecificHeat, 0.05),
        (Tabled::Conductivity, 0.7),
        (Tabled::Viscosity, 3.0),
    ] {
        let worst = between_rows(property);
        println!("{property:?} {worst:.4} %");
        assert!(worst <= limit, "{property:?}: {worst} %");
    }
}
