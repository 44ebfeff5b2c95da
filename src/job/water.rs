//! Mixing water against a published set of limits. The user picks the set; a figure not measured is not judged.

use super::{
    answer::Fault,
    check::At,
    file::{Water, WaterLimits},
    limits,
    message::Typed,
};
use crate::engine::caution::{Caution, WaterProperty};

/// One published set, mg/L but for pH.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Set {
    /// Chloride.
    pub chloride: f64,
    /// Sulphate.
    pub sulphate: f64,
    /// Both together, where the set says so.
    pub both: Option<f64>,
    /// Hardness as CaCO₃.
    pub hardness: f64,
    /// Dissolved solids, where the set says so.
    pub solids: Option<f64>,
    /// pH, lowest and highest.
    pub ph: (f64, f64),
    /// Where it is published.
    pub source: &'static str,
}

impl WaterLimits {
    /// The set of this name.
    pub const fn set(self) -> Set {
        match self {
            Self::Diesel => Set {
                chloride: 40.0,
                sulphate: 100.0,
                both: None,
                hardness: 170.0,
                solids: Some(340.0),
                ph: (5.5, 9.0),
                source: "a diesel maker's limits, in US Army TM 5-3895-383-24",
            },
            Self::Car => Set {
                chloride: 50.0,
                sulphate: 200.0,
                both: None,
                hardness: 200.0,
                solids: None,
                ph: (5.0, 9.0),
                source: "a car maker's water specification",
            },
            Self::European => Set {
                chloride: 100.0,
                sulphate: 100.0,
                both: Some(200.0),
                hardness: 270.0,
                solids: None,
                ph: (5.5, 8.0),
                source: "a European engine maker's specification",
            },
        }
    }
}

/// What of the water is over its limit, and the values that make no sense: those are not judged.
pub fn cautions(water: Option<&Water>) -> (Vec<Caution>, Vec<Fault>) {
    let Some(water) = water else {
        return (Vec::new(), Vec::new());
    };
    let set = water.limits.set();
    let at = At("water".to_owned());
    let mut left_out = Vec::new();
    let mut checked = |key: &str, value: Option<f64>, limit: limits::Limit| {
        let value = value?;
        at.within(key, value, Typed::new(value, limit.unit), &limit)
            .map_err(|fault| left_out.push(*fault))
            .ok()
    };
    let chloride = checked("chloride", water.chloride, limits::DISSOLVED);
    let sulphate = checked("sulphate", water.sulphate, limits::DISSOLVED);
    let hardness = checked("hardness", water.hardness, limits::DISSOLVED);
    let solids = checked("solids", water.solids, limits::DISSOLVED);
    let ph = checked("ph", water.ph, limits::PH);
    let mut list = Vec::new();
    let mut over = |property, value: Option<f64>, limit: Option<f64>| {
        if let (Some(value), Some(limit)) = (value, limit)
            && value > limit
        {
            list.push(Caution::HardWater {
                property,
                value,
                limit,
            });
        }
    };
    over(WaterProperty::Chloride, chloride, Some(set.chloride));
    over(WaterProperty::Sulphate, sulphate, Some(set.sulphate));
    over(
        WaterProperty::ChlorideAndSulphate,
        chloride.zip(sulphate).map(|(a, b)| a + b),
        set.both,
    );
    over(WaterProperty::Hardness, hardness, Some(set.hardness));
    over(WaterProperty::Solids, solids, set.solids);
    over(WaterProperty::Ph, ph, Some(set.ph.1));
    if let Some(value) = ph.filter(|&v| v < set.ph.0) {
        list.push(Caution::HardWater {
            property: WaterProperty::Ph,
            value,
            limit: set.ph.0,
        });
    }
    (list, left_out)
}
