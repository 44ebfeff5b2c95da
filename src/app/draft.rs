//! From what stands on the page to a job: each loop by itself, so that a half-typed one does not silence the rest.
//!
//! Broken input is normal: what comes out is what could be made, and a list of what could not, each tied to its
//! field. A field left blank that may be blank is absent in the job. Only the fields that the choices call for are
//! read. Ranges are the job's business, not checked here.

use super::{
    after,
    choice::Brings,
    counter,
    field::{Entry, Unit},
    model::{Model, Spot, StockRow},
    number::NumberError,
    take::{as_volume, one_loop},
};
use crate::job::{
    file::{Job, Quantity, Stock, Supplement},
    units::{IntervalUnit, LevelUnit, TemperatureUnit},
};

/// To spare below the coldest night, in K, unless said otherwise (common practice, no source).
pub const SPARE_K: f64 = 5.0;
/// A file's measuring step where it states none, mL.
pub const STEP_ML: f64 = 50.0;
/// The same for the additive.
pub const DOSE_STEP_ML: f64 = 5.0;
/// Measuring step of a page in US or imperial units, fl oz.
pub const STEP_FL_OZ: f64 = 2.0;
/// The same for the additive.
pub const DOSE_STEP_FL_OZ: f64 = 0.25;
/// Lowest and highest strength, unless said otherwise.
pub const LIMITS: (f64, f64) = (40.0, 60.0);

/// What is wrong with a field.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Trouble {
    /// Blank, and needed.
    Needed,
    /// Not a number.
    Number(NumberError),
}

/// A field and what is wrong with it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// Which field; of a loop: of the loop the problem is listed under.
    pub spot: Spot,
    /// What.
    pub trouble: Trouble,
}

/// What could be made of the page.
#[derive(Debug, Clone, PartialEq)]
pub struct Draft {
    /// The shelf, and the loops that are whole.
    pub job: Job,
    /// For each loop of the job, its place on the page.
    pub places: Vec<usize>,
    /// For each loop on the page, what is wrong with it.
    pub loops: Vec<Vec<Problem>>,
    /// What is wrong with the shelf.
    pub shelf: Vec<Problem>,
    /// What is wrong with packs and money.
    pub counter: Vec<Problem>,
    /// For each loop on the page, what is wrong with its additive's bottles.
    pub bottles: Vec<Vec<Problem>>,
    /// Is all that was typed afterwards in the job?
    pub after_whole: bool,
}

impl Draft {
    /// Can the whole of the page be written as a job file?
    pub fn is_whole(&self) -> bool {
        self.after_whole
            && self.shelf.is_empty()
            && self.loops.iter().all(Vec::is_empty)
            && !counter::half_typed(self)
    }
}

/// The job file's text, where the whole page can be written.
pub fn file(draft: &Draft) -> Option<String> {
    draft.is_whole().then(|| crate::job::write(&draft.job))
}

/// What can be made of the page.
pub fn draft(model: &Model) -> Draft {
    let mut shelf_problems = Vec::new();
    let rows = model.shelf.iter().enumerate().filter(|(_, row)| row.on);
    let shelf = rows
        .map(|(i, row)| stock(i, row, &mut shelf_problems))
        .collect();
    let water = model.water.take(&mut shelf_problems);
    let mut made = Draft {
        job: Job {
            title: model.title.clone(),
            water,
            shelf,
            survey: after::file::take_survey(&model.survey),
            ..model.kept.clone()
        },
        places: Vec::new(),
        loops: Vec::new(),
        shelf: shelf_problems,
        counter: Vec::new(),
        bottles: Vec::new(),
        after_whole: after::file::is_whole(model),
    };
    for (place, lp) in model.loops.iter().enumerate() {
        let (drafted, problems) = one_loop(lp, model.system);
        if problems.is_empty() {
            made.job.loops.push(drafted);
            made.places.push(place);
        }
        made.loops.push(problems);
    }
    counter::fill_in(model, &mut made);
    made
}

fn stock(i: usize, row: &StockRow, problems: &mut Vec<Problem>) -> Stock {
    let mut take = |entry: &Entry, spot: Spot, needed: bool| match entry.value() {
        Ok(Some(value)) => Some((value, entry.typed_in)),
        Ok(None) => {
            if needed {
                problems.push(Problem {
                    spot,
                    trouble: Trouble::Needed,
                });
            }
            None
        }
        Err(e) => {
            problems.push(Problem {
                spot,
                trouble: Trouble::Number(e),
            });
            None
        }
    };
    let percent = take(&row.percent, Spot::StockPercent(i), true).map_or(0.0, |(p, _)| p);
    let plus_minus = take(&row.spread, Spot::StockSpread(i), false)
        .map(|(p, _)| p)
        .filter(|_| percent > 0.0);
    let have = take(&row.have, Spot::StockHave(i), false).and_then(as_volume);
    let supplement = match row.brings.test() {
        None => (row.brings == Brings::None).then_some(Supplement::None {}),
        Some(test) => take(&row.level, Spot::StockLevel(i), true).map(|(value, unit)| {
            let unit = match unit {
                Unit::Level(unit) => unit,
                _ => LevelUnit::Ppm,
            };
            Supplement::Level {
                value,
                unit,
                of: test.substance(),
            }
        }),
    };
    if row.name.trim().is_empty() {
        problems.push(Problem {
            spot: Spot::StockName(i),
            trouble: Trouble::Needed,
        });
    }
    Stock {
        name: row.name.clone(),
        glycol: (percent > 0.0 || row.kept.glycol.is_some()).then_some(row.glycol),
        percent,
        plus_minus,
        have,
        family: row.family,
        supplement,
        ..row.kept.clone()
    }
}

/// The freezing point that leaves something to spare below the coldest night, on the night's scale.
pub fn frost_for(
    coldest: f64,
    unit: TemperatureUnit,
    spare: Option<Quantity<IntervalUnit>>,
) -> f64 {
    let spare_k = spare.map_or(SPARE_K, |q| q.value * q.unit.kelvins());
    match unit {
        TemperatureUnit::DegC => coldest - spare_k,
        TemperatureUnit::DegF => coldest - spare_k * 1.8,
    }
}
