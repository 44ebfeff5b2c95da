//! The job file as it is written: version 1, every key of it.
//!
//! This is the raw form. It says what the keys are, not that their values make sense: [`super::check`] turns it
//! into the engine's checked types. [`super::read()`] reads it, and refuses unknown keys.

use serde::Serialize;

use super::units::{
    IntervalUnit, LengthUnit, LevelUnit, PressureUnit, RatioUnit, TemperatureUnit, VolumeUnit,
};

/// The version of the format this program reads and writes.
pub const VERSION: u32 = 1;

/// A number and its unit.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Quantity<U> {
    /// In `unit`.
    pub value: f64,
    /// One of the units of this kind.
    pub unit: U,
}

/// A volume that may say how sure it is.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SizedVolume {
    /// In `unit`.
    pub value: f64,
    /// Unit of `value` and `plus_minus`.
    pub unit: VolumeUnit,
    /// Half-width at 95 %; absent: 5 % of the value.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub plus_minus: Option<f64>,
}

/// A job: what there is to pour, and the loops to serve.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Job {
    /// Version of the format.
    pub pourcard: u32,
    /// What the user calls it.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub title: String,
    /// ISO 8601 date, as typed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub date: Option<String>,
    /// Anything the user wants kept with it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub notes: Option<String>,
    /// The water stocks are mixed with, as measured.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub water: Option<Water>,
    /// What can be poured.
    pub shelf: Vec<Stock>,
    /// One entry a cooling circuit.
    pub loops: Vec<Loop>,
}

/// Which glycol.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum GlycolName {
    /// Ethylene glycol.
    Ethylene,
    /// Propylene glycol.
    Propylene,
}

/// Inhibitor family, by its trade abbreviation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Family {
    /// Inorganic additive technology.
    Iat,
    /// Organic acid technology.
    Oat,
    /// Hybrid organic acid technology.
    Hoat,
    /// Nitrited organic acid technology.
    Noat,
}

/// Something on the shelf.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Stock {
    /// What the user calls it; unique on the shelf.
    pub name: String,
    /// Which glycol; water needs none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub glycol: Option<GlycolName>,
    /// Label percentage, 0 to 100.
    pub percent: f64,
    /// How much is there; absent: as much as is needed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub have: Option<Quantity<VolumeUnit>>,
    /// Inhibitor family, if known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub family: Option<Family>,
    /// The packs it is sold in.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub packs: Vec<Pack>,
}

/// A container and its price.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Pack {
    /// What it holds.
    pub size: Quantity<VolumeUnit>,
    /// What it costs, in the job's money.
    pub price: f64,
}

/// Mixing water as measured, mg/L but for pH.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Water {
    /// Whose limits to judge by.
    pub limits: WaterLimits,
    /// Chloride, mg/L.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub chloride: Option<f64>,
    /// Sulphate, mg/L.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sulphate: Option<f64>,
    /// Total hardness as CaCO₃, mg/L.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hardness: Option<f64>,
    /// Total dissolved solids, mg/L.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub solids: Option<f64>,
    /// pH.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ph: Option<f64>,
}

/// The published sets of limits for mixing water.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum WaterLimits {
    /// A diesel maker's, in US Army TM 5-3895-383-24.
    Diesel,
    /// A car maker's water specification.
    Car,
    /// A European engine maker's.
    European,
}

/// What a loop is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Kind {
    /// The engine's.
    #[default]
    Engine,
    /// Charge air or inverter.
    LowTemperature,
    /// Traction battery: wants low-conductivity fluid, gets no plan.
    Battery,
    /// Fuel cell: wants low-conductivity fluid, gets no plan.
    FuelCell,
}

/// Where the hot growth goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Tank {
    /// A pressurised expansion tank with air above the mark.
    Pressurised,
    /// An overflow bottle behind the cap, outside `volume`.
    RecoveryBottle,
    /// A radiator with air at its top and nothing behind it.
    BareRadiator,
}

