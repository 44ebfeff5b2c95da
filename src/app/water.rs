//! The mixing water as typed: its figures, each or none of them, and whose limits to judge it by.

use super::{
    choice::WaterLimits,
    draft::{Problem, Trouble},
    field::{Entry, Measure},
    model::Spot,
};
use crate::job::file;

/// What of it can be measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WaterField {
    /// Total hardness.
    Hardness,
    /// Chloride.
    Chloride,
    /// Sulphate.
    Sulphate,
    /// Dissolved solids.
    Solids,
    /// pH.
    Ph,
}

impl WaterField {
    /// All of them, the one most people have first.
    pub const ALL: &'static [Self] = &[
        Self::Hardness,
        Self::Chloride,
        Self::Sulphate,
        Self::Solids,
        Self::Ph,
    ];

    /// Its stable key, the job file's.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Hardness => "hardness",
            Self::Chloride => "chloride",
            Self::Sulphate => "sulphate",
            Self::Solids => "solids",
            Self::Ph => "ph",
        }
    }

    /// From its key.
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|f| f.key() == key)
    }

    /// What it measures.
    pub const fn measure(self) -> Measure {
        match self {
            Self::Hardness => Measure::Hardness,
            Self::Chloride | Self::Sulphate | Self::Solids => Measure::Content,
            Self::Ph => Measure::Number,
        }
    }
}

/// The mixing water.
#[derive(Debug, Clone, PartialEq)]
pub struct WaterModel {
    /// Whose limits to judge it by.
    pub limits: WaterLimits,
    entries: Vec<Entry>,
}

impl WaterModel {
    /// Nothing measured.
    pub fn blank() -> Self {
        Self {
            limits: WaterLimits::Diesel,
            entries: WaterField::ALL
                .iter()
                .map(|f| Entry::blank(f.measure().usual()))
                .collect(),
        }
    }

    /// As a file has it.
    pub fn of(water: Option<file::Water>) -> Self {
        let mut out = Self::blank();
        if let Some(w) = water {
            out.limits = w.limits;
            for &field in WaterField::ALL {
                if let Some(value) = value_of(&w, field) {
                    *out.get_mut(field) = Entry::of(value, field.measure().usual());
                }
            }
        }
        out
    }

    /// A field's entry.
    pub fn get(&self, field: WaterField) -> &Entry {
        &self.entries[field as usize]
    }

    /// The same, to change.
    pub fn get_mut(&mut self, field: WaterField) -> &mut Entry {
        &mut self.entries[field as usize]
    }

    /// Is nothing typed?
    pub fn is_blank(&self) -> bool {
        self.entries.iter().all(Entry::is_blank)
    }

    /// For a file; `None` where nothing is typed. What is no number is noted.
    pub(super) fn take(&self, problems: &mut Vec<Problem>) -> Option<file::Water> {
        let mut out = file::Water {
            limits: self.limits,
            chloride: None,
            sulphate: None,
            hardness: None,
            solids: None,
            ph: None,
        };
        for &field in WaterField::ALL {
            let entry = self.get(field);
            match entry.value() {
                Ok(value) => {
                    let usual = field.measure().usual();
                    let value = value.and_then(|v| entry.typed_in.to(usual, v));
                    *place(&mut out, field) = value;
                }
                Err(e) => problems.push(Problem {
                    spot: Spot::Water(field),
                    trouble: Trouble::Number(e),
                }),
            }
        }
        (!self.is_blank()).then_some(out)
    }
}

fn value_of(water: &file::Water, field: WaterField) -> Option<f64> {
    let mut water = *water;
    *place(&mut water, field)
}

fn place(water: &mut file::Water, field: WaterField) -> &mut Option<f64> {
    match field {
        WaterField::Hardness => &mut water.hardness,
        WaterField::Chloride => &mut water.chloride,
        WaterField::Sulphate => &mut water.sulphate,
        WaterField::Solids => &mut water.solids,
        WaterField::Ph => &mut water.ph,
    }
}
