//! Each constant's fit.

use crate::support::{NAMES, Table, Tabled, inverse, least_squares, polynomial};
use pourcard::engine::fluid::Glycol;
use pourcard::engine::property::{
    density, glycol_saturation_pressure, label_fraction, water_density_20c,
    water_saturation_pressure,
};
use pourcard::engine::quantity::{LabelFraction, MassFraction, ThermodynamicTemperature, celsius};
use uom::si::thermodynamic_temperature::kelvin;

pub struct Constant {
    pub name: &'static str,
    pub doc: &'static str,
    pub shape: String,
    pub values: Vec<Vec<Vec<f64>>>,
}

/// One curve of temperature a column: `[glycol][column][power]`.
pub fn per_column(name: &'static str, doc: &'static str, property: Tabled) -> Constant {
    let values = NAMES.map(|glycol| {
        (1..=9)
            .map(|tenth| {
                let (x, y): (Vec<_>, Vec<_>) = property.column(glycol, tenth).into_iter().unzip();
                polynomial(&x, &y, property.degree())
            })
            .collect()
    });
    Constant {
        name,
        doc,
        shape: format!("[[[f64; {}]; 9]; 2]", property.degree() + 1),
        values: values.into(),
    }
}

pub fn water(name: &'static str, doc: &'static str, field: &str, logarithm: bool) -> Constant {
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
pub fn first_rows() -> Constant {
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
pub fn freezing() -> Constant {
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
pub fn pairs() -> Constant {
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
pub fn margules() -> Constant {
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
pub fn freezing_pure() -> Constant {
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
pub fn refractive_ethylene() -> Constant {
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
pub fn refractive_propylene() -> Constant {
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
pub fn sucrose() -> Constant {
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
pub fn inhibitor_gravity() -> Constant {
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
