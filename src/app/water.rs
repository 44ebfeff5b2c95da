//! The mixing water as typed: its figures, each or none of them, and whose limits to judge it by.

use super::{
    choice::{System, WaterLimits},
    draft::Problem,
    form::{Call, Entries},
    model::Spot,
};
use crate::job::{file::Water, record::Field as _};

pub use super::form::WaterField;

/// The mixing water.
#[derive(Debug, Clone, PartialEq)]
pub struct WaterModel {
    /// Whose limits to judge it by.
    pub limits: WaterLimits,
    /// What was measured.
    pub entries: Entries<WaterField>,
}

impl WaterModel {
    /// As a file has it.
    pub fn of(water: Option<Water>) -> Self {
        let mut water = water.unwrap_or(Water::blank());
        let mut entries = Entries::blank(System::Metric);
        entries.fill(&mut water, |_| Call::May);
        Self {
            limits: water.limits,
            entries,
        }
    }

    /// For a file; `None` where nothing is typed. What is no number is noted.
    pub(super) fn take(&self, problems: &mut Vec<Problem>) -> Option<Water> {
        let mut out = Water {
            limits: self.limits,
            ..Water::blank()
        };
        let note = |field, trouble| {
            problems.push(Problem {
                spot: Spot::Water(field),
                trouble,
            })
        };
        self.entries.take(&mut out, |_| Call::May, note);
        (!self.entries.is_blank()).then_some(out)
    }
}
