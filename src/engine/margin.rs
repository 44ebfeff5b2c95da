//! What a loop is at one time, and how much room there is: to the frost, to boiling, to the top of the tank.
//!
//! Boiling is judged at the cap's rating, at the weakest such a cap may be, and with it off, over the air at the
//! altitude (ICAO). A cap of unknown age may open at [`CAP_OLD`] of its rating: a 1.1 bar-class cap opens new at 93
//! to 123 kPa and is rejected below 78 (two service manuals).
//! The level is `level`'s.
//! Never done here: deciding what to pour; promising a running temperature.

use super::{
    cap::{self, CapFor, Caps, SOAK_K},
    caution::{Caution, Weight},
    error::PropertyError,
    fluid::Glycol,
    heat,
    level::{Level, level},
    mix::{Blend, Charge},
    property::{self, Freezing},
    quantity::{
        GaugePressure, LabelFraction, Length, Measured, Pressure, Ratio, TemperatureInterval,
        ThermodynamicTemperature, Volume, celsius, difference, in_celsius, in_litres, kelvins,
        litres,
    },
};

/// Share of its rating at which a cap of unknown age may open.
pub const CAP_OLD: f64 = 0.70;
/// The same for a new one.
pub const CAP_NEW: f64 = 0.85;
/// Boil room under this is thin. Our judgement.
pub const BOIL_ROOM_K: f64 = 15.0;
/// Freeze room under this is thin, unless the user says otherwise. Common practice, no source.
pub const FREEZE_ROOM_K: f64 = 5.0;
/// The least of a pressurised tank's cold air that must be left when hot. Our judgement: halving it alone doubles
/// the air's pressure.
pub const AIR_LEFT: f64 = 0.5;
/// The least strength for which inhibitors are made (ASTM D3306 and D6210 scope: from 40 % by volume).
pub const INHIBITOR_MINIMUM: f64 = 0.40;
/// Above this, caution (ASTM D6210 scope: to 60 % by volume).
pub const HIGH: f64 = 0.60;
/// Above this, no plan (ASTM D3306 scope: to 70 % by volume).
pub const HIGHEST: f64 = 0.70;

/// Where the hot growth goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tank {
    /// A pressurised expansion tank with air above the mark.
    Pressurised,
    /// An overflow bottle behind the cap, outside the loop's volume.
    RecoveryBottle,
    /// A radiator with air at its top and nothing behind it.
    BareRadiator,
}

/// What surrounds a loop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Surroundings {
    /// Where the growth goes, if stated.
    pub tank: Option<Tank>,
    /// Air above the cold mark.
    pub tank_room: Option<Volume>,
    /// From the cold mark down to the minimum mark.
    pub minimum: Option<Volume>,
    /// Of the coolant when its level is set.
    pub fill: ThermodynamicTemperature,
    /// The hottest it runs.
    pub peak: Option<ThermodynamicTemperature>,
    /// Where it usually runs; cooling is compared here.
    pub running: ThermodynamicTemperature,
    /// The coldest it must survive.
    pub coldest: Option<ThermodynamicTemperature>,
    /// Wanted between freezing and the coldest.
    pub coldest_margin: TemperatureInterval,
    /// The fitted cap's rating; `None`: open.
    pub cap: Option<GaugePressure>,
    /// The share of its rating the cap is judged at.
    pub cap_low: f64,
    /// The cap to be fitted.
    pub other_cap: Option<GaugePressure>,
    /// What that is made for, if stated.
    pub other_for: Option<CapFor>,
    /// The rating the maker asks for, if stated.
    pub maker_cap: Option<GaugePressure>,
    /// The coolant's rise after shutdown.
    pub soak: TemperatureInterval,
    /// Above sea level.
    pub altitude: Length,
    /// The loop's lowest strength, as a fraction.
    pub lowest: f64,
    /// What was given and makes no sense: nothing is worked from it.
    pub blank: Blank,
}

