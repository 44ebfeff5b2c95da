//! What a field measures, and the units it may be given in.
//!
//! Absent on purpose: text, and what counts as a number.

use super::choice::System;
use crate::job::units::{
    IntervalUnit, LengthUnit, LevelUnit, PressureUnit, RatioUnit, TemperatureUnit, VolumeUnit,
};

/// What a field measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Measure {
    /// A loop, a jug, a tank.
    Volume,
    /// A dose, a bottle, a measuring step.
    SmallVolume,
    /// A temperature on a scale.
    Temperature,
    /// A difference of temperatures.
    Interval,
    /// A cap's rating.
    Pressure,
    /// An altitude.
    Length,
    /// Additive per coolant.
    Ratio,
    /// An additive's measured level.
    Level,
    /// Percent.
    Percent,
    /// Points of a percentage.
    Points,
    /// °Bx.
    Brix,
    /// What a water holds, mg/L.
    Content,
    /// How hard a water is.
    Hardness,
    /// Nothing but a number.
    Number,
}

/// A unit of water hardness, as CaCO₃. CaCO₃ has 100.09 g/mol, CaO 56.08 (standard atomic weights, from memory).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HardnessUnit {
    /// mg/L; the same as ppm.
    MgPerL,
    /// German degree: 10 mg/L as CaO.
    German,
    /// mmol/L.
    MmolPerL,
    /// Grains (64.798 91 mg) per US gallon.
    GrainsPerUsGal,
}

impl HardnessUnit {
    /// mg/L in one of this unit.
    const fn mg_per_l(self) -> f64 {
        match self {
            Self::MgPerL => 1.0,
            Self::German => 10.0 * 100.09 / 56.08,
            Self::MmolPerL => 100.09,
            Self::GrainsPerUsGal => 64.798_91 / VolumeUnit::UsGal.litres(),
        }
    }
}

/// A unit of any of these.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    /// Of volume.
    Volume(VolumeUnit),
    /// Of temperature.
    Temperature(TemperatureUnit),
    /// Of a temperature difference.
    Interval(IntervalUnit),
    /// Of pressure.
    Pressure(PressureUnit),
    /// Of length.
    Length(LengthUnit),
    /// Of additive per coolant.
    Ratio(RatioUnit),
    /// Of an additive's level.
    Level(LevelUnit),
    /// %.
    Percent,
    /// Points.
    Points,
    /// °Bx.
    Brix,
    /// mg/L.
    Content,
    /// Of hardness.
    Hardness(HardnessUnit),
    /// None.
    None,
}

const fn ratio(dose: VolumeUnit, per: VolumeUnit) -> Unit {
    Unit::Ratio(RatioUnit { dose, per })
}

const VOLUMES: &[Unit] = &[
    Unit::Volume(VolumeUnit::L),
    Unit::Volume(VolumeUnit::Ml),
    Unit::Volume(VolumeUnit::UsGal),
    Unit::Volume(VolumeUnit::UsQt),
    Unit::Volume(VolumeUnit::UsFlOz),
    Unit::Volume(VolumeUnit::ImpGal),
    Unit::Volume(VolumeUnit::ImpQt),
    Unit::Volume(VolumeUnit::ImpPt),
    Unit::Volume(VolumeUnit::ImpFlOz),
];
const TEMPERATURES: &[Unit] = &[
    Unit::Temperature(TemperatureUnit::DegC),
    Unit::Temperature(TemperatureUnit::DegF),
];
const INTERVALS: &[Unit] = &[
    Unit::Interval(IntervalUnit::DegC),
    Unit::Interval(IntervalUnit::DegF),
];
const PRESSURES: &[Unit] = &[
    Unit::Pressure(PressureUnit::Bar),
    Unit::Pressure(PressureUnit::KPa),
    Unit::Pressure(PressureUnit::Psi),
];
const LENGTHS: &[Unit] = &[Unit::Length(LengthUnit::M), Unit::Length(LengthUnit::Ft)];
const RATIOS: &[Unit] = &[
    ratio(VolumeUnit::Ml, VolumeUnit::L),
    ratio(VolumeUnit::UsFlOz, VolumeUnit::UsGal),
    ratio(VolumeUnit::UsFlOz, VolumeUnit::UsQt),
    ratio(VolumeUnit::ImpFlOz, VolumeUnit::ImpGal),
];
const HARDNESSES: &[Unit] = &[
    Unit::Hardness(HardnessUnit::MgPerL),
    Unit::Hardness(HardnessUnit::German),
    Unit::Hardness(HardnessUnit::MmolPerL),
    Unit::Hardness(HardnessUnit::GrainsPerUsGal),
];
const LEVELS: &[Unit] = &[
    Unit::Level(LevelUnit::Ppm),
    Unit::Level(LevelUnit::UnitsPerUsGal),
    Unit::Level(LevelUnit::MgPerL),
];

