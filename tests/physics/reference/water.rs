//! Water, its vapour pressure, and the air.

use super::percent;
use crate::support::Table;
use pourcard::engine::fluid::Glycol;
use pourcard::engine::property::*;
use pourcard::engine::quantity::*;
use uom::si::pressure::{kilopascal, megapascal, pascal};
use uom::si::thermodynamic_temperature::kelvin;

fn at(t: f64) -> ThermodynamicTemperature {
    ThermodynamicTemperature::new::<kelvin>(t)
}

// IAPWS R7-97(2012), tables 35 and 36.
#[test]
fn saturation_check_values_of_the_release() {
    for (t, mpa) in [
        (300.0, 0.003_536_589_41),
        (500.0, 2.638_897_76),
        (600.0, 12.344_314_6),
    ] {
        let p = water_saturation_pressure(at(t))
            .unwrap()
            .get::<megapascal>();
        assert!((p / mpa - 1.0).abs() < 5e-9, "{t} {p}");
    }
    for (mpa, t) in [(0.1, 372.755_919), (1.0, 453.035_632), (10.0, 584.149_488)] {
        let found = water_saturation_temperature(Pressure::new::<megapascal>(mpa))
            .unwrap()
            .value;
        assert!((found - t).abs() < 5e-7, "{mpa} {found}");
    }
}

// The coefficients as the release prints them, against a second copy of the table.
#[test]
fn saturation_equals_iapws_97_and_is_0_01_kelvin_from_iapws_95() {
    for row in Table::read("tests/reference/water_saturation_check.csv").rows() {
        let t = celsius(row.number("temp_C"));
        let p = water_saturation_pressure(t).unwrap().get::<pascal>();
        // The file carries four decimals, to 1e-4 Pa.
        assert!((p - row.number("psat_IF97_Pa")).abs() < 6e-4, "{t:?} {p}");
        assert!(
            (p - row.number("psat_iapws_pkg_Pa")).abs() < 6e-4,
            "{t:?} {p}"
        );
        let p95 = row.number("psat_IAPWS95_Pa");
        if (50e3..=350e3).contains(&p95) {
            let boils = boiling_point(
                Glycol::Ethylene,
                LabelFraction::WATER,
                Pressure::new::<pascal>(p95),
            );
            assert!((boils.unwrap().value - t.value).abs() <= 0.01, "{t:?}");
        }
    }
}

// IAPWS-95 density and specific heat, IAPWS R12-08 viscosity, R15-11 conductivity. The limits are what the fit to
// `data/water_properties.csv` leaves, and the file's last digit at 0 °C between two IAPWS releases (0.04 %).
#[test]
fn plain_water_is_iapws_water() {
    for row in Table::read("tests/reference/water_iapws_properties.csv").rows() {
        let (glycol, none, t) = (
            Glycol::Propylene,
            LabelFraction::WATER,
            celsius(row.number("temp_C")),
        );
        let near = |found: f64, column: &str, share: f64| {
            let wanted = row.number(column);
            assert!(
                (found / wanted - 1.0).abs() <= share,
                "{t:?} {column} {found} {wanted}"
            );
        };
        near(density(glycol, none, t).unwrap().value, "rho_kg_m3", 1e-5);
        near(
            specific_heat(glycol, none, t).unwrap().value,
            "cp_J_kgK",
            1e-4,
        );
        near(conductivity(glycol, none, t).unwrap().value, "k_W_mK", 1e-4);
        near(
            1000.0 * viscosity(glycol, none, t).unwrap().value,
            "mu_mPa_s",
            4e-4,
        );
    }
}

// ICAO Doc 7488/3; and the boiling point of water there, IAPWS-95.
#[test]
fn standard_atmosphere_and_the_kettle_on_it() {
    for row in Table::read("tests/reference/icao_isa_pressure.csv").rows() {
        let height = metres(row.number("H_geopotential_m"));
        let p = air_pressure(height).unwrap();
        assert!(
            (p.get::<pascal>() - row.number("p_formula_Pa")).abs() < 0.01,
            "{height:?} {p:?}"
        );
        assert!(
            (p.get::<pascal>() - row.number("p_fluids_Pa")).abs() < 0.05,
            "{height:?} {p:?}"
        );
        if p.get::<kilopascal>() >= boiling::PRESSURE.low {
            let boils = boiling_point(Glycol::Propylene, LabelFraction::WATER, p).unwrap();
            assert!(
                (in_celsius(boils) - row.number("water_Tsat_C")).abs() <= 0.01,
                "{height:?}"
            );
        }
    }
    assert!(air_pressure(metres(6001.0)).is_err());
    assert!(air_pressure(metres(f64::NAN)).is_err());
}

// Each refusal names what left the range.
#[test]
fn refusals_have_reasons() {
    let said =
        |e: pourcard::engine::error::PropertyError| pourcard::job::message::property_words(&e);
    let cold = density(Glycol::Ethylene, percent(20.0), celsius(-20.0)).unwrap_err();
    assert!(
        said(cold).contains("below this mix's freezing point"),
        "{cold:?}"
    );
    let hot = viscosity(Glycol::Ethylene, percent(20.0), celsius(126.0)).unwrap_err();
    assert!(
        said(hot).contains("temperature 126 degC is outside -35 to 125 degC"),
        "{hot:?}"
    );
    let strong = viscosity(Glycol::Ethylene, percent(91.0), celsius(20.0)).unwrap_err();
    assert!(said(strong).contains("outside 0 to 90 vol%"), "{strong:?}");
    let ice = specific_gravity(Glycol::Ethylene, percent(50.0), celsius(-10.0)).unwrap_err();
    assert!(said(ice).contains("outside 0 to 125 degC"), "{ice:?}");
    assert!(boiling_point(Glycol::Propylene, percent(75.0), kilopascals(101.3)).is_err());
    assert!(boiling_point(Glycol::Ethylene, percent(50.0), kilopascals(351.0)).is_err());
    assert!(freezing_point(Glycol::Propylene, percent(65.0)).is_err());
    assert!(matches!(
        freezing_point(Glycol::Ethylene, percent(65.0)),
        Ok(Freezing::AtOrBelow(_))
    ));
    assert!(freezing_point(Glycol::Ethylene, percent(75.0)).is_err());
}
