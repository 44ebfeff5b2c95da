//! Labels: of fields, of choices, of units, of the page's parts.

use super::after::after_label;
use crate::app::{
    choice::{
        AboveMark, AimBy, Brings, CapAge, CapKind, Carrier, DoseBy, DrainBy, EarlierDose, LimitBy,
        Purpose, RateBy, ReadingBy, System, TankBy, TestOf,
    },
    field::{Field, Form, Unit},
    model::Spot,
    unit::HardnessUnit,
};
use crate::job::{
    file::{Family, GlycolName, Kind, Side, WaterLimits},
    units::{IntervalUnit, LengthUnit, LevelUnit, PressureUnit, TemperatureUnit, VolumeUnit},
};

/// The name on the page.
pub const NAME: &str = "Pourcard";
/// What a job without a title is called.
pub const UNTITLED: &str = "Untitled job";
/// Over an empty page: what it is for.
pub const WHAT_FOR: &str = "What to drain, add and pour, and how cold it then protects.";
/// Over the example.
pub const EXAMPLE: &str = "Example: a small bakery\u{2019}s van, not kept.";
/// Keeps it all the same.
pub const KEEP_EXAMPLE: &str = "Keep it as a job";
/// Goes back to the job before it.
pub const BACK_TO: &str = "Back to";
/// Leaves it.
pub const START_EMPTY: &str = "New job";
/// Comes back to it.
pub const SHOW_EXAMPLE: &str = "Show an example";
/// Takes the last change back.
pub const UNDO: &str = "Undo";
/// The units of the page.
pub const UNITS: &str = "Units";
/// The loops.
pub const LOOPS: &str = "Cooling systems";
/// Adds one.
pub const ADD_LOOP: &str = "Add a system";
/// Takes another system's additive and cap.
pub const LIKE: &str = "Same additive and cap as";
/// What one is called and is for.
pub const THIS_LOOP: &str = "Name and type";
/// Copies one.
pub const DUPLICATE_LOOP: &str = "Duplicate this system";
/// Removes one.
pub const REMOVE_LOOP: &str = "Remove this system";
/// The first question.
pub const ASK_HOLDS: &str = "How much does it hold?";
/// The second.
pub const ASK_NOW: &str = "What is in it now?";
/// The third.
pub const ASK_AIM: &str = "Target";
/// The fourth.
pub const ASK_SHELF: &str = "What do you have?";
/// The glycol's list.
pub const GLYCOL: &str = "Glycol type";
/// The reading's list.
pub const READING: &str = "Measured with";
/// What few people need, folded away under a question.
pub const MORE: &str = "More";
/// The picks beside how low it is.
pub const LOW_BY: &str = "Low by";
/// The side's list.
pub const SIDE: &str = "Past 60\u{a0}% the freeze point rises again. Which side is this reading?";
/// The aim's list.
pub const AIM: &str = "Target by";
/// Adds a row to the shelf.
pub const ADD_STOCK: &str = "Add a product";
/// The folds.
pub const FOLDS: &str = "More about it";
/// Tank and cap.
pub const FOLD_TANK: &str = "Tank and cap";
/// Additive.
pub const FOLD_ADDITIVE: &str = "Additive";
/// Jobs.
pub const FOLD_JOBS: &str = "Jobs";
/// What comes out.
pub const GROUP_DRAIN: &str = "How much comes out";
/// After the most that does, in few words.
pub const COMES_OUT: &str = " out";
/// The tank.
pub const GROUP_TANK: &str = "The tank";
/// The cap.
pub const GROUP_CAP: &str = "The cap";
/// The one to be fitted.
pub const GROUP_CAP_KIND: &str = "Cap to be fitted, made for";
/// Temperatures.
pub const GROUP_HEAT: &str = "Temperatures";
/// Limits and measures.
pub const GROUP_LIMITS: &str = "Limits and measures";
/// The label's rate.
pub const GROUP_RATE: &str = "Label dose";
/// The label's limit.
pub const GROUP_LIMIT: &str = "Label maximum";
/// What an earlier dose left.
pub const GROUP_EARLIER: &str = "Already in there";
/// What the additive is for.
pub const GROUP_PURPOSE: &str = "Type of additive";
/// What the test measures.
pub const GROUP_TEST: &str = "The test measures";
/// Coolant tests.
pub const GROUP_COOLANT: &str = "Coolant test";
/// The supplement in a product.
pub const BRINGS: &str = "Supplement in it";
/// The additive's carrier.
pub const GROUP_CARRIER: &str = "Additive carried in";
/// What a loop is for.
pub const KIND: &str = "Type of system";
/// Inhibitor family.
pub const FAMILY: &str = "Coolant technology";
/// The mixing water.
pub const WATER: &str = "Water test";
/// Whose limits.
pub const WATER_LIMITS: &str = "Limits from";
/// Renewing the charge.
pub const RENEW: &str = "Also renew old coolant";
/// What a share is.
pub const RENEW_HINT: &str = "90\u{a0}% renews nine tenths of what is in there now.";
/// Family not known.
pub const FAMILY_UNKNOWN: &str = "not known";
/// Turns a sign.
pub const TURN_SIGN: &str = "Change the sign of";
/// The unit of a field.
pub const UNIT_OF: &str = "Unit of";
/// Takes a row off for good.
pub const REMOVE: &str = "Remove";
/// In a blank field that may stay so.
pub const ENOUGH: &str = "enough";

