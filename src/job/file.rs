//! The job file as it is written: version 1, every key of it.
//!
//! This is the raw form. It says what the keys are, not that their values make sense: [`super::check`] turns it
//! into the engine's checked types. Unknown keys are an error. `= Option::is_none` after a key: when it is left out.

use super::{
    after_file::{CheckBack, Level, Past, Survey},
    record::{by, names, never, record},
    units::{
        IntervalUnit, LengthUnit, LevelUnit, PressureUnit, RatioUnit, TemperatureUnit, VolumeUnit,
    },
};

mod money;

pub use money::{Charge, Labour, Money, Per, RoundBy, Rounding, Tax, Wish};

/// The version of the format this program reads and writes.
pub const VERSION: u32 = 1;

record! {
    /// A number and its unit.
    #[derive(Copy)]
    pub struct Quantity<U> {
        /// In `unit`.
        pub value: f64,
        /// One of the units of this kind.
        pub unit: U,
    }
}

record! {
    /// A volume that may say how sure it is.
    #[derive(Copy)]
    pub struct SizedVolume {
        /// In `unit`.
        pub value: f64,
        /// Unit of `value` and `plus_minus`.
        pub unit: VolumeUnit,
        /// Half-width at 95 %; absent: 5 % of the value.
        pub plus_minus: Option<f64> = Option::is_none,
        /// The figure before a re-reading corrected it.
        pub was: Option<f64> = Option::is_none,
    }
}

record! {
    /// How far below the mark it stands.
    #[derive(Copy)]
    pub struct Missing {
        /// In `unit`.
        pub value: f64,
        /// Unit of `value` and `plus_minus`.
        pub unit: VolumeUnit,
        /// Half-width at 95 %; absent: a fifth of the value, at least half a measuring step (by eye).
        pub plus_minus: Option<f64> = Option::is_none,
    }
}

impl From<Quantity<VolumeUnit>> for Missing {
    fn from(Quantity { value, unit }: Quantity<VolumeUnit>) -> Self {
        Self {
            value,
            unit,
            plus_minus: None,
        }
    }
}

record! {
    /// A job: what there is to pour, and the loops to serve.
    pub struct Job {
        /// Version of the format.
        pub pourcard: u32,
        /// What the user calls it.
        pub title: String = String::is_empty,
        /// ISO 8601 date, as typed.
        pub date: Option<String> = Option::is_none,
        /// Anything the user wants kept with it.
        pub notes: Option<String> = Option::is_none,
        /// What goes on papers beside that: whose it is, and what was worked on; absent: nothing.
        pub papers: Option<Papers> = Option::is_none,
        /// The water stocks are mixed with, as measured.
        pub water: Option<Water> = Option::is_none,
        /// Tax, charges, labour, and how money is written.
        pub money: Option<Money> = Option::is_none,
        /// What can be poured.
        pub shelf: Vec<Stock>,
        /// One entry a cooling circuit.
        pub loops: Vec<Loop>,
        /// Spot temperatures before and after.
        pub survey: Option<Survey> = Option::is_none,
    }
}

record! {
    /// What goes on the quote and the service record, as typed. No link carries phone, plate or VIN unasked.
    #[derive(Default)]
    pub struct Papers {
        /// The customer's phone.
        pub phone: String = String::is_empty,
        /// The quote's number.
        pub quote: String = String::is_empty,
        /// Until when it holds.
        pub valid_until: String = String::is_empty,
        /// The licence plate.
        pub plate: String = String::is_empty,
        /// The vehicle's identification number.
        pub vin: String = String::is_empty,
        /// As its instrument shows it.
        pub mileage: String = String::is_empty,
        /// Who did it.
        pub technician: String = String::is_empty,
        /// Of the products poured.
        pub batch: String = String::is_empty,
    }
}

names! {
    /// Which glycol.
    pub enum GlycolName {
        /// Ethylene glycol.
        Ethylene = "ethylene",
        /// Propylene glycol.
        Propylene = "propylene",
    }
}

names! {
    /// Inhibitor family, by its trade abbreviation.
    pub enum Family {
        /// Inorganic additive technology.
        Iat = "iat",
        /// Organic acid technology.
        Oat = "oat",
        /// Hybrid organic acid technology.
        Hoat = "hoat",
        /// Nitrited organic acid technology.
        Noat = "noat",
    }
}

