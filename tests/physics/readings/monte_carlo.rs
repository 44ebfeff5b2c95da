//! First-order uncertainty of readings against Monte Carlo.

use super::percent;
use crate::normals::{Normals, half_width};
use pourcard::engine::fluid::Glycol::{self, Ethylene, Propylene};
use pourcard::engine::quantity::{celsius, in_celsius};
use pourcard::engine::reading::{Instrument, Reading, Side, composition, default, expected};

/// Half of the central 95 % interval of the strengths found when the reading is redrawn (JCGM 101:2008, 7.7):
/// the instrument moves by its standard uncertainty, the answer by the model's.
fn monte_carlo(glycol: Glycol, shown: Reading, instrument_u: f64, model_u: f64) -> f64 {
    let mut normals = Normals::from(20);
    let found: Vec<f64> = (0..20_000)
        .map(|_| {
            let step = instrument_u * normals.next();
            let moved = match shown {
                Reading::FreezingPoint {
                    temperature,
                    plus_minus,
                    ..
                } => Reading::FreezingPoint {
                    temperature: celsius(in_celsius(temperature) + step),
                    side: Some(Side::Thin),
                    plus_minus,
                },
                Reading::SpecificGravity {
                    value,
                    temperature,
                    plus_minus,
                } => Reading::SpecificGravity {
                    value: value + step,
                    temperature,
                    plus_minus,
                },
                Reading::RefractiveIndex {
                    value,
                    temperature,
                    plus_minus,
                } => Reading::RefractiveIndex {
                    value: value + step,
                    temperature,
                    plus_minus,
                },
                Reading::Brix {
                    value,
                    temperature,
                    plus_minus,
                } => Reading::Brix {
                    value: value + step,
                    temperature,
                    plus_minus,
                },
                other => panic!("no scale: {other:?}"),
            };
            composition(glycol, &moved).unwrap().value.fraction() + model_u * normals.next()
        })
        .collect();
    half_width(found)
}

// JCGM 101:2008, 8: first order stands where the two agree to the figure's own precision, here a tenth of the
// half-width, or half a point where that is more.
#[test]
fn first_order_agrees_with_monte_carlo() {
    let at = celsius(20.0);
    for glycol in Glycol::ALL {
        for p in [15.0, 30.0, 45.0] {
            let model = |n: f64| n / 2.0;
            let index = if glycol == Ethylene { 1e-4 } else { 3e-4 };
            let shown = |instrument| expected(glycol, percent(p), instrument).unwrap();
            let index_u = (default::REFRACTIVE_INDEX.powi(2) + f64::powi(index, 2)).sqrt() / 2.0;
            let cases = [
                (
                    shown(Instrument::FreezingPoint),
                    default::FROST_K / 2.0,
                    model(default::FROST_SCALE),
                ),
                (shown(Instrument::RefractiveIndex(at)), index_u, 0.0),
            ];
            for (shown, instrument_u, model_u) in cases {
                let first_order = composition(glycol, &shown).unwrap().plus_minus;
                let drawn = monte_carlo(glycol, shown, instrument_u, model_u);
                let slack = (0.1 * first_order).max(0.005);
                assert!(
                    (first_order - drawn).abs() < slack,
                    "{glycol:?} {p} {shown:?}: {first_order} {drawn}"
                );
            }
        }
    }
}

#[test]
fn first_order_agrees_with_monte_carlo_for_brix_and_gravity() {
    let at = celsius(20.0);
    for (glycol, p) in [(Ethylene, 30.0), (Ethylene, 50.0), (Propylene, 30.0)] {
        let shown = expected(glycol, percent(p), Instrument::Brix(at)).unwrap();
        let first_order = composition(glycol, &shown).unwrap().plus_minus;
        // The scale's and the model's own errors in refractive index, over the index of one degree (CRC, 0.0018 at 25).
        let own = if glycol == Ethylene { 1e-4 } else { 3e-4 };
        let brix_u = (default::BRIX.powi(2)
            + (1e-4f64.powi(2) + f64::powi(own, 2)) / 0.0018f64.powi(2))
        .sqrt()
            / 2.0;
        let drawn = monte_carlo(glycol, shown, brix_u, 0.0);
        assert!(
            (first_order - drawn).abs() < 0.1 * first_order,
            "{glycol:?} {p} {first_order} {drawn}"
        );

        let Reading::SpecificGravity {
            value, temperature, ..
        } = expected(glycol, percent(p), Instrument::SpecificGravity(at)).unwrap()
        else {
            panic!("asked for gravity")
        };
        let given = Reading::SpecificGravity {
            value,
            temperature,
            plus_minus: Some(0.002),
        };
        let first_order = composition(glycol, &given).unwrap().plus_minus;
        let exact = Reading::SpecificGravity {
            value,
            temperature,
            plus_minus: Some(0.0),
        };
        let fluid = composition(glycol, &exact).unwrap().plus_minus;
        // The fluid's inhibitors are off to one side only: with none at all it is stronger by all of `fluid`. Nineteen in twenty
        // of the readings of such a fluid are to lie within, and not many more.
        let mut normals = Normals::from(20);
        let within = (0..20_000)
            .filter(|_| {
                let moved = Reading::SpecificGravity {
                    value: value + 0.001 * normals.next(),
                    temperature,
                    plus_minus: None,
                };
                let shown = composition(glycol, &exact).unwrap().value.fraction();
                let found = composition(glycol, &moved).unwrap().value.fraction() + fluid;
                (found - shown).abs() <= first_order
            })
            .count();
        let share = within as f64 / 20_000.0;
        assert!(
            (0.95..0.985).contains(&share),
            "{glycol:?} {p} {first_order}: {share}"
        );
    }
}
