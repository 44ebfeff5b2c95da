//! What surrounds a loop: tank, cap, altitude, and the temperatures it must bear.
//!
//! None of it is needed for a plan, so a value outside its limit refuses none: it is left out, what depends on it stays
//! blank, and both are said.

use super::{Refused, at::At};
use crate::engine::{
    cap::CapFor,
    margin::{Blank, CAP_OLD, FREEZE_ROOM_K, Surroundings, Tank},
    quantity::kelvins,
};
use crate::job::{
    answer::Fault,
    file::{self, Loop, Quantity},
    limits,
    message::Typed,
    units::{PressureUnit, TemperatureUnit, VolumeUnit},
};

/// What surrounds the loop, and what was left out.
pub(super) fn surroundings(at: &At, lp: &Loop) -> (Surroundings, Vec<Fault>) {
    let default = Surroundings::default();
    let mut left_out = Vec::new();
    let mut blank = Blank::default();
    let mut volume = |key, q: Option<Quantity<VolumeUnit>>, limit| {
        kept(q.map(|q| at.volume(key, q, limit)), &mut left_out).0
    };
    let tank_room = volume("tank_room", lp.tank_room, &limits::TANK_ROOM);
    let minimum = volume("minimum", lp.minimum, &limits::MINIMUM);
    let mut temperature = |key, q: Option<Quantity<TemperatureUnit>>, limit| {
        kept(q.map(|q| at.temperature(key, q, limit)), &mut left_out)
    };
    let (fill, no_fill) = temperature(
        "fill_temperature",
        lp.fill_temperature,
        &limits::FILL_TEMPERATURE,
    );
    let (peak, _) = temperature(
        "peak_temperature",
        lp.peak_temperature,
        &limits::PEAK_TEMPERATURE,
    );
    let (running, no_running) = temperature(
        "running_temperature",
        lp.running_temperature,
        &limits::RUNNING_TEMPERATURE,
    );
    let (coldest, _) = temperature("coldest", lp.coldest, &limits::COLDEST);
    let margin = lp.coldest_margin.map(|q| {
        let typed = Typed::new(q.value, q.unit.text());
        let k = q.unit.of(q.value).value;
        at.within("coldest_margin", k, typed, &limits::COLDEST_MARGIN)
    });
    let (margin, no_margin) = kept(margin, &mut left_out);
    let mut cap =
        |key, q: Option<Quantity<PressureUnit>>| kept(q.map(|q| at.cap(key, q)), &mut left_out);
    let (fitted, no_cap) = cap("cap", lp.cap);
    let (other_cap, _) = cap("other_cap", lp.other_cap);
    let (maker_cap, _) = cap("maker_cap", lp.maker_cap);
    let soak = lp.heat_soak.map(|q| {
        let typed = Typed::new(q.value, q.unit.text());
        at.within(
            "heat_soak",
            q.unit.of(q.value).value,
            typed,
            &limits::HEAT_SOAK,
        )
    });
    let (soak, _) = kept(soak, &mut left_out);
    let low = at.share("cap_low.fraction", lp.cap_low, &limits::CAP_LOW);
    let (cap_low, no_low) = kept(low.transpose(), &mut left_out);
    let altitude = lp.altitude.map(|q| at.altitude("altitude", q));
    let (altitude, no_altitude) = kept(altitude, &mut left_out);
    blank.fill = no_fill;
    blank.running = no_running;
    blank.margin = no_margin;
    blank.cap = no_cap;
    blank.weakest = no_low;
    blank.air = no_altitude;
    let around = Surroundings {
        tank: lp.tank.map(Tank::from),
        tank_room,
        minimum,
        fill: fill.unwrap_or(default.fill),
        peak,
        running: running.unwrap_or(default.running),
        coldest,
        coldest_margin: kelvins(margin.unwrap_or(FREEZE_ROOM_K)),
        cap: fitted,
        cap_low: cap_low.unwrap_or(CAP_OLD),
        other_cap,
        other_for: lp.other_cap_for.map(|made| match made {
            file::CapFor::Radiator => CapFor::Radiator,
            file::CapFor::PressureTank => CapFor::PressureTank,
        }),
        maker_cap,
        soak: soak.map_or(default.soak, kelvins),
        altitude: altitude.unwrap_or(default.altitude),
        lowest: default.lowest,
        blank,
    };
    (around, left_out)
}

/// The value, if it was given and lies within its limit; and whether it does not. Then its fault is noted.
fn kept<T>(checked: Option<Result<T, Refused>>, left_out: &mut Vec<Fault>) -> (Option<T>, bool) {
    match checked {
        None => (None, false),
        Some(Ok(value)) => (Some(value), false),
        Some(Err(fault)) => {
            left_out.push(*fault);
            (None, true)
        }
    }
}

impl From<file::Tank> for Tank {
    fn from(tank: file::Tank) -> Self {
        match tank {
            file::Tank::Pressurised => Self::Pressurised,
            file::Tank::RecoveryBottle => Self::RecoveryBottle,
            file::Tank::BareRadiator => Self::BareRadiator,
        }
    }
}