/// What stays blank for want of a value that makes sense.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
#[allow(clippy::struct_excessive_bools)] // one for each value
pub struct Blank {
    /// What depends on the fill temperature.
    pub fill: bool,
    /// On the running temperature.
    pub running: bool,
    /// On the margin wanted to the coldest.
    pub margin: bool,
    /// On the fitted cap's rating.
    pub cap: bool,
    /// On the share of it the cap is judged at.
    pub weakest: bool,
    /// On the air's pressure.
    pub air: bool,
}

/// What a loop is at one time. `None`: no model reaches, or nothing was said to judge it by.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Condition {
    /// What is in it.
    pub charge: Charge,
    /// Label strength.
    pub strength: LabelFraction,
    /// Its 95 % half-width, as a fraction.
    pub plus_minus: f64,
    /// What it holds, cold and hot, and what is left in the tank.
    pub level: Level,
    /// The air's pressure at the altitude.
    pub air: Option<Pressure>,
    /// Absolute, at the weakest the cap may be.
    pub pressure_weakest: Option<Pressure>,
    /// Where ice begins.
    pub freezing: Option<Freezing>,
    /// The same of the end of the range that freezes first.
    pub freezing_worst: Option<Freezing>,
    /// At the cap's rating (open, where there is no cap).
    pub boiling: Option<ThermodynamicTemperature>,
    /// At the weakest the cap may be.
    pub boiling_weakest: Option<ThermodynamicTemperature>,
    /// With the cap off.
    pub boiling_open: Option<ThermodynamicTemperature>,
    /// At the rating of the other cap.
    pub boiling_other_cap: Option<ThermodynamicTemperature>,
    /// Both caps side by side, where one is to be fitted.
    pub caps: Option<Caps>,
    /// Film coefficient over water's, at equal flow speed.
    pub film_vs_water: Option<Measured<f64>>,
    /// Heat carried per litre over water's.
    pub heat_carried_vs_water: Option<Measured<f64>>,
    /// From the coldest down to freezing; negative: it freezes first.
    pub freeze_room: Option<TemperatureInterval>,
    /// From the peak up to boiling at the weakest cap.
    pub boil_room: Option<TemperatureInterval>,
    /// Against water, at 20 °C.
    pub specific_gravity: Option<f64>,
    /// At 589 nm and 20 °C.
    pub refractive_index: Option<f64>,
}

/// The condition of `charge` in a loop that holds `mark` when filled to its mark, and really stands `above` what is
/// counted.
pub fn condition(
    blend: &Blend,
    charge: &Charge,
    plus_minus: f64,
    mark: Measured<Volume>,
    above: Measured<Volume>,
    around: &Surroundings,
) -> Condition {
    let glycol = blend.glycol();
    let strength = charge.strength();
    let held = charge.volume(blend);
    let freezing = property::freezing_point(glycol, strength).ok();
    let freezing_worst = property::freezes_first(glycol, strength, plus_minus).ok();
    let boils = Boils {
        glycol,
        strength,
        air: around.air(),
    };
    let (rated, weakest) = (around.rated(), around.weakest());
    let boiling_weakest = weakest.and_then(|cap| boils.under(cap));
    Condition {
        charge: *charge,
        strength,
        plus_minus,
        level: level(glycol, strength, plus_minus, held, mark, above, around),
        air: boils.air,
        pressure_weakest: weakest.and_then(|cap| boils.pressure(cap)),
        freezing,
        freezing_worst,
        boiling: rated.and_then(|cap| boils.under(cap)),
        boiling_weakest,
        boiling_open: boils.under(None),
        boiling_other_cap: around.other_cap.and_then(|cap| boils.under(Some(cap))),
        caps: Caps::of(glycol, strength, around),
        film_vs_water: carried_through(strength, plus_minus, heat::FILM_ERROR, |s| {
            heat::film_vs_water(glycol, s, around.running)
        })
        .filter(|_| !around.blank.running),
        heat_carried_vs_water: carried_through(strength, plus_minus, heat::CARRIED_ERROR, |s| {
            heat::heat_carried_vs_water(glycol, s, around.running)
        })
        .filter(|_| !around.blank.running),
        freeze_room: room_to(around.coldest, freezing),
        boil_room: around
            .peak
            .zip(boiling_weakest)
            .map(|(peak, boils)| difference(boils, peak)),
        specific_gravity: property::specific_gravity(glycol, strength, celsius(20.0))
            .ok()
            .map(|r| r.value),
        refractive_index: property::refractive_index(glycol, strength, celsius(20.0))
            .ok()
            .map(|r| r.value),
    }
}

