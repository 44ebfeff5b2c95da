//! How full a loop is, cold and hot, and how sure each of it is.
//!
//! V_hot = V_cold · ρ(T_fill) / ρ(T_hot), and what is left in the tank is mark + room − V_hot. A loop is filled *to the
//! mark*, by eye: what it holds moves with the volume at the mark, and stands a little off it. So the volume's own
//! half-width counts in full in what is held, and only by the growth in what is left in the tank. Where it is known to
//! stand higher than is counted, the intervals are wider for it.
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
    /// What that grows to at the peak; `None`: no peak given, or outside the density's range.
    pub hot: Option<Measured<Volume>>,
    /// Air left in the tank then; negative: it does not fit. `None` also where no room was given.
    pub room: Option<Measured<Volume>>,
}

/// The level of a loop that holds `held` of a mix of this strength, where `mark` is what it holds at its mark and
/// `above` how far higher than that it really stands. `plus_minus`: of the strength, as a fraction.
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
    let growth = |phi: f64, fill: f64| {
        growth(
            glycol,
            LabelFraction::clamped(phi),
            celsius(fill),
            around.peak?,
        )
    };
    let Some(grows) = growth(strength.fraction(), fill) else {
        return Level {
            cold,
            hot: None,
            room: None,
        };
    };
    let room = around.tank_room.map_or(0.0, in_litres);
    // Volume at the mark, how far below it, strength, fill temperature, the model, the room above the mark.
    let x = [
        in_litres(mark.value),
        in_litres(mark.value - held),
        strength.fraction(),
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
    let hot = |x: [f64; 6]| (x[0] - x[1]) * x[4] * growth(x[2], x[3]).unwrap_or(grows);
    let measured = |left: bool| {
        let f = |x: [f64; 6]| {
            if left { x[0] + x[5] - hot(x) } else { hot(x) }
        };
        Measured {
            value: litres(f(x)),
            plus_minus: litres(about(off * grows, propagate(f, x, u) / 2.0)),
        }
    };
    Level {
        cold,
        hot: Some(measured(false)),
        room: around.tank_room.map(|_| measured(true)),
    }
}

/// How many times its volume at `fill` a mix takes at `peak`; `None` outside the density's range.
fn growth(
    glycol: Glycol,
    strength: LabelFraction,
    fill: ThermodynamicTemperature,
    peak: ThermodynamicTemperature,
) -> Option<f64> {
    let at = |t| property::density(glycol, strength, t).ok();
    Some((at(fill)? / at(peak)?).value)
}
