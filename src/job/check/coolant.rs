//! What else was measured of the coolant: within what there is, and judged only against what stands beside it.

use super::{Refused, at::At};
use crate::engine::caution::{Caution, CoolantProperty};
use crate::job::{
    file::Loop,
    limits::{self, Limit},
    message::{Refusal, Typed},
};

/// The cautions of a loop's own figures.
///
/// # Errors
/// The first value that fails.
pub(in crate::job) fn test(at: &At, lp: &Loop) -> Result<Vec<Caution>, Refused> {
    let Some(test) = lp.coolant_test else {
        return Ok(Vec::new());
    };
    let figure = |key: &str, value: Option<f64>, limit: &Limit| {
        let key = ["coolant_test.", key].concat();
        value
            .map(|v| at.within(&key, v, Typed::new(v, limit.unit), limit))
            .transpose()
    };
    let ph = figure("ph", test.ph, &limits::PH)?;
    let low = figure("ph_low", test.ph_low, &limits::PH)?;
    let high = figure("ph_high", test.ph_high, &limits::PH)?;
    let alkalinity = &limits::RESERVE_ALKALINITY;
    let reserve = figure("reserve_alkalinity", test.reserve_alkalinity, alkalinity)?;
    let least = figure(
        "reserve_alkalinity_low",
        test.reserve_alkalinity_low,
        alkalinity,
    )?;
    if low.zip(high).is_some_and(|(low, high)| low > high) {
        return Err(at.refuse("coolant_test.ph_low", Refusal::PhCrossed));
    }
    let found = |property, value: Option<f64>, limit: Option<f64>, is_out: fn(f64, f64) -> bool| {
        let (value, limit) = value
            .zip(limit)
            .filter(|&(value, limit)| is_out(value, limit))?;
        Some(Caution::CoolantTest {
            property,
            value,
            limit,
        })
    };
    let below = |value, limit| value < limit;
    let list = [
        found(CoolantProperty::Ph, ph, low, below),
        found(CoolantProperty::Ph, ph, high, |value, limit| value > limit),
        found(CoolantProperty::ReserveAlkalinity, reserve, least, below),
    ];
    Ok(list.into_iter().flatten().collect())
}
