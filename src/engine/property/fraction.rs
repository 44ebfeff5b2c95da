//! The two bases of strength, tied by the handbook's pairs of mass and volume percent.
//!
//! For questions asked by mass only. A loop is not booked through these pairs: they credit up to 1.1 points too much.

use super::super::fluid::Glycol;
use super::super::quantity::{LabelFraction, MassFraction};
use super::super::source::Source;
use super::coefficients::LOG_ODDS;

/// Pairs and what they can say.
pub const SOURCE: Source = Source {
    citation: "ASHRAE Handbook: Fundamentals (2001 SI), Freezing and Boiling Points of Aqueous Solutions, mass and volume columns",
    stated_error: "0.1 point to 60 mass %, where the pairs end; exact at 0 and 100 %",
};

/// Mass fraction of a label fraction: ln[(w/(1−w))/(φ/(1−φ))] = a + b φ.
///
/// Accuracy: [`SOURCE`].
pub fn mass_fraction(glycol: Glycol, strength: LabelFraction) -> MassFraction {
    let [a, b] = LOG_ODDS[glycol.index()];
    let phi = strength.fraction();
    let part = phi * (a + b * phi).exp();
    MassFraction::clamped(part / (1.0 - phi + part))
}

/// Label fraction of a mass fraction: the inverse of [`mass_fraction`] to 1e-13.
pub fn label_fraction(glycol: Glycol, mass: MassFraction) -> LabelFraction {
    let [a, b] = LOG_ODDS[glycol.index()];
    let w = mass.fraction();
    let mut phi = w;
    // Newton on φ (1−w) e^(a+bφ) − w (1−φ), almost a straight line: four steps reach rounding.
    for _ in 0..4 {
        let e = (1.0 - w) * (a + b * phi).exp();
        phi -= (phi * e - w * (1.0 - phi)) / (e * (1.0 + b * phi) + w);
    }
    LabelFraction::clamped(phi)
}