/// One cooling circuit.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Loop {
    /// What the user calls it.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub name: String,
    /// What it is for; absent: the engine's.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub kind: Option<Kind>,
    /// Which glycol is in it.
    pub glycol: GlycolName,
    /// Inhibitor family in it, if known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub family: Option<Family>,
    /// Filled to the mark.
    pub volume: SizedVolume,
    /// How far below the mark it stands; absent: it stands at the mark.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub missing: Option<Quantity<VolumeUnit>>,
    /// What is in it.
    pub now: Now,
    /// What should be.
    pub aim: Aim,
    /// Lowest and highest admitted percentage; absent: 40 and 60.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub limits: Option<Limits>,
    /// The most one draw gives.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub draw_limit: Option<Quantity<VolumeUnit>>,
    /// The share that comes out at one opening.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub drains: Option<Share>,
    /// The least share of the old charge to replace.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub renew: Option<Share>,
    /// Where the hot growth goes.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tank: Option<Tank>,
    /// Air above the cold mark.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tank_room: Option<Quantity<VolumeUnit>>,
    /// Of the coolant when poured; absent: 20 °C.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fill_temperature: Option<Quantity<TemperatureUnit>>,
    /// The hottest it runs.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub peak_temperature: Option<Quantity<TemperatureUnit>>,
    /// Where it usually runs; absent: 90 °C. Cooling against water is judged here.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub running_temperature: Option<Quantity<TemperatureUnit>>,
    /// The coldest it must survive.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub coldest: Option<Quantity<TemperatureUnit>>,
    /// Wanted between freezing and `coldest`; absent: 5 K.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub coldest_margin: Option<Quantity<IntervalUnit>>,
    /// Rating of the fitted cap.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cap: Option<Quantity<PressureUnit>>,
    /// The share of its rating the cap is judged at; absent: 0.70 (0.85 for a new one).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cap_low: Option<Share>,
    /// A second cap to compare.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub other_cap: Option<Quantity<PressureUnit>>,
    /// Above sea level; absent: 0.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub altitude: Option<Quantity<LengthUnit>>,
    /// The least amount the user can measure; absent: 50 mL.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub measure_step: Option<Quantity<VolumeUnit>>,
    /// The same for the additive; absent: 5 mL.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub dose_step: Option<Quantity<VolumeUnit>>,
    /// What is dosed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub additive: Option<Additive>,
    /// What really happened so far, in order.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub done: Vec<Done>,
}

/// A share of something, 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Share {
    /// 0 to 1.
    pub fraction: f64,
}

/// Lowest and highest admitted percentage.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Limits {
    /// Percent.
    pub low: f64,
    /// Percent.
    pub high: f64,
}

/// Which side of the turning point a frost reading was taken on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Side {
    /// The usual one: more glycol freezes later.
    Thin,
    /// Past the turning point.
    Thick,
}

