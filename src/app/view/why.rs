//! "Why this number": what each figure of the card is worked from, out of the engine's one table of datasheets, with
//! the values that went in.

use super::input::value;
use crate::app::{choice::System, page::Solved, words};
use crate::engine::datasheet::{Figure, sheet};
use crate::job::{
    figure::plain,
    file::{GlycolName, Now},
};

/// One figure explained.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Why {
    /// Its name.
    pub name: &'static str,
    /// What is said of it: heading and words.
    pub lines: Vec<(&'static str, String)>,
}

/// The figures of a loop's card, in its order.
pub fn whys(solved: &Solved, system: System) -> Vec<Why> {
    figures(solved)
        .into_iter()
        .flatten()
        .filter_map(|figure| why(figure, solved, system))
        .collect()
}

fn figures(solved: &Solved) -> [Option<Figure>; 12] {
    let asked = &solved.asked;
    let after = solved.answer.after.as_ref();
    let (reading, shown) = match asked.now {
        Now::FreezingPoint { .. } => (Some(Figure::FrostReading), None),
        Now::SpecificGravity { .. } => {
            (Some(Figure::GravityReading), Some(Figure::SpecificGravity))
        }
        Now::RefractiveIndex { .. } | Now::Brix { .. } => (
            Some(Figure::IndexReading),
            Some(match asked.glycol {
                GlycolName::Ethylene => Figure::RefractiveIndexEthylene,
                GlycolName::Propylene => Figure::RefractiveIndexPropylene,
            }),
        ),
        _ => (None, None),
    };
    [
        Some(Figure::Amounts),
        solved.answer.dose.map(|_| Figure::Dose),
        reading,
        Some(Figure::Volume),
        Some(Figure::FreezingPoint),
        Some(match asked.glycol {
            GlycolName::Ethylene => Figure::BoilingPointEthylene,
            GlycolName::Propylene => Figure::BoilingPointPropylene,
        }),
        asked.cap.map(|_| Figure::CapPressure),
        Some(Figure::AirPressure),
        after.and_then(|s| s.hot_litres).map(|_| Figure::HotVolume),
        Some(Figure::HeatCarriedVsWater),
        Some(Figure::FilmVsWater),
        shown,
    ]
}

fn why(figure: Figure, solved: &Solved, system: System) -> Option<Why> {
    let sheet = sheet(figure)?;
    let mut ranges = Vec::new();
    for range in sheet.ranges {
        let (low, high) = (plain(range.low), plain(range.high));
        let words = [range.quantity, " ", &low, " to ", &high, " ", range.unit].concat();
        ranges.push(words::in_signs(words.trim_end()));
    }
    let mut inputs = Vec::new();
    for &input in sheet.inputs {
        let went_in =
            value(input, figure, solved, system).unwrap_or_else(|| words::NOT_GIVEN.to_owned());
        inputs.push([input.name(), " ", &went_in].concat());
    }
    Some(Why {
        name: sheet.name,
        lines: vec![
            (words::WHY_FORMULA, sheet.formula.to_owned()),
            (words::WHY_INPUTS, inputs.join(", ")),
            (words::WHY_RANGE, ranges.join("; ")),
            (words::WHY_SOURCE, sheet.source.citation.to_owned()),
            (words::WHY_ERROR, sheet.source.stated_error.to_owned()),
        ],
    })
}
