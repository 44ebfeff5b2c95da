//! The table of the datasheets, in the order documents list them.

use super::{Datasheet, Figure, Input};
use crate::engine::dose;
use crate::engine::fluid::Glycol;
use crate::engine::heat;
use crate::engine::property::{
    STRENGTH, TEMPERATURE, air_pressure, boiling, conductivity, density, fraction, freezing,
    refractive_index, saturation, specific_gravity, specific_heat, viscosity,
};
use crate::engine::range::Range;
use crate::engine::reading;
use crate::engine::source::Source;

/// 95 % half-widths taken where the user gives none.
const FROST_SOURCE: Source = Source {
    citation: "whichever of the handbook's freezing curve and the pure glycol's (CRC Handbook; Melinder 2010) gives the lower \
               strength",
    stated_error: "the instrument's (1 K unless given), and 2 points or what the two curves are apart for not knowing which fluid the scale was drawn for; on the safe side on purpose",
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
    stated_error: "0.02 %; the volume at the mark, half a measuring step, the strength, 5 K of filling and a twentieth of the \
                   room add to it",
};
const CAP_SOURCE: Source = Source {
    citation: "two service manuals: a cap of the 1.1 bar class opens at 93 to 123 kPa when new and is rejected below 78, so \
               one of unknown age is judged at 0.70 of its rating and a new one at 0.85",
    stated_error: "a cap as rated opens within about 15 % of it, which is 3 K; no pressure until the loop is warm",
};
const AMOUNTS_SOURCE: Source = Source {
    citation: "conservation of concentrate and water, as under volume of a mix; what is drawn is taken as mixed",
    stated_error: "lands on the aim before rounding; each amount is good to half a measuring step",
};
const DOSE_SOURCE: Source = Source {
    citation: "the label; its forms are common practice, no source",
    stated_error: "rounded down to what can be measured; never over the limit at the unlucky end of the volume",
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
        inputs: &[Input::Strength, Input::Temperature],
        ranges: &[density::RANGE, TEMPERATURE],
        source: density::SOURCE,
    },
    Datasheet {
        figure: Figure::SpecificHeat,
        name: "specific heat",
        formula: "cp(φ, T): linear in T a column, monotone cubic across φ",
        inputs: &[Input::Strength, Input::Temperature],
        ranges: &[specific_heat::RANGE, TEMPERATURE],
        source: specific_heat::SOURCE,
    },
    Datasheet {
        figure: Figure::Conductivity,
        name: "conductivity",
        formula: "k(φ, T): a quadratic in T a column, monotone cubic across φ",
        inputs: &[Input::Strength, Input::Temperature],
        ranges: &[conductivity::RANGE, TEMPERATURE],
        source: conductivity::SOURCE,
    },
    Datasheet {
        figure: Figure::Viscosity,
        name: "viscosity",
        formula: "ln μ(φ, T): a quintic in 100/(T + 150 °C) a column, monotone cubic across φ",
        inputs: &[Input::Strength, Input::Temperature],
        ranges: &[viscosity::RANGE, TEMPERATURE],
        source: viscosity::SOURCE,
    },
    Datasheet {
        figure: Figure::FreezingPoint,
        name: "freezing point",
        formula: "T_f(φ): a sextic without constant term",
        inputs: &[Input::Strength],
        ranges: &[FREEZING_EG, FREEZING_PG],
        source: freezing::SOURCE,
    },
    Datasheet {
        figure: Figure::BoilingPointEthylene,
        name: "boiling point, ethylene",
        formula: "x_w γ_w p_w(T) + x_g γ_g p_g(T) = p, ln γ_i = A x_j²",
        inputs: &[Input::Strength, Input::Pressure],
        ranges: &[boiling::range(Glycol::Ethylene), boiling::PRESSURE],
        source: boiling::source(Glycol::Ethylene),
    },
    Datasheet {
        figure: Figure::BoilingPointPropylene,
        name: "boiling point, propylene",
        formula: "x_w γ_w p_w(T) + x_g γ_g p_g(T) = p, ln γ_i = A x_j²",
        inputs: &[Input::Strength, Input::Pressure],
        ranges: &[boiling::range(Glycol::Propylene), boiling::PRESSURE],
        source: boiling::source(Glycol::Propylene),
    },
    Datasheet {
        figure: Figure::BoilingPointWater,
        name: "boiling point, water",
        formula: "p_w(T) = p",
        inputs: &[Input::Pressure],
        ranges: &[saturation::WATER_PRESSURE_RANGE],
        source: PURE_WATER,
    },
    Datasheet {
        figure: Figure::AirPressure,
        name: "air pressure",
        formula: "p = 101.325 kPa (1 − 0.0065 H/288.15)^5.25588",
        inputs: &[Input::Altitude],
        ranges: &[air_pressure::RANGE],
        source: air_pressure::SOURCE,
    },
    Datasheet {
        figure: Figure::CapPressure,
        name: "pressure under a cap",
        formula: "p = p_air + share × rating",
        inputs: &[Input::AirPressure, Input::CapRating, Input::CapShare],
        ranges: &[boiling::PRESSURE],
        source: CAP_SOURCE,
    },
    Datasheet {
        figure: Figure::MassFraction,
        name: "mass fraction",
        formula: "ln[(w/(1−w))/(φ/(1−φ))] = a + b φ",
        inputs: &[Input::Strength],
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
        inputs: &[Input::Strength, Input::Temperature],
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
        inputs: &[Input::Strength, Input::Temperature],
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
        inputs: &[Input::Brix],
        ranges: &[refractive_index::BRIX],
        source: refractive_index::BRIX_SOURCE,
    },
    Datasheet {
        figure: Figure::SpecificGravity,
        name: "specific gravity",
        formula: "ρ(φ, T)/ρ_w(T)",
        inputs: &[Input::Strength, Input::Temperature],
        ranges: &[specific_gravity::RANGE, specific_gravity::TEMPERATURE],
        source: specific_gravity::SOURCE,
    },
    Datasheet {
        figure: Figure::FilmVsWater,
        name: "film coefficient against water",
        formula: "(ρ/ρ_w)^0.8 (k/k_w)^0.6 (cp/cp_w)^0.4 (μ/μ_w)^−0.4",
        inputs: &[Input::Strength, Input::Temperature],
        ranges: &[STRENGTH, heat::TEMPERATURE],
        source: heat::FILM_SOURCE,
    },
    Datasheet {
        figure: Figure::HeatCarriedVsWater,
        name: "heat carried against water",
        formula: "ρ cp/(ρ_w cp_w)",
        inputs: &[Input::Strength, Input::Temperature],
        ranges: &[STRENGTH, heat::TEMPERATURE],
        source: heat::CARRIED_SOURCE,
    },
    Datasheet {
        figure: Figure::Volume,
        name: "volume of a mix",
        formula: "(V_c ρ_c + V_w ρ_w)/ρ(φ, 20 °C) + V_additive, φ = V_c/(V_c + V_w)",
        inputs: &[Input::Concentrate, Input::Water, Input::Additive],
        ranges: &[density::RANGE],
        source: VOLUME_SOURCE,
    },
    Datasheet {
        figure: Figure::HotVolume,
        name: "hot volume",
        formula: "V_hot = V_cold ρ(φ, T_fill)/ρ(φ, T_hot); room left = V + R − V_hot",
        inputs: &[
            Input::Cold,
            Input::Strength,
            Input::Fill,
            Input::Peak,
            Input::Mark,
            Input::Room,
        ],
        ranges: &[density::RANGE, TEMPERATURE],
        source: HOT_SOURCE,
    },
    Datasheet {
        figure: Figure::Amounts,
        name: "amounts to draw and pour",
        formula: "the least x with c/(c + w) = φ* and volume = V, where c = V_c (1 − x/h) + Σ a φ p and w = V_w (1 − x/h) + \
                  Σ a (1 − φ) p over the pours p, a litres apart in one mixed; then to the measuring step",
        inputs: &[
            Input::Mark,
            Input::Held,
            Input::StrengthBefore,
            Input::Aim,
            Input::Step,
        ],
        ranges: &[density::RANGE],
        source: AMOUNTS_SOURCE,
    },
    Datasheet {
        figure: Figure::Dose,
        name: "dose",
        formula: "rate × V − carried over, to at most limit − carried over − half a step",
        inputs: &[Input::Rate, Input::Mark, Input::CarriedOver, Input::Ceiling],
        ranges: &[dose::SHARE],
        source: DOSE_SOURCE,
    },
    Datasheet {
        figure: Figure::FrostReading,
        name: "strength from a frost scale",
        formula: "the lower φ of T_f(φ) = T and T_f,pure(φ) = T",
        inputs: &[Input::Shown, Input::Side],
        ranges: &[FREEZING_EG, FREEZING_PG],
        source: FROST_SOURCE,
    },
    Datasheet {
        figure: Figure::GravityReading,
        name: "strength from a hydrometer",
        formula: "ρ(φ, T)/ρ_w(T) = gravity shown",
        inputs: &[Input::Shown, Input::SampleAt],
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
        inputs: &[Input::Shown, Input::SampleAt],
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