names! {
    /// What a supplement's test measures, where it is not the label's own units.
    pub enum Substance {
        /// Nitrite, and nobody said in which form: asked.
        Nitrite = "nitrite",
        /// Nitrite as NO2.
        No2 = "NO2",
        /// Nitrite as sodium nitrite.
        NaNo2 = "NaNO2",
        /// Molybdate.
        Molybdate = "molybdate",
    }
}

by! {
    /// The supplement that a stock brings with it.
    pub enum Supplement or Self::None {} => {
        /// None: it needs a first charge.
        None = "none" {},
        /// So much, by the test or the label.
        Level = "level" {
            /// In `unit`.
            value: f64,
            /// Of the test.
            unit: LevelUnit,
            /// What is measured; absent: the label's own.
            of: Option<Substance> = Option::is_none,
        },
    }
}

record! {
    /// What else was measured of the coolant. A figure is judged only against a limit that stands beside it.
    #[derive(Copy)]
    pub struct CoolantTest {
        /// pH by strip.
        pub ph: Option<f64> = Option::is_none,
        /// The least it should be.
        pub ph_low: Option<f64> = Option::is_none,
        /// The most.
        pub ph_high: Option<f64> = Option::is_none,
        /// Reserve alkalinity by titration, mL of 0.1 N acid for 10 mL of coolant (ASTM D1121).
        pub reserve_alkalinity: Option<f64> = Option::is_none,
        /// The least it should be.
        pub reserve_alkalinity_low: Option<f64> = Option::is_none,
    }
}

record! {
    /// Something on the shelf.
    pub struct Stock {
        /// What the user calls it; unique on the shelf.
        pub name: String,
        /// Which glycol; water needs none.
        pub glycol: Option<GlycolName> = Option::is_none,
        /// Label percentage, 0 to 100.
        pub percent: f64,
        /// Half-width of it at 95 %, points; absent: 1 (water: 0).
        pub plus_minus: Option<f64> = Option::is_none,
        /// How much is there; absent: as much as is needed.
        pub have: Option<Quantity<VolumeUnit>> = Option::is_none,
        /// Inhibitor family, if known.
        pub family: Option<Family> = Option::is_none,
        /// The supplement it brings; absent: not known, and counted as none.
        pub supplement: Option<Supplement> = Option::is_none,
        /// The packs it is sold in.
        pub packs: Vec<Pack> = Vec::is_empty,
    }
}

record! {
    /// A container and its price.
    #[derive(Copy)]
    pub struct Pack {
        /// What it holds.
        pub size: Quantity<VolumeUnit>,
        /// What it costs, in the job's money.
        pub price: f64,
    }
}

record! {
    /// Mixing water as measured, mg/L but for pH.
    #[derive(Copy)]
    pub struct Water {
        /// Whose limits to judge by.
        pub limits: WaterLimits,
        /// Chloride, mg/L.
        pub chloride: Option<f64> = Option::is_none,
        /// Sulphate, mg/L.
        pub sulphate: Option<f64> = Option::is_none,
        /// Total hardness as CaCO₃, mg/L.
        pub hardness: Option<f64> = Option::is_none,
        /// Total dissolved solids, mg/L.
        pub solids: Option<f64> = Option::is_none,
        /// pH.
        pub ph: Option<f64> = Option::is_none,
    }
}

names! {
    /// The published sets of limits for mixing water.
    pub enum WaterLimits {
        /// A diesel maker's, in US Army TM 5-3895-383-24.
        Diesel = "diesel",
        /// A car maker's water specification.
        Car = "car",
        /// A European engine maker's.
        European = "european",
    }
}

names! {
    /// What a loop is for.
    pub enum Kind {
        /// The engine's.
        Engine = "engine",
        /// Charge air or inverter.
        LowTemperature = "low_temperature",
        /// Traction battery: wants low-conductivity fluid, gets no plan.
        Battery = "battery",
        /// Fuel cell: wants low-conductivity fluid, gets no plan.
        FuelCell = "fuel_cell",
    }
}

names! {
    /// Where the hot growth goes.
    pub enum Tank {
        /// A pressurised expansion tank with air above the mark.
        Pressurised = "pressurised",
        /// An overflow bottle behind the cap, outside `volume`.
        RecoveryBottle = "recovery_bottle",
        /// A radiator with air at its top and nothing behind it.
        BareRadiator = "bare_radiator",
    }
}

