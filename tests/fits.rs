//! The coefficients the engine carries are the least-squares fit of the tables in `data/`, and nothing else:
//! this refits them and compares. `UPDATE_FITS=1 cargo test --test fits` rewrites the file;
//! run it twice after a change of density or of the pairs, which later fits use.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // a test says what went wrong by panicking

mod support;

use pourcard::engine::fluid::Glycol;
use pourcard::engine::property::{
    density, glycol_saturation_pressure, label_fraction, water_density_20c,
    water_saturation_pressure,
};
use pourcard::engine::quantity::{LabelFraction, MassFraction, ThermodynamicTemperature, celsius};
use std::fmt::Write as _;
use support::{Table, evaluate, least_squares, path, polynomial};
use uom::si::thermodynamic_temperature::kelvin;

const FILE: &str = "src/engine/property/coefficients.rs";
const NAMES: [&str; 2] = ["ethylene", "propylene"];

/// The variable of every curve that is steep when cold, as in the engine.
fn inverse(temperature_c: f64) -> f64 {
    100.0 / (temperature_c + 150.0) - 0.5
}

struct Constant {
    name: &'static str,
    doc: &'static str,
    shape: String,
    values: Vec<Vec<Vec<f64>>>,
}

/// One curve of temperature a column: `[glycol][column][power]`.
fn per_column(
    name: &'static str,
    doc: &'static str,
    field: &str,
    degree: i32,
    curve: fn(f64, f64) -> (f64, f64),
) -> Constant {
    let values = NAMES.map(|glycol| {
        let table = Table::read(&format!("data/{glycol}_properties.csv"));
        (1..=9)
            .map(|tenth| {
                let (x, y): (Vec<_>, Vec<_>) = table
                    .rows()
                    .filter(|r| (r.number("conc_vol_pct") - 10.0 * f64::from(tenth)).abs() < 1e-9)
                    .map(|r| curve(r.number("temp_C"), r.number(field)))
                    .unzip();
                polynomial(&x, &y, degree)
            })
            .collect()
    });
    Constant {
        name,
        doc,
        shape: format!("[[[f64; {}]; 9]; 2]", degree + 1),
        values: values.into(),
    }
}

fn water(name: &'static str, doc: &'static str, field: &str, logarithm: bool) -> Constant {
    let table = Table::read("data/water_properties.csv");
    let x: Vec<_> = table.rows().map(|r| inverse(r.number("temp_C"))).collect();
    let y: Vec<_> = table
        .rows()
        .map(|r| r.number(field))
        .map(|y| if logarithm { y.ln() } else { y })
        .collect();
    Constant {
        name,
        doc,
        shape: "[f64; 8]".into(),
        values: vec![vec![polynomial(&x, &y, 7)]],
    }
}

/// Coldest row of each column: where the published table begins.
fn first_rows() -> Constant {
    let values = NAMES.map(|glycol| {
        let table = Table::read(&format!("data/{glycol}_properties.csv"));
        let coldest = |tenth: i32| {
            table
                .rows()
                .filter(|r| (r.number("conc_vol_pct") - 10.0 * f64::from(tenth)).abs() < 1e-9)
                .map(|r| r.number("temp_C"))
                .fold(f64::INFINITY, f64::min)
        };
        vec![(1..=9).map(coldest).collect()]
    });
    Constant {
        name: "COLDEST_ROW_C",
        doc: "Coldest row of each column, 10 to 90 vol%, °C.",
        shape: "[[f64; 9]; 2]".into(),
        values: values.into(),
    }
}

/// A sextic without constant term: plain water freezes at 0 °C.
fn freezing() -> Constant {
    let values = NAMES.map(|glycol| {
        let table = Table::read(&format!("data/{glycol}_freezing.csv"));
        let rows: Vec<_> = table
            .rows()
            .map(|r| (r.number("vol_pct") / 100.0, r.number("freezing_C")))
            .collect();
        let a = rows
            .iter()
            .map(|(x, _)| (1..=6).map(|k| x.powi(k)).collect())
            .collect();
        vec![least_squares(a, rows.iter().map(|(_, t)| *t).collect())]
    });
    Constant {
        name: "FREEZING_C",
        doc: "Freezing point, °C: Σ c_k φ^(k+1), φ the label fraction.",
        shape: "[[f64; 6]; 2]".into(),
        values: values.into(),
    }
}

