//! "Why this number": what each figure of the card is worked from, out of the engine's one table of datasheets.

use crate::app::words;
use crate::engine::datasheet::{Figure, sheet};
use crate::job::{figure::plain, file::GlycolName};

/// One figure explained.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Why {
    /// Its name.
    pub name: &'static str,
    /// What is said of it: heading and words.
    pub lines: Vec<(&'static str, String)>,
}

/// The figures of a loop's card, in the order of its table.
pub fn whys(glycol: GlycolName) -> Vec<Why> {
    let boiling = match glycol {
        GlycolName::Ethylene => Figure::BoilingPointEthylene,
        GlycolName::Propylene => Figure::BoilingPointPropylene,
    };
    [
        Figure::Volume,
        Figure::FreezingPoint,
        boiling,
        Figure::AirPressure,
        Figure::HotVolume,
        Figure::HeatCarriedVsWater,
        Figure::FilmVsWater,
    ]
    .into_iter()
    .filter_map(why)
    .collect()
}

fn why(figure: Figure) -> Option<Why> {
    let sheet = sheet(figure)?;
    let mut ranges = Vec::new();
    for range in sheet.ranges {
        let (low, high) = (plain(range.low), plain(range.high));
        ranges.push([range.quantity, " ", &low, " to ", &high, " ", range.unit].concat());
    }
    Some(Why {
        name: sheet.name,
        lines: vec![
            (words::WHY_FORMULA, sheet.formula.to_owned()),
            (words::WHY_INPUTS, sheet.inputs.join(", ")),
            (words::WHY_RANGE, ranges.join("; ")),
            (words::WHY_SOURCE, sheet.source.citation.to_owned()),
            (words::WHY_ERROR, sheet.source.stated_error.to_owned()),
        ],
    })
}