names! {
    /// What a cap is made for.
    pub enum CapFor {
        /// A radiator with an overflow bottle behind the cap, or with nothing.
        Radiator = "radiator",
        /// A pressurised expansion tank.
        PressureTank = "pressure_tank",
    }
}

record! {
    /// One cooling circuit.
    pub struct Loop {
        /// What the user calls it.
        pub name: String = String::is_empty,
        /// What it is for; absent: the engine's.
        pub kind: Option<Kind> = Option::is_none,
        /// Which glycol is in it.
        pub glycol: GlycolName,
        /// Inhibitor family in it, if known.
        pub family: Option<Family> = Option::is_none,
        /// The most of another chemistry that an extended-life coolant takes; absent: 0.25, the usual.
        pub foreign_limit: Option<Share> = Option::is_none,
        /// pH, reserve alkalinity.
        pub coolant_test: Option<CoolantTest> = Option::is_none,
        /// Filled to the mark.
        pub volume: SizedVolume,
        /// How far below the mark it stands, negative: above it; absent: it stands at the mark.
        pub missing: Option<Missing> = Option::is_none,
        /// What is in it.
        pub now: Now,
        /// What should be.
        pub aim: Aim,
        /// Lowest and highest admitted percentage; absent: 40 and 60.
        pub limits: Option<Limits> = Option::is_none,
        /// The most one draw gives.
        pub draw_limit: Option<Quantity<VolumeUnit>> = Option::is_none,
        /// The share that comes out at one opening.
        pub drains: Option<Share> = Option::is_none,
        /// The least share of the old charge to replace.
        pub renew: Option<Share> = Option::is_none,
        /// Where the hot growth goes.
        pub tank: Option<Tank> = Option::is_none,
        /// Air above the cold mark.
        pub tank_room: Option<Quantity<VolumeUnit>> = Option::is_none,
        /// From the cold mark down to the minimum mark; absent: not said.
        pub minimum: Option<Quantity<VolumeUnit>> = Option::is_none,
        /// What stands in the overflow bottle; absent: not said, and not counted.
        pub bottle: Option<Overflow> = Option::is_none,
        /// Of the coolant when its level is set; absent: 20 °C.
        pub fill_temperature: Option<Quantity<TemperatureUnit>> = Option::is_none,
        /// The hottest it runs.
        pub peak_temperature: Option<Quantity<TemperatureUnit>> = Option::is_none,
        /// Where it usually runs; absent: 90 °C. Cooling against water is judged here.
        pub running_temperature: Option<Quantity<TemperatureUnit>> = Option::is_none,
        /// The coldest it must survive.
        pub coldest: Option<Quantity<TemperatureUnit>> = Option::is_none,
        /// Wanted between freezing and `coldest`; absent: 5 K.
        pub coldest_margin: Option<Quantity<IntervalUnit>> = Option::is_none,
        /// Rating of the fitted cap.
        pub cap: Option<Quantity<PressureUnit>> = Option::is_none,
        /// The share of its rating the cap is judged at; absent: 0.70 (0.85 for a new one).
        pub cap_low: Option<Share> = Option::is_none,
        /// The cap to be fitted.
        pub other_cap: Option<Quantity<PressureUnit>> = Option::is_none,
        /// What that is made for; absent: not said.
        pub other_cap_for: Option<CapFor> = Option::is_none,
        /// The rating the maker asks for; absent: not known.
        pub maker_cap: Option<Quantity<PressureUnit>> = Option::is_none,
        /// The coolant's rise after shutdown (heat soak); absent: 10 K.
        pub heat_soak: Option<Quantity<IntervalUnit>> = Option::is_none,
        /// Above sea level; absent: 0.
        pub altitude: Option<Quantity<LengthUnit>> = Option::is_none,
        /// The least amount the user can measure; absent: 50 mL.
        pub measure_step: Option<Quantity<VolumeUnit>> = Option::is_none,
        /// The same for the additive; absent: 5 mL.
        pub dose_step: Option<Quantity<VolumeUnit>> = Option::is_none,
        /// What is dosed.
        pub additive: Option<Additive> = Option::is_none,
        /// What really happened so far, in order.
        pub done: Vec<Done> = Vec::is_empty,
        /// The re-reading after the job.
        pub check_back: Option<CheckBack> = Option::is_none,
        /// Looks at the level since.
        pub levels: Vec<Level> = Vec::is_empty,
        /// Jobs on this loop that a re-reading corrected.
        pub past: Vec<Past> = Vec::is_empty,
    }
}

