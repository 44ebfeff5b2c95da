//! The engine against published numbers. Each check names its source; rows live in `data/` (tables the engine reads)
//! and `tests/reference/` (tables it never sees).
//!
//! Two kinds of limit: an *accuracy* is promised by the engine's own `SOURCE` and never widened; an *agreement* is how
//! far two published sources stand apart, measured here and pinned (a regression pin, said so each time).

mod boiling;
mod heat;
mod measured;
mod melinder;
mod optics;
mod standards;
mod tables;
mod water;

use pourcard::engine::fluid::Glycol;
use pourcard::engine::property::{Freezing, freezing_point, label_fraction};
use pourcard::engine::quantity::{LabelFraction, MassFraction, in_celsius};

const GLYCOLS: [(Glycol, &str); 2] = [
    (Glycol::Ethylene, "ethylene"),
    (Glycol::Propylene, "propylene"),
];

fn percent(p: f64) -> LabelFraction {
    LabelFraction::from_percent(p).unwrap()
}

fn by_mass(glycol: Glycol, percent: f64) -> LabelFraction {
    label_fraction(glycol, MassFraction::new(percent / 100.0).unwrap())
}

fn freezing_c(glycol: Glycol, strength: LabelFraction) -> f64 {
    match freezing_point(glycol, strength).unwrap() {
        Freezing::At(t) => in_celsius(t),
        Freezing::AtOrBelow(t) => panic!("only a bound, {t:?}"),
    }
}

/// Lowest and highest of some deviations.
fn spread(deviations: impl IntoIterator<Item = f64>) -> (f64, f64) {
    deviations
        .into_iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), d| {
            (low.min(d), high.max(d))
        })
}

/// Whether deviations stay inside a pinned band; an empty table fails.
#[track_caller]
fn within(what: &str, deviations: Vec<f64>, low: f64, high: f64) {
    assert!(!deviations.is_empty(), "{what}: no rows");
    let (least, most) = spread(deviations);
    println!("{what}: {least:.4} to {most:.4}");
    assert!(
        least >= low && most <= high,
        "{what}: {least} to {most}, wanted {low} to {high}"
    );
}