/// ln[(w/(1−w))/(φ/(1−φ))] = a + b φ, each pair weighted by what it says about w.
fn pairs() -> Constant {
    let values = NAMES.map(|glycol| {
        let table = Table::read(&format!("data/{glycol}_freezing.csv"));
        let rows: Vec<_> = table
            .rows()
            .map(|r| (r.number("mass_pct") / 100.0, r.number("vol_pct") / 100.0))
            .filter(|(w, _)| *w > 0.0)
            .collect();
        let weight = |p: f64| p * (1.0 - p);
        let a = rows
            .iter()
            .map(|(_, p)| vec![weight(*p), weight(*p) * p])
            .collect();
        let b = rows
            .iter()
            .map(|(w, p)| weight(*p) * (w / (1.0 - w) / (p / (1.0 - p))).ln())
            .collect();
        vec![least_squares(a, b)]
    });
    Constant {
        name: "LOG_ODDS",
        doc: "Mass from label fraction: ln[(w/(1−w))/(φ/(1−φ))] = a + b φ.",
        shape: "[[f64; 2]; 2]".into(),
        values: values.into(),
    }
}

/// One-parameter Margules A of water + ethylene glycol: least squares of boiling temperature over all rows.
fn margules() -> Constant {
    let table = Table::read("data/ethylene_boiling.csv");
    let rows: Vec<_> = table
        .rows()
        .map(|r| (r.number("x_water"), r.number("T_K")))
        .collect();
    let cost = |a: f64| {
        rows.iter()
            .map(|(x, t)| (bubble(*x, a) - t).powi(2))
            .sum::<f64>()
    };
    let (mut low, mut high) = (-0.5, 0.5);
    for _ in 0..60 {
        let (left, right) = (low + (high - low) * 0.382, low + (high - low) * 0.618);
        if cost(left) < cost(right) {
            high = right
        } else {
            low = left
        }
    }
    Constant {
        name: "MARGULES_ETHYLENE",
        doc: "Margules A of water + ethylene glycol: ln γ_i = A x_j².",
        shape: "f64".into(),
        values: vec![vec![vec![(low + high) / 2.0]]],
    }
}

/// Bubble temperature at 101.3 kPa, K, by bisection.
fn bubble(x_water: f64, a: f64) -> f64 {
    let x_glycol = 1.0 - x_water;
    let (mut low, mut high) = (350.0, 500.0);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        let t = ThermodynamicTemperature::new::<kelvin>(middle);
        let p =
            x_water * (a * x_glycol * x_glycol).exp() * water_saturation_pressure(t).unwrap().value
                + x_glycol
                    * (a * x_water * x_water).exp()
                    * glycol_saturation_pressure(Glycol::Ethylene, t)
                        .unwrap()
                        .value;
        if p < 101_300.0 {
            low = middle
        } else {
            high = middle
        }
    }
    0.5 * (low + high)
}

/// Label fraction of a mass percentage.
fn label(glycol: Glycol, mass_percent: f64) -> LabelFraction {
    label_fraction(glycol, MassFraction::new(mass_percent / 100.0).unwrap())
}

/// Freezing point of the pure glycols in water, a quartic without constant term.
fn freezing_pure() -> Constant {
    let ethylene = Table::read("data/ethylene_concentrative.csv")
        .rows()
        .map(|r| {
            (
                label(Glycol::Ethylene, r.number("mass_pct")).fraction(),
                -r.number("freezing_depression_K"),
            )
        })
        .collect::<Vec<_>>();
    let propylene = Table::read("data/pure_freezing.csv")
        .rows()
        .filter(|r| r.text("glycol") == "pg")
        .map(|r| {
            (
                label(Glycol::Propylene, r.number("mass_pct")).fraction(),
                r.number("freezing_C"),
            )
        })
        .collect::<Vec<_>>();
    let fit = |rows: Vec<(f64, f64)>| {
        let a = rows
            .iter()
            .map(|(x, _)| (1..=4).map(|k| x.powi(k)).collect())
            .collect();
        least_squares(a, rows.iter().map(|(_, t)| *t).collect())
    };
    Constant {
        name: "FREEZING_PURE_C",
        doc: "Freezing point of the glycol without inhibitors, °C (CRC, Melinder): Σ c_k φ^(k+1).",
        shape: "[[f64; 4]; 2]".into(),
        values: vec![vec![fit(ethylene)], vec![fit(propylene)]],
    }
}