record! {
    /// A share of something, 0 to 1.
    #[derive(Copy)]
    pub struct Share {
        /// 0 to 1.
        pub fraction: f64,
    }
}

record! {
    /// What stands in an overflow bottle when all is cold.
    #[derive(Copy)]
    pub struct Overflow {
        /// In `unit`.
        pub value: f64,
        /// Its unit.
        pub unit: VolumeUnit,
        /// Its label percentage; absent: as strong as what is in the loop.
        pub percent: Option<f64> = Option::is_none,
    }
}

record! {
    /// Lowest and highest admitted percentage.
    #[derive(Copy)]
    pub struct Limits {
        /// Percent.
        pub low: f64,
        /// Percent.
        pub high: f64,
    }
}

names! {
    /// Which side of the turning point a frost reading was taken on.
    pub enum Side {
        /// The usual one: more glycol freezes later.
        Thin = "thin",
        /// Past the turning point.
        Thick = "thick",
    }
}

by! {
    /// What is in the loop, and how that is known.
    pub enum Now or Self::Unknown {} => {
        /// A percentage, from a label or an instrument.
        Percent = "percent" {
            /// 0 to 100.
            value: f64,
            /// Half-width at 95 %; absent: 2 points.
            plus_minus: Option<f64> = Option::is_none,
        },
        /// A frost-scale reading.
        FreezingPoint = "freezing_point" {
            /// In `unit`.
            value: f64,
            /// Its scale.
            unit: TemperatureUnit,
            /// Half-width at 95 %, in degrees of `unit`; absent: 1 K.
            plus_minus: Option<f64> = Option::is_none,
            /// Asked where two strengths fit.
            side: Option<Side> = Option::is_none,
        },
        /// A hydrometer reading, against water at the same temperature.
        SpecificGravity = "specific_gravity" {
            /// 1.
            value: f64,
            /// Of the sample.
            at: Quantity<TemperatureUnit>,
            /// Half-width at 95 %, as a gravity; absent: what 4 K of frost is worth.
            plus_minus: Option<f64> = Option::is_none,
        },
        /// A refractive index at 589 nm.
        RefractiveIndex = "refractive_index" {
            /// 1.
            value: f64,
            /// Of the sample.
            at: Quantity<TemperatureUnit>,
            /// Half-width at 95 %; absent: 2e-4.
            plus_minus: Option<f64> = Option::is_none,
        },
        /// A sugar scale.
        Brix = "brix" {
            /// °Bx.
            value: f64,
            /// Of the sample.
            at: Quantity<TemperatureUnit>,
            /// Half-width at 95 %; absent: 0.5.
            plus_minus: Option<f64> = Option::is_none,
        },
        /// Plain water.
        Water = "water" {},
        /// Flushed: `left_behind` did not come out.
        Flushed = "flushed" {
            /// What is still in there.
            left_behind: Quantity<VolumeUnit>,
            /// Its percentage; absent: 0.
            percent: f64 = never,
        },
        /// Drained dry.
        Empty = "empty" {},
        /// Nobody knows.
        Unknown = "unknown" {},
    }
}

by! {
    /// What the mix should be.
    pub enum Aim or Self::Percent { value: 0.0, within: None } => {
        /// A percentage.
        Percent = "percent" {
            /// 0 to 100.
            value: f64,
            /// Points either side that count as there; absent: 1.
            within: Option<f64> = Option::is_none,
        },
        /// At least this frost.
        FreezingPoint = "freezing_point" {
            /// In `unit`.
            value: f64,
            /// Its scale.
            unit: TemperatureUnit,
        },
    }
}

names! {
    /// What an additive is for.
    pub enum AdditiveKind {
        /// It supplements the coolant's inhibitors.
        Supplement = "supplement",
        /// Anything else: a wetting agent, a dye, a sealer.
        Other = "other",
    }
}

names! {
    /// What an additive is carried in.
    pub enum Carrier {
        /// In water, or nobody knows: it dilutes.
        Water = "water",
        /// In glycol: it counts as glycol.
        Glycol = "glycol",
    }
}

