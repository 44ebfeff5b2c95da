//! Why this number: what every figure is worked from, in one table.
//!
//! The page's explanations, the table in DEVELOPERS.md and the tests read [`SHEETS`]; ranges and sources are the very
//! constants the code checks, so no second copy can drift. Absent on purpose: labels and sentences (the page's).

use super::fluid::Glycol;
use super::heat;
use super::property::{
    STRENGTH, TEMPERATURE, air_pressure, boiling, conductivity, density, fraction, freezing,
    refractive_index, saturation, specific_gravity, specific_heat, viscosity,
};
use super::range::Range;
use super::reading;
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
    /// Volume when hot.
    HotVolume,
    /// Strength from a frost scale.
    FrostReading,
    /// Strength from a hydrometer.
    GravityReading,
    /// Strength from a refractive index or a sugar scale.
    IndexReading,
}

/// What one figure is worked from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Datasheet {
    /// Which figure.
    pub figure: Figure,
    /// Its name, as an identifier.
    pub name: &'static str,
    /// The formula, in symbols: φ label fraction, w mass fraction, x mole fraction, T temperature, p pressure, ρ density,
    /// k conductivity, cp specific heat, μ viscosity, n refractive index, subscript w water, g glycol.
    pub formula: &'static str,
    /// What goes in.
    pub inputs: &'static [&'static str],
    /// Where it holds; outside, it is refused.
    pub ranges: &'static [Range],
    /// Where it comes from and how sure it is.
    pub source: Source,
}

/// 95 % half-widths taken where the user gives none.
const FROST_SOURCE: Source = Source {
    citation: "whichever of the handbook's freezing curve and the pure glycol's (CRC Handbook; Melinder 2010) gives the lower \
               strength",
    stated_error: "the instrument's (1 K unless given) and 2 points for not knowing which fluid the scale was drawn for",
};
const GRAVITY_SOURCE: Source = Source {
    citation: "the specific gravity, solved for the strength",
    stated_error: "the instrument's (4 K of frost unless given) and 2.5 to 5.5 points (ethylene), 4 to 12 (propylene) for not \
                   knowing the inhibitors",
};
const INDEX_SOURCE: Source = Source {
    citation: "the refractive index, and for Brix the sugar scale, solved for the strength",
    stated_error: "the instrument's (2e-4, or 0.5 degrees Brix, unless given) and the model's",
};
const VOLUME_SOURCE: Source = Source {
    citation: "conservation of mass with the density model; concentrate at 100 % extrapolated",
    stated_error: "0.1 %",
};
const HOT_SOURCE: Source = Source {
    citation: "conservation of mass with the density model",
    stated_error: "0.02 %",
};
const PURE_WATER: Source = saturation::WATER_SOURCE;

const FREEZING_EG: Range = Range {
    quantity: "strength, ethylene",
    ..freezing::range(Glycol::Ethylene)
};
const FREEZING_PG: Range = Range {
    quantity: "strength, propylene",
    ..freezing::range(Glycol::Propylene)
};