/// Refractive index of ethylene glycol at 20 °C; water 1.3330 and the pure glycol 1.4318 are the CRC's.
fn refractive_ethylene() -> Constant {
    let (mut x, mut y) = (vec![0.0, 1.0], vec![1.3330, 1.4318]);
    for r in Table::read("data/ethylene_concentrative.csv").rows() {
        x.push(label(Glycol::Ethylene, r.number("mass_pct")).fraction());
        y.push(r.number("nD20"));
    }
    Constant {
        name: "REFRACTIVE_ETHYLENE_20C",
        doc: "Refractive index of ethylene glycol at 20 °C: a quartic in φ.",
        shape: "[f64; 5]".into(),
        values: vec![vec![polynomial(&x, &y, 4)]],
    }
}

/// Refractive index of propylene glycol at 25 °C, rows at other temperatures brought there by Lorentz–Lorenz.
fn refractive_propylene() -> Constant {
    let (x, y): (Vec<_>, Vec<_>) = Table::read("data/propylene_refractive_index.csv")
        .rows()
        .map(|r| {
            let strength = label(Glycol::Propylene, r.number("mass_pct"));
            let at = |t: f64| {
                density(Glycol::Propylene, strength, celsius(t))
                    .unwrap()
                    .value
            };
            let n = r.number("nD");
            let refraction = (n * n - 1.0) / (n * n + 2.0) * at(25.0) / at(r.number("temp_C"));
            (
                strength.fraction(),
                ((1.0 + 2.0 * refraction) / (1.0 - refraction)).sqrt(),
            )
        })
        .unzip();
    Constant {
        name: "REFRACTIVE_PROPYLENE_25C",
        doc: "Refractive index of propylene glycol at 25 °C: a quartic in φ.",
        shape: "[f64; 5]".into(),
        values: vec![vec![polynomial(&x, &y, 4)]],
    }
}

/// Refractive index of sucrose at 20 °C over Brix/100; 0 Brix is water, 1.3330.
fn sucrose() -> Constant {
    let (mut x, mut y) = (vec![0.0], vec![1.3330]);
    for r in Table::read("data/sucrose_refractive_index.csv").rows() {
        x.push(r.number("brix_mass_pct") / 100.0);
        y.push(r.number("nD20"));
    }
    Constant {
        name: "REFRACTIVE_SUCROSE_20C",
        doc: "Refractive index of sucrose in water at 20 °C: a cubic in Brix/100.",
        shape: "[f64; 4]".into(),
        values: vec![vec![polynomial(&x, &y, 3)]],
    }
}

/// How much denser the inhibited table is than the pure glycol, over water's density, per label fraction, to 60 vol%.
fn inhibitor_gravity() -> Constant {
    let slope = |rows: Vec<(f64, f64)>| {
        let a = rows.iter().map(|(x, _)| vec![*x]).collect();
        least_squares(a, rows.iter().map(|(_, d)| *d).collect())
    };
    let water = water_density_20c().value;
    let excess = |glycol, strength, t: f64, pure: f64| {
        (density(glycol, strength, celsius(t)).unwrap().value - pure) / water
    };
    let ethylene = Table::read("data/ethylene_concentrative.csv")
        .rows()
        .map(|r| {
            let s = label(Glycol::Ethylene, r.number("mass_pct"));
            (
                s.fraction(),
                excess(Glycol::Ethylene, s, 20.0, 1000.0 * r.number("rho20_g_cm3")),
            )
        })
        .collect();
    let propylene = Table::read("data/propylene_density.csv")
        .rows()
        .filter(|r| r.number("temp_C") <= 25.0 && r.number("mass_pct") <= 60.0)
        .map(|r| {
            let s = label(Glycol::Propylene, r.number("mass_pct"));
            (
                s.fraction(),
                excess(
                    Glycol::Propylene,
                    s,
                    r.number("temp_C"),
                    r.number("rho_kg_m3"),
                ),
            )
        })
        .collect();
    Constant {
        name: "INHIBITOR_GRAVITY",
        doc: "Inhibited less pure density over water's, per label fraction.",
        shape: "[f64; 2]".into(),
        values: vec![vec![vec![slope(ethylene)[0], slope(propylene)[0]]]],
    }
}

