//! The table of models in DEVELOPERS.md is written from the datasheets and the errors found here, not typed.
//! `UPDATE_DOCS=1 cargo test --test physics datasheet` rewrites it.

use crate::support::{self, Table, Tabled, between_rows, path};
use pourcard::engine::after::{check_back, survey};
use pourcard::engine::datasheet::{Figure, SHEETS, sheet};
use pourcard::engine::fluid::Glycol::{self, Ethylene, Propylene};
use pourcard::engine::property::*;
use pourcard::engine::quantity::*;
use pourcard::engine::source::Source;
use pourcard::job::limits::RATE;
use std::fmt::Write as _;

const FILE: &str = "src/engine/MODELS.md";
const BEGIN: &str = "<!-- models: written by UPDATE_DOCS=1 cargo test --test physics datasheet -->";
const END: &str = "<!-- end of models -->";

fn by_mass(glycol: Glycol, percent: f64) -> LabelFraction {
    label_fraction(glycol, MassFraction::new(percent / 100.0).unwrap())
}

fn percent(p: f64) -> LabelFraction {
    LabelFraction::from_percent(p).unwrap()
}

/// Worst error of a property over the handbook's rows, %.
fn handbook(
    column: &str,
    value: impl Fn(Glycol, LabelFraction, ThermodynamicTemperature) -> f64,
) -> f64 {
    let mut worst = 0.0f64;
    for (glycol, name) in [(Ethylene, "ethylene"), (Propylene, "propylene")] {
        for r in Table::read(&format!("data/{name}_properties.csv")).rows() {
            let found = value(
                glycol,
                percent(r.number("conc_vol_pct")),
                celsius(r.number("temp_C")),
            );
            worst = worst.max(100.0 * (found / r.number(column) - 1.0).abs());
        }
    }
    worst
}

/// Worst of |error| over the rows of a file.
fn worst(file: &str, error: impl Fn(&support::Row) -> Option<f64>) -> f64 {
    let table = Table::read(file);
    let errors: Vec<f64> = table.rows().filter_map(|r| error(&r)).collect();
    assert!(errors.len() > 3, "{file}: {} rows compared", errors.len());
    errors.iter().fold(0.0, |w, e| w.max(e.abs()))
}

fn freezing_error(name: &str, glycol: Glycol) -> f64 {
    worst(
        &format!("data/{name}_freezing.csv"),
        |r| match freezing_point(glycol, percent(r.number("vol_pct"))).unwrap() {
            Freezing::At(t) => Some(in_celsius(t) - r.number("freezing_C")),
            Freezing::AtOrBelow(_) => None,
        },
    )
}

/// Two significant digits.
fn two(e: f64) -> String {
    let decimals = (1.0 - e.log10().floor()).max(0.0) as usize;
    format!("{e:.decimals$}")
}

