//! Why this number: what every figure is worked from, in one table.
//!
//! The page's explanations, the table in src/engine/MODELS.md and the tests read [`SHEETS`]; ranges and sources are the very
//! constants the code checks, so no second copy can drift. Absent on purpose: labels and sentences (the page's).

mod sheets;

pub use sheets::SHEETS;

use super::range::Range;
use super::source::Source;

/// A figure the answer can show.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Figure {
    /// Density of a mix.
    Density,
    /// Specific heat of a mix.
    SpecificHeat,
    /// Thermal conductivity of a mix.
    Conductivity,
    /// Dynamic viscosity of a mix.
    Viscosity,
    /// Freezing point of a mix.
    FreezingPoint,
    /// Boiling point of ethylene glycol mixes.
    BoilingPointEthylene,
    /// Boiling point of propylene glycol mixes.
    BoilingPointPropylene,
    /// Boiling point of water.
    BoilingPointWater,
    /// Air pressure at an altitude.
    AirPressure,
    /// Pressure under a cap.
    CapPressure,
    /// Mass fraction of a label fraction.
    MassFraction,
    /// Refractive index of ethylene glycol mixes.
    RefractiveIndexEthylene,
    /// Refractive index of propylene glycol mixes.
    RefractiveIndexPropylene,
    /// Refractive index of the sugar scale.
    Brix,
    /// Specific gravity of a mix.
    SpecificGravity,
    /// Film coefficient against water.
    FilmVsWater,
    /// Heat carried per litre against water.
    HeatCarriedVsWater,
    /// Volume of what a loop holds.
    Volume,
    /// Volume when hot, and what is left in the tank.
    HotVolume,
    /// What to draw and pour.
    Amounts,
    /// What to dose.
    Dose,
    /// Strength from a frost scale.
    FrostReading,
    /// Strength from a hydrometer.
    GravityReading,
    /// Strength from a refractive index or a sugar scale.
    IndexReading,
}

/// What goes into a formula.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Input {
    /// Label strength of the mix.
    Strength,
    /// Of the mix.
    Temperature,
    /// Absolute.
    Pressure,
    /// Above the sea.
    Altitude,
    /// At the altitude.
    AirPressure,
    /// Of the fitted cap, over the air.
    CapRating,
    /// The share of its rating a cap is judged at.
    CapShare,
    /// Litres, measured apart at 20 °C.
    Concentrate,
    /// Litres, measured apart at 20 °C.
    Water,
    /// Litres.
    Additive,
    /// The loop filled to its mark, and how sure that is.
    Mark,
    /// What the loop holds.
    Cold,
    /// The coolant's temperature when its level is set.
    Fill,
    /// The hottest it runs.
    Peak,
    /// Air above the cold mark.
    Room,
    /// What the loop holds before the job.
    Held,
    /// Before the job.
    StrengthBefore,
    /// What the mix should be.
    Aim,
    /// The least that can be measured.
    Step,
    /// The label's.
    Rate,
    /// Additive left from before.
    CarriedOver,
    /// The most the label allows in this loop.
    Ceiling,
    /// What the instrument showed.
    Shown,
    /// The sample's temperature.
    SampleAt,
    /// The side of the turning point.
    Side,
    /// Of a sugar scale.
    Brix,
}

impl Input {
    /// Its name, with its symbol where the formula has one.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Strength => "strength φ",
            Self::Temperature => "temperature T",
            Self::Pressure => "pressure p",
            Self::Altitude => "altitude H",
            Self::AirPressure => "air pressure p_air",
            Self::CapRating => "cap's rating",
            Self::CapShare => "judged at",
            Self::Concentrate => "concentrate V_c",
            Self::Water => "water V_w",
            Self::Additive => "additive V_a",
            Self::Mark => "volume at the mark V",
            Self::Cold => "cold V_cold",
            Self::Fill => "filled at T_fill",
            Self::Peak => "hottest T_hot",
            Self::Room => "room above the mark R",
            Self::Held => "holds before h",
            Self::StrengthBefore => "strength before",
            Self::Aim => "aim φ*",
            Self::Step => "measuring step",
            Self::Rate => "label rate",
            Self::CarriedOver => "carried over",
            Self::Ceiling => "label limit",
            Self::Shown => "shown",
            Self::SampleAt => "sample T",
            Self::Side => "side of the turning point",
            Self::Brix => "degrees Brix",
        }
    }
}

/// What one figure is worked from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Datasheet {
    /// Which figure.
    pub figure: Figure,
    /// Its name, as an identifier.
    pub name: &'static str,
    /// The formula, in symbols: φ label fraction, w mass fraction, x mole fraction, T temperature, p pressure, ρ density,
    /// k conductivity, cp specific heat, μ viscosity, n refractive index, subscript w water, g glycol, c concentrate.
    pub formula: &'static str,
    /// What goes in.
    pub inputs: &'static [Input],
    /// Where it holds; outside, it is refused.
    pub ranges: &'static [Range],
    /// Where it comes from and how sure it is.
    pub source: Source,
}

/// The sheet of a figure.
pub fn sheet(figure: Figure) -> Option<&'static Datasheet> {
    SHEETS.iter().find(|s| s.figure == figure)
}
