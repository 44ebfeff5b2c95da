//! The values that went into a figure of the card, in words: one a name of the engine's datasheets.

use super::field::asked_degrees;
use crate::app::{amount, choice::System, number::fixed, page::Solved, words::spaced};
use crate::engine::{
    datasheet::{Figure, Input},
    margin::{CAP_OLD, Surroundings},
    quantity::in_celsius,
};
use crate::job::{
    figure::plain,
    file::{Aim, Now, Quantity, Rate, Side},
    limits::{USUAL_STEP_LITRES, USUAL_VOLUME_SHARE},
    units::{TemperatureUnit, VolumeUnit},
};

/// What went in for `input` of `figure`; `None`: it was not given, or is not known.
pub(super) fn value(
    input: Input,
    figure: Figure,
    solved: &Solved,
    system: System,
) -> Option<String> {
    let asked = &solved.asked;
    let (before, after) = (solved.answer.before.as_ref(), solved.answer.after.as_ref());
    let dose = solved.answer.dose.as_ref();
    let about = |l: f64| amount::about(l, 2, system);
    let litres = |q: Quantity<VolumeUnit>| q.value * q.unit.litres();
    let degrees = |q: Option<Quantity<TemperatureUnit>>, usual| {
        asked_degrees(q, system).unwrap_or_else(|| amount::whole_degrees(usual, system))
    };
    let usual = Surroundings::default();
    let kpa = |p: f64| spaced(&fixed(p, 0), "kPa");
    Some(match input {
        Input::Strength => percent(after?.percent?, after?.plus_minus),
        Input::StrengthBefore => percent(before?.percent?, before?.plus_minus),
        Input::Temperature => match figure {
            Figure::FilmVsWater | Figure::HeatCarriedVsWater => {
                degrees(asked.running_temperature, in_celsius(usual.running))
            }
            _ => degrees(None, 20.0),
        },
        Input::Pressure => kpa(after?.pressure_weakest_kpa?),
        Input::AirPressure => kpa(after?.air_pressure_kpa?),
        Input::Altitude => {
            let height = asked.altitude.map_or(0.0, |q| q.unit.of(q.value).value);
            spaced(&fixed(height, 0), "m")
        }
        Input::CapRating => {
            let rating = asked.cap?;
            kpa(rating.unit.of(rating.value).0.value / 1000.0)
        }
        Input::CapShare => {
            let share = asked.cap_low.map_or(CAP_OLD, |s| s.fraction);
            amount::percent(share * 100.0, 0)
        }
        Input::Concentrate => about(after?.concentrate_litres?),
        Input::Water => about(after?.water_litres?),
        Input::Additive => about(after?.additive_litres?),
        Input::Mark => {
            let one = asked.volume.unit.litres();
            let spread = asked.volume.plus_minus;
            let spread = spread.unwrap_or(asked.volume.value * USUAL_VOLUME_SHARE);
            amount::about_spread(asked.volume.value * one, Some(spread * one), system)
        }
        Input::Cold => about(after.map(|a| a.litres_filled.unwrap_or(a.litres))?),
        Input::Held => about(before?.litres),
        Input::Fill => degrees(asked.fill_temperature, in_celsius(usual.fill)),
        Input::Peak => asked_degrees(asked.peak_temperature, system)?,
        Input::Room => about(litres(asked.tank_room?)),
        Input::Aim => match asked.aim {
            Aim::Percent { value, .. } => amount::percent(value, 1),
            Aim::FreezingPoint { value, unit } => degrees(Some(Quantity { value, unit }), 0.0),
        },
        Input::Step => amount::pour(asked.measure_step.map_or(USUAL_STEP_LITRES, litres), system),
        Input::Rate => rate(&asked.additive.as_ref()?.rate, system),
        Input::CarriedOver => amount::dose(dose?.carried_over_litres?, system),
        Input::Ceiling => amount::dose(dose?.limit_litres?, system),
        Input::Shown => match asked.now {
            Now::FreezingPoint { value, unit, .. } => degrees(Some(Quantity { value, unit }), 0.0),
            Now::SpecificGravity { value, .. }
            | Now::RefractiveIndex { value, .. }
            | Now::Brix { value, .. } => plain(value),
            _ => return None,
        },
        Input::SampleAt => match asked.now {
            Now::SpecificGravity { at, .. }
            | Now::RefractiveIndex { at, .. }
            | Now::Brix { at, .. } => degrees(Some(at), 0.0),
            _ => return None,
        },
        Input::Side => match asked.now {
            Now::FreezingPoint { side, .. } => side.unwrap_or(Side::Thin).text().to_owned(),
            _ => return None,
        },
        // No figure of a card has it; its sheet is the scale's own.
        Input::Brix => return None,
    })
}

fn percent(value: f64, plus_minus: Option<f64>) -> String {
    amount::percent_spread(value, plus_minus)
}

/// A label's rate as short as it goes.
fn rate(rate: &Rate, system: System) -> String {
    let volume = |q: Quantity<VolumeUnit>| amount::about(q.value * q.unit.litres(), 2, system);
    match *rate {
        Rate::Ratio { value, unit } => spaced(&plain(value), &unit.text()),
        Rate::Percent { value } => amount::percent(value, 2),
        Rate::Parts { one_in, one_to } => {
            let parts = one_in.or(one_to.map(|n| n + 1.0)).unwrap_or_default();
            ["1/", &plain(parts)].concat()
        }
        Rate::Bottle {
            size, treats_to, ..
        } => [volume(size), volume(treats_to)].join(" / "),
        Rate::Reading { aim, .. } => spaced(&plain(aim.value), aim.unit.text()),
    }
}