/// What the worst row is away, in words a table can hold.
fn found(figure: Figure) -> String {
    let share = |e: f64| format!("{e:.2} %");
    // At the rows, and where every other temperature is left out of the fit.
    let rows =
        |column, property, value: fn(Glycol, LabelFraction, ThermodynamicTemperature) -> f64| {
            format!(
                "{} %; temperatures left out: {} %",
                two(handbook(column, value)),
                two(between_rows(property))
            )
        };
    match figure {
        Figure::Density => rows("rho_kg_m3", Tabled::Density, |g, s, t| {
            density(g, s, t).unwrap().value
        }),
        Figure::SpecificHeat => rows("cp_J_kgK", Tabled::SpecificHeat, |g, s, t| {
            specific_heat(g, s, t).unwrap().value
        }),
        Figure::Conductivity => rows("k_W_mK", Tabled::Conductivity, |g, s, t| {
            conductivity(g, s, t).unwrap().value
        }),
        Figure::Viscosity => rows("mu_mPa_s", Tabled::Viscosity, |g, s, t| {
            1000.0 * viscosity(g, s, t).unwrap().value
        }),
        Figure::FreezingPoint => format!(
            "{:.2} K ethylene, {:.2} K propylene",
            freezing_error("ethylene", Ethylene),
            freezing_error("propylene", Propylene)
        ),
        Figure::BoilingPointEthylene => {
            let side = |keep: fn(f64) -> bool| {
                worst("data/ethylene_boiling.csv", |r| {
                    let mass = r.number("mass_pct_EG");
                    let t = boiling_point(Ethylene, by_mass(Ethylene, mass), kilopascals(101.3))
                        .ok()?;
                    keep(mass).then_some(t.value - r.number("T_K"))
                })
            };
            format!(
                "{:.2} K to 75 mass %, {:.2} K above",
                side(|m| m <= 75.0),
                side(|m| m > 75.0)
            )
        }
        Figure::BoilingPointWater => {
            let e = worst("tests/reference/water_saturation_check.csv", |r| {
                let p = r.number("psat_IAPWS95_Pa") / 1000.0;
                if !(50.0..=350.0).contains(&p) {
                    return None;
                }
                let t = water_saturation_temperature(kilopascals(p)).unwrap();
                Some(in_celsius(t) - r.number("temp_C"))
            });
            format!("{e:.4} K")
        }
        Figure::AirPressure => {
            let e = worst("tests/reference/icao_isa_pressure.csv", |r| {
                let p = air_pressure(metres(r.number("H_geopotential_m")))
                    .unwrap()
                    .value;
                Some(p - r.number("p_fluids_Pa"))
            });
            format!("{e:.2} Pa")
        }
        Figure::MassFraction => {
            let e = |name, g| {
                worst(&format!("data/{name}_freezing.csv"), |r| {
                    Some(
                        100.0 * mass_fraction(g, percent(r.number("vol_pct"))).fraction()
                            - r.number("mass_pct"),
                    )
                })
            };
            format!(
                "{:.2} point",
                e("ethylene", Ethylene).max(e("propylene", Propylene))
            )
        }
        Figure::RefractiveIndexEthylene => {
            let e = worst("data/ethylene_concentrative.csv", |r| {
                let n = refractive_index(
                    Ethylene,
                    by_mass(Ethylene, r.number("mass_pct")),
                    celsius(20.0),
                )
                .unwrap();
                Some(n.value - r.number("nD20"))
            });
            format!("{e:.1e}")
        }
        Figure::RefractiveIndexPropylene => {
            let of = |source: &str| {
                worst("data/propylene_refractive_index.csv", |r| {
                    let s = by_mass(Propylene, r.number("mass_pct"));
                    let n = refractive_index(Propylene, s, celsius(r.number("temp_C")))
                        .ok()?
                        .value;
                    (r.text("source") == source).then_some(n - r.number("nD"))
                })
            };
            format!(
                "{:.1e} MacBeth, {:.1e} Gerke",
                of("MacBeth1951"),
                of("Gerke2023")
            )
        }
        Figure::Brix => {
            let e = worst("data/sucrose_refractive_index.csv", |r| {
                Some(
                    refractive_index::of_brix(r.number("brix_mass_pct"))
                        .ok()?
                        .value
                        - r.number("nD20"),
                )
            });
            format!("{e:.1e}")
        }
        Figure::FilmVsWater | Figure::HeatCarriedVsWater => {
            let e = worst("tests/reference/heat_transfer_relative_to_water.csv", |r| {
                use pourcard::engine::heat::{film_vs_water, heat_carried_vs_water};
                let g = if r.text("glycol") == "eg" {
                    Ethylene
                } else {
                    Propylene
                };
                let (s, t) = (percent(r.number("vol_pct")), celsius(r.number("temp_C")));
                Some(if figure == Figure::FilmVsWater {
                    100.0 * (film_vs_water(g, s, t).unwrap().value / r.number("h_ratio_DB") - 1.0)
                } else {
                    100.0
                        * (heat_carried_vs_water(g, s, t).unwrap().value / r.number("rho_cp_ratio")
                            - 1.0)
                })
            });
            share(e)
        }
        Figure::HotVolume => {
            let e = worst("tests/reference/expansion_ratio_20C.csv", |r| {
                let g = if r.text("glycol") == "pg" {
                    Propylene
                } else {
                    Ethylene
                };
                let at = |t| {
                    density(g, percent(r.number("vol_pct")), celsius(t))
                        .unwrap()
                        .value
                };
                Some(100.0 * (at(20.0) / at(100.0) / r.number("r100") - 1.0))
            });
            format!("{e:.3} %")
        }
        Figure::BoilingPointPropylene => "no measured row".into(),
        Figure::SpecificGravity => "as density".into(),
        Figure::Volume | Figure::Amounts => "a law, not a table".into(),
        Figure::CapPressure => "a judgement from two rows".into(),
        Figure::Dose => "the label's word".into(),
        Figure::FrostReading | Figure::GravityReading | Figure::IndexReading => {
            "inverts the model".into()
        }
    }
}

fn table() -> String {
    let mut out = String::from(
        "| figure | model | range | source | stated error | worst row here |\n| --- | --- | --- | --- | --- | --- |\n",
    );
    for s in SHEETS {
        let ranges: Vec<String> = s
            .ranges
            .iter()
            .map(|r| {
                format!("{} {} to {} {}", r.quantity, r.low, r.high, r.unit)
                    .trim_end()
                    .to_owned()
            })
            .collect();
        writeln!(
            out,
            "| {} | {} | {} | {} | {} | {} |",
            s.name,
            s.formula,
            ranges.join("; "),
            s.source.citation,
            s.source.stated_error,
            found(s.figure)
        )
        .unwrap();
    }
    out + &afterwards()
}

