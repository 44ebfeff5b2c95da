//! Properties as curves: monotone where physics is, no kink a chart would show.
use pourcard::engine::error::PropertyError;
use pourcard::engine::fluid::Glycol;
use pourcard::engine::property::*;
use pourcard::engine::quantity::{LabelFraction, celsius, kilopascals};
use proptest::prelude::*;

type Property = fn(Glycol, f64, f64) -> Result<f64, PropertyError>;

fn strength(p: f64) -> LabelFraction {
    LabelFraction::from_percent(p).unwrap()
}

const DENSITY: Property = |g, p, t| Ok(density(g, strength(p), celsius(t))?.value);
const SPECIFIC_HEAT: Property = |g, p, t| Ok(specific_heat(g, strength(p), celsius(t))?.value);
const CONDUCTIVITY: Property = |g, p, t| Ok(conductivity(g, strength(p), celsius(t))?.value);
const VISCOSITY: Property = |g, p, t| Ok(viscosity(g, strength(p), celsius(t))?.value);
const ALL: [(&str, Property); 4] = [
    ("density", DENSITY),
    ("specific heat", SPECIFIC_HEAT),
    ("conductivity", CONDUCTIVITY),
    ("viscosity", VISCOSITY),
];

/// Whether `property` runs one way along percent at fixed temperatures.
fn along_strength(glycol: Glycol, property: Property, sign: f64, highest: f64) {
    for t in (-35..=125).step_by(5).map(f64::from) {
        let values: Vec<(f64, f64)> = (0..=4 * highest as i32)
            .map(|i| 0.25 * f64::from(i))
            .filter_map(|p| Some((p, property(glycol, p, t).ok()?)))
            .collect();
        // Below 0 °C weak mixes are ice, and refused.
        assert!(t <= 0.0 || values.len() == 4 * highest as usize + 1);
        for pair in values.windows(2) {
            assert!(
                sign * (pair[1].1 - pair[0].1) > 0.0,
                "{glycol:?} {t} degC {pair:?}"
            );
        }
    }
}

/// Whether `property` runs one way along temperature at fixed percents.
fn along_temperature(glycol: Glycol, property: Property, sign: f64, from: f64) {
    for p in (0..=36).map(|i| 2.5 * f64::from(i)) {
        let values: Vec<(f64, f64)> = (0..=640)
            .map(|i| -35.0 + 0.25 * f64::from(i))
            .filter(|t| *t >= from)
            .filter_map(|t| Some((t, property(glycol, p, t).ok()?)))
            .collect();
        let warm = values.iter().filter(|(t, _)| *t > 0.0).count();
        assert_eq!(
            warm,
            501 - 4 * from.max(0.25) as usize - usize::from(from <= 0.0)
        );
        for pair in values.windows(2) {
            assert!(
                sign * (pair[1].1 - pair[0].1) > 0.0,
                "{glycol:?} {p} vol% {pair:?}"
            );
        }
    }
}

#[test]
fn viscosity_rises_with_strength_and_falls_with_heat() {
    for glycol in Glycol::ALL {
        along_strength(glycol, VISCOSITY, 1.0, 90.0);
        along_temperature(glycol, VISCOSITY, -1.0, -35.0);
    }
}

#[test]
fn conductivity_and_specific_heat_fall_with_strength() {
    for glycol in Glycol::ALL {
        along_strength(glycol, CONDUCTIVITY, -1.0, 90.0);
        along_strength(glycol, SPECIFIC_HEAT, -1.0, 90.0);
    }
}

#[test]
fn density_falls_with_heat_and_ethylene_rises_with_strength() {
    // Water is densest at 4 °C and weak mixes a little below: from 5 °C on all fall.
    for glycol in Glycol::ALL {
        along_temperature(glycol, DENSITY, -1.0, 5.0);
    }
    along_strength(Glycol::Ethylene, DENSITY, 1.0, 90.0);
    // Propylene turns over between 70 and 90 vol%, as the source's columns do.
}