fn constants() -> Vec<Constant> {
    let plain = |t: f64, y: f64| (t / 100.0, y);
    vec![
        per_column(
            "DENSITY",
            "Density, kg/m³: a quadratic in T/100 °C a column.",
            "rho_kg_m3",
            2,
            plain,
        ),
        per_column(
            "SPECIFIC_HEAT",
            "Specific heat, J/(kg K): linear in T/100 °C a column.",
            "cp_J_kgK",
            1,
            plain,
        ),
        per_column(
            "CONDUCTIVITY",
            "Conductivity, W/(m K): a quadratic in T/100 °C a column.",
            "k_W_mK",
            2,
            plain,
        ),
        per_column(
            "LN_VISCOSITY",
            "ln(viscosity / mPa s): a quintic in 100/(T + 150 °C) − 1/2 a column.",
            "mu_mPa_s",
            5,
            |t, mu| (inverse(t), mu.ln()),
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
        "//! Fitted coefficients, written by `UPDATE_FITS=1 cargo test --test fits` from the tables in `data/`.\n\
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
        "{FILE} is stale: UPDATE_FITS=1 cargo test --test fits"
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

/// Worst relative error, in percent, where every other temperature of each column is left out of the fit and asked of
/// it: between the rows the curve is as good as this. The ends stay in; nothing here is a continuation.
fn between_rows(
    field: &str,
    degree: i32,
    curve: fn(f64, f64) -> (f64, f64),
    back: fn(f64) -> f64,
) -> f64 {
    let mut worst = 0.0f64;
    for glycol in NAMES {
        let table = Table::read(&format!("data/{glycol}_properties.csv"));
        for tenth in 1..=9 {
            let rows: Vec<_> = table
                .rows()
                .filter(|r| (r.number("conc_vol_pct") - 10.0 * f64::from(tenth)).abs() < 1e-9)
                .map(|r| curve(r.number("temp_C"), r.number(field)))
                .collect();
            let last = rows.len() - 1;
            let kept = |i: usize| i % 2 == 0 || i == last;
            let (x, y): (Vec<_>, Vec<_>) = rows
                .iter()
                .enumerate()
                .filter(|(i, _)| kept(*i))
                .map(|(_, r)| *r)
                .unzip();
            let c = polynomial(&x, &y, degree);
            for (_, (x, y)) in rows.iter().enumerate().filter(|(i, _)| !kept(*i)) {
                worst = worst.max((back(evaluate(&c, *x)) / back(*y) - 1.0).abs() * 100.0);
            }
        }
    }
    worst
}

#[test]
fn leaving_every_other_temperature_out() {
    let plain = |t: f64, y: f64| (t / 100.0, y);
    let logarithm = |t: f64, y: f64| (inverse(t), y.ln());
    let same = |y: f64| y;
    for (field, degree, limit, worst) in [
        (
            "rho_kg_m3",
            2,
            0.01,
            between_rows("rho_kg_m3", 2, plain, same),
        ),
        (
            "cp_J_kgK",
            1,
            0.05,
            between_rows("cp_J_kgK", 1, plain, same),
        ),
        ("k_W_mK", 2, 0.7, between_rows("k_W_mK", 2, plain, same)),
        (
            "mu_mPa_s",
            5,
            3.0,
            between_rows("mu_mPa_s", 5, logarithm, f64::exp),
        ),
    ] {
        println!("{field} {worst:.4} %");
        assert!(worst <= limit, "{field}, degree {degree}: {worst} %");
    }
}
