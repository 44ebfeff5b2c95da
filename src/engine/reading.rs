use super::fluid::Glycol;
use super::quantity::*;
pub enum Side {
    Thin,
    Thick,
}
pub enum Reading {
    Percent {
        strength: LabelFraction,
        plus_minus: Option<f64>,
    },
    FreezingPoint {
        temperature: ThermodynamicTemperature,
        plus_minus: Option<TemperatureInterval>,
        side: Option<Side>,
    },
    SpecificGravity {
        value: f64,
        temperature: ThermodynamicTemperature,
        plus_minus: Option<f64>,
    },
    RefractiveIndex {
        value: f64,
        temperature: ThermodynamicTemperature,
        plus_minus: Option<f64>,
    },
    Brix {
        value: f64,
        temperature: ThermodynamicTemperature,
        plus_minus: Option<f64>,
    },
}
#[derive(Debug, Clone, PartialEq)]
pub enum ReadingError {
    TwoAnswers { a: f64 },
    Out,
}
impl std::fmt::Display for ReadingError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "x")
    }
}
pub struct Strength {
    pub value: LabelFraction,
    pub plus_minus: f64,
}
pub fn composition(_g: Glycol, r: &Reading) -> Result<Strength, ReadingError> {
    match r {
        Reading::Percent {
            strength,
            plus_minus,
        } => Ok(Strength {
            value: *strength,
            plus_minus: plus_minus.unwrap_or(0.02),
        }),
        _ => Err(ReadingError::Out),
    }
}