/// A field's label: what is seen, and what only a screen reader needs to tell it from its like.
pub fn label(spot: &Spot) -> (&'static str, &'static str) {
    match spot {
        Spot::Title => ("Job", ""),
        Spot::LoopName => ("Name of the system", ""),
        Spot::AdditiveName => ("Name of the additive", ""),
        Spot::StockName(_) => ("Name", " of the product"),
        Spot::StockPercent(_) => ("Concentration", ""),
        Spot::StockSpread(_) => ("\u{b1}", " on what the label says"),
        Spot::StockHave(_) => ("On hand", ""),
        Spot::StockLevel(_) => ("Supplement level", " in the product"),
        Spot::Happened(_) => ("Actual amount", ""),
        Spot::BackDate | Spot::Level(..) | Spot::Place(_) | Spot::Run(..) | Spot::Study(_) => {
            after_label(spot)
        }
        Spot::HappenedAt(_) => ("Measured at", ", temperature"),
        Spot::Water(field) => field.row().label(),
        Spot::Loop(field) => field.row().label(),
        Spot::Counter(place) => super::counter_label(*place),
    }
}

/// What to call a field in the list of what is still needed.
pub fn needed(spot: &Spot) -> &'static str {
    match spot {
        Spot::Loop(Field::Volume) => "the capacity",
        Spot::Loop(Field::Coldest) => "the lowest expected temperature",
        Spot::Loop(Field::AimPercent | Field::AimFrost) => "the target",
        Spot::Loop(Field::Percent | Field::Frost | Field::Gravity | Field::Index | Field::Brix) => {
            "a reading of what is in it"
        }
        Spot::Loop(Field::SampleAt) => "the sample temperature",
        Spot::Loop(Field::LeftBehind) => "what was left in after flushing",
        Spot::StockPercent(_) => "the concentration of a product",
        Spot::StockName(_) => "the name of a product",
        Spot::StockLevel(_) => "the supplement level in a product",
        Spot::Loop(Field::RateRatio | Field::RatePercent | Field::RateParts) => {
            "the label\u{2019}s dose"
        }
        Spot::Loop(
            Field::LimitRatio | Field::LimitPercent | Field::LimitParts | Field::LimitLevel,
        ) => "the label maximum",
        other => label(other).0,
    }
}

/// What to call an empty shelf in that list.
pub const NEEDED_SHELF: &str = "a product to pour";

/// A unit beside its number.
pub fn unit(unit: Unit) -> String {
    match unit {
        Unit::Ratio(ratio) => [volume(ratio.dose), volume(ratio.per)].join(" per "),
        other => plain_unit(other).to_owned(),
    }
}

const fn plain_unit(unit: Unit) -> &'static str {
    match unit {
        Unit::Volume(u) => volume(u),
        Unit::Temperature(TemperatureUnit::DegC) => "°C",
        Unit::Temperature(TemperatureUnit::DegF) => "°F",
        Unit::Interval(IntervalUnit::K | IntervalUnit::DegC) => "°C",
        Unit::Interval(IntervalUnit::DegF) => "°F",
        Unit::Pressure(PressureUnit::Bar) => "bar",
        Unit::Pressure(PressureUnit::KPa) => "kPa",
        Unit::Pressure(PressureUnit::Psi) => "psi",
        Unit::Length(LengthUnit::M) => "m",
        Unit::Length(LengthUnit::Ft) => "ft",
        Unit::Level(LevelUnit::Ppm) => "ppm",
        Unit::Level(LevelUnit::UnitsPerUsGal) => "units per US gal",
        Unit::Percent => "%",
        Unit::Points => "points",
        Unit::Brix => "°Bx",
        Unit::Content | Unit::Hardness(HardnessUnit::MgPerL) | Unit::Level(LevelUnit::MgPerL) => {
            "mg/L"
        }
        Unit::Hardness(HardnessUnit::German) => "°dH",
        Unit::Hardness(HardnessUnit::MmolPerL) => "mmol/L",
        Unit::Hardness(HardnessUnit::GrainsPerUsGal) => "grains per US gal",
        Unit::Ratio(_) | Unit::None => "",
    }
}

