//! Properties in bulk: CSV in, the same rows out with `value,unit,error` appended.
//!
//! Header `glycol,basis,percent,temperature_c,pressure_kpa,property`. A row that has no answer keeps its place, an
//! empty value and the reason; only a wrong header or text that is no CSV stops the run.

use crate::engine::fluid::Glycol;
use crate::engine::heat;
use crate::engine::property::{self, Freezing};
use crate::engine::quantity::{LabelFraction, MassFraction, celsius, in_celsius, kilopascals};

/// The columns asked for, in order.
pub const HEADER: [&str; 6] = [
    "glycol",
    "basis",
    "percent",
    "temperature_c",
    "pressure_kpa",
    "property",
];
/// The columns appended.
pub const APPENDED: [&str; 3] = ["value", "unit", "error"];
/// Absolute pressure where a row leaves it empty, kPa.
const STANDARD_PRESSURE_KPA: f64 = 101.325;

/// Every property a row can ask for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Property {
    FreezingPoint,
    BoilingPoint,
    Density,
    SpecificHeat,
    Conductivity,
    Viscosity,
    RefractiveIndex,
    SpecificGravity,
    FilmVsWater,
    HeatCarriedVsWater,
}

impl Property {
    /// Name, unit (1: a plain number), decimals written.
    const TABLE: [(Self, &'static str, &'static str, usize); 10] = [
        (Self::FreezingPoint, "freezing_point", "degC", 3),
        (Self::BoilingPoint, "boiling_point", "degC", 4),
        (Self::Density, "density", "kg/m3", 4),
        (Self::SpecificHeat, "specific_heat", "J/(kg K)", 3),
        (Self::Conductivity, "conductivity", "W/(m K)", 6),
        (Self::Viscosity, "viscosity", "mPa s", 6),
        (Self::RefractiveIndex, "refractive_index", "1", 6),
        (Self::SpecificGravity, "specific_gravity", "1", 6),
        (Self::FilmVsWater, "film_vs_water", "1", 4),
        (Self::HeatCarriedVsWater, "heat_carried_vs_water", "1", 5),
    ];
}

/// Answers every row of `input`.
///
/// # Errors
/// A phrase naming what is wrong: the header is not [`HEADER`], or the text cannot be read as CSV.
pub fn answer_csv(input: &str) -> Result<String, String> {
    let mut reader = csv::ReaderBuilder::new()
        .flexible(true)
        .trim(csv::Trim::All)
        .from_reader(input.trim_start_matches('\u{feff}').as_bytes());
    let header = reader
        .headers()
        .map_err(|e| format!("the header cannot be read: {e}"))?;
    if header != HEADER.as_slice() {
        let found = header.iter().collect::<Vec<_>>().join(",");
        return Err(format!(
            "the header is `{found}`, wanted `{}`",
            HEADER.join(",")
        ));
    }
    let mut writer = csv::Writer::from_writer(Vec::new());
    let failed = |e: csv::Error| format!("the rows cannot be written: {e}");
    writer
        .write_record(HEADER.iter().chain(&APPENDED))
        .map_err(failed)?;
    for record in reader.records() {
        let record = record.map_err(|e| format!("a row cannot be read: {e}"))?;
        let field = |i: usize| record.get(i).unwrap_or("");
        let mut row: Vec<String> = (0..HEADER.len()).map(|i| field(i).to_owned()).collect();
        let known = Property::TABLE
            .iter()
            .find(|(_, name, ..)| *name == field(5));
        let answer = if record.len() == HEADER.len() {
            known
                .ok_or_else(|| format!("unknown property `{}`", field(5)))
                .and_then(|(property, _, _, decimals)| Ok((answer(*property, &field)?, *decimals)))
        } else {
            Err(format!("{} fields, wanted {}", record.len(), HEADER.len()))
        };
        let unit = known.map_or("", |(_, _, unit, _)| unit).to_owned();
        let (value, error) = match answer {
            Ok((value, decimals)) => (format!("{value:.decimals$}"), String::new()),
            Err(why) => (String::new(), why),
        };
        row.extend([value, unit, error]);
        writer.write_record(&row).map_err(failed)?;
    }
    let bytes = writer
        .into_inner()
        .map_err(|e| format!("the rows cannot be written: {e}"))?;
    String::from_utf8(bytes).map_err(|e| e.to_string())
}

/// One row's value in its unit.
fn answer<'a>(property: Property, field: &impl Fn(usize) -> &'a str) -> Result<f64, String> {
    let glycol = match field(0) {
        "ethylene" => Glycol::Ethylene,
        "propylene" => Glycol::Propylene,
        other => {
            return Err(format!(
                "unknown glycol `{other}`, wanted `ethylene` or `propylene`"
            ));
        }
    };
    let percent = number("percent", field(2))?.ok_or("percent is empty")?;
    let outside = || format!("percent {percent} is outside 0 to 100");
    let strength = match field(1) {
        "volume" => LabelFraction::from_percent(percent).ok_or_else(outside)?,
        "mass" => property::label_fraction(
            glycol,
            MassFraction::new(percent / 100.0).ok_or_else(outside)?,
        ),
        other => {
            return Err(format!(
                "unknown basis `{other}`, wanted `volume` or `mass`"
            ));
        }
    };
    let given = number("temperature_c", field(3))?;
    let pressure = kilopascals(number("pressure_kpa", field(4))?.unwrap_or(STANDARD_PRESSURE_KPA));
    let at = || given.map(celsius).ok_or("temperature_c is empty");
    let refused = |e: crate::engine::error::PropertyError| super::message::property_words(&e);
    Ok(match property {
        Property::FreezingPoint => {
            match property::freezing_point(glycol, strength).map_err(refused)? {
                Freezing::At(t) => in_celsius(t),
                Freezing::AtOrBelow(t) => {
                    return Err(format!(
                        "no freezing point known: {:.0} degC or below",
                        in_celsius(t)
                    ));
                }
            }
        }
        Property::BoilingPoint => {
            in_celsius(property::boiling_point(glycol, strength, pressure).map_err(refused)?)
        }
        Property::Density => {
            property::density(glycol, strength, at()?)
                .map_err(refused)?
                .value
        }
        Property::SpecificHeat => {
            property::specific_heat(glycol, strength, at()?)
                .map_err(refused)?
                .value
        }
        Property::Conductivity => {
            property::conductivity(glycol, strength, at()?)
                .map_err(refused)?
                .value
        }
        Property::Viscosity => {
            1000.0
                * property::viscosity(glycol, strength, at()?)
                    .map_err(refused)?
                    .value
        }
        Property::RefractiveIndex => {
            property::refractive_index(glycol, strength, at()?)
                .map_err(refused)?
                .value
        }
        Property::SpecificGravity => {
            property::specific_gravity(glycol, strength, at()?)
                .map_err(refused)?
                .value
        }
        Property::FilmVsWater => {
            heat::film_vs_water(glycol, strength, at()?)
                .map_err(refused)?
                .value
        }
        Property::HeatCarriedVsWater => {
            heat::heat_carried_vs_water(glycol, strength, at()?)
                .map_err(refused)?
                .value
        }
    })
}

/// A number field; `None` where empty.
fn number(name: &str, text: &str) -> Result<Option<f64>, String> {
    if text.is_empty() {
        return Ok(None);
    }
    match text.parse::<f64>() {
        Ok(value) if value.is_finite() => Ok(Some(value)),
        _ => Err(format!("{name} `{text}` is not a number")),
    }
}
