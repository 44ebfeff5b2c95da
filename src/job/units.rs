//! Units as the job file spells them, and their conversion to the engine's quantities.
//!
//! Factors are exact by definition: international inch 25.4 mm (so US gal = 231 in³, ft = 0.3048 m),
//! imperial gallon 4.546 09 L, pound-force 4.448 221 615 260 5 N.

use uom::si::{
    length::meter, pressure::pascal, temperature_interval::kelvin as kelvin_interval,
    thermodynamic_temperature::degree_celsius, volume::liter,
};

use super::record::{Field, Node, Text, names};
use crate::engine::quantity::{
    GaugePressure, Length, Pressure, TemperatureInterval, ThermodynamicTemperature, Volume,
};

names! {
    /// Units of volume. US and imperial are told apart by name.
    pub enum VolumeUnit {
        /// Litre.
        L = "L",
        /// Millilitre.
        Ml = "mL",
        /// US gallon, 231 in³.
        UsGal = "US_gal",
        /// US quart, a quarter of a US gallon.
        UsQt = "US_qt",
        /// US fluid ounce, 1/128 of a US gallon.
        UsFlOz = "US_fl_oz",
        /// Imperial gallon, 4.546 09 L.
        ImpGal = "imp_gal",
        /// Imperial quart, a quarter of an imperial gallon.
        ImpQt = "imp_qt",
        /// Imperial pint, an eighth of an imperial gallon.
        ImpPt = "imp_pt",
        /// Imperial fluid ounce, 1/160 of an imperial gallon.
        ImpFlOz = "imp_fl_oz",
    }
}

names! {
    /// Units of temperature on a scale.
    pub enum TemperatureUnit {
        /// Degree Celsius.
        DegC = "degC",
        /// Degree Fahrenheit.
        DegF = "degF",
    }
}

names! {
    /// Units of a temperature difference.
    pub enum IntervalUnit {
        /// Kelvin.
        K = "K",
        /// A difference of degrees Celsius, the same as K.
        DegC = "degC",
        /// A difference of degrees Fahrenheit, 5/9 K.
        DegF = "degF",
    }
}

names! {
    /// Units of a cap's rating, above the surrounding air.
    pub enum PressureUnit {
        /// Bar.
        Bar = "bar",
        /// Kilopascal.
        KPa = "kPa",
        /// Pound-force per square inch.
        Psi = "psi",
    }
}

names! {
    /// Units of altitude.
    pub enum LengthUnit {
        /// Metre.
        M = "m",
        /// Foot.
        Ft = "ft",
    }
}

names! {
    /// Units of an additive's measured level.
    pub enum LevelUnit {
        /// Parts per million by mass.
        Ppm = "ppm",
        /// Label units per US gallon.
        UnitsPerUsGal = "units/US_gal",
        /// Milligrams per litre.
        MgPerL = "mg/L",
    }
}

const US_GAL_LITRES: f64 = 231.0 * 0.016_387_064;
const IMP_GAL_LITRES: f64 = 4.546_09;

impl VolumeUnit {
    /// Litres in one of this unit, exact by definition.
    pub const fn litres(self) -> f64 {
        match self {
            Self::L => 1.0,
            Self::Ml => 0.001,
            Self::UsGal => US_GAL_LITRES,
            Self::UsQt => US_GAL_LITRES / 4.0,
            Self::UsFlOz => US_GAL_LITRES / 128.0,
            Self::ImpGal => IMP_GAL_LITRES,
            Self::ImpQt => IMP_GAL_LITRES / 4.0,
            Self::ImpPt => IMP_GAL_LITRES / 8.0,
            Self::ImpFlOz => IMP_GAL_LITRES / 160.0,
        }
    }

    /// `value` of this unit.
    pub fn of(self, value: f64) -> Volume {
        Volume::new::<liter>(value * self.litres())
    }
}

impl TemperatureUnit {
    /// `value` on this scale.
    pub fn of(self, value: f64) -> ThermodynamicTemperature {
        ThermodynamicTemperature::new::<degree_celsius>(self.to_celsius(value))
    }

    /// `value` on this scale, in °C.
    pub fn to_celsius(self, value: f64) -> f64 {
        match self {
            Self::DegC => value,
            Self::DegF => (value - 32.0) / 1.8,
        }
    }

    /// A number of °C on this scale.
    pub fn from_celsius(self, celsius: f64) -> f64 {
        match self {
            Self::DegC => celsius,
            Self::DegF => celsius * 1.8 + 32.0,
        }
    }
}

impl IntervalUnit {
    /// K in one of this unit.
    pub const fn kelvins(self) -> f64 {
        match self {
            Self::K | Self::DegC => 1.0,
            Self::DegF => 1.0 / 1.8,
        }
    }

    /// `value` of this unit.
    pub fn of(self, value: f64) -> TemperatureInterval {
        TemperatureInterval::new::<kelvin_interval>(value * self.kelvins())
    }
}

impl PressureUnit {
    /// kPa in one of this unit.
    pub const fn kilopascals(self) -> f64 {
        match self {
            Self::Bar => 100.0,
            Self::KPa => 1.0,
            Self::Psi => 6.894_757_293_168_361,
        }
    }

    /// `value` of this unit, above the surrounding air.
    pub fn of(self, value: f64) -> GaugePressure {
        GaugePressure(Pressure::new::<pascal>(value * self.kilopascals() * 1000.0))
    }
}

impl LengthUnit {
    /// Metres in one of this unit.
    pub const fn metres(self) -> f64 {
        match self {
            Self::M => 1.0,
            Self::Ft => 0.3048,
        }
    }

    /// `value` of this unit.
    pub fn of(self, value: f64) -> Length {
        Length::new::<meter>(value * self.metres())
    }
}

/// Additive per coolant, any volume unit over any other: `mL/L`, `US_fl_oz/US_gal`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct RatioUnit {
    /// Of additive.
    pub dose: VolumeUnit,
    /// Of coolant.
    pub per: VolumeUnit,
}

impl RatioUnit {
    /// mL of additive per L of coolant.
    pub const ML_PER_L: Self = Self {
        dose: VolumeUnit::Ml,
        per: VolumeUnit::L,
    };

    /// Litres of additive per litre of coolant in one of this unit.
    pub fn fraction(self) -> f64 {
        self.dose.litres() / self.per.litres()
    }

    /// As the job file spells it.
    pub fn text(self) -> String {
        [self.dose.text(), "/", self.per.text()].concat()
    }

    /// From the job file's spelling.
    pub fn parse(text: &str) -> Option<Self> {
        let named = |name: &str| VolumeUnit::ALL.iter().copied().find(|u| u.text() == name);
        let (dose, per) = text.split_once('/')?;
        Some(Self {
            dose: named(dose)?,
            per: named(per)?,
        })
    }
}

impl Field for RatioUnit {
    fn read(node: &Node) -> Self {
        let text = node.text();
        Self::parse(text).unwrap_or_else(|| {
            node.not_among(
                text,
                "two volume units with a slash between, such as mL/L or US_fl_oz/US_gal",
            );
            Self::blank()
        })
    }

    fn blank() -> Self {
        Self::ML_PER_L
    }

    fn write(&self, out: &mut Text) {
        out.text(&self.text());
    }
}