const fn volume(unit: VolumeUnit) -> &'static str {
    match unit {
        VolumeUnit::L => "L",
        VolumeUnit::Ml => "mL",
        VolumeUnit::UsGal => "US gal",
        VolumeUnit::UsQt => "US qt",
        VolumeUnit::UsFlOz => "US fl oz",
        VolumeUnit::ImpGal => "imp gal",
        VolumeUnit::ImpQt => "imp qt",
        VolumeUnit::ImpPt => "imp pt",
        VolumeUnit::ImpFlOz => "imp fl oz",
    }
}

/// A choice as its button shows it.
pub trait Worded {
    /// In words.
    fn words(self) -> &'static str;
}

macro_rules! worded {
    ($name:ident { $($variant:ident => $words:literal),+ $(,)? }) => {
        impl Worded for $name {
            fn words(self) -> &'static str {
                match self { $(Self::$variant => $words),+ }
            }
        }
    };
}

worded!(System { Metric => "metric", Us => "US", Imperial => "imperial" });
worded!(GlycolName { Ethylene => "ethylene", Propylene => "propylene" });
worded!(Kind {
    Engine => "engine",
    LowTemperature => "charge-air cooler or inverter",
    Battery => "battery",
    FuelCell => "fuel cell",
});
worded!(Side { Thin => "the usual, below 60 %", Thick => "very strong, above 60 %" });
worded!(Family { Iat => "IAT", Oat => "OAT", Hoat => "HOAT", Noat => "NOAT" });
worded!(ReadingBy {
    Percent => "concentration, %",
    Frost => "refractometer (freeze point)",
    Water => "plain water",
    Flushed => "flushed, some water left in",
    Unknown => "don\u{2019}t know",
    Gravity => "hydrometer",
    Index => "refractive index",
    Brix => "Brix",
    Empty => "empty",
});
worded!(AimBy { Night => "protect down to", Percent => "concentration", Frost => "freezing point" });
worded!(DrainBy {
    Tap => "radiator drain, about 40 %",
    TapAndBlock => "radiator and block drains, about 80 %",
    Dry => "all of it",
    Share => "a percentage",
    Volume => "a volume",
});
worded!(TankBy {
    Unstated => "not said",
    Pressurised => "pressure tank",
    RecoveryBottle => "overflow bottle",
    BareRadiator => "radiator only, no tank",
});
worded!(CapAge { Unknown => "unknown age", New => "new", Own => "percentage typed" });
worded!(CapKind {
    Unstated => "not said",
    Radiator => "radiator (overflow bottle or none)",
    PressureTank => "pressure tank",
});
worded!(DoseBy { None => "none", Some => "add an additive", Only => "additive only" });
worded!(RateBy {
    Ratio => "a ratio",
    Percent => "percent",
    OneIn => "1 part in",
    OneTo => "1 part to",
    Bottle => "a bottle treats",
    Level => "by test strip or kit",
    Kept => "as in the file",
});
worded!(Purpose {
    Unsaid => "not said",
    Supplement => "a supplement",
    ForOrganicAcid => "a supplement made for organic-acid coolant",
    Other => "another additive",
});
worded!(TestOf {
    Label => "the label\u{2019}s units",
    No2 => "nitrite as NO\u{2082}",
    NaNo2 => "nitrite as NaNO\u{2082}",
    Molybdate => "molybdate",
    Nitrite => "nitrite",
});
worded!(Brings {
    Unsaid => "not known",
    None => "none, needs a first charge",
    Label => "in the label\u{2019}s units",
    No2 => "nitrite as NO\u{2082}",
    NaNo2 => "nitrite as NaNO\u{2082}",
    Molybdate => "molybdate",
    Nitrite => "nitrite",
});
worded!(WaterLimits {
    Diesel => "typical diesel engine limits (unverified)",
    Car => "typical car limits (unverified)",
    European => "typical European engine limits (unverified)",
});
worded!(LimitBy {
    None => "no limit given",
    Ratio => "a ratio",
    Percent => "percent",
    OneIn => "1 part in",
    OneTo => "1 part to",
    Bottle => "a bottle treats",
    Level => "by test strip or kit",
    Kept => "as in the file",
});
worded!(Carrier { Water => "water, or not known", Glycol => "glycol" });
worded!(EarlierDose { None => "new coolant only", Amount => "an earlier dose", Unknown => "don\u{2019}t know" });

