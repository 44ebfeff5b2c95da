//! The keys of the job file that are written after the job: the re-reading, levels, spot temperatures, and what went
//! before a correction. Raw, as [`super::file`] is; [`super::after`] makes sense of them.

use super::{
    file::{Do, Missing, Now, Quantity, SizedVolume},
    record::{names, record},
    units::{IntervalUnit, TemperatureUnit, VolumeUnit},
};

record! {
    /// The re-reading after the job.
    pub struct CheckBack {
        /// What the instrument reads now: percent, freezing_point, specific_gravity, refractive_index, brix or water.
        pub reading: Now,
        /// When, as YYYY-MM-DD.
        pub date: Option<String> = Option::is_none,
    }
}

record! {
    /// A look at the level.
    pub struct Level {
        /// When, as YYYY-MM-DD.
        pub date: String,
        /// How far below the cold mark it stood; below zero: above the mark.
        pub missing: Quantity<VolumeUnit>,
        /// Temperature of the coolant; absent: somewhere from 5 to 35 °C.
        pub at: Option<Quantity<TemperatureUnit>> = Option::is_none,
        /// What the instrument read.
        pub reading: Option<Now> = Option::is_none,
        /// Put in after the look.
        pub added: Option<Quantity<VolumeUnit>> = Option::is_none,
    }
}

record! {
    /// A job that a re-reading corrected, as it went.
    pub struct Past {
        /// When it was read again.
        pub date: Option<String> = Option::is_none,
        /// The loop's volume as it was taken then.
        pub volume: SizedVolume,
        /// What was missing then.
        pub missing: Option<Missing> = Option::is_none,
        /// What was in it then.
        pub now: Now,
        /// What came out and went in, in order.
        pub steps: Vec<PastStep>,
        /// What it read afterwards.
        pub read: Now,
    }
}

record! {
    /// One amount of a job that went.
    pub struct PastStep {
        /// What was done: draw, dose or pour.
        pub step: Do,
        /// Which stock, for a pour.
        pub stock: Option<String> = Option::is_none,
        /// How much.
        pub amount: Quantity<VolumeUnit>,
    }
}

record! {
    /// Spot temperatures before and after.
    pub struct Survey {
        /// Accuracy of the instrument; absent: 2 K. A smaller difference is not seen.
        pub accuracy: Option<Quantity<IntervalUnit>> = Option::is_none,
        /// The difference that is looked for, stated beforehand; absent: the instrument's accuracy.
        pub difference: Option<Quantity<IntervalUnit>> = Option::is_none,
        /// Runs of each side that are planned; absent: every run is a look at the verdict.
        pub planned: Option<u32> = Option::is_none,
        /// The thermostat; absent: what it holds is not known.
        pub thermostat: Option<Thermostat> = Option::is_none,
        /// The one after the change; absent: the same.
        pub thermostat_after: Option<Thermostat> = Option::is_none,
        /// Where it was measured.
        pub spots: Vec<Spot>,
        /// When it was, in any order.
        pub runs: Vec<Run>,
    }
}

names! {
    /// What a spot's surface is.
    pub enum Surface {
        /// Paint, rubber, tape: emissivity 0.95.
        Dull = "dull",
        /// Bare metal: a mirror, not judged.
        BareMetal = "bare_metal",
        /// Not infrared: a gauge or a probe in coolant or oil.
        Gauge = "gauge",
    }
}

names! {
    /// Where a thermostat sits.
    pub enum ThermostatPlace {
        /// Where the coolant leaves the engine.
        Outlet = "outlet",
        /// Where it enters the engine.
        Inlet = "inlet",
    }
}

record! {
    /// A thermostat.
    #[derive(Copy)]
    pub struct Thermostat {
        /// Begins to open.
        pub opens: Quantity<TemperatureUnit>,
        /// Is full open; absent: 13 K above opening.
        pub full_open: Option<Quantity<TemperatureUnit>> = Option::is_none,
        /// The side it holds.
        pub place: ThermostatPlace,
    }
}

names! {
    /// What a spot's temperature goes by.
    pub enum SpotSide {
        /// The coolant that leaves the engine.
        Outlet = "outlet",
        /// The coolant that enters the engine.
        Inlet = "inlet",
        /// The air: it follows ambient, whatever the thermostat does.
        Air = "air",
    }
}

record! {
    /// A spot.
    pub struct Spot {
        /// What the user calls it; unique in the survey.
        pub name: String,
        /// Its surface; absent: dull.
        pub surface: Option<Surface> = Option::is_none,
        /// Its emissivity, where known; absent: its surface's.
        pub emissivity: Option<f64> = Option::is_none,
        /// What it goes by; absent: not known.
        pub side: Option<SpotSide> = Option::is_none,
    }
}

names! {
    /// Which side of the change a run stands on.
    pub enum When {
        /// Before.
        Before = "before",
        /// After.
        After = "after",
    }
}

names! {
    /// How much of something there was in a run.
    pub enum Much {
        /// None: off, standing, idling, no cover.
        None = "none",
        /// Some: slow, half load.
        Some = "some",
        /// All: on, fast, full load, covered.
        Full = "full",
    }
}

record! {
    /// One round of measuring.
    pub struct Run {
        /// Before or after the change.
        pub when: When,
        /// What pairs it with a run of the other side: the same text (same drive, same kind of day); absent: not paired.
        pub pair: Option<String> = Option::is_none,
        /// Which stop it belongs to: runs of one stop are one figure; absent: a stop of its own.
        pub stop: Option<String> = Option::is_none,
        /// Temperature of the surrounding air.
        pub ambient: Quantity<TemperatureUnit>,
        /// What the surfaces mirror; absent: as the air.
        pub reflected: Option<Quantity<TemperatureUnit>> = Option::is_none,
        /// Minutes since the engine was stopped.
        pub minutes: Option<f64> = Option::is_none,
        /// The instrument's emissivity setting; absent: 0.95.
        pub emissivity: Option<f64> = Option::is_none,
        /// The radiator's fan.
        pub fan: Option<Much> = Option::is_none,
        /// Load of the engine before the stop.
        pub load: Option<Much> = Option::is_none,
        /// Speed before the stop.
        pub speed: Option<Much> = Option::is_none,
        /// A cover before the radiator, or over the engine.
        pub cover: Option<Much> = Option::is_none,
        /// The cabin heater.
        pub heater: Option<Much> = Option::is_none,
        /// What it showed, spot by spot.
        pub shown: Vec<Shown>,
    }
}

record! {
    /// What the instrument showed at one spot.
    pub struct Shown {
        /// The spot's name.
        pub spot: String,
        /// In `unit`.
        pub value: f64,
        /// Its scale.
        pub unit: TemperatureUnit,
    }
}