/// What is in the loop, and how that is known.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(tag = "by", rename_all = "snake_case")]
pub enum Now {
    /// A percentage, from a label or an instrument.
    Percent {
        /// 0 to 100.
        value: f64,
        /// Half-width at 95 %; absent: 2 points.
        #[serde(skip_serializing_if = "Option::is_none")]
        plus_minus: Option<f64>,
    },
    /// A frost-scale reading.
    FreezingPoint {
        /// In `unit`.
        value: f64,
        /// Its scale.
        unit: TemperatureUnit,
        /// Half-width at 95 %, in degrees of `unit`; absent: 1 K.
        #[serde(skip_serializing_if = "Option::is_none")]
        plus_minus: Option<f64>,
        /// Asked where two strengths fit.
        #[serde(skip_serializing_if = "Option::is_none")]
        side: Option<Side>,
    },
    /// A hydrometer reading, against water at the same temperature.
    SpecificGravity {
        /// 1.
        value: f64,
        /// Of the sample.
        at: Quantity<TemperatureUnit>,
        /// Half-width at 95 %, as a gravity; absent: what 4 K of frost is worth.
        #[serde(skip_serializing_if = "Option::is_none")]
        plus_minus: Option<f64>,
    },
    /// A refractive index at 589 nm.
    RefractiveIndex {
        /// 1.
        value: f64,
        /// Of the sample.
        at: Quantity<TemperatureUnit>,
        /// Half-width at 95 %; absent: 2e-4.
        #[serde(skip_serializing_if = "Option::is_none")]
        plus_minus: Option<f64>,
    },
    /// A sugar scale.
    Brix {
        /// °Bx.
        value: f64,
        /// Of the sample.
        at: Quantity<TemperatureUnit>,
        /// Half-width at 95 %; absent: 0.5.
        #[serde(skip_serializing_if = "Option::is_none")]
        plus_minus: Option<f64>,
    },
    /// Plain water.
    Water {},
    /// Flushed: `left_behind` did not come out.
    Flushed {
        /// What is still in there.
        left_behind: Quantity<VolumeUnit>,
        /// Its percentage; absent: 0.
        percent: f64,
    },
    /// Drained dry.
    Empty {},
    /// Nobody knows.
    Unknown {},
}

/// What the mix should be.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(tag = "by", rename_all = "snake_case")]
pub enum Aim {
    /// A percentage.
    Percent {
        /// 0 to 100.
        value: f64,
        /// Points either side that count as there; absent: 1.
        #[serde(skip_serializing_if = "Option::is_none")]
        within: Option<f64>,
    },
    /// At least this frost.
    FreezingPoint {
        /// In `unit`.
        value: f64,
        /// Its scale.
        unit: TemperatureUnit,
    },
}

/// What is dosed, and what its label says.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Additive {
    /// What the user calls it.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub name: String,
    /// The label's rate.
    pub rate: Rate,
    /// The most the label allows.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub limit: Option<Rate>,
    /// Additive in the loop before any draw; absent: unknown.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub already: Option<Quantity<VolumeUnit>>,
    /// How much is there; absent: as much as is needed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub have: Option<Quantity<VolumeUnit>>,
    /// The bottles it is sold in.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub packs: Vec<Pack>,
}

/// A label's rate or limit.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(tag = "by", rename_all = "snake_case")]
pub enum Rate {
    /// So much per so much coolant.
    Ratio {
        /// In `unit`.
        value: f64,
        /// Such as `mL/L`.
        unit: RatioUnit,
    },
    /// Percent of the loop's volume.
    Percent {
        /// 0 to 100.
        value: f64,
    },
    /// One part in N of the whole, or one part to N of coolant: exactly one of the two.
    Parts {
        /// 1 in N.
        #[serde(skip_serializing_if = "Option::is_none")]
        one_in: Option<f64>,
        /// 1 to N.
        #[serde(skip_serializing_if = "Option::is_none")]
        one_to: Option<f64>,
    },
    /// One bottle treats from A to B, or up to B.
    Bottle {
        /// What the bottle holds.
        size: Quantity<VolumeUnit>,
        /// The least coolant it treats.
        #[serde(skip_serializing_if = "Option::is_none")]
        treats_from: Option<Quantity<VolumeUnit>>,
        /// The most coolant it treats.
        treats_to: Quantity<VolumeUnit>,
    },
    /// A measured level and the wanted one (as a limit: the ceiling).
    Reading {
        /// Measured.
        now: Quantity<LevelUnit>,
        /// Wanted.
        aim: Quantity<LevelUnit>,
        /// What 1 mL of additive per L of coolant raises it by.
        raises: Quantity<LevelUnit>,
    },
}

/// A step as it really went.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Done {
    /// The step's id on the card.
    pub id: String,
    /// What really came out or went in; absent: as the card said.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub amount: Option<Quantity<VolumeUnit>>,
    /// Temperature of what was measured; absent: 20 °C.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at: Option<Quantity<TemperatureUnit>>,
}
