//! The rows.

use super::{
    Leaf::{self, In, Maybe, MaybeIn, MaybeShare, Plain},
    Row, form,
};
use crate::app::unit::{Measure, Unit};
use crate::job::{
    file::{Aim, Loop, Now, Quantity, Rate, Water},
    limits,
    units::{IntervalUnit, LevelUnit, TemperatureUnit},
};

/// A leaf of one form of a choice.
macro_rules! of {
    ($choice:expr, $form:pat => $leaf:expr) => {
        match $choice {
            $form => Some($leaf),
            _ => None,
        }
    };
}

form! {
    /// The fields of the mixing water, the one most people have first.
    pub enum WaterField of Water as water {
        /// Total hardness.
        Hardness = "hardness" Hardness "Hardness| of the water" at hardness {};
        /// Chloride.
        Chloride = "chloride" Content "Chloride| in the water" at chloride {};
        /// Sulphate.
        Sulphate = "sulphate" Content "Sulphate| in the water" at sulphate {};
        /// Dissolved solids.
        Solids = "solids" Content "Dissolved solids| in the water" at solids {};
        /// pH.
        Ph = "ph" Number "pH| of the water" at ph {};
    }
}

form! {
    /// The fields of a loop.
    pub enum Field of Loop as lp {
        /// Filled to the mark.
        Volume = "volume" Volume "Capacity, filled to the mark" at "volume" { limit: Some(&limits::VOLUME) }
            => Some(In(&mut lp.volume.value, &mut lp.volume.unit));
        /// Half-width of it, in its unit.
        VolumeSpread = "volume-spread" Volume "\u{b1}| on the capacity" at "volume.plus_minus" {}
            => Some(Maybe(&mut lp.volume.plus_minus, Unit::Volume(lp.volume.unit)));
        /// Below the mark.
        Missing = "missing" Volume "Low by" at missing
            { limit: Some(&limits::MISSING), blank: 0.0 };
        /// Half-width of it, in its unit.
        MissingSpread = "missing-spread" Volume "\u{b1}| on how far below the mark" at "missing.plus_minus"
            { limit: Some(&limits::MISSING_SPREAD) }
            => lp.missing.as_mut().map(|m| Maybe(&mut m.plus_minus, Unit::Volume(m.unit)));
        /// A percentage read.
        Percent = "percent" Percent "Reading| in percent" at "now.value" { limit: Some(&limits::PERCENT) }
            => of!(&mut lp.now, Now::Percent { value, .. } => Plain(value, Unit::Percent));
        /// Half-width of it.
        PercentSpread = "percent-spread" Points "\u{b1}| on the percentage" at "now.plus_minus"
            { limit: Some(&limits::PERCENT_SPREAD), blank: 2.0 }
            => of!(&mut lp.now, Now::Percent { plus_minus, .. } => Maybe(plus_minus, Unit::Points));
        /// A frost scale read.
        Frost = "frost" Temperature "Reading| of the refractometer" at "now.value" { limit: Some(&limits::FROST) }
            => of!(&mut lp.now, Now::FreezingPoint { value, unit, .. } => In(value, unit));
        /// Half-width of it.
        FrostSpread = "frost-spread" Interval "\u{b1}| on the freeze point" at "now.plus_minus"
            { limit: Some(&limits::FROST_SPREAD), blank: 1.0 }
            => of!(&mut lp.now, Now::FreezingPoint { plus_minus, unit, .. } => Maybe(plus_minus, degrees(*unit)));
        /// A hydrometer read.
        Gravity = "gravity" Number "Reading| of the hydrometer" at "now.value" { limit: Some(&limits::GRAVITY) }
            => of!(&mut lp.now, Now::SpecificGravity { value, .. } => Plain(value, Unit::None));
        /// Half-width of it.
        GravitySpread = "gravity-spread" Number "\u{b1}| on the hydrometer" at "now.plus_minus"
            { limit: Some(&limits::GRAVITY_SPREAD) }
            => of!(&mut lp.now, Now::SpecificGravity { plus_minus, .. } => Maybe(plus_minus, Unit::None));
        /// A refractive index read.
        Index = "index" Number "Reading| as a refractive index" at "now.value" { limit: Some(&limits::INDEX) }
            => of!(&mut lp.now, Now::RefractiveIndex { value, .. } => Plain(value, Unit::None));
        /// Half-width of it.
        IndexSpread = "index-spread" Number "\u{b1}| on the refractive index" at "now.plus_minus"
            { limit: Some(&limits::INDEX_SPREAD), blank: 0.0002 }
            => of!(&mut lp.now, Now::RefractiveIndex { plus_minus, .. } => Maybe(plus_minus, Unit::None));
        /// A sugar scale read.
        Brix = "brix" Brix "Reading| on the Brix scale" at "now.value" { limit: Some(&limits::BRIX) }
            => of!(&mut lp.now, Now::Brix { value, .. } => Plain(value, Unit::Brix));
        /// Half-width of it.
        BrixSpread = "brix-spread" Brix "\u{b1}| on the Brix reading" at "now.plus_minus"
            { limit: Some(&limits::BRIX_SPREAD), blank: 0.5 }
            => of!(&mut lp.now, Now::Brix { plus_minus, .. } => Maybe(plus_minus, Unit::Brix));
        /// Temperature of the sample.
        SampleAt = "sample-at" Temperature "Sample temperature" at "now.at" { limit: Some(&limits::SAMPLE_AT) }
            => match &mut lp.now {
                Now::SpecificGravity { at, .. } | Now::RefractiveIndex { at, .. } | Now::Brix { at, .. } => {
                    Some(In(&mut at.value, &mut at.unit))
                }
                _ => None,
            };
        /// Did not come out in the flush.
        LeftBehind = "left-behind" Volume "Left in after flushing" at "now.left_behind"
            { limit: Some(&limits::LEFT_BEHIND) }
            => of!(&mut lp.now, Now::Flushed { left_behind: q, .. } => In(&mut q.value, &mut q.unit));
        /// Its percentage.
        LeftPercent = "left-percent" Percent "Its concentration| of what was left in" at "now.percent"
            { limit: Some(&limits::PERCENT), blank: 0.0 }
            => of!(&mut lp.now, Now::Flushed { percent, .. } => Plain(percent, Unit::Percent));
        /// The coldest night.
        Coldest = "coldest" Temperature "Lowest expected temperature" at coldest { limit: Some(&limits::COLDEST) };
        /// To spare below it.
        Spare = "spare" Interval "Safety margin| below that" at coldest_margin
            { limit: Some(&limits::COLDEST_MARGIN), blank: 5.0 };
        /// A percentage to reach.
        AimPercent = "aim-percent" Percent "Target concentration" at "aim.value"
            { limit: Some(&limits::PERCENT) }
            => of!(&mut lp.aim, Aim::Percent { value, .. } => Plain(value, Unit::Percent));
        /// Points either side that count as there.
        Within = "within" Points "Tolerance" at "aim.within"
            { limit: Some(&limits::WITHIN), blank: 1.0 }
            => of!(&mut lp.aim, Aim::Percent { within, .. } => Maybe(within, Unit::Points));
        /// A freezing point to reach.
        AimFrost = "aim-frost" Temperature "Target freezing point" at "aim.value" { limit: Some(&limits::FROST_AIM) }
            => of!(&mut lp.aim, Aim::FreezingPoint { value, unit } => In(value, unit));
        /// Lowest percentage admitted.
        Low = "low" Percent "No weaker than" at "limits.low"
            { limit: Some(&limits::PERCENT), blank: 40.0 }
            => lp.limits.as_mut().map(|l| Plain(&mut l.low, Unit::Percent));
        /// Highest.
        High = "high" Percent "No stronger than" at "limits.high"
            { limit: Some(&limits::PERCENT), blank: 60.0 }
            => lp.limits.as_mut().map(|l| Plain(&mut l.high, Unit::Percent));
        /// The most one draw gives.
        DrawLimit = "draw-limit" Volume "Most you can drain at once" at "draw_limit"
            { limit: Some(&limits::DRAW_LIMIT) } => quantity(&mut lp.draw_limit);
        /// The share that drains.
        DrainShare = "drain-percent" Percent "Share that drains" at "drains.fraction"
            { limit: Some(&limits::DRAINS) } => lp.drains.as_mut().map(|s| Leaf::Share(&mut s.fraction));
        /// The share of the old charge to replace.
        Renew = "renew-percent" Percent "Renew at least| of the old coolant" at "renew.fraction"
            { limit: Some(&limits::RENEW), blank: 0.0 } => Some(MaybeShare(&mut lp.renew));
        /// Air above the mark.
        TankRoom = "tank-room" Volume "Space above the mark" at tank_room { limit: Some(&limits::TANK_ROOM) };
        /// From the mark down to the minimum mark.
        Minimum = "minimum" Volume "Minimum mark, below the cold mark" at minimum { limit: Some(&limits::MINIMUM) };
        /// What stands in the overflow bottle.
        Bottle = "bottle" Volume "In the overflow bottle" at "bottle" { limit: Some(&limits::OVERFLOW) }
            => Some(MaybeIn(&mut lp.bottle));
        /// Its percentage.
        BottlePercent = "bottle-percent" Percent "Its concentration| in the overflow bottle" at "bottle.percent"
            { limit: Some(&limits::PERCENT) }
            => lp.bottle.as_mut().map(|b| Maybe(&mut b.percent, Unit::Percent));
        /// Of the coolant when poured.
        FillTemperature = "fill-temperature" Temperature "Coolant temperature when filling" at fill_temperature
            { limit: Some(&limits::FILL_TEMPERATURE), blank: 20.0 };
        /// The hottest it runs.
        Peak = "peak" Temperature "Highest coolant temperature" at peak_temperature
            { limit: Some(&limits::PEAK_TEMPERATURE) };
        /// Where it usually runs.
        Running = "running" Temperature "Normal coolant temperature" at running_temperature
            { limit: Some(&limits::RUNNING_TEMPERATURE), blank: 90.0 };
        /// The fitted cap's rating.
        Cap = "cap" Pressure "Cap rating" at cap { limit: Some(&limits::CAP) };
        /// The share of it the cap is judged at.
        CapShare = "cap-percent" Percent "Holds at least| of its rating" at "cap_low.fraction"
            { limit: Some(&limits::CAP_LOW) } => lp.cap_low.as_mut().map(|s| Leaf::Share(&mut s.fraction));
        /// A second cap to compare.
        OtherCap = "other-cap" Pressure "Cap to be fitted" at other_cap { limit: Some(&limits::CAP) };
        /// The rating the maker asks for.
        MakerCap = "maker-cap" Pressure "Maker\u{2019}s cap rating" at maker_cap { limit: Some(&limits::CAP) };
        /// The rise after shutdown.
        HeatSoak = "heat-soak" Interval "Rise after shutdown| (heat soak)" at heat_soak
            { limit: Some(&limits::HEAT_SOAK), blank: 10.0 };
        /// Above sea level.
        Altitude = "altitude" Length "Altitude" at altitude { limit: Some(&limits::ALTITUDE), blank: 0.0 };
        /// The least that can be measured.
        MeasureStep = "measure-step" SmallVolume "Smallest amount you can measure" at measure_step
            { limit: Some(&limits::MEASURE_STEP) };
        /// The same for the additive.
        DoseStep = "dose-step" SmallVolume "Smallest amount you can measure, additive" at dose_step { limit: Some(&limits::DOSE_STEP) };
        /// The label's rate as a ratio.
        RateRatio = "rate-ratio" Ratio "Label dose| as a ratio" at "additive.rate.value" {}
            => of!(rate(lp), Some(Rate::Ratio { value, unit }) => In(value, unit));
        /// As a percentage.
        RatePercent = "rate-percent" Percent "Label dose| as a percentage" at "additive.rate.value" {}
            => of!(rate(lp), Some(Rate::Percent { value }) => Plain(value, Unit::Percent));
        /// As one part in, or to, so many.
        RateParts = "rate-parts" Number "Parts| of the dose" at "additive.rate.one_in" {} => parts(rate(lp));
        /// The most a bottle treats.
        TreatsTo = "treats-to" Volume "Treats up to" at "additive.rate.treats_to" {}
            => of!(rate(lp), Some(Rate::Bottle { treats_to: q, .. }) => In(&mut q.value, &mut q.unit));
        /// The least.
        TreatsFrom = "treats-from" Volume "Treats from" at "additive.rate.treats_from" {}
            => of!(rate(lp), Some(Rate::Bottle { treats_from, .. }) => MaybeIn(treats_from));
        /// The share of it down to which it is the whole bottle.
        WholeDownTo = "whole-percent" Percent "Whole bottle down to| a share of that"
            at "additive.rate.whole_down_to.fraction" { limit: Some(&limits::WHOLE_DOWN_TO), blank: 50.0 }
            => of!(rate(lp), Some(Rate::Bottle { whole_down_to, .. }) => MaybeShare(whole_down_to));
        /// What a bottle holds.
        BottleSize = "bottle-size" SmallVolume "Bottle size" at "additive.rate.size" {}
            => of!(rate(lp), Some(Rate::Bottle { size: q, .. }) => In(&mut q.value, &mut q.unit));
        /// The level wanted.
        LevelAim = "level-aim" Level "Target level| by the test" at "additive.rate.aim" {}
            => level(rate(lp)).map(|[_, q, _]| In(&mut q.value, &mut q.unit));
        /// The level measured.
        LevelNow = "level-now" Level "Level now| by the test" at "additive.rate.now" {}
            => level(rate(lp)).map(|[q, _, _]| In(&mut q.value, &mut q.unit));
        /// What 1 mL/L raises it by.
        LevelRaises = "level-raises" Level "1\u{a0}mL per litre raises it by" at "additive.rate.raises" {}
            => level(rate(lp)).map(|[_, _, q]| In(&mut q.value, &mut q.unit));
        /// The label's limit as a ratio.
        LimitRatio = "limit-ratio" Ratio "Label maximum| as a ratio" at "additive.limit.value" {}
            => of!(limit(lp), Some(Rate::Ratio { value, unit }) => In(value, unit));
        /// As a percentage.
        LimitPercent = "limit-percent" Percent "Label maximum| as a percentage" at "additive.limit.value" {}
            => of!(limit(lp), Some(Rate::Percent { value }) => Plain(value, Unit::Percent));
        /// As one part in, or to, so many.
        LimitParts = "limit-parts" Number "Parts| of the limit" at "additive.limit.one_in" {}
            => parts(limit(lp));
        /// Bottles as the limit: what one holds.
        LimitBottle = "limit-bottle" SmallVolume "At most one bottle of" at "additive.limit.size" {}
            => of!(limit(lp), Some(Rate::Bottle { size: q, .. }) => In(&mut q.value, &mut q.unit));
        /// The most each treats.
        LimitTreats = "limit-treats" Volume "for each| as the label maximum" at "additive.limit.treats_to" {}
            => of!(limit(lp), Some(Rate::Bottle { treats_to: q, .. }) => In(&mut q.value, &mut q.unit));
        /// As a highest level.
        LimitLevel = "limit-level" Level "Highest level allowed" at "additive.limit.aim" {}
            => level(limit(lp)).map(|[_, q, _]| In(&mut q.value, &mut q.unit));
        /// Additive in there already.
        Already = "already" SmallVolume "Already in there" at "additive.already" {}
            => lp.additive.as_mut().and_then(|a| quantity(&mut a.already));
        /// What there is to dose.
        DoseHave = "dose-have" SmallVolume "On hand| of the additive" at "additive.have" {}
            => lp.additive.as_mut().map(|a| MaybeIn(&mut a.have));
        /// The coolant's pH.
        Ph = "coolant-ph" Number "pH| of the coolant" at "coolant_test.ph" { limit: Some(&limits::PH) }
            => lp.coolant_test.as_mut().map(|t| Maybe(&mut t.ph, Unit::None));
        /// The least it should be.
        PhLow = "ph-low" Number "pH no lower than" at "coolant_test.ph_low" { limit: Some(&limits::PH) }
            => lp.coolant_test.as_mut().map(|t| Maybe(&mut t.ph_low, Unit::None));
        /// The most.
        PhHigh = "ph-high" Number "pH no higher than" at "coolant_test.ph_high" { limit: Some(&limits::PH) }
            => lp.coolant_test.as_mut().map(|t| Maybe(&mut t.ph_high, Unit::None));
        /// Its reserve alkalinity.
        Reserve = "reserve" Number "Reserve alkalinity, mL| (ASTM D1121)" at "coolant_test.reserve_alkalinity"
            { limit: Some(&limits::RESERVE_ALKALINITY) }
            => lp.coolant_test.as_mut().map(|t| Maybe(&mut t.reserve_alkalinity, Unit::None));
        /// The least it should be.
        ReserveLow = "reserve-low" Number "Reserve alkalinity no lower than, mL" at "coolant_test.reserve_alkalinity_low"
            { limit: Some(&limits::RESERVE_ALKALINITY) }
            => lp.coolant_test.as_mut().map(|t| Maybe(&mut t.reserve_alkalinity_low, Unit::None));
        /// The most of another chemistry.
        Foreign = "foreign-percent" Percent "Other chemistry, no more than| in extended-life coolant"
            at "foreign_limit.fraction" { limit: Some(&limits::FOREIGN), blank: 25.0 }
            => Some(MaybeShare(&mut lp.foreign_limit));
        /// Read again after the job, in percent.
        BackPercent = "back-percent" Percent "Re-test reading| in percent" at ""
            { limit: Some(&limits::PERCENT) } => None;
        /// On the frost scale.
        BackFrost = "back-frost" Temperature "Re-test reading| of the refractometer" at "" { limit: Some(&limits::FROST) } => None;
        /// By hydrometer.
        BackGravity = "back-gravity" Number "Re-test reading| of the hydrometer" at "" { limit: Some(&limits::GRAVITY) } => None;
        /// As a refractive index.
        BackIndex = "back-index" Number "Re-test reading| as a refractive index" at "" { limit: Some(&limits::INDEX) } => None;
        /// On a sugar scale.
        BackBrix = "back-brix" Brix "Re-test reading| on the Brix scale" at "" { limit: Some(&limits::BRIX) } => None;
        /// Temperature of that sample.
        BackAt = "back-at" Temperature "Sample temperature| at the re-test" at ""
            { limit: Some(&limits::SAMPLE_AT), blank: 20.0 } => None;
        /// How sure that is, in percent.
        BackPercentSpread = "back-percent-spread" Points "\u{b1}| on the re-test" at ""
            { limit: Some(&limits::PERCENT_SPREAD), blank: 2.0 } => None;
        /// On the frost scale.
        BackFrostSpread = "back-frost-spread" Interval "\u{b1}| on the re-test" at ""
            { limit: Some(&limits::FROST_SPREAD), blank: 1.0 } => None;
        /// By hydrometer.
        BackGravitySpread = "back-gravity-spread" Number "\u{b1}| on the re-test" at ""
            { limit: Some(&limits::GRAVITY_SPREAD) } => None;
        /// As a refractive index.
        BackIndexSpread = "back-index-spread" Number "\u{b1}| on the re-test" at ""
            { limit: Some(&limits::INDEX_SPREAD), blank: 0.0002 } => None;
        /// On a sugar scale.
        BackBrixSpread = "back-brix-spread" Brix "\u{b1}| on the re-test" at ""
            { limit: Some(&limits::BRIX_SPREAD), blank: 0.5 } => None;
    }
}