/// From the coldest down to freezing.
fn room_to(
    coldest: Option<ThermodynamicTemperature>,
    freezing: Option<Freezing>,
) -> Option<TemperatureInterval> {
    let (Freezing::At(t) | Freezing::AtOrBelow(t)) = freezing?;
    Some(difference(coldest?, t))
}

struct Boils {
    glycol: Glycol,
    strength: LabelFraction,
    air: Option<Pressure>,
}

impl Boils {
    fn pressure(&self, cap: Option<GaugePressure>) -> Option<Pressure> {
        let air = self.air?;
        Some(cap.map_or(air, |cap| cap.over(air)))
    }

    fn under(&self, cap: Option<GaugePressure>) -> Option<ThermodynamicTemperature> {
        property::boiling_point(self.glycol, self.strength, self.pressure(cap)?).ok()
    }
}

/// A ratio with the half-width that the strength's and the model's own error (a share of it) give it, as JCGM 100:2008
/// section 5.1.2; of a strength whose interval leaves the model's range, the part inside counts.
fn carried_through(
    strength: LabelFraction,
    plus_minus: f64,
    error: f64,
    of: impl Fn(LabelFraction) -> Result<Ratio, PropertyError>,
) -> Option<Measured<f64>> {
    let value = of(strength).ok()?.value;
    let at = |by: f64| {
        let end = LabelFraction::clamped(strength.fraction() + by);
        of(end).map_or(value, |r| r.value)
    };
    let (half, own) = ((at(plus_minus) - at(-plus_minus)) / 2.0, error * value);
    Some(Measured {
        value,
        plus_minus: (half * half + own * own).sqrt(),
    })
}

/// What there is to say about a condition.
pub fn cautions(after: &Condition, glycol: Glycol, around: &Surroundings) -> Vec<Caution> {
    let mut list = Vec::new();
    list.extend(about_strength(after, around));
    list.extend(about_frost(after, around));
    list.extend(about_boiling(after, around));
    list.extend(cap::cautions(
        after.caps.as_ref(),
        glycol,
        after.strength,
        around,
    ));
    list.extend(about_level(after, around));
    list.extend(about_minimum(after));
    if let (Some(film_vs_water), Some(heat_carried_vs_water)) =
        (after.film_vs_water, after.heat_carried_vs_water)
        && after.strength.fraction() > 0.05
    {
        list.push(Caution::CarriesLess {
            film_vs_water: film_vs_water.value,
            heat_carried_vs_water: heat_carried_vs_water.value,
        });
    }
    list
}

fn about_strength(after: &Condition, around: &Surroundings) -> Vec<Caution> {
    let phi = after.strength.fraction();
    let undiluted = after.charge.undiluted();
    let mut list = Vec::new();
    if phi < 0.01 {
        // A Stop that nothing could clear would be none: what clears this one is a coldest night that water bears.
        let bears = after.freeze_room.is_some_and(|room| room.value >= 0.0);
        list.push(if around.coldest.is_some() && bears {
            Caution::WaterUninhibited
        } else {
            Caution::WaterOnly
        });
    } else if phi < around.lowest - 1e-6 {
        list.push(Caution::BelowInhibitorMinimum {
            percent: after.strength.percent(),
            minimum: around.lowest * 100.0,
        });
    }
    if undiluted.fraction() > HIGH + 0.005 {
        list.push(Caution::AboveSixty {
            percent: undiluted.percent(),
        });
    }
    list
}