impl Measure {
    /// The units a field of this kind offers.
    pub const fn units(self) -> &'static [Unit] {
        match self {
            Self::Volume | Self::SmallVolume => VOLUMES,
            Self::Temperature => TEMPERATURES,
            Self::Interval => INTERVALS,
            Self::Pressure => PRESSURES,
            Self::Length => LENGTHS,
            Self::Ratio => RATIOS,
            Self::Level => LEVELS,
            Self::Percent => &[Unit::Percent],
            Self::Points => &[Unit::Points],
            Self::Brix => &[Unit::Brix],
            Self::Content => &[Unit::Content],
            Self::Hardness => HARDNESSES,
            Self::Number => &[Unit::None],
        }
    }

    /// The unit a system measures it in.
    pub const fn unit(self, system: System) -> Unit {
        use System::{Imperial, Metric, Us};
        match (self, system) {
            (Self::Volume, Metric) => Unit::Volume(VolumeUnit::L),
            (Self::Volume, Us) => Unit::Volume(VolumeUnit::UsQt),
            (Self::Volume, Imperial) => Unit::Volume(VolumeUnit::ImpPt),
            (Self::SmallVolume, Metric) => Unit::Volume(VolumeUnit::Ml),
            (Self::SmallVolume, Us) => Unit::Volume(VolumeUnit::UsFlOz),
            (Self::SmallVolume, Imperial) => Unit::Volume(VolumeUnit::ImpFlOz),
            (Self::Temperature, _) => Unit::Temperature(system.temperature()),
            (Self::Interval, Us) => Unit::Interval(IntervalUnit::DegF),
            (Self::Interval, _) => Unit::Interval(IntervalUnit::DegC),
            (Self::Pressure, _) => Unit::Pressure(system.pressure()),
            (Self::Length, Metric) => Unit::Length(LengthUnit::M),
            (Self::Length, _) => Unit::Length(LengthUnit::Ft),
            (Self::Ratio, Metric) => ratio(VolumeUnit::Ml, VolumeUnit::L),
            (Self::Ratio, Us) => ratio(VolumeUnit::UsFlOz, VolumeUnit::UsGal),
            (Self::Ratio, Imperial) => ratio(VolumeUnit::ImpFlOz, VolumeUnit::ImpGal),
            (Self::Level, Us) => Unit::Level(LevelUnit::UnitsPerUsGal),
            (Self::Level, _) => Unit::Level(LevelUnit::Ppm),
            (Self::Percent, _) => Unit::Percent,
            (Self::Points, _) => Unit::Points,
            (Self::Brix, _) => Unit::Brix,
            (Self::Content, _) => Unit::Content,
            (Self::Hardness, _) => Unit::Hardness(HardnessUnit::MgPerL),
            (Self::Number, _) => Unit::None,
        }
    }

    /// The unit a job file keeps a water's figures in.
    pub const fn usual(self) -> Unit {
        self.unit(System::Metric)
    }

    /// May a value be below zero?
    pub const fn signed(self) -> bool {
        matches!(self, Self::Temperature)
    }
}

