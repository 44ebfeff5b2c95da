//! What is surely wrong with a number by itself, while the rest is still to be typed or another field is wrong.
//!
//! Sure is what no further digit can make right: beyond the far end of its limit, or on the wrong side of zero. What is
//! only too small yet, or wrong beside another field, is left to the answer. The limits are the job file's own.
//! Absent on purpose: limits of its own, words.

use super::{
    field::{Entry, Form, Unit},
    model::Spot,
};
use crate::job::{
    limits::{self, Limit},
    message::Typed,
    units::{IntervalUnit, LengthUnit, PressureUnit, TemperatureUnit, VolumeUnit},
};

/// The limit a field breaks whatever else is typed, and by what.
pub fn broken(spot: &Spot, entry: &Entry) -> Option<(Limit, Typed)> {
    let limit = limit(spot)?;
    let value = entry.value().ok()??;
    let in_its_own = || entry.typed_in.code();
    let (unit, typed_unit) = match limit.unit {
        "L" => (Unit::Volume(VolumeUnit::L), in_its_own()),
        "degC" => (Unit::Temperature(TemperatureUnit::DegC), in_its_own()),
        "K" => (Unit::Interval(IntervalUnit::K), in_its_own()),
        "kPa" => (Unit::Pressure(PressureUnit::KPa), in_its_own()),
        "m" => (Unit::Length(LengthUnit::M), in_its_own()),
        only => (entry.typed_in, only.to_owned()),
    };
    // Shares are typed in percent.
    let value = value * if limit.is_share() { 0.01 } else { 1.0 };
    let there = entry.typed_in.to(unit, value)?;
    let beyond = if value > 0.0 {
        there > limit.high
    } else {
        there < limit.low && value < 0.0
    };
    (beyond && !limit.admits(there)).then_some((*limit, Typed::new(value, typed_unit)))
}

fn limit(spot: &Spot) -> Option<&'static Limit> {
    Some(match spot {
        Spot::StockPercent(_) => &limits::PERCENT,
        Spot::StockSpread(_) => &limits::LABEL_SPREAD,
        Spot::StockHave(_) => &limits::HAVE,
        Spot::StockLevel(_) => &limits::LEVEL,
        Spot::Happened(_) => &limits::HAPPENED,
        Spot::HappenedAt(_) => &limits::HAPPENED_AT,
        Spot::Loop(field) => return field.row().limit,
        _ => return None,
    })
}
