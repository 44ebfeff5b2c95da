//! What surrounds a loop: tank, cap, altitude, and the temperatures it must bear.

use super::{Refused, at::At};
use crate::engine::{
    margin::{CAP_OLD, FREEZE_ROOM_K, Surroundings, Tank},
    quantity::kelvins,
};
use crate::job::{
    file::{self, Loop, Quantity},
    limits,
    message::Typed,
    units::{PressureUnit, TemperatureUnit},
};

pub(super) fn surroundings(at: &At, lp: &Loop) -> Result<Surroundings, Refused> {
    let default = Surroundings::default();
    let temperature = |key, q: Option<Quantity<TemperatureUnit>>, limit| {
        q.map(|q| at.temperature(key, q, limit)).transpose()
    };
    let cap = |key, q: Option<Quantity<PressureUnit>>| q.map(|q| at.cap(key, q)).transpose();
    Ok(Surroundings {
        lowest: default.lowest,
        tank: lp.tank.map(Tank::from),
        tank_room: lp
            .tank_room
            .map(|q| at.volume("tank_room", q, &limits::TANK_ROOM))
            .transpose()?,
        fill: temperature(
            "fill_temperature",
            lp.fill_temperature,
            &limits::FILL_TEMPERATURE,
        )?
        .unwrap_or(default.fill),
        peak: temperature(
            "peak_temperature",
            lp.peak_temperature,
            &limits::PEAK_TEMPERATURE,
        )?,
        running: temperature(
            "running_temperature",
            lp.running_temperature,
            &limits::RUNNING_TEMPERATURE,
        )?
        .unwrap_or(default.running),
        coldest: temperature("coldest", lp.coldest, &limits::COLDEST)?,
        coldest_margin: match lp.coldest_margin {
            None => kelvins(FREEZE_ROOM_K),
            Some(q) => {
                let k = q.unit.of(q.value).value;
                kelvins(at.within(
                    "coldest_margin",
                    k,
                    Typed::new(q.value, q.unit.text()),
                    &limits::COLDEST_MARGIN,
                )?)
            }
        },
        cap: cap("cap", lp.cap)?,
        cap_low: at
            .share("cap_low.fraction", lp.cap_low, &limits::CAP_LOW)?
            .unwrap_or(CAP_OLD),
        other_cap: cap("other_cap", lp.other_cap)?,
        altitude: match lp.altitude {
            None => default.altitude,
            Some(q) => at.altitude("altitude", q)?,
        },
    })
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