/// A scale's degrees as a difference.
fn degrees(unit: TemperatureUnit) -> Unit {
    Unit::Interval(match unit {
        TemperatureUnit::DegC => IntervalUnit::DegC,
        TemperatureUnit::DegF => IntervalUnit::DegF,
    })
}

/// What a choice called for, and must then be there.
fn quantity<U: super::InUnit>(q: &mut Option<Quantity<U>>) -> Option<Leaf<'_>> {
    q.as_mut().map(|q| In(&mut q.value, &mut q.unit))
}

fn rate(lp: &mut Loop) -> Option<&mut Rate> {
    lp.additive.as_mut().map(|a| &mut a.rate)
}

fn limit(lp: &mut Loop) -> Option<&mut Rate> {
    lp.additive.as_mut()?.limit.as_mut()
}

/// One part in or to so many; both, or neither, is not to be understood.
fn parts(rate: Option<&mut Rate>) -> Option<Leaf<'_>> {
    match rate {
        Some(
            Rate::Parts {
                one_in: Some(n),
                one_to: None,
            }
            | Rate::Parts {
                one_in: None,
                one_to: Some(n),
            },
        ) => Some(Plain(n, Unit::None)),
        _ => None,
    }
}

fn level(rate: Option<&mut Rate>) -> Option<[&mut Quantity<LevelUnit>; 3]> {
    match rate {
        Some(Rate::Reading {
            now, aim, raises, ..
        }) => Some([now, aim, raises]),
        _ => None,
    }
}

impl Field {
    /// The field whose unit this one always shares.
    pub const fn follows(self) -> Option<Self> {
        match self {
            Self::VolumeSpread => Some(Self::Volume),
            Self::LevelAim | Self::LevelRaises | Self::LimitLevel => Some(Self::LevelNow),
            _ => None,
        }
    }
}

impl super::Entries<Field> {
    /// A field and those that follow it, meant in another unit.
    pub fn mean_in(&mut self, field: Field, unit: Unit) {
        let lead = field.follows().unwrap_or(field);
        for &f in Field::ALL
            .iter()
            .filter(|f| **f == lead || f.follows() == Some(lead))
        {
            self.get_mut(f).mean_in(unit);
        }
    }

    /// All of them, in a system's units.
    pub fn show_in_system(&mut self, system: crate::app::choice::System) {
        use super::Form as _;
        for &field in Field::ALL {
            self.get_mut(field)
                .show_in_system(field.row().measure, system);
        }
    }
}