#[test]
fn boiling_rises_with_strength_and_pressure() {
    for glycol in Glycol::ALL {
        for p in (50..=350).step_by(10).map(f64::from) {
            let mut before = 0.0;
            for i in 0..=280 {
                let t = boiling_point(glycol, strength(0.25 * f64::from(i)), kilopascals(p))
                    .unwrap()
                    .value;
                assert!(t > before);
                if p < 350.0 {
                    let above =
                        boiling_point(glycol, strength(0.25 * f64::from(i)), kilopascals(p + 10.0))
                            .unwrap()
                            .value;
                    assert!(above > t);
                }
                before = t;
            }
        }
    }
}

// A kink is a jump of slope: on the two sides of every column the slope differs by no more than a hundredth of the
// steepest slope of that curve.
#[test]
fn no_kink_at_the_columns() {
    const STEP: f64 = 1e-3;
    for glycol in Glycol::ALL {
        for (name, property) in ALL {
            for t in (-30..=120).step_by(10).map(f64::from) {
                let at = |p: f64| property(glycol, p, t).ok();
                let slopes: Vec<(f64, f64)> = (1..=8)
                    .filter_map(|i| {
                        let p = 10.0 * f64::from(i);
                        let (l, m, r) = (at(p - STEP)?, at(p)?, at(p + STEP)?);
                        Some(((m - l) / STEP, (r - m) / STEP))
                    })
                    .collect();
                assert!(t <= 0.0 || slopes.len() == 8);
                let steepest = slopes
                    .iter()
                    .fold(0.0f64, |s, (l, r)| s.max(l.abs()).max(r.abs()));
                for (left, right) in slopes {
                    assert!(
                        (left - right).abs() <= 0.01 * steepest,
                        "{glycol:?} {name} {t}: {left} {right}"
                    );
                }
            }
        }
    }
}

// The table begins up to 12 K above where weak mixes freeze (propylene at 40 vol%: −10 against −21.4 °C); there, and
// nowhere else under 90 vol%, a value is a continuation.
#[test]
fn continuations_are_marked() {
    for glycol in Glycol::ALL {
        for p in (5..=90).step_by(5).map(f64::from) {
            let marked = |t: f64| extrapolated(glycol, strength(p), celsius(t));
            let coldest = (-350..=100)
                .map(|i| 0.1 * f64::from(i))
                .find(|t| !marked(*t))
                .unwrap();
            assert!(!marked(125.0), "{glycol:?} {p}");
            if let Ok(Freezing::At(point)) = freezing_point(glycol, strength(p)) {
                let gap = coldest - (point.value - 273.15).max(-35.0);
                assert!((-0.2..=12.0).contains(&gap), "{glycol:?} {p} {gap}");
            }
        }
        assert!(!extrapolated(glycol, strength(90.0), celsius(20.0)));
        assert!(extrapolated(glycol, strength(95.0), celsius(20.0)));
        assert!(
            extrapolated(glycol, strength(10.0), celsius(0.0))
                && !extrapolated(glycol, strength(10.0), celsius(5.0))
        );
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, failure_persistence: None, ..ProptestConfig::default() })]

    // Every property answers every liquid state in range with a finite number above zero, and nothing else.
    #[test]
    fn in_range_an_answer_else_a_reason(
        ethylene in any::<bool>(), p in 0.0..=100.0f64, t in -60.0..=150.0f64,
    ) {
        let glycol = if ethylene { Glycol::Ethylene } else { Glycol::Propylene };
        for (name, property) in ALL {
            let answer = property(glycol, p, t);
            let highest = if name == "density" { 100.0 } else { 90.0 };
            if p > highest || !(-35.0..=125.0).contains(&t) {
                prop_assert!(answer.is_err());
            } else if let Ok(value) = answer {
                prop_assert!(value.is_finite() && value > 0.0, "{name} {value}");
            } else {
                // The reason is always ice: freezing point known, or the table's blank cells.
                let frozen = match freezing_point(glycol, strength(p)) {
                    Ok(Freezing::At(point)) => celsius(t) < point,
                    _ => p > 80.0 && t < -13.0,
                };
                prop_assert!(frozen, "{name} {glycol:?} {p} {t} {answer:?}");
            }
        }
    }
}