/// Every figure, in the order documents list them.
pub const SHEETS: &[Datasheet] = &[
    Datasheet {
        figure: Figure::Density,
        name: "density",
        formula: "ρ(φ, T): a quadratic in T a column of the table, monotone cubic across φ",
        inputs: &["φ", "T"],
        ranges: &[density::RANGE, TEMPERATURE],
        source: density::SOURCE,
    },
    Datasheet {
        figure: Figure::SpecificHeat,
        name: "specific heat",
        formula: "cp(φ, T): linear in T a column, monotone cubic across φ",
        inputs: &["φ", "T"],
        ranges: &[specific_heat::RANGE, TEMPERATURE],
        source: specific_heat::SOURCE,
    },
    Datasheet {
        figure: Figure::Conductivity,
        name: "conductivity",
        formula: "k(φ, T): a quadratic in T a column, monotone cubic across φ",
        inputs: &["φ", "T"],
        ranges: &[conductivity::RANGE, TEMPERATURE],
        source: conductivity::SOURCE,
    },
    Datasheet {
        figure: Figure::Viscosity,
        name: "viscosity",
        formula: "ln μ(φ, T): a quintic in 100/(T + 150 °C) a column, monotone cubic across φ",
        inputs: &["φ", "T"],
        ranges: &[viscosity::RANGE, TEMPERATURE],
        source: viscosity::SOURCE,
    },
    Datasheet {
        figure: Figure::FreezingPoint,
        name: "freezing point",
        formula: "T_f(φ): a sextic without constant term",
        inputs: &["φ"],
        ranges: &[FREEZING_EG, FREEZING_PG],
        source: freezing::SOURCE,
    },
    Datasheet {
        figure: Figure::BoilingPointEthylene,
        name: "boiling point, ethylene",
        formula: "x_w γ_w p_w(T) + x_g γ_g p_g(T) = p, ln γ_i = A x_j²",
        inputs: &["φ", "p"],
        ranges: &[boiling::range(Glycol::Ethylene), boiling::PRESSURE],
        source: boiling::source(Glycol::Ethylene),
    },
    Datasheet {
        figure: Figure::BoilingPointPropylene,
        name: "boiling point, propylene",
        formula: "x_w γ_w p_w(T) + x_g γ_g p_g(T) = p, ln γ_i = A x_j²",
        inputs: &["φ", "p"],
        ranges: &[boiling::range(Glycol::Propylene), boiling::PRESSURE],
        source: boiling::source(Glycol::Propylene),
    },
    Datasheet {
        figure: Figure::BoilingPointWater,
        name: "boiling point, water",
        formula: "p_w(T) = p",
        inputs: &["p"],
        ranges: &[saturation::WATER_PRESSURE_RANGE],
        source: PURE_WATER,
    },
    Datasheet {
        figure: Figure::AirPressure,
        name: "air pressure",
        formula: "p = 101.325 kPa (1 − 0.0065 H/288.15)^5.25588",
        inputs: &["altitude H, m"],
        ranges: &[air_pressure::RANGE],
        source: air_pressure::SOURCE,
    },
    Datasheet {
        figure: Figure::MassFraction,
        name: "mass fraction",
        formula: "ln[(w/(1−w))/(φ/(1−φ))] = a + b φ",
        inputs: &["φ"],
        ranges: &[Range {
            high: 100.0,
            ..STRENGTH
        }],
        source: fraction::SOURCE,
    },
    Datasheet {
        figure: Figure::RefractiveIndexEthylene,
        name: "refractive index, ethylene",
        formula: "n(φ, 20 °C): a quartic; (n²−1)/(n²+2) ∝ ρ(φ, T)",
        inputs: &["φ", "T"],
        ranges: &[
            refractive_index::RANGE,
            refractive_index::temperature_range(Glycol::Ethylene),
        ],
        source: refractive_index::source(Glycol::Ethylene),
    },
    Datasheet {
        figure: Figure::RefractiveIndexPropylene,
        name: "refractive index, propylene",
        formula: "n(φ, 25 °C): a quartic; (n²−1)/(n²+2) ∝ ρ(φ, T)",
        inputs: &["φ", "T"],
        ranges: &[
            refractive_index::RANGE,
            refractive_index::temperature_range(Glycol::Propylene),
        ],
        source: refractive_index::source(Glycol::Propylene),
    },
    Datasheet {
        figure: Figure::Brix,
        name: "Brix scale",
        formula: "n of sucrose at 20 °C: a cubic in degrees Brix",
        inputs: &["degrees Brix"],
        ranges: &[refractive_index::BRIX],
        source: refractive_index::BRIX_SOURCE,
    },
    Datasheet {
        figure: Figure::SpecificGravity,
        name: "specific gravity",
        formula: "ρ(φ, T)/ρ_w(T)",
        inputs: &["φ", "T"],
        ranges: &[specific_gravity::RANGE, specific_gravity::TEMPERATURE],
        source: specific_gravity::SOURCE,
    },
    Datasheet {
        figure: Figure::FilmVsWater,
        name: "film coefficient against water",
        formula: "(ρ/ρ_w)^0.8 (k/k_w)^0.6 (cp/cp_w)^0.4 (μ/μ_w)^−0.4",
        inputs: &["φ", "T"],
        ranges: &[STRENGTH, heat::TEMPERATURE],
        source: heat::FILM_SOURCE,
    },
    Datasheet {
        figure: Figure::HeatCarriedVsWater,
        name: "heat carried against water",
        formula: "ρ cp/(ρ_w cp_w)",
        inputs: &["φ", "T"],
        ranges: &[STRENGTH, heat::TEMPERATURE],
        source: heat::CARRIED_SOURCE,
    },
    Datasheet {
        figure: Figure::Volume,
        name: "volume of a mix",
        formula: "(V_c ρ_c + V_w ρ_w)/ρ(φ, 20 °C) + V_additive, φ = V_c/(V_c + V_w)",
        inputs: &["litres of concentrate, water and additive, each measured apart at 20 °C"],
        ranges: &[density::RANGE],
        source: VOLUME_SOURCE,
    },
    Datasheet {
        figure: Figure::HotVolume,
        name: "hot volume",
        formula: "V_cold ρ(φ, T_fill)/ρ(φ, T_hot)",
        inputs: &["V_cold", "φ", "T_fill", "T_hot"],
        ranges: &[density::RANGE, TEMPERATURE],
        source: HOT_SOURCE,
    },
    Datasheet {
        figure: Figure::FrostReading,
        name: "strength from a frost scale",
        formula: "the lower φ of T_f(φ) = T and T_f,pure(φ) = T",
        inputs: &["T shown", "side of the turning point"],
        ranges: &[FREEZING_EG, FREEZING_PG],
        source: FROST_SOURCE,
    },
    Datasheet {
        figure: Figure::GravityReading,
        name: "strength from a hydrometer",
        formula: "ρ(φ, T)/ρ_w(T) = gravity shown",
        inputs: &["gravity shown", "T of the liquid"],
        ranges: &[
            reading::GRAVITY,
            specific_gravity::TEMPERATURE,
            Range {
                quantity: "strength, propylene",
                ..reading::PROPYLENE_GRAVITY
            },
        ],
        source: GRAVITY_SOURCE,
    },
    Datasheet {
        figure: Figure::IndexReading,
        name: "strength from a refractive index",
        formula: "n(φ, T) = n shown",
        inputs: &["n or degrees Brix shown", "T on the prism"],
        ranges: &[
            refractive_index::RANGE,
            Range {
                quantity: "temperature, ethylene",
                ..refractive_index::temperature_range(Glycol::Ethylene)
            },
            Range {
                quantity: "temperature, propylene",
                ..refractive_index::temperature_range(Glycol::Propylene)
            },
        ],
        source: INDEX_SOURCE,
    },
];

/// The sheet of a figure.
pub fn sheet(figure: Figure) -> Option<&'static Datasheet> {
    SHEETS.iter().find(|s| s.figure == figure)
}