worded!(AboveMark { No => "no", Yes => "yes, if it fits when hot" });
/// Under a level that is below zero.
pub const ABOVE_MARK: &str = "It is above the mark.";
/// May a dose stand above the mark?
pub const GROUP_ABOVE: &str = "If nothing can be drained, may the additive stand above the mark?";

/// What holds of what is folded away under a question, in few words.
pub const MORE_HOLDS: &str = "capacity \u{b1}\u{a0}{}, low by \u{b1}\u{a0}{}";
/// Of the coolant.
pub const MORE_NOW: &str = "{} glycol, technology {}";
/// How sure a reading is, in front of that.
pub const MORE_SURE: &str = "\u{b1}\u{a0}{}, ";
/// Of the target: by the lowest temperature.
pub const MORE_NIGHT: &str = "{} margin below it, old coolant to renew {}";
/// By concentration.
pub const MORE_PERCENT: &str = "target by concentration, \u{b1}\u{a0}{}, old coolant to renew {}";
/// By freezing point.
pub const MORE_FROST: &str = "target by freezing point, old coolant to renew {}";
/// The tank is not said, in a closed fold.
pub const TANK_UNSAID: &str = "tank not said";
/// Nor is the cap.
pub const CAP_UNSAID: &str = "cap not said";
/// Nor how high it is.
pub const SEA_LEVEL: &str = "sea level";
/// No packs, in a closed fold.
pub const NO_PACKS: &str = "no packs";
/// Nothing was read again.
pub const NOT_RETESTED: &str = "not re-tested";

/// How many jobs there are besides the open one.
pub fn kept_jobs(others: usize) -> String {
    [&others.to_string(), " more on this device"].concat()
}

/// No water test.
pub const NO_WATER: &str = "none";
/// Nothing of the old coolant is renewed for its own sake.
pub const RENEW_NONE: &str = "0\u{a0}%";

/// The name of a new row on the shelf.
pub fn stock_name(count: usize) -> String {
    ["Product ", &count.to_string()].concat()
}

/// The name of a loop that has none.
pub fn loop_name(place: usize) -> String {
    ["System ", &(place + 1).to_string()].concat()
}

/// Reads tidings away.
pub const CLOSE: &str = "Close";
/// A stock whose strength is not typed yet.
pub const STRENGTH_OPEN: &str = "concentration?";
/// The glycol a stock is made of.
pub const STOCK_GLYCOL: &str = "Glycol type";
/// The whole table.
pub const ALL_MARGINS: &str = "Before and after, in full";
/// What becomes of jobs.
pub const KEPT_HERE: &str = "Jobs are kept on this device and go nowhere else.";
/// Copies the job.
pub const DUPLICATE_JOB: &str = "Duplicate";
/// Deletes a job.
pub const DELETE: &str = "Delete";
/// Opens a job.
pub const OPEN: &str = "Open";
/// Writes the job file.
pub const EXPORT: &str = "Export job file";
/// Why it cannot be written yet.
pub const EXPORT_WHY: &str = "A job file can be written once every system is filled in.";
/// Reads job files.
pub const IMPORT: &str = "Import job files";
/// Writes all jobs to one file.
pub const EXPORT_ALL: &str = "Export all jobs";
/// Name of the file with all of them; the crash box writes the same.
pub const ALL_FILE_NAME: &str = "pourcard-kept.json";
/// Looks for a job.
pub const SEEK_JOB: &str = "Find a job";
/// No job has such a title.
pub const NONE_FOUND: &str = "No kept job has that in its title.";
/// Name of the file written.
pub const FILE_NAME: &str = "pourcard-job.json";
/// A record that cannot be read.
pub const UNREADABLE: &str = "Cannot be read: ";
/// Saves it as it is.
pub const SAVE_RECORD: &str = "Save it to a file";

/// Name under which such a record is saved.
pub const RECORD_NAME: &str = "pourcard-record.json";
/// Deletes the job that is open.
pub const DELETE_JOB: &str = "Delete this job";

/// A loop's name, or what stands for one.
pub fn loop_title(name: &str, place: usize) -> String {
    let name = name.trim();
    if name.is_empty() {
        loop_name(place)
    } else {
        super::isolated(name)
    }
}

/// What there is of a stock, after its strength.
pub const DIGEST: &str = "{} · {} on hand";

/// How a bare number on a cap was taken.
pub const fn cap_mark(unit: Unit) -> &'static str {
    match unit {
        Unit::Pressure(PressureUnit::Psi) => "read as psi",
        Unit::Pressure(PressureUnit::KPa) => "read as kPa",
        _ => "read as bar",
    }
}
