//! The fields of the page: what each measures, its unit in each system, and the text typed into it.
//!
//! Invariants: the text a user typed is never rewritten; a change of unit shows a conversion, and changing back
//! shows what was typed, to the letter. The number that counts is always the typed one, in the unit it was typed in.

use super::{
    choice::System,
    number::{self, NumberError},
};

pub use super::{
    form::{Field, Form},
    unit::{Measure, Unit},
};
/// The texts typed for a loop.
pub type Entries = super::form::Entries<Field>;

/// Digits a conversion is shown with.
const CONVERTED_DIGITS: u32 = 4;

/// What was typed into a field, and the unit it is shown in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// To the letter.
    pub typed: String,
    /// The unit it was typed in.
    pub typed_in: Unit,
    /// The unit it is shown in.
    pub shown_in: Unit,
}

impl Entry {
    /// Nothing typed yet.
    pub const fn blank(unit: Unit) -> Self {
        Self {
            typed: String::new(),
            typed_in: unit,
            shown_in: unit,
        }
    }

    /// A number from a file, in full.
    pub fn of(value: f64, unit: Unit) -> Self {
        Self {
            typed: number::print(value),
            typed_in: unit,
            shown_in: unit,
        }
    }

    /// A share, in percent, free of the dust of binary fractions.
    pub fn percent_of(share: f64) -> Self {
        Self::of((share * 1e12).round() / 1e10, Unit::Percent)
    }

    /// What the field shows: what was typed, or its conversion.
    pub fn text(&self) -> String {
        if self.typed_in != self.shown_in
            && let Ok(Some(value)) = number::parse(&self.typed)
            && let Some(value) = self.typed_in.to(self.shown_in, value)
        {
            return number::significant(value, CONVERTED_DIGITS);
        }
        self.typed.clone()
    }

    /// The number typed, in the unit it was typed in.
    ///
    /// # Errors
    /// See [`number::parse`].
    pub fn value(&self) -> Result<Option<f64>, NumberError> {
        number::parse(&self.typed)
    }

    /// Nothing but blanks.
    pub fn is_blank(&self) -> bool {
        self.typed.trim().is_empty()
    }

    /// Typed anew, in the unit shown.
    pub fn type_in(&mut self, text: String) {
        self.typed = text;
        self.typed_in = self.shown_in;
    }

    /// Shown in another unit. What holds no number cannot be converted and simply takes the unit on.
    pub fn show_in(&mut self, unit: Unit) {
        if !matches!(self.value(), Ok(Some(_))) {
            self.typed_in = unit;
        }
        self.shown_in = unit;
    }

    /// Meant in another unit: the number stays as it is shown.
    pub fn mean_in(&mut self, unit: Unit) {
        self.typed = self.text();
        (self.typed_in, self.shown_in) = (unit, unit);
    }

    /// Shown in a system's unit; in the one it was typed in, where that is the system's.
    pub fn show_in_system(&mut self, measure: Measure, system: System) {
        if self.typed_in.is_of(system) {
            self.shown_in = self.typed_in;
        } else {
            self.show_in(measure.unit(system));
        }
    }

    /// With its sign turned, in the unit shown.
    pub fn turn(&mut self) {
        let turned = number::turned(&self.text());
        self.type_in(turned);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::units::{TemperatureUnit, VolumeUnit};
    use proptest::prelude::*;

    #[test]
    fn the_entries_stand_in_the_order_of_the_fields() {
        for (i, &field) in Field::ALL.iter().enumerate() {
            assert_eq!(field as usize, i);
            assert_eq!(Field::from_key(field.row().key), Some(field));
        }
    }

    #[test]
    fn switching_units_converts_and_switching_back_restores_to_the_letter() {
        let mut entry = Entry::blank(Unit::Volume(VolumeUnit::L));
        entry.type_in("8,40".into());
        entry.show_in_system(Measure::Volume, System::Us);
        // 1 US qt is 0.946 352 946 L by definition (231 in³ to the gallon).
        assert_eq!(entry.text(), "8.876");
        entry.show_in_system(Measure::Volume, System::Imperial);
        // 1 imperial pint is 0.568 261 25 L by definition.
        assert_eq!(entry.text(), "14.78");
        entry.show_in_system(Measure::Volume, System::Metric);
        assert_eq!(entry.text(), "8,40");
        assert_eq!(entry.value(), Ok(Some(8.4)));
    }

    #[test]
    fn what_is_typed_after_a_switch_counts_in_the_new_unit() {
        let mut entry = Entry::of(-25.0, Unit::Temperature(TemperatureUnit::DegC));
        entry.show_in(Unit::Temperature(TemperatureUnit::DegF));
        assert_eq!(entry.text(), "\u{2212}13");
        entry.type_in("-20".into());
        assert_eq!(entry.typed_in, Unit::Temperature(TemperatureUnit::DegF));
        entry.show_in(Unit::Temperature(TemperatureUnit::DegC));
        assert_eq!(entry.text(), "\u{2212}28.89");
    }

    #[test]
    fn broken_text_stays_as_it_is_and_takes_the_unit_on() {
        let mut entry = Entry::blank(Unit::Volume(VolumeUnit::L));
        entry.type_in("8,4,4".into());
        entry.show_in(Unit::Volume(VolumeUnit::UsGal));
        assert_eq!(entry.text(), "8,4,4");
        assert_eq!(entry.typed_in, entry.shown_in);
    }

    proptest! {
        #[test]
        fn no_chain_of_switches_drifts(value in 0.01f64..1000.0, chain in prop::collection::vec(0usize..3, 0..12)) {
            let mut entry = Entry::of(value, Unit::Volume(VolumeUnit::L));
            let before = entry.clone();
            for i in chain {
                entry.show_in_system(Measure::Volume, System::Us);
                entry.show_in(Measure::Volume.units()[i * 3]);
            }
            entry.show_in_system(Measure::Volume, System::Metric);
            prop_assert_eq!(entry, before);
        }
    }
}