/// The models of afterwards, which have no sheet of their own on the card, by the words the page has them in.
fn afterwards() -> String {
    let rows = [
        (
            "true volume",
            check_back::VOLUME_FORMULA,
            "no wider than a quarter either way",
            check_back::VOLUME_SOURCE,
            "the trade's formula, a balance in kilograms, Monte Carlo",
        ),
        (
            "rise of a spot",
            survey::SURFACE_FORMULA,
            "emissivity from 0.5",
            survey::SURFACE_SOURCE,
            "SciPy's root of the radiation balance; a textbook's fourth root (from memory)",
        ),
        (
            "change of a spot",
            survey::COMPARISON_FORMULA,
            "three runs of each side or more, or three pairs",
            survey::COMPARISON_SOURCE,
            "SciPy; NIST's table; Student's own data; Holm's usual example (from memory); simulated studies",
        ),
    ];
    let row = |(figure, formula, range, source, checked): (_, _, _, Source, _)| {
        let (citation, error) = (source.citation, source.stated_error);
        format!("| {figure} | {formula} | {range} | {citation} | {error} | against {checked} |\n")
    };
    rows.map(row).concat()
}

#[test]
fn the_table_in_the_docs_is_the_code_s() {
    let text = std::fs::read_to_string(path(FILE)).unwrap();
    let (before, rest) = text.split_once(BEGIN).expect("the opening marker");
    let (kept, after) = rest.split_once(END).expect("the closing marker");
    let fresh = format!("\n\n{}\n", table());
    if std::env::var_os("UPDATE_DOCS").is_some() {
        std::fs::write(path(FILE), format!("{before}{BEGIN}{fresh}{END}{after}")).unwrap();
    } else {
        assert_eq!(
            kept, fresh,
            "{FILE} is stale: UPDATE_DOCS=1 cargo test --test physics datasheet"
        );
    }
}

#[test]
fn every_figure_has_one_whole_sheet() {
    for s in SHEETS {
        assert_eq!(
            SHEETS.iter().filter(|o| o.figure == s.figure).count(),
            1,
            "{:?}",
            s.figure
        );
        assert_eq!(sheet(s.figure), Some(s));
        assert!(
            !s.name.is_empty() && !s.formula.is_empty() && !s.inputs.is_empty(),
            "{:?}",
            s.figure
        );
        assert!(
            !s.source.citation.is_empty() && !s.source.stated_error.is_empty(),
            "{:?}",
            s.figure
        );
        assert!(
            !s.ranges.is_empty() && s.ranges.iter().all(|r| r.low < r.high),
            "{:?}",
            s.figure
        );
        assert!(
            ![s.name, s.formula, s.source.citation]
                .iter()
                .any(|t| t.contains('|')),
            "{:?}",
            s.figure
        );
    }
}

// A range on a sheet is the range the code refuses by.
#[test]
fn sheets_and_refusals_agree() {
    let hot = TEMPERATURE.high;
    for figure in [
        Figure::SpecificHeat,
        Figure::Conductivity,
        Figure::Viscosity,
    ] {
        let [strength, temperature] = sheet(figure).unwrap().ranges else {
            panic!("two ranges")
        };
        let at = |p: f64, t: f64| match figure {
            Figure::SpecificHeat => specific_heat(Ethylene, percent(p), celsius(t)).is_ok(),
            Figure::Conductivity => conductivity(Ethylene, percent(p), celsius(t)).is_ok(),
            _ => viscosity(Ethylene, percent(p), celsius(t)).is_ok(),
        };
        assert!(at(strength.high, temperature.high) && at(strength.low, temperature.high));
        assert!(!at(strength.high + 0.01, hot) && !at(strength.high, temperature.high + 0.01));
    }
    let [strength, pressure] = sheet(Figure::BoilingPointPropylene).unwrap().ranges else {
        panic!("two ranges")
    };
    let at = |s: f64, p: f64| boiling_point(Propylene, percent(s), kilopascals(p)).is_ok();
    assert!(at(strength.high, pressure.high) && at(strength.high, pressure.low));
    assert!(!at(strength.high + 0.01, pressure.high) && !at(strength.high, pressure.low - 0.01));
    let [share] = sheet(Figure::Dose).unwrap().ranges else {
        panic!("one range")
    };
    assert!(RATE.admits(share.low) && RATE.admits(share.high));
    assert!(!RATE.admits(share.high + 0.01) && !RATE.admits(share.low - 0.01));
    let [height] = sheet(Figure::AirPressure).unwrap().ranges else {
        panic!("one range")
    };
    assert!(
        air_pressure(metres(height.high)).is_ok()
            && air_pressure(metres(height.high + 1.0)).is_err()
    );
}
