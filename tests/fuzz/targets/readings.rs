//! The inverses: from any instrument's figure to a strength.

use super::Bytes;
use pourcard::engine::{
    fluid::Glycol,
    property::strength_for_freezing,
    quantity::{LabelFraction, celsius, kelvins},
    reading::{Instrument, Reading, Side, composition, expected},
};

/// A reading is refused, or gives a strength from 0 to 1 with a half-width that is one; what an instrument should show
/// for that strength gives it back.
pub fn reading(data: &[u8]) {
    let mut b = Bytes(data);
    let glycol = if b.yes() {
        Glycol::Ethylene
    } else {
        Glycol::Propylene
    };
    let kind = b.byte() % 5;
    let temperature = celsius(b.wild(-40.0, 130.0));
    let spread = b.yes().then(|| b.wild(0.0, 5.0));
    let side = [None, Some(Side::Thin), Some(Side::Thick)][usize::from(b.byte() % 3)];
    let (shown, instrument) = match kind {
        0 => (
            Reading::Percent {
                strength: LabelFraction::clamped(b.wild(0.0, 1.0)),
                plus_minus: spread,
            },
            Instrument::Percent,
        ),
        1 => (
            Reading::FreezingPoint {
                temperature,
                side,
                plus_minus: spread.map(kelvins),
            },
            Instrument::FreezingPoint,
        ),
        2 => (
            Reading::SpecificGravity {
                value: b.wild(0.95, 1.2),
                temperature,
                plus_minus: spread,
            },
            Instrument::SpecificGravity(temperature),
        ),
        3 => (
            Reading::RefractiveIndex {
                value: b.wild(1.3, 1.5),
                temperature,
                plus_minus: spread,
            },
            Instrument::RefractiveIndex(temperature),
        ),
        _ => (
            Reading::Brix {
                value: b.wild(-2.0, 80.0),
                temperature,
                plus_minus: spread,
            },
            Instrument::Brix(temperature),
        ),
    };
    let _ = strength_for_freezing(glycol, temperature);
    let Ok(found) = composition(glycol, &shown) else {
        return;
    };
    assert!(
        (0.0..=1.0).contains(&found.value.fraction()),
        "{shown:?}: {found:?}"
    );
    assert!(
        found.plus_minus >= 0.0 && found.plus_minus.is_finite(),
        "{shown:?}: {found:?}"
    );
    let Ok(should) = expected(glycol, found.value, instrument) else {
        return;
    };
    if let (Ok(back), false) = (composition(glycol, &should), side == Some(Side::Thick)) {
        let off = (back.value.fraction() - found.value.fraction()).abs();
        assert!(off < 1e-6, "{shown:?}: {found:?}, and back {back:?}");
    }
}
