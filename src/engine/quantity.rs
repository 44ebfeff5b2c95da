//! The quantities of the engine: `uom`'s where it has them, newtypes where it lacks them.
//!
//! One type per meaning: an absolute temperature is not a difference, a label fraction is not a mass fraction,
//! a gauge pressure is not an absolute one.

pub use uom::si::f64::{
    DynamicViscosity, HeatTransfer, Length, Mass, MassDensity, Pressure, Ratio,
    SpecificHeatCapacity, TemperatureInterval, ThermalConductivity, ThermodynamicTemperature,
    Volume,
};
use uom::si::{
    length::meter, mass_density::kilogram_per_cubic_meter, pressure::kilopascal,
    temperature_interval::kelvin as kelvin_interval, thermodynamic_temperature::degree_celsius,
    volume::liter,
};

/// Strength as a label states it: concentrate / (concentrate + water), each measured apart at 20 °C; an additive counts
/// as what it is carried in, mostly water. Unit: 1 (0 to 1).
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct LabelFraction(f64);

impl LabelFraction {
    /// Plain water.
    pub const WATER: Self = Self(0.0);
    /// Undiluted concentrate.
    pub const CONCENTRATE: Self = Self(1.0);

    /// From a fraction, 0 to 1; `None` outside that or not a number.
    pub fn new(fraction: f64) -> Option<Self> {
        (0.0..=1.0).contains(&fraction).then_some(Self(fraction))
    }

    /// From percent, 0 to 100; `None` outside that or not a number.
    pub fn from_percent(percent: f64) -> Option<Self> {
        Self::new(percent / 100.0)
    }

    /// From a fraction, held to 0..=1: for results of arithmetic that may stray by a rounding error.
    pub fn clamped(fraction: f64) -> Self {
        Self(if fraction.is_nan() {
            0.0
        } else {
            super::range::held(fraction, 0.0, 1.0)
        })
    }

    /// The fraction, 0 to 1.
    pub fn fraction(self) -> f64 {
        self.0
    }

    /// The same in percent, 0 to 100.
    pub fn percent(self) -> f64 {
        self.0 * 100.0
    }
}

/// Mass of glycol over mass of glycol and water. Unit: 1 (0 to 1).
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct MassFraction(f64);

impl MassFraction {
    /// From a fraction, 0 to 1; `None` outside that or not a number.
    pub fn new(fraction: f64) -> Option<Self> {
        (0.0..=1.0).contains(&fraction).then_some(Self(fraction))
    }

    /// From a fraction, held to 0..=1: for results of arithmetic that may stray by a rounding error.
    pub fn clamped(fraction: f64) -> Self {
        Self(if fraction.is_nan() {
            0.0
        } else {
            super::range::held(fraction, 0.0, 1.0)
        })
    }

    /// The fraction, 0 to 1.
    pub fn fraction(self) -> f64 {
        self.0
    }
}

/// Pressure above the surrounding air, as a cap's rating states it.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct GaugePressure(pub Pressure);

impl GaugePressure {
    /// The absolute pressure this makes over `surroundings`.
    pub fn over(self, surroundings: Pressure) -> Pressure {
        surroundings + self.0
    }

    /// Does it hold any pressure?
    pub fn holds(self) -> bool {
        self.0.value > 0.0
    }

    /// The same cap opening at `share` of its rating.
    pub fn share(self, share: f64) -> Self {
        Self(self.0 * share)
    }
}

/// A temperature in °C.
pub fn celsius(degrees: f64) -> ThermodynamicTemperature {
    ThermodynamicTemperature::new::<degree_celsius>(degrees)
}

/// A temperature as a number of °C.
pub fn in_celsius(t: ThermodynamicTemperature) -> f64 {
    t.get::<degree_celsius>()
}

/// A temperature difference in K.
pub fn kelvins(k: f64) -> TemperatureInterval {
    TemperatureInterval::new::<kelvin_interval>(k)
}

/// `a − b` as a difference (uom has no such operator: two absolute temperatures in °C do not subtract naively).
pub fn difference(a: ThermodynamicTemperature, b: ThermodynamicTemperature) -> TemperatureInterval {
    kelvins(a.value - b.value)
}

/// A volume in litres.
pub fn litres(l: f64) -> Volume {
    Volume::new::<liter>(l)
}

/// A volume as a number of litres.
pub fn in_litres(v: Volume) -> f64 {
    v.get::<liter>()
}

/// A pressure in kPa.
pub fn kilopascals(p: f64) -> Pressure {
    Pressure::new::<kilopascal>(p)
}

/// A length in metres.
pub fn metres(m: f64) -> Length {
    Length::new::<meter>(m)
}

/// A density in kg/m³.
pub fn kg_per_m3(rho: f64) -> MassDensity {
    MassDensity::new::<kilogram_per_cubic_meter>(rho)
}

/// A value and the half-width of its 95 % interval, in the same unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measured<T> {
    /// Best value.
    pub value: T,
    /// Half-width at 95 %, never negative.
    pub plus_minus: T,
}