record! {
    /// What is dosed, and what its label says.
    pub struct Additive {
        /// What the user calls it.
        pub name: String = String::is_empty,
        /// The label's rate.
        pub rate: Rate,
        /// The most the label allows.
        pub limit: Option<Rate> = Option::is_none,
        /// What it is for; absent: a supplement where its rate goes by a test.
        pub kind: Option<AdditiveKind> = Option::is_none,
        /// Its label asks for it in organic-acid coolants; absent: it does not.
        pub for_organic_acid: Option<bool> = Option::is_none,
        /// What it is carried in, and counts as in the strength; absent: water.
        pub carrier: Option<Carrier> = Option::is_none,
        /// Additive in the loop before any draw; absent: unknown.
        pub already: Option<Quantity<VolumeUnit>> = Option::is_none,
        /// How much is there; absent: as much as is needed.
        pub have: Option<Quantity<VolumeUnit>> = Option::is_none,
        /// Nothing but this is done: what else the system's reading, target and shelf say is left out of account; absent:
        /// not.
        pub only: bool = std::ops::Not::not,
        /// Where nothing can be drained, it may stand above the mark, if it fits when hot; absent: not.
        pub above_mark: bool = std::ops::Not::not,
        /// The bottles it is sold in.
        pub packs: Vec<Pack> = Vec::is_empty,
    }
}

by! {
    /// A label's rate or limit.
    pub enum Rate or Self::Percent { value: 0.0 } => {
        /// So much per so much coolant.
        Ratio = "ratio" {
            /// In `unit`.
            value: f64,
            /// Such as `mL/L`.
            unit: RatioUnit,
        },
        /// Percent of the loop's volume.
        Percent = "percent" {
            /// 0 to 100.
            value: f64,
        },
        /// One part in N of the whole, or one part to N of coolant: exactly one of the two.
        Parts = "parts" {
            /// 1 in N.
            one_in: Option<f64> = Option::is_none,
            /// 1 to N.
            one_to: Option<f64> = Option::is_none,
        },
        /// One bottle treats from A to B, or up to B.
        Bottle = "bottle" {
            /// What the bottle holds.
            size: Quantity<VolumeUnit>,
            /// The least coolant it treats.
            treats_from: Option<Quantity<VolumeUnit>> = Option::is_none,
            /// The most coolant it treats.
            treats_to: Quantity<VolumeUnit>,
            /// Without `treats_from`: the share of `treats_to` down to which it is the whole bottle; absent: 0.5.
            whole_down_to: Option<Share> = Option::is_none,
        },
        /// A measured level and the wanted one (as a limit: the ceiling).
        Reading = "reading" {
            /// Measured.
            now: Quantity<LevelUnit>,
            /// Wanted.
            aim: Quantity<LevelUnit>,
            /// What 1 mL of additive per L of coolant raises it by.
            raises: Quantity<LevelUnit>,
            /// What is measured; absent: the label's own.
            of: Option<Substance> = Option::is_none,
        },
    }
}

names! {
    /// What a step does.
    pub enum Do {
        /// Take out.
        Draw = "draw",
        /// Put the additive in.
        Dose = "dose",
        /// Put a stock in.
        Pour = "pour",
        /// Run warm with the heater on.
        Run = "run",
        /// Cool, bleed, check level and strength.
        Check = "check",
    }
}

record! {
    /// A step as it really went. `step` and `stock` say what the entry was made for, so that it still counts as that
    /// where the card has changed since; without them it counts for the step that now has its id. The steps before it,
    /// of lower numbers, count as done as the card says, where no entry says otherwise.
    pub struct Done {
        /// The step's id on the card.
        pub id: String,
        /// What the step did; absent: as the card says.
        pub step: Option<Do> = Option::is_none,
        /// What was poured, by name.
        pub stock: Option<String> = Option::is_none,
        /// What really came out or went in; absent: as the card says. Of the check: how far below the mark it stands
        /// now; absent: at the mark.
        pub amount: Option<Quantity<VolumeUnit>> = Option::is_none,
        /// Temperature of what was measured; absent: 20 °C.
        pub at: Option<Quantity<TemperatureUnit>> = Option::is_none,
        /// Of a pour to the mark: whether the amount filled it to the mark; false: it ran out. Absent: it did.
        pub at_mark: Option<bool> = Option::is_none,
        /// True: not looked at, taken as done as the card said, because a later step was done. False: it was not done,
        /// though a later one was.
        pub assumed: Option<bool> = Option::is_none,
    }
}