/// At the best value against the wanted margin, at the worst end against the coldest itself.
fn about_frost(after: &Condition, around: &Surroundings) -> Vec<Caution> {
    let mut list: Vec<_> = about_nominal_frost(after, around).into_iter().collect();
    let Some(coldest) = around.coldest else {
        return list;
    };
    let fails = list.iter().any(|c| c.weight() == Weight::Stop);
    match after.freezing_worst {
        _ if fails => {}
        Some(worst) => {
            let room_k = worst.below(coldest).value;
            let (Freezing::At(t) | Freezing::AtOrBelow(t)) = worst;
            list.extend((room_k < 0.0).then(|| Caution::FreezesFirstAtWorst {
                short_k: -room_k,
                worst_c: in_celsius(t),
            }));
        }
        None if after.freezing.is_some() => list.push(Caution::FrostUnknown {
            percent: (after.strength.percent() + 100.0 * after.plus_minus).min(100.0),
        }),
        None => {}
    }
    list
}

fn about_nominal_frost(after: &Condition, around: &Surroundings) -> Option<Caution> {
    if let (Some(room), true) = (after.freeze_room, around.coldest.is_some()) {
        let (room_k, wanted_k) = (room.value, around.coldest_margin.value);
        if room_k < 0.0 {
            return Some(Caution::FreezesFirst { short_k: -room_k });
        }
        if room_k < wanted_k && !around.blank.margin {
            return Some(Caution::FreezeRoomThin { room_k, wanted_k });
        }
    }
    let percent = after.strength.percent();
    match after.freezing {
        None if around.coldest.is_some() => Some(Caution::FrostUnknown { percent }),
        None | Some(Freezing::AtOrBelow(_)) => Some(Caution::FrostTableEnds { percent }),
        Some(Freezing::At(_)) => None,
    }
}

fn about_boiling(after: &Condition, around: &Surroundings) -> Vec<Caution> {
    let mut list = Vec::new();
    if let Some(room) = after.boil_room {
        let room_k = room.value;
        if room_k < 0.0 {
            list.push(Caution::BoilsFirst { short_k: -room_k });
        } else if room_k < BOIL_ROOM_K {
            list.push(Caution::BoilRoomThin {
                room_k,
                wanted_k: BOIL_ROOM_K,
            });
        }
    }
    if around.cap.is_some_and(GaugePressure::holds) {
        list.push(Caution::NoPressureCold);
    }
    list
}

fn about_level(after: &Condition, around: &Surroundings) -> Option<Caution> {
    let left = after.level.room?.value;
    let cold_air = around.tank_room?;
    if left < litres(0.0) {
        return Some(Caution::OverfillHot {
            short_litres: -in_litres(left),
        });
    }
    let wanted = cold_air * AIR_LEFT;
    (around.tank == Some(Tank::Pressurised) && left < wanted).then(|| Caution::TankRoomThin {
        left_litres: in_litres(left),
        wanted_litres: in_litres(wanted),
    })
}

fn at_c(freezing: Option<Freezing>) -> Option<f64> {
    match freezing {
        Some(Freezing::At(t)) => Some(in_celsius(t)),
        _ => None,
    }
}

fn at_most_c(freezing: Option<Freezing>) -> Option<f64> {
    match freezing {
        Some(Freezing::AtOrBelow(t)) => Some(in_celsius(t)),
        _ => None,
    }
}

/// On the coldest night it stands below the minimum mark.
fn about_minimum(after: &Condition) -> Option<Caution> {
    let left = after.level.above_minimum?.value;
    (left < litres(0.0)).then(|| Caution::BelowMinimumCold {
        short_litres: -in_litres(left),
    })
}

impl Default for Surroundings {
    /// Nothing known: sea level, no cap, filled at 20 °C, running at 90 °C.
    fn default() -> Self {
        Self {
            tank: None,
            tank_room: None,
            minimum: None,
            fill: celsius(20.0),
            peak: None,
            running: celsius(90.0),
            coldest: None,
            coldest_margin: kelvins(FREEZE_ROOM_K),
            cap: None,
            cap_low: CAP_OLD,
            other_cap: None,
            other_for: None,
            maker_cap: None,
            soak: kelvins(SOAK_K),
            altitude: super::quantity::metres(0.0),
            lowest: INHIBITOR_MINIMUM,
            blank: Blank::default(),
        }
    }
}

impl Surroundings {
    /// The air's pressure at the altitude.
    pub(super) fn air(&self) -> Option<Pressure> {
        let air = property::air_pressure(self.altitude).ok();
        air.filter(|_| !self.blank.air)
    }

