//! How full a loop is, cold and hot, and how sure each of it is.
//!
//! V(T) = V_20 · ρ(20 °C) / ρ(T): at the temperature it is filled at that stands against the mark, at the peak it must
//! fit (what is left in the tank is mark + room − V_hot), on the coldest night it should not fall below the minimum
//! (what is left above it is V_cold − mark + minimum). A loop is filled *to the mark*, by eye: what it holds moves with
//! the volume at the mark, and stands a little off it. So the volume's own half-width counts in full in what is held, and
//! only by the growth in what is left in the tank. Where it is known to stand higher than is counted, the intervals are
//! wider for it.
//! Never done here: judging it (`margin`), deciding what to pour.

use super::{
    fluid::Glycol,
    margin::Surroundings,
    property,
    quantity::{
        LabelFraction, Measured, ThermodynamicTemperature, Volume, celsius, in_celsius, in_litres,
        litres,
    },
    uncertainty::{about, combined, propagate},
};

/// 95 % half-width of the temperature a level is set at, K: seldom measured. Common practice, no source.
pub const FILL_K: f64 = 5.0;
/// 95 % half-width of the room above the mark, as a share of it: as of a volume that nobody measured. Ours.
pub const ROOM_SHARE: f64 = 0.05;
/// 95 % half-width of the growth by the density model's own error, as a share of the volume (its sheet says 0.02 %).
pub const GROWTH_SHARE: f64 = 2e-4;

/// How full a loop is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Level {
    /// What it holds, at 20 °C.
    pub cold: Measured<Volume>,
    /// The same at the temperature it is filled at, which is what stands against the mark; `None`: that is 20 °C, or
    /// outside the density's range.
    pub filled: Option<Volume>,
    /// What that shrinks to on the coldest night; `None`: none given, below freezing, or outside the density's range.
    pub coldest: Option<Measured<Volume>>,
    /// From there down to the minimum mark; negative: it stands below. `None` also where no minimum was given.
    pub above_minimum: Option<Measured<Volume>>,
    /// What that grows to at the peak; `None`: no peak given, or outside the density's range.
    pub hot: Option<Measured<Volume>>,
    /// Air left in the tank then; negative: it does not fit. `None` also where no room was given.
    pub room: Option<Measured<Volume>>,
}

/// The level of a loop that holds `held` of a mix of this strength, where `mark` is what stands at its mark, at the
/// temperature it is filled at, and `above` how far higher than that it really stands. `plus_minus`: of the strength, as
/// a fraction.
pub fn level(
    glycol: Glycol,
    strength: LabelFraction,
    plus_minus: f64,
    held: Volume,
    mark: Measured<Volume>,
    above: Measured<Volume>,
    around: &Surroundings,
) -> Level {
    let [off, stands] = [above.value, above.plus_minus].map(in_litres);
    let spread = combined([in_litres(mark.plus_minus), stands]);
    let cold = Measured {
        value: held,
        plus_minus: litres(about(off, spread / 2.0)),
    };
    let fill = in_celsius(around.fill);
    let grows = |phi: f64, fill: f64, to: Option<ThermodynamicTemperature>| {
        growth(glycol, LabelFraction::clamped(phi), celsius(fill), to?)
    };
    let phi = strength.fraction();
    let filled = grows(phi, 20.0, Some(around.fill)).filter(|_| !around.blank.fill);
    let Some(filled) = filled.map(|g| held * g) else {
        return Level {
            cold,
            filled: None,
            coldest: None,
            above_minimum: None,
            hot: None,
            room: None,
        };
    };
    // What stands at a temperature, and what `beside` it leaves: over it (a top, up is 1) or under it (a minimum, -1).
    let at = |to: Option<ThermodynamicTemperature>, beside: Option<(Volume, f64)>| {
        let usual = grows(phi, fill, to)?;
        let (room, up) = beside.map_or((0.0, 0.0), |(room, up)| (in_litres(room), up));
        // Volume at the mark, how far below it, strength, fill temperature, the model, the room beside the mark.
        let x = [
            in_litres(mark.value),
            in_litres(mark.value - filled),
            phi,
            fill,
            1.0,
            room,
        ];
        let u = [
            in_litres(mark.plus_minus),
            stands,
            plus_minus,
            FILL_K,
            GROWTH_SHARE,
            ROOM_SHARE * room,
        ];
        let volume = |x: [f64; 6]| (x[0] - x[1]) * x[4] * grows(x[2], x[3], to).unwrap_or(usual);
        let f = |x: [f64; 6]| match beside {
            None => volume(x),
            Some(_) => up * (x[0] - volume(x)) + x[5],
        };
        Some(Measured {
            value: litres(f(x)),
            plus_minus: litres(about(off * usual, propagate(f, x, u) / 2.0)),
        })
    };
    let over = around.tank_room.map(|room| (room, 1.0));
    let under = around.minimum.map(|minimum| (minimum, -1.0));
    Level {
        cold,
        filled: ((fill - 20.0).abs() > 1e-9).then_some(filled),
        coldest: at(around.coldest, None),
        above_minimum: under.and_then(|_| at(around.coldest, under)),
        hot: at(around.peak, None),
        room: over.and_then(|_| at(around.peak, over)),
    }
}

/// How many times its volume at `fill` a mix takes at `peak`; `None` outside the density's range.
pub fn growth(
    glycol: Glycol,
    strength: LabelFraction,
    fill: ThermodynamicTemperature,
    peak: ThermodynamicTemperature,
) -> Option<f64> {
    let at = |t| property::density(glycol, strength, t).ok();
    Some((at(fill)? / at(peak)?).value)
}