impl Unit {
    /// Is it one a system uses?
    pub fn is_of(self, system: System) -> bool {
        match self {
            Self::Volume(u) => system.has_volume(u),
            Self::Temperature(u) => u == system.temperature(),
            Self::Interval(u) => (u == IntervalUnit::DegF) == (system == System::Us),
            Self::Pressure(u) => (u == PressureUnit::Psi) == (system != System::Metric),
            Self::Length(u) => (u == LengthUnit::M) == (system == System::Metric),
            Self::Ratio(u) => system.has_volume(u.dose) && system.has_volume(u.per),
            // A label's own: it does not follow the page's units.
            Self::Level(_)
            | Self::Percent
            | Self::Points
            | Self::Brix
            | Self::Content
            | Self::Hardness(_)
            | Self::None => true,
        }
    }

    /// `value` of this unit in `other`; `None` where the two do not measure the same.
    pub fn to(self, other: Self, value: f64) -> Option<f64> {
        Some(match (self, other) {
            (Self::Volume(a), Self::Volume(b)) => value * (a.litres() / b.litres()),
            (Self::Temperature(a), Self::Temperature(b)) => b.from_celsius(a.to_celsius(value)),
            (Self::Interval(a), Self::Interval(b)) => value * (a.kelvins() / b.kelvins()),
            (Self::Pressure(a), Self::Pressure(b)) => value * (a.kilopascals() / b.kilopascals()),
            (Self::Length(a), Self::Length(b)) => value * (a.metres() / b.metres()),
            (Self::Ratio(a), Self::Ratio(b)) => value * (a.fraction() / b.fraction()),
            (Self::Hardness(a), Self::Hardness(b)) => value * (a.mg_per_l() / b.mg_per_l()),
            (a, b) if a == b => value,
            _ => return None,
        })
    }

    /// As it is kept and as a choice sends it.
    pub fn code(self) -> String {
        match self {
            Self::Volume(u) => u.text().to_owned(),
            Self::Temperature(u) => u.text().to_owned(),
            Self::Interval(u) => u.text().to_owned(),
            Self::Pressure(u) => u.text().to_owned(),
            Self::Length(u) => u.text().to_owned(),
            Self::Ratio(u) => u.text(),
            Self::Level(u) => u.text().to_owned(),
            Self::Percent => "%".to_owned(),
            Self::Points => "points".to_owned(),
            Self::Brix => "Bx".to_owned(),
            Self::Content | Self::Hardness(HardnessUnit::MgPerL) => "mg/L".to_owned(),
            Self::Hardness(HardnessUnit::German) => "dH".to_owned(),
            Self::Hardness(HardnessUnit::MmolPerL) => "mmol/L".to_owned(),
            Self::Hardness(HardnessUnit::GrainsPerUsGal) => "gr/US_gal".to_owned(),
            Self::None => String::new(),
        }
    }

    /// The unit a bare number on a cap is marked in, by its size: bar (or kgf/cm²) below 4, psi to 32, kPa above.
    /// Common practice, no source.
    pub fn of_cap_mark(number: f64) -> Self {
        Self::Pressure(match number {
            n if n < 4.0 => PressureUnit::Bar,
            n if n <= 32.0 => PressureUnit::Psi,
            _ => PressureUnit::KPa,
        })
    }

    /// From its code, among what `measure` may be given in.
    pub fn from_code(measure: Measure, code: &str) -> Option<Self> {
        let listed = measure.units().iter().copied().find(|u| u.code() == code);
        match measure {
            Measure::Ratio => RatioUnit::parse(code).map(Self::Ratio),
            Measure::Interval if code == "K" => Some(Self::Interval(IntervalUnit::K)),
            _ => listed,
        }
    }
}
