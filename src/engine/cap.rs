//! Two caps side by side: the one fitted now and the one to be fitted.
//!
//! Each is judged as rated, at its weakest (new and of unknown age), and off, at the altitude. A lower cap costs room to
//! boiling and nothing else changes: no cap makes an engine run cooler. What is left is told at the highest coolant temperature
//! and after heat soak, the rise after shutdown when nothing circulates.
//! Judged is the coolant as a whole. On the hottest metal it boils sooner (local boiling): never judged here.

use super::{
    caution::Caution,
    fluid::Glycol,
    margin::{CAP_NEW, CAP_OLD, Surroundings, Tank},
    property,
    quantity::{
        GaugePressure, LabelFraction, TemperatureInterval, ThermodynamicTemperature, difference,
    },
};

/// Heat soak, where the user says nothing: the coolant's rise after shutdown, K. Common practice, no source.
pub const SOAK_K: f64 = 10.0;

/// What a cap is made for: the one on a radiator with an overflow bottle also lets coolant back in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CapFor {
    /// A radiator with an overflow bottle behind the cap, or with nothing.
    Radiator,
    /// A pressurised expansion tank.
    PressureTank,
}

/// Boiling under one cap.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Under {
    /// Its rating.
    pub rating: GaugePressure,
    /// As rated.
    pub rated: Option<ThermodynamicTemperature>,
    /// At the weakest it may be when new.
    pub new: Option<ThermodynamicTemperature>,
    /// The same at an unknown age.
    pub old: Option<ThermodynamicTemperature>,
    /// At the share of its rating that is judged by.
    pub weakest: Option<ThermodynamicTemperature>,
    /// From the peak up to that.
    pub room: Option<TemperatureInterval>,
    /// From the peak after heat soak.
    pub room_soaked: Option<TemperatureInterval>,
}

/// Both.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Caps {
    /// Fitted now; no cap: open.
    pub fitted: Under,
    /// To be fitted.
    pub other: Under,
    /// With any cap off.
    pub open: Option<ThermodynamicTemperature>,
    /// After heat soak.
    pub soaked: Option<ThermodynamicTemperature>,
}

impl Caps {
    /// Of a mix; `None` where no other cap is given, or the fitted one's rating makes no sense.
    pub fn of(glycol: Glycol, strength: LabelFraction, around: &Surroundings) -> Option<Self> {
        let other = around.other_cap?;
        let fitted = around.rated()?;
        let air = around.air();
        let boils = |cap: Option<GaugePressure>| {
            let air = air?;
            let pressure = cap.map_or(air, |cap| cap.over(air));
            property::boiling_point(glycol, strength, pressure).ok()
        };
        let soaked = around.peak.map(|peak| peak + around.soak);
        let under = |rating: GaugePressure| {
            let at = |share: f64| boils(Some(rating.share(share)));
            let weakest = (!around.blank.weakest)
                .then(|| at(around.cap_low))
                .flatten();
            let room = |from: Option<ThermodynamicTemperature>| Some(difference(weakest?, from?));
            Under {
                rating,
                rated: boils(Some(rating)),
                new: at(CAP_NEW),
                old: at(CAP_OLD),
                weakest,
                room: room(around.peak),
                room_soaked: room(soaked),
            }
        };
        let none = GaugePressure(other.0 * 0.0);
        Some(Self {
            fitted: under(fitted.unwrap_or(none)),
            other: under(other),
            open: boils(None),
            soaked,
        })
    }

    /// How much lower it boils under the cap to be fitted: as rated, and both at their weakest; negative: higher.
    pub fn lower(&self) -> (Option<TemperatureInterval>, Option<TemperatureInterval>) {
        let by = |a: Option<_>, b: Option<_>| Some(difference(a?, b?));
        (
            by(self.fitted.rated, self.other.rated),
            by(self.fitted.weakest, self.other.weakest),
        )
    }
}

/// What there is to say of the caps.
pub fn cautions(
    caps: Option<&Caps>,
    glycol: Glycol,
    strength: LabelFraction,
    around: &Surroundings,
) -> Vec<Caution> {
    let mut list = Vec::new();
    // The one that will be on.
    let cap = around.other_cap.or(around.cap);
    let kpa = |cap: GaugePressure| cap.0.value / 1000.0;
    match (around.maker_cap, cap) {
        (Some(maker), Some(cap)) if kpa(cap) > kpa(maker) * (1.0 + 1e-9) => {
            list.push(Caution::CapAboveMaker {
                kpa: kpa(cap),
                maker_kpa: kpa(maker),
            });
        }
        (Some(maker), Some(cap)) if kpa(cap) < kpa(maker) * (1.0 - 1e-9) => {
            let boils = |cap: GaugePressure| {
                let pressure = cap.share(around.cap_low).over(around.air()?);
                property::boiling_point(glycol, strength, pressure).ok()
            };
            let cost = boils(maker).zip(boils(cap)).map(|(a, b)| difference(a, b));
            list.push(Caution::CapBelowMaker {
                kpa: kpa(cap),
                maker_kpa: kpa(maker),
                cost_k: cost.map_or(0.0, |k| k.value),
            });
        }
        (None, Some(_)) if around.other_cap.is_some() => list.push(Caution::CapMakerUnknown),
        _ => {}
    }
    if let (Some(wanted), Some(tank)) = (around.other_for, around.tank)
        && around.other_cap.is_some()
        && wanted != CapFor::of(tank)
    {
        list.push(Caution::CapOfAnotherKind);
    }
    let Some(caps) = caps else { return list };
    match (caps.other.room, caps.other.room_soaked) {
        (Some(room), _) if room.value < 0.0 => list.push(Caution::OtherCapBoilsFirst {
            short_k: -room.value,
        }),
        (_, Some(room)) if room.value < 0.0 => list.push(Caution::BoilsAfterSoak {
            short_k: -room.value,
            soak_k: around.soak.value,
        }),
        _ => {}
    }
    list.push(Caution::LocalBoiling);
    list
}

impl CapFor {
    /// The kind that goes with a tank.
    pub const fn of(tank: Tank) -> Self {
        match tank {
            Tank::Pressurised => Self::PressureTank,
            Tank::RecoveryBottle | Tank::BareRadiator => Self::Radiator,
        }
    }
}
