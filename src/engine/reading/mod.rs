//! From what an instrument shows to a strength, and back: what it should show for a strength.
//!
//! Invariants: a reading with one answer gives a strength with the half-width of its 95 % interval; a reading with
//! two is asked about or refused, never guessed. [`expected`] and [`composition`] are inverses of each other.
//! Absent on purpose: an emptied loop and "don't know" (no reading: the plan treats them), mixtures of the two glycols
//! (no scale is valid for them, ASTM D3321).

mod error;
mod scale;

pub use error::ReadingError;
pub use scale::{composition, expected};

use super::property::freezing;
use super::quantity::{LabelFraction, TemperatureInterval, ThermodynamicTemperature};
use super::range::Range;

/// 95 % half-widths where the user gives none: instrument makers' figures and ASTM D3321 for refractometer and
/// hydrometer, the rest common practice, no source.
pub mod default {
    /// A percentage read or told, as a fraction.
    pub const PERCENT: f64 = 0.02;
    /// A frost scale, K, besides [`FROST_SCALE`].
    pub const FROST_K: f64 = 1.0;
    /// Not knowing which fluid a frost scale was drawn for, as a fraction.
    pub const FROST_SCALE: f64 = 0.02;
    /// A hydrometer, K of frost protection.
    pub const HYDROMETER_K: f64 = 4.0;
    /// A refractive index.
    pub const REFRACTIVE_INDEX: f64 = 2e-4;
    /// Degrees Brix.
    pub const BRIX: f64 = 0.5;
}

/// Ethylene at this frost reading or colder may stand on either side of the turning point, °C: one published
/// protection table has it at both 57 and 80 vol%. A frost scale is drawn for the thin side.
pub const TWO_SIDED_FROM_C: f64 = freezing::ETHYLENE_BELOW_C;
/// Propylene above this and undiluted concentrate cannot be told apart by gravities good to ± 0.002.
pub const PROPYLENE_GRAVITY: Range = Range {
    quantity: "strength",
    low: 0.0,
    high: 52.0,
    unit: "vol%",
};
/// Gravities any glycol mix can show.
pub const GRAVITY: Range = Range {
    quantity: "specific gravity",
    low: 0.99,
    high: 1.16,
    unit: "",
};

/// Which side of the turning point, where a frost reading fits two.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// The weaker mix.
    Thin,
    /// The stronger mix.
    Thick,
}

/// What an instrument shows. Each `plus_minus` is the half-width of its 95 % interval, `None` for [`default`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Reading {
    /// Plain water, known for certain.
    Water,
    /// Percent of concentrate; `plus_minus` as a fraction.
    Percent {
        /// The strength shown.
        strength: LabelFraction,
        /// Half-width, as a fraction.
        plus_minus: Option<f64>,
    },
    /// The frost scale of a refractometer.
    FreezingPoint {
        /// The temperature shown.
        temperature: ThermodynamicTemperature,
        /// Asked where two strengths fit.
        side: Option<Side>,
        /// Half-width.
        plus_minus: Option<TemperatureInterval>,
    },
    /// A hydrometer: density over that of water, both at `temperature`.
    SpecificGravity {
        /// The gravity shown.
        value: f64,
        /// Temperature of the liquid.
        temperature: ThermodynamicTemperature,
        /// Half-width; `None`: 4 K of frost protection.
        plus_minus: Option<f64>,
    },
    /// A refractometer marked in refractive index, not corrected for temperature.
    RefractiveIndex {
        /// The index shown.
        value: f64,
        /// Temperature of the liquid on the prism.
        temperature: ThermodynamicTemperature,
        /// Half-width.
        plus_minus: Option<f64>,
    },
    /// A sugar refractometer, not corrected for temperature (with automatic correction: `temperature` is 20 °C).
    Brix {
        /// Degrees Brix shown.
        value: f64,
        /// Temperature of the liquid on the prism.
        temperature: ThermodynamicTemperature,
        /// Half-width in degrees Brix.
        plus_minus: Option<f64>,
    },
}

/// An instrument, for asking what it should show.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Instrument {
    /// Percent of concentrate.
    Percent,
    /// Frost scale.
    FreezingPoint,
    /// Hydrometer in liquid at this temperature.
    SpecificGravity(ThermodynamicTemperature),
    /// Refractive index of liquid at this temperature.
    RefractiveIndex(ThermodynamicTemperature),
    /// Sugar scale, liquid at this temperature.
    Brix(ThermodynamicTemperature),
}

/// A strength and how sure it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Strength {
    /// Best value.
    pub value: LabelFraction,
    /// Half-width of the 95 % interval, as a fraction, never negative.
    pub plus_minus: f64,
}
