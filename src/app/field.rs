//! The fields of the page: what each measures, its unit in each system, and the text typed into it.
//!
//! Invariants: the text a user typed is never rewritten; a change of unit shows a conversion, and changing back
//! shows what was typed, to the letter. The number that counts is always the typed one, in the unit it was typed in.

use super::{
    choice::System,
    number::{self, NumberError},
};

pub use super::unit::{Measure, Unit};

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

macro_rules! fields {
    ($($(#[$doc:meta])* $name:ident = $key:literal $measure:ident;)+) => {
        /// The fields of a loop.
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub enum Field { $($(#[$doc])* $name),+ }

        impl Field {
            /// All of them.
            pub const ALL: &'static [Self] = &[$(Self::$name),+];

            /// Its stable key.
            pub const fn key(self) -> &'static str {
                match self { $(Self::$name => $key),+ }
            }

            /// What it measures.
            pub const fn measure(self) -> Measure {
                match self { $(Self::$name => Measure::$measure),+ }
            }
        }
    };
}

fields! {
    /// Filled to the mark.
    Volume = "volume" Volume;
    /// Half-width of it, in its unit.
    VolumeSpread = "volume-spread" Volume;
    /// Below the mark.
    Missing = "missing" Volume;
    /// A percentage read.
    Percent = "percent" Percent;
    /// Half-width of it.
    PercentSpread = "percent-spread" Points;
    /// A frost scale read.
    Frost = "frost" Temperature;
    /// Half-width of it.
    FrostSpread = "frost-spread" Interval;
    /// A hydrometer read.
    Gravity = "gravity" Number;
    /// Half-width of it.
    GravitySpread = "gravity-spread" Number;
    /// A refractive index read.
    Index = "index" Number;
    /// Half-width of it.
    IndexSpread = "index-spread" Number;
    /// A sugar scale read.
    Brix = "brix" Brix;
    /// Half-width of it.
    BrixSpread = "brix-spread" Brix;
    /// Temperature of the sample.
    SampleAt = "sample-at" Temperature;
    /// Did not come out in the flush.
    LeftBehind = "left-behind" Volume;
    /// Its percentage.
    LeftPercent = "left-percent" Percent;
    /// A percentage to reach.
    AimPercent = "aim-percent" Percent;
    /// Points either side that count as there.
    Within = "within" Points;
    /// A freezing point to reach.
    AimFrost = "aim-frost" Temperature;
    /// The coldest night.
    Coldest = "coldest" Temperature;
    /// To spare below it.
    Spare = "spare" Interval;
    /// Lowest percentage admitted.
    Low = "low" Percent;
    /// Highest.
    High = "high" Percent;
    /// The most one draw gives.
    DrawLimit = "draw-limit" Volume;
    /// The share that drains.
    DrainShare = "drain-percent" Percent;
    /// The share of the old charge to replace.
    Renew = "renew-percent" Percent;
    /// Air above the mark.
    TankRoom = "tank-room" Volume;
    /// Of the coolant when poured.
    FillTemperature = "fill-temperature" Temperature;
    /// The hottest it runs.
    Peak = "peak" Temperature;
    /// Where it usually runs.
    Running = "running" Temperature;
    /// The fitted cap's rating.
    Cap = "cap" Pressure;
    /// The share of it the cap is judged at.
    CapShare = "cap-percent" Percent;
    /// A second cap to compare.
    OtherCap = "other-cap" Pressure;
    /// Above sea level.
    Altitude = "altitude" Length;
    /// The least that can be measured.
    MeasureStep = "measure-step" SmallVolume;
    /// The same for the additive.
    DoseStep = "dose-step" SmallVolume;
    /// The label's rate as a ratio.
    RateRatio = "rate-ratio" Ratio;
    /// As a percentage.
    RatePercent = "rate-percent" Percent;
    /// As one part in, or to, so many.
    RateParts = "rate-parts" Number;
    /// What a bottle holds.
    BottleSize = "bottle-size" SmallVolume;
    /// The least it treats.
    TreatsFrom = "treats-from" Volume;
    /// The most it treats.
    TreatsTo = "treats-to" Volume;
    /// The level measured.
    LevelNow = "level-now" Level;
    /// The level wanted.
    LevelAim = "level-aim" Level;
    /// What 1 mL/L raises it by.
    LevelRaises = "level-raises" Level;
    /// The label's limit as a ratio.
    LimitRatio = "limit-ratio" Ratio;
    /// As a percentage.
    LimitPercent = "limit-percent" Percent;
    /// As one part in, or to, so many.
    LimitParts = "limit-parts" Number;
    /// As a highest level.
    LimitLevel = "limit-level" Level;
    /// Additive in there already.
    Already = "already" SmallVolume;
    /// What there is to dose.
    DoseHave = "dose-have" SmallVolume;
    /// Read again after the job, in percent.
    BackPercent = "back-percent" Percent;
    /// On the frost scale.
    BackFrost = "back-frost" Temperature;
    /// By hydrometer.
    BackGravity = "back-gravity" Number;
    /// As a refractive index.
    BackIndex = "back-index" Number;
    /// On a sugar scale.
    BackBrix = "back-brix" Brix;
    /// Temperature of that sample.
    BackAt = "back-at" Temperature;
    /// How sure that is, in percent.
    BackPercentSpread = "back-percent-spread" Points;
    /// On the frost scale.
    BackFrostSpread = "back-frost-spread" Interval;
    /// By hydrometer.
    BackGravitySpread = "back-gravity-spread" Number;
    /// As a refractive index.
    BackIndexSpread = "back-index-spread" Number;
    /// On a sugar scale.
    BackBrixSpread = "back-brix-spread" Brix;
}

impl Field {
    /// From its key.
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|f| f.key() == key)
    }

    /// The field whose unit this one always shares.
    pub const fn follows(self) -> Option<Self> {
        match self {
            Self::VolumeSpread => Some(Self::Volume),
            Self::LevelAim | Self::LevelRaises | Self::LimitLevel => Some(Self::LevelNow),
            _ => None,
        }
    }
}

/// One entry for each [`Field`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entries(Vec<Entry>);

impl Entries {
    /// All blank.
    pub fn blank(system: System) -> Self {
        Self(
            Field::ALL
                .iter()
                .map(|f| Entry::blank(f.measure().unit(system)))
                .collect(),
        )
    }

    /// A field's entry.
    pub fn get(&self, field: Field) -> &Entry {
        &self.0[field as usize]
    }

    /// The same, to change.
    pub fn get_mut(&mut self, field: Field) -> &mut Entry {
        &mut self.0[field as usize]
    }

    /// A number from a file.
    pub fn set(&mut self, field: Field, value: f64, unit: Unit) {
        self.0[field as usize] = Entry::of(value, unit);
    }

    /// A field and those that follow it, shown in another unit.
    pub fn show_in(&mut self, field: Field, unit: Unit) {
        let lead = field.follows().unwrap_or(field);
        for &f in Field::ALL
            .iter()
            .filter(|f| **f == lead || f.follows() == Some(lead))
        {
            self.0[f as usize].show_in(unit);
        }
    }

    /// All of them, in a system's units.
    pub fn show_in_system(&mut self, system: System) {
        for &field in Field::ALL {
            self.0[field as usize].show_in_system(field.measure(), system);
        }
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
            assert_eq!(Field::from_key(field.key()), Some(field));
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