    /// The cap at its rating (none: open), unless the rating makes no sense.
    pub(super) fn rated(&self) -> Option<Option<GaugePressure>> {
        (!self.blank.cap).then_some(self.cap)
    }

    /// The same at the weakest it may be.
    fn weakest(&self) -> Option<Option<GaugePressure>> {
        let rated = self.rated().filter(|_| !self.blank.weakest)?;
        Some(rated.map(|cap| cap.share(self.cap_low)))
    }
}

/// A figure that was asked for and that no model covers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NoFigure {
    /// Which.
    pub figure: Wanted,
    /// Why.
    pub error: PropertyError,
}

/// What was asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wanted {
    /// Boiling at the cap's rating.
    Boiling,
    /// At the weakest it may be.
    BoilingWeakest,
    /// With it off.
    BoilingOpen,
    /// Under the other cap.
    BoilingOtherCap,
    /// The hot level.
    Hot,
    /// The level on the coldest night, against the minimum.
    Coldest,
    /// The levels, for want of a density at the fill temperature.
    Filled,
    /// Heat against water's.
    Heat,
}

/// Every figure that was asked for and is blank because no model covers it; of several with one reason, the first.
pub fn no_figures(after: &Condition, glycol: Glycol, around: &Surroundings) -> Vec<NoFigure> {
    let strength = after.strength;
    let mut list: Vec<NoFigure> = Vec::new();
    let mut look = |figure, error: Option<PropertyError>| {
        if let Some(error) = error.filter(|e| list.iter().all(|n| n.error != *e)) {
            list.push(NoFigure { figure, error });
        }
    };
    let boils = |cap: Option<GaugePressure>| {
        let air = around.air()?;
        let pressure = cap.map_or(air, |cap| cap.over(air));
        property::boiling_point(glycol, strength, pressure).err()
    };
    look(Wanted::Boiling, around.rated().and_then(boils));
    look(Wanted::BoilingWeakest, around.weakest().and_then(boils));
    look(Wanted::BoilingOpen, boils(None));
    let other = around.other_cap;
    look(
        Wanted::BoilingOtherCap,
        other.and_then(|cap| boils(Some(cap))),
    );
    let dense = |t: Option<ThermodynamicTemperature>| property::density(glycol, strength, t?).err();
    if !around.blank.fill {
        let levels = around
            .peak
            .or(around.coldest.filter(|_| around.minimum.is_some()));
        look(
            Wanted::Filled,
            levels.and_then(|_| dense(Some(around.fill))),
        );
        look(Wanted::Hot, dense(around.peak));
        look(
            Wanted::Coldest,
            around.minimum.and_then(|_| dense(around.coldest)),
        );
    }
    if !around.blank.running {
        look(
            Wanted::Heat,
            heat::film_vs_water(glycol, strength, around.running).err(),
        );
    }
    list
}

impl Condition {
    /// The same with the frost of another strength it will come to, where that freezes earlier.
    pub fn at_worst(&self, glycol: Glycol, strength: LabelFraction, around: &Surroundings) -> Self {
        let freezing = property::freezing_point(glycol, strength).ok();
        let freeze_room = room_to(around.coldest, freezing);
        let is_worse = |a: TemperatureInterval, b: TemperatureInterval| a.value < b.value;
        match freeze_room.zip(self.freeze_room) {
            Some((then, now)) if is_worse(then, now) => Self {
                freezing,
                freeze_room,
                ..*self
            },
            _ => *self,
        }
    }

    /// Freezing point in °C, where a table gives one.
    pub fn freezing_c(&self) -> Option<f64> {
        at_c(self.freezing)
    }

    /// Freezes here or below, °C, where no table gives a point.
    pub fn freezing_at_most_c(&self) -> Option<f64> {
        at_most_c(self.freezing)
    }

    /// [`Condition::freezing_c`] of the end of the range that freezes first.
    pub fn freezing_worst_c(&self) -> Option<f64> {
        at_c(self.freezing_worst)
    }

    /// [`Condition::freezing_at_most_c`] of that end.
    pub fn freezing_worst_at_most_c(&self) -> Option<f64> {
        at_most_c(self.freezing_worst)
    }
}
